package goods

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// Figures of these tests are the demo season's: orders, runs, cases, materials.

// softSet is run R1 for order O-02: 2640 jars, of which 2 retained, 2400 in 200
// cases to three shops, and 61 sold from the own shop's 238.
func softSet() *book {
	b := newBook()
	b.on(day(5, 1), &record.ProductNamed{Product: "SS454", What: record.SoftSetJar, Label: record.Weight{Figure: q.Figure{Mantissa: 454, Unit: q.G}}, UnitsCase: 12},
		&record.CustomerNamed{Customer: "Saltmarsh"}, &record.CustomerNamed{Customer: "Own shop"})
	b.on(day(8, 20), &record.OrderTaken{Order: "O-02", Customer: "Saltmarsh", Lines: []record.OrderLine{{Product: "SS454", Units: 2400}}, Due: day(10, 5)})
	b.on(day(9, 28), &record.RunStarted{Run: "R1-run", Product: "SS454", Orders: []record.Code{"O-02"}},
		&record.JarsFilled{Batch: "R1", Run: "R1-run", Units: 2640, Mass: kg(1204)},
		&record.Retained{Batch: "R1", Units: 2},
		&record.Promised{Order: "O-02", What: []record.Code{"R1"}, Units: 2400},
		&record.Cased{Batches: []record.CasedFrom{{Batch: "R1", Units: 2400}}, Cases: cases("R1-C", 1, 200), PerCase: 12})
	return b
}

func (b *book) shops() {
	b.on(day(10, 2), &record.Sent{Dispatch: "V1", Order: "O-02", Customer: "Saltmarsh", Lines: []record.SentLine{
		{Cases: cases("R1-C", 1, 90), ShipTo: "North"}, {Cases: cases("R1-C", 91, 160), ShipTo: "Quay"}, {Cases: cases("r1-c", 161, 200), ShipTo: "Mill"}}})
	b.on(day(11, 18), &record.Sent{Dispatch: "V2", Customer: "Own shop", Lines: []record.SentLine{{What: "R1", Units: 61}}})
}

func TestSoftSetToThreeShops(t *testing.T) {
	b := softSet()
	if free, _ := b.g.Free("R1"); free != 238 {
		t.Errorf("%d jars free for the own shop, want 238", free)
	}
	if got := b.g.Resolve(record.SentLine{Cases: cases("R1-C", 1, 90)}); cmp.Diff([]BatchUnits{{"R1", 1080}}, got) != "" {
		t.Errorf("90 cases of 12: %+v", got)
	}
	b.shops()
	got, _ := b.g.Batch("r1")
	want := Batch{Code: "R1", Product: "SS454", Run: "R1-run", At: got.At, Made: 2640, OnHand: 177, Loose: 177, Retained: 2, Sent: 2461}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	var lines []SentLine
	for _, l := range b.g.SentOf("R1") {
		l.Stamp = Stamp{}
		lines = append(lines, l)
	}
	wantLines := []SentLine{
		{Dispatch: "V1", Order: "O-02", Customer: "Saltmarsh", ShipTo: "North", Batch: "R1", Units: 1080, Cases: []record.Cases{cases("R1-C", 1, 90)}},
		{Dispatch: "V1", Order: "O-02", Customer: "Saltmarsh", ShipTo: "Quay", Batch: "R1", Units: 840, Cases: []record.Cases{cases("R1-C", 91, 160)}},
		{Dispatch: "V1", Order: "O-02", Customer: "Saltmarsh", ShipTo: "Mill", Batch: "R1", Units: 480, Cases: []record.Cases{cases("R1-C", 161, 200)}},
		{Dispatch: "V2", Customer: "Own shop", What: "R1", Batch: "R1", Units: 61}}
	if d := cmp.Diff(wantLines, lines); d != "" {
		t.Error(d)
	}
	for code, shop := range map[record.Code]string{"R1-C045": "North", "r1-c091": "Quay", "R1-C160": "Quay", "R1-C0200": "Mill"} {
		c, ok := b.g.Case(code)
		if !ok || !c.Gone || c.ShipTo != shop || c.Dispatch != "V1" || c.Customer != "Saltmarsh" || cmp.Diff([]BatchUnits{{"R1", 12}}, c.Units) != "" {
			t.Errorf("case %s: %+v", code, c)
		}
	}
	for _, code := range []record.Code{"R1-C201", "R1-C000", "R1-C", "R2-C001", ""} {
		if c, ok := b.g.Case(code); ok {
			t.Errorf("case %q was found: %+v", code, c)
		}
	}
	if o, _ := b.g.Order("O-02"); o.Lines[0].Sent != 2400 || o.Open() || len(b.g.Open(0)) != 0 {
		t.Errorf("order: %+v", o)
	}
	if p := b.g.PromisesTo("O-02"); len(p) != 0 {
		t.Errorf("promises left: %+v", p)
	}
	if f := flags(b.g); len(f) != 0 { // a sale over the counter needs no order
		t.Errorf("flags: %v", f)
	}
	if n := len(b.g.series["R1-C"].pieces); n != 3 {
		t.Errorf("200 cases are kept as %d ranges, want 3", n)
	}
}

