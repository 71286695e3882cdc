package office_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

// said is an answer as a person reads it.
func said(t *testing.T, a answer.Answer) string {
	t.Helper()
	c, err := words.For("en")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if a.Cannot != nil {
		b.WriteString(answer.Sentence(c, *a.Cannot) + "\n")
	}
	for _, l := range append(append(append([]answer.Line{}, a.Lines...), a.Next...), a.Rests...) {
		b.WriteString(answer.Sentence(c, l) + "\n")
	}
	for _, x := range a.Tables {
		for _, r := range x.Rows {
			b.WriteString(x.Key + ":")
			for _, cell := range r.Cells {
				b.WriteString(" | " + answer.Text(c, cell))
			}
			b.WriteString("\n")
		}
	}
	if strings.Contains(b.String(), words.Marker) {
		t.Errorf("a text is missing:\n%s", b.String())
	}
	return strings.NewReplacer("\u202f", " ", "\u00a0", " ").Replace(b.String())
}

var everyTongue = func() office.InEveryLanguage {
	var all []*words.Catalogue
	for _, l := range words.Languages() {
		if c, err := words.For(l); err == nil {
			all = append(all, c)
		}
	}
	return func(key string) (texts []string) {
		for _, c := range all {
			if c.Has(key) {
				texts = append(texts, c.Say(key))
			}
		}
		return texts
	}
}()

// The questions of the yard on the demo season: the dates, boxes and kilograms are its
// own (scenario, sections 3 and 8). Whole figures: no tolerance.
func TestYardOfTheSeason(t *testing.T) {
	o := demoOffice(t)
	on := func(m time.Month, d int) (*office.View, record.Day) {
		v, err := o.AsOf(t.Context(), time.Date(2026, m, d, 6, 0, 0, 0, zone))
		if err != nil {
			t.Fatal(err)
		}
		return v, season(m, d)
	}
	check := func(what string, a answer.Answer, want ...string) {
		t.Helper()
		text := said(t, a)
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q:\n%s", what, w, text)
			}
		}
	}
	v, day := on(time.July, 27) // mite strips since 20 July; their label allows no supers
	check("Ambry Hill", v.MayPull("ambry hill", day), "Ambry Hill may not be pulled on 27", "A treatment is still in", "These supers were on during a treatment that forbids it", "write down when the treatment came out")
	v, day = on(time.September, 10) // foulbrood is suspected since 9 September
	check("Low Cutter", v.MayPull("Low Cutter", day), "may not be pulled", "A bee disease is suspected here")
	check("Sallow Fen", v.MayPull("Sallow Fen", day), "may not be pulled", "the bee inspector rules")
	check("boxes for a site that stands still", v.Boxes("Low Cutter", day), "stands still for E-01")
	check("boxes astray", v.Boxes("", day), "boxes-astray: | Low Cutter | Sallow Fen | 46 | yes")
	check("a start after disease", v.StartList(day, "", everyTongue), "honey on hold for bee disease (H-02) ran through", "ask the inspector")
	v, day = on(time.August, 3)
	check("to load", v.Boxes("Low Cutter", day), "Load 130 boxes of Low Cutter", "| 130 | 130 | L08")
	v, day = on(time.July, 20) // L04 stands in the hot room, spring honey went through before
	check("the round with a lot in the room", v.Pulls(day), "Hot room for 200 supers", "36.0 supers an hour", "160 supers are in the house and not spun", "pulls: | not known | Brackenlow | ask first | no supers on")
	check("the start", v.StartList(day, "extract", everyTongue), "Next is lot L04, summer", "used, and no wash was ever written down", "Extractor: lid and switch stay on")
	v, day = on(time.July, 18) // the order in which the season was pulled: 19, 21, 24, 27 July
	check("the round", v.Pulls(day), "First: Brackenlow", "1 | Brackenlow | may be pulled", "2 | Wythe Hollow | may be pulled", "3 | Sallow Fen | may be pulled", "4 | Ambry Hill | may be pulled", "5 | Low Cutter | ask first | Nothing is written down about feed")
	o.Read(func(v *office.View) {
		check("yields", v.Yield(0, ""), "2026: 19 502.0 kg of clean honey from 480 hives at 8 sites: 40.6 kg a hive", "| Sallow Fen | summer | L06 | 60 | 180 | 2 858.0 kg | 2.1 kg | 2 760.0 kg | 46.0 kg | 47.6 kg | 15.3 kg")
		check("last year", v.LastYear(office.LastYearAsk{Day: record.DayOf(time.Date(2027, 7, 24, 0, 0, 0, 0, time.UTC)), Site: "Sallow Fen"}), "| 180 | 4 016.0 kg", "| 180 | 1 158.0 kg", "| 97 %")
		check("before the record", v.LastYear(office.LastYearAsk{Day: season(time.July, 24)}), "the record begins on")
		check("L07", v.Releasable("L07"), "L07 can't be released yet", "residues of the mite strips", "licensed adviser")
		check("L08", v.Releasable("L08"), "the bee inspector rules, no result does")
		check("D041", v.Releasable("D041"), "D041 can't be released: HMF", "breaks the limit")
		check("problems", v.ProblemList(""), "No problem is open; 2 written down", "bath out of use, new thermostat fitted")
		check("no such problem", v.ProblemList("P-99"), "There is no problem P-99")
		check("no such site", v.MayPull("Ambry", season(time.July, 27)), "There is no site Ambry")
	})
}

