package office

import (
	"context"
	"math"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/record"
)

// FillAnswer answers how a run fills: whether a nozzle wanders and how far back to go, the
// verdict, what to set the filler to, and what a gram costs.
func (o *Office) FillAnswer(ctx context.Context, run record.Code) answer.Answer {
	s, f, why := o.FillState(ctx, run)
	a := answer.Answer{Question: "fill", Of: run}
	if why != nil {
		o.Read(func(v *View) {
			if a.Of = v.properCode(run); why.Key == "fill.no-run" {
				if near := v.State.Near(run, []record.Entity{record.Run}); len(near) > 0 {
					why = &answer.Line{Key: "fill.which", Args: answer.Args{"of": run, "near": near}}
				}
			}
		})
		a.Cannot = why
		return a
	}
	a.Of = s.Spec.Run
	FillLines(&a, s)
	FillTables(&a, s)
	if f.Lost > 0 {
		a.Warn("fill.blocks-lost", answer.Args{"n": int64(f.Lost)})
	}
	o.Read(func(v *View) { v.restsOnRecord(&a) })
	return a
}

// FillState is how a run's filling stands: what the record has, and what comes in now.
func (o *Office) FillState(ctx context.Context, run record.Code) (s FillState, f RunFilling, why *answer.Line) {
	if live := o.filling(run); live != nil {
		s = live.State()
	} else {
		if f, why = o.Filling(ctx, run); why != nil {
			return s, f, why
		}
		s = f.State()
	}
	o.Read(func(v *View) {
		for i := range s.Risks {
			v.places(&s.Risks[i])
		}
		v.yearOf(&s)
		if s.Spec.HasDivision && !s.Spec.Weighing.Enough {
			s.WouldDo = v.WouldDo(s.Spec.Rules, s.Spec.Label)
		}
	})
	return s, f, nil
}

// yearOf counts the units filled under the same label in the year up to the run, for what
// a gram costs.
func (v *View) yearOf(s *FillState) {
	end := s.LatestMS / 60_000
	if end == 0 {
		end = s.Spec.StartMS / 60_000
	}
	const year = 365 * minutesADay
	for _, t := range v.State.OfKind(record.Run) {
		r, ok := v.State.Run(t)
		if !ok || r.When.Minute > end || r.When.Minute <= end-year {
			continue
		}
		p, ok := v.State.Goods.Product(r.Started.Product)
		if m, err := p.Label.Figure.Milligrams(); !ok || err != nil || m != s.Spec.Label {
			continue
		}
		for _, b := range r.Batches {
			s.Target.YearJars += v.State.UnitsMade(v.State.Code(b))
		}
	}
	if s.Target.YearJars > 0 {
		s.Target.GramYear, _ = fill.Above(s.Spec.Label, fill.Grams(s.Spec.Label)+1, s.Target.YearJars, s.Spec.PricePerKg)
	}
}

// GramsOf is a mass in grams as a figure of so many decimals.
func GramsOf(g float64, decimals uint8) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(g * math.Pow10(int(decimals)))), Decimals: decimals, Unit: quantity.G}
}

// finest is a mass to the milligram, without zeros at its end.
func finest(g float64) quantity.Figure {
	f := GramsOf(g, 3)
	for f.Decimals > 0 && f.Mantissa%10 == 0 {
		f.Mantissa, f.Decimals = f.Mantissa/10, f.Decimals-1
	}
	return f
}

// Decimals is how finely masses of these units are told: small portions to a hundredth of
// a gram.
func (s *FillSpec) Decimals() uint8 {
	if s.Label < 50_000 {
		return 2
	}
	return 1
}

// Warmth is a temperature to a tenth of a degree.
func Warmth(t quantity.Celsius) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(float64(t) * 10)), Decimals: 1, Unit: quantity.DegC}
}

func kgOf(kg float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(kg * 10)), Decimals: 1, Unit: quantity.KgUnit}
}

// moment is a time of a run as the record writes times.
func (s *FillSpec) Moment(ms int64) record.When {
	return record.When{Minute: ms / 60_000, Offset: s.Offset, Precision: record.ToMinute}
}