func TestComplaintOfSoftSet(t *testing.T) {
	b := softSet()
	b.shops()
	b.on(day(11, 18), &record.ComplaintTaken{Complaint: "K1", Customer: "Saltmarsh", Mark: "R1", Class: record.FaultFerment, Units: 1},
		&record.RecallStarted{Recall: "P1", Scope: record.PracticeRecall, Cause: record.CauseFerment, Roots: []record.Code{"R1"}})
	for _, mark := range []record.Code{"R1", "r1-run"} {
		if c := b.g.ComplaintsOf(mark); len(c) != 1 || c[0].Class != record.FaultFerment || c[0].Answered != nil {
			t.Errorf("complaints of %s: %+v", mark, c)
		}
	}
	b.on(day(11, 20), &record.ComplaintAnswered{Complaint: "k1", Answer: "taken back"}, &record.RecallEnded{Recall: "P1", Back: each(1)}, &record.ComplaintAnswered{Complaint: "K9"})
	if c := b.g.Complaints()[0]; c.Answered == nil || c.AnsweredAt.Day() != day(11, 20) {
		t.Errorf("%+v", c)
	}
	if r := b.g.Recalls(); len(r) != 1 || r[0].Ended == nil {
		t.Errorf("%+v", r)
	}
	b.on(day(11, 21), &record.Returned{Dispatch: "V1", Batch: "R1", Units: 24, To: "R1-back", Reason: "fizzy"})
	back, _ := b.g.Batch("R1-back")
	if back.OnHand != 24 || back.Of != "R1" || back.Product != "SS454" || back.Run != "R1-run" {
		t.Errorf("%+v", back)
	}
	if r := b.g.ReturnsOf("R1"); len(r) != 1 || r[0].Units != 24 || r[0].To != "R1-back" {
		t.Errorf("%+v", r)
	}
	if d := cmp.Diff([]string{FlagAnswerUnknown}, flags(b.g)); d != "" {
		t.Error(d)
	}
}

