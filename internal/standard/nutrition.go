package standard

import (
	"fmt"
	"math"
)

// Composition is what energy is reckoned from, in g per 100 g.
type Composition struct {
	Carbohydrate float64 // without polyols, and without fibre
	Polyols      float64
	Protein      float64
	Fat          float64
	Salatrims    float64
	Alcohol      float64
	OrganicAcids float64
	Fibre        float64
	Erythritol   float64
}

// energyFactor is in tenths, kJ and kcal per g.
type energyFactor struct{ kJ, kcal float64 }

// In the order of Composition's fields.
var energyFactors = [...]energyFactor{{17, 4}, {10, 2.4}, {17, 4}, {37, 9}, {25, 6}, {29, 7}, {13, 3}, {8, 2}, {0, 0}}

// EUEnergy gives the energy of 100 g in kJ and kcal, each from its own factors:
// neither is converted from the other. Valid for parts of 0 to 100 g that add
// up to at most 100 g. Source: Regulation (EU) 1169/2011 Annex XIV (read).
func EUEnergy(c Composition) (kJ, kcal float64, from Cite, err error) {
	from = Cite{EUNutrition, "Annex XIV", Read}
	var sum float64
	for i, part := range [...]float64{c.Carbohydrate, c.Polyols, c.Protein, c.Fat, c.Salatrims, c.Alcohol, c.OrganicAcids, c.Fibre, c.Erythritol} {
		if !(part >= 0 && part <= 100) {
			return 0, 0, from, fmt.Errorf("a part of %g g, want 0 g to 100 g: %w", part, ErrOutOfRange)
		}
		sum += part
		kJ += part * energyFactors[i].kJ
		kcal += part * energyFactors[i].kcal
	}
	if sum > 100+1e-9 { // a sum of typed decimals may miss 100 by a few ulp
		return 0, 0, from, fmt.Errorf("the parts add up to %g g of 100 g: %w", sum, ErrOutOfRange)
	}
	return kJ, kcal, from, nil
}

// SaltOf gives the salt of so much sodium, in the same unit: × 2.5. Source:
// Regulation (EU) 1169/2011 Annex I (read).
func SaltOf(sodium float64) float64 { return sodium * 2.5 }

// Nutrient is a line of a nutrition declaration.
type Nutrient uint8

const (
	Energy        Nutrient = iota // eu, kJ or kcal
	Macro                         // eu, g: fat, carbohydrate, sugars, protein, fibre, polyols, starch
	Saturates                     // eu, g: and mono- and polyunsaturates
	Salt                          // eu, g
	Calories                      // us, kcal
	Carbohydrate                  // us, g
	TotalSugars                   // us, g
	Sodium                        // us, mg
	TotalFat                      // us, g
	Protein                       // us, g
	nutrientCount                 // keep last
)

// Form is how a declared figure is worded.
type Form uint8

const (
	Exactly     Form = iota // the figure
	ZeroOrUnder             // "0", or "less than" the figure
	Under                   // "less than" the figure
	UnderOr                 // "less than" the figure, or the figure
)

// A Declared is a figure as a label may print it: Mantissa / 10^Decimals.
type Declared struct {
	Mantissa int64
	Decimals uint8
	Form     Form
	Cite     Cite
}

// Float is the figure as a number.
func (d Declared) Float() float64 { return float64(d.Mantissa) / math.Pow10(int(d.Decimals)) }

// roundRule: values up to upTo (below it, if strict) take the form, or are
// rounded to a multiple of step. All in millionths of the nutrient's unit.
type roundRule struct {
	upTo   int64
	strict bool // upTo itself belongs to the next rule
	step   int64
	dec    uint8
	form   Form
	figure int64 // of the form; with dec decimals
}

const (
	open = math.MaxInt64
	one  = 1_000_000 // of the unit
)

var roundRules = [nutrientCount][]roundRule{
	Energy:       {{open, false, one, 0, Exactly, 0}},
	Macro:        {{one / 2, false, 0, 1, ZeroOrUnder, 5}, {10 * one, true, one / 10, 1, Exactly, 0}, {open, false, one, 0, Exactly, 0}},
	Saturates:    {{one / 10, false, 0, 1, ZeroOrUnder, 1}, {10 * one, true, one / 10, 1, Exactly, 0}, {open, false, one, 0, Exactly, 0}},
	Salt:         {{12_500, false, 0, 2, ZeroOrUnder, 1}, {one, true, one / 100, 2, Exactly, 0}, {open, false, one / 10, 1, Exactly, 0}},
	Calories:     {{5 * one, true, 0, 0, Exactly, 0}, {50 * one, false, 5 * one, 0, Exactly, 0}, {open, false, 10 * one, 0, Exactly, 0}},
	Carbohydrate: {{one / 2, true, 0, 0, Exactly, 0}, {one, true, 0, 0, Under, 1}, {open, false, one, 0, Exactly, 0}},
	TotalSugars:  {{one / 2, true, 0, 0, Exactly, 0}, {one, true, 0, 0, Under, 1}, {open, false, one, 0, Exactly, 0}},
	Sodium:       {{5 * one, true, 0, 0, Exactly, 0}, {140 * one, false, 5 * one, 0, Exactly, 0}, {open, false, 10 * one, 0, Exactly, 0}},
	TotalFat:     {{one / 2, true, 0, 0, Exactly, 0}, {5 * one, true, one / 2, 1, Exactly, 0}, {open, false, one, 0, Exactly, 0}},
	Protein:      {{one / 2, true, 0, 0, Exactly, 0}, {one, true, 0, 0, UnderOr, 1}, {open, false, one, 0, Exactly, 0}},
}

// Declare rounds a value as a label may print it, exact ties up. Energy to
// salt are the Union's (Commission guidance of Dec 2012, per 100 g, read in a
// published summary), the rest the United States' (21 CFR 101.9(c), per
// serving, read in published summaries). A figure that rounds up to the next
// band takes that band's decimals: 9.96 g is 10 g. Values are taken to the
// millionth of the unit; valid from 0 to a million.
func Declare(n Nutrient, value float64) (Declared, error) {
	if n >= nutrientCount {
		return Declared{}, fmt.Errorf("nutrient %d: %w", n, ErrNoRule)
	}
	if !(value >= 0 && value <= one) {
		return Declared{}, fmt.Errorf("value %g, want 0 to %d: %w", value, one, ErrOutOfRange)
	}
	c := Cite{EURounding, "rounding table, per 100 g", Read}
	if n >= Calories {
		c = Cite{USNutrition, "101.9(c)", Read}
	}
	v := int64(math.Round(value * one))
	r := ruleFor(n, v)
	if r.step == 0 {
		return Declared{r.figure, r.dec, r.form, c}, nil
	}
	v = (2*v + r.step) / (2 * r.step) * r.step
	r = ruleFor(n, v) // the rounded figure may stand in the next band
	return Declared{v / unitOf(r.dec), r.dec, Exactly, c}, nil
}

func ruleFor(n Nutrient, v int64) *roundRule {
	rules := roundRules[n]
	for i := range rules {
		if r := &rules[i]; v < r.upTo || v == r.upTo && !r.strict {
			return r
		}
	}
	return &rules[len(rules)-1]
}

func unitOf(decimals uint8) int64 {
	u := int64(one)
	for ; decimals > 0; decimals-- {
		u /= 10
	}
	return u
}
