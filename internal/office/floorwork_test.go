package office_test

import (
	"slices"
	"testing"

	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Figures in these tests are sums of the stacks written down in them.

var today = record.DayOf(day(6, 0))

func pct(n int64) quantity.Figure { return quantity.Figure{Mantissa: n, Unit: quantity.Pct} }

func stackOf(boxes int64, gross, tray int64) record.Stack {
	return record.Stack{Boxes: boxes, Gross: kg(gross, 0), Tray: kg(tray, 0)}
}

// harvest is a morning: two lots, one extractor each, one lot weighed out in part.
func harvest(d *desk) {
	d.Helper()
	d.clock.set(day(18, 0))
	d.write(day(5, 0), &record.SiteOpened{Site: "Alder", Country: "VM", Hives: 20}, &record.SiteOpened{Site: "Birch", Country: "VM", Hives: 20},
		&record.MachineNamed{Machine: "X1", What: "extractor, 40 frames"}, &record.MachineNamed{Machine: "X2", What: "extractor, 40 frames"},
		&record.MachineNamed{Machine: "U1", What: "uncapper"}, &record.InstrumentNamed{Instrument: "floor scale", What: "scale", Division: quantity.Figure{Mantissa: 2, Decimals: 1, Unit: quantity.KgUnit}},
		&record.PlaceNamed{Place: "hot room", For: record.HotRoom},
		&record.VesselNamed{Vessel: "T1", Shape: record.Tank, Capacity: kg(1500, 0)})
	d.write(day(5, 10), &record.LotOpened{Lot: "L1", Site: "Alder", Pulled: today}, &record.SupersPulled{Lot: "L1", Site: "Alder", Boxes: 16},
		&record.LotOpened{Lot: "L2", Site: "Birch", Pulled: today}, &record.SupersPulled{Lot: "L2", Site: "Birch", Boxes: 8})
	d.write(day(9, 0), &record.SupersReceived{Lot: "L1", Side: record.AfterHotRoom, Scale: "floor scale", Stacks: []record.Stack{stackOf(8, 214, 4)}})
	d.write(day(9, 5), &record.SupersReceived{Lot: "L1", Side: record.AfterHotRoom, Scale: "floor scale", Stacks: []record.Stack{stackOf(8, 210, 4)}})
	d.write(day(9, 10), &record.SupersReceived{Lot: "L2", Side: record.AfterHotRoom, Scale: "floor scale", Stacks: []record.Stack{stackOf(5, 140, 4)}})
	d.write(day(10, 0), &record.SupersSpun{Lot: "L1", Boxes: 4, Loads: 1, Machines: []record.Code{"X1", "U1"}})
	d.write(day(10, 20), &record.SupersSpun{Lot: "L1", Boxes: 4, Loads: 1, Machines: []record.Code{"X1", "U1"}})
	d.write(day(10, 30), &record.SupersSpun{Lot: "L2", Boxes: 4, Loads: 1, Machines: []record.Code{"X2", "U1"}})
	d.write(day(11, 0), &record.WetSupersWeighed{Lot: "L1", Scale: "floor scale", Stacks: []record.Stack{stackOf(4, 30, 4)}})
	d.write(day(11, 5), &record.Cleaned{What: []record.Code{"X2"}, Clean: record.Drained})
}

func TestLoadSheetsOpenFirst(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.Read(func(v *office.View) {
		all := v.LoadSheets(today)
		if len(all) != 2 || all[0].Lot != "L2" || all[1].Lot != "L1" {
			t.Fatalf("load sheets %+v", all)
		}
		if all[0].In != 5 || all[0].Complete || !all[1].Complete || all[1].GrossIn != 416_000 || all[1].WetOut != 26_000 {
			t.Errorf("load sheets %+v", all)
		}
	})
	d.write(day(12, 0), &record.LotClosed{Lot: "L2"})
	d.Read(func(v *office.View) {
		if all := v.LoadSheets(today); len(all) != 1 {
			t.Errorf("a closed lot is still among %+v", all)
		}
	})
}

func TestWeighingsOfTheDay(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.Read(func(v *office.View) {
		in, out := v.Weighings(today, false), v.Weighings(today, true)
		if len(in) != 3 || in[0].Lot != "L2" || in[0].Net != 136_000 || !in[0].Alone || len(out) != 1 || out[0].Net != 26_000 {
			t.Errorf("in %+v, out %+v", in, out)
		}
		if last, ok := v.LastWeighing(today, false); !ok || last.Boxes != 5 || last.Tray.Grams() != 4000 || last.Scale != "floor scale" {
			t.Errorf("last %+v", last)
		}
		if got := v.Weighings(today-1, false); len(got) != 0 {
			t.Errorf("yesterday: %+v", got)
		}
	})
}

// What a correction says counts, and what was struck does not.
func TestDayKnowsCorrections(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	var of uint64
	d.Read(func(v *office.View) { of = v.Weighings(today, false)[0].Fact })
	draft, err := d.CorrectionDraft(office.Correction{Fact: of, With: &record.SupersReceived{Lot: "L2", Side: record.AfterHotRoom, Scale: "floor scale",
		Stacks: []record.Stack{stackOf(5, 145, 4)}}, When: record.At(day(9, 20)), Reason: "read again"})
	if err != nil {
		t.Fatal(err)
	}
	d.write(day(13, 0), draft.Facts...)
	d.Read(func(v *office.View) {
		if in := v.Weighings(today, false); len(in) != 3 || in[0].Net != 141_000 {
			t.Errorf("after the correction: %+v", in)
		}
		if e, ok := v.AsNow(of); !ok || e.When != record.At(day(9, 20)) {
			t.Errorf("the fact as it is now: %+v %v", e, ok)
		}
	})
	d.write(day(13, 5), &record.Struck{Fact: int64(of), Reason: "twice"})
	d.Read(func(v *office.View) {
		if in := v.Weighings(today, false); len(in) != 2 {
			t.Errorf("after the strike: %+v", in)
		}
		if _, ok := v.AsNow(of); ok {
			t.Error("a struck fact still says something")
		}
	})
}

func TestExtractors(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.Read(func(v *office.View) {
		all := v.Extractors(today, []string{"extractor"})
		if len(all) != 2 || all[0].Lot != "L1" || all[0].Today != 2 || all[0].Spun != 8 || all[0].Boxes != 4 || all[0].Drained || all[1].Lot != "L2" || !all[1].Drained {
			t.Errorf("extractors %+v", all)
		}
		if !slices.Equal(all[0].With, []record.Code{"U1"}) {
			t.Errorf("with %v", all[0].With)
		}
		if all := v.Extractors(today, []string{"spinner"}); len(all) != 3 {
			t.Errorf("without a word that fits: %+v", all)
		}
	})
}

func TestDayBalance(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.Read(func(v *office.View) {
		b := v.DayBalance(today)
		var in, wet quantity.Gram
		for _, l := range b.Weighed {
			switch l.Kind {
			case record.KindSupersReceived:
				in += l.Grams
			case record.KindWetSupersWeighed:
				wet += l.Grams
			}
		}
		if in != 552_000 || wet != 26_000 || len(b.Lots) != 2 {
			t.Errorf("in %d, wet %d, lots %+v", in, wet, b.Lots)
		}
		var open []string
		for _, l := range b.Open {
			open = append(open, l.Key)
		}
		for _, want := range []string{"page.daybalance.not-in", "page.daybalance.not-wet", "page.daybalance.not-checked", "page.daybalance.no-start"} {
			if !slices.Contains(open, want) {
				t.Errorf("the day does not say %s: %v", want, open)
			}
		}
	})
	kilos := quantity.Figure{Mantissa: 20, Unit: quantity.KgUnit}
	d.write(day(5, 30), &record.InstrumentChecked{Instrument: "floor scale", Against: kilos, Read: kilos, InOrder: record.Yes},
		&record.StartChecked{Of: []record.Code{"X1"}, Lines: []record.StartLine{{What: "guards on", InOrder: record.Yes}}})
	d.Read(func(v *office.View) {
		for _, l := range v.DayBalance(today).Open {
			if l.Key == "page.daybalance.not-checked" || l.Key == "page.daybalance.no-start" {
				t.Errorf("still said: %s", l.Key)
			}
		}
	})
}

func TestSitesAndTheirPulls(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.write(day(12, 0), &record.Treated{Treatment: "TR1", Site: "Alder", Product: "strips", WaitDays: quantity.Figure{Mantissa: 3, Unit: quantity.Day}, SupersAllowed: record.No})
	d.write(day(12, 5), &record.NotTreated{Site: "Birch", From: today - 200, To: today + 2}, &record.NotFed{Site: "Birch", From: today - 200, To: today + 2})
	d.Read(func(v *office.View) {
		all := v.Sites(today+1, "")
		if len(all) != 2 || all[0].Pull.Allowed != record.No || all[1].Pull.Allowed != record.Yes || all[1].LastLot != "L2" {
			t.Errorf("sites %+v", all)
		}
		if found := v.Sites(today, "bir"); len(found) != 1 || found[0].Code != "Birch" {
			t.Errorf("looking for bir: %+v", found)
		}
		n, ok := v.SiteNow("birch", today+1)
		if !ok || len(n.Lots) != 1 || len(n.NotTreated) != 1 || len(n.NotFed) != 1 || len(n.Moves) == 0 || len(n.Out) != 1 {
			t.Errorf("birch: %+v", n)
		}
		if in := v.Treating(); len(in) != 1 || in[0].Code != "TR1" {
			t.Errorf("treatments that are in: %+v", in)
		}
	})
}

func TestLabKnowsWhatIsMissing(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.write(day(12, 0), &record.VesselNamed{Vessel: "S-1", Shape: record.Drum, Tare: kg(18, 0)},
		&record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Gross: kg(300, 0), Tare: kg(18, 0), Purpose: record.TableHoney})
	find := func(l office.Lab) *office.ToLab {
		for i := range l.Send {
			if l.Send[i].Of == "L1" {
				return &l.Send[i]
			}
		}
		return nil
	}
	d.Read(func(v *office.View) {
		if x := find(v.Lab()); x == nil || x.Grams != 282_000 || len(x.Missing) != 5 {
			t.Errorf("to the lab: %+v", v.Lab().Send)
		}
	})
	d.write(day(13, 0), &record.SampleSent{Of: []record.Code{"L1"}, Lab: "lab", Tests: "water"})
	d.Read(func(v *office.View) {
		if l := v.Lab(); find(l) != nil || len(l.Awaited) != 1 {
			t.Errorf("after it was sent: %+v", l)
		}
	})
	d.write(day(14, 0), &record.ResultRead{Of: "L1", Lab: "lab", Results: []record.Result{{Property: record.Water, Value: pct(17)}}})
	d.Read(func(v *office.View) {
		l := v.Lab()
		if x := find(l); x == nil || slices.Contains(x.Missing, record.Water) || len(l.Awaited) != 0 || len(l.Back) != 1 {
			t.Errorf("after the sheet: %+v", l)
		}
	})
}

