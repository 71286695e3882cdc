package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
	"combline/internal/standard"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Goal is what a target is worked out for.
type Goal struct {
	Rules   standard.Rules
	Minimum bool // no jar under its label, instead of the average system
	Label   quantity.Milligram
	SDG     float64 // of single jars over the whole period, moving mean and nozzles included
	Degrees float64 // degrees of freedom behind SDG (jars weighed, less one); 0: SDG is known well
	Checked int     // jars by which a setting is judged; 0: no guard
	Tare    Tare
	Dose    Dose
}

// A Tare is the spread of empty jars where an average empty weight is taken off.
type Tare struct {
	SDG      float64
	Weighed  int  // empty jars behind the average
	InSpread bool // the spread was found with the average taken off, so it is in SDG already
}

// A Target is the mean to set a filler to and what it is made of, in grams.
type Target struct {
	standard.Target // by the rules, for the spread with its doubt; Guard and Target as here

	SDG      float64 // the spread reckoned with: jars, and empty jars if they add
	DoubtG   float64 // of it because the spread is estimated from few jars
	DensityG float64 // because a volume of honey is lighter when it is warmest
	OverG    float64 // above the label
}

// TargetFor gives the mean to fill to,
//
//	target = max(label, T1 + z1·s, T2 + z2·s) + guard + density
//	guard  = z·√(s²/checked + tare²/weighed)
//
// with the rules' own z1 and z2 (minimum system: label + 3·s) and z = 2. Where s is
// an estimate with ν degrees of freedom every z is replaced by Student's t that
// leaves the same share beyond it, so that few jars ask for a higher target: the
// chance that the true mean is not below what the rules ask is then Φ(2) = 97.7 %,
// however few jars the spread is known from, and the expected share below T1 is
// still 2.5 %. A spread of empty jars adds to that of the jars unless it is in it
// already. With all of that left out it is [standard.TargetFor]. Exact under the
// normal law, to the digits of the factors printed. Sources: as
// [standard.TargetFor]; the t for an estimated spread is the law of a further value
// after a sample, a textbook result.
func TargetFor(g Goal) (Target, error) {
	if err := g.valid(); err != nil {
		return Target{}, err
	}
	a := Target{SDG: g.SDG}
	if !g.Tare.InSpread {
		a.SDG = math.Hypot(g.SDG, g.Tare.SDG)
	}
	base, err := g.byRules(a.SDG)
	if err != nil {
		return Target{}, err
	}
	a.Target = base
	plain := base.Target + 2*g.meanOff(a.SDG)
	g.widen(&a)
	a.Guard = g.wide(2) * g.meanOff(a.SDG)
	a.GuardAt = standard.Cite{Set: standard.TradeSetting, Place: "guard for the mean", Got: standard.Practice}
	a.Target.Target += a.Guard
	a.DoubtG = a.Target.Target - plain
	if a.DensityG, err = g.Dose.Drop(a.Target.Target); err != nil {
		return Target{}, err
	}
	a.Target.Target += a.DensityG
	a.OverG = a.Target.Target - Grams(g.Label)
	if err := g.shares(&a); err != nil {
		return Target{}, err
	}
	return a, nil
}

func (g *Goal) byRules(sdG float64) (standard.Target, error) {
	if g.Minimum {
		return standard.MinimumTarget(g.Label, sdG)
	}
	return standard.TargetFor(g.Rules, g.Label, sdG, 0)
}

func (g *Goal) valid() error {
	if g.Degrees != 0 && !(g.Degrees >= 1) {
		return fmt.Errorf("%g degrees of freedom behind the spread, want 1 or more (2 jars), or 0 for a spread known well: %w", g.Degrees, ErrOutOfRange)
	}
	if g.Checked < 0 || g.Checked == 1 || g.Checked > maxJars {
		return fmt.Errorf("%d jars checked, want 2 to %d, or 0 for no guard: %w", g.Checked, maxJars, ErrOutOfRange)
	}
	if err := checkRange("spread", g.SDG, 0, 1e5, " g"); err != nil {
		return err
	}
	if err := checkRange("spread of empty jars", g.Tare.SDG, 0, 1e5, " g"); err != nil {
		return err
	}
	if g.Tare.SDG > 0 && g.Tare.Weighed < 1 {
		return fmt.Errorf("%d empty jars weighed for their average, want 1 or more: %w", g.Tare.Weighed, ErrOutOfRange)
	}
	return nil
}

