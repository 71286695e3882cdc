package reckon

import (
	"fmt"
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/standard"
)

const (
	chartSource = "control charts as in Montgomery, Introduction to Statistical Quality Control (sums and averages; from memory), factors of the ASTM-type " +
		"tables as reprinted in quality handbooks (read); start of a drift by maximum likelihood, Hinkley, Biometrika 57, 1970 (from memory)"
	spreadSource = "nested analysis of variance; degrees of freedom by Satterthwaite, Biometrics Bulletin 2, 1946 (from memory)"
)

// milligrams is a net mass as typed.
func milligrams(g float64) (quantity.Milligram, error) { return standard.LabelMass(g) }

// checkInputs are the ways to tell what was weighed.
func checkInputs() []Input {
	return []Input{
		file("checks", "a CSV table, its file's name or - for standard input: columns check, nozzle, and the weights in w1, w2 and so on; or jars, mean_g and, where known, sd_g; or one jar a row in net_g").either(),
		text("means_g", "means of one nozzle's checks in g, parted by blanks").either(),
		text("weights", "net masses of one nozzle's jars in g, check after check").either(),
		count("jars", "jars in a check, with means_g and weights; left out: 5").optional()}
}

// chartSubjects watch nozzles.
func chartSubjects() []Subject {
	return []Subject{
		{Name: "chart", Help: "does a nozzle wander, since when, and what to do",
			Range: "1 to 64 nozzles, checks of 1 to 1000 jars, up to 100 kg",
			Doubt: "a steady nozzle gives a false alarm about once in 220 checks; one that moves by two standard deviations of a check's mean is found after 3.5; " +
				"the start lies in its interval 9 times in 10 (measured by simulation)",
			Source:  chartSource,
			Caution: "lines tell whether the filling changed, not whether jars are lawful: for that see batch and run-verdict. A check out alone may be a slip: weigh five more before you turn anything",
			Example: "--means-g \"341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 341.3 339.5 337.0 334.4 331.8 329.1\" --jars 5 --sd-g 1.7 --target-g 341.3 --step-g 0.1",
			Inputs: append(checkInputs(),
				number("sd_g", quantity.G, "standard deviation of single jars within a check; left out: learned from the weights").optional(),
				number("centre_g", quantity.G, "what a nozzle should give; left out: the mean of its first five checks").optional(),
				number("label_g", quantity.G, "net mass on the label: refuses what no jar of it can hold").optional(),
				number("target_g", quantity.G, "set weight, for advice; left out: the centre").optional(),
				number("step_g", quantity.G, "finest step of the filler's setting; left out: any").optional(),
				number("division_g", quantity.G, "division of the scale: the spread is not taken for less than its rounding").optional(),
				number("mean_line", quantity.Each, "lines of the means, standard deviations; left out: 3").optional(),
				number("weight", quantity.Each, "weight of the newest mean in the moving average; left out: 0.2").optional(),
				number("average_line", quantity.Each, "lines of the moving average, its standard deviations; left out: 2.962").optional(),
				number("slack", quantity.Each, "slack of the cumulative sums, standard deviations of a mean; left out: 0.5").optional(),
				number("sum_line", quantity.Each, "line of the cumulative sums, the same; left out: 5").optional(),
				number("head_start", quantity.Each, "where the sums start, as a share of their line; left out: 0").optional()),
			Answers: []Answer{rowsOfTable("rows", "one row a check: means, lines, sums, and −1, 0 or 1 for an alarm below, none or above"),
				counts("alarm_nozzle", "nozzle with the first alarm that stands; 0: none"), counts("alarm_check", "check at which it began"),
				counts("last_good_check", "go back to this check: the last before the estimated start without an alarm"),
				counts("start_low", "the start is after this check or later, 9 in 10 with start_high"), counts("start_high", "and after this one or earlier"),
				says("kind", "jump or drift"), gives("start", "checks", 4, "where the drift leaves the centre, on the scale of checks"),
				gives("size_g", "g", 4, "the jump, or the drift a check"),
				says("advice", "leave, weigh-again or set"), gives("set_by_g", "g", 4, "by how much to set it up; negative: down"),
				gives("sd_used_g", "g", 4, "standard deviation of single jars that the lines are made with")}, answer: chart},
		{Name: "spread", Help: "how much jars differ over a whole period, and where it comes from",
			Range: "2 or more jars weighed one by one in a check", Doubt: "the band of the total holds 9 cases in 10", Source: spreadSource,
			Caution: "take the period's spread to target, not one sample's: a mean that wanders puts jars below a bound as surely as jars that differ",
			Example: "--weights \"341.2 339.8 343.0 340.7 341.9 342.4 338.6 341.0 340.3 342.8 339.9 341.6 340.1 343.3 341.4 340.8 342.0 339.2 341.7 340.5\"",
			Inputs:  append(checkInputs(), number("sd_g", quantity.G, "spread within a check, where only means were written down").optional()),
			Answers: []Answer{gives("total_g", "g", 4, "standard deviation of single jars over the period"), gives("within_g", "g", 4, "jar to jar within a check"),
				gives("moving_g", "g", 4, "a nozzle's mean from check to check"), gives("nozzles_g", "g", 4, "between the nozzles"),
				gives("degrees", "", 4, "degrees of freedom behind the total, for target"), gives("mean_g", "g", 0, "mean of all jars"),
				counts("jars_seen", "jars weighed")}, answer: spread},
	}
}

