package flow

import (
	"math"

	"combline/internal/quantity"
)

// Air is the air of a room. RH is a share of 1.
type Air struct {
	Temp quantity.Celsius
	RH   float64
}

func (a Air) check() error {
	return first(within("air temperature", float64(a.Temp), -40, 60, "°C"), withinPct("relative humidity", a.RH, 0, 1))
}

const (
	pressurePa = 101325.0 // standard atmosphere
	vapourJ    = 461.52   // gas constant of water vapour, J/(kg·K)
	latentJKg  = 2.42e6   // heat of evaporation at 35 °C, J/kg
)

// SaturationPa gives the pressure of water vapour over water:
//
//	psat = 611.2·exp(17.62·T/(243.12 + T))   Pa
//
// Range −40 to 60 °C, within 0.6 % of the steam tables from 0 to 60. The Magnus form
// of the World Meteorological Organization's guide (from memory).
func SaturationPa(t quantity.Celsius) (float64, error) {
	if err := within("temperature", float64(t), -40, 60, "°C"); err != nil {
		return 0, err
	}
	return saturation(float64(t)), nil
}

func saturation(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) }

// HumidityRatio gives kg of water vapour in a kg of dry air at 101,325 Pa:
//
//	Y = 0.622·p/(P − p),   p = RH·psat(T)
//
// Range −40 to 60 °C, RH 0 to 1. Exact for ideal gases, 0.5 % in practice.
// Psychrometrics; any textbook.
func HumidityRatio(a Air) (float64, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	p := a.RH * saturation(float64(a.Temp))
	return 0.622 * p / (pressurePa - p), nil
}

// VentAir gives the dry air, kg/h, that carries water out of a room when air comes in
// from outside and leaves as the room's:
//
//	G = m/(t·(Y_room − Y_outside))
//
// Range: water 0 to 10,000 kg, 0.1 to 10,000 h. Mass balance, exact; what leaks
// in and out besides is not in it. Air outside as wet as the room's carries nothing
// away, which is an error.
func VentAir(waterKg, hours float64, room, outside Air) (float64, error) {
	if err := first(within("water", waterKg, 0, 1e4, "kg"), within("hours", hours, 0.1, 1e4, "h")); err != nil {
		return 0, err
	}
	in, err := HumidityRatio(outside)
	if err != nil {
		return 0, err
	}
	out, err := HumidityRatio(room)
	if err != nil {
		return 0, err
	}
	if !(out > in) {
		return 0, &WetAirError{Room: out, Outside: in}
	}
	return waterKg / (hours * (out - in)), nil
}

// LatentLoadW gives what a drier must take up of a room, W, to remove water:
//
//	Q = m·hfg/t,   hfg = 2.42 MJ/kg (35 °C)
//
// Without what leaks in and without the drier's own heat. Energy balance; 1 % over 25
// to 40 °C.
func LatentLoadW(waterKg, hours float64) (float64, error) {
	if err := first(within("water", waterKg, 0, 1e4, "kg"), within("hours", hours, 0.1, 1e4, "h")); err != nil {
		return 0, err
	}
	return waterKg * latentJKg / (3600 * hours), nil
}
