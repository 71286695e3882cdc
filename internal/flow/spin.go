package flow

import (
	"math"

	"combline/internal/honey"
)

// Field gives how many times gravity a basket's turning makes at a radius:
//
//	G = ω²·r/g,   ω = 2π·n/60
//
// Range 1 to 2,000 turns a minute, 0.02 to 3 m. Mechanics, exact. About 30 is said to
// be a working field (one trade page).
func Field(rpm, radiusM float64) (float64, error) {
	if err := first(within("turns a minute", rpm, 1, 2000, ""), within("radius", radiusM, 0.02, 3, "m")); err != nil {
		return 0, err
	}
	w := 2 * math.Pi * rpm / 60
	return w * w * radiusM / gravity, nil
}

// TurnsFor gives the turns a minute that make a field; the inverse of [Field].
func TurnsFor(field, radiusM float64) (float64, error) {
	if err := first(within("field", field, 1e-3, 5000, "g"), within("radius", radiusM, 0.02, 3, "m")); err != nil {
		return 0, err
	}
	return 60 / (2 * math.Pi) * math.Sqrt(field*gravity/radiusM), nil
}

// A Basket is how frames hang in the extractor.
type Basket uint8

const (
	Tangential Basket = iota // flat to the wall, one side at a time: the field lies along the cells
	Radial                   // like spokes: only the cells' tilt lets them empty
)

// TiltDeg is how far a cell leans up from level: 9 to 14° (from memory).
const TiltDeg = 11.0

// Along gives the part of a field (in m/s²) that draws honey out of the cells.
func (b Basket) Along(accelMS2 float64) float64 {
	if b == Radial {
		return accelMS2 * math.Sin(TiltDeg*math.Pi/180)
	}
	return accelMS2
}

// The worker cell and honey's surface, from memory.
const (
	cellWideM   = 0.0053
	cellLongM   = 0.0115
	surfaceNM   = 0.055
	bretherton  = 0.842
	fingerShare = 0.01
)

// StartField gives the acceleration along the cell, m/s², under which a closed tube does
// not empty at all:
//
//	g = 0.842·σ/(ρ·a²)
//
// with σ = 0.055 N/m and a = 2.65 mm. Bretherton 1961, J. Fluid Mech. 10, 166 (read); σ
// from memory: B. Range of density 500 to 2,000 kg/m³.
func StartField(l Liquid) (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	a := cellWideM / 2
	return bretherton * surfaceNM / (l.DensityKgM3 * a * a), nil
}

// FingerSpeed gives how fast air runs into a cell, m/s: the viscous limit of a slug,
//
//	U = 0.01·ρ·g·D²/μ
//
// White and Beardsley 1962 (from memory): C. The core of a cell is empty in about a
// second; what takes time is the film ([FilmTime]).
func FingerSpeed(l Liquid, alongMS2 float64) (float64, error) {
	if err := first(l.check(), within("acceleration", alongMS2, 0.01, 1e5, "m/s²")); err != nil {
		return 0, err
	}
	return fingerShare * l.DensityKgM3 * alongMS2 * cellWideM * cellWideM / l.ViscosityPaS, nil
}

// FilmTime gives the seconds until a share of a cell's honey is left as a draining film
// on its walls:
//
//	t = μ·L/(ρ·g)·(8/(3·f·Dh))²,   L = 11.5 mm, Dh = 5.3 mm
//
// Jeffreys's film. A lower bound: honey on the comb's face, grains and remains of
// cappings add to it; see [SpinTime]. Range f 0.002 to 0.5. The scaling is the useful
// part: t goes with μ/(G·f²), so that a comb 5 °C cooler takes 1.7 to 2 times as long
// and a tenth more speed saves 17 %.
func FilmTime(l Liquid, alongMS2, left float64) (float64, error) {
	if err := first(l.check(), within("acceleration", alongMS2, 0.01, 1e5, "m/s²"), withinPct("share left", left, 0.002, 0.5)); err != nil {
		return 0, err
	}
	x := 8 / (3 * left * cellWideM)
	return l.ViscosityPaS * cellLongM / (l.DensityKgM3 * alongMS2) * x * x, nil
}

// FilmLeft gives what is left of a film of an initial thickness after some seconds:
//
//	V/V0 = 1 − ρ·g·h0²·t/(3·μ·L)          until ts = μ·L/(ρ·g·h0²)
//	V/V0 = (2/3)/h0·√(μ·L/(ρ·g·t))        from then on
//
// Jeffreys 1930, a wall draining from rest (from memory): exact for its film.
func FilmLeft(l Liquid, alongMS2, thickM, longM, seconds float64) (float64, error) {
	if err := first(l.check(), within("acceleration", alongMS2, 0.01, 1e5, "m/s²"), withinMM("film", thickM, 1e-6, 0.05),
		within("wall", longM, 1e-4, 20, "m"), within("time", seconds, 0, 1e7, "s")); err != nil {
		return 0, err
	}
	k := l.DensityKgM3 * alongMS2 / (l.ViscosityPaS * longM) // 1/(m²·s)
	if seconds <= 1/(k*thickM*thickM) {
		return 1 - k*thickM*thickM*seconds/3, nil
	}
	return 2.0 / 3 / thickM / math.Sqrt(k*seconds), nil
}

// SpinFactor is how many times longer real combs take than [FilmTime]: 3 to 10 (C), until
// the house has its own from wet-comb weights ([SpinFactorFrom]).
func SpinFactor() honey.Band[float64] {
	return honey.Band[float64]{Low: 3, Likely: math.Sqrt(30), High: 10}
}

// SpinTime is [FilmTime] times the combs' factor.
func SpinTime(l Liquid, alongMS2, left float64, factor honey.Band[float64]) (honey.Band[float64], error) {
	t, err := FilmTime(l, alongMS2, left)
	return honey.Band[float64]{Low: t * factor.Low, Likely: t * factor.Likely, High: t * factor.High}, err
}

// SpinFactorFrom gives the combs' own factor: seconds spun over the film's for the share
// of honey that the wet combs' weight shows to have stayed.
func SpinFactorFrom(l Liquid, alongMS2, left, seconds float64) (float64, error) {
	t, err := FilmTime(l, alongMS2, left)
	if err = first(err, within("time", seconds, 1, 1e5, "s")); err != nil {
		return 0, err
	}
	return seconds / t, nil
}

// CombPressure gives what the honey on the inner side presses on the midrib, Pa:
//
//	p = ρ·h·ω²·r
//
// with the cell's depth h = 11.5 mm. Mechanics, exact; no strength of comb is published
// that we found. Common practice: new, unwired or warmer than 35 °C, half the speed.
func CombPressure(l Liquid, accelMS2 float64) (float64, error) {
	if err := first(l.check(), within("acceleration", accelMS2, 0.01, 1e5, "m/s²")); err != nil {
		return 0, err
	}
	return l.DensityKgM3 * cellLongM * accelMS2, nil
}

// SafeField gives the field that keeps the midrib's pressure where it was full, as the
// comb empties: G = G_limit·m_full/m. The share still in it is above 0 to 1.
func SafeField(limit, stillIn float64) (float64, error) {
	if err := first(within("field", limit, 0.1, 5000, "g"), within("share still in", stillIn, 0.01, 1, "")); err != nil {
		return 0, err
	}
	return limit / stillIn, nil
}