// FillLines says in short how a run stands, and what to do next.
func FillLines(a *answer.Answer, s FillState) {
	x := lister{a, &s}
	x.state()
	for i := range s.Risks {
		x.risk(&s.Risks[i])
	}
	x.verdicts()
	x.nozzles()
	x.target()
	x.rests()
}

type lister struct {
	a *answer.Answer
	s *FillState
}

func (x *lister) say(mark answer.Mark, key string, args answer.Args) {
	x.a.Lines = append(x.a.Lines, answer.Line{Key: key, Args: args, Mark: mark})
}

// next is a step that is no more to be taken once the jars are sorted.
func (x *lister) next(key string, args answer.Args) {
	if len(x.s.Sorted) == 0 {
		x.a.Then(key, args)
	}
}

func (x *lister) state() {
	s := x.s
	switch {
	case s.Whole == nil:
		x.say(answer.Care, "fill.none", answer.Args{"of": s.Spec.Run})
		if !s.Spec.Ended {
			x.a.Then("next.fill.check", nil)
		}
	case len(s.Risks) > 0: // told with each
	case s.Learning:
		x.say(answer.Plain, "fill.learning", nil)
	default:
		x.say(answer.Good, "fill.steady", answer.Args{"n": int64(len(s.Nozzles))})
	}
	if s.Gross {
		x.say(answer.Care, "fill.gross", answer.Args{"mean": GramsOf(s.Whole.MeanG, 1), "label": s.Spec.Label})
	}
	x.cuts()
	if s.Flagged > 0 {
		x.say(answer.Care, "fill.odd", answer.Args{"n": s.Flagged})
	}
}

// cuts says that the line to the scale was cut, and what became of the jars meanwhile.
func (x *lister) cuts() {
	s := x.s
	if s.DownMS > 0 {
		x.say(answer.Bad, "fill.down", answer.Args{"at": s.Spec.Moment(s.DownMS)})
	}
	if len(s.Cuts) == 0 {
		return
	}
	missing, unknown := int64(0), false
	for _, c := range s.Cuts {
		missing, unknown = missing+max(0, c.Missing), unknown || c.Missing < 0
	}
	last := s.Cuts[len(s.Cuts)-1]
	args := answer.Args{"n": s.CutCount, "from": s.Spec.Moment(last.FromMS), "seconds": last.Seconds(), "missing": missing}
	switch {
	case missing > 0:
		x.say(answer.Bad, "fill.cut-lost", args)
	case unknown:
		x.say(answer.Care, "fill.cut", args)
	default:
		x.say(answer.Plain, "fill.cut-none", args)
		return
	}
	if !s.Spec.Ended {
		x.next("next.fill.cut", nil)
	}
}

// risk says that a nozzle wanders, since when, and which jars to hold.
func (x *lister) risk(r *FillRisk) {
	s := x.s
	var n *NozzleState
	for i := range s.Nozzles {
		if s.Nozzles[i].Nozzle == r.Nozzle {
			n = &s.Nozzles[i]
		}
	}
	key := "fill.alarm-high"
	if r.Low {
		key = "fill.alarm-low"
	}
	x.say(answer.Bad, key, answer.Args{"nozzle": int64(r.Nozzle), "at": s.Spec.Moment(r.CaughtMS), "check": r.Caught, "mean": GramsOf(n.Alarm.MeanG, s.Spec.Decimals()), "usual": GramsOf(n.Alarm.CentreG, s.Spec.Decimals())})
	args := answer.Args{"nozzle": int64(r.Nozzle), "check": r.Good, "at": s.Spec.Moment(r.GoodMS), "all": r.All, "own": r.Own, "held": r.Held}
	switch {
	case !r.Counted:
		x.say(answer.Bad, "fill.risk-uncounted", args)
	case r.Good == 0:
		x.say(answer.Bad, "fill.risk-from-start", args)
	default:
		x.say(answer.Bad, "fill.risk", args)
	}
	if r.Gone > 0 && !r.Sorted {
		x.say(answer.Bad, "fill.risk-gone", answer.Args{"n": r.Gone})
	}
	if !s.Spec.Ended && n.Advised {
		switch n.Advice.Do {
		case fill.SetIt:
			x.a.Then("next.fill.set", answer.Args{"nozzle": int64(r.Nozzle), "by": GramsOf(n.Advice.ByG, s.Spec.Decimals())})
		case fill.WeighAgain:
			x.a.Then("next.fill.again", answer.Args{"nozzle": int64(r.Nozzle)})
		}
	}
	switch {
	case r.Sorted:
	case r.OnHold:
		x.a.Then("next.fill.held", nil)
	case len(r.Marks) > 0:
		x.a.Then("next.fill.hold", answer.Args{"marks": r.Marks})
	default:
		x.a.Then("next.fill.keep", answer.Args{"n": r.Held})
	}
}