// meanOff is the standard deviation of the mean that a setting is judged by.
func (g *Goal) meanOff(sdG float64) float64 {
	var v float64
	if g.Checked > 0 {
		v += sdG * sdG / float64(g.Checked)
	}
	if g.Tare.SDG > 0 {
		v += g.Tare.SDG * g.Tare.SDG / float64(g.Tare.Weighed)
	}
	return math.Sqrt(v)
}

// wide is z, or Student's t beyond which the same share lies.
func (g *Goal) wide(z float64) float64 {
	if g.Degrees == 0 || g.Degrees > 1e6 {
		return z
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: g.Degrees}.Quantile(phi(z))
}

// widen takes each rule's mean anew with the wider factors.
func (g *Goal) widen(a *Target) {
	if g.Degrees == 0 || a.SDG == 0 {
		return
	}
	label := Grams(g.Label)
	if g.Minimum {
		a.Target.Target = label + g.wide(3)*a.SDG
		return
	}
	if !a.HasItems {
		return
	}
	t, err := standard.ToleranceOf(g.Rules, g.Label)
	if err != nil {
		return // the rules have answered already
	}
	again := func(bound float64, at *float64) { *at = bound + g.wide((*at-bound)/a.SDG)*a.SDG }
	again(Grams(t.T1), &a.T1)
	again(Grams(t.T2), &a.T2)
	a.Target.Target, a.Governor = label, standard.ByAverage
	if a.T1 > a.Target.Target {
		a.Target.Target, a.Governor = a.T1, standard.ByT1
	}
	if a.T2 > a.Target.Target {
		a.Target.Target, a.Governor = a.T2, standard.ByT2
	}
}

// shares are what is expected below the bounds at the target, in the warmest honey.
func (g *Goal) shares(a *Target) error {
	mean := a.Target.Target - a.DensityG
	below := func(bound float64) float64 {
		switch {
		case a.SDG > 0:
			return phi((bound - mean) / a.SDG)
		case mean < bound:
			return 1
		}
		return 0
	}
	if g.Minimum {
		a.BelowT1 = below(Grams(g.Label))
		return nil
	}
	t, err := standard.ToleranceOf(g.Rules, g.Label)
	if err != nil {
		return err
	}
	a.BelowT1, a.BelowT2 = below(Grams(t.T1)), 0
	if t.HasT2 {
		a.BelowT2 = below(Grams(t.T2))
	}
	return nil
}

// MeanKept is the chance that the true mean is not below least when so many jars
// of a known spread were weighed for the setting and their mean reads meanG:
// Φ((mean − least)/(s/√checked)). Exact under the normal law.
func MeanKept(meanG, leastG, sdG float64, checked int) (float64, error) {
	if err := checkRange("spread", sdG, 0, 1e5, " g"); err != nil {
		return 0, err
	}
	if err := checkRange("mean", meanG, 0, maxMassG, " g"); err != nil {
		return 0, err
	}
	if err := checkRange("least mean", leastG, 0, maxMassG, " g"); err != nil {
		return 0, err
	}
	if checked < 1 || checked > maxJars {
		return 0, fmt.Errorf("%d jars checked, want 1 to %d: %w", checked, maxJars, ErrOutOfRange)
	}
	if sdG == 0 {
		if meanG >= leastG {
			return 1, nil
		}
		return 0, nil
	}
	return phi((meanG - leastG) * math.Sqrt(float64(checked)) / sdG), nil
}
