package cost

import (
	"math"
	"slices"

	"combline/internal/quantity"
)

// WaxLow and WaxHigh are how much wax cappings give, per cent of the honey (common
// practice, no source; trials disagree from 0.4 %, so a house goes by its own lots as
// soon as it has enough).
const (
	WaxLow  = 1.0
	WaxHigh = 2.0
)

// LeastLots is how many of its own lots a house needs for a share of its own: with fewer
// a spread says next to nothing.
const LeastLots = 5

// A WaxShare is how much wax the honey of a house gives, per cent.
type WaxShare struct {
	Middle, Low, High float64
	Lots              int
	Own               bool // from the house's own lots; else common practice
}

// A Cast is the wax and honey of one lot.
type Cast struct{ Wax, Honey quantity.Gram }

// LearnWax is the share to expect. From [LeastLots] lots on it is the house's own:
//
//	median ± 2 × 1.4826 × median distance from it, of wax ÷ honey, lot by lot
//
// at least ± a tenth of the median, since blocks are weighed to a kilogram or so; else
// [WaxLow] to [WaxHigh]. 1.4826 makes the median distance a standard deviation where
// lots spread by the normal law (textbook factor, from memory: 1/Φ⁻¹(3/4)); unlike the mean it is
// not moved by the odd lot that is looked for.
func LearnWax(lots []Cast) WaxShare {
	var all []float64
	for _, c := range lots {
		if c.Wax > 0 && c.Honey > 0 {
			all = append(all, 100*float64(c.Wax)/float64(c.Honey))
		}
	}
	n := len(all)
	if n < LeastLots {
		return WaxShare{Middle: (WaxLow + WaxHigh) / 2, Low: WaxLow, High: WaxHigh, Lots: n}
	}
	middle := median(all)
	away := make([]float64, n)
	for i, p := range all {
		away[i] = math.Abs(p - middle)
	}
	half := max(2*1.4826*median(away), middle/10)
	return WaxShare{Middle: middle, Low: max(0, middle-half), High: middle + half, Lots: n, Own: true}
}

// median is the middle one of some figures, or the mean of the middle two; it sorts them.
func median(all []float64) float64 {
	slices.Sort(all)
	n := len(all)
	return (all[(n-1)/2] + all[n/2]) / 2
}

// Of is how much wax to expect of so much honey, from low to high.
func (s WaxShare) Of(honey quantity.Gram) (low, high quantity.Gram) {
	of := func(p float64) quantity.Gram { return quantity.Gram(math.Round(p / 100 * float64(honey))) }
	return of(s.Low), of(s.High)
}
