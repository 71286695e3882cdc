package reckon

import (
	"fmt"
	"math"

	"combline/internal/assay"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// shelfSubjects are how long honey keeps its limits.
func shelfSubjects() []Subject {
	return []Subject{
		{Name: "shelf-life", Help: "HMF and diastase after some days in a store, with their band, and how long limits are kept",
			Range: "a store of −20 to 50 °C, 0 to 36525 days, HMF and diastase as read",
			Doubt: "the band holds 9 honeys in 10: HMF rates ×/÷ 2 at 50 °C and ×/÷ 3.3 at 20 °C, diastase ×/÷ 1.3 and 1.4, the readings' own doubt and the store's; " +
				"a house's own repeated readings narrow it (combline keeps)",
			Source: "rates after White, Kushnir and Subers 1964; spread at 20 °C from 14 honeys on the shelf, 0.26 to 3 mg/kg a month (a study of 2009); " +
				"256 scenarios by Latin hypercube sampling (McKay, Beckman and Conover, Technometrics 21, 1979)",
			Caution: "advice, not a lab sheet: keep a jar and read it after a year",
			Example: "--hmf-mg-kg 4 --diastase 18 --temp-c 20 --days 730 --rules eu",
			Inputs: []Input{number("hmf_mg_kg", quantity.MgPerKg, "HMF as read, mg/kg").either(), number("diastase", quantity.Schade, "diastase as read, DN").either(),
				tempC(), number("days", quantity.Day, "days in the store"),
				number("hmf_doubt", quantity.MgPerKg, "standard uncertainty of the HMF reading; left out: 0.8 mg/kg and 8 % of it").optional(),
				number("swing_c", quantity.KelvinUnit, "how much warmer high summer is than the mean; left out: 0").optional(),
				number("store_doubt_c", quantity.KelvinUnit, "standard uncertainty of the store's mean; left out: 1.5").optional(),
				number("sure_pct", quantity.Pct, "how sure the longest time shall be; left out: 90").optional(),
				word("rules", "whose limits: eu, de or codex; left out: 40 mg/kg and 8 DN", "eu", "de", "codex").optional()},
			Answers: []Answer{gives("hmf_then_mg_kg", "mg/kg", 3, "HMF then"), gives("hmf_low", "mg/kg", 3, "9 in 10 lie above"), gives("hmf_high", "mg/kg", 3, "and below"),
				gives("hmf_over_pct", "%", 3, "chance over its limit"),
				gives("diastase_then", "DN", 3, "diastase then"), gives("diastase_low", "DN", 3, "9 in 10 lie above"), gives("diastase_high", "DN", 3, "and below"),
				gives("diastase_under_pct", "%", 3, "chance under its limit"),
				gives("longest_days", "d", 4, "the longest time that keeps every limit as surely as asked; 3653: ten years or more")},
			answer: shelfLife},
	}
}

func shelfLife(q *Query) error {
	h := assay.New()
	c := h.Unread("", "")
	limits, err := q.shelfLimits()
	if err != nil {
		return err
	}
	var asked []assay.Limit
	for i, r := range [2]assay.Reading{{Value: q.num("hmf_mg_kg"), SD: q.numOr("hmf_doubt", 0)}, {Value: q.num("diastase")}} {
		if !q.has([2]string{"hmf_mg_kg", "diastase"}[i]) {
			continue
		}
		if c, _, err = h.Read(c, assay.Marker(i), r); err != nil {
			return err
		}
		asked = append(asked, limits[i])
	}
	store := assay.Store{Mean: q.temp(), Swing: q.numOr("swing_c", 0), SD: q.numOr("store_doubt_c", 1.5)}
	days := q.num("days")
	if !(days >= 0 && days <= 36525) {
		return fmt.Errorf("days %g, want 0 to 36525", days)
	}
	sure := q.numOr("sure_pct", 90)
	if !(sure >= 50 && sure <= 99.9) {
		return fmt.Errorf("sure_pct %g, want 50 to 99.9", sure)
	}
	then, err := h.Kept(c, store, 1, quantity.Days(days))
	if err != nil {
		return err
	}
	q.shelfMarker(then, limits[0], "hmf_then_mg_kg", "hmf_low", "hmf_high", "hmf_over_pct")
	q.shelfMarker(then, limits[1], "diastase_then", "diastase_low", "diastase_high", "diastase_under_pct")
	longest, err := h.Longest(c, store, 1, asked, sure/100)
	if err != nil {
		return err
	}
	q.put("longest_days", float64(longest))
	return nil
}

// shelfMarker puts one marker's figures, where it was read.
func (q *Query) shelfMarker(c *assay.Content, l assay.Limit, then, low, high, breach string) {
	if known, _ := c.Known(l.Marker); !known {
		return
	}
	f := c.Forecast(l.Marker)
	b := f.Band()
	q.put(then, b.Likely)
	q.put(low, b.Low)
	q.put(high, b.High)
	q.put(breach, 100*math.Min(1, c.Breach(l)))
}

// shelfLimits are the limits of the rules; of table honey of no kind of its own.
func (q *Query) shelfLimits() ([2]assay.Limit, error) {
	limits := [2]assay.Limit{{Marker: assay.HMF, Value: 40}, {Marker: assay.Diastase, Value: 8, Least: true}}
	if !q.has("rules") {
		return limits, nil
	}
	for i, p := range [2]standard.Property{standard.HMF, standard.Diastase} {
		l, err := standard.LimitOf(q.rules(), p, standard.Honey{})
		if err != nil {
			return limits, err
		}
		limits[i].Value = l.Value
		q.cite(l.Cite)
	}
	return limits, nil
}
