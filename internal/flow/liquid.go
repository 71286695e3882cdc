package flow

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Liquid is clear honey that moves: what of it the models here need.
type Liquid struct {
	DensityKgM3  float64
	ViscosityPaS float64
}

// House gives a liquid by the models of package honey, [honey.Density] and
// [honey.Viscosity], with their ranges (13.5 to 21 %, 10 to 60 °C) and accuracy.
// Jelly (heather type) and granulated honey are no liquids.
func House(t quantity.Celsius, w quantity.WaterPct) (Liquid, error) {
	d, err := honey.Density(t, w)
	if err != nil {
		return Liquid{}, err
	}
	v, err := honey.Viscosity(t, w)
	return Liquid{float64(d), float64(v)}, err
}

// Fixed gives a liquid by the property set in which the published check cases are
// reckoned:
//
//	ρ = 1421 − 6.2·(W − 17) − 0.60·(T − 20) kg/m³
//	ln μ = −8.84 + 998.4/(TK − 209.96) − 0.418·(W − 16), Pa·s
//
// Range 13 to 22 %, 5 to 75 °C; ln μ has a standard error of 0.11. Fitted to Munro
// 1943 as tabulated in White 1975 and Krell 1996 (from memory).
func Fixed(t quantity.Celsius, w quantity.WaterPct) (Liquid, error) {
	c, x := float64(t), float64(w)
	if err := first(within("temperature", c, 5, 75, "°C"), within("water", x, 13, 22, "%")); err != nil {
		return Liquid{}, err
	}
	return Liquid{1421 - 6.2*(x-17) - 0.60*(c-20),
		math.Exp(-8.84 + 998.4/(float64(t.Kelvin())-209.96) - 0.418*(x-16))}, nil
}

func (l Liquid) check() error {
	return first(within("density", l.DensityKgM3, 500, 2000, "kg/m³"), within("viscosity", l.ViscosityPaS, 1e-4, 1e4, "Pa·s"))
}
