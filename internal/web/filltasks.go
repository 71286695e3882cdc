package web

import (
	"slices"
	"strconv"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What is written down at the filler, from the start of a run to its end.

// fillTasks are the forms of /enter/NAME?of=RUN.
var fillTasks = map[string]floorTask{
	"run-start": {"fill", (*visit).runStartTask},
	"filler":    {"fill", (*visit).fillerTask},
	"adjust":    {"fill", (*visit).adjustTask},
	"filled":    {"fill", (*visit).filledTask},
	"glass":     {"fill", (*visit).glassTask},
	"seals":     {"fill", (*visit).sealsTask},
	"kept-jars": {"fill", (*visit).keptJarsTask},
	"reconcile": {"fill", (*visit).reconcileTask},
	"run-end":   {"fill", (*visit).runEndTask},
	"hold-jars": {"fill", (*visit).holdJarsTask},
}

// runStartTask begins a run: what, out of which tank, for which order.
func (v *visit) runStartTask(record.Code) (*task, error) {
	t := &task{Keys: false, Note: v.say("page.enter.run-start.note")}
	v.s.office.Read(func(h *office.View) {
		var products, orders []option
		for _, p := range h.State.Goods.Products() {
			products = append(products, option{Value: string(p.Product), Text: nameOf(p.Product, p.Name), Note: string(p.Product)})
		}
		for _, o := range h.State.Goods.Orders() {
			if o.Open() && len(orders) < mostLikely {
				orders = append(orders, option{Value: string(o.Code), Text: string(o.Code), Note: string(o.Customer)})
			}
		}
		products = products[:min(len(products), mostLikely)]
		full := func(st office.Stand) bool { return notDrum(st) && !st.Empty }
		machines := named(h, record.Machine, func(f record.Fact) bool {
			m, ok := f.(*record.MachineNamed)
			return ok && m.Nozzles > 0 || v.isMachine("page.words.sieve")(f)
		})
		last := h.LatestRun()
		if r, ok := runOf(h, last); ok {
			choose(machines, r.Started.Machines)
		}
		t.Parts = []part{{Kind: record.KindRunStarted, Cells: []cell{{Name: "product", Likely: products, Need: true}, {Name: "from", Label: v.say("page.enter.run-start.from"), Likely: v.vesselOptions(h, full, ""), Need: true},
			{Name: "orders", Likely: orders}, {Name: "machines", Likely: machines}, {Name: "target", Label: v.say("page.fill.set-to"), Small: true}, {Name: "best_before"},
			{Name: "label_proof", Hint: v.say("page.enter.run-start.proof")}, {Name: "run", Start: string(h.NextCode(record.Run, "R1")), Small: true}}}}
	})
	t.Back = "/fill"
	return t, nil
}

func runOf(h *office.View, code record.Code) (house.Run, bool) {
	t, ok := h.State.Find(code)
	if !ok {
		return house.Run{}, false
	}
	return h.State.Run(t)
}

// runFact is a form of one fact about a run.
func (v *visit) runFact(of record.Code, kind record.Kind, cells func(*office.View, office.FillState) []cell) (*task, error) {
	of, err := v.must(of, record.Run)
	if err != nil {
		return nil, err
	}
	s, _, _ := v.s.office.FillState(v.r.Context(), of) // where nothing can be judged the form still takes what happened
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: kind, Fixed: map[string]string{"run": string(of)}, Cells: cells(h, s)}}
	})
	return t, nil
}

// fillerTask: the filler was set.
func (v *visit) fillerTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindFillerSet, func(h *office.View, s office.FillState) []cell {
		target := v.arg("target")
		return []cell{{Name: "target", Start: target, Need: true}, {Name: "jars_checked", Hint: v.say("page.enter.filler.checked")}, {Name: "temp"}, {Name: "nozzle", Hint: v.say("page.enter.filler.nozzle")}, {Name: "reason", Small: true}}
	})
	if err == nil {
		t.Note = v.say("page.enter.filler.note")
		v.fixFiller(t, of)
	}
	return t, err
}

// fixFiller adds which filler it is, where the run says.
func (v *visit) fixFiller(t *task, of record.Code) {
	s, _, why := v.s.office.FillState(v.r.Context(), of)
	if why == nil && s.Spec.Filler != "" {
		t.Parts[0].Fixed["filler"] = string(s.Spec.Filler)
	}
}

// adjustTask: one nozzle was set otherwise, as advised or not.
func (v *visit) adjustTask(of record.Code) (*task, error) {
	return v.runFact(of, record.KindFillerAdjusted, func(h *office.View, s office.FillState) []cell {
		nozzle, by := v.arg("nozzle"), ""
		for i := range s.Nozzles {
			if n := &s.Nozzles[i]; strconv.Itoa(n.Nozzle) == nozzle && n.Advised && n.Advice.Do == fill.SetIt {
				by = v.c.Number(n.Advice.ByG, int(s.Spec.Decimals()))
			}
		}
		return []cell{{Name: "nozzle", Start: nozzle, Need: true}, {Name: "by", Start: by, Hint: v.say("page.enter.adjust.sign"), Need: true}, {Name: "reason", Small: true}}
	})
}