func (x *lister) verdicts() {
	s := x.s
	if s.Whole == nil {
		return
	}
	if s.Spec.HasDivision && !s.Spec.Weighing.Enough {
		x.say(answer.Bad, "fill.too-coarse", answer.Args{"scale": s.Spec.Scale, "division": finest(s.Spec.Weighing.Division.Grams()), "most": finest(s.Spec.Weighing.Most.Grams())})
		key := "next.fill.scale"
		if len(s.WouldDo) > 0 {
			key = "next.fill.scale-here"
		}
		x.a.Then(key, answer.Args{"division": finest(s.Spec.Weighing.WouldDo.Grams()), "scales": s.WouldDo})
		if n := s.Spec.Weighing.Together; n > 1 && !s.Spec.Ended {
			x.a.Then("next.fill.together", answer.Args{"n": int64(n)})
		}
		return
	}
	x.judged("fill.whole", s.Whole)
	if s.LastHour != nil && !s.Spec.Ended {
		x.judged("fill.last-hour", s.LastHour)
	}
	if s.WorstHour != nil && (s.Spec.Ended || *s.WorstHour != *s.LastHour) {
		x.judged("fill.worst-hour", s.WorstHour)
	}
	if s.Pulled != nil {
		if s.Pulled.Pass() {
			x.say(answer.Care, "fill.pulled-pass", answer.Args{"below": s.Spec.Tolerance.T1})
			x.next("next.fill.pull", answer.Args{"below": s.Spec.Tolerance.T1})
		} else {
			x.say(answer.Bad, "fill.pulled-fail", answer.Args{"below": s.Spec.Tolerance.T1, "mean": GramsOf(s.Pulled.MeanG, 2), "label": s.Spec.Label})
		}
		if s.Kept != nil && !s.Pulled.Pass() {
			x.next("next.fill.keep-back", answer.Args{"below": GramsOf(s.KeepG, 1), "n": s.WorstHour.Jars - s.Kept.Jars, "left": s.Kept.Jars, "mean": GramsOf(s.Kept.MeanG, 2)})
		}
	}
	for i := range s.Sorted {
		x.judged("fill.sorted", &s.Sorted[i])
	}
}

// judged says one verdict with its figures.
func (x *lister) judged(key string, v *FillVerdict) {
	mark, word := Judged(v)
	x.say(mark, key, answer.Args{"verdict": answer.Key(word), "from": x.s.Spec.Moment(v.FromMS), "to": x.s.Spec.Moment(v.ToMS), "mean": GramsOf(v.MeanG, 2),
		"label": x.s.Spec.Label, "short": int64(math.Round(v.Short)), "jars": v.Jars, "share": quantity.Percent(100 * v.Share), "most": quantity.Percent(100 * v.Most), "below": x.s.Spec.Tolerance.T1})
}

// Judged is the mark and the word of a verdict.
func Judged(v *FillVerdict) (answer.Mark, string) {
	switch {
	case !v.NoneOK:
		return answer.Bad, "fill.verdict.barred"
	case !v.MeanOK && !v.ShareOK:
		return answer.Bad, "fill.verdict.both"
	case !v.MeanOK && v.Sure == quantity.TooClose:
		return answer.Bad, "fill.verdict.mean-close"
	case !v.MeanOK:
		return answer.Bad, "fill.verdict.mean"
	case !v.ShareOK:
		return answer.Bad, "fill.verdict.short"
	case v.Sure == quantity.TooClose:
		return answer.Care, "fill.verdict.close"
	}
	return answer.Good, "fill.verdict.pass"
}

