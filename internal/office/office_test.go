package office_test

import (
	"context"
	"encoding/binary"
	"errors"
	"slices"
	"sync"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A clock that tests set.
type clock struct {
	mu sync.Mutex
	t  time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

func (c *clock) set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.t = t
}

var zone = time.FixedZone("", 2*3600)

func day(hour, minute int) time.Time { return time.Date(2026, 7, 20, hour, minute, 0, 0, zone) }

// A book that refuses to append while it is told to.
type fullDisk struct {
	office.Book
	full bool
}

var errFull = errors.New("the disk is full")

func (b *fullDisk) Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error) {
	if b.full {
		return head, errFull
	}
	return b.Book.Append(ctx, head, bodies...)
}

type desk struct {
	*testing.T
	*office.Office
	clock *clock
	n     uint64
}

func open(t *testing.T, book office.Book) *desk {
	t.Helper()
	c := &clock{t: day(6, 0)}
	o, err := office.Open(t.Context(), book, c.now, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(o.Close)
	return &desk{T: t, Office: o, clock: c}
}

func (d *desk) key() (k record.Key) {
	d.n++
	binary.BigEndian.PutUint64(k[:], d.n)
	return k
}

// write records facts that happened at a time, answering every question with yes.
func (d *desk) write(when time.Time, facts ...record.Fact) office.Receipt {
	d.Helper()
	draft := house.Draft{Key: d.key(), Person: "AB", Device: "tablet", When: record.At(when), Facts: facts}
	for range 3 {
		r, err := d.Submit(d.Context(), draft)
		var asks house.Asks
		if errors.As(err, &asks) {
			for _, a := range asks {
				draft.Confirmed = append(draft.Confirmed, a.ID)
			}
			continue
		}
		if err != nil {
			d.Fatalf("%s: %v", facts[0].Kind(), err)
		}
		return r
	}
	d.Fatal("asked again and again")
	return office.Receipt{}
}

// try records facts and expects a question or a refusal.
func (d *desk) try(when time.Time, facts ...record.Fact) error {
	d.Helper()
	_, err := d.Submit(d.Context(), house.Draft{Key: d.key(), Person: "AB", Device: "tablet", When: record.At(when), Facts: facts})
	return err
}

func kg(mantissa int64, decimals uint8) record.Weight {
	return record.Weight{Figure: quantity.Figure{Mantissa: mantissa, Decimals: decimals, Unit: quantity.KgUnit}, How: quantity.Weighed}
}

// setUp is a small house: two sites, a lot of each, tanks and drums.
func setUp(d *desk) {
	d.clock.set(day(7, 30))
	d.Helper()
	d.write(day(6, 0), &record.SiteOpened{Site: "Low Field", Country: "VM", Hives: 60}, &record.SiteOpened{Site: "High Field", Country: "VM", Hives: 60},
		&record.VesselNamed{Vessel: "T1", Shape: record.Tank, Capacity: kg(1500, 0)}, &record.VesselNamed{Vessel: "T2", Shape: record.Tank, Capacity: kg(1500, 0)},
		&record.VesselNamed{Vessel: "S-1", Shape: record.Drum, Tare: kg(186, 1), Capacity: kg(290, 0)},
		&record.VesselNamed{Vessel: "S-2", Shape: record.Drum, Tare: kg(186, 1), Capacity: kg(290, 0)},
		&record.VesselNamed{Vessel: "S-3", Shape: record.Drum, Tare: kg(186, 1), Capacity: kg(290, 0)},
		&record.LotOpened{Lot: "L1", Site: "Low Field", Pulled: record.DayOf(day(6, 0))},
		&record.LotOpened{Lot: "L2", Site: "High Field", Pulled: record.DayOf(day(6, 0))},
		&record.ProductNamed{Product: "jar 340", What: record.Jar}, &record.CustomerNamed{Customer: "shop"})
	d.write(day(7, 0), &record.SupersReceived{Lot: "L1", Stacks: []record.Stack{{Boxes: 40, Gross: kg(800, 0)}}},
		&record.SupersReceived{Lot: "L2", Stacks: []record.Stack{{Boxes: 40, Gross: kg(800, 0)}}})
}

func refusal(err error) string {
	var r *house.Refusal
	if errors.As(err, &r) {
		return r.Key
	}
	return ""
}

func asked(err error) string {
	var a house.Asks
	if errors.As(err, &a) {
		return a[0].Key
	}
	return ""
}

// 50 people write at once: every fact stands in the record once, in the order of its
// number, and the house knows each.
func TestFiftyAtOnce(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	var wg sync.WaitGroup
	firsts := make([]uint64, 50)
	for i := range 50 {
		wg.Go(func() {
			var k record.Key
			binary.BigEndian.PutUint64(k[8:], uint64(i+1))
			r, err := d.Submit(t.Context(), house.Draft{Key: k, Person: "AB", When: record.At(day(6, 0)),
				Facts: []record.Fact{&record.PlaceNamed{Place: record.Code("bay " + string(rune('A'+i%26)) + string(rune('a'+i/26))), For: record.Store}}})
			if err != nil {
				t.Error(err)
			}
			firsts[i] = r.First
		})
	}
	wg.Wait()
	slices.Sort(firsts)
	for i, seq := range firsts {
		if seq != firsts[0]+uint64(i) {
			t.Fatalf("numbers %v have a gap or a double", firsts)
		}
	}
	d.Read(func(v *office.View) {
		if got := len(v.State.OfKind(record.Place)); got != 50 {
			t.Errorf("%d places, want 50", got)
		}
		for seq := uint64(1); seq <= v.Facts(); seq++ {
			if _, err := v.Fact(seq); err != nil {
				t.Error(err)
			}
		}
	})
}

// The same batch twice makes one fact; the same key with other figures is refused.
func TestKeys(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	draft := house.Draft{Key: d.key(), Person: "AB", When: record.At(day(6, 0)), Facts: []record.Fact{&record.PlaceNamed{Place: "barn", For: record.Store}}}
	first, err := d.Submit(t.Context(), draft)
	if err != nil {
		t.Fatal(err)
	}
	d.clock.set(day(9, 0)) // the second tap comes later
	again, err := d.Submit(t.Context(), draft)
	if err != nil || !again.Repeated || again.First != first.First {
		t.Errorf("the same batch again: %+v, %v; want that of %+v", again, err, first)
	}
	draft.Facts = []record.Fact{&record.PlaceNamed{Place: "barn 2", For: record.Store}}
	if _, err := d.Submit(t.Context(), draft); !errors.Is(err, office.ErrKeyReused) {
		t.Errorf("the same key for another fact: %v", err)
	}
}

// A commit that fails leaves memory and disk the same, and the next one works.
func TestFullDisk(t *testing.T) {
	book := &fullDisk{Book: &ledger.Memory{}}
	d := open(t, book)
	setUp(d)
	before := d.Stock()
	book.full = true
	err := d.try(day(6, 0), &record.PlaceNamed{Place: "barn", For: record.Store})
	if !errors.Is(err, errFull) {
		t.Fatalf("on a full disk: %v", err)
	}
	d.Read(func(v *office.View) {
		if _, ok := v.State.Find("barn"); ok {
			t.Error("the house knows a fact that is not on the disk")
		}
	})
	book.full = false
	r := d.write(day(6, 0), &record.PlaceNamed{Place: "barn", For: record.Store})
	again := open(t, book.Book)
	again.Read(func(v *office.View) {
		if v.Facts() != r.Last {
			t.Errorf("%d facts on the disk, want %d", v.Facts(), r.Last)
		}
		if _, ok := v.State.Find("barn"); !ok {
			t.Error("what was written after the disk had room again is not there")
		}
	})
	if len(before.Tables) == 0 {
		t.Error("no stock")
	}
}

// holdsOn is what is on a content, by the trace of it.
func holdsOn(a answer.Answer) (all []record.Code) {
	for _, t := range a.Tables {
		if t.Key == "holds" {
			for _, r := range t.Rows {
				all = append(all, r.Cells[0].(record.Code))
			}
		}
	}
	return all
}

// A held lot was poured at 13:00, and that is typed at 17:00; the drum was drawn from
// the mix at 15:00. The hold reaches the drum, and whoever types is told before.
func TestLateEntrySpreadsAHold(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	d.write(day(10, 0), &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Gross: kg(3086, 1)})
	d.write(day(10, 30), &record.DrumFilled{Filling: "D2", Steel: "S-2", From: "L2", Gross: kg(3086, 1)})
	d.write(day(11, 0), &record.HoldSet{Hold: "H1", Cause: record.CauseResidue, Roots: []record.Code{"L1"}, Reason: "sheet not back"})
	d.write(day(11, 30), &record.HoneyMoved{To: "T1", Pours: []record.Pour{{From: "D2", All: record.Yes}}})
	d.clock.set(day(15, 1))
	d.write(day(15, 0), &record.DrumFilled{Filling: "D3", Steel: "S-3", From: "T1", Gross: kg(3086, 1)})
	if on := holdsOn(d.Trace("D3")); len(on) != 0 {
		t.Fatalf("D3 is held by %v before the pour is written down", on)
	}
	d.clock.set(day(17, 0))
	pour := []record.Fact{&record.HoldOverridden{Hold: "H1", Contents: []record.Code{"D1"}, Reason: "nobody looked at the board", Role: "packing lead"},
		&record.HoneyMoved{To: "T1", Pours: []record.Pour{{From: "D1", All: record.Yes}}}}
	if err := d.try(day(13, 0), pour...); asked(err) != "ask.late" {
		t.Fatalf("the late pour: %v; want to be asked, for it moves D3", err)
	}
	if on := holdsOn(d.Trace("D3")); len(on) != 0 {
		t.Fatal("asking recorded something")
	}
	r := d.write(day(13, 0), pour...)
	if !r.Late {
		t.Error("the pour is not said to be late")
	}
	if on := holdsOn(d.Trace("D3")); !slices.Equal(on, []record.Code{"H1"}) {
		t.Errorf("D3 is held by %v, want H1", on)
	}
	if err := d.try(day(17, 0), &record.JarsFilled{Batch: "X1", Run: "none", From: "D3", Units: 800, Mass: kg(272, 0)}); refusal(err) == "" {
		t.Error("held honey was packed without a word")
	}
}

