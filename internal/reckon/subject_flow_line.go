package reckon

import (
	"fmt"
	"strings"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// Extractor, stations and sequence.

func fieldSubject() Subject {
	return Subject{Name: "field", Help: "how many times gravity an extractor makes, or how fast it must turn", Model: "field",
		Caution: "never reach in, wait for the stop; new or unwired comb, or comb warmer than 35 °C: half the speed (common practice)",
		Example: "--rpm 250 --radius-m 0.35",
		Inputs: []Input{metres("radius_m", "from the axis to the comb, m"), number("rpm", quantity.RPM, "turns a minute").either(), each("field_g", "field to make, times gravity").either(),
			number("density_kg_m3", quantity.Each, "density of the honey, kg/m³; left out: 1415").optional()},
		Answers: []Answer{gives("times_g", "", 5, "field at that speed"), gives("turns", "1/min", 5, "turns a minute for that field"), gives("comb_kpa", "kPa", 4, "what one side's honey presses on the midrib")}, answer: field}
}

func field(q *Query) error {
	g := q.num("field_g")
	if q.has("rpm") {
		x, err := flow.Field(q.num("rpm"), q.num("radius_m"))
		if err != nil {
			return err
		}
		q.put("times_g", x)
		p, err := flow.CombPressure(flow.Liquid{DensityKgM3: q.numOr("density_kg_m3", 1415), ViscosityPaS: 4}, x*9.80665)
		if err != nil {
			return err
		}
		q.put("comb_kpa", p/1000)
	}
	if q.has("field_g") {
		n, err := flow.TurnsFor(g, q.num("radius_m"))
		if err != nil {
			return err
		}
		q.put("turns", n)
	}
	return nil
}

func spinSubject() Subject {
	return Subject{Name: "spin", Help: "how long combs must spin until a share of their honey is left", Model: "spin",
		Caution: "not for heather types, which must be loosened first, nor for granulated comb; the wet combs' weight is the judge",
		Example: "--rpm 300 --radius-m 0.45 --basket radial --left-pct 4 --water-pct 17.5 --temp-c 32",
		Inputs: ofLiquid(number("rpm", quantity.RPM, "turns a minute"), metres("radius_m", "from the axis to the comb, m"), word("basket", "tangential or radial", "tangential", "radial"),
			number("left_pct", quantity.Pct, "share of the honey to leave, %"), waterPct(), tempC(),
			each("factor", "the house's own factor; left out: 3 to 10").optional(), number("spun_s", quantity.Second, "seconds that combs were spun which kept left_pct: for their own factor").optional(),
			millimetres("film_mm", "a film that is on the cell's wall now, mm").optional(), number("after_s", quantity.Second, "seconds that it drains; with film_mm").optional()),
		Answers: []Answer{gives("film_s", "s", 4, "time by the film alone: a lower bound"), gives("spin_s", "s", 3, "time to expect"), gives("own_factor", "", 3, "factor that spun_s shows"),
			whether("opens", "is the field along the cells enough for them to empty at all"), gives("start_g", "", 3, "field that it takes, times gravity"),
			gives("finger_mm_s", "mm/s", 3, "how fast air runs into a cell"), gives("film_left_share", "", 4, "what is left of film_mm after after_s")}, answer: spin}
}

func spin(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	g, err := flow.Field(q.num("rpm"), q.num("radius_m"))
	if err != nil {
		return err
	}
	b := flow.Tangential
	if q.word("basket") == "radial" {
		b = flow.Radial
	}
	along := b.Along(g * 9.80665)
	film, err := flow.FilmTime(l, along, q.num("left_pct")/100)
	if err != nil {
		return err
	}
	factor := flow.SpinFactor()
	if q.has("factor") {
		x := q.num("factor")
		if !(x > 0 && x <= 1000) {
			return outOf("factor", x, "above 0 to 1000")
		}
		factor = honey.Band[float64]{Low: x, Likely: x, High: x}
	}
	start, err := flow.StartField(l)
	if err != nil {
		return err
	}
	q.put("film_s", film)
	q.thick("film_s", film, told)
	q.put("spin_s", film*factor.Likely)
	q.between("spin_s", film*factor.Low, film*factor.High)
	q.tell("opens", along > start)
	q.put("start_g", start*g/along)
	finger, err := flow.FingerSpeed(l, along)
	if err != nil {
		return err
	}
	q.put("finger_mm_s", 1000*finger)
	q.thick("finger_mm_s", 1000*finger, told)
	if q.has("film_mm") && q.has("after_s") {
		left, err := flow.FilmLeft(l, along, q.num("film_mm")/1000, 0.0115, q.num("after_s"))
		if err != nil {
			return err
		}
		q.put("film_left_share", left)
	}
	if q.has("spun_s") {
		c, err := flow.SpinFactorFrom(l, along, q.num("left_pct")/100, q.num("spun_s"))
		if err != nil {
			return err
		}
		q.put("own_factor", c)
	}
	return nil
}

func extractorRateSubject() Subject {
	s := func(name, help string) Input { return number(name, quantity.Second, help) }
	return Subject{Name: "extractor-rate", Help: "frames an hour of an extractor", Model: "line",
		Example: "--frames 60 --load-s 90 --ramp-s 45 --spin-s 420 --brake-s 30 --unload-s 60 --super-frames 9",
		Inputs: []Input{count("frames", "frames of a load"), s("load_s", "seconds to load"), s("ramp_s", "to come to speed"), s("spin_s", "at speed"), s("brake_s", "to stop"), s("unload_s", "to unload"),
			count("super_frames", "frames of a super").optional()},
		Answers: []Answer{gives("frames_h", "1/h", 8, "frames an hour"), gives("supers_h", "1/h", 8, "supers an hour")}, answer: extractorRate}
}

func extractorRate(q *Query) error {
	r, err := flow.ExtractorRate(q.count("frames"), flow.Load{Load: q.num("load_s"), Ramp: q.num("ramp_s"), Spin: q.num("spin_s"), Brake: q.num("brake_s"), Unload: q.num("unload_s")})
	if err != nil {
		return err
	}
	q.put("frames_h", r)
	if q.has("super_frames") {
		if n := q.count("super_frames"); n < 1 || n > 20 {
			return outOf("super_frames", float64(n), "1 to 20")
		}
		q.put("supers_h", r/q.num("super_frames"))
	}
	return nil
}

func tankBankSubject() Subject {
	h := func(name, help string) Input { return number(name, quantity.Hour, help) }
	return Subject{Name: "tank-bank", Help: "what settling tanks that are filled, left and emptied in turn take up", Model: "line",
		Example: "--tanks 2 --holds-kg 1200 --fill-h 8 --settle-h 40 --empty-h 2",
		Inputs:  []Input{count("tanks", "tanks"), number("holds_kg", quantity.KgUnit, "kg in each"), h("fill_h", "hours to fill one"), h("settle_h", "hours to settle"), h("empty_h", "hours to empty it")},
		Answers: []Answer{gives("kg_h", "kg/h", 5, "kg an hour at the most"), gives("kg_day", "kg/d", 5, "kg a day")}, answer: tankBank}
}

func tankBank(q *Query) error {
	kg, err := flow.TankBank(q.count("tanks"), q.num("holds_kg"), q.num("fill_h"), q.num("settle_h"), q.num("empty_h"))
	if err != nil {
		return err
	}
	q.put("kg_h", kg)
	q.put("kg_day", 24*kg)
	return nil
}

func lineSubject() Subject {
	return Subject{Name: "line", Help: "what holds a line up: the slowest of its stations, and the line's rate", Model: "line",
		Example: "--stations \"uncapper extractor pump\" --per-hour \"514 335 900\" --goes-pct \"95 90 98\" --per-super 9",
		Inputs: []Input{text("stations", "names of the stations, parted by blanks"), text("per_hour", "pieces an hour of each, in that order"), text("goes_pct", "share of the time that each goes, %; left out: 100").optional(),
			each("per_super", "pieces in a super; left out: 1").optional(), each("supers", "supers to do, for the hours").optional()},
		Answers: []Answer{says("slowest", "what holds the line up"), gives("line_h", "1/h", 5, "pieces an hour at the most"), gives("supers_h", "1/h", 5, "supers an hour"),
			gives("hours", "h", 3, "for those supers"), says("used", "how far each station is used")}, answer: line}
}

func line(q *Query) error {
	names := strings.Fields(q.word("stations"))
	rates, err := q.figures("per_hour", quantity.Each, "per_hour", "station")
	if err != nil {
		return err
	}
	goes, err := q.figures("goes_pct", quantity.Pct, "goes_pct", "station")
	if err != nil {
		return err
	}
	if len(names) != len(rates) || len(goes) != 0 && len(goes) != len(names) {
		return fmt.Errorf("%d stations, %d rates and %d shares; want one of each for every station", len(names), len(rates), len(goes))
	}
	all := make([]flow.Station, len(names))
	for i := range all {
		all[i] = flow.Station{Name: names[i], PerHour: rates[i], Goes: 1}
		if len(goes) > 0 {
			all[i].Goes = goes[i] / 100
		}
	}
	rate, at, err := flow.Bottleneck(all)
	if err != nil {
		return err
	}
	per := q.numOr("per_super", 1)
	if !(per > 0 && per <= 1000) {
		return outOf("per_super", per, "above 0 to 1000")
	}
	used := make([]string, len(all))
	for i, s := range all {
		used[i] = fmt.Sprintf("%s %.0f %%", s.Name, 100*rate/(s.PerHour*s.Goes))
	}
	q.say("slowest", all[at].Name)
	q.put("line_h", rate)
	q.put("supers_h", rate/per)
	q.say("used", strings.Join(used, ", "))
	if q.has("supers") {
		n := q.num("supers")
		if !(n >= 0 && n <= 1e6) {
			return outOf("supers", n, "0 to 1000000")
		}
		q.put("hours", n*per/rate)
	}
	return nil
}

func twoStationsSubject() Subject {
	return Subject{Name: "two-stations", Help: "what room between two stations that stop now and then is worth", Model: "line",
		Example: "--first-h 10 --second-h 12 --between 3",
		Inputs:  []Input{each("first_h", "pieces an hour of the first"), each("second_h", "of the second"), count("between", "places between them")},
		Answers: []Answer{gives("line_h", "1/h", 8, "pieces an hour of both"), gives("one_more_h", "1/h", 5, "with one place more"), gives("most_h", "1/h", 5, "with any number")}, answer: twoStations}
}

func twoStations(q *Query) error {
	a, b, n := q.num("first_h"), q.num("second_h"), q.count("between")
	r, err := flow.TwoStations(a, b, n)
	if err != nil {
		return err
	}
	q.put("line_h", r)
	if more, err := flow.TwoStations(a, b, n+1); err == nil {
		q.put("one_more_h", more)
	}
	q.put("most_h", min(a, b))
	return nil
}

func sequenceSubject() Subject {
	return Subject{Name: "sequence", Help: "in which order to run batches through a line so that all are done soonest", Model: "sequence",
		Example: "--batches \"4,4 10,2 3,12 1,3 6,5 4,3\" --room 1",
		Inputs: []Input{text("batches", "hours of each batch at each station, stations parted by commas and batches by blanks"),
			count("room", "batches that may wait between two stations; left out: any number").optional()},
		Answers: []Answer{says("order", "the batches by their numbers"), gives("hours", "h", 6, "until all are done"), gives("bound_h", "h", 6, "no order can be shorter"),
			whether("best", "is it proven that none is shorter")}, answer: sequence}
}

func sequence(q *Query) error {
	var all []flow.Batch
	for _, f := range strings.Fields(q.word("batches")) {
		in := number("batches", quantity.Hour, "")
		var b flow.Batch
		for _, h := range strings.Split(f, ",") {
			x, err := in.figure([]byte(h), quantity.DecimalPoint)
			if err != nil {
				return &cellError{fmt.Sprintf("batches, batch %d", len(all)+1), err}
			}
			b = append(b, x)
		}
		all = append(all, b)
	}
	room := flow.Unlimited
	if q.has("room") {
		if room = q.count("room"); room < 0 {
			return outOf("room", float64(room), "0 or more")
		}
	}
	s, err := flow.BestOrder(all, room)
	if err != nil {
		return err
	}
	names := make([]string, len(s.Order))
	for i, b := range s.Order {
		names[i] = fmt.Sprint(b + 1)
	}
	q.say("order", strings.Join(names, " "))
	q.put("hours", s.Hours)
	q.put("bound_h", s.Bound)
	q.tell("best", s.Proven)
	return nil
}

func lineUseSubject() Subject {
	m := func(name, help string) Input { return number(name, quantity.Minute, help) }
	return Subject{Name: "line-use", Help: "how well a line's time was used: availability, effectiveness, quality", Model: "line",
		Caution: "tip-back that can be melted again counts as rework, not as good",
		Example: "--planned-min 480 --ran-min 402 --piece-min 0.5 --made 720 --good 706",
		Inputs: []Input{m("planned_min", "planned minutes"), m("ran_min", "minutes that it ran"), m("piece_min", "planned minutes a piece"),
			count("made", "pieces made"), count("good", "good pieces")},
		Answers: []Answer{gives("availability", "", 5, "ran over planned"), gives("effectiveness", "", 5, "planned time of what was made over time run"), gives("quality", "", 5, "good over made"),
			gives("index", "", 8, "all three multiplied")}, answer: lineUse}
}

func lineUse(q *Query) error {
	o, err := flow.UseOfLine(q.num("planned_min"), q.num("ran_min"), q.num("piece_min"), int64(q.count("made")), int64(q.count("good")))
	if err != nil {
		return err
	}
	q.put("availability", o.Availability)
	q.put("effectiveness", o.Effectiveness)
	q.put("quality", o.Quality)
	q.put("index", o.Index)
	return nil
}