// R3: 9900 jars in 18 half-hours of 550; 107 pulled and tipped back, 191 relabelled,
// 2 retained, 9600 in 800 cases, which take the marks in turn.
func TestCasesAcrossBatches(t *testing.T) {
	b := newBook()
	b.on(day(8, 28), &record.OrderTaken{Order: "O-06", Customer: "Harrow", Lines: []record.OrderLine{{Product: "B340", Units: 9600}}, Due: day(11, 9)})
	b.on(day(11, 3), &record.RunStarted{Run: "R3", Product: "B340"},
		&record.JarsFilled{Batch: "R3-1", Run: "R3", Units: 7150}, &record.JarsFilled{Batch: "R3-2", Run: "R3", Units: 2750},
		&record.Retained{Batch: "R3-1", Units: 2}, &record.TippedBack{Batch: "R3-2", Units: 107, To: "pail"},
		&record.Regraded{Batch: "R3-2", To: "R3-B", Units: 191, Label: record.Weight{Figure: q.Figure{Mantissa: 325, Unit: q.G}}, Reason: "light"})
	b.on(day(11, 4), &record.Cased{Batches: []record.CasedFrom{{Batch: "R3-1", Units: 7148}, {Batch: "R3-2", Units: 2452}}, Cases: cases("R3-C", 1, 800), PerCase: 12},
		&record.Palletised{Pallet: "PL1", Cases: []record.Cases{cases("R3-C", 1, 400)}, Place: "dock"}, &record.Palletised{Pallet: "PL2", Cases: []record.Cases{cases("R3-C", 401, 800)}},
		&record.Promised{Order: "O-06", What: []record.Code{"PL1", "PL2"}})
	// 7148 = 595 x 12 + 8: case 596 is at the border
	if c, _ := b.g.Case("R3-C596"); cmp.Diff([]BatchUnits{{"R3-1", 8}, {"R3-2", 4}}, c.Units) != "" || c.Pallet != "PL2" || c.Gone {
		t.Errorf("case 596: %+v", c)
	}
	if got := b.g.Resolve(record.SentLine{What: "PL2"}); cmp.Diff([]BatchUnits{{"R3-1", 2348}, {"R3-2", 2452}}, got) != "" {
		t.Errorf("pallet 2: %+v", got)
	}
	if free, _ := b.g.Free("R3-2"); free != 0 {
		t.Errorf("%d jars free of what stands on promised pallets", free)
	}
	b.on(day(11, 8), &record.Sent{Dispatch: "V9", Order: "O-06", Customer: "Harrow", Lines: []record.SentLine{{What: "PL1"}, {Cases: cases("R3-C", 401, 799)}}})
	if p := b.g.PromisesTo("O-06"); len(p) != 1 || p[0].What != "PL2" {
		t.Errorf("one case of pallet 2 is still here: %+v", p)
	}
	if o := b.g.Open(day(11, 8)); len(o) != 1 || o[0].Lines[0].Open() != 12 {
		t.Errorf("open: %+v", o)
	}
	b.on(day(11, 9), &record.Sent{Dispatch: "V10", Order: "O-06", Customer: "Harrow", Lines: []record.SentLine{{Cases: cases("R3-C", 800, 800)}}})
	for code, want := range map[record.Code]Batch{
		"R3-1": {Made: 7150, Retained: 2, Sent: 7148},
		"R3-2": {Made: 2750, TippedBack: 107, RegradedOut: 191, Sent: 2452},
		"R3-B": {CameIn: 191, OnHand: 191, Loose: 191, Of: "R3-2"}} {
		got, _ := b.g.Batch(code)
		want.Code, want.Product, want.Run, want.At, want.Label = code, "B340", "R3", got.At, got.Label
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s: %s", code, d)
		}
	}
	if p := b.g.PromisesTo("O-06"); len(p) != 0 {
		t.Errorf("all went: %+v", p)
	}
	if r := b.g.CasesOf("R3-2"); len(r) != 2 || r[0].Cases != cases("R3-C", 596, 799) || r[1].Dispatch != "V10" {
		t.Errorf("cases of R3-2: %+v", r)
	}
	if f := flags(b.g); len(f) != 0 {
		t.Errorf("flags %v", f)
	}
	if got := b.g.BatchesIn("PL2"); cmp.Diff([]record.Code{"R3-1", "R3-2"}, got) != "" {
		t.Errorf("on pallet 2: %v", got)
	}
}

// R2's broken jar: 20 are destroyed at 10:40, the run is written down in the evening.
func TestDestroyedBeforeTheMark(t *testing.T) {
	b := newBook()
	b.on(day(9, 21), &record.Destroyed{What: "R2", Units: 20, Reason: "glass"}, &record.RunStarted{Run: "R2-run", Product: "S340"},
		&record.JarsFilled{Batch: "R2", Run: "R2-run", Units: 6312}, &record.Retained{Batch: "R2", Units: 2})
	if got, _ := b.g.Batch("R2"); got.OnHand != 6290 || got.Destroyed != 20 {
		t.Errorf("%+v", got)
	}
	if r, _ := b.g.Run("R2-run"); cmp.Diff([]record.Code{"R2"}, r.Batches) != "" {
		t.Errorf("%+v", r)
	}
}

