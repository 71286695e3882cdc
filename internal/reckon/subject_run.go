package reckon

import (
	"fmt"
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/standard"
)

func runVerdict(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	net, err := q.weights("weights")
	if err != nil {
		return err
	}
	if err := q.fineEnough(label); err != nil {
		return err
	}
	t, err := standard.ToleranceOf(q.rules(), label)
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	r, err := fill.JudgeRun(q.rules(), label, net, q.count("hour_jars"))
	if err != nil {
		return err
	}
	q.tell("pass", r.Whole.Pass())
	q.put("mean_g", r.Whole.MeanG)
	q.put("short_pct", 100*r.Whole.Share)
	if t.HasT2 {
		q.put("barred", float64(r.Whole.Count.Barred))
	}
	q.put("pulled", float64(r.Pulled.Jars))
	if r.Pulled.Jars < r.Whole.Count.Jars {
		q.tell("pulled_pass", r.WholeAfter.Pass())
	}
	if r.KeptBack >= 0 {
		q.put("keep_back", float64(r.KeptBack))
		if r.KeptBack > 0 {
			q.put("keep_back_under_g", inGrams(r.KeptUnder))
		}
	} else {
		q.note("no jar of some hour is at the label: none can be kept")
	}
	if !q.has("hour_jars") {
		q.without("hour_jars", "no hours were judged")
		return nil
	}
	q.tell("worst_pass", r.Worst.Verdict.Pass())
	q.put("worst_first", float64(r.Worst.First+1))
	q.put("worst_last", float64(r.Worst.Last+1))
	q.put("worst_mean_g", r.Worst.Verdict.MeanG)
	q.put("worst_short_pct", 100*r.Worst.Verdict.Share)
	if r.WorstAfter.Verdict.Count.Jars > 0 {
		q.tell("pulled_worst_pass", r.WorstAfter.Verdict.Pass())
		q.put("pulled_worst_mean_g", r.WorstAfter.Verdict.MeanG)
	}
	return nil
}

// fineEnough refuses a verdict to a scale that is too coarse, and says which would do.
func (q *Query) fineEnough(label quantity.Milligram) error {
	if !q.has("division_g") {
		q.without("division_g", "the scale was not judged")
		return nil
	}
	d, err := q.micrograms("division_g")
	if err != nil {
		return err
	}
	w, err := fill.CheckDivision(q.rules(), label, d)
	if err != nil {
		return err
	}
	q.cite(w.Cite)
	if w.Enough {
		return nil
	}
	return fmt.Errorf("no verdict: a division of %g g is too coarse for jars of %g g, want at most %g g; a scale of %g g would do",
		d.Grams(), inGrams(label), w.Most.Grams(), w.WouldDo.Grams())
}

func giveaway(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	cents := 100 * q.num("price_kg")
	if !(cents >= 0 && cents <= 1e12) {
		return outOf("price_kg", q.num("price_kg"), "0 or more")
	}
	g, err := fill.Above(label, q.num("mean_g"), int64(q.num("jars")), quantity.MoneyCents(math.Round(cents)))
	if err != nil {
		return err
	}
	q.put("over_g", g.PerJarG)
	q.put("over_kg", g.Kg)
	if q.has("price_kg") {
		q.put("money", float64(g.Money)/100)
	} else {
		q.without("price_kg", "no money")
	}
	return nil
}

// mostChecks bounds a run's checks where each is a slot.
const mostChecks = 10_000

func atRisk(q *Query) error {
	now, good := q.count("check"), q.count("last_good_check")
	if now < 1 || now > mostChecks {
		return fmt.Errorf("check %d, want 1 to %d", now, mostChecks)
	}
	if jars := q.count("slot_jars"); jars < 1 {
		return fmt.Errorf("slot_jars %d, want 1 or more", jars)
	}
	slots := make([]fill.Slot, now)
	for i := range slots {
		slots[i].Jars = int64(q.count("slot_jars"))
	}
	a, err := fill.Risk(slots, 1, int(q.numOr("nozzles", 1)), good, now, q.yes("nozzle_shown"))
	if err != nil {
		return err
	}
	q.put("hold", float64(a.Held))
	q.put("nozzle_jars", float64(a.Own))
	q.put("all_jars", float64(a.All))
	first, last := a.Range(slots)
	q.put("first_jar", float64(first))
	q.put("last_jar", float64(last))
	if !q.has("case_jars") {
		q.without("case_jars", "no cases")
		return nil
	}
	from, to, n, err := fill.Holding(first, last, int64(q.count("case_jars")))
	if err != nil {
		return err
	}
	q.put("first_case", float64(from))
	q.put("last_case", float64(to))
	q.put("cases", float64(n))
	if !q.has("pallet_cases") {
		q.without("pallet_cases", "no pallets")
		return nil
	}
	_, _, pallets, err := fill.Holding(from, to, int64(q.count("pallet_cases")))
	q.put("pallets", float64(pallets))
	return err
}

func division(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	d, err := q.micrograms("division_g")
	if err != nil {
		return err
	}
	w, err := fill.CheckDivision(q.rules(), label, d)
	if err != nil {
		return err
	}
	q.cite(w.Cite)
	q.tell("enough", w.Enough)
	q.put("most_g", w.Most.Grams())
	q.put("would_do_g", w.WouldDo.Grams())
	q.put("together", float64(w.Together))
	return nil
}
