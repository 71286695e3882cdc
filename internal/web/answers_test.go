package web

import (
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Whatever a lot, drum, batch or dispatch was made with is found again: mass is kept.
// Tolerance: each draw on the way is rounded to a gram, and no thing of the demo house
// was drawn from more than 250 times on its way.
func TestEverythingIsFoundAgain(t *testing.T) {
	const slack = quantity.Gram(250)
	x := demoHouse(t)
	n := 0
	x.o.Read(func(h *office.View) {
		for _, kind := range []record.Entity{record.Lot, record.Filling, record.Batch, record.Delivery, record.Dispatch, record.Site} {
			for _, thing := range h.State.OfKind(kind) {
				w := h.Whereabouts(h.State.Code(thing))
				var from quantity.Gram
				for _, x := range w.From {
					from += x.Grams
				}
				if d := w.Whole - w.Found(); d > slack || d < -slack {
					t.Errorf("%s %s: made with %d g, %d g found", kind, w.Of, w.Whole, w.Found())
				}
				if from != w.Whole {
					t.Errorf("%s %s: made with %d g, its origins add up to %d g", kind, w.Of, w.Whole, from)
				}
				n++
			}
		}
	})
	if n < 100 {
		t.Fatalf("only %d things", n)
	}
}

// A recall list by share holds every dispatch that the trace says got some, and no
// thing is in both lists.
func TestRecallListIsAsLongAsTheTrace(t *testing.T) {
	x := demoHouse(t)
	x.o.Read(func(h *office.View) {
		for _, code := range []record.Code{"R1-01", "L05", "D034", "Low Cutter", "jar filler"} {
			recall, trace := tablesOf(h.RecallList(code)), tablesOf(h.Trace(code))
			have := map[string]bool{}
			for _, r := range recall["share"].Rows {
				have[string(r.Cells[0].(record.Code))] = true
			}
			for _, r := range trace["sent"].Rows {
				if !have[string(r.Cells[0].(record.Code))] {
					t.Errorf("%s: %v got some and is not on the recall list", code, r.Cells[0])
				}
			}
			for _, r := range recall["possible"].Rows {
				c := string(r.Cells[0].(record.Code))
				if single := r.Cells[1] == answer.Key("node.content") || r.Cells[1] == answer.Key("node.batch"); have[c] && single {
					t.Errorf("%s: %s is on both lists", code, c)
				}
			}
		}
	})
}

// The lead line names what is worst: below zero before a complaint before a hold.
func TestLeadLineIsTheWorst(t *testing.T) {
	x := smallHouse(t)
	if page := x.get("/"); !strings.Contains(page, "All in order") && !strings.Contains(page, "Nothing is due") {
		t.Errorf("a house in order leads with\n%s", page)
	}
	x.record(&record.HoldSet{Hold: "H-01", Cause: record.CauseOther, Roots: []record.Code{"S1"}, Reason: "smells"})
	if page := x.get("/"); !strings.Contains(page, "Hold H-01 blocks 300.0") {
		t.Error("a hold does not lead")
	}
	x.record(&record.ComplaintTaken{Complaint: "K-01", Mark: "OPEN", Class: record.FaultTaste})
	if page := x.get("/"); !strings.Contains(page, "Answer complaint K-01") {
		t.Error("a complaint does not come before a hold")
	}
	x.record(&record.VesselNamed{Vessel: "P9", Shape: record.Pail})
	x.record(&record.HoldLifted{Hold: "H-01", Reason: "fine", Role: "owner"})
	x.record(&record.HoneyMoved{Pours: []record.Pour{{From: "S1", Mass: record.Grams(350_000)}}, To: "P9"})
	if page := x.get("/"); !strings.Contains(page, "is below zero") {
		t.Error("a vessel below zero does not come first")
	}
}

// A reading whose doubt nobody wrote down is not shown as a pass; one that keeps its
// limit beyond doubt is, and one that can't be told is said so. The limit is 20 % of
// moisture (Directive 2001/110/EC, Annex II).
func TestReadingAgainstItsLimit(t *testing.T) {
	figure := func(m int64, d uint8) quantity.Figure {
		return quantity.Figure{Mantissa: m, Decimals: d, Unit: quantity.Pct}
	}
	for _, c := range []struct {
		value, doubt quantity.Figure
		want         string
	}{
		{figure(174, 1), quantity.Figure{}, "doubt not known"},
		{figure(174, 1), figure(2, 1), "keeps the limit"},
		{figure(199, 1), figure(4, 1), "too close to call"},
		{figure(212, 1), figure(2, 1), "breaks the limit"},
		{figure(212, 1), quantity.Figure{}, "breaks the limit"},
	} {
		x := smallHouse(t)
		x.record(&record.ResultRead{Of: "S1", Results: []record.Result{{Property: record.Water, Value: c.value, PlusMinus: c.doubt}}})
		page := x.get("/vessel?of=S1")
		for _, state := range []string{"doubt not known", "keeps the limit", "too close to call", "breaks the limit"} {
			chip := strings.Contains(page, state+"</span>")
			if chip != (state == c.want) {
				t.Errorf("%v ± %v: want %q only, have %q: %v", c.value, c.doubt, c.want, state, chip)
			}
		}
	}
}

// A house of 600 drums: Stock lists all of them when asked, Today counts them.
func TestSixHundredDrums(t *testing.T) {
	facts := []record.Fact{&record.PlaceNamed{Place: "barn", For: record.Store}}
	x := newHouse(t, facts...)
	for i := range 600 {
		code := record.Code("S-" + itoa3(i))
		x.record(&record.VesselNamed{Vessel: code, Shape: record.Drum, Place: "barn", Tare: record.Grams(20_000)})
		x.record(&record.StockOpened{Filling: "D" + record.Code(itoa3(i)), Steel: code, Honey: "summer", Country: "VM", Mass: record.Grams(290_000)})
	}
	all := x.get("/stock?show=drums")
	if n := strings.Count(all, `href="/thing?of=D`); n != 600 {
		t.Errorf("Stock lists %d of 600 drums", n)
	}
	if found := x.get("/stock?q=D417"); !strings.Contains(found, "1 found") {
		t.Error("one drum of 600 is not found by its number")
	}
	if page := x.get("/stock"); strings.Count(page, `href="/thing?of=D`) > 60 {
		t.Error("Stock's first page lists every drum")
	}
}

func itoa3(n int) string {
	return string([]byte{byte('0' + n/100), byte('0' + n/10%10), byte('0' + n%10)})
}
