package honey

import (
	"math"

	"combline/internal/quantity"
)

const (
	densityWaterLow, densityWaterHigh = 13.0, 21.0
	densityTempLow, densityTempHigh   = 10.0, 60.0

	waterDensity20 = 998.2 // kg/m³, water at 20 °C
	densityPerC    = 0.56  // kg/m³ per °C
	densityPerCOff = 0.1   // how far that slope may be off
	densityFitOff  = 0.35  // kg/m³: 0.024 % at the worst point of the table

	// poundPerUSGallon is one lb/gal (US) in kg/m³: 0.45359237 kg in 3.785411784 L.
	poundPerUSGallon = 0.45359237 / 3.785411784e-3
)

// SpecificGravity gives honey's density at 20 °C over water's at 20 °C:
//
//	SG = 1.4235 − 0.00631·(W − 17) − 0.000201·(W − 17)²
//
// Range 13 to 21 %. Within 0.024 % of White's table of 1975 (from memory), and
// 1.4129 at 18.6 %, the pair in the US grade standard.
func SpecificGravity(w quantity.WaterPct) (float64, error) {
	if err := checkWater(w, densityWaterLow, densityWaterHigh); err != nil {
		return 0, err
	}
	return gravity(w), nil
}

func gravity(w quantity.WaterPct) float64 {
	x := float64(w) - 17
	return 1.4235 - 0.00631*x - 0.000201*x*x
}

// Density gives clear liquid honey's density:
//
//	ρ = 998.2·SG(W) − 0.56·(T − 20)   kg/m³
//
// Range 10 to 60 °C, 13 to 21 %. Within 0.024 % of the table at 20 °C; the slope
// of 0.56 ± 0.1 per °C is not tabulated but derived from the index's (Lorentz and
// Lorenz). Air and crystals are not in it.
func Density(t quantity.Celsius, w quantity.WaterPct) (quantity.KgM3, error) {
	if err := checkWater(w, densityWaterLow, densityWaterHigh); err != nil {
		return 0, err
	}
	if err := checkTemp(t, densityTempLow, densityTempHigh); err != nil {
		return 0, err
	}
	return quantity.KgM3(waterDensity20*gravity(w) - densityPerC*(float64(t)-20)), nil
}

// DensityBand is [Density] with its doubt: 0.35 kg/m³ of the fit, and 0.1 for
// each °C away from 20.
func DensityBand(t quantity.Celsius, w quantity.WaterPct) (Band[quantity.KgM3], error) {
	d, err := Density(t, w)
	if err != nil {
		return Band[quantity.KgM3]{}, err
	}
	off := root2(densityFitOff, densityPerCOff*math.Abs(float64(t)-20))
	return plusMinus(d, quantity.KgM3(off)), nil
}

// PoundsPerGallon gives a density in pounds per US gallon (exact units).
func PoundsPerGallon(d quantity.KgM3) float64 { return float64(d) / poundPerUSGallon }

// FromPoundsPerGallon is the inverse of [PoundsPerGallon].
func FromPoundsPerGallon(lb float64) quantity.KgM3 { return quantity.KgM3(lb * poundPerUSGallon) }
