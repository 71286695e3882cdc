package web

import (
	"slices"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// What is done with the honey of one vessel.

const mostLikely = 16 // buttons for codes; the rest is typed

// vesselOptions are vessels to pour into, with what they hold, those that fit first.
func (v *visit) vesselOptions(h *office.View, fits func(office.Stand) bool, not record.Code) (all []option) {
	for _, st := range h.Floor() {
		if st.Code.Fold() == not.Fold() || !fits(st) || len(all) == mostLikely {
			continue
		}
		note := v.say("page.state.empty")
		if !st.Empty {
			note = v.c.MassTo(st.Content.Grams, 0)
			if st.Status == "held" {
				note += " · " + v.say("page.state.held")
			}
		}
		all = append(all, option{Value: string(st.Code), Text: string(st.Code), Note: note})
	}
	return all
}

func notDrum(st office.Stand) bool   { return st.Shape != record.Drum }
func emptyDrum(st office.Stand) bool { return st.Shape == record.Drum && st.Empty && st.Owner == "" }

func forSkim(st office.Stand) bool {
	return st.Shape == record.Tote || st.Shape == record.Pail
}

// named are the things of a kind as buttons; what says which.
func named(h *office.View, kind record.Entity, which func(record.Fact) bool) (all []option) {
	for _, t := range h.State.OfKind(kind) {
		if which == nil || which(h.State.Named(t)) {
			all = append(all, option{Value: string(h.State.Code(t)), Text: string(h.State.Code(t))})
		}
	}
	return all[:min(len(all), mostLikely)]
}

// chosen marks one of several buttons; with no value, those that are marked stay.
func chosen(all []option, value string) []option {
	for i := range all {
		all[i].On = all[i].On && value == "" || all[i].Value == value && value != ""
	}
	return all
}

// must finds what a task is about, or says what else it could be.
func (v *visit) must(of record.Code, kinds ...record.Entity) (code record.Code, err error) {
	v.s.office.Read(func(h *office.View) {
		t, ok := h.State.Find(of)
		if ok && slices.Contains(kinds, h.State.KindOf(t)) {
			code = h.State.Code(t)
			return
		}
		if _, is := h.StandOf(of); is && slices.Contains(kinds, record.Filling) {
			code = of
			return
		}
		err = &notThere{of, h.State.Near(of, kinds)}
	})
	return code, err
}

func (v *visit) moveTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Lot)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.move", "of", string(of)), Shown: []record.Code{of}, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindHoneyMoved, Fixed: map[string]string{"pours.from": string(of)}, Cells: []cell{
			{Name: "to", Need: true, Likely: v.vesselOptions(h, notDrum, of)},
			{Name: "pours.mass", Hint: v.say("page.task.move.mass"), Guess: true},
			{Name: "pours.emptied", Label: v.say("page.task.move.all"), Choices: []string{"yes"}, Unset: v.say("page.task.move.part")},
			{Name: "via", Likely: named(h, record.Machine, isPump)},
		}}}
	})
	return t, nil
}

// isPump reports whether honey goes through a machine on its way between vessels.
func isPump(f record.Fact) bool {
	m, ok := f.(*record.MachineNamed)
	if !ok {
		return false
	}
	for _, word := range []string{"pump", "sieve", "strainer", "bomba", "tamiz", "pompa", "sito"} {
		if containsFold(m.What, word) || containsFold(string(m.Machine), word) {
			return true
		}
	}
	return false
}

func (v *visit) drumOffTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Lot)
	if err != nil {
		return nil, err
	}
	back := link("/do/drum-off", "of", string(of), "back", local(v.arg("back")))
	t := &task{Of: of, Title: v.say("page.task.drum-off", "of", string(of)), Back: back, Shown: []record.Code{of}, Keys: true}
	var places, scales []option
	v.s.office.Read(func(h *office.View) {
		steel := v.vesselOptions(h, emptyDrum, "")
		steel = steel[:min(8, len(steel))]
		for i := range steel {
			steel[i].Note = ""
		}
		places, scales = named(h, record.Place, nil), named(h, record.Instrument, isScale)
		if len(scales) == 1 {
			scales = chosen(scales, scales[0].Value)
		}
		t.Parts = []part{{Kind: record.KindDrumFilled, Fixed: map[string]string{"from": string(of)}, Cells: []cell{
			{Name: "steel", Need: true, Likely: steel},
			{Name: "drum", Start: string(h.NextCode(record.Filling, "D001"))},
			{Name: "gross", Need: true, Guess: true},
			{Name: "tare", Hint: v.say("page.task.drum-off.tare"), Small: true},
			{Name: "purpose", Start: record.TableHoney.String()},
			{Name: "scale", Likely: scales},
		}}}
	})
	t.Parts = append(t.Parts, part{Kind: record.KindPlaced, Maybe: true, Fixed: map[string]string{"what": "-"}, Cells: []cell{{Name: "place", Label: v.say("page.task.drum-off.place"), Likely: places}}})
	t.Make = placeDrum
	return t, nil
}