// nozzles names nozzles that are off from the start, or give what no jar holds.
func (x *lister) nozzles() {
	for i := range x.s.Nozzles {
		n := &x.s.Nozzles[i]
		if n.Dry {
			x.say(answer.Bad, "fill.dry", answer.Args{"nozzle": int64(n.Nozzle)})
		}
		if n.OffSet {
			x.say(answer.Care, "fill.off-set", answer.Args{"nozzle": int64(n.Nozzle), "mean": GramsOf(n.MeanG, x.s.Spec.Decimals()), "set": GramsOf(x.s.Spec.SetG, x.s.Spec.Decimals())})
		}
	}
}

func (x *lister) target() {
	s, t := x.s, &x.s.Target
	if !t.Known {
		return
	}
	args := answer.Args{"target": GramsOf(t.Target.Target.Target, s.Spec.Decimals()), "guard": GramsOf(t.Guard, s.Spec.Decimals()), "spread": GramsOf(t.SDG, 2), "checked": int64(t.Checked), "label": s.Spec.Label}
	x.say(answer.Plain, "fill.target", args)
	if d := s.Spec.Dose; d.ByVolume {
		x.say(answer.Plain, "fill.density", answer.Args{"drop": GramsOf(t.DensityG, 2), "at": Warmth(d.SetTemp), "to": Warmth(d.WarmTemp)})
	}
	if s.Spec.HasSet {
		x.say(answer.Plain, "fill.set-now", answer.Args{"set": GramsOf(s.Spec.SetG, s.Spec.Decimals())})
	}
	if t.HasOver {
		args := answer.Args{"jar": GramsOf(t.OverNow.PerJarG, 2), "kg": kgOf(t.OverNow.Kg), "money": t.OverNow.Money}
		key := "fill.over"
		if !s.Counted {
			key = "fill.over-jar"
		} else if s.Spec.HasPrice {
			key = "fill.over-money"
		}
		if t.OverNow.PerJarG < 0 { // nothing is given away
			key, args = "fill.under", answer.Args{"jar": GramsOf(-t.OverNow.PerJarG, 2)}
		}
		x.say(answer.Plain, key, args)
	}
	if t.YearJars > 0 {
		key := "fill.gram-year"
		if s.Spec.HasPrice {
			key = "fill.gram-year-money"
		}
		x.say(answer.Plain, key, answer.Args{"jars": t.YearJars, "kg": kgOf(t.GramYear.Kg), "money": t.GramYear.Money})
	}
}

func (x *lister) rests() {
	s := x.s
	switch {
	case s.Stream:
		x.a.RestsOn("rests.fill-stream", answer.Args{"n": s.Weighed, "at": s.Spec.Moment(s.LatestMS)})
	case s.Checks > 0:
		x.a.RestsOn("rests.fill-checks", answer.Args{"n": s.Checks, "at": s.Spec.Moment(s.LatestMS)})
	}
	if !s.SigmaKnown {
		x.a.RestsOn("rests.fill-assumed", answer.Args{"spread": GramsOf(s.SigmaG, 2)})
	}
	if !s.Counted && s.Whole != nil {
		x.a.RestsOn("rests.fill-uncounted", nil)
	}
	c := s.Spec.Tolerance.Cite
	x.a.Follows("follows.fill", answer.Args{"set": c.ID(), "place": c.Place, "t1": s.Spec.Tolerance.T1, "tolerance": s.Spec.Tolerance.T})
	x.a.Follows("follows.fill-chart", nil)
}

