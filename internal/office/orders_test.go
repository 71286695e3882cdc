package office_test

import (
	"errors"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// packed is a small house with jars of one product in two runs, cases and a hold: 240
// jars that expire in August, 360 that expire in June, 24 of them loose.
func packed(t *testing.T) *desk {
	d := open(t, &ledger.Memory{})
	d.clock.set(day(12, 0))
	jar := record.Weight{Figure: quantity.Figure{Mantissa: 340, Unit: quantity.G}}
	d.write(day(6, 0), &record.VesselNamed{Vessel: "T1", Shape: record.Tank, Capacity: kg(1500, 0)}, &record.VesselNamed{Vessel: "S1", Shape: record.Drum, Tare: kg(18, 0)},
		&record.VesselNamed{Vessel: "S2", Shape: record.Drum, Tare: kg(18, 0)},
		&record.CustomerNamed{Customer: "Shop"}, &record.CustomerNamed{Customer: "Inn"}, &record.ProductNamed{Product: "jar", What: record.Jar, Label: jar, UnitsCase: 12},
		&record.ProductNamed{Product: "drum", What: record.BulkDrum, Label: kg(290, 0)})
	d.write(day(6, 10), &record.RecipeSet{Product: "jar", Lines: []record.RecipeLine{{Honey: "summer"}}}, &record.RecipeSet{Product: "drum", Lines: []record.RecipeLine{{Honey: "summer"}}},
		&record.StockOpened{Filling: "X0", Steel: "T1", Honey: "summer", Country: "VM", Mass: kg(300, 0)}, &record.StockOpened{Filling: "D1", Steel: "S1", Honey: "summer", Country: "VM", Mass: kg(290, 0)},
		&record.StockOpened{Filling: "D2", Steel: "S2", Honey: "summer", Country: "VM", Mass: kg(290, 0)})
	run := func(h int, run, batch record.Code, best time.Time, units int64) {
		d.write(day(h, 0), &record.RunStarted{Run: run, Product: "jar", From: []record.Code{"T1"}, BestBefore: record.DayOf(best)},
			&record.JarsFilled{Run: run, Batch: batch, From: "T1", Units: units, Mass: record.Grams(quantity.Gram(units * 340))}, &record.RunEnded{Run: run})
	}
	run(7, "RA", "A1", time.Date(2028, time.August, 1, 0, 0, 0, 0, zone), 240)
	run(8, "RB", "B1", time.Date(2028, time.June, 1, 0, 0, 0, 0, zone), 360)
	d.write(day(9, 0), &record.Cased{Batches: []record.CasedFrom{{Batch: "A1", Units: 240}}, Cases: record.Cases{Prefix: "A-", First: 1, Last: 20}, PerCase: 12},
		&record.Cased{Batches: []record.CasedFrom{{Batch: "B1", Units: 336}}, Cases: record.Cases{Prefix: "B-", First: 1, Last: 28}, PerCase: 12})
	return d
}

func order(code record.Code, units int64, due int) *record.OrderTaken {
	return &record.OrderTaken{Order: code, Customer: "Shop", Due: record.DayOf(day(6, 0)) + record.Day(due), Lines: []record.OrderLine{{Product: "jar", Units: units}}}
}

// An order beyond what is free is refused as a promise with what is short and by when;
// a held lot by its hold; what another order has, by that order. Sums by hand: 600 jars.
func TestPromisesAreKeptAgainstFreeStockOnly(t *testing.T) {
	d := packed(t)
	d.write(day(9, 30), order("O1", 500, 7), order("O2", 200, 9))
	refused := func(key string, facts ...record.Fact) *house.Refusal {
		t.Helper()
		var no *house.Refusal
		if err := d.try(day(10, 0), facts...); !errors.As(err, &no) || no.Key != key {
			t.Fatalf("want %s, got %v", key, err)
		}
		return no
	}
	no := refused("refused.promise-short", &record.Promised{Order: "O1", What: []record.Code{"A1", "B1"}, Units: 601})
	if no.Args["free"] != int64(600) || no.Args["short"] != int64(1) || no.Args["due"] != record.DayOf(day(6, 0))+7 {
		t.Errorf("%+v", no.Args)
	}
	d.write(day(10, 0), &record.Promised{Order: "O1", What: []record.Code{"A1", "B1"}, Units: 500})
	no = refused("refused.promise-short", &record.Promised{Order: "O2", What: []record.Code{"A1", "B1"}, Units: 101})
	if no.Args["free"] != int64(100) {
		t.Errorf("%+v", no.Args)
	}
	// two promises in one batch count together
	refused("refused.promise-short", &record.Promised{Order: "O2", What: []record.Code{"B1"}, Units: 60}, &record.Promised{Order: "O2", What: []record.Code{"B1"}, Units: 60})
	d.write(day(10, 5), &record.PromiseTakenBack{Order: "O1", What: []record.Code{"A1", "B1"}}, &record.HoldSet{Hold: "H-1", Cause: record.CauseOther, Roots: []record.Code{"B1"}, Reason: "cap loose"})
	no = refused("refused.on-hold", &record.Promised{Order: "O1", What: []record.Code{"B1"}, Units: 1})
	if no.Args["hold"] != record.Code("H-1") {
		t.Errorf("%+v", no.Args)
	}
	d.write(day(10, 10), &record.Promised{Order: "O1", What: []record.Code{"D1"}})
	no = refused("refused.promise-taken", &record.Promised{Order: "O2", What: []record.Code{"S1"}})
	if no.Args["order"] != record.Code("O1") {
		t.Errorf("%+v", no.Args)
	}
}

// A pick by hand: the run that expires first goes first, whole cases, then loose jars,
// then an opened case; a lot on hold that is asked for is refused by its hold, and the
// rest says what is short. What the pick proposes can be sent as it stands.
func TestPickOfAnOrder(t *testing.T) {
	d := packed(t)
	d.write(day(9, 30), order("O1", 370, 7))
	pick := func(only ...record.Code) (p office.Pick, err error) {
		d.Read(func(v *office.View) { p, err = v.Pick(office.PickAsk{Order: "O1", Only: only}) })
		return p, err
	}
	p, err := pick()
	if err != nil || len(p.Lacks) != 0 {
		t.Fatal(p, err)
	}
	want := []string{"pick.take.cases B1 336", "pick.take.loose B1 24", "pick.take.open A1 10"}
	for i, l := range p.Lines {
		if got := l.Says().Key + " " + string(l.Of[0].Batch) + " " + itoa(l.Units()); i >= len(want) || got != want[i] {
			t.Errorf("line %d is %s", i, got)
		}
	}
	d.write(day(10, 0), &record.HoldSet{Hold: "H-1", Cause: record.CauseOther, Roots: []record.Code{"RB"}, Reason: "cap loose"})
	var no *house.Refusal
	if _, err = pick("B1"); !errors.As(err, &no) || no.Key != "refused.on-hold" || no.Args["hold"] != record.Code("H-1") {
		t.Errorf("a lot on hold is picked: %v", err)
	}
	if p, err = pick(); err != nil || len(p.Lacks) != 1 || p.Lacks[0].Units != 130 || p.Lacks[0].Due != record.DayOf(day(6, 0))+7 || len(p.Left) != 1 || p.Left[0].Hold != "H-1" {
		t.Errorf("with B1 held: %+v, %v", p, err)
	}
	d.write(day(10, 5), &record.HoldLifted{Hold: "H-1", Reason: "caps checked", Role: "owner"})
	p, _ = pick()
	f := &record.Sent{Dispatch: "DN-1", Order: "O1", Customer: "Shop"}
	for _, l := range p.Lines {
		f.Lines = append(f.Lines, l.Line)
	}
	d.write(day(11, 0), f)
	d.Read(func(v *office.View) {
		o, _ := v.State.Goods.Order("O1")
		if o.Open() || len(o.Beyond) != 0 || o.Lines[0].Sent != 370 {
			t.Errorf("after sending: %+v", o)
		}
		a, err := v.DeliveryNote("O1", record.At(day(11, 0)))
		if err != nil || len(a.Tables) != 1 || len(a.Tables[0].Rows) < 2 {
			t.Errorf("note %+v, %v", a, err)
		}
	})
	if _, err := pick("nothing"); err == nil {
		t.Error("an unknown lot is taken")
	}
}

func itoa(n int64) string { return quantity.Figure{Mantissa: n, Unit: quantity.Each}.Digits() }

// What can't be filled, by week, and what selling a drum now would do, by hand: 600
// jars and 580 kg in drums with 96 kg left in the tank (300 − 600 × 0.34). Each jar
// takes 340 g and 2 % more.
func TestWeeksAndWhatIf(t *testing.T) {
	d := packed(t)
	d.write(day(9, 30), order("O1", 600, 0), order("O2", 1000, 7), &record.OrderTaken{Order: "O3", Customer: "Inn", Due: record.DayOf(day(6, 0)) + 14, Lines: []record.OrderLine{{Product: "drum", Units: 1}}})
	d.Read(func(v *office.View) {
		all := v.Covers()
		if len(all) != 3 || all[0].Goods != 600 || all[1].FromHoney != 1000 || all[1].Honey != 346_800 || all[2].FromHoney != 1 || all[2].ShortG != 0 {
			t.Fatalf("%+v", all)
		}
		a := v.Unfilled(record.DayOf(day(6, 0)))
		if a.Lines[0].Mark != answer.Good || len(a.Tables[0].Rows) != 3 {
			t.Errorf("%+v", a)
		}
		sold, err := v.IfSold([]record.Code{"D1"}, record.DayOf(day(6, 0)))
		if err != nil {
			t.Fatal(err)
		}
		short := false
		for _, l := range sold.Lines {
			short = short || l.Key == "if.not-any-more" && l.Args["order"] == record.Code("O3")
		}
		if !short {
			t.Errorf("386 kg do not make 346.8 and 290: %+v", sold.Lines)
		}
		if _, err := v.IfSold([]record.Code{"D9"}, 0); err == nil {
			t.Error("a drum that is not here is sold")
		}
	})
	d.Read(func(v *office.View) {
		if o := v.Covers(); len(o) != 3 || o[2].Short != 0 {
			t.Error("a what-if was recorded")
		}
		// 676 − 346.8 − 34.68 = 294.5 kg stay for the drum of O3
		yes, err := v.CanPromise("jar", 100, record.DayOf(day(6, 0))+8, record.DayOf(day(6, 0)))
		if err != nil || yes.Lines[0].Key != "can.yes" {
			t.Errorf("%+v %v", yes.Lines, err)
		}
		no, _ := v.CanPromise("jar", 1000, record.DayOf(day(6, 0))+8, record.DayOf(day(6, 0)))
		if no.Lines[0].Key != "can.no" {
			t.Errorf("676 kg make 2000 jars and a drum: %+v", no.Lines)
		}
	})
}

// Problem E of the demo season: one jar of R1 with a domed lid. Its recall list names the
// three shops of Saltmarsh with 1080, 840 and 480 jars (90, 70 and 40 cases of 12), the
// 61 jars that unknown callers bought, and the 177 on the shelf (scenario, section 8 E).
func TestRecallOfTheDomedJar(t *testing.T) {
	o := demoOffice(t)
	o.Read(func(v *office.View) {
		a := v.RecallList("R1-01")
		got := map[string]int64{}
		shelf := int64(0)
		for _, table := range a.Tables {
			for _, r := range table.Rows {
				switch {
				case table.Key == "recall-contacts":
					shop, _ := r.Cells[3].(string)
					n, _ := r.Cells[4].(int64)
					got[string(r.Cells[0].(record.Code))+"/"+shop] += n
					if r.Cells[5] != true {
						t.Errorf("%v is only possible", r.Cells)
					}
				case table.Key == "share" && r.Cells[1] == answer.Key("node.batch"):
					n, _ := r.Cells[4].(int64)
					shelf += n
				}
			}
		}
		want := map[string]int64{"Saltmarsh/shop 1": 1080, "Saltmarsh/shop 2": 840, "Saltmarsh/shop 3": 480, "callers/": 61}
		for who, n := range want {
			if got[who] != n {
				t.Errorf("%s has %d jars on the list, want %d", who, got[who], n)
			}
		}
		if len(got) != len(want) || shelf != 177 {
			t.Errorf("called are %v, on the shelf %d; want 177", got, shelf)
		}
	})
}
