package reckon

import (
	"errors"
	"fmt"

	"combline/internal/honey"
	"combline/internal/quantity"
)

func yeastPerG() Input {
	return number("yeast_per_g", quantity.PerGram, "living yeast cells in a gram; left out: not counted").optional()
}

// keepingSubjects are whether honey ferments or sets.
func keepingSubjects() []Subject {
	keeps := []Answer{whether("safe", "does it keep for a year; empty if that can't be said"), says("reason", "why")}
	const setting = "seed crystals, pollen and the heat that the honey has had count too, and your own past lots of the type tell more"
	return []Subject{
		{Name: "ferment", Help: "does liquid honey keep for a year without fermenting", Model: "ferment",
			Caution: "partly set honey is wetter between its crystals: see set-ferment",
			Example: "--water-pct 18.4 --yeast-per-g 30",
			Inputs:  []Input{waterPct(), yeastPerG()}, Answers: keeps, answer: ferment},
		{Name: "set-ferment", Help: "does partly set honey keep: the liquid between its crystals", Model: "ferment",
			Example: "--water-pct 17.78 --crystals-pct 12 --yeast-per-g 1000",
			Inputs:  []Input{waterPct(), crystalsPct(), yeastPerG()},
			Answers: append([]Answer{gives("liquid_water_pct", "%", 3, "water of the liquid between the crystals")}, keeps...), answer: setFerment},
		{Name: "store-ferment", Help: "does honey ferment where it stands", Model: "ferment",
			Doubt:   "the table of water and yeast as published; 11 °C as published; 27 °C is common practice, no source",
			Caution: "the store's warmest week counts, not its mean; under 11 °C it keeps only as long as it stays that cold",
			Example: "--water-pct 18.4 --temp-c 15 --yeast-per-g 30",
			Inputs:  []Input{waterPct(), number("temp_c", quantity.DegC, "temperature of the store, °C"), yeastPerG()},
			Answers: append([]Answer{says("band", "cold (under 11 °C), ferments (11 to 27 °C) or warm")}, keeps...), answer: storeFerment},
		{Name: "granulation", Help: "how soon it sets, from sugars and water", Model: "granulation", Caution: setting,
			Example: "--glucose-pct 36 --fructose-pct 38 --water-pct 17",
			Inputs: []Input{number("glucose_pct", quantity.Pct, "glucose, g in 100 g"),
				number("fructose_pct", quantity.Pct, "fructose, g in 100 g; with it all criteria speak").optional(), waterPct()},
			Answers: []Answer{says("setting", "slow or none, medium, medium to fast, or fast"), gives("glucose_water", "", 3, "glucose over water"),
				says("others", "what the other criteria say, if fructose is given"), whether("agree", "do the criteria agree")}, answer: granulation},
		{Name: "setting-history", Help: "how soon a type of honey sets, from the house's own past lots", Model: "granulation",
			Range:   "days 0 to 10 000",
			Doubt:   "that of so many lots; the borders of 30, 90 and 365 days are common practice, no source",
			Source:  "Kaplan and Meier's estimate of the day by which half have set, J. Am. Stat. Assoc. 53, 1958 (from memory)",
			Caution: "only lots of one type, kept alike: store, seed crystals and heating change the days",
			Example: "--set-days \"40 55 62 80\" --liquid-days \"30 120\"",
			Inputs: []Input{text("set_days", "days in the jar after which each lot was seen set, parted by blanks").either(),
				text("liquid_days", "days up to which each of the others was seen still liquid").either(),
				number("fast_days", quantity.Day, "most days for fast; left out: 30").optional(),
				number("medium_fast_days", quantity.Day, "most days for medium to fast; left out: 90").optional(),
				number("medium_days", quantity.Day, "most days for medium; left out: 365").optional()},
			Answers: []Answer{says("setting", "slow or none, medium, medium to fast, or fast"), counts("lots", "lots watched"), counts("set", "lots that set"),
				gives("half_days", "d", 3, "day by which half had set"), whether("at_least", "fewer than half have set: half_days and setting are the soonest that it can be"),
				gives("first_days", "d", 3, "first day seen"), gives("last_days", "d", 3, "last day seen")}, answer: settingHistory},
	}
}

// verdict puts the table's word. What can't be said stays empty: it is no pass.
func (q *Query) verdict(r honey.FermentRisk) {
	if r.Keeping != honey.KeepingUnknown {
		q.tell("safe", r.Keeping == honey.Keeps)
	}
	q.say("reason", string(r.Reason))
	if r.Keeping == honey.KeepingUnknown {
		q.note(fmt.Sprintf("count the yeast: up to %g in a gram keeps at this water", float64(r.Limit)))
	}
}