func TestDrumsSold(t *testing.T) {
	b := newBook()
	drums := []record.Code{"D065", "D066", "D068", "D069", "D070", "D071"}
	b.on(day(9, 15), &record.ProductNamed{Product: "FOREST", What: record.BulkDrum}, &record.ProductNamed{Product: "COOK", What: record.BulkDrum},
		&record.OrderTaken{Order: "O-05", Customer: "Eastquay", Lines: []record.OrderLine{{Product: "FOREST", Units: 6, Drums: drums}}, Due: day(10, 30)},
		&record.Promised{Order: "O-05", What: drums})
	b.on(day(10, 20), &record.OrderTaken{Order: "O-04", Customer: "Penny Lantern", Lines: []record.OrderLine{{Product: "COOK", Units: 2}}, Due: day(10, 26)})
	if o := b.g.Open(day(9, 30)); len(o) != 1 || o[0].Code != "O-05" {
		t.Errorf("known on 30 September: %+v", o)
	}
	if o := b.g.Open(0); len(o) != 2 || o[0].Code != "O-04" {
		t.Errorf("the first due first: %+v", o)
	}
	b.on(day(10, 26), &record.Sent{Dispatch: "V4", Order: "O-04", Customer: "Penny Lantern", Lines: []record.SentLine{{What: "D041", Seal: "26-0407"}, {What: "B001", Seal: "26-0408"}}})
	if s := b.g.SentOfFilling("d041"); len(s) != 1 || s[0].Seal != "26-0407" || s[0].Customer != "Penny Lantern" {
		t.Errorf("%+v", s)
	}
	b.on(day(10, 30), &record.PromiseTakenBack{Order: "O-05", What: []record.Code{"D071"}})
	if p := b.g.PromisesTo("O-05"); len(p) != 5 || len(b.g.PromisesOf("D071")) != 0 {
		t.Errorf("%+v", p)
	}
	b.on(day(10, 30), &record.Sent{Dispatch: "V5", Order: "O-05", Customer: "Eastquay", Lines: []record.SentLine{{What: "D065"}, {What: "D066"}}},
		&record.Sent{Dispatch: "V6", Order: "O-04", Customer: "Penny Lantern", Lines: []record.SentLine{{What: "D068"}}})
	if o, _ := b.g.Order("O-05"); o.Lines[0].Sent != 2 || o.Lines[0].Open() != 4 {
		t.Errorf("%+v", o)
	}
	got := map[string]int64{}
	for _, f := range b.g.Flags() {
		got[f.Key] = f.Units
	}
	if d := cmp.Diff(map[string]int64{FlagSentPromised: 0, FlagOverSent: 3}, got); d != "" {
		t.Error(d)
	}
	b.on(day(10, 31), &record.OrderDropped{Order: "O-05", Reason: "buyer failed"})
	if len(b.g.PromisesTo("O-05")) != 0 || len(b.g.Open(0)) != 0 {
		t.Error("a dropped order keeps nothing")
	}
}

func TestPromisesOfUnits(t *testing.T) {
	b := newBook()
	b.on(day(9, 1), &record.JarsFilled{Batch: "A", Run: "R", Units: 100}, &record.JarsFilled{Batch: "B", Run: "R", Units: 50},
		&record.Promised{Order: "O1", What: []record.Code{"A", "B"}, Units: 120}, &record.Promised{Order: "O2", What: []record.Code{"B"}, Units: 40})
	a, _ := b.g.Free("A")
	c, _ := b.g.Free("B")
	if a != 0 || c != -10 {
		t.Errorf("free of A %d, of B %d; want 0 and 10 short", a, c)
	}
	if d := cmp.Diff([]string{FlagPromisedMore}, flags(b.g)); d != "" {
		t.Error(d)
	}
	b.on(day(9, 2), &record.OrderTaken{Order: "O1", Lines: []record.OrderLine{{Product: "P", Units: 120}}},
		&record.Sent{Dispatch: "V", Order: "O1", Customer: "K", Lines: []record.SentLine{{What: "A", Units: 60}}})
	if p := b.g.PromisesOf("A"); len(p) != 1 || p[0].Units != 40 {
		t.Errorf("%+v", p)
	}
	if _, ok := b.g.Free("D041"); ok {
		t.Error("a drum has no units")
	}
}

