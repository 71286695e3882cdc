package reckon

import (
	"math"
	"testing"
)

// The questions of a honey house that reckon answers, by their numbers in the
// trade's list, with answers worked by hand.

func near(t *testing.T, q *Query, name string, want, tol float64) {
	t.Helper()
	if v := q.answered(name); !v.given || !(math.Abs(v.number-want) <= tol) {
		t.Errorf("%s %v, want %v ± %v", name, v.number, want, tol)
	}
}

func is(t *testing.T, q *Query, name, want string) {
	t.Helper()
	if v := q.answered(name); v.word != want {
		t.Errorf("%s %q, want %q", name, v.word, want)
	}
}

func must(t *testing.T, line string) *Query {
	t.Helper()
	q, err := ask(t, line)
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	return q
}

// 6. "I read 18.2 at 27 °C, what is it really?" 0.09 points a degree (common
// practice; 0.00023 of the index a degree, Bogdanov 2011). Tolerance: the answers are
// given to a tenth.
func TestQuestion6(t *testing.T) {
	near(t, must(t, "reading --shown-pct 18.2 --temp-c 27 --corrects no"), "water_pct", 17.6, 0.05)
	near(t, must(t, "reading --shown-pct 18.2 --temp-c 14 --corrects no"), "water_pct", 18.7, 0.05)
	near(t, must(t, "reading --shown-pct 18.2 --temp-c 27 --corrects yes"), "water_pct", 18.2, 0)
	near(t, must(t, "reading --shown-pct 18.2 --corrects yes"), "water_pct", 18.2, 0)

	sure, unsure := must(t, "reading --shown-pct 18.2 --temp-c 27 --corrects no"), must(t, "reading --shown-pct 18.2 --temp-c 27")
	near(t, unsure, "water_pct", 17.9, 0.05) // the middle of 17.6 and 18.2
	if width(unsure) <= width(sure) || len(unsure.notes) == 0 {
		t.Errorf("not known whether it corrects itself: band %v and notes %q, want a wider band than %v and a note", width(unsure), unsure.notes, width(sure))
	}
	if _, err := ask(t, "reading --shown-pct 18.2 --corrects no"); err == nil {
		t.Error("an uncorrected reading without its temperature was answered")
	}
}

func width(q *Query) float64 { return q.answered("water_high").number - q.answered("water_low").number }

// 17. "Can I take this drum to 18.0 % by mixing with that one?" Mass balance:
// 814 × 1.4/1.0 and 814 × 1.6/0.8 kg. Tolerance: whole kilograms are given.
func TestQuestion17(t *testing.T) {
	q := must(t, "mix --wet-kg 814 --wet-pct 19.4 --dry-pct 17 --target-pct 18 --wet-yeast-per-g 3200 --dry-yeast-per-g 0")
	near(t, q, "dry_kg", 1140, 0.5)
	near(t, q, "mix_doubt_pct", 0.14, 0.005) // both readings ± 0.2
	near(t, q, "yeast_per_g", 1333, 0.5)     // 3200 × 814/1954
	is(t, q, "safe", "no")                   // over the 1000 that 18 % takes (Lochhead 1933)
	if high := q.answered("dry_high_kg").number; high <= 1140 {
		t.Errorf("dry_high_kg %v, want more than dry_kg: aimed at 18.0 it fails one time in two", high)
	}
	near(t, must(t, "mix --wet-kg 814 --wet-pct 19.4 --dry-pct 17 --target-pct 17.8"), "dry_kg", 1628, 0.5)

	// 1791 kg of dry honey without yeast takes 814 kg to 3200 × 814/2605 = 1000 a gram.
	// Tolerance: the kilograms are whole, 0.4 a gram each.
	near(t, must(t, "two-part --a-kg 814 --b-kg 1791 --a-yeast-per-g 3200 --b-yeast-per-g 0"), "yeast_per_g", 1000, 0.4)
	// At 12 % crystals the liquid of the 17.78 mix is 19.0 %.
	near(t, must(t, "set-ferment --water-pct 17.78 --crystals-pct 12"), "liquid_water_pct", 19.0, 0.05)

	uncounted := must(t, "mix --wet-kg 814 --wet-pct 19.4 --dry-pct 17 --target-pct 18")
	is(t, uncounted, "safe", "")
	for _, line := range []string{
		"mix --wet-kg 814 --wet-pct 17.9 --dry-pct 17 --target-pct 18",   // dry enough already
		"mix --wet-kg 814 --wet-pct 19.4 --dry-pct 18.1 --target-pct 18", // never gets there
		"mix --wet-kg 0 --wet-pct 19.4 --dry-pct 17 --target-pct 18",     // nothing to mix
	} {
		if _, err := ask(t, line); err == nil {
			t.Errorf("%s was answered", line)
		}
	}
}