func (q *Query) yeast() quantity.YeastPerG { return quantity.YeastPerG(q.num("yeast_per_g")) }

func risk(q *Query) (honey.FermentRisk, error) {
	if !q.has("yeast_per_g") {
		return honey.FermentUncounted(q.water())
	}
	return honey.Ferment(q.water(), q.yeast())
}

func ferment(q *Query) error {
	r, err := risk(q)
	if err != nil {
		return err
	}
	q.verdict(r)
	return nil
}

func setFerment(q *Query) error {
	crystals := quantity.Percent(q.num("crystals_pct"))
	w, err := honey.LiquidWater(q.water(), crystals)
	if err != nil {
		return err
	}
	r, err := honey.FermentPartlySet(q.water(), crystals, q.yeast(), q.has("yeast_per_g"))
	if err != nil {
		return err
	}
	q.put("liquid_water_pct", float64(w))
	q.verdict(r)
	return nil
}

// fermentsUpTo is the warm end of the band in which wet honey ferments (common
// practice, no source); above it we go by the table all the same.
const fermentsUpTo = 27

func storeFerment(q *Query) error {
	t := q.num("temp_c")
	if !(t >= -40 && t <= 60) {
		return fmt.Errorf("temperature %g °C, want -40 to 60", t)
	}
	r, err := risk(q)
	if err != nil {
		return err
	}
	switch {
	case q.temp() < honey.FermentSafeBelow:
		q.say("band", "cold")
		q.tell("safe", true)
		q.say("reason", "too cold to ferment, for as long as it stays under 11 °C")
		return nil
	case t <= fermentsUpTo:
		q.say("band", "ferments")
	default:
		q.say("band", "warm")
	}
	q.verdict(r)
	return nil
}

func granulation(q *Query) error {
	glucose, fructose := quantity.Percent(q.num("glucose_pct")), quantity.Percent(q.num("fructose_pct"))
	s, ratio, err := honey.SettingByGlucoseWater(glucose, q.water())
	if err != nil {
		return err
	}
	q.say("setting", s.String())
	q.put("glucose_water", ratio)
	if !q.has("fructose_pct") {
		q.without("fructose_pct", "glucose over water alone")
		return nil
	}
	c, err := honey.SettingBySugars(glucose, fructose, q.water())
	if err != nil {
		return err
	}
	q.say("others", fmt.Sprintf("glucose %.1f %%: %s; fructose/glucose %.2f: %s; (glucose - water)/fructose %.2f: %s",
		float64(glucose), tendency(c.Glucose), c.RatioFG, tendency(c.FructoseGlucose), c.RatioGlucoseWaterFr, tendency(c.GlucoseWaterFructose)))
	q.tell("agree", c.Agree)
	return nil
}

func tendency(t honey.Tendency) string {
	switch t {
	case honey.TendencyFast:
		return "fast"
	case honey.TendencyNotFast:
		return "not fast"
	}
	return "can't say"
}

func settingHistory(q *Query) error {
	var lots []honey.Watched
	for _, seen := range [...]struct {
		name string
		set  bool
	}{{"set_days", true}, {"liquid_days", false}} {
		days, err := q.figures(seen.name, quantity.Day, seen.name, "lot")
		if err != nil {
			return err
		}
		for _, d := range days {
			lots = append(lots, honey.Watched{After: quantity.Days(d), Set: seen.set})
		}
	}
	if len(lots) == 0 {
		return errors.New("no lot is given")
	}
	usual := honey.UsualSettingDays()
	h, err := honey.SettingByHistory(lots, honey.SettingDays{
		Fast:       quantity.Days(q.numOr("fast_days", float64(usual.Fast))),
		MediumFast: quantity.Days(q.numOr("medium_fast_days", float64(usual.MediumFast))),
		Medium:     quantity.Days(q.numOr("medium_days", float64(usual.Medium))),
	})
	if err != nil {
		return err
	}
	q.say("setting", h.Class.String())
	q.put("lots", float64(h.Lots))
	q.put("set", float64(h.Set))
	q.put("half_days", float64(h.Days.Likely))
	q.tell("at_least", h.AtLeast)
	q.put("first_days", float64(h.Days.Low))
	q.put("last_days", float64(h.Days.High))
	return nil
}
