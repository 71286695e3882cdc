package web

import (
	"html/template"
	"math"
	"strings"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Filling: whether a nozzle wanders, how far back to go, the verdict, what to set the
// filler to and what a gram costs. It works from five jars of each nozzle, weighed every
// half-hour, and from a scale that sends each weight.
type fillPage struct {
	*frame
	Of     string
	Line   string
	Stamp  *stamp
	Acts   []option
	Alarms []fillAlarm
	Tiles  []tile
	Charts []nozzleView
	Pooled []template.HTML
	Target *targetView
	Told   []answerLine
	Next   []answerLine
	Sheets []*sheet
	Do     []option
	Runs   []option
	None   string
	Start  string
	Table  *sheet // of runs, where none is shown
}

// A stamp is the verdict of a page.
type stamp struct{ Class, Icon, Text, Under string }

// A fillAlarm is a nozzle that wanders, with the jars at risk.
type fillAlarm struct {
	Class, Icon, Text, Under string
	Acts                     []option
}

// A tile is one figure at the top of the page.
type tile struct {
	Label, Under string
	Fig          figure
}

// A nozzleView is one nozzle's chart.
type nozzleView struct {
	Name   string
	State  chip
	Charts []template.HTML
	Note   string
	Adjust string
}

// A targetView is what to set the filler to.
type targetView struct {
	Value, Unit, Text, Under, How, Set string
}

func (v *visit) fill() error {
	p := fillPage{frame: v.frame("fill", v.say("page.tab.fill")), Start: "/enter/run-start?back=/fill"}
	run := v.of()
	v.s.office.Read(func(h *office.View) {
		if run == "" {
			run = h.LatestRun()
		}
		things := h.State.OfKind(record.Run)
		for _, t := range things[max(0, len(things)-mostLikely):] {
			c := h.State.Code(t)
			p.Runs = append(p.Runs, option{Text: string(c), Href: link("/fill", "of", string(c)), On: c.Fold() == run.Fold()})
		}
		for _, t := range h.RunsMade().Tables {
			if len(t.Rows) > 0 {
				p.Table = v.sheetTo(mostLikely, t, 0, "/history")
			}
		}
	})
	if run == "" {
		p.None = v.say("page.fill.no-run")
		return v.render("fill", p)
	}
	s, _, why := v.s.office.FillState(v.r.Context(), run)
	if why != nil {
		p.None = v.sentence(*why)
		p.Of = string(run)
		return v.render("fill", p)
	}
	v.fillRun(&p, &s)
	return v.render("fill", p)
}

// fillRun is the page of one run.
func (v *visit) fillRun(p *fillPage, s *office.FillState) {
	p.Of = string(s.Spec.Run)
	p.about(s.Spec.Run)
	p.Title = v.say("page.fill.title", "what", nameOf(s.Spec.Product, s.Spec.Name))
	p.Line = v.with("page.fill.line", answer.Args{"run": s.Spec.Run, "n": s.Jars})
	if !s.Counted || s.Whole == nil {
		p.Line = v.with("page.fill.line-uncounted", answer.Args{"run": s.Spec.Run})
	}
	p.Line += " · " + v.with("page.fill.begun", answer.Args{"at": s.Spec.Moment(s.Spec.StartMS)})
	p.Stamp = v.fillStamp(s)
	v.fillActs(p, s)
	v.fillAlarms(p, s)
	v.fillTiles(p, s)
	for i := range s.Nozzles {
		if n := &s.Nozzles[i]; len(n.Points) > 0 {
			p.Charts = append(p.Charts, v.nozzleView(s, n))
		}
	}
	p.Pooled = v.pooledCharts(s)
	v.fillTarget(p, s)
	var a answer.Answer
	office.FillLines(&a, *s)
	for _, l := range a.Lines {
		if l.Key == "fill.gross" || l.Key == "fill.down" || l.Key == "fill.cut" || l.Key == "fill.cut-lost" || l.Key == "fill.cut-none" || l.Key == "fill.odd" || l.Key == "fill.dry" || l.Key == "fill.off-set" || l.Key == "fill.too-coarse" || len(s.Sorted) == 0 && (l.Key == "fill.pulled-fail" || l.Key == "fill.pulled-pass") || l.Key == "fill.none" {
			p.Told = append(p.Told, v.line(l))
		}
	}
	for _, l := range a.Next {
		p.Next = append(p.Next, v.line(l))
	}
	if s.Whole != nil {
		p.Sheets = append(p.Sheets, v.verdictSheet(s))
		if len(s.Odd) > 0 {
			p.Sheets = append(p.Sheets, v.oddSheet(s))
		}
		if len(s.Cuts) > 0 {
			p.Sheets = append(p.Sheets, v.cutSheet(s))
		}
	}
	if d := v.didSheet(s); len(d.Rows) > 0 {
		p.Sheets = append(p.Sheets, d)
	}
}

// with is a text with figures of the record in it.
func (v *visit) with(key string, args answer.Args) string {
	return v.sentence(answer.Line{Key: key, Args: args})
}

// fillStamp is the one loud thing: wanders, fails, too close, in order.
func (v *visit) fillStamp(s *office.FillState) *stamp {
	at := func(class, key, under string) *stamp {
		return &stamp{Class: class, Icon: chipIcons[class], Text: v.say(key), Under: v.say(under)}
	}
	worst := s.WorstHour
	switch {
	case s.Whole == nil:
		return at("", "page.fill.stamp.none", "page.fill.stamp.weigh")
	case s.Spec.HasDivision && !s.Spec.Weighing.Enough:
		return at("stop", "page.fill.stamp.coarse", "page.fill.stamp.scale")
	case len(s.Sorted) > 0:
		for i := range s.Sorted {
			if !s.Sorted[i].Pass() {
				return at("stop", "page.fill.stamp.fails", "page.fill.stamp.sort")
			}
		}
		for i := range s.Sorted {
			if s.Sorted[i].Sure == quantity.TooClose {
				return at("watch", "page.fill.stamp.sorted", "page.fill.stamp.close-one")
			}
		}
		return at("ok", "page.fill.stamp.sorted", "page.fill.stamp.released")
	case len(s.Risks) > 0 && !s.Spec.Ended:
		return at("stop", "page.fill.stamp.wanders", "page.fill.stamp.stop")
	case worst != nil && !worst.Pass() || !s.Whole.Pass():
		return at("stop", "page.fill.stamp.fails", "page.fill.stamp.sort")
	case worst != nil && worst.Sure == quantity.TooClose:
		return at("watch", "page.fill.stamp.close", "page.fill.stamp.more")
	case s.Learning:
		return at("", "page.fill.stamp.learning", "page.fill.stamp.weigh")
	case s.Spec.Ended:
		return at("ok", "page.fill.stamp.passed", "page.fill.stamp.over")
	}
	return at("ok", "page.fill.stamp.order", "page.fill.stamp.keep")
}

// fillActs are what is done most, and all that can be written down about the run.
func (v *visit) fillActs(p *fillPage, s *office.FillState) {
	back := link("/fill", "of", p.Of)
	if !s.Spec.Ended {
		p.Acts = append(p.Acts, option{Text: v.say("page.fill.check"), Href: link("/fill/check", "of", p.Of), Value: "scale"})
		if s.Spec.Scale != "" {
			p.Acts = append(p.Acts, option{Text: v.say("page.fill.scale"), Href: link("/enter/check", "of", string(s.Spec.Scale), "back", back), Value: "tick"})
		}
	}
	p.Acts = append(p.Acts, option{Text: v.say("page.labels"), Href: link("/labels", "of", p.Of), Value: "print"})
	for _, t := range []struct{ name, icon string }{{"filled", "fill"}, {"adjust", "pencil"}, {"filler", "pencil"}, {"glass", "watch"}, {"seals", "tick"}, {"kept-jars", "box"}, {"reconcile", "list"}, {"run-end", "on"}} {
		if s.Spec.Ended && (t.name == "adjust" || t.name == "filler" || t.name == "run-end") {
			continue
		}
		p.Do = append(p.Do, option{Text: v.say("page.enter." + t.name + ".short"), Href: link("/enter/"+t.name, "of", p.Of, "back", back), Value: t.icon})
	}
	p.Do = append(p.Do, option{Text: v.say("page.rules.fill"), Href: "/rules#fill", Value: "pencil"})
}

// fillAlarms are the nozzles that wander, each with what to do.
func (v *visit) fillAlarms(p *fillPage, s *office.FillState) {
	if len(s.Risks) == 0 {
		return
	}
	var a answer.Answer
	office.FillLines(&a, *s)
	back := link("/fill", "of", p.Of)
	i := -1
	for _, l := range a.Lines {
		switch l.Key {
		case "fill.alarm-low", "fill.alarm-high":
			i++
			r := &s.Risks[i]
			x := fillAlarm{Class: "stop", Icon: "stop", Text: v.sentence(l)}
			if r.Sorted {
				x.Class, x.Icon = "watch", "watch"
			}
			if !s.Spec.Ended {
				x.Acts = append(x.Acts, option{Text: v.say("page.fill.adjust", "nozzle", int64(r.Nozzle)), Href: link("/enter/adjust", "of", p.Of, "nozzle", v.num(int64(r.Nozzle)), "back", back), Value: "pencil"})
			}
			if len(r.Marks) > 0 && !r.OnHold && !r.Sorted {
				x.Acts = append(x.Acts, option{Text: v.say("page.fill.hold"), Href: link("/enter/hold-jars", "of", p.Of, "nozzle", v.num(int64(r.Nozzle)), "back", back), Value: "stop", On: true})
			}
			p.Alarms = append(p.Alarms, x)
		case "fill.risk", "fill.risk-from-start", "fill.risk-uncounted", "fill.risk-gone":
			x := &p.Alarms[len(p.Alarms)-1]
			x.Under += map[bool]string{true: " ", false: ""}[x.Under != ""] + v.sentence(l)
		}
	}
	for i := range s.Risks {
		r := &s.Risks[i]
		if len(r.Marks) > 0 && i < len(p.Alarms) {
			p.Alarms[i].Under += " " + v.with("page.fill.where", answer.Args{"marks": r.Marks, "cases": r.CaseCount, "pallets": int64(len(r.Pallets))})
		}
	}
}

// fillTiles are the figures that are asked for most.
func (v *visit) fillTiles(p *fillPage, s *office.FillState) {
	w := s.Whole
	if w == nil {
		return
	}
	dec := int(s.Spec.Decimals())
	open := func(f *figure, h how) {
		f.Href, f.Label = p.how(h), v.say("page.how.open", "figure", h.Answer)
	}
	source := s.Spec.Tolerance.Cite.String()
	mean := figure{Value: v.c.Number(w.MeanG, dec+1), Unit: v.c.Unit(quantity.G)}
	formula := "page.fill.how.mean-checks"
	if w.Exact {
		formula = "page.fill.how.mean-stream"
	} else if w.OffG > 0 {
		mean.Spread = v.c.Number(1.645*w.OffG, dec+1)
	}
	open(&mean, how{ID: "how-mean", Title: v.say("page.fill.mean"), Answer: mean.Value + " " + mean.Unit, Formula: []string{v.say(formula)},
		Inputs: []input{{Name: v.say("column.jars"), Value: v.c.Count(w.Jars)}, {Name: v.say("column.checks"), Value: v.c.Count(s.Checks)},
			{Name: v.say("column.spread_mg"), Value: v.grams2(s.SigmaG), Note: v.spreadNote(s)}}, Source: v.say("page.fill.how.own")})
	t1 := figure{Value: v.c.Count(int64(math.Round(w.Short))), Unit: v.say("page.fill.of-jars", "n", w.Jars)}
	if !s.Counted {
		t1.Value, t1.Unit = v.c.Number(100*w.Share, 1), "%"
	}
	open(&t1, how{ID: "how-t1", Title: v.say("page.fill.under", "t1", s.Spec.Tolerance.T1), Answer: t1.Value + " " + t1.Unit, Formula: []string{v.say("page.fill.how.t1")},
		Inputs: []input{{Name: v.say("page.fill.label"), Value: v.text(s.Spec.Label)}, {Name: v.say("page.fill.tolerance"), Value: v.text(s.Spec.Tolerance.T)},
			{Name: v.say("column.share_pct"), Value: v.c.Percent(quantity.Percent(100*w.Share), 1), Note: v.say("page.fill.at-most", "most", quantity.Percent(100*w.Most))}}, Source: source})
	tiles := []tile{{Label: v.say("page.fill.mean"), Fig: mean, Under: v.say("page.fill.label-is", "label", s.Spec.Label)},
		{Label: v.say("page.fill.under", "t1", s.Spec.Tolerance.T1), Fig: t1, Under: v.say("page.fill.share", "share", quantity.Percent(100*w.Share), "most", quantity.Percent(100*w.Most))}}
	if t := &s.Target; t.HasOver {
		g := figure{Value: v.c.Number(t.OverNow.PerJarG, 2), Unit: v.say("page.fill.a-jar")}
		open(&g, how{ID: "how-over", Title: v.say("page.fill.given"), Answer: g.Value + " " + g.Unit, Formula: []string{v.say("page.fill.how.over")},
			Inputs: []input{{Name: v.say("page.fill.mean"), Value: v.grams2(w.MeanG)}, {Name: v.say("page.fill.label"), Value: v.text(s.Spec.Label)}, {Name: v.say("column.jars"), Value: v.c.Count(w.Jars)}}, Source: v.say("page.fill.how.own")})
		x := tile{Label: v.say("page.fill.given"), Fig: g}
		if s.Counted {
			x.Under = v.c.With(t.OverNow.Kg, 1, quantity.KgUnit)
			if s.Spec.HasPrice {
				x.Under += " · " + v.c.Money(t.OverNow.Money)
			}
		}
		if t.YearJars > 0 {
			x.Under = strings.TrimPrefix(x.Under+" · "+v.say("page.fill.gram-year", "kg", v.c.With(t.GramYear.Kg, 1, quantity.KgUnit)), " · ")
		}
		tiles = append(tiles, x)
	}
	p.Tiles = tiles
}

func (v *visit) grams2(g float64) string { return v.c.With(g, 2, quantity.G) }

func (v *visit) spreadNote(s *office.FillState) string {
	if s.SigmaKnown {
		return ""
	}
	return v.say("page.fill.assumed")
}

// nozzleView is a nozzle's chart with its state in a word.
func (v *visit) nozzleView(s *office.FillState, n *office.NozzleState) nozzleView {
	x := nozzleView{Name: v.say("page.fill.nozzle", "n", int64(n.Nozzle)), Charts: v.nozzleCharts(s, n)}
	switch {
	case n.Alarm.Check > 0:
		x.State = newChip("stop", v.say("fill.signal."+(n.Alarm.Signals & fill.Alarms).Names()[0]))
	case n.Dry:
		x.State = newChip("stop", v.say("page.fill.dry"))
	case n.OffSet:
		x.State = newChip("watch", v.say("page.fill.off-set"))
	case n.Last.Signals.Has(fill.Learning):
		x.State = newChip("", v.say("fill.signal.learning"))
	default:
		x.State = newChip("ok", v.say("page.fill.steady"))
	}
	x.Note = v.say("page.fill.nozzle-note", "jars", n.Jars, "mean", v.grams(s, n.MeanG))
	if n.Advised && !s.Spec.Ended {
		switch n.Advice.Do {
		case fill.SetIt:
			x.Adjust = v.say("page.fill.set-by", "by", v.signed(s, n.Advice.ByG))
		case fill.WeighAgain:
			x.Adjust = v.say("page.fill.again")
		}
	}
	return x
}

// signed is a correction with its sign.
func (v *visit) signed(s *office.FillState, g float64) string {
	text := v.grams(s, g)
	if g > 0 {
		text = "+" + text
	}
	return text
}

// fillTarget is what to set the filler to, and how that was reckoned.
func (v *visit) fillTarget(p *fillPage, s *office.FillState) {
	t := &s.Target
	if !t.Known {
		return
	}
	dec := int(s.Spec.Decimals())
	x := &targetView{Value: v.c.Number(t.Target.Target.Target, dec), Unit: v.c.Unit(quantity.G)}
	if s.Spec.HasSet {
		x.Text = v.say("page.fill.now-set", "set", v.grams(s, s.Spec.SetG))
		if d := s.Spec.SetG - t.Target.Target.Target; s.Counted && d > 0.05 && s.Jars > 0 {
			x.Under = v.say("page.fill.saves", "kg", v.c.With(d*float64(s.Jars)/1000, 1, quantity.KgUnit))
		} else if d < -0.05 {
			x.Under = v.say("page.fill.too-low")
		}
	}
	if d := s.Spec.Dose; d.ByVolume {
		x.Under = strings.TrimSpace(x.Under + " " + v.with("fill.density", answer.Args{"drop": office.GramsOf(t.DensityG, 2), "at": office.Warmth(d.SetTemp), "to": office.Warmth(d.WarmTemp)}))
	}
	if !s.Spec.Ended {
		x.Set = link("/enter/filler", "of", p.Of, "target", x.Value, "back", link("/fill", "of", p.Of))
	}
	inputs := []input{{Name: v.say("page.fill.label"), Value: v.text(s.Spec.Label)},
		{Name: v.say("column.spread_mg"), Value: v.grams2(t.SDG), Note: v.spreadNote(s)},
		{Name: v.say("page.fill.guard"), Value: v.grams2(t.Guard), Note: v.say("page.fill.guard-of", "n", int64(t.Checked))}}
	if t.HasItems {
		inputs = append(inputs, input{Name: "T1", Value: v.text(s.Spec.Tolerance.T1), Note: v.grams2(t.T1)}, input{Name: "T2", Value: v.text(s.Spec.Tolerance.T2), Note: v.grams2(t.T2)})
	}
	if t.DoubtG > 0.005 {
		inputs = append(inputs, input{Name: v.say("page.fill.doubt"), Value: v.grams2(t.DoubtG)})
	}
	if d := s.Spec.Dose; d.ByVolume {
		inputs = append(inputs, input{Name: v.say("page.fill.density"), Value: v.grams2(t.DensityG), Note: v.c.Number(float64(d.SetTemp), 1) + " → " + v.c.With(float64(d.WarmTemp), 1, quantity.DegC)})
	}
	formula := "page.fill.how.target"
	if s.Spec.Minimum {
		formula = "page.fill.how.minimum"
	}
	x.How = p.how(how{ID: "how-target", Title: v.say("page.fill.set-to"), Answer: x.Value + " " + x.Unit, Formula: []string{v.say(formula)}, Inputs: inputs, Source: t.Cite.String() + "; " + t.GuardAt.String()})
	p.Target = x
}

// verdictSheet is the verdicts in figures.
func (v *visit) verdictSheet(s *office.FillState) *sheet {
	x := &sheet{Title: v.say("table.verdicts"), Heads: []head{{Text: v.say("column.of")}, {Text: v.say("column.from")}, {Text: v.say("column.to")}, {Text: v.say("column.jars"), Right: true},
		{Text: v.say("column.mean_mg") + ", " + v.c.Unit(quantity.G), Right: true}, {Text: v.say("column.below_t1"), Right: true}, {Text: v.say("column.verdict")}}}
	row := func(of string, w *office.FillVerdict) {
		if w == nil {
			return
		}
		mark, word := office.Judged(w)
		if s.Spec.HasDivision && !s.Spec.Weighing.Enough {
			mark, word = answer.Bad, "fill.verdict.coarse"
		}
		class := map[answer.Mark]string{answer.Good: "ok", answer.Care: "watch", answer.Bad: "stop"}[mark]
		jars := v.c.Count(w.Jars)
		if !w.Counted {
			jars = "–"
		}
		x.Rows = append(x.Rows, sheetRow{Class: class, Cells: []sheetCell{{Text: v.say(of), Head: true}, {Text: v.c.Clock(s.Spec.Moment(w.FromMS).Time())}, {Text: v.c.Clock(s.Spec.Moment(w.ToMS).Time())},
			{Text: jars, Right: true}, {Text: v.c.Number(w.MeanG, 2), Right: true}, {Text: v.c.Count(int64(math.Round(w.Short))), Right: true}, {Text: v.say(word), Class: class, Icon: chipIcons[class]}}})
	}
	row("fill.of.whole", s.Whole)
	row("fill.of.last", s.LastHour)
	if s.LastHour == nil || s.WorstHour == nil || *s.LastHour != *s.WorstHour {
		row("fill.of.worst", s.WorstHour)
	}
	row("fill.of.pulled", s.Pulled)
	row("fill.of.kept", s.Kept)
	for i := range s.Sorted {
		row("fill.of.sorted", &s.Sorted[i])
	}
	return x
}

// cutSheet is when the line to the scale was cut.
func (v *visit) cutSheet(s *office.FillState) *sheet {
	const most = 8
	x := &sheet{Title: v.say("page.fill.cuts"), Count: int(s.CutCount), Heads: []head{{Text: v.say("column.from")}, {Text: v.say("column.to")}, {Text: v.say("column.seconds"), Right: true}, {Text: v.say("column.numbers"), Right: true}}}
	for _, c := range s.Cuts[max(0, len(s.Cuts)-most):] {
		missing, class := v.text(nil), "watch"
		if c.Missing >= 0 {
			missing = v.c.Count(c.Missing)
		}
		if c.Missing == 0 {
			class = ""
		}
		x.Rows = append(x.Rows, sheetRow{Class: class, Cells: []sheetCell{{Text: v.c.Clock(s.Spec.Moment(c.FromMS).Time()), Head: true}, {Text: v.c.Clock(s.Spec.Moment(c.ToMS).Time())}, {Text: v.c.Count(c.Seconds()), Right: true}, {Text: missing, Right: true}}})
	}
	return x
}

// oddSheet is the weights that no jar can have.
func (v *visit) oddSheet(s *office.FillState) *sheet {
	const most = 8
	x := &sheet{Title: v.say("page.fill.odd"), Count: int(s.Flagged), Heads: []head{{Text: v.say("column.when")}, {Text: v.say("column.nozzle"), Right: true}, {Text: v.say("column.mass_g"), Right: true}, {Text: v.say("column.what")}}}
	for _, o := range s.Odd[max(0, len(s.Odd)-most):] {
		x.Rows = append(x.Rows, sheetRow{Class: "watch", Cells: []sheetCell{{Text: v.c.Clock(s.Spec.Moment(o.AtMS).Time()), Head: true}, {Text: v.c.Count(int64(o.Nozzle)), Right: true},
			{Text: v.text(o.Net), Right: true}, {Text: v.say(o.Flag.Key()), Class: "watch", Icon: "watch"}}})
	}
	return x
}
