package standard

import (
	"errors"
	"math/big"
	"strconv"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

// shareUp works a percentage out in exact fractions, rounded up to a step: the
// table's rule again by another way.
func shareUp(t testing.TB, label quantity.Milligram, pct string, step quantity.Milligram) quantity.Milligram {
	p, ok := new(big.Rat).SetString(pct)
	if !ok {
		t.Fatalf("%q is no percentage", pct)
	}
	x := p.Mul(p, big.NewRat(int64(label), 100*int64(step)))
	q, rest := new(big.Int).QuoRem(x.Num(), x.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return quantity.Milligram(q.Int64()) * step
}

// checkBand checks a band at both its ends, beside them, and inside.
func checkBand(t *testing.T, rules Rules, r row, over, to quantity.Milligram, value, rounding string) {
	t.Helper()
	for _, label := range []quantity.Milligram{over + 1, over + 1000, (over + to) / 2, to - 1, to} {
		want := quantity.Milligram(0)
		switch {
		case r["kind"] == "abs":
			want = milligrams(t, value)
		case rounding == "up to next 0.1 g":
			want = shareUp(t, label, value, 100)
		case rounding == "up to next whole g":
			want = shareUp(t, label, value, 1000)
		default:
			t.Fatalf("rounding %q", rounding)
		}
		got, err := ToleranceOf(rules, label)
		if err != nil || got.T != want || got.T1 != label-want {
			t.Errorf("%v: label %g g: T %g g, %v; want %g g (%s)", rules, grams(label), grams(got.T), err, grams(want), r["source"])
		}
		r.got(t, got.Cite)
	}
}

func TestToleranceTableEU(t *testing.T) {
	eachRow(t, "tne_eu_76_211", func(t *testing.T, r row) {
		for _, rules := range []Rules{EU, UK, DE} {
			checkBand(t, rules, r, r.mass(t, "over_g"), r.mass(t, "to_g"), r["value"], r["rounding"])
		}
		if over := r.mass(t, "over_g"); r["over_side"] == "incl" {
			if _, err := ToleranceOf(EU, over); err != nil {
				t.Errorf("label %g g: %v, want it in the table (%s)", grams(over), err, r["source"])
			}
		}
	})
}

func TestToleranceTableR87(t *testing.T) {
	eachRow(t, "oiml_r87_tolerable_deficiency", func(t *testing.T, r row) {
		checkBand(t, OIML, r, r.mass(t, "over_g"), r.mass(t, "to_g"), r["value"], r["rounding"])
	})
}

func TestToleranceExamples(t *testing.T) {
	eachRow(t, "examples_tne", func(t *testing.T, r row) {
		for _, rules := range []Rules{EU, UK} {
			got, err := ToleranceOf(rules, r.mass(t, "nominal_g"))
			if err != nil || got.T != r.mass(t, "tne_g") || got.T1 != r.mass(t, "T1_limit_g") || got.T2 != r.mass(t, "T2_limit_g") || 2*got.T != r.mass(t, "two_tne_g") {
				t.Errorf("%v: %+v, %v; want %v (%s)", rules, got, err, r, r["source"])
			}
			r.got(t, got.Cite)
		}
	})
}

func TestSecondBoundExamples(t *testing.T) {
	eachRow(t, "examples_t2_eu_vs_de", func(t *testing.T, r row) {
		label := r.mass(t, "nominal_g")
		eu, err1 := ToleranceOf(EU, label)
		de, err2 := ToleranceOf(DE, label)
		if err1 != nil || err2 != nil || eu.T != r.mass(t, "tne_g") || de.T != eu.T ||
			label-eu.T2 != r.mass(t, "eu_two_tne_g") || label-de.T2 != r.mass(t, "de_t2_g") || (eu.T2 != de.T2) != (r["differ"] == "yes") {
			t.Errorf("eu %+v, de %+v; want %v (%s)", eu, de, r, r["source"])
		}
		r.got(t, de.T2At)
	})
}

func TestR87Examples(t *testing.T) {
	eachRow(t, "examples_r87", func(t *testing.T, r row) {
		label := r.mass(t, "nominal_g")
		oiml, err := ToleranceOf(OIML, label)
		if err != nil || oiml.T != r.mass(t, "T_r87_g") {
			t.Errorf("oiml: T %g g, %v; want %s g (%s)", grams(oiml.T), err, r["T_r87_g"], r["source"])
		}
		r.got(t, oiml.Cite)
		eu, err := ToleranceOf(EU, label)
		if r["tne_eu_g"] == "out of scope" {
			if !errors.Is(err, ErrOutOfRange) {
				t.Errorf("eu: T %g g, %v; want out of scope (%s)", grams(eu.T), err, r["source"])
			}
		} else if err != nil || eu.T != r.mass(t, "tne_eu_g") {
			t.Errorf("eu: T %g g, %v; want %s g (%s)", grams(eu.T), err, r["tne_eu_g"], r["source"])
		}
	})
}

// The end of a band in pounds belongs to it, and the next milligram to the next
// one; the printed grams are the pounds truncated to the digits printed.
func TestAllowableVariationTable(t *testing.T) {
	eachRow(t, "us_hb133_mav_weight", func(t *testing.T, r row) {
		over := poundsOf(t, r["over_lb"])
		labels := []quantity.Milligram{over + 1, over + 1000}
		if r["to_lb"] != "" {
			to := poundsOf(t, r["to_lb"])
			labels = append(labels, (over+to)/2, to-1, to)
		}
		for _, label := range labels {
			var want quantity.Milligram
			switch r["mav_lb"] {
			case "10 % of label":
				want = label / 10
			case "2 % of label":
				want = label / 50
			default:
				want = r.mass(t, "mav_g")
			}
			got, err := ToleranceOf(US, label)
			if err != nil || got.T != want || got.T1 != label-want || got.HasT2 {
				t.Errorf("label %g g: %+v, %v; want %g g (%s)", grams(label), got, err, grams(want), r["source"])
			}
			r.got(t, got.Cite)
		}
		if r["mav_g"] != "" {
			checkTruncated(t, r)
		}
	})
}

func poundsOf(t *testing.T, s string) quantity.Milligram {
	lb, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return quantity.Milligram(lb*453592.37 + 0.5) // 1 lb = 0.45359237 kg exactly
}

func checkTruncated(t *testing.T, r row) {
	x, _ := new(big.Rat).SetString(r["mav_lb"])
	step := int64(100) // a tenth of a gram, whole grams from 0.11 lb on
	if r.num(t, "mav_lb") >= 0.11 {
		step = 1000
	}
	x.Mul(x, big.NewRat(45_359_237, 100*step))
	want := quantity.Milligram(new(big.Int).Quo(x.Num(), x.Denom()).Int64() * step)
	if r.mass(t, "mav_g") != want {
		t.Errorf("%s lb is printed as %s g, truncated it is %g g (%s)", r["mav_lb"], r["mav_g"], grams(want), r["source"])
	}
}

// Exactly at T1 is not defective and exactly at T2 is not barred, in every rule
// set and band. Source: Directive 76/211/EEC Annex I 1 and 2; NIST Handbook 133
// ch. 2.3 (over the variation, not at it).
func TestBoundsOfOneJar(t *testing.T) {
	for _, rules := range []Rules{EU, UK, DE, OIML, US} {
		for _, label := range []quantity.Milligram{5 * g, 28 * g, 50 * g, 99 * g, 100 * g, 125 * g, 200 * g, 250 * g, 300 * g, 340 * g, 500 * g, 720 * g, kg, 1001 * g, 10 * kg} {
			a, err := ToleranceOf(rules, label)
			if err != nil {
				t.Fatal(err)
			}
			if a.Of(label) != Sound || a.Of(a.T1) != Sound || a.Of(a.T1-1) != Defective {
				t.Errorf("%v %g g at T1: %v, below: %v", rules, grams(label), a.Of(a.T1), a.Of(a.T1-1))
			}
			if a.HasT2 && (a.Of(a.T2) != Defective || a.Of(a.T2-1) != Barred) {
				t.Errorf("%v %g g at T2: %v, below: %v", rules, grams(label), a.Of(a.T2), a.Of(a.T2-1))
			}
			if !a.HasT2 && a.Of(0) != Defective {
				t.Errorf("%v has no second bound, an empty jar is %v", rules, a.Of(0))
			}
		}
	}
}

func TestToleranceRefuses(t *testing.T) {
	for _, c := range []struct {
		rules Rules
		label quantity.Milligram
		want  string
	}{
		{EU, 4999, "label 4.999 g, the eu table runs from 5 g to 10000 g: outside the rule's range"},
		{UK, 10*kg + 1, "label 10000.001 g, the uk table runs from 5 g to 10000 g: outside the rule's range"},
		{DE, 0, "label 0 g, the de table runs from 5 g to 10000 g: outside the rule's range"},
		{OIML, 50*kg + 1, "label 50000.001 g, the oiml table runs from 0.001 g to 50000 g: outside the rule's range"},
		{OIML, 0, "label 0 g, the oiml table runs from 0.001 g to 50000 g: outside the rule's range"},
		{US, -1, "label -0.001 g, the us table runs from above 0 g to 1e+06 g: outside the rule's range"},
		{Codex, kg, "tolerable shortage: the codex rules have none here; choose eu, uk, de, us or oiml: no such rule here"},
	} {
		if _, err := ToleranceOf(c.rules, c.label); err == nil || err.Error() != c.want {
			t.Errorf("%v %d mg: %v, want %s", c.rules, c.label, err, c.want)
		}
	}
}

func TestLabelMass(t *testing.T) {
	for _, c := range []struct {
		g    float64
		want quantity.Milligram
	}{{340, 340_000}, {0.001, 1}, {28.349523125, 28_350}, {1e6, massLimit}} {
		if got, err := LabelMass(c.g); err != nil || got != c.want {
			t.Errorf("LabelMass(%g) = %d, %v; want %d", c.g, got, err, c.want)
		}
	}
	for _, bad := range badFloats(0.0009, 1e6+1) {
		if _, err := LabelMass(bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("LabelMass(%g): %v, want it refused", bad, err)
		}
	}
}

// Laws: T never falls as the label grows (all tables here but the US one's
// start, where 10 % of 0.08 lb is met by the next step's truncated figure), T1
// and T2 never fall either, and T2 ≤ T1 ≤ label. Source: the tables themselves.
func TestToleranceGrowsWithLabel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rules := rapid.SampledFrom([]Rules{EU, UK, DE, OIML}).Draw(t, "rules")
		a, b := rapid.Int64Range(5000, 10_000_000).Draw(t, "a"), rapid.Int64Range(5000, 10_000_000).Draw(t, "b")
		x, err1 := ToleranceOf(rules, quantity.Milligram(min(a, b)))
		y, err2 := ToleranceOf(rules, quantity.Milligram(max(a, b)))
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if x.T > y.T || x.T2 > x.T1 || x.T1 > x.Label {
			t.Fatalf("%v: %+v then %+v", rules, x, y)
		}
		// German T2 is rounded once, so it lies at or up to 0.1 g above the Union's.
		if eu, err := ToleranceOf(EU, x.Label); err != nil || rules == DE && (x.T2 < eu.T2 || x.T2 > eu.T2+100) {
			t.Fatalf("de T2 %d, eu T2 %d, %v", x.T2, eu.T2, err)
		}
	})
}
