package assay

import (
	"math"
	"slices"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// At gives the factor at a temperature, times the published rate there: what it likely
// is, and 9 in 10.
func (f *Factor) At(c quantity.Celsius) honey.Band[float64] {
	x := 1/float64(c.Kelvin()) - 1/323.15
	var all draw
	for s := range all {
		all[s] = f.rate[s] - f.energy[s]/honey.R*x
	}
	slices.Sort(all[:])
	return honey.Band[float64]{Low: math.Exp(cut(all, 0.05)), Likely: math.Exp(cut(all, 0.5)), High: math.Exp(cut(all, 0.95))}
}

// cut is a quantile of sorted scenarios.
func cut(sorted draw, share float64) float64 {
	x := share*Scenarios - 0.5
	i := min(max(int(x), 0), Scenarios-2)
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}