// line takes all checks through a line of nozzles.
func (q *Query) line(d fill.Design, all []nozzleCheck, each func(nozzleCheck, fill.Point)) (*fill.Line, error) {
	nozzles := 1
	for _, c := range all {
		nozzles = max(nozzles, c.nozzle)
	}
	l, err := fill.NewLine(d, nozzles)
	if err != nil {
		return nil, err
	}
	for _, c := range all {
		var p fill.Point
		if len(c.net) > 0 {
			p, err = l.CheckJars(c.nozzle, c.net)
		} else {
			p, err = l.Check(c.nozzle, c.summary)
		}
		if err != nil {
			return nil, fmt.Errorf("check %d: %w", c.number, err)
		}
		each(c, p)
	}
	return l, nil
}

func (q *Query) design() fill.Design {
	d := fill.Usual()
	d.SDG, d.CentreG, d.LabelG, d.DivisionG = q.num("sd_g"), q.num("centre_g"), q.num("label_g"), q.num("division_g")
	d.Line, d.Lambda, d.L = q.numOr("mean_line", d.Line), q.numOr("weight", d.Lambda), q.numOr("average_line", d.L)
	d.K, d.H, d.Head = q.numOr("slack", d.K), q.numOr("sum_line", d.H), q.numOr("head_start", 0)
	d.Clip = max(d.Clip, 2*d.Line)
	return d
}

func chart(q *Query) error {
	all, err := q.checks()
	if err != nil {
		return err
	}
	for _, name := range [...]string{"sd_g", "centre_g", "label_g"} {
		if q.has(name) && !(q.num(name) > 0) {
			return outOf(name, q.num(name), "above 0; leave it out if it is not known")
		}
	}
	t := &rowTable{columns: []rowColumn{{"check", 0, true}, {"nozzle", 0, true}, {"jars", 0, false}, {"mean_g", 2, true}, {"sd_g", 2, false},
		{"centre_g", 2, false}, {"low_g", 2, true}, {"high_g", 2, true}, {"z", 2, true}, {"average", 3, true}, {"average_line", 3, true},
		{"sum_up", 2, true}, {"sum_down", 2, true}, {"alarm", 0, true}}}
	numbers := map[int][]int{}
	d := q.design()
	l, err := q.line(d, all, func(c nozzleCheck, p fill.Point) {
		numbers[c.nozzle] = append(numbers[c.nozzle], c.number)
		t.rows = append(t.rows, pointRow(c, p, d.Line))
		t.columns[4].main = t.columns[4].main || p.HasSD
	})
	if err != nil {
		return err
	}
	q.out[q.answerAt("rows")] = value{given: true, rows: t}
	if s, known := l.Sigma(); known {
		q.put("sd_used_g", s)
	} else {
		q.note("the spread of jars is not known: weigh jars one by one, or give sd_g; nothing is said of alarms")
		return nil
	}
	return q.alarms(l, numbers)
}

// pointRow is a point under its fixed names.
func pointRow(c nozzleCheck, p fill.Point, line float64) []float64 {
	sd, low, high := math.NaN(), math.NaN(), math.NaN()
	if p.HasSD {
		sd = p.SDG
	}
	centre := p.CentreG
	if p.Signals.Has(fill.Learning) {
		centre = math.NaN()
	} else {
		low, high = centre-line*p.OffG, centre+line*p.OffG
	}
	alarm := 0.0
	switch {
	case p.Signals.Has(fill.MeanLow | fill.DriftLow):
		alarm = -1
	case p.Signals.Has(fill.MeanHigh | fill.DriftHigh):
		alarm = 1
	}
	return []float64{float64(c.number), float64(c.nozzle), float64(p.N), p.MeanG, sd, centre, low, high, p.Z, p.Average, p.Line, p.Up, p.Down, alarm}
}

