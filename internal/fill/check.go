package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Check is what a few jars of one nozzle weigh at one time.
type Check struct {
	N      int
	MeanG  float64
	SDG    float64 // with n − 1; only if HasSD
	RangeG float64 // greatest less least; only if HasSD
	HasSD  bool    // false: one jar, or only the mean was written down
}

// CheckOf is the check of jars each weighed; net masses above 0.
func CheckOf(net []quantity.Milligram) (Check, error) {
	if len(net) == 0 {
		return Check{}, fmt.Errorf("no jar weighed, want at least 1: %w", ErrOutOfRange)
	}
	least, most := net[0], net[0]
	var sum quantity.Milligram
	for i, m := range net {
		if m <= 0 || m > maxMass {
			return Check{}, fmt.Errorf("jar %d: net %g g, want above 0 g to %.0f g: %w", i+1, Grams(m), maxMassG, ErrOutOfRange)
		}
		sum, least, most = sum+m, min(least, m), max(most, m)
	}
	c := Check{N: len(net), MeanG: float64(sum) / float64(len(net)) / 1000, HasSD: len(net) > 1}
	if c.HasSD {
		c.SDG, c.RangeG = math.Sqrt(squares(net, c.MeanG)/float64(c.N-1)), Grams(most-least)
	}
	return c, nil
}

func squares(net []quantity.Milligram, meanG float64) (sum float64) {
	for _, m := range net {
		d := Grams(m) - meanG
		sum += d * d
	}
	return sum
}

// CheckMean is the check of n jars of which only the mean was written down.
func CheckMean(n int, meanG float64) (Check, error) {
	c := Check{N: n, MeanG: meanG}
	return c, c.valid()
}

// CheckSummary is the check of n jars of which mean and standard deviation (with
// n − 1) were written down.
func CheckSummary(n int, meanG, sdG float64) (Check, error) {
	c := Check{N: n, MeanG: meanG, SDG: sdG, HasSD: n > 1}
	return c, c.valid()
}

func (c Check) valid() error {
	if c.N < 1 || c.N > maxJars {
		return fmt.Errorf("%d jars in a check, want 1 to %d: %w", c.N, maxJars, ErrOutOfRange)
	}
	if !(c.MeanG > 0 && c.MeanG <= maxMassG) {
		return fmt.Errorf("mean %g g, want above 0 g to %.0f g: %w", c.MeanG, maxMassG, ErrOutOfRange)
	}
	if c.HasSD {
		return checkRange("spread of a check", c.SDG, 0, maxMassG, " g")
	}
	return nil
}

// maxJars bounds one check.
const maxJars = 1_000_000
