package honey

import (
	"math"

	"combline/internal/quantity"
)

const (
	viscosityWaterLow, viscosityWaterHigh = 13.5, 22.0
	// The hottest point of the fit is 71.1 °C.
	viscosityTempLow, viscosityTempHigh = 10.0, 71.5

	// ViscositySpread is the ×/÷ of honeys of one water and temperature (floral
	// source); ViscosityLotSpread what is left once a lot has its own factor.
	ViscositySpread    = 1.25
	ViscosityLotSpread = 1.1
)

// Viscosity gives clear liquid honey's viscosity:
//
//	ln η = −7.825 + 802 / (TK − T0),   T0 = 216.4 − 3.63·(W − 17)   η in Pa·s
//
// Range 10 to 71.5 °C, 13.5 to 22 %. T0 lies at honey's measured glass
// transition, which is why one equation holds from cold to hot. At most 9.6 %,
// usually 4 %, from the clover honeys of Munro 1943 and a French 18 % series;
// other honeys differ by 10 %, at worst 25 %. Not for thixotropic (heather
// type) or granulated honey.
func Viscosity(t quantity.Celsius, w quantity.WaterPct) (quantity.PaS, error) {
	if err := checkWater(w, viscosityWaterLow, viscosityWaterHigh); err != nil {
		return 0, err
	}
	if err := checkTemp(t, viscosityTempLow, viscosityTempHigh); err != nil {
		return 0, err
	}
	return viscosityOf(t, w), nil
}

func viscosityOf(t quantity.Celsius, w quantity.WaterPct) quantity.PaS {
	t0 := 216.4 - 3.63*(float64(w)-17)
	return quantity.PaS(math.Exp(-7.825 + 802/(float64(t.Kelvin())-t0)))
}

// ViscosityBand is [Viscosity] times the lot's own factor, with its spread. A
// lot never measured has the factor 1 and spread [ViscositySpread]; with a factor
// from [ViscosityFactor] take [ViscosityLotSpread].
func ViscosityBand(t quantity.Celsius, w quantity.WaterPct, factor, spread float64) (Band[quantity.PaS], error) {
	if !within(factor, 0.1, 10) {
		return Band[quantity.PaS]{}, outside(InputFactor, factor, 0.1, 10)
	}
	if !within(spread, 1, 10) {
		return Band[quantity.PaS]{}, outside(InputFactor, spread, 1, 10)
	}
	v, err := Viscosity(t, w)
	if err != nil {
		return Band[quantity.PaS]{}, err
	}
	return timesOver(v*quantity.PaS(factor), quantity.PaS(spread)), nil
}

// ViscosityFactor gives a lot's own factor from one measured viscosity.
func ViscosityFactor(measured quantity.PaS, t quantity.Celsius, w quantity.WaterPct) (float64, error) {
	v, err := Viscosity(t, w)
	if err != nil {
		return 0, err
	}
	if f := float64(measured / v); within(f, 0.1, 10) {
		return f, nil
	}
	return 0, outside(InputViscosity, float64(measured), float64(v)/10, float64(v)*10)
}
