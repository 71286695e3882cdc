package cost

import (
	"math"

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
	Mean, Low, High float64
	Lots            int
	Own             bool // from the house's own lots; else common practice
}

// A Cast is the wax and honey of one lot.
type Cast struct{ Wax, Honey quantity.Gram }

// LearnWax is the share to expect. From [LeastLots] lots on it is the house's own:
//
//	mean ± 2 standard deviations of wax ÷ honey, lot by lot
//
// at least ± a tenth of the mean, since blocks are weighed to a kilogram or so; else
// [WaxLow] to [WaxHigh].
func LearnWax(lots []Cast) WaxShare {
	n, sum, squares := 0, 0.0, 0.0
	for _, c := range lots {
		if c.Wax > 0 && c.Honey > 0 {
			p := 100 * float64(c.Wax) / float64(c.Honey)
			n, sum, squares = n+1, sum+p, squares+p*p
		}
	}
	if n < LeastLots {
		return WaxShare{Mean: (WaxLow + WaxHigh) / 2, Low: WaxLow, High: WaxHigh, Lots: n}
	}
	mean := sum / float64(n)
	sd := math.Sqrt(max(0, (squares-float64(n)*mean*mean)/float64(n-1)))
	half := max(2*sd, mean/10)
	return WaxShare{Mean: mean, Low: max(0, mean-half), High: mean + half, Lots: n, Own: true}
}

// Of is how much wax to expect of so much honey, from low to high.
func (s WaxShare) Of(honey quantity.Gram) (low, high quantity.Gram) {
	of := func(p float64) quantity.Gram { return quantity.Gram(math.Round(p / 100 * float64(honey))) }
	return of(s.Low), of(s.High)
}
