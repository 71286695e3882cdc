package honey

import (
	"math"

	"combline/internal/quantity"
)

const (
	hmfTempLow, hmfTempHigh = 0.0, 100.0
	hmfFitHigh              = 75.0 // above it honeys differ without bound
)

// HMFLaw gives the rate of HMF formation, mg/kg per day, zero order:
//
//	d[HMF]/dt = 4.96 · exp(−(141000/R)·(1/TK − 1/323.15))
//
// Fitted to the middle times to 30 mg/kg of two reprints of White, Kushnir and
// Subers 1964, 30 to 70 °C. The order of magnitude only: see [HMFAdded].
func HMFLaw() Arrhenius { return Arrhenius{At50: 4.96, Energy: 141000} }

// PublishedHMF is the spread of honeys around [HMFLaw]: a factor of 2 either way.
// Low-pH blossom honeys are fast, honeydew slow; a house that reads a lot again
// after some months knows better.
func PublishedHMF() Spread { return Spread{Likely: 1, Over: 2} }

// HMFRate gives the published rate at t in mg/kg per day. Range 0 to 100 °C;
// fitted 30 to 70, borne out from 10 to 75.
func HMFRate(t quantity.Celsius) (float64, error) {
	if err := checkTemp(t, hmfTempLow, hmfTempHigh); err != nil {
		return 0, err
	}
	return HMFLaw().AtC(t), nil
}

// HMFAdded gives the HMF that forms at temperature t in some days, added to what
// was there before. The band is the spread's; above 75 °C it grows downward until
// at 100 °C it holds a published honey that formed 35 times less than the law
// says, and upward to 3.5 times for the reprint with 30 mg/kg in half an hour at
// 80 °C. Range 0 to 100 °C. HMF's own slow decay is left out, on the safe side.
func HMFAdded(t quantity.Celsius, d quantity.Days, s Spread) (Band[quantity.MgKg], error) {
	if !within(float64(d), 0, 36525) {
		return Band[quantity.MgKg]{}, outside(InputDays, float64(d), 0, 36525)
	}
	if err := s.check(); err != nil {
		return Band[quantity.MgKg]{}, err
	}
	k, err := HMFRate(t)
	if err != nil {
		return Band[quantity.MgKg]{}, err
	}
	down, up := hmfOver(t, s.Over)
	x := s.Likely * k * float64(d)
	return Band[quantity.MgKg]{quantity.MgKg(x / down), quantity.MgKg(x), quantity.MgKg(x * up)}, nil
}

// hmfOver widens a spread above 75 °C. The slope of 0.115 per °C takes a factor
// of 2 at 75 °C to 35 at 100.
func hmfOver(t quantity.Celsius, over float64) (down, up float64) {
	if !(t > hmfFitHigh) {
		return over, over
	}
	return over * math.Exp(0.115*(float64(t)-hmfFitHigh)), max(over, 3.5)
}

// HMFDays gives the days at t until HMF has risen by some mg/kg, soonest first:
// the fast end of the spread is Low. Range as in [HMFAdded].
func HMFDays(t quantity.Celsius, rise quantity.MgKg, s Spread) (Band[quantity.Days], error) {
	if !within(float64(rise), 0, 10000) {
		return Band[quantity.Days]{}, outside(InputHMF, float64(rise), 0, 10000)
	}
	day, err := HMFAdded(t, 1, s)
	if err != nil {
		return Band[quantity.Days]{}, err
	}
	per := func(k quantity.MgKg) quantity.Days { return quantity.Days(rise / k) }
	return Band[quantity.Days]{per(day.High), per(day.Likely), per(day.Low)}, nil
}
