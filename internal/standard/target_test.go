package standard

import (
	"errors"
	"math"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

func TestTargetExamples(t *testing.T) {
	eachRow(t, "examples_target", func(t *testing.T, r row) {
		label, sd := r.mass(t, "Qn_g"), r.num(t, "s_g")
		a, err := TargetFor(UK, label, sd, 0)
		// 1e-9 g: the printed figures are exact products of the printed inputs.
		const tol = 1e-9
		if err != nil || !near(a.Average, r.num(t, "by_average"), tol) || !near(a.T1, r.num(t, "by_T1_1.96s"), tol) ||
			!near(a.T2, r.num(t, "by_T2_3.72s"), tol) || !near(a.Target, r.num(t, "target_before_allowances"), tol) ||
			!near(a.Target-grams(label), r.num(t, "overfill_g"), tol) || a.Governor.String() != r["governing"] || a.Guard != 0 {
			t.Errorf("%+v, %v; want %v (%s)", a, err, r, r["source"])
		}
		tn, err := ToleranceOf(UK, label)
		if err != nil || tn.T != r.mass(t, "tne_g") {
			t.Errorf("T %g g, %v; want %s g (%s)", grams(tn.T), err, r["tne_g"], r["source"])
		}
		if a.Cite.Got != Memory { // the factors are the guidance's, recalled (R3)
			t.Errorf("marked %v, want memory", a.Cite.Got)
		}
		if (sd > CrossoverSD(tn)) != (a.T2 > a.T1) {
			t.Errorf("s %g g and crossover %g g disagree with %+v", sd, CrossoverSD(tn), a)
		}
		if eu, _ := TargetFor(EU, label, sd, 0); eu != a {
			t.Errorf("eu %+v, uk %+v: one arithmetic for both", eu, a)
		}
	})
}

// Worked answers of the trade, calculated there: common practice, no source.
// They are printed to 0.1 g, so half of that is the tolerance.
func TestSettingWithGuard(t *testing.T) {
	const tol = 0.05
	for _, c := range []struct {
		sd            float64
		average, mini float64
	}{{1.7, 340.8, 345.1}, {3, 341.3, 349}} {
		a, err := TargetFor(EU, 340*g, c.sd, 20)
		m, err2 := MinimumTarget(340*g, c.sd)
		if err != nil || err2 != nil || !near(a.Target, c.average, tol) || !near(m.Target, c.mini, tol) {
			t.Errorf("s %g g: %.3f and %.3f, %v %v; want %g and %g", c.sd, a.Target, m.Target, err, err2, c.average, c.mini)
		}
		if a.GuardAt.Got != Practice || m.Cite.Got != Practice || m.Governor != ByMinimum {
			t.Errorf("guard %v, minimum %v: want both marked practice", a.GuardAt, m.Cite)
		}
	}
	// 7 g spoon: T 0.63 before rounding, so s must be under about 0.3 or the target
	// climbs: with T rounded up to 0.7 that is 0.7/1.96 = 0.36.
	if a, err := TargetFor(EU, 7*g, 0.30, 0); err != nil || a.Target != 7 || a.Governor != ByAverage {
		t.Errorf("spoon, s 0.30: %+v, %v", a, err)
	}
	if a, err := TargetFor(EU, 7*g, 0.40, 0); err != nil || a.Target <= 7 {
		t.Errorf("spoon, s 0.40: %+v, %v", a, err)
	}
}

// Germany: 2 % below T1 (z = 2.0537) and its own T2 (Fertigpackungsverordnung
// par. 9(3), (4), R8): 397 g has T 12.0 and T2 397 − 23.9.
func TestTargetGermany(t *testing.T) {
	a, err := TargetFor(DE, 397*g, 8, 0)
	if err != nil || !near(a.T1, 397-12+2.0537*8, 1e-9) || !near(a.T2, 397-23.9+3.72*8, 1e-9) {
		t.Errorf("%+v, %v", a, err)
	}
}

// United States: the mean only; the share beyond the variation is shown. At
// s 10 g and a variation of 16.3 g it is Φ(−1.63) = 0.0516 (normal table).
func TestTargetUS(t *testing.T) {
	a, err := TargetFor(US, 340*g, 10, 0)
	if err != nil || a.Target != 340 || a.HasItems || a.Governor != ByAverage || !near(a.BelowT1, 0.0516, 0.00005) {
		t.Errorf("%+v, %v", a, err)
	}
}

// At the target the shares below T1 and T2 are at most those of the rules: 2.5 %
// (2 % in Germany) and 1 in 10,000. Half a digit of 2.0537 moves its share by
// 1.2e-4 of itself, hence 2e-4; 1.96 and 3.72 are printed on the safe side.
func TestTargetKeepsItsShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rules := rapid.SampledFrom([]Rules{EU, UK, DE, OIML}).Draw(t, "rules")
		label := quantity.Milligram(rapid.Int64Range(5000, 10_000_000).Draw(t, "label"))
		sd := rapid.Float64Range(0.01, 0.1).Draw(t, "sd/label") * grams(label)
		checked := rapid.SampledFrom([]int{0, 2, 20, 50}).Draw(t, "checked")
		a, err := TargetFor(rules, label, sd, checked)
		if err != nil {
			t.Fatal(err)
		}
		most := 0.025
		if rules == DE {
			most = 0.02
		}
		if a.Target < grams(label) || a.BelowT1 > most*(1+2e-4) || a.BelowT2 > 1e-4 {
			t.Fatalf("%+v", a)
		}
		if a.Governor == ByT1 && checked == 0 && !near(a.BelowT1, most, most*2e-4) {
			t.Fatalf("governed by T1, yet %g below it", a.BelowT1)
		}
	})
}

func TestTargetRefuses(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), -0.1, 2e5} {
		if _, err := TargetFor(EU, 340*g, bad, 0); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("spread %g: %v", bad, err)
		}
		if _, err := MinimumTarget(340*g, bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("spread %g: %v", bad, err)
		}
	}
	for _, n := range []int{-1, 1} {
		if _, err := TargetFor(EU, 340*g, 1, n); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d checked: %v", n, err)
		}
	}
	if _, err := TargetFor(EU, 4*g, 1, 0); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("label 4 g: %v", err)
	}
	if _, err := MinimumTarget(0, 1); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("label 0: %v", err)
	}
}
