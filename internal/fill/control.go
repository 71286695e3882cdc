package fill

import (
	"fmt"
	"math"
)

// A Control corrects a filler's setting after every fill, or says by how much a
// person should: integral control of what all nozzles have in common,
//
//	X(t+1) = X(t) − λ·e(t)      e = weight − target
//
// which has the least mean square error where the disturbance is an integrated
// moving average of λ = 1 − θ. A nozzle that has left the others on the low side,
// by a cumulative sum
//
//	C = min(0, C + e/s + k)      alarm when C < −h
//
// corrects nobody while its alarm stands: a stuck nozzle must not make the others
// overfill. With a dead band a correction is given only when the deviation foreseen,
// the moving average of weight λ since the last correction, has grown beyond it, and
// then the whole of it: so noise is not chased and nobody turns a screw for nothing.
// Without one it is the integral control above. Sources: Box and Jenkins, Time Series
// Analysis, feedback control; Box and Luceño on bounded adjustment (both memory).
type Control struct {
	targetG, lambda, sdG, k, h float64
	deadG                      float64
	given                      float64 // the correction given, g
	ahead                      float64 // deviation foreseen as things are set, g
	low                        []float64
}

// NewControl begins the control of so many nozzles. lambda above 0 to 1; deadG 0
// for none.
func NewControl(targetG, lambda, sdG, k, h, deadG float64, nozzles int) (*Control, error) {
	for _, c := range []struct {
		what      string
		x         float64
		low, high float64
		unit      string
	}{{"target", targetG, 0.001, maxMassG, " g"}, {"gain", lambda, 1e-6, 1, ""}, {"spread", sdG, 1e-9, 1e5, " g"},
		{"slack", k, 0, 100, ""}, {"line", h, 0.01, 1e6, ""}, {"dead band", deadG, 0, 1e5, " g"}} {
		if err := checkRange(c.what, c.x, c.low, c.high, c.unit); err != nil {
			return nil, err
		}
	}
	if nozzles < 1 || nozzles > mostNozzles {
		return nil, fmt.Errorf("%d nozzles, want 1 to %d: %w", nozzles, mostNozzles, ErrOutOfRange)
	}
	return &Control{targetG: targetG, lambda: lambda, sdG: sdG, k: k, h: h, deadG: deadG, low: make([]float64, nozzles)}, nil
}

// Step takes a nozzle's weight, from 1, and returns that nozzle's cumulative sum
// and whether its alarm stands. What to set by now is [Control.Set].
func (c *Control) Step(nozzle int, weightG float64) (sum float64, alarm bool, err error) {
	if nozzle < 1 || nozzle > len(c.low) {
		return 0, false, fmt.Errorf("nozzle %d, the filler has 1 to %d: %w", nozzle, len(c.low), ErrOutOfRange)
	}
	if !(weightG > 0 && weightG <= maxMassG) {
		return 0, false, fmt.Errorf("weight %g g, want above 0 g to %.0f g: %w", weightG, maxMassG, ErrOutOfRange)
	}
	e := weightG - c.targetG
	s := &c.low[nozzle-1]
	*s = min(0, *s+e/c.sdG+c.k)
	if *s < -c.h {
		return *s, true, nil
	}
	c.ahead += c.lambda * (e - c.ahead)
	if math.Abs(c.ahead) >= c.deadG {
		c.given, c.ahead = c.given-c.ahead, 0
	}
	return *s, false, nil
}

// Set is the correction that stands, in grams on the set weight.
func (c *Control) Set() float64 { return c.given }

// Gain is the λ of least mean square error for a level that wanders by moveG from
// one step to the next under noise of noiseG, both standard deviations:
//
//	λ = (−q + √(q² + 4·q))/2      q = (move/noise)²
//
// 0 where nothing wanders: then no correction is right. Source: the steady Kalman
// filter of a random walk in noise, which is Box and Jenkins' λ (memory).
func Gain(moveG, noiseG float64) (float64, error) {
	if err := checkRange("movement", moveG, 0, maxMassG, " g"); err != nil {
		return 0, err
	}
	if !(noiseG > 0 && noiseG <= maxMassG) {
		return 0, fmt.Errorf("noise %g g, want above 0 g: %w", noiseG, ErrOutOfRange)
	}
	if moveG == 0 {
		return 0, nil
	}
	q := (moveG / noiseG) * (moveG / noiseG)
	return 2 * q / (q + math.Sqrt(q*q+4*q)), nil
}

// Inflation is how many times the least possible variance the output has when
// integral control of gain lambda works on a disturbance whose best gain is best:
//
//	1 + (λ − λ0)²/(λ·(2 − λ))
//
// With white noise only (best 0) and lambda 1, correcting by the whole error of
// every fill, it is 2: chasing noise doubles the variance. Source: Box and Jenkins
// (memory), and simulation.
func Inflation(lambda, best float64) (float64, error) {
	if !(lambda > 0 && lambda <= 1) {
		return 0, fmt.Errorf("gain %g, want above 0 to 1: %w", lambda, ErrOutOfRange)
	}
	if err := checkRange("best gain", best, 0, 1, ""); err != nil {
		return 0, err
	}
	return 1 + (lambda-best)*(lambda-best)/(lambda*(2-lambda)), nil
}

// RampOffset is how far behind a steady drift of driftG a step integral control
// stays: drift/λ. Exact.
func RampOffset(driftG, lambda float64) (float64, error) {
	if !(lambda > 0 && lambda <= 1) {
		return 0, fmt.Errorf("gain %g, want above 0 to 1: %w", lambda, ErrOutOfRange)
	}
	if err := checkRange("drift", math.Abs(driftG), 0, maxMassG, " g"); err != nil {
		return 0, err
	}
	return driftG / lambda, nil
}
