package honey

import (
	"math"

	"combline/internal/quantity"
)

// R is the gas constant in J/(mol·K) (exact to the digits given, SI 2019).
const R = 8.314462618

// An Arrhenius is a rate law
//
//	k(T) = At50 · exp(−(Energy/R)·(1/TK − 1/323.15))
//
// with At50 the rate at 50 °C per day and Energy in J/mol. At and AtC guard
// nothing: an integrator goes through cold nights, where the law gives next to
// nothing whatever it is worth there. Ask the model's own function for a figure
// to show.
type Arrhenius struct {
	At50   float64
	Energy float64
}

const kelvin50 = 50 + quantity.ZeroC

// At gives the rate per day at t.
func (a Arrhenius) At(t quantity.Kelvin) float64 {
	return a.At50 * math.Exp(-a.Energy/R*(1/float64(t)-1/kelvin50))
}

// AtC gives the rate per day at t.
func (a Arrhenius) AtC(t quantity.Celsius) float64 { return a.At(t.Kelvin()) }

// A Spread is how far a lot's own rate lies from the published one: times Likely,
// and nine lots in ten within ×/÷ Over of that.
type Spread struct{ Likely, Over float64 }

func (s Spread) check() error {
	if !within(s.Likely, 0.1, 10) {
		return outside(InputFactor, s.Likely, 0.1, 10)
	}
	if !within(s.Over, 1, 100) {
		return outside(InputFactor, s.Over, 1, 100)
	}
	return nil
}