// Honey on hold is not poured onto other honey without role and reason; into an
// empty drum of its own it may go.
func TestPouringOnHold(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	d.write(day(8, 0), &record.HoldSet{Hold: "H1", Cause: record.CauseTreatment, Roots: []record.Code{"L1"}, Reason: "strips were in"})
	d.write(day(9, 0), &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Gross: kg(3086, 1)})
	d.write(day(9, 30), &record.DrumFilled{Filling: "D2", Steel: "S-2", From: "L2", Gross: kg(3086, 1)})
	err := d.try(day(10, 0), &record.HoneyMoved{To: "S-2", Pours: []record.Pour{{From: "D1", Mass: kg(10, 0)}}})
	if refusal(err) != "refused.on-hold" {
		t.Errorf("held honey onto sound honey: %v", err)
	}
	err = d.try(day(10, 0), &record.HoneyMoved{To: "S-1", Pours: []record.Pour{{From: "D2", Mass: kg(10, 0)}}})
	if refusal(err) != "refused.on-hold" {
		t.Errorf("sound honey onto held honey: %v", err)
	}
	d.write(day(10, 0), &record.HoldOverridden{Hold: "H1", Contents: []record.Code{"D1"}, Reason: "for cooking, the buyer knows", Role: "owner"},
		&record.HoneyMoved{To: "S-2", Pours: []record.Pour{{From: "D1", Mass: kg(10, 0)}}})
	if on := holdsOn(d.Trace("S-2")); !slices.Equal(on, []record.Code{"H1"}) {
		t.Errorf("the mix is held by %v, want H1", on)
	}
	d.write(day(11, 0), &record.Released{Hold: "H1", Contents: []record.Code{"S-2"}, Reason: "sheet is clear", Role: "owner"})
	if on := holdsOn(d.Trace("S-2")); len(on) != 0 {
		t.Errorf("after its release the mix is held by %v", on)
	}
	if on := holdsOn(d.Trace("D1")); !slices.Equal(on, []record.Code{"H1"}) {
		t.Errorf("D1, not released, is held by %v", on)
	}
}

