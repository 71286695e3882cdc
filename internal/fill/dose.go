package fill

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Dose is a filler that doses by volume: the same stroke of warmer or wetter
// honey weighs less. The zero Dose is a filler that weighs.
type Dose struct {
	ByVolume   bool
	SetTemp    quantity.Celsius  // of the honey when the filler is set
	WarmTemp   quantity.Celsius  // the warmest of the run
	SetWater   quantity.WaterPct // of the honey it is set with
	WettestPct quantity.WaterPct // the wettest of the run
}

// Drop is what a jar loses from the setting to the warmest and wettest honey of
// the run, never below 0, in grams:
//
//	drop = target·(ρ(set)/ρ(warmest) − 1)
//
// so that target + drop, dosed at the setting, is the target in the warmest. With
// [honey.Density]: about 0.04 % a degree and 0.45 % a point of water, its doubt a
// fifth of itself. Range 10 to 60 °C, 13 to 21 %. 0 for a filler that weighs.
func (d Dose) Drop(targetG float64) (float64, error) {
	if !d.ByVolume {
		return 0, nil
	}
	r, err := DensityRatio(d.SetTemp, d.SetWater, d.WarmTemp, d.WettestPct)
	if err != nil {
		return 0, err
	}
	return max(0, targetG*(1/r-1)), nil
}

// DensityRatio is how much the same volume weighs at another temperature and water,
// over what it weighs now. Source: [honey.Density].
func DensityRatio(temp quantity.Celsius, water quantity.WaterPct, toTemp quantity.Celsius, toWater quantity.WaterPct) (float64, error) {
	from, err := honey.Density(temp, water)
	if err != nil {
		return 0, err
	}
	to, err := honey.Density(toTemp, toWater)
	if err != nil {
		return 0, err
	}
	return float64(to / from), nil
}

// DoseMass is what a stroke of a volume doser weighs, in grams: m = ρ·V. Volume in
// millilitres, above 0 to 100 litres. Exact; the density's doubt is its own.
func DoseMass(volumeML float64, rho quantity.KgM3) (float64, error) {
	if !(volumeML > 0 && volumeML <= 1e5) {
		return 0, fmt.Errorf("stroke of %g mL, want above 0 to 100000 mL: %w", volumeML, ErrOutOfRange)
	}
	if err := checkRange("density", float64(rho), 500, 2000, " kg/m³"); err != nil {
		return 0, err
	}
	return volumeML * float64(rho) / 1000, nil
}

// NozzleTime is how long a volume takes through a straight nozzle, in seconds, by
// Hagen and Poiseuille's law
//
//	t = 128·η·L·V / (π·D⁴·Δp)
//
// for laminar flow far from its ends; honey's always is. Volume in mL, pressure in
// bar, bore and length in metres. The entrance and a tapering bore are not in it.
func NozzleTime(volumeML, bar, boreM, lengthM float64, eta quantity.PaS) (float64, error) {
	for _, c := range []struct {
		what string
		x    float64
	}{{"volume", volumeML}, {"pressure", bar}, {"bore", boreM}, {"length", lengthM}, {"viscosity", float64(eta)}} {
		if !(c.x > 0 && c.x <= 1e6) {
			return 0, fmt.Errorf("%s %g, want above 0: %w", c.what, c.x, ErrOutOfRange)
		}
	}
	return 128 * float64(eta) * lengthM * volumeML * 1e-6 / (math.Pi * math.Pow(boreM, 4) * bar * 1e5), nil
}