// 19. "Can I call it 60 percent ours?" 2030 and 1450 kg: 58.3 and 41.7 %; each within
// 5 % of its share, the smaller with 0.33 points to spare. 50/50 fails.
func TestQuestion19(t *testing.T) {
	q := must(t, "origin-share --declared-pct 40 --part-kg 1450 --total-kg 3480")
	is(t, q, "pass", "yes")
	near(t, q, "actual_pct", 41.67, 0.005)
	near(t, q, "relative_spare", 0.33, 0.005)
	is(t, must(t, "origin-share --declared-pct 60 --part-kg 2030 --total-kg 3480"), "pass", "yes")
	is(t, must(t, "origin-share --declared-pct 60 --part-kg 1740 --total-kg 3480"), "pass", "no")
}

// 24. "Will this set in the jar before Christmas?" Glucose over water: over 2.1 soon,
// under 1.7 not (White 1962; Manikis and Thrasyvoulou 2001).
func TestQuestion24(t *testing.T) {
	is(t, must(t, "granulation --glucose-pct 36.2 --water-pct 17"), "setting", "fast")
	is(t, must(t, "granulation --glucose-pct 27 --water-pct 17"), "setting", "slow or none")
	is(t, must(t, "granulation --glucose-pct 32 --water-pct 17"), "setting", "medium")
	// The house's own lots, by Kaplan and Meier's product worked by hand: liquid 4/5 on
	// day 40, 3/5 on day 55, 2/5 on day 62, the first at or under a half.
	q := must(t, `setting-history --set-days "40 55 62 80" --liquid-days "30 120"`)
	near(t, q, "half_days", 62, 0)
	is(t, q, "setting", "medium to fast")
	is(t, q, "at_least", "no")
	is(t, must(t, `setting-history --set-days "20" --liquid-days "200, 400"`), "at_least", "yes")
	for _, line := range []string{`setting-history --set-days "40 -5"`, `setting-history --set-days "40 x"`, `setting-history --set-days "40" --fast-days 100`,
		`setting-history --set-days ","`} {
		if _, err := ask(t, line); err == nil {
			t.Errorf("%s was answered", line)
		}
	}
	// Criteria that contradict each other are shown, not settled.
	is(t, must(t, "granulation --glucose-pct 33 --fructose-pct 38.2 --water-pct 17.2"), "agree", "no")
}

// 26. "What do I set the filler to?" 340 g, s 1.7 g, 20 jars: 340.8 by the average
// rule, 345.1 where no jar may be short; with s 3 g 341.3.
func TestQuestion26(t *testing.T) {
	near(t, must(t, "target --label-g 340 --sd-g 1.7 --rules eu --checked 20"), "target_g", 340.8, 0.05)
	near(t, must(t, "target --label-g 340 --sd-g 3 --rules eu --checked 20"), "target_g", 341.3, 0.05)
	near(t, must(t, "minimum-target --label-g 340 --sd-g 1.7"), "target_g", 345.1, 1e-9)
}

// 50. "What is in the cold corner that is about to ferment?" Under 11 °C nothing;
// from 11 to 27 °C (common practice, no source) what the table of water and yeast
// says; warmer it is no safer.
func TestQuestion50(t *testing.T) {
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 15 --yeast-per-g 30"), "safe", "no")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 15 --yeast-per-g 30"), "band", "ferments")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 10.9 --yeast-per-g 30"), "safe", "yes")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 11 --yeast-per-g 30"), "safe", "no")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 27.1 --yeast-per-g 30"), "band", "warm")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 27.1 --yeast-per-g 30"), "safe", "no")
	is(t, must(t, "store-ferment --water-pct 18.4 --temp-c 15"), "safe", "") // not counted: no pass
	is(t, must(t, "store-ferment --water-pct 17 --temp-c 15"), "safe", "yes")
}