// placeDrum lets the second fact speak of the drum that the first one filled.
func placeDrum(d *house.Draft) error {
	filled, ok := d.Facts[0].(*record.DrumFilled)
	if placed, also := lastOf(d.Facts).(*record.Placed); ok && also {
		what := filled.Filling
		if what == "" {
			what = filled.Steel
		}
		placed.What = []record.Code{what}
	}
	return nil
}

func lastOf(facts []record.Fact) record.Fact { return facts[len(facts)-1] }

func isScale(f record.Fact) bool {
	i, ok := f.(*record.InstrumentNamed)
	return ok && (i.Capacity.Given() || containsFold(i.What, "scale"))
}

func (v *visit) skimTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Lot)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.skim", "of", string(of)), Shown: []record.Code{of}, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindSkimmed, Fixed: map[string]string{"from": string(of)}, Cells: []cell{
			{Name: "mass", Need: true, Guess: true}, {Name: "to", Hint: v.say("page.task.skim.to"), Likely: v.vesselOptions(h, forSkim, of)}}}}
	})
	return t, nil
}

func (v *visit) stirTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.stir", "of", string(of)), Keys: true, Parts: []part{{Kind: record.KindStirred,
		Fixed: map[string]string{"vessel": string(of)}, Cells: []cell{{Name: "time"}}}}}, nil
}

func (v *visit) tipBackTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Batch)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.tip-back", "of", string(of)), Keys: true}
	v.s.office.Read(func(h *office.View) {
		p := part{Kind: record.KindTippedBack, Fixed: map[string]string{}, Cells: []cell{{Name: "units", Need: true}, {Name: "mass", Guess: true}}}
		if x, ok := h.State.Find(of); ok && h.State.KindOf(x) == record.Batch {
			p.Fixed["batch"] = string(of)
			p.Cells = append(p.Cells, cell{Name: "to", Likely: v.vesselOptions(h, notDrum, "")})
		} else {
			p.Fixed["to"] = string(vesselOf(h, of))
			t.Shown = []record.Code{of}
			var goods []option
			for _, c := range h.State.Batches() {
				if len(goods) < mostLikely {
					goods = append(goods, option{Value: string(c.Code), Text: string(c.Code), Note: v.c.Count(c.Units)})
				}
			}
			p.Cells = append([]cell{{Name: "batch", Likely: goods, Need: true}}, p.Cells...)
		}
		t.Parts = []part{p}
	})
	return t, nil
}

// vesselOf is the steel of a filling, or the vessel itself.
func vesselOf(h *office.View, of record.Code) record.Code {
	if st, ok := h.StandOf(of); ok {
		return st.Code
	}
	return of
}

func (v *visit) stockCheckTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Lot)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.stock-check", "of", string(of)), Shown: []record.Code{of}, Keys: true,
		Parts: []part{{Kind: record.KindStockChecked, Fixed: map[string]string{"what": string(of)}, Cells: []cell{
			{Name: "found", Label: v.say("page.task.stock-check.found"), Need: true, Guess: true}, {Name: "reason"}}}}}
	v.s.office.Read(func(h *office.View) {
		if st, ok := h.StandOf(of); ok && !st.Empty {
			t.About = v.say("page.task.stock-check.book", "mass", st.Content.Grams)
		}
	})
	return t, nil
}

