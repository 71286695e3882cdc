package reckon

import (
	"fmt"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// Soft-set honey, winter stores, and the house's own past.

func softSetSubject() Subject {
	return Subject{Name: "soft-set", Help: "how much seed soft-set honey takes, and whether it is dry enough to keep when it has set", Model: "soft-set",
		Caution: "seed is an ingredient: write its lot down; gritty seed makes gritty honey; stir without air",
		Example: "--honey-kg 1160 --water-pct 17.1 --seed-kg 60 --seed-water-pct 17.2 --yeast-per-g 9",
		Inputs: []Input{number("honey_kg", quantity.KgUnit, "honey, kg"), waterPct(), number("seed_kg", quantity.KgUnit, "seed that is there, kg; left out: as advised").optional(),
			number("seed_water_pct", quantity.Pct, "water of the seed, %; left out: as the honey").optional(), yeastPerG()},
		Answers: []Answer{gives("seed_advised_kg", "kg", 4, "seed to add: 5 to 10 % of the honey"), gives("seed_pct", "%", 3, "seed over honey"), gives("mix_water_pct", "%", 4, "water of honey and seed"),
			gives("liquid_water_pct", "%", 4, "of the liquid between 12 % crystals"), whether("dry_enough", "at most 18 %"), whether("safe", "does the liquid keep"), says("reason", "why"),
			gives("setting_heat_k", "K", 3, "by how much setting itself warms it: the cooler's extra load")}, answer: softSet}
}

func softSet(q *Query) error {
	kg := q.num("honey_kg")
	advised, err := flow.SeedFor(kg)
	if err != nil {
		return err
	}
	q.put("seed_advised_kg", advised.Likely)
	q.between("seed_advised_kg", advised.Low, advised.High)
	seed := q.numOr("seed_kg", advised.Likely)
	s, err := flow.JudgeSoftSet(kg, q.water(), seed, quantity.WaterPct(q.numOr("seed_water_pct", q.num("water_pct"))), q.yeast(), q.has("yeast_per_g"))
	if err != nil {
		return err
	}
	q.put("seed_pct", 100*seed/kg)
	if q.has("seed_kg") && !(seed >= advised.Low && seed <= advised.High) {
		q.note(fmt.Sprintf("%.3g kg are %.1f %% of the honey; 5 to 10 %% is usual", seed, 100*seed/kg))
	}
	q.put("mix_water_pct", float64(s.Water))
	q.put("liquid_water_pct", float64(s.Liquid))
	q.tell("dry_enough", s.DryEnough)
	if s.Ferment.Keeping != honey.KeepingUnknown {
		q.tell("safe", s.Ferment.Keeping == honey.Keeps)
	}
	q.say("reason", string(s.Ferment.Reason))
	cp, err := honey.HeatCapacity(20, s.Water)
	if err != nil {
		return err
	}
	heat, err := flow.SettingHeatK(flow.SetCrystals, float64(cp.Likely))
	if err != nil {
		return err
	}
	q.put("setting_heat_k", heat)
	return nil
}

func winterStoresSubject() Subject {
	kg := func(name, help string) Input { return number(name, quantity.KgUnit, help) }
	return Subject{Name: "winter-stores", Help: "how many frames of honey may be taken so that a colony keeps its winter stores", Model: "winter",
		Caution: "leave the brood nest's frames alone; when in doubt weigh the hive; never one figure: low, likely and high",
		Example: "--stores-kg 50 --climate temperate --frame medium --reserve-kg 4",
		Inputs: []Input{kg("stores_kg", "stores that the colony has, kg"), word("climate", "mild, temperate, cold; needed unless need_kg is given", "mild", "temperate", "cold").optional(),
			kg("need_kg", "stores that it needs, kg; left out: by climate").optional(), kg("late_flow_kg", "what a late flow will still bring, kg; left out: 0").optional(),
			kg("feed_kg", "stores from feed to come, kg; left out: 0").optional(), kg("reserve_kg", "reserve, kg; left out: 4").optional(),
			word("frame", "deep, medium, shallow; needed unless frame_kg is given", "deep", "medium", "shallow").optional(), kg("frame_kg", "honey in a full frame, kg; left out: by its depth").optional()},
		Answers: []Answer{counts("frames", "frames that may likely be taken"), counts("frames_low", "with the most need and the heaviest frames"), counts("frames_high", "with the least need and the lightest frames"),
			gives("need_likely_kg", "kg", 3, "need that was reckoned with")}, answer: winterStores}
}

func winterStores(q *Query) error {
	need, err := q.bandOr("need_kg", "climate", func(w string) (honey.Band[float64], error) { return flow.WinterNeed(flow.Climate(w)) })
	if err != nil {
		return err
	}
	frame, err := q.bandOr("frame_kg", "frame", flow.FrameKg)
	if err != nil {
		return err
	}
	low, likely, high, err := flow.FramesBand(flow.Stores{Have: q.num("stores_kg"), LateFlow: q.numOr("late_flow_kg", 0), Feed: q.numOr("feed_kg", 0), Reserve: q.numOr("reserve_kg", 4)}, need, frame)
	if err != nil {
		return err
	}
	q.put("frames", float64(likely))
	q.put("frames_low", float64(low))
	q.put("frames_high", float64(high))
	q.put("need_likely_kg", need.Likely)
	return nil
}

// bandOr is a figure that was given, or the band that a word stands for.
func (q *Query) bandOr(figure, by string, of func(string) (honey.Band[float64], error)) (honey.Band[float64], error) {
	switch {
	case q.has(figure):
		x := q.num(figure)
		return honey.Band[float64]{Low: x, Likely: x, High: x}, nil
	case q.has(by):
		return of(q.word(by))
	}
	return honey.Band[float64]{}, fmt.Errorf("neither %s nor %s is given", figure, by)
}

func sugarStoresSubject() Subject {
	return Subject{Name: "sugar-stores", Help: "what stores bees make of sugar", Model: "winter",
		Example: "--sugar-kg 10 --stores-water-pct 18 --loss-pct 15",
		Inputs: []Input{number("sugar_kg", quantity.KgUnit, "sugar, dry, kg"), number("stores_water_pct", quantity.Pct, "water of the stores, %; left out: 18").optional(),
			number("loss_pct", quantity.Pct, "what the bees burn on it, %; left out: 15").optional()},
		Answers: []Answer{gives("stores_kg", "kg", 8, "stores that they make of it")}, answer: sugarStores}
}

func sugarStores(q *Query) error {
	kg, err := flow.StoresFromSugar(q.num("sugar_kg"), quantity.WaterPct(q.numOr("stores_water_pct", 18)), q.numOr("loss_pct", 15)/100)
	if err != nil {
		return err
	}
	q.put("stores_kg", kg)
	return nil
}

func ownFactorSubject() Subject {
	return Subject{Name: "own-factor", Help: "how far the house's own past corrects a textbook figure", Model: "own-factor",
		Caution: "own figures must be of the same kind of thing, measured the same way",
		Example: "--own \"30 34 28\" --textbook 36",
		Inputs: []Input{text("own", "own figures, parted by blanks"), each("textbook", "the textbook's figure for all of them"),
			each("house_spread", "how far houses differ from the textbook, as a standard deviation of the logarithm; left out: 0.5").optional(),
			each("each_spread", "how far one time differs from the next; left out: 0.2").optional()},
		Answers: []Answer{gives("factor", "", 4, "what to multiply the textbook's figure by"), gives("next", "", 4, "what to expect next time"), counts("seen", "own figures"),
			gives("own_mean", "", 4, "geometric mean of the own figures")}, answer: ownFactor}
}

func ownFactor(q *Query) error {
	own, err := q.figures("own", quantity.Each, "own", "figure")
	if err != nil {
		return err
	}
	book := q.num("textbook")
	if !(book > 0 && book <= 1e12) {
		return outOf("textbook", book, "above 0")
	}
	ratios := make([]float64, len(own))
	for i, x := range own {
		ratios[i] = x / book
	}
	f, err := flow.Learn(ratios, flow.Prior{House: q.numOr("house_spread", 0.5), Each: q.numOr("each_spread", 0.2)})
	if err != nil {
		return err
	}
	q.put("factor", f.Likely)
	q.between("factor", f.Low, f.High)
	q.put("next", f.Likely*book)
	q.between("next", f.Low*book, f.High*book)
	q.put("seen", float64(f.Seen))
	if f.Seen > 0 {
		q.put("own_mean", f.OwnOnly*book)
	}
	return nil
}
