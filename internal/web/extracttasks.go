package web

import (
	"slices"

	"combline/internal/office"
	"combline/internal/record"
)

// What is written down at uncapper, extractor and tanks.

// openLots are lots that came in lately, the one that is meant chosen.
func (v *visit) openLots(h *office.View, of record.Code) []option {
	all := v.lotOptions(h.LoadSheets(v.day()), func(s office.LoadSheet) string {
		return v.say("page.extract.spun-of", "n", s.Spun, "of", max(s.In, s.Boxes))
	})
	if t, ok := h.State.Find(of); ok && h.State.KindOf(t) == record.Lot {
		code := string(h.State.Code(t))
		if chosen(all, code); !slices.ContainsFunc(all, func(o option) bool { return o.On }) {
			all = append([]option{{Value: code, Text: code, On: true}}, all...)
		}
	}
	return all
}

// extractorOf is one machine with its loads.
func (v *visit) extractorOf(h *office.View, code record.Code) (office.Extractor, bool) {
	for _, x := range h.Extractors(v.day(), v.extractorWords()) {
		if x.Machine.Fold() == code.Fold() {
			return x, true
		}
	}
	return office.Extractor{}, false
}

// spinTask is loads of a lot through an extractor; with the machines that the combs
// touch on the way chosen as last time.
func (v *visit) spinTask(of record.Code) (*task, error) {
	t := &task{Keys: true}
	v.s.office.Read(func(h *office.View) {
		x, ok := v.extractorOf(h, of)
		lot, boxes := record.Code(v.arg("lot")), ""
		machines := named(h, record.Machine, nil)
		if ok {
			t.Of = x.Machine
			if lot == "" {
				lot = x.Lot
			}
			if x.Boxes > 0 {
				boxes = v.num(x.Boxes)
			}
			choose(machines, append(x.With, x.Machine))
		}
		t.Parts = []part{{Kind: record.KindSupersSpun, Cells: []cell{{Name: "lot", Likely: v.openLots(h, lot), Need: true}, {Name: "boxes", Start: boxes},
			{Name: "loads", Start: "1"}, {Name: "machines", Likely: machines, Need: true}, {Name: "note"}}}}
	})
	if t.Of == "" {
		t.Title = v.say("page.enter.spin.any")
	}
	return t, nil
}

// choose marks several of the buttons.
func choose(all []option, codes []record.Code) {
	for i := range all {
		all[i].On = slices.ContainsFunc(codes, func(c record.Code) bool { return c.Fold() == record.Code(all[i].Value).Fold() })
	}
}

// lotChangeTask is what is done to an extractor between two lots, and the first load of
// the next.
func (v *visit) lotChangeTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Machine)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Note: v.say("page.enter.lot-change.note")}
	v.s.office.Read(func(h *office.View) {
		x, _ := v.extractorOf(h, of)
		machines := codesText(append([]record.Code{of}, x.With...))
		next := v.openLots(h, "")
		next = slices.DeleteFunc(next, func(o option) bool { return o.Value == string(x.Lot) })
		t.Parts = []part{
			{Kind: record.KindCleaned, Head: v.say("page.enter.lot-change.before"), Fixed: map[string]string{"what": machines}, Cells: []cell{{Name: "how", Need: true, Start: "drained"}, {Name: "dry"}}},
			{Kind: record.KindSupersSpun, Head: v.say("page.enter.lot-change.next"), Maybe: true, Fixed: map[string]string{"machines": machines, "loads": "1"},
				Cells: []cell{{Name: "lot", Likely: next}, {Name: "boxes"}}}}
	})
	return t, nil
}

// codesText is codes as a form sends them.
func codesText(codes []record.Code) (text string) {
	for i, c := range codes {
		if i > 0 {
			text += "; "
		}
		text += string(c)
	}
	return text
}

func (v *visit) lotFact(of record.Code, kind record.Kind, cells func(*office.View) []cell) (*task, error) {
	of, err := v.must(of, record.Lot)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: kind, Fixed: map[string]string{"lot": string(of)}, Cells: cells(h)}}
	})
	return t, nil
}

func (v *visit) hotInTask(of record.Code) (*task, error) {
	return v.hotTask(of, record.KindHotRoomEntered)
}
func (v *visit) hotOutTask(of record.Code) (*task, error) {
	return v.hotTask(of, record.KindHotRoomLeft)
}

