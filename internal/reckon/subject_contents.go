package reckon

import (
	"errors"
	"fmt"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// contentsSubjects are net contents: what a jar may fall short and what to fill to.
func contentsSubjects() []Subject {
	all := func() Input { return rulesOf("eu", "uk", "de", "us", "oiml") }
	sdG := number("sd_g", quantity.G, "standard deviation of single jars over the whole run, g")
	const exact = "exact by the rule"
	return []Subject{
		{Name: "tolerance", Help: "what one jar may fall short of its label", Range: "labels of 5 g to 10 kg (oiml to 50 kg; us by its own table)", Doubt: exact,
			Example: "--label-g 340 --rules eu", Inputs: []Input{labelG(), all()},
			Answers: []Answer{gives("tolerance_g", "g", 0, "tolerable shortage (us: allowable variation)"),
				gives("t1_g", "g", 0, "a jar below it is short"),
				gives("t2_g", "g", 0, "a jar below it may not be sold as packed; the us rules have none")}, answer: tolerance},
		{Name: "jar", Help: "how one jar stands to its label", Range: "as tolerance", Doubt: exact,
			Example: "--label-g 340 --net-g 328.5 --rules eu",
			Inputs:  []Input{labelG(), number("net_g", quantity.G, "net mass of the jar, g"), all()},
			Answers: []Answer{says("stands", "sound, short (below T1) or barred (below T2)"),
				gives("under_g", "g", 0, "grams under the label; negative over it")}, answer: jar},
		{Name: "target", Help: "what mean to set a filler to", Range: "as tolerance; sd_g 0 to 100 000 g", Doubt: "exact under the normal law; the spread must be that of the whole run, moving mean included",
			Caution: "an allowance for drying in store is yours to add; so are those for empty jars and warm honey where they are left out",
			Example: "--label-g 340 --sd-g 3 --rules eu --checked 20",
			Inputs: []Input{labelG(), sdG, all(), count("checked", "jars weighed to know the mean; adds a guard of 2·sd/√checked; left out: no guard").optional(),
				number("degrees", quantity.Each, "degrees of freedom behind sd_g (jars weighed for it, less one; see spread): fewer ask for more; left out: sd_g is known well").optional(),
				number("tare_sd_g", quantity.G, "standard deviation of empty jars, where an average empty weight is taken off, g").optional(),
				count("tare_jars", "empty jars behind that average").optional(),
				truth("tare_in_sd", "was sd_g found with the average taken off, so that the empty jars are in it; left out: no").optional(),
				number("temp_c", quantity.DegC, "volume doser: temperature of the honey when it is set, °C").optional(),
				number("warm_temp_c", quantity.DegC, "and the warmest of the run").optional(),
				number("water_pct", quantity.Pct, "its water when it is set, %; left out: 17.5").optional(),
				number("wettest_pct", quantity.Pct, "and the wettest of the run; left out: the same").optional()},
			Answers: []Answer{gives("target_g", "g", 0, "mean to fill to")}, answer: target},
		{Name: "minimum-target", Help: "what mean to fill to where no jar may be under its label", Range: "sd_g 0 to 100 000 g",
			Doubt:   "0.13 % of jars stay short under the normal law, to be found and refilled; common practice, no source",
			Example: "--label-g 340 --sd-g 1.7", Inputs: []Input{labelG(), sdG},
			Answers: []Answer{gives("target_g", "g", 0, "label + 3·sd")}, answer: minimumTarget},
		{Name: "crossover", Help: "the spread beyond which T2 sets the target", Range: "as tolerance, but not us", Doubt: exact,
			Example: "--label-g 340 --rules eu", Inputs: []Input{labelG(), rulesOf("eu", "uk", "oiml")},
			Answers: []Answer{gives("sd_g", "g", 0, "T over 1.76")}, answer: crossover},
		{Name: "mean-test", Help: "does the mean of a sample pass", Range: "2 to 10 000 000 jars", Doubt: "exact by the rule; the sample's chance is in the rule's factor",
			Example: "--label-g 340 --n 50 --mean-g 339.5 --sd-g 3 --rules eu",
			Inputs: []Input{labelG(), count("n", "jars weighed"), number("mean_g", quantity.G, "their mean net mass, g"),
				number("sd_g", quantity.G, "their standard deviation with n − 1, g"), all()},
			Answers: []Answer{whether("pass", "mean at or above limit_g"), gives("limit_g", "g", 0, "least mean that passes")}, answer: meanTest},
		{Name: "sampling", Help: "how many jars an inspector weighs, and what he makes of short ones", Range: "batches of 1 or more", Doubt: exact,
			Caution: "a batch is jars of one label, type, run and place: at the line's end often what an hour yields; check the local rule",
			Example: "--batch 2750 --rules eu --short 3",
			Inputs: []Input{count("batch", "jars in the batch"), all(),
				word("method", "double, single, destructive or whole; left out: the rules' usual one for whole jars", methodWords()...).optional(),
				count("short", "short jars in the first sample").optional(), count("short_second", "short jars in the second sample").optional()},
			Answers: []Answer{counts("sample", "jars in the first sample"), counts("accept", "accept with at most so many short"),
				counts("reject", "reject with at least so many"), counts("second_sample", "jars in the second sample, if there is one"),
				counts("second_accept", "short in both samples"), counts("second_reject", "short in both samples"),
				counts("mean_sample", "jars weighed for the mean"), gives("mean_factor", "", 4, "what their spread is multiplied with"),
				says("decision", "on the short jars, if they are given")}, answer: sampling},
	}
}

func tolerance(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	t, err := standard.ToleranceOf(q.rules(), label)
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	q.put("tolerance_g", inGrams(t.T))
	q.put("t1_g", inGrams(t.T1))
	if !t.HasT2 {
		q.note("the us rules have no second bound")
		return nil
	}
	q.cite(t.T2At)
	q.put("t2_g", inGrams(t.T2))
	return nil
}

func inGrams(m quantity.Milligram) float64 { return float64(m) / 1000 }

func jar(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	net, err := standard.LabelMass(q.num("net_g"))
	if err != nil {
		return err
	}
	t, err := standard.ToleranceOf(q.rules(), label)
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	q.say("stands", [...]string{standard.Sound: "sound", standard.Defective: "short", standard.Barred: "barred"}[t.Of(net)])
	q.put("under_g", inGrams(label-net))
	return nil
}

func target(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	if q.has("checked") && q.count("checked") < 2 {
		return fmt.Errorf("%d jars checked, want 2 or more; leave it out for no guard", q.count("checked"))
	}
	q.without("checked", "no guard")
	goal := fill.Goal{Rules: q.rules(), Label: label, SDG: q.num("sd_g"), Checked: q.count("checked"), Degrees: q.num("degrees")}
	if err := q.allowances(&goal); err != nil {
		return err
	}
	t, err := fill.TargetFor(goal)
	if err != nil {
		return err
	}
	q.put("target_g", t.Target.Target)
	q.cite(t.Cite)
	if t.Guard > 0 {
		q.cite(t.GuardAt)
	}
	if q.full {
		q.note(fmt.Sprintf("set by the %s rule, with a guard of %.2f g; %.2g %% of jars then fall below T1", t.Governor, t.Guard, 100*t.BelowT1))
		if t.DoubtG > 0 {
			q.note(fmt.Sprintf("%.2f g of it because the spread is known from few jars", t.DoubtG))
		}
		if t.DensityG > 0 {
			q.note(fmt.Sprintf("%.2f g of it because the warmest honey of the run is lighter; set it by jars of honey at the first temperature", t.DensityG))
		}
	}
	return nil
}

// allowances takes what a target allows for besides the jars' own spread.
func (q *Query) allowances(g *fill.Goal) error {
	if q.has("degrees") && !(g.Degrees >= 1) {
		return outOf("degrees", g.Degrees, "1 or more; leave it out for a spread known well")
	}
	q.without("degrees", "the spread was taken as known well")
	q.without("tare_sd_g", "no allowance for empty jars")
	if q.has("tare_sd_g") {
		g.Tare = fill.Tare{SDG: q.num("tare_sd_g"), Weighed: q.count("tare_jars"), InSpread: q.yes("tare_in_sd")}
	}
	if q.has("temp_c") != q.has("warm_temp_c") {
		return errors.New("temp_c and warm_temp_c belong together: the honey when the filler is set, and the warmest of the run")
	}
	q.without("temp_c", "no allowance for warmer honey")
	if q.has("temp_c") {
		water := q.numOr("water_pct", 17.5)
		g.Dose = fill.Dose{ByVolume: true, SetTemp: q.temp(), WarmTemp: quantity.Celsius(q.num("warm_temp_c")),
			SetWater: quantity.WaterPct(water), WettestPct: quantity.WaterPct(q.numOr("wettest_pct", water))}
	}
	return nil
}

func minimumTarget(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	t, err := standard.MinimumTarget(label, q.num("sd_g"))
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	q.put("target_g", t.Target)
	return nil
}

func crossover(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	t, err := standard.ToleranceOf(q.rules(), label)
	if err != nil {
		return err
	}
	q.cite(t.Cite)
	q.put("sd_g", standard.CrossoverSD(t))
	return nil
}

func meanTest(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	v, err := standard.MeanTest(q.rules(), label, q.count("n"), q.num("mean_g"), q.num("sd_g"))
	if err != nil {
		return err
	}
	q.cite(v.Plan.Cite)
	q.tell("pass", v.Pass)
	q.put("limit_g", v.LimitG)
	return nil
}

func methodWords() []string { return []string{"double", "single", "destructive", "whole"} }

// method is the way of sampling: the rules' usual one unless another is asked for.
func (q *Query) method() standard.Method {
	if q.has("method") {
		return standard.Method(place(q.word("method"), methodWords()))
	}
	return q.usualMethod()
}

// usualMethod is how the rules sample jars that are not opened.
func (q *Query) usualMethod() standard.Method {
	if r := q.rules(); r == standard.US || r == standard.OIML {
		return standard.Single
	}
	return standard.Double
}

func sampling(q *Query) error {
	m := q.method()
	p, err := standard.PlanFor(q.rules(), m, q.count("batch"))
	if err != nil {
		return err
	}
	q.cite(p.Cite)
	q.put("sample", float64(p.First.N))
	q.put("accept", float64(p.First.Accept))
	q.put("reject", float64(p.First.Reject))
	if p.Second.N > 0 {
		q.put("second_sample", float64(p.Second.N))
		q.put("second_accept", float64(p.Second.Accept))
		q.put("second_reject", float64(p.Second.Reject))
	}
	if mean, err := standard.MeanPlanFor(q.rules(), q.count("batch"), m == standard.Destructive); err != nil {
		q.note(plain(err))
	} else {
		q.cite(mean.Cite)
		q.put("mean_sample", float64(mean.N))
		q.put("mean_factor", mean.K.Float())
	}
	return q.decide(p)
}

func (q *Query) decide(p standard.Plan) error {
	if !q.has("short") {
		q.without("short", "no decision")
		return nil
	}
	d, err := p.Judge(q.count("short"))
	if err == nil && q.has("short_second") {
		d, err = p.JudgeBoth(q.count("short"), q.count("short_second"))
	}
	if err != nil {
		return err
	}
	q.say("decision", d.String())
	return nil
}