// What was in the packing store on 1 September, and what came.
func TestMaterials(t *testing.T) {
	b := newBook()
	b.on(day(9, 1), &record.MaterialNamed{Material: "JAR340", WaitDays: 21}, &record.MaterialReceived{Lot: "J1", Material: "JAR340", Amount: pieces(9600)})
	b.on(day(9, 15), &record.MaterialOrdered{Material: "JAR340", Supplier: "Glass", Amount: pieces(8000), Due: day(10, 6)})
	b.on(day(9, 21), &record.MaterialUsed{Lot: "J1", For: "R2", Amount: pieces(6312), Spoilt: each(30)})
	if s := b.g.Stock("jar340"); s.Pieces != (Count{N: 3258, Given: true}) || s.Grams.Given {
		t.Errorf("%+v", s)
	}
	b.on(day(10, 5), &record.MaterialReceived{Lot: "J2", Material: "JAR340", Supplier: "glass", Amount: pieces(6612)}, &record.MaterialCounted{Lot: "J1", Amount: pieces(3250)})
	if o := b.g.OnOrder("JAR340"); len(o) != 1 || o[0].Amount.Pieces.N != 1388 {
		t.Errorf("still to come: %+v", o)
	}
	l, _ := b.g.MaterialLot("J1")
	if len(l.Counts) != 1 || l.Counts[0].Was.Pieces.N-l.Counts[0].Found.Pieces.N != 8 || l.Left.Pieces.N != 3250 {
		t.Errorf("8 jars less than the books: %+v", l)
	}
	b.on(day(10, 6), &record.MaterialReceived{Lot: "J3", Material: "JAR340", Supplier: "Other", Amount: pieces(5000)})
	if o := b.g.OnOrder("JAR340"); len(o) != 1 || o[0].Amount.Pieces.N != 1388 {
		t.Errorf("another supplier's jars fill no order: %+v", o)
	}
	if u := b.g.UsedIn("J1"); len(u) != 1 || u[0].For != "R2" || u[0].Material != "JAR340" {
		t.Errorf("%+v", u)
	}
	if u := b.g.UsedBy("r2"); len(u) != 1 || u[0].Lot != "J1" {
		t.Errorf("%+v", u)
	}
	b.on(day(10, 7), &record.MaterialUsed{Lot: "J1", For: "R3", Amount: pieces(3300)}, &record.MaterialUsed{Lot: "J9", For: "R3", Amount: pieces(1)})
	if d := cmp.Diff([]string{FlagMaterialBelow, FlagMaterialUnknown}, flags(b.g)); d != "" {
		t.Error(d)
	}
	b.on(day(10, 8), &record.MaterialUsed{Lot: "J2", For: "R4"})
	if s := b.g.Stock("JAR340"); !s.Pieces.Open {
		t.Errorf("used without a figure, and still known: %+v", s)
	}
	if s := b.g.Stock("LID"); s.Pieces.Given {
		t.Error("no word is not none")
	}
}

// The spread of 60 kg honey: 90 kg plums are an ingredient lot, honey is not.
func TestBatchOfSpread(t *testing.T) {
	b := newBook()
	b.on(day(11, 1), &record.MaterialReceived{Lot: "PLUM1", Material: "PLUM", Amount: record.Amount{Mass: kg(100)}},
		&record.RecipeSet{Product: "SPREAD", Yield: kg(134)},
		&record.BatchMade{Batch: "SP1", Product: "SPREAD", Inputs: []record.Input{{From: "T1", Mass: kg(60)}, {From: "PLUM1", Mass: kg(90)}}, Out: kg(134), Units: 600})
	if s := b.g.Stock("PLUM"); s.Grams != (Count{N: 10_000, Given: true}) {
		t.Errorf("%+v", s)
	}
	if u := b.g.UsedBy("SP1"); len(u) != 1 || u[0].Lot != "PLUM1" || !u[0].Input {
		t.Errorf("%+v", u)
	}
	if got, _ := b.g.Batch("SP1"); got.OnHand != 600 || got.Product != "SPREAD" {
		t.Errorf("%+v", got)
	}
	if _, ok := b.g.Recipe("SPREAD", day(10, 31)); ok {
		t.Error("there was no recipe on the day before")
	}
	if r, ok := b.g.Recipe("spread", day(11, 1)); !ok || r.Yield.Grams() != 134_000 {
		t.Errorf("%+v", r)
	}
}