// Which site first: by what may be pulled, by ripeness, by how soon the crop sets, by the
// drive. The hot room holds one lot at a time: 36 hours in it and then spun, so the next
// comes two days later, and a lot of more boxes than it takes goes through in two loads.
func TestRound(t *testing.T) {
	d := open(t, &ledger.Memory{})
	at := day(6, 0)
	today := record.DayOf(at)
	pct := func(n int64) quantity.Figure { return quantity.Figure{Mantissa: n, Unit: quantity.Pct} }
	days := func(n int64) quantity.Figure { return quantity.Figure{Mantissa: n, Unit: quantity.Day} }
	d.write(at, &record.PlaceNamed{Place: "hot room", For: record.HotRoom, Capacity: 100})
	for i, s := range []record.Code{"Far", "Near", "Rape", "Green", "Strips", "Unlooked", "Bare"} {
		d.write(at, &record.SiteOpened{Site: s, Country: "XX", Hives: 10},
			&record.NotTreated{Site: s, From: today - 300, To: today}, &record.NotFed{Site: s, From: today - 300, To: today})
		if s != "Bare" {
			d.write(at.Add(-time.Hour), &record.SupersPlaced{Site: s, Boxes: 60 + int64(i), From: s})
		}
	}
	for _, s := range []record.Code{"Far", "Near", "Rape"} {
		d.write(at, &record.RipenessRead{Site: s, Capped: pct(90), Water: quantity.Figure{Mantissa: 175, Decimals: 1, Unit: quantity.Pct}})
	}
	d.write(at, &record.RipenessRead{Site: "Green", Capped: pct(60)},
		&record.SiteDescribed{Site: "Far", Drive: quantity.Figure{Mantissa: 90, Unit: quantity.Minute}}, &record.SiteDescribed{Site: "Near", Drive: quantity.Figure{Mantissa: 10, Unit: quantity.Minute}},
		&record.SiteDescribed{Site: "Rape", Crop: "rape", SetsAfter: days(4)},
		&record.Treated{Treatment: "T1", Site: "Strips", Product: "strips", WaitDays: days(10)}, &record.TreatmentEnded{Treatment: "T1"})
	d.write(at, &record.SupersPlaced{Site: "Rape", Boxes: 100, From: "Rape"}) // 162: two loads
	var r office.Round
	d.Read(func(v *office.View) { r = v.Round(today) })
	var order []string
	for _, x := range r.Turns {
		order = append(order, string(x.Code))
	}
	if got := strings.Join(order, " "); got != "Rape Near Far Bare Unlooked Green Strips" {
		t.Fatalf("order %s", got)
	}
	for i, want := range []struct{ on, spin, loads int64 }{{0, 4, 2}, {4, 6, 1}, {6, 8, 1}, {}, {8, 10, 1}} {
		x := r.Turns[i]
		if want.loads == 0 { // nobody wrote down how many boxes are on: no day can be said
			x.On, x.Spin = x.On+today, x.Spin+today
		}
		if int64(x.On-today) != want.on || int64(x.Spin-today) != want.spin || x.Loads != want.loads {
			t.Errorf("%s: pulled on day %d, spun by day %d, %d loads; want %v", x.Code, x.On-today, x.Spin-today, x.Loads, want)
		}
	}
	if x := r.Turns[0]; x.SetBy != today+4 {
		t.Errorf("%s sets by %v", x.Code, x.SetBy)
	}
	if x := r.Turns[6]; x.Free != today+11 { // ended today, ten days waited from tomorrow
		t.Errorf("%s is free from day %d, want 11", x.Code, x.Free-today)
	}
	d.Read(func(v *office.View) {
		if text := said(t, v.Pulls(today)); !strings.Contains(text, "First: Rape") || !strings.Contains(text, "35.0 supers an hour (setting pull.rate)") {
			t.Errorf("the round says\n%s", text)
		}
		// A look that is six days old is none; a figure that breaks either line is unripe.
		if late := v.Round(today + 6); late.Turns[0].Ripe != record.NotKnown {
			t.Errorf("an old look counts as %v", late.Turns[0].Ripe)
		}
	})
}

