// Package standard holds the published rules that a packer is judged by: honey
// limits, net contents, scales, labels, origin statements. Every rule set is
// dated and sourced, and every value comes back with a [Cite], so that a page
// can show which rule answered and whether its figure was read in the
// publication or is from memory. It is not legal advice: each set names whom
// to ask.
//
// Masses are whole milligrams (micrograms for scales and test weights), so that
// a jar exactly at a bound falls on the side where the rule puts it.
package standard

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/quantity"
)

var (
	// ErrOutOfRange is wrapped by every error about a figure outside a table.
	ErrOutOfRange = errors.New("outside the rule's range")
	// ErrNoRule is wrapped when a rule set has nothing to say on a matter.
	ErrNoRule = errors.New("no such rule here")
)

// Rules is the family of rules that a person works under.
type Rules uint8

const (
	NoRules    Rules = iota
	EU               // European Union
	UK               // United Kingdom
	DE               // Germany, where it is stricter than the Union
	US               // United States
	OIML             // the international recommendations
	Codex            // Codex Alimentarius
	rulesCount       // keep last
)

var rulesNames = [rulesCount]string{"none", "eu", "uk", "de", "us", "oiml", "codex"}

// String is the word that [ParseRules] reads.
func (r Rules) String() string {
	if r >= rulesCount {
		return rulesNames[NoRules]
	}
	return rulesNames[r]
}

// ParseRules reads eu, uk, de, us, oiml or codex.
func ParseRules(s string) (Rules, error) {
	for r := EU; r < rulesCount; r++ {
		if rulesNames[r] == s {
			return r, nil
		}
	}
	return NoRules, fmt.Errorf("rules %q, want eu, uk, de, us, oiml or codex: %w", s, ErrNoRule)
}

func noRule(r Rules, matter, instead string) error {
	return fmt.Errorf("%s: the %s rules have none here; %s: %w", matter, r, instead, ErrNoRule)
}

// maxMassG bounds every mass taken as a float: a tonne is no jar.
const maxMassG = 1e6

// LabelMass takes a labelled mass in grams to whole milligrams, halves up. A
// label is a figure of a few digits, so nothing is lost but the tail of a mass
// converted from pounds; tables in pounds allow for that.
func LabelMass(g float64) (quantity.Milligram, error) {
	if !(g >= 0.001 && g <= maxMassG) { // so written, NaN is refused too
		return 0, fmt.Errorf("label %g g, want 0.001 g to %g g: %w", g, maxMassG, ErrOutOfRange)
	}
	return quantity.Milligram(math.Floor(g*1000 + 0.5)), nil
}

func grams(m quantity.Milligram) float64 { return float64(m) / 1000 }
