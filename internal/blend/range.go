package blend

// Range is where a limit on the measure can lie: what is outside is in another unit,
// or a slip. An unknown measure has none.
func (m Measure) Range() (low, high float64) {
	switch {
	case m < Measure(figureCount):
		return figures[m].low, figures[m].high
	case m < measureCount:
		return derived[m-Sugars].low, derived[m-Sugars].high
	}
	return 1, 0
}