// filledTask: jars that bear a lot mark. The mass that follows from the checks stands
// beside it.
func (v *visit) filledTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindJarsFilled, func(h *office.View, s office.FillState) []cell {
		var from []option
		place := ""
		if r, ok := runOf(h, of); ok {
			for i, c := range r.Started.From {
				from = append(from, option{Value: string(c), Text: string(c), On: i == 0})
			}
			for _, b := range r.Batches {
				if p, _, _, ok := h.State.PlaceOf(h.State.Code(b)); ok {
					place = string(p)
				}
			}
		}
		return []cell{{Name: "units", Need: true}, {Name: "mass", Hint: v.massHint(&s), Need: true, Guess: true}, {Name: "from", Likely: from, Need: true},
			{Name: "mark", Start: string(nextMark(h, of)), Small: true}, {Name: "place", Likely: chosen(named(h, record.Place, nil), place)}}
	})
	return t, err
}

// massHint is what a hundred units weigh by the checks.
func (v *visit) massHint(s *office.FillState) string {
	if s.LastHour == nil {
		return ""
	}
	return v.say("page.enter.filled.mass", "mean", v.grams(s, s.LastHour.MeanG), "hundred", v.c.With(s.LastHour.MeanG/10, 2, quantity.KgUnit))
}

// nextMark is the run's next lot mark.
func nextMark(h *office.View, run record.Code) record.Code {
	r, ok := runOf(h, run)
	if ok && len(r.Batches) > 0 {
		return h.FreeCode(h.State.Code(r.Batches[len(r.Batches)-1]))
	}
	return h.FreeCode(record.Code(string(run) + "-01"))
}

func (v *visit) glassTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindGlassBroken, func(*office.View, office.FillState) []cell {
		return []cell{{Name: "jars_broken", Start: "1"}, {Name: "nozzle"}, {Name: "stopped_for"}, {Name: "cleared", Start: v.say("page.enter.glass.cleared"), Small: true}, {Name: "signed", Small: true}}
	})
	if err == nil {
		t.Alarm, t.Note = true, v.say("page.enter.glass.note")
	}
	return t, err
}

func (v *visit) sealsTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindSealTested, func(h *office.View, _ office.FillState) []cell {
		var picks []option
		for _, key := range []string{"torque", "vacuum", "press"} {
			text := v.say("page.enter.seals." + key)
			picks = append(picks, option{Value: text, Text: text})
		}
		return []cell{{Name: "tested", Start: "10"}, {Name: "failed", Start: "0", Need: true}, {Name: "test", Pick: picks}, {Name: "batch", Likely: v.marksOf(h, of)}}
	})
	if err == nil {
		t.Note = v.say("page.enter.seals.note")
	}
	return t, err
}

// marksOf are a run's lot marks, the latest first.
func (v *visit) marksOf(h *office.View, run record.Code) (all []option) {
	r, _ := runOf(h, run)
	for _, b := range slices.Backward(r.Batches) {
		c := string(h.State.Code(b))
		if len(all) < mostLikely {
			all = append(all, option{Value: c, Text: c})
		}
	}
	return all
}

func (v *visit) keptJarsTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Run)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindRetained, Cells: []cell{{Name: "batch", Likely: v.marksOf(h, of), Need: true}, {Name: "units", Start: "2"}, {Name: "place", Likely: named(h, record.Place, nil)}}}}
	})
	return t, nil
}

// reconcileTask counts a run up: good jars, rejects, and each material taken, left and
// spoilt.
func (v *visit) reconcileTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindRunReconciled, func(h *office.View, s office.FillState) []cell {
		good := ""
		if s.Counted && s.Jars > 0 {
			good = v.num(s.Jars)
		}
		cells := []cell{{Name: "good", Start: good}, {Name: "rejects"}}
		lots := v.materialsOf(h, of)
		for i, l := range lots {
			at := "lines." + strconv.Itoa(i+1) + "."
			cells = append(cells, cell{Name: at + "material", Likely: []option{{Value: l, Text: l, On: true}}, Start: l, Free: true}, cell{Name: at + "taken", Free: true}, cell{Name: at + "left", Free: true}, cell{Name: at + "spoilt", Free: true})
		}
		return append(cells, cell{Name: "note", Small: true})
	})
	if err == nil {
		t.Note = v.say("page.enter.reconcile.note")
	}
	return t, err
}

// materialsOf are the lots of material that went into a run, else the materials of its
// recipe.
func (v *visit) materialsOf(h *office.View, run record.Code) (all []string) {
	add := func(c record.Code) {
		if c != "" && !slices.Contains(all, string(c)) {
			all = append(all, string(c))
		}
	}
	for _, e := range h.Mentions(run) {
		if f, ok := e.Fact.(*record.MaterialUsed); ok && f.For.Fold() == run.Fold() {
			add(f.Lot)
		}
	}
	if r, ok := runOf(h, run); ok && len(all) == 0 {
		if recipe, ok := h.State.Goods.Recipe(r.Started.Product, v.day()); ok {
			for _, l := range recipe.Lines {
				add(l.Material)
			}
		}
	}
	return all[:min(len(all), 8)]
}