// FillTables adds the figures: each nozzle, each verdict, the jars at risk.
func FillTables(a *answer.Answer, s FillState) {
	if s.Whole == nil {
		return
	}
	n := a.Table("nozzles", "nozzle", "checks", "jars", "mean_mg", "spread_mg", "last_mg", "signals", "advice_mg")
	for i := range s.Nozzles {
		x := &s.Nozzles[i]
		if x.Jars == 0 {
			n.Row(answer.Care, int64(x.Nozzle), int64(0), int64(0), nil, nil, nil, nil, nil)
			continue
		}
		mark := answer.Plain
		if x.Alarm.Check > 0 {
			mark = answer.Bad
		}
		var spread, advice any
		if !math.IsNaN(x.SpreadG) {
			spread = milligrams(x.SpreadG)
		}
		if x.Advised && x.Advice.Do == fill.SetIt && !s.Spec.Ended {
			advice = milligrams(x.Advice.ByG)
		}
		n.Row(mark, int64(x.Nozzle), x.Last.Check, x.Jars, milligrams(x.MeanG), spread, milligrams(x.Last.MeanG), signalWord(x.Last.Signals), advice)
	}
	v := a.Table("verdicts", "of", "from", "to", "jars", "mean_mg", "below_t1", "share_pct", "verdict")
	row := func(of string, x *FillVerdict) {
		if x == nil {
			return
		}
		mark, word := Judged(x)
		if s.Spec.HasDivision && !s.Spec.Weighing.Enough {
			mark, word = answer.Bad, "fill.verdict.coarse"
		}
		var jars any = x.Jars
		if !x.Counted {
			jars = nil
		}
		v.Row(mark, answer.Key(of), s.Spec.Moment(x.FromMS), s.Spec.Moment(x.ToMS), jars, milligrams(x.MeanG), int64(math.Round(x.Short)), quantity.Percent(100*x.Share), answer.Key(word))
	}
	row("fill.of.whole", s.Whole)
	row("fill.of.last", s.LastHour)
	if s.LastHour == nil || s.WorstHour == nil || *s.WorstHour != *s.LastHour {
		row("fill.of.worst", s.WorstHour)
	}
	row("fill.of.pulled", s.Pulled)
	row("fill.of.kept", s.Kept)
	for i := range s.Sorted {
		row("fill.of.sorted", &s.Sorted[i])
	}
	cutTable(a, &s)
	if len(s.Risks) == 0 {
		return
	}
	r := a.Table("at-risk", "nozzle", "good_check", "good_at", "caught_check", "caught_at", "jars_then", "jars_nozzle", "jars", "lot_marks", "cases", "pallets")
	for i := range s.Risks {
		x := &s.Risks[i]
		r.Row(answer.Bad, int64(x.Nozzle), countOrNil(x.Good), s.Spec.Moment(x.GoodMS), x.Caught, s.Spec.Moment(x.CaughtMS), counted(x.ThenAll, x), counted(x.Own, x), counted(x.Held, x),
			x.Marks, countOrNil(x.CaseCount), x.Pallets)
	}
}

// cutTable lists when the line to the scale was cut.
func cutTable(a *answer.Answer, s *FillState) {
	if len(s.Cuts) == 0 {
		return
	}
	t := a.Table("cuts", "from", "to", "seconds", "numbers")
	for _, c := range s.Cuts {
		mark, missing := answer.Care, any(nil)
		if c.Missing > 0 {
			mark = answer.Bad
		}
		if c.Missing >= 0 {
			missing = c.Missing
		}
		t.Row(mark, s.Spec.Moment(c.FromMS), s.Spec.Moment(c.ToMS), c.Seconds(), missing)
	}
}

func counted(n int64, r *FillRisk) any {
	if !r.Counted {
		return nil
	}
	return n
}

func milligrams(g float64) quantity.Milligram { return quantity.Milligram(math.Round(g * 1000)) }

// signalWord is the word for what a point says, the gravest first; nil when it says
// nothing.
func signalWord(s fill.Signal) any {
	for _, some := range [...]fill.Signal{fill.Alarms, ^fill.Learning, fill.Learning} {
		if names := (s & some).Names(); len(names) > 0 {
			return answer.Key("fill.signal." + names[0])
		}
	}
	return nil
}