// Who waits for an order and gets goods without its number: it was forgotten, and the
// order stays open.
func TestOrderForgotten(t *testing.T) {
	b := softSet()
	b.on(day(10, 1), &record.Sent{Dispatch: "V0", Customer: "Own shop", Lines: []record.SentLine{{What: "R1", Units: 10}}},
		&record.Sent{Dispatch: "V1", Customer: "saltmarsh", Lines: []record.SentLine{{What: "R1", Units: 100}}})
	f := b.g.Flags()
	if len(f) != 1 || f[0].Key != FlagNoOrder || f[0].Dispatch != "V1" || f[0].Order != "O-02" {
		t.Errorf("%+v", f)
	}
	b.on(day(10, 2), &record.OrderDropped{Order: "O-02", Reason: "no need"})
	if f := flags(b.g); len(f) != 0 {
		t.Errorf("nobody waits any more: %v", f)
	}
}

func TestOddCases(t *testing.T) {
	b := softSet()
	b.shops()
	sent := func(l record.SentLine) *record.Sent {
		return &record.Sent{Dispatch: "V3", Order: "O-02", Customer: "Saltmarsh", Lines: []record.SentLine{l}}
	}
	b.on(day(11, 20), sent(record.SentLine{Cases: cases("R1-C", 200, 201)}), // gone, and never packed
		&record.Cased{Batches: []record.CasedFrom{{Batch: "R1", Units: 24}}, Cases: cases("R1-C", 200, 201), PerCase: 12}, // 200 has gone
		&record.Palletised{Pallet: "PL", Cases: []record.Cases{cases("R1-C", 150, 201)}},
		sent(record.SentLine{What: "PL", Units: 13}), sent(record.SentLine{What: "PL"}),
		&record.Cased{Batches: []record.CasedFrom{{Batch: "R1", Units: 30}}, Cases: cases("S", 1, 2), PerCase: 12},
		&record.Sent{Dispatch: "V8", Customer: "Own shop", Order: "O-99", Lines: []record.SentLine{{What: "R1", Units: 130}}})
	got := map[string]int64{}
	for _, f := range b.g.Flags() {
		got[f.Key]++
	}
	want := map[string]int64{FlagCasesNotHere: 1, FlagCaseTwice: 1, FlagCasesUnknown: 1, FlagUnitsDiffer: 1, FlagPalletEmpty: 1, FlagCasesDontFit: 1,
		FlagOrderUnknown: 1, FlagOverSent: 1}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	// 177 jars; the pallet's one case took 12, though 13 were written down; 130 went loose
	if x, _ := b.g.Batch("R1"); x.InCases != 24 || x.OnHand != 177-12-130 {
		t.Errorf("%+v", x)
	}
	b.on(day(11, 21), &record.Destroyed{What: "R1", Units: 20, Reason: "dented"})
	if f := flags(b.g); f[len(f)-1] != FlagFromCases {
		t.Errorf("no loose jar was left: %v", f)
	}
	b.on(day(11, 22), &record.Sent{Dispatch: "V11", Order: "O-02", Customer: "Saltmarsh", Lines: []record.SentLine{{What: "R1", Units: 500}}})
	seen := false
	for _, f := range b.g.Flags() {
		seen = seen || f.Key == FlagMoreSent && f.Units > f.Most && f.Most == 2640
	}
	if !seen {
		t.Errorf("more sent than made: %v", flags(b.g))
	}
}

// Thousands of cases stay a few ranges, however they are sent.
func BenchmarkCases(b *testing.B) {
	for b.Loop() {
		k := newBook()
		k.on(1, &record.JarsFilled{Batch: "A", Run: "R", Units: 1_200_000},
			&record.Cased{Batches: []record.CasedFrom{{Batch: "A", Units: 1_200_000}}, Cases: cases("A-C", 1, 100_000), PerCase: 12})
		for i := range int64(100) {
			k.on(2, &record.Sent{Dispatch: "V", Lines: []record.SentLine{{Cases: cases("A-C", i*1000+1, i*1000+500)}}})
		}
	}
}
