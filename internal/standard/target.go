package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// Governor is the rule that sets a target.
type Governor uint8

const (
	ByAverage Governor = iota
	ByT1
	ByT2
	ByMinimum
)

var governorNames = [...]string{"average", "T1", "T2", "minimum"}

func (g Governor) String() string {
	if int(g) >= len(governorNames) {
		return "unknown"
	}
	return governorNames[g]
}

// A Target is the mean to fill to, in grams, with what each rule asks for.
type Target struct {
	Average  float64 // the label
	T1       float64 // so that few fall below T1; only if HasItems
	T2       float64 // so that hardly any falls below T2; only if HasItems
	HasItems bool    // false in the United States and the minimum system
	Guard    float64 // for not knowing the mean
	Target   float64
	Governor Governor
	BelowT1  float64 // expected share below T1 (US: beyond the allowable variation; minimum: below the label)
	BelowT2  float64 // expected share below T2, where there is one
	Cite     Cite
	GuardAt  Cite
}

// Normal quantiles of the rules: 2.5 % below T1 (Germany 2 %), 1 in 10,000
// below T2, as target_and_control_rules R2, R3 and R8 print them.
const (
	z25in1000  = 1.96
	z20in1000  = 2.0537
	z1in10000  = 3.72
	guardSDs   = 2.0
	minimumSDs = 3.0
)

// CrossoverSD is the spread over which the T2 rule sets the target (eu, uk,
// oiml): s = T/(3.72 − 1.96) = T/1.76, in grams. Source: as [TargetFor].
func CrossoverSD(t Tolerance) float64 { return grams(t.T) / (z1in10000 - z25in1000) }

// TargetFor gives the mean to fill to in the average system,
//
//	target = max(label, T1 + 1.96·s, T2 + 3.72·s) + 2·s/√checked
//
// with s the spread of single jars over the whole production period in grams,
// the period's moving mean included, not the spread within a sample. The last
// term guards against not knowing the mean, which is judged from so many jars
// checked; 0 leaves it out. Germany: 2.0537 for its 2 %, and its own T2. United
// States: the mean only; the handbook prints no share for single jars, so see
// BelowT1. Other allowances (tare, storage, density) are the caller's to add.
// Exact under the normal law to the digits of the factors printed. Sources:
// Directive 76/211/EEC Annex I (average), UK packers guidance (factors and sum,
// memory); the guard is common practice, no source.
func TargetFor(r Rules, label quantity.Milligram, sdG float64, checked int) (Target, error) {
	t, err := ToleranceOf(r, label)
	if err != nil {
		return Target{}, err
	}
	guard, err := settingGuard(sdG, checked)
	if err != nil {
		return Target{}, err
	}
	a := Target{Average: grams(label), Target: grams(label), HasItems: t.HasT2, Cite: targetCite(r)}
	if a.HasItems {
		z := z25in1000
		if r == DE {
			z = z20in1000
		}
		a.T1, a.T2 = grams(t.T1)+z*sdG, grams(t.T2)+z1in10000*sdG
		a.take(a.T1, ByT1)
		a.take(a.T2, ByT2)
	}
	a.addGuard(guard)
	a.BelowT1 = below(grams(t.T1), a.Target, sdG)
	if t.HasT2 {
		a.BelowT2 = below(grams(t.T2), a.Target, sdG)
	}
	return a, nil
}

func targetCite(r Rules) Cite {
	switch r {
	case DE:
		return Cite{DETarget, "rules R1 to R3, R8", Memory}
	case US:
		return Cite{USContents, "average requirement", Memory}
	}
	return Cite{UKGuidance, "annex on quality control systems", Memory}
}

// MinimumTarget gives the mean to fill to where no jar may be under its label:
// label + 3·s, which leaves 0.13 % of jars short under the normal law, to be
// found and refilled. Common practice, no source.
func MinimumTarget(label quantity.Milligram, sdG float64) (Target, error) {
	if label <= 0 || label > massLimit {
		return Target{}, fmt.Errorf("label %g g, want above 0 g to %g g: %w", grams(label), grams(massLimit), ErrOutOfRange)
	}
	if _, err := settingGuard(sdG, 0); err != nil {
		return Target{}, err
	}
	c := Cite{TradeSetting, "minimum system", Practice}
	a := Target{Average: grams(label), Target: grams(label) + minimumSDs*sdG, Governor: ByMinimum, Cite: c, GuardAt: c}
	a.BelowT1 = below(grams(label), a.Target, sdG)
	return a, nil
}

func settingGuard(sdG float64, checked int) (float64, error) {
	if !(sdG >= 0 && sdG <= maxSpreadG) {
		return 0, fmt.Errorf("spread %g g, want 0 g to %g g; weigh 20 jars for it: %w", sdG, maxSpreadG, ErrOutOfRange)
	}
	if checked < 0 || checked == 1 {
		return 0, fmt.Errorf("%d jars checked, want 2 or more, or 0 for no guard: %w", checked, ErrOutOfRange)
	}
	if checked == 0 {
		return 0, nil
	}
	return guardSDs * sdG / math.Sqrt(float64(checked)), nil
}

func (a *Target) take(mean float64, by Governor) {
	if mean > a.Target {
		a.Target, a.Governor = mean, by
	}
}

func (a *Target) addGuard(guard float64) {
	a.Guard = guard
	a.Target += guard
	a.GuardAt = Cite{TradeSetting, "guard for the mean", Practice}
}

// below is the share of a normal law of mean and sd that lies under a bound.
func below(bound, mean, sd float64) float64 {
	switch {
	case sd > 0:
		return 0.5 * math.Erfc((mean-bound)/(sd*math.Sqrt2))
	case mean < bound:
		return 1
	}
	return 0
}