func TestCare(t *testing.T) {
	d := open(t, &ledger.Memory{})
	harvest(d)
	d.write(day(12, 0), &record.ProblemFound{Problem: "P-1", What: "gate drips"}, &record.TemperatureRead{Of: "hot room", Temp: quantity.Figure{Mantissa: 33, Unit: quantity.DegC}},
		&record.StartChecked{Of: []record.Code{"X1"}, Lines: []record.StartLine{{What: "guards on", InOrder: record.Yes}}})
	d.Read(func(v *office.View) {
		c := v.Care(today)
		state := map[record.Code]office.Kept{}
		for _, k := range c.Kept {
			state[k.Code] = k
		}
		if !state["X1"].Since || state["X1"].Cleaned != nil || state["X2"].Since || state["X2"].Cleaned == nil || len(c.Starts) != 1 || len(c.Problems) != 1 {
			t.Errorf("care %+v", c)
		}
		if len(c.Rooms) != 1 || !c.Rooms[0].Known || len(c.Tools) != 1 || c.Tools[0].Check != nil {
			t.Errorf("rooms %+v, instruments %+v", c.Rooms, c.Tools)
		}
		if s, ok := v.LastStart(); !ok || len(s.Lines) != 1 {
			t.Errorf("last start check %+v", s)
		}
	})
	d.write(day(13, 0), &record.ProblemDealtWith{Problem: "P-1", Action: "new seal", Over: record.Yes})
	d.Read(func(v *office.View) {
		if c := v.Care(today); len(c.Problems) != 0 {
			t.Errorf("open problems %+v", c.Problems)
		}
	})
}
