// Package fill is the statistics of filling jars: what to set a filler to, whether
// a nozzle wanders and since when, what a batch's verdict is, how many jars are at
// risk, and what is given away.
//
// It knows no clock, file or screen. Weights that decide at a boundary are whole
// milligrams; what is averaged is a float in grams. Everything that takes jars as
// they come keeps a fixed amount of memory, however many jars there are, and works
// as well from five jars a nozzle every half hour, typed by hand.
//
// A chart says whether the filling changed; the rules say whether the jars are
// lawful. Neither stands in for the other.
package fill

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"combline/internal/quantity"
)

var (
	// ErrOutOfRange is wrapped by every error about a figure that can't be.
	ErrOutOfRange = errors.New("outside what filling knows")
	// ErrUnknown is wrapped where a question can't be answered yet.
	ErrUnknown = errors.New("not known yet")
)

// maxMassG bounds every mass: a tonne is no jar.
const maxMassG = 1e6

const maxMass = quantity.Milligram(maxMassG * 1000)

// Grams is m in grams.
func Grams(m quantity.Milligram) float64 { return float64(m) / 1000 }

// checkRange refuses a figure outside low to high, and NaN.
func checkRange(what string, x, low, high float64, unit string) error {
	if !(low <= x && x <= high) {
		return fmt.Errorf("%s %g%s, want %s to %s%s: %w", what, x, unit, digits(low), digits(high), unit, ErrOutOfRange)
	}
	return nil
}

// digits is a bound without an exponent.
func digits(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// phi is the normal law's share below z.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// density is the normal law's density at z.
func density(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// quantile is the z below which a share p of the normal law lies.
func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
