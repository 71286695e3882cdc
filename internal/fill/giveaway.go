package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Giveaway is honey above the label, or below it: then it is negative.
type Giveaway struct {
	PerJarG float64
	Kg      float64
	Money   quantity.MoneyCents
}

// Above is what jars of a mean hold above their label, and what that honey cost at
// a price of so many hundredths of the currency a kilogram. Exact but for rounding
// the money to a hundredth, halves away from zero.
func Above(label quantity.Milligram, meanG float64, jars int64, perKg quantity.MoneyCents) (Giveaway, error) {
	if label <= 0 || label > maxMass {
		return Giveaway{}, fmt.Errorf("label %g g, want above 0 g to %.0f g: %w", Grams(label), maxMassG, ErrOutOfRange)
	}
	if err := checkRange("mean", meanG, 0, maxMassG, " g"); err != nil {
		return Giveaway{}, err
	}
	if jars < 0 || jars > 1e12 {
		return Giveaway{}, fmt.Errorf("%d jars, want 0 to a million million: %w", jars, ErrOutOfRange)
	}
	if perKg < 0 || perKg > 1e12 {
		return Giveaway{}, fmt.Errorf("price of %d hundredths a kg, want 0 or more: %w", perKg, ErrOutOfRange)
	}
	g := Giveaway{PerJarG: meanG - Grams(label)}
	g.Kg = g.PerJarG * float64(jars) / 1000
	g.Money = quantity.MoneyCents(math.Round(g.Kg * float64(perKg)))
	return g, nil
}