func (v *visit) placeTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Batch, record.Pallet, record.WaxBlock, record.Sample, record.MaterialLot)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.place", "of", string(of))}
	v.s.office.Read(func(h *office.View) {
		at, _, _, _ := h.State.PlaceOf(of)
		if at != "" {
			t.About = v.say("page.task.place.now", "place", string(at))
		}
		t.Parts = []part{{Kind: record.KindPlaced, Fixed: map[string]string{"what": string(of)}, Cells: []cell{
			{Name: "place", Likely: named(h, record.Place, nil), Need: true}, {Name: "seen", Choices: []string{"yes"}, Unset: v.say("page.task.place.moved"), Hint: v.say("page.task.place.seen")}}}}
	})
	return t, nil
}

func (v *visit) temperatureTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Lot, record.Place, record.Machine)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.temperature", "of", string(of)), Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindTemperatureRead, Fixed: map[string]string{"of": string(of)}, Cells: []cell{
			{Name: "temp", Need: true}, {Name: "instrument", Likely: named(h, record.Instrument, isThermometer)}, {Name: "where", Hint: v.say("page.task.temperature.where")}}}}
	})
	return t, nil
}

func isThermometer(f record.Fact) bool {
	i, ok := f.(*record.InstrumentNamed)
	return ok && !i.Capacity.Given() && (containsFold(i.What, "therm") || containsFold(i.What, "term") || containsFold(i.What, "logger") || containsFold(i.What, "probe"))
}

// readingTask writes down one look at an instrument. Every moisture asks how warm the
// honey was and whether the instrument corrects itself; "not known" is an answer.
func (v *visit) readingTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Vessel, record.Filling, record.Lot, record.Delivery, record.Batch, record.Sample)
	if err != nil {
		return nil, err
	}
	what := v.arg("what")
	t := &task{Of: of, Title: v.say("page.task.reading", "of", string(of)), Shown: []record.Code{of}, Keys: true}
	p := part{Kind: record.KindResultRead, Fixed: map[string]string{"of": string(of)}}
	value := cell{Name: "results.value", Need: true}
	property, known := propertyOf(what)
	if known {
		p.Fixed["results.property"] = what
		value.Label = v.say(property.Key())
		value.Unit = v.c.Unit(record.PropertyUnits[property])
	} else {
		p.Cells = append(p.Cells, cell{Name: "results.property", Need: true})
		value.Need = false
	}
	p.Cells = append(p.Cells, value, cell{Name: "results.plus_minus", Small: true, Unit: value.Unit})
	if !known {
		p.Cells = append(p.Cells, cell{Name: "results.verdict", Hint: v.say("page.task.reading.words")}, cell{Name: "results.what"})
	}
	v.s.office.Read(func(h *office.View) {
		instruments := named(h, record.Instrument, readsHoney)
		corrects := ""
		if property == record.Water {
			refr := named(h, record.Instrument, isRefractometer)
			if len(refr) == 1 {
				instruments = chosen(instruments, refr[0].Value)
				corrects = correctsItself(h, record.Code(refr[0].Value))
			}
		}
		if property == record.Water || !known {
			p.Cells = append(p.Cells, cell{Name: "honey_temp", Hint: v.say("page.task.reading.temp")}, cell{Name: "corrects_itself", Start: corrects})
		}
		p.Cells = append(p.Cells, cell{Name: "instrument", Likely: instruments})
	})
	p.Cells = append(p.Cells, cell{Name: "method"}, cell{Name: "lab", Hint: v.say("page.task.reading.lab")}, cell{Name: "drawn"})
	t.Parts = []part{p}
	return t, nil
}

func propertyOf(name string) (record.Property, bool) {
	for p := record.Water; p <= record.Taste; p++ {
		if p.String() == name {
			return p, true
		}
	}
	return 0, false
}

func readsHoney(f record.Fact) bool {
	i, ok := f.(*record.InstrumentNamed)
	return ok && !i.Capacity.Given() && !isThermometer(f)
}

func isRefractometer(f record.Fact) bool {
	i, ok := f.(*record.InstrumentNamed)
	return ok && containsFold(i.What, "refra")
}

// correctsItself is what is written down of an instrument, as a form's answer.
func correctsItself(h *office.View, code record.Code) string {
	if t, ok := h.State.Find(code); ok {
		if f, ok := h.State.Named(t).(*record.InstrumentNamed); ok && f.SelfRights != record.NotKnown {
			return f.SelfRights.String()
		}
	}
	return ""
}