// alarms tells of the nozzle whose alarm came first, and notes the others.
func (q *Query) alarms(l *fill.Line, numbers map[int][]int) error {
	first := 0
	var at int
	for k := 1; k <= l.Nozzles(); k++ {
		w, err := l.Nozzle(k)
		if err != nil {
			return err
		}
		a := w.Alarm()
		if a.Check == 0 {
			continue
		}
		check := numbers[k][a.Check-1]
		if first == 0 || check < at {
			first, at = k, check
		}
		q.note(fmt.Sprintf("nozzle %d: alarm at check %d", k, check))
	}
	q.put("alarm_nozzle", float64(first))
	if first == 0 {
		return q.settings(l)
	}
	w, err := l.Nozzle(first)
	if err != nil {
		return err
	}
	q.put("alarm_check", float64(at))
	return q.start(w, numbers[first])
}

// settings tells, where no alarm stands, whether a steady nozzle was set wrong.
func (q *Query) settings(l *fill.Line) error {
	var most fill.Advice
	for k := 1; k <= l.Nozzles(); k++ {
		w, err := l.Nozzle(k)
		if err != nil {
			return err
		}
		if p := w.Last(); p.Check == 0 || p.Signals.Has(fill.Learning) {
			continue
		}
		a, err := w.Advise(q.numOr("target_g", w.Last().CentreG), q.num("step_g"))
		if err != nil {
			return err
		}
		if a.Do == fill.SetIt {
			q.note(fmt.Sprintf("nozzle %d is steady but %+.2f g off the target: set it by %+.2f g", k, a.OffG, a.ByG))
		}
		if math.Abs(a.ByG) > math.Abs(most.ByG) {
			most = a
		}
	}
	q.say("advice", most.Do.String())
	if most.Do == fill.SetIt {
		q.put("set_by_g", most.ByG)
	}
	return nil
}

// start tells since when the nozzle moves and what to do about it.
func (q *Query) start(w *fill.Watch, numbers []int) error {
	c, err := w.ChangePoint()
	if err != nil {
		return err
	}
	good, err := w.LastGood(false)
	if err != nil {
		return err
	}
	number := func(check int64) float64 { // checks may be numbered otherwise in the table
		if check < 1 {
			return 0
		}
		return float64(numbers[check-1])
	}
	q.put("last_good_check", number(good))
	q.put("start_low", number(c.Low))
	q.put("start_high", number(c.High))
	q.put("start", number(c.After)+c.At-float64(c.After))
	q.put("size_g", c.SizeG)
	q.say("kind", map[bool]string{true: "drift", false: "jump"}[c.Ramp])
	target := q.numOr("target_g", w.Last().CentreG)
	a, err := w.Advise(target, q.num("step_g"))
	if err != nil {
		return err
	}
	q.say("advice", a.Do.String())
	if a.Do == fill.SetIt {
		q.put("set_by_g", a.ByG)
	}
	return nil
}

func spread(q *Query) error {
	all, err := q.checks()
	if err != nil {
		return err
	}
	if q.has("sd_g") && !(q.num("sd_g") > 0) {
		return outOf("sd_g", q.num("sd_g"), "above 0; leave it out if it is not known")
	}
	d := fill.Usual()
	d.SDG = q.num("sd_g")
	l, err := q.line(d, all, func(nozzleCheck, fill.Point) {})
	if err != nil {
		return err
	}
	s, err := l.Spread()
	if err != nil {
		return err
	}
	q.put("total_g", s.TotalG)
	q.between("total_g", s.LowG, s.HighG)
	q.put("within_g", s.WithinG)
	q.put("moving_g", s.MovingG)
	q.put("nozzles_g", s.NozzlesG)
	if math.IsInf(s.Degrees, 1) {
		q.note("the spread is known well: no degrees of freedom to give")
	} else {
		q.put("degrees", s.Degrees)
	}
	q.put("mean_g", s.MeanG)
	q.put("jars_seen", float64(s.Jars))
	return nil
}
