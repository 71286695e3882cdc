package flow

import (
	"fmt"
	"math"

	"combline/internal/honey"
)

// A Riser is what rises in a settling tank.
type Riser uint8

const (
	Bubble       Riser = iota // of air; honey's surface makes it a rigid sphere
	MobileBubble              // of air with a surface that moves: the fastest
	WaxSpeck                  // a speck of wax, taken as a sphere
)

// WaxKgM3 is beeswax; 958 to 970 at 15 °C (read).
const WaxKgM3 = 965.0

// Rise gives how fast a bubble or speck rises in still honey, m/s:
//
//	v = Δρ·g·d²/(18·μ)
//
// Δρ is honey's density for a bubble, honey's less 965 kg/m³ for wax; a mobile surface
// makes it 3/2 times as fast (Hadamard, Rybczynski). Stokes 1851: A, as Re is far below
// 1 up to 5 mm. Flakes of wax rise at 0.6 to 0.9 of it; specks that carry bubbles
// faster. The honey's viscosity (10 to 25 % between honeys) is the larger doubt. Range
// of d 0.005 to 20 mm.
func Rise(l Liquid, what Riser, diameterM float64) (float64, error) {
	if err := first(l.check(), l.lifts(what), withinMM("diameter", diameterM, 5e-6, 0.02), within("kind", float64(what), float64(Bubble), float64(WaxSpeck), "")); err != nil {
		return 0, err
	}
	return rise(l, what) * diameterM * diameterM, nil
}

// lifts refuses wax in a liquid that is no heavier: it does not rise there.
func (l Liquid) lifts(what Riser) error {
	if what == WaxSpeck && !(l.DensityKgM3 > WaxKgM3) {
		return fmt.Errorf("wax of %g kg/m³ does not rise in a liquid of %g kg/m³; honey has 1,380 to 1,450", WaxKgM3, l.DensityKgM3)
	}
	return nil
}

// rise is the speed over d².
func rise(l Liquid, what Riser) float64 {
	k := l.DensityKgM3 * gravity / (18 * l.ViscosityPaS)
	switch what {
	case MobileBubble:
		k *= 1.5
	case WaxSpeck:
		k *= (l.DensityKgM3 - WaxKgM3) / l.DensityKgM3
	}
	return k
}

// ClearHours gives the hours until the last riser of a size has come up from the bottom.
// Any stirring by warmth mixes again what is below 0.3 mm: insulate, warm evenly. Range
// of depth 1 cm to 20 m.
func ClearHours(l Liquid, what Riser, diameterM, depthM float64) (float64, error) {
	v, err := Rise(l, what, diameterM)
	if err = first(err, within("depth", depthM, 0.01, 20, "m")); err != nil {
		return 0, err
	}
	return depthM / v / 3600, nil
}

// CutSize gives the smallest diameter, m, that has wholly come up after some hours.
func CutSize(l Liquid, what Riser, depthM, hours float64) (float64, error) {
	if err := first(l.check(), l.lifts(what), within("depth", depthM, 0.01, 20, "m"), within("hours", hours, 0.01, 1e5, "h"), within("kind", float64(what), float64(Bubble), float64(WaxSpeck), "")); err != nil {
		return 0, err
	}
	return math.Sqrt(depthM / (rise(l, what) * hours * 3600)), nil
}

// Sizes are bubbles or specks whose volume is spread lognormally over their diameters.
type Sizes struct {
	MedianM float64 // half of the volume is in smaller ones
	Spread  float64 // geometric standard deviation, above 1
}

// StillIn gives the share of the volume of bubbles or specks that is still in the honey,
// from an even start, unstirred:
//
//	∫ f(d)·max(0, 1 − (d/dc)²) dd = Φ(a) − e^(2m + 2s² − 2·ln dc)·Φ(a − 2s),   a = (ln dc − m)/s
//
// with dc the [CutSize], m the logarithm of the median and s that of the spread. Exact
// for its sizes, which nobody measures in a tank (C). Range: median 0.01 to 10 mm,
// spread 1.01 to 5.
func StillIn(l Liquid, what Riser, sizes Sizes, depthM, hours float64) (float64, error) {
	if err := first(withinMM("median", sizes.MedianM, 1e-5, 0.01), within("spread", sizes.Spread, 1.01, 5, "")); err != nil {
		return 0, err
	}
	if hours == 0 {
		_, err := CutSize(l, what, depthM, 1)
		return 1, err
	}
	dc, err := CutSize(l, what, depthM, hours)
	if err != nil {
		return 0, err
	}
	m, s, c := math.Log(sizes.MedianM), math.Log(sizes.Spread), math.Log(dc)
	a := (c - m) / s
	return phi(a) - math.Exp(2*m+2*s*s-2*c)*phi(a-2*s), nil
}

func phi(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// Skim gives the kg of foam and wax to expect on top of settled honey: 0.5 to 1.5 %
// (common practice, no source), until the house has its own.
func Skim(honeyKg float64) (honey.Band[float64], error) {
	if err := within("honey", honeyKg, 0, 1e6, "kg"); err != nil {
		return honey.Band[float64]{}, err
	}
	return honey.Band[float64]{Low: 0.005 * honeyKg, Likely: 0.01 * honeyKg, High: 0.015 * honeyKg}, nil
}