// Before the start: another honey wants a wash, another lot of the same is drained, a
// tick is a fact of the day, in whatever language it was written, and one that is not in
// order stops.
func TestBeforeStart(t *testing.T) {
	d := open(t, &ledger.Memory{})
	at := day(6, 0)
	today := record.DayOf(at)
	d.write(at.Add(-80*time.Hour), &record.SiteOpened{Site: "A", Country: "XX"}, &record.MachineNamed{Machine: "extractor", What: "extractor, 60 frames"},
		&record.LotOpened{Lot: "L1", Site: "A", Pulled: today - 4, Honey: "spring"}, &record.SupersPulled{Lot: "L1", Site: "A", Boxes: 10})
	d.write(at.Add(-79*time.Hour), &record.Cleaned{What: []record.Code{"extractor"}, Clean: record.WashDown, Dry: record.Yes})
	need := func(want string) office.StartThing {
		t.Helper()
		var s office.Start
		d.Read(func(v *office.View) { s = v.BeforeStart(today, "", everyTongue) })
		for _, x := range s.Things {
			if x.Code == "extractor" {
				if x.Need.Key != want {
					t.Errorf("%s, want %s", x.Need.Key, want)
				}
				return x
			}
		}
		t.Fatal("no extractor")
		return office.StartThing{}
	}
	need("start.need.none")
	d.write(at.Add(-time.Hour), &record.SupersSpun{Lot: "L1", Boxes: 10, Machines: []record.Code{"extractor"}}, &record.LotClosed{Lot: "L1"})
	d.write(at.Add(-50*time.Minute), &record.LotOpened{Lot: "L2", Site: "A", Pulled: today - 1, Honey: "spring"}, &record.SupersPulled{Lot: "L2", Site: "A", Boxes: 5})
	need("start.need.other-lot")
	d.write(at.Add(-40*time.Minute), &record.Cleaned{What: []record.Code{"extractor"}, Clean: record.Drained})
	need("start.need.none")
	d.write(at.Add(-30*time.Minute), &record.SupersSpun{Lot: "L2", Boxes: 5, Machines: []record.Code{"extractor"}}, &record.LotOpened{Lot: "L3", Site: "A", Pulled: today - 1, Honey: "forest"}, &record.SupersPulled{Lot: "L3", Site: "A", Boxes: 5})
	need("start.need.other-honey")
	d.write(at.Add(-20*time.Minute), &record.HoldSet{Hold: "H1", Cause: record.CauseResidue, Roots: []record.Code{"L2"}, Reason: "residue"})
	need("start.need.held")
	d.write(at.Add(-19*time.Minute), &record.HoldSet{Hold: "H2", Cause: record.CauseDisease, Roots: []record.Code{"L1"}, Reason: "foulbrood"})
	if x := need("start.need.spores"); x.Open() != 3 || x.Mark() != answer.Care {
		t.Errorf("%d lines open, mark %v", x.Open(), x.Mark())
	}
	es, err := words.For("es")
	if err != nil {
		t.Fatal(err)
	}
	d.write(at.Add(-10*time.Minute), &record.StartChecked{Of: []record.Code{"extractor"}, Lines: []record.StartLine{{What: es.Say("start.lid"), InOrder: record.Yes}, {What: "own line", InOrder: record.Yes}}})
	if x := need("start.need.spores"); x.Open() != 2 || x.Items[0].Done != record.Yes || x.Checked != 1 {
		t.Errorf("ticked in Spanish: %d lines open, first %v, %d others", x.Open(), x.Items[0].Done, x.Checked)
	}
	d.write(at.Add(-9*time.Minute), &record.StartChecked{Of: []record.Code{"extractor"}, Lines: []record.StartLine{{What: es.Say("start.lid"), InOrder: record.No}}})
	if x := need("start.need.spores"); x.Mark() != answer.Bad {
		t.Errorf("not in order and marked %v", x.Mark())
	}
	// A clean-down ends what it ends, but never spores.
	d.write(at.Add(-8*time.Minute), &record.Cleaned{What: []record.Code{"extractor"}, Clean: record.CleanDown})
	need("start.need.spores")
}

