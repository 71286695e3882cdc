package reckon

import (
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// fillingSubjects are what surrounds a run: its verdict, what is at risk, what is
// given away, and how much a check or an inspector's sample can see.
func fillingSubjects() []Subject {
	average := func() Input { return rulesOf("eu", "uk", "de", "us", "oiml") }
	const exact = "exact on these jars; a scale's error is not in it"
	return []Subject{
		{Name: "run-verdict", Help: "do jars that were all weighed keep the packer's rules: the whole run and its worst hour, before and after short jars are pulled",
			Range: "as tolerance; up to a million jars", Doubt: exact,
			Caution: "an inspector may take an hour's output for the batch; whether a batch may be sorted, and jars kept back for a smaller label, is for the local rule",
			Example: "--label-g 500 --rules eu --hour-jars 10 --weights \"" + exampleWeights + "\"",
			Inputs: []Input{labelG(), average(), text("weights", "net masses in g in the order filled; - takes them from standard input"),
				count("hour_jars", "jars that an hour makes; left out: no hours").optional(),
				number("division_g", quantity.G, "division of the scale; left out: not judged").optional()},
			Answers: []Answer{whether("pass", "mean at the label, few enough short, none below T2"), gives("mean_g", "g", 0, "mean of all jars"),
				gives("short_pct", "%", 3, "share below T1"), counts("barred", "jars below T2"),
				whether("worst_pass", "the same of the worst hour"), counts("worst_first", "its first jar"), counts("worst_last", "its last jar"),
				gives("worst_mean_g", "g", 0, "its mean"), gives("worst_short_pct", "%", 3, "its share below T1"),
				counts("pulled", "short jars to pull"), whether("pulled_pass", "the whole run after that"), whether("pulled_worst_pass", "the worst hour after that"),
				gives("pulled_worst_mean_g", "g", 0, "its mean"), counts("keep_back", "further jars, lightest first, to keep back so that every hour passes"),
				gives("keep_back_under_g", "g", 0, "all of them are below this")}, answer: runVerdict},
		{Name: "giveaway", Help: "what honey above the label costs", Range: "jars up to 1 t, up to a million million", Doubt: "exact; money to a hundredth", Source: arithmetic,
			Example: "--label-g 340 --mean-g 341.3 --jars 6312 --price-kg 4.80",
			Inputs: []Input{labelG(), number("mean_g", quantity.G, "mean net mass, g"), count("jars", "jars filled, or planned for a year"),
				number("price_kg", quantity.Each, "what a kilogram costs the house, in its currency").optional()},
			Answers: []Answer{gives("over_g", "g", 0, "a jar above its label; negative: under it"), gives("over_kg", "kg", 0, "all jars together"),
				gives("money", "", 0, "what that honey cost")}, answer: giveaway},
		{Name: "at-risk", Help: "a jar is light: how far back to go, and how many jars, cases and pallets that is",
			Range: "1 to 64 nozzles, up to 10 000 checks", Doubt: "a list may be too long, never too short: parts of a jar or case are rounded up",
			Source:  "counting from the last good check, common practice",
			Example: "--slot-jars 550 --last-good-check 13 --check 18 --nozzles 4 --case-jars 12",
			Inputs: []Input{count("slot_jars", "jars of all nozzles filled from one check to the next"), count("last_good_check", "last check at which all was well; 0: none"),
				count("check", "latest check"), count("nozzles", "nozzles of the filler; left out: 1").optional(),
				truth("nozzle_shown", "does the jar's mark show which nozzle filled it; left out: no").optional(),
				count("case_jars", "jars in a case, packed in order").optional(), count("pallet_cases", "cases on a pallet").optional()},
			Answers: []Answer{counts("hold", "jars to hold"), counts("nozzle_jars", "jars of that nozzle"), counts("all_jars", "jars of all nozzles"),
				counts("first_jar", "first of them in the order filled"), counts("last_jar", "last of them"),
				counts("first_case", "first case that holds one"), counts("last_case", "last case"), counts("cases", "cases"), counts("pallets", "pallets")}, answer: atRisk},
		{Name: "inspection", Help: "the chance that an inspector's sample passes a batch", Range: "as sampling; batches of at least the sample", Doubt: "the chance is of the draw; what the batch is like must be known",
			Source:  "hypergeometric law for short jars, non-central t for the mean",
			Example: "--label-g 340 --rules eu --batch 1100 --short 27 --mean-g 339.95 --sd-g 2.9",
			Inputs: []Input{labelG(), average(), count("batch", "jars in the batch"), count("short", "jars below T1 in the whole batch"),
				number("mean_g", quantity.G, "true mean of the batch, g"), number("sd_g", quantity.G, "true standard deviation, g")},
			Answers: []Answer{gives("short_chance", "", 4, "chance that the sample's short jars pass"), gives("mean_chance", "", 4, "chance that its mean passes")}, answer: inspection},
		{Name: "division", Help: "is a scale's division fine enough for a verdict on jars of a label, and which would be", Range: "as tolerance; divisions up to 1 t", Doubt: "exact by the rule",
			Caution: "what the scale may err in all is jar-scale's question",
			Example: "--label-g 7 --rules eu --division-g 0.5",
			Inputs:  []Input{labelG(), average(), number("division_g", quantity.G, "division of the scale, g")},
			Answers: []Answer{whether("enough", "is it"), gives("most_g", "g", 0, "greatest division that is"), gives("would_do_g", "g", 0, "greatest usual division that is"),
				counts("together", "packs to weigh at a time so that this scale can check their mean")}, answer: division},
		{Name: "count-by-weight", Help: "how many small packs weigh so much together", Range: "up to 1 t", Doubt: "the chance of being wrong is an answer",
			Source:  "counting scales, common practice",
			Example: "--total-g 708.2 --mean-g 7.08 --sd-g 0.12 --known 50",
			Inputs: []Input{number("total_g", quantity.G, "net mass of all, g"), number("mean_g", quantity.G, "mean of one, g"), number("sd_g", quantity.G, "their standard deviation, g"),
				count("known", "packs weighed one by one for these two")},
			Answers: []Answer{counts("packs", "how many"), gives("wrong_chance", "", 2, "chance that it is another number"),
				counts("most", "greatest number that can be told so with 1 chance in 100 of being wrong")}, answer: countByWeight},
		{Name: "run-length", Help: "how many checks a chart takes to find a move, or to give a false alarm", Range: "slack 0 to 3, sum line 0.5 to 20; weight 0.02 to 1, average line 1 to 5; shifts to ±10",
			Doubt: "three digits; checks independent and normal", Source: "integral equations of Page 1954 and Crowder 1987 (from memory), held against Lucas and Crosier 1982, Lucas and Saccucci 1990 (read in reprints)",
			Example: "--shift-sd 1 --slack 0.5 --sum-line 4",
			Inputs: []Input{number("shift_sd", quantity.Each, "how far the mean has moved, in standard deviations of a check's mean; 0: a steady nozzle"),
				number("slack", quantity.Each, "slack of a pair of cumulative sums; left out: 0.5").optional(), number("sum_line", quantity.Each, "their line; left out: 5").optional(),
				number("head_start", quantity.Each, "where they start, as a share of their line; left out: 0").optional(),
				number("weight", quantity.Each, "weight of the moving average; left out: 0.2").optional(), number("average_line", quantity.Each, "its lines; left out: 2.962").optional()},
			Answers: []Answer{gives("sum_checks", "checks", 4, "until the cumulative sums speak, on average"), gives("average_checks", "checks", 4, "until the moving average speaks")}, answer: runLength},
		{Name: "filler-gain", Help: "how much of a deviation to correct", Range: "spreads up to 1 t", Doubt: "exact for a level that wanders at random", Source: "Box and Jenkins, Time Series Analysis, feedback control (from memory)",
			Caution: "correct nothing while a chart has no alarm: noise that is chased grows",
			Example: "--moving-g 0.3 --noise-g 0.76",
			Inputs:  []Input{number("moving_g", quantity.G, "how much the level moves from one check to the next, standard deviation, g"), number("noise_g", quantity.G, "standard deviation of a check's mean about it, g")},
			Answers: []Answer{gives("gain", "", 4, "share of each deviation to correct"), gives("deadbeat", "", 4, "variance if all of it were corrected, over the least possible")}, answer: fillerGain},
		{Name: "dose", Help: "what a volume doser gives in honey of another temperature and water", Range: "10 to 60 °C, 13 to 21 %", Doubt: "0.024 % and a fifth of the change", Source: "density as in density",
			Example: "--dose-g 340 --temp-c 35 --water-pct 17.2 --to-temp-c 40",
			Inputs: []Input{number("dose_g", quantity.G, "what a dose weighs now, g"), tempC(), waterPct(), number("to_temp_c", quantity.DegC, "temperature it goes to, °C"),
				number("to_water_pct", quantity.Pct, "its water then, %; left out: as now").optional()},
			Answers: []Answer{gives("then_g", "g", 0, "what the same stroke weighs then"), gives("change_g", "g", 3, "by how much that is more; negative: less")}, answer: dose},
		{Name: "nozzle-time", Help: "how long a dose takes through a nozzle", Range: "laminar flow; above 0 to 1 000 000 of each", Doubt: "exact for a long straight nozzle; viscosity's doubt is its own", Source: "Hagen and Poiseuille's law",
			Example: "--volume-ml 352.1 --pressure-bar 1.5 --bore-mm 12 --length-mm 120 --viscosity-pa-s 9.05",
			Inputs: []Input{number("volume_ml", quantity.Each, "volume of the dose, mL"), number("pressure_bar", quantity.Each, "pressure before the nozzle, bar"),
				number("bore_mm", quantity.Each, "bore, mm"), number("length_mm", quantity.Each, "length, mm"), number("viscosity_pa_s", quantity.Each, "viscosity at the filling temperature, Pa·s")},
			Answers: []Answer{gives("seconds", "s", 4, "time of one dose")}, answer: nozzleTime},
	}
}

const arithmetic = "arithmetic"

func inspection(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	p, err := standard.PlanFor(q.rules(), q.usualMethod(), q.count("batch"))
	if err != nil {
		return err
	}
	m, err := standard.MeanPlanFor(q.rules(), q.count("batch"), false)
	if err != nil {
		return err
	}
	q.cite(p.Cite, m.Cite)
	items, err := fill.AcceptShort(p, int64(q.count("batch")), int64(q.count("short")))
	if err != nil {
		return err
	}
	mean, err := fill.AcceptMean(m, label, q.num("mean_g"), q.num("sd_g"))
	if err != nil {
		return err
	}
	q.put("short_chance", items)
	q.put("mean_chance", mean)
	return nil
}

func countByWeight(q *Query) error {
	total := q.num("total_g")
	if !(total >= 0 && total <= 1e6) {
		return outOf("total_g", total, "0 to 1000000 g")
	}
	c, err := fill.CountByWeight(quantity.Milligram(math.Round(1000*total)), q.num("mean_g"), q.num("sd_g"), q.count("known"))
	if err != nil {
		return err
	}
	q.put("packs", float64(c.Number))
	q.put("wrong_chance", c.Wrong)
	if c.Most < math.MaxInt64 {
		q.put("most", float64(c.Most))
	}
	return nil
}

func runLength(q *Query) error {
	shift := q.num("shift_sd")
	u := fill.Usual()
	sum, err := fill.SumRunLength(q.numOr("slack", u.K), q.numOr("sum_line", u.H), shift, q.numOr("head_start", 0))
	if err != nil {
		return err
	}
	average, err := fill.AverageRunLength(q.numOr("weight", u.Lambda), q.numOr("average_line", u.L), shift)
	if err != nil {
		return err
	}
	q.put("sum_checks", sum)
	q.put("average_checks", average)
	return nil
}

func fillerGain(q *Query) error {
	g, err := fill.Gain(q.num("moving_g"), q.num("noise_g"))
	if err != nil {
		return err
	}
	worse, err := fill.Inflation(1, g)
	if err != nil {
		return err
	}
	q.put("gain", g)
	q.put("deadbeat", worse)
	return nil
}

func dose(q *Query) error {
	if !(q.num("dose_g") > 0 && q.num("dose_g") <= 1e6) {
		return outOf("dose_g", q.num("dose_g"), "above 0 to 1000000 g")
	}
	water := q.numOr("to_water_pct", q.num("water_pct"))
	r, err := fill.DensityRatio(q.temp(), q.water(), quantity.Celsius(q.num("to_temp_c")), quantity.WaterPct(water))
	if err != nil {
		return err
	}
	q.put("then_g", q.num("dose_g")*r)
	q.put("change_g", q.num("dose_g")*(r-1))
	return nil
}

func nozzleTime(q *Query) error {
	s, err := fill.NozzleTime(q.num("volume_ml"), q.num("pressure_bar"), q.num("bore_mm")/1000, q.num("length_mm")/1000, quantity.PaS(q.num("viscosity_pa_s")))
	if err != nil {
		return err
	}
	q.put("seconds", s)
	return nil
}