func (v *visit) runEndTask(of record.Code) (*task, error) {
	t, err := v.runFact(of, record.KindRunEnded, func(*office.View, office.FillState) []cell {
		return []cell{{Name: "reason", Hint: v.say("page.enter.run-end.hint")}}
	})
	if err == nil {
		t.Keys = false
		v.s.office.Read(func(h *office.View) {
			for _, l := range h.Balance(t.Of).Lines {
				t.About = v.sentence(l)
				break
			}
		})
	}
	return t, err
}

// holdJarsTask holds all marks at risk of one nozzle at once.
func (v *visit) holdJarsTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Run)
	if err != nil {
		return nil, err
	}
	s, _, why := v.s.office.FillState(v.r.Context(), of)
	if why != nil {
		return nil, errNotFound
	}
	t := &task{Of: of, Alarm: true, Go: v.say("page.task.hold.go"), Note: v.say("page.task.hold.note"), Back: link("/fill", "of", string(of))}
	var likely []option
	reason := ""
	for _, r := range s.Risks {
		if n := v.arg("nozzle"); n != "" && n != strconv.Itoa(r.Nozzle) {
			continue
		}
		for _, m := range r.Marks {
			likely = append(likely, option{Value: string(m), Text: string(m), On: true})
		}
		reason = v.with("page.enter.hold-jars.reason", answer.Args{"nozzle": int64(r.Nozzle), "at": s.Spec.Moment(r.GoodMS)})
	}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindHoldSet, Cells: []cell{{Name: "roots", Label: v.say("page.task.hold.what"), Likely: likely, Need: true},
			{Name: "cause", Start: record.CauseWeight.String()}, {Name: "reason", Label: v.say("page.task.hold.reason"), Start: reason, Need: true},
			{Name: "hold", Label: v.say("page.task.hold.number"), Start: string(h.NextCode(record.Hold, "H-01"))}}}}
	})
	return t, nil
}

// didSheet is what else was written down of a run: glass, seals, settings, counts.
func (v *visit) didSheet(s *office.FillState) *sheet {
	x := &sheet{Title: v.say("page.fill.did"), Heads: []head{{Text: v.say("column.when")}, {Text: v.say("column.what")}, {Text: v.say("column.says")}}}
	v.s.office.Read(func(h *office.View) {
		for _, e := range h.Mentions(s.Spec.Run) {
			switch e.Fact.(type) {
			case *record.GlassBroken, *record.SealTested, *record.FillerAdjusted, *record.FillerSet, *record.RunReconciled, *record.RunEnded, *record.Strained, *record.StreamRead:
			default:
				continue
			}
			row := sheetRow{Cells: []sheetCell{{Text: v.c.Clock(e.When.Time()), Head: true}, {Text: v.say(e.Fact.Kind().Key()), Href: link("/correct", "fact", strconv.FormatUint(e.Seq, 10))}, {Text: v.didText(e.Fact)}}}
			if f, ok := e.Fact.(*record.SealTested); ok && f.Failed.Float() > 0 {
				row.Class = "stop"
			}
			if _, ok := e.Fact.(*record.GlassBroken); ok {
				row.Class = "watch"
			}
			x.Rows = append(x.Rows, row)
		}
	})
	return x
}

// didText is an entry's figures in the words of the form.
func (v *visit) didText(f record.Fact) (text string) {
	add := func(name, value string) {
		if value != "" {
			text += map[bool]string{true: " · ", false: ""}[text != ""] + name + " " + value
		}
	}
	record.Visit(f, func(x record.Field) {
		if !x.Given || x.Name == "run" || x.Type == record.TypeBytes || x.Name == "filler" || x.Name == "block" {
			return
		}
		value := x.Text
		switch {
		case x.Weight != nil:
			value = v.text(*x.Weight)
		case len(x.Codes) > 0:
			value = ""
			for _, c := range x.Codes {
				value += map[bool]string{true: ", ", false: ""}[value != ""] + string(*c)
			}
		case x.Type == record.TypeTruth || x.Type == record.TypeChoice:
			value = v.say(record.ChoiceKey(x.Text))
		}
		add(v.fieldName(bare(x.Name)), value)
	})
	return text
}

// oddJars asks about a weight that no jar of the label can have.
func oddJars(d *house.Draft, f *record.NozzlesChecked, label quantity.Milligram) error {
	for _, n := range f.Nozzles {
		for _, w := range n.Weights {
			m, err := w.Figure.Milligrams()
			if flag := office.FlagOf(m, label); err == nil && flag != office.NoFlag {
				return askFirst(d, "page.ask.odd-jar", answer.Args{"nozzle": n.Nozzle, "weight": w.Figure, "flag": answer.Key(flag.Key())})
			}
		}
	}
	return nil
}