func cell(a answer.Answer, table string, row int, column string) any {
	for _, t := range a.Tables {
		if t.Key != table || row >= len(t.Rows) {
			continue
		}
		for i, c := range t.Columns {
			if c.Key == column {
				return t.Rows[row].Cells[i]
			}
		}
	}
	return nil
}

// A drum's weight is corrected three weeks after its honey was blended: the shares
// downstream change, what was printed is shown with what it would now be, and the old
// figure stays in the record.
func TestCorrectedAfterBlending(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	wrong := d.write(day(9, 0), &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Gross: kg(3086, 1)}) // 290.0
	d.write(day(9, 30), &record.DrumFilled{Filling: "D2", Steel: "S-2", From: "L2", Gross: kg(3086, 1)})
	d.write(day(10, 0), &record.HoneyMoved{To: "T1", Pours: []record.Pour{{From: "D1", All: record.Yes}, {From: "D2", All: record.Yes}}})
	d.write(day(11, 0), &record.RunStarted{Run: "R1", Product: "jar 340", From: []record.Code{"T1"}},
		&record.JarsFilled{Batch: "R1-01", Run: "R1", From: "T1", Units: 1000, Mass: kg(340, 0)})
	half := quantity.Figure{Mantissa: 500, Decimals: 1, Unit: quantity.Pct}
	d.write(day(11, 30), &record.Printed{Paper: "P1", What: record.LabelPaper, About: "R1", Figures: []record.PrintedFigure{{Of: "L1", Value: half}, {Of: "L2", Value: half}}})
	later := day(9, 0).AddDate(0, 0, 21)
	d.clock.set(later)
	draft, err := d.CorrectionDraft(office.Correction{Fact: wrong.First, Reason: "260.0 read as 290.0",
		With: &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Gross: kg(2786, 1)}})
	if err != nil {
		t.Fatal(err)
	}
	preview, err := d.Preview(t.Context(), draft)
	if err != nil {
		t.Fatal(err)
	}
	now := quantity.Percent(100 * 260.0 / 550)
	if got, ok := cell(preview, "papers", 0, "would_now_be_pct").(quantity.Percent); !ok || got-now > 0.001 || now-got > 0.001 {
		t.Errorf("the preview says the label would be %v, want %.2f %%", got, now)
	}
	if a := d.Trace("R1"); cell(a, "papers", 0, "differs") != false {
		t.Error("the preview changed the house")
	}
	draft.Key, draft.Person = d.key(), "AB"
	for range 2 {
		_, err = d.Submit(t.Context(), draft)
		var asks house.Asks
		if errors.As(err, &asks) {
			draft.Confirmed = append(draft.Confirmed, asks[0].ID)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	a := d.Trace("R1")
	if cell(a, "papers", 0, "differs") != true {
		t.Errorf("the label is not said to differ: %v", a.Tables)
	}
	if got, ok := cell(a, "lots", 1, "share_pct").(quantity.Percent); !ok || got-now > 0.001 || now-got > 0.001 {
		t.Errorf("L1 is %v of R1, want %.2f %%", cell(a, "lots", 1, "share_pct"), now)
	}
	d.Read(func(v *office.View) {
		e, err := v.Fact(wrong.First)
		if err != nil || e.Fact.(*record.DrumFilled).Gross.Grams() != 308_600 {
			t.Errorf("the old figure is gone: %v, %v", e, err)
		}
	})
	was, err := d.AsOf(t.Context(), later.Add(-time.Minute))
	if err != nil {
		t.Fatal(err)
	}
	if b := was.Trace("R1"); cell(b, "papers", 0, "differs") != false {
		t.Error("what was known before the correction knows of it")
	}
}

// What can't be meant is refused, and what looks like a slip is asked back; nothing
// of it is recorded. The drum holds 290 kg.
func TestBadInput(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	fill := func(net record.Weight) record.Fact {
		return &record.DrumFilled{Filling: "D9", Steel: "S-1", From: "L1", Net: net}
	}
	var before uint64
	d.Read(func(v *office.View) { before = v.Facts() })
	for _, c := range []struct {
		name        string
		when        time.Time
		fact        record.Fact
		refuse, ask string
	}{
		{"below zero", day(9, 0), fill(kg(-290, 0)), "refused.below-zero", ""},
		{"nothing", day(9, 0), fill(kg(0, 0)), "refused.below-tare", ""},
		{"29 for 290", day(9, 0), fill(kg(29, 0)), "", "ask.slip"},
		{"2900 for 290", day(9, 0), fill(kg(2900, 0)), "", "ask.slip"},
		{"pounds for kilograms", day(9, 0), fill(kg(639, 0)), "", "ask.slip"},
		{"gross for net", day(9, 0), fill(kg(3086, 1)), "", "ask.slip"},
		{"a number used before", day(9, 0), &record.VesselNamed{Vessel: "s-1", Shape: record.Drum}, "refused.number-used", ""},
		{"a site's name as a drum's", day(9, 0), &record.DrumFilled{Filling: "low field", Steel: "S-1", From: "L1", Net: kg(290, 0)}, "refused.number-used", ""},
		{"no such drum", day(9, 0), &record.Sealed{What: "D77", Seal: "1"}, "refused.not-known", ""},
		{"a lot as a vessel", day(9, 0), &record.Mixed{Vessels: []record.Code{"L1", "T1"}}, "refused.wrong-kind", ""},
		{"tomorrow", day(9, 0).AddDate(0, 0, 1), &record.Noted{Note: "x"}, "refused.time-to-come", ""},
		{"no reason", day(9, 0), &record.HoldSet{Hold: "H1", Cause: record.CauseOther, Roots: []record.Code{"L1"}}, "refused.missing", ""},
		{"no empty weight", day(9, 0), &record.DrumFilled{Steel: "T1", From: "L1", Gross: kg(300, 0)}, "refused.no-tare", ""},
		{"moisture of 118 %", day(9, 0), &record.ResultRead{Of: "L1", Results: []record.Result{{Property: record.Water, Value: quantity.Figure{Mantissa: 118, Unit: quantity.Pct}}}}, "refused.out-of-range", ""},
		{"moisture of 8 %", day(9, 0), &record.ResultRead{Of: "L1", Results: []record.Result{{Property: record.Water, Value: quantity.Figure{Mantissa: 8, Unit: quantity.Pct}}}}, "", "ask.odd-reading"},
		{"a cleaning that ends spores", day(9, 0), &record.Cleaned{What: []record.Code{"T1"}, Clean: record.WashDown, Ends: []record.EndsCause{{Cause: record.CauseDisease}}}, "refused.spores", ""},
	} {
		err := d.try(c.when, c.fact)
		if refusal(err) != c.refuse || asked(err) != c.ask {
			t.Errorf("%s: %v; want %s%s", c.name, err, c.refuse, c.ask)
		}
	}
	d.Read(func(v *office.View) {
		if v.Facts() != before {
			t.Errorf("%d facts, want %d as before", v.Facts(), before)
		}
	})
	d.write(day(9, 0), fill(kg(29, 0))) // asked and said yes: it was a part drum
	if got := cell(d.Stock(), "contents", 0, "mass_g"); got != quantity.Gram(29_000) {
		t.Errorf("the part drum holds %v", got)
	}
}

// What happened is recorded though it does not fit: a drum drawn below nothing is an
// open discrepancy and a stock check is offered; boxes to another site are flagged.
func TestOddIsRecordedAndFlagged(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	d.write(day(9, 0), &record.DrumFilled{Filling: "D1", Steel: "S-1", From: "L1", Net: kg(290, 0)})
	r := d.write(day(10, 0), &record.HoneyMoved{To: "T1", Pours: []record.Pour{{From: "D1", Mass: kg(300, 0)}}})
	if !slices.ContainsFunc(r.Flags, func(l answer.Line) bool { return l.Key == "odd.below-zero" }) {
		t.Errorf("drawn below nothing: flags %v", r.Flags)
	}
	stock := d.Stock()
	if !slices.ContainsFunc(stock.Next, func(l answer.Line) bool { return l.Key == "next.stock-check" }) {
		t.Errorf("no stock check is offered: %v", stock.Next)
	}
	d.write(day(11, 0), &record.StockChecked{What: "D1", Found: kg(0, 0)})
	if a := d.Stock(); slices.ContainsFunc(a.Next, func(l answer.Line) bool { return l.Key == "next.stock-check" }) {
		t.Error("after the stock check it is still open")
	}
	d.write(day(8, 0), &record.SupersPulled{Lot: "L1", Site: "Low Field", Boxes: 40})
	r = d.write(day(11, 30), &record.SupersSentBack{Lot: "L1", Site: "High Field", Boxes: 40})
	if !slices.ContainsFunc(r.Flags, func(l answer.Line) bool { return l.Key == "yard.sent_to_other_site" }) {
		t.Errorf("boxes to another site: flags %v", r.Flags)
	}
}

// A steel is filled again: its old honey is no part of the new filling, and the bare
// number means the present one.
func TestSteelIsFilledAgain(t *testing.T) {
	d := open(t, &ledger.Memory{})
	setUp(d)
	d.clock.set(day(12, 0))
	d.write(day(9, 0), &record.DrumFilled{Steel: "S-1", From: "L1", Net: kg(290, 0)})
	d.write(day(10, 0), &record.HoneyMoved{To: "T1", Pours: []record.Pour{{From: "S-1", All: record.Yes}}})
	d.write(day(11, 0), &record.DrumFilled{Steel: "S-1", From: "L2", Net: kg(290, 0)})
	for code, lot := range map[record.Code]record.Code{"S-1": "L2", "S-1/2": "L2", "S-1/1": "L1"} {
		a := d.Trace(code)
		if got := cell(a, "lots", 0, "lot"); got != lot || cell(a, "lots", 1, "lot") != nil {
			t.Errorf("%s is of %v, want %s alone", code, got, lot)
		}
	}
	if err := d.try(day(11, 0), &record.VesselNamed{Vessel: "S-1/2", Shape: record.Drum}); refusal(err) != "refused.number-used" {
		t.Errorf("a filling's number given to a vessel: %v", err)
	}
}

// Thousands of facts, some of them late by minutes, some by days: the house is always
// what the record folded from the start gives.
func TestLateAmongThousands(t *testing.T) {
	book := &ledger.Memory{}
	d := open(t, book)
	setUp(d)
	at := day(8, 0)
	for i := range 120 {
		var facts []record.Fact
		for j := range 40 {
			facts = append(facts, &record.Noted{Note: "line " + string(rune('a'+(i+j)%26))})
		}
		at = at.Add(time.Minute)
		d.clock.set(at)
		late := time.Duration([]int{0, 0, 3, 0, 90}[i%5]) * time.Minute
		d.write(at.Add(-late), facts...)
		d.write(at.Add(-late), &record.StockChecked{What: "S-1", Found: kg(int64(i), 0)}, &record.Placed{What: []record.Code{"S-1"}, Place: d.place(i)})
	}
	again := open(t, book)
	var mine, fresh []house.Changed
	d.Read(func(v *office.View) {
		again.Read(func(w *office.View) { mine, fresh = house.Compare(v.State, w.State), house.Compare(w.State, v.State) })
	})
	if len(mine)+len(fresh) > 0 {
		t.Errorf("the house differs from its record: %+v", mine)
	}
	a, _, _, _ := placeOf(d, "S-1")
	b, _, _, _ := placeOf(again, "S-1")
	if a == "" || a != b {
		t.Errorf("S-1 stands in %q, by the record in %q", a, b)
	}
}

func (d *desk) place(i int) record.Code {
	c := record.Code("bay " + string(rune('A'+i%7)))
	known := false
	d.Read(func(v *office.View) { _, known = v.State.Find(c) })
	if !known {
		d.write(day(6, 0), &record.PlaceNamed{Place: c, For: record.Store})
	}
	return c
}

func placeOf(d *desk, c record.Code) (place record.Code, since, seen record.When, ok bool) {
	d.Read(func(v *office.View) { place, since, seen, ok = v.State.PlaceOf(c) })
	return place, since, seen, ok
}