// Winter stores by the check case: 34 kg, need 18, late flow 2, reserve 4, 2.2 kg a frame
// give 6 frames (process.md, section 8); a band of need and frames makes a band of
// answers, and what is not known is not answered.
func TestWinterStores(t *testing.T) {
	d := open(t, &ledger.Memory{})
	set := func(name string, m int64, dec uint8) *record.SettingChanged {
		return &record.SettingChanged{Setting: name, Value: quantity.Figure{Mantissa: m, Decimals: dec, Unit: quantity.KgUnit}}
	}
	d.write(day(6, 0), set("stores.need.low", 18, 0), set("stores.need.high", 18, 0), set("stores.frame.low", 22, 1), set("stores.frame.high", 22, 1))
	ask := office.StoresAsk{Have: 34, Frames: math.NaN(), LateFlow: 2}
	d.Read(func(v *office.View) {
		if text := said(t, v.Stores(ask)); !strings.Contains(text, "6 to 6 full frames a hive may be taken, likely 6") {
			t.Errorf("the check case says\n%s", text)
		}
	})
	d.write(day(6, 0), set("stores.need.low", 15, 0), set("stores.need.high", 20, 0), set("stores.frame.low", 20, 1), set("stores.frame.high", 25, 1))
	d.Read(func(v *office.View) {
		// least: (34+2-20-4)/2.5 = 4.8; likely (34+2-17.5-4)/2.25 = 6.4; most (34+2-15-4)/2 = 8.5
		if text := said(t, v.Stores(ask)); !strings.Contains(text, "4 to 8 full frames a hive may be taken, likely 6") {
			t.Errorf("the band says\n%s", text)
		}
		if text := said(t, v.Stores(office.StoresAsk{Have: math.NaN(), Frames: math.NaN()})); !strings.Contains(text, "can't be said") {
			t.Errorf("nothing known says\n%s", text)
		}
		// 10 kg lacking: 10 / 1.0911 = 9.2 kg of sugar a kilogram of stores each (check case
		// syrup: 10 kg of sugar give 10.911401)
		if text := said(t, v.Stores(office.StoresAsk{Have: 9, Frames: math.NaN()})); !strings.Contains(text, "Nothing may be taken") || !strings.Contains(text, "feed 9.2 kg to") {
			t.Errorf("too little says\n%s", text)
		}
		if a := v.Stores(office.StoresAsk{Have: 34, Frames: math.NaN(), Climate: "tropic"}); a.Cannot == nil {
			t.Error("any climate is taken")
		}
		if a := v.Stores(office.StoresAsk{Have: 1e9, Frames: math.NaN()}); a.Cannot == nil {
			t.Error("a million tonnes on a hive are taken")
		}
	})
}

// A result close to its limit is too close to call, with its doubt or without; one that
// keeps it with its doubt lets a hold go; the limit is 20 % of water (Directive
// 2001/110/EC, Annex II).
func TestReleasable(t *testing.T) {
	for _, c := range []struct {
		water, doubt int64 // tenths
		want         string
	}{
		{174, 2, "Somebody with the role may release it"}, {199, 4, "too close to its limit to call"}, {197, 0, "too close to its limit to call"},
		{174, 0, "its doubt was not written down. That is no pass"}, {212, 2, "can't be released: Moisture breaks its limit"},
	} {
		d := open(t, &ledger.Memory{})
		d.write(day(6, 0), &record.SiteOpened{Site: "A", Country: "XX"}, &record.LotOpened{Lot: "L1", Site: "A", Pulled: record.DayOf(day(6, 0))})
		d.Read(func(v *office.View) {
			if a := v.Releasable("L1"); a.Cannot == nil {
				t.Error("a house without a rule set judges")
			}
		})
		d.write(day(6, 0), &record.HouseNamed{Name: "H", Country: "XX", Rules: "eu"}, &record.HoldSet{Hold: "H1", Cause: record.CauseWater, Roots: []record.Code{"L1"}, Reason: "wet"},
			&record.SampleSent{Of: []record.Code{"L1"}, Lab: "lab", Tests: "water"})
		read := func(want string) {
			t.Helper()
			d.Read(func(v *office.View) {
				if text := said(t, v.Releasable("L1")); !strings.Contains(text, want) {
					t.Errorf("%d ± %d tenths: not %q but\n%s", c.water, c.doubt, want, text)
				}
			})
		}
		read("one laboratory sheet has not come back")
		r := record.Result{Property: record.Water, Value: quantity.Figure{Mantissa: c.water, Decimals: 1, Unit: quantity.Pct}}
		if c.doubt > 0 {
			r.PlusMinus = quantity.Figure{Mantissa: c.doubt, Decimals: 1, Unit: quantity.Pct}
		}
		d.write(day(6, 0), &record.ResultRead{Of: "L1", Lab: "lab", Results: []record.Result{r}})
		read(c.want)
	}
}