func (v *visit) hotTask(of record.Code, kind record.Kind) (*task, error) {
	return v.lotFact(of, kind, func(h *office.View) []cell {
		rooms := named(h, record.Place, func(f record.Fact) bool { p, ok := f.(*record.PlaceNamed); return ok && p.For == record.HotRoom })
		if len(rooms) == 1 {
			rooms[0].On = true
		}
		boxes := ""
		if s, ok := h.LoadSheet(of); ok && s.Boxes > 0 {
			boxes = v.num(s.Boxes)
		}
		return []cell{{Name: "room", Likely: rooms, Need: true}, {Name: "boxes", Start: boxes}, {Name: "water", Label: v.say("page.enter.hot.water"), Hint: v.say("page.enter.hot.hint")}}
	})
}

func (v *visit) cappingsTask(of record.Code) (*task, error) {
	return v.lotFact(of, record.KindCappingsSpun, func(h *office.View) []cell {
		return []cell{{Name: "machine", Likely: named(h, record.Machine, v.isMachine("page.words.spinner")), Need: true},
			{Name: "wet", Label: v.say("page.enter.cappings.wet")}, {Name: "dry", Label: v.say("page.enter.cappings.dry")}}
	})
}

func (v *visit) waxTask(of record.Code) (*task, error) {
	return v.lotFact(of, record.KindWaxCast, func(h *office.View) []cell {
		return []cell{{Name: "mass", Need: true}, {Name: "wax", Start: string(h.NextCode(record.WaxBlock, "W01"))},
			{Name: "machine", Likely: named(h, record.Machine, v.isMachine("page.words.melter"))}, {Name: "place", Likely: named(h, record.Place, nil)}}
	})
}

func (v *visit) melterTask(of record.Code) (*task, error) {
	t, err := v.lotFact(of, record.KindMelterHoneyDrawn, func(h *office.View) []cell {
		return []cell{{Name: "mass", Need: true}, {Name: "to", Likely: v.vesselOptions(h, forSkim, ""), Need: true}, {Name: "machine", Likely: named(h, record.Machine, v.isMachine("page.words.melter"))}}
	})
	if err == nil {
		t.Note = v.say("page.enter.melter.note")
	}
	return t, err
}

func (v *visit) runInTask(of record.Code) (*task, error) {
	t, err := v.lotFact(of, record.KindLotRanInto, func(h *office.View) []cell {
		via := named(h, record.Machine, isPump)
		for i := range via {
			via[i].On = true
		}
		return []cell{{Name: "into", Likely: v.vesselOptions(h, fixedVessel, ""), Need: true}, {Name: "via", Likely: via}}
	})
	if err == nil {
		t.Keys, t.Note = false, v.say("page.enter.run-in.note")
	}
	return t, err
}

func (v *visit) closeLotTask(of record.Code) (*task, error) {
	t, err := v.lotFact(of, record.KindLotClosed, func(*office.View) []cell {
		return []cell{{Name: "reason", Label: v.say("page.enter.close-lot.reason"), Hint: v.say("page.enter.close-lot.hint")}}
	})
	if err != nil {
		return nil, err
	}
	t.Keys = false
	v.s.office.Read(func(h *office.View) {
		if w, ok := h.AccountOf(t.Of); ok {
			t.About = v.say("page.enter.close-lot.gap", "gap", v.c.MassTo(w.Balance.Gap, 1), "verdict", v.say(w.Verdict+".short"))
		}
	})
	return t, nil
}

func (v *visit) sieveTask(of record.Code) (*task, error) {
	t := &task{Note: v.say("page.enter.sieve.note")}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindStrained, Cells: []cell{{Name: "sieve", Likely: named(h, record.Machine, v.isMachine("page.words.sieve")), Need: true},
			{Name: "whole", Need: true}, {Name: "moment", Label: v.say("page.enter.sieve.when")}, {Name: "of", Likely: v.openLots(h, of)}, {Name: "note"}}}}
	})
	return t, nil
}

// fixedVessel are vessels that stand fast: a lot runs into one of these.
func fixedVessel(st office.Stand) bool {
	return st.Shape == record.Tank || st.Shape == record.Sump || st.Shape == record.Tote
}