// The food-safety plan: points of the house take the place of what is offered, a change
// after the signature asks for another, and a dropped point stays dropped.
func TestSafetyPlan(t *testing.T) {
	d := open(t, &ledger.Memory{})
	today := record.DayOf(day(6, 0))
	read := func(want ...string) {
		t.Helper()
		d.Read(func(v *office.View) {
			text := said(t, v.Safety(today))
			for _, w := range want {
				if !strings.Contains(text, w) {
					t.Errorf("not %q but\n%s", w, text)
				}
			}
		})
	}
	read("has no food-safety plan", "named from memory", "ask your food authority")
	d.write(day(6, 0), &record.SafetyPointSet{Point: "03", Hazard: record.HazardChemical, What: "strips with supers on", Control: "pull answer", Critical: record.Yes})
	read("The plan has 1 point and was never signed", "Point 03: say what it must keep to", "9 more points are offered")
	d.write(day(6, 0), &record.SafetyPlanSigned{By: "owner", Points: 1, Review: today + 30})
	read("owner signed it")
	d.write(day(6, 0), &record.SafetyPointSet{Point: "10", What: "allergens", Dropped: record.Yes, Reason: "no bakery"})
	read("1 point was changed since owner signed", "8 more points are offered")
}

// Two lots that ran into one tank share what was drawn from it by weight, and it is said
// that no more is known; a site whose hives nobody counted has no figure a hive.
func TestYieldOfASharedTank(t *testing.T) {
	d := open(t, &ledger.Memory{})
	at := day(6, 0)
	today := record.DayOf(at)
	d.write(at, &record.SiteOpened{Site: "A", Country: "XX", Hives: 10}, &record.SiteOpened{Site: "B", Country: "XX"}, &record.InstrumentNamed{Instrument: "scale", What: "scale", Division: quantity.Figure{Mantissa: 2, Decimals: 1, Unit: quantity.KgUnit}},
		&record.VesselNamed{Vessel: "T", Shape: record.Tank}, &record.VesselNamed{Vessel: "S-1", Shape: record.Drum, Tare: kg(18, 0)})
	for lot, x := range map[record.Code]struct {
		site record.Code
		in   int64
	}{"L1": {"A", 300}, "L2": {"B", 200}} {
		d.write(at, &record.LotOpened{Lot: lot, Site: x.site, Pulled: today, Honey: "summer"}, &record.SupersPulled{Lot: lot, Site: x.site, Boxes: 10},
			&record.SupersReceived{Lot: lot, Side: record.AfterHotRoom, Scale: "scale", Stacks: []record.Stack{{Boxes: 10, Gross: kg(x.in, 0), Tray: kg(0, 0)}}},
			&record.WetSupersWeighed{Lot: lot, Scale: "scale", Stacks: []record.Stack{{Boxes: 10, Gross: kg(100, 0), Tray: kg(0, 0)}}},
			&record.LotRanInto{Lot: lot, Into: "T"})
	}
	d.write(at, &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "T", Gross: kg(308, 0), Tare: kg(18, 0)})
	d.Read(func(v *office.View) {
		all := v.Yields(2026, "")
		if len(all) != 2 || len(all[0].Shared) != 1 || len(all[1].Shared) != 1 {
			t.Fatalf("%+v", all)
		}
		text := said(t, v.Yield(0, ""))
		for _, want := range []string{"its honey shared a tank with L2", "its honey shared a tank with L1", "at 1 of them nobody counted the hives", "not closed"} {
			if !strings.Contains(text, want) {
				t.Errorf("not %q but\n%s", want, text)
			}
		}
		if clean := all[0].Clean + all[1].Clean; clean != 290_000 {
			t.Errorf("%d g clean of 290 kg drawn", clean)
		}
	})
}
