package house

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Law: a hold on a lot blocks everything in which there are grams of it, however they
// got there, unless that content was released or is made of released ones; what it
// blocks or touches is in no other state.
func TestHoldBlocksEveryGramOfItsRoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := slices.DeleteFunc(season(t, false), func(e record.Entry) bool {
			switch e.Fact.(type) {
			case *record.Released, *record.TouchedRuled:
				return true // the law is about holds that nobody has ruled on
			}
			return false
		})
		for i := range entries {
			entries[i].Seq = uint64(i + 1)
		}
		lot := rapid.SampledFrom([]record.Code{"L1", "L2", "L3"}).Draw(t, "held")
		when := rapid.Int64Range(int64(len(world)), 250).Draw(t, "set")
		entries = append(entries, record.Entry{Seq: uint64(len(entries) + 1), Parts: 1, When: record.When{Minute: when, Precision: record.ToMinute},
			Fact: &record.HoldSet{Hold: "HOLD", Cause: record.CauseResidue, Roots: []record.Code{lot}, Reason: "sheet"}})
		s := refold(t, entries)
		held, hold := s.Held(), must(s.Find("HOLD"))
		for n := trace.Node(1); int(n) <= s.graph.Nodes(); n++ {
			for _, p := range s.graph.Parts(n) {
				of := s.Code(s.OriginOf(p.Origin).Of)
				if p.Made > 0 && of == lot && !slices.Contains(held[n], On{hold, true}) {
					t.Fatalf("%s has %d g of %s and is not blocked: %v", s.NodeCode(n), p.Made, lot, held[n])
				}
			}
		}
	})
}

func must(t Thing, ok bool) Thing {
	if !ok {
		panic("no such code")
	}
	return t
}

// Law: units of a batch that came in are on hand, out or gone; a dispatch never has
// less than nothing of what it took, and what came back is not out any more.
func TestReturnsComeFromWhatWasSent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := foldAll(season(t, true))
		for n := trace.Node(1); int(n) <= s.graph.Nodes(); n++ {
			if s.NodeKind(n) != SentNode || s.graph.Made(n) < 0 {
				continue
			}
			if left := s.graph.Left(n); left < 0 || left > s.graph.Made(n) {
				t.Fatalf("dispatch %s has %d g of %d g out", s.NodeCode(n), left, s.graph.Made(n))
			}
		}
	})
}

// jars is a run of 100 jars of 500 g, sent to two shops with one dispatch.
func jars(t *testing.T) *State {
	s := floor(t)
	s.fold(&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D1", All: record.Yes}}},
		&record.JarsFilled{Batch: "R1-01", Run: "R1", From: "T2", Units: 100, Mass: kg(50)},
		&record.Sent{Dispatch: "DN-1", Customer: "shop", Lines: []record.SentLine{{What: "R1-01", Units: 60, ShipTo: "north"}, {What: "R1-01", Units: 30, ShipTo: "south"}}})
	return s
}

func (s *State) fold(facts ...record.Fact) {
	for _, f := range facts {
		s.Fold(&record.Entry{Seq: s.Seq + 1, Parts: 1, When: record.When{Minute: s.Latest + 1, Precision: record.ToMinute}, Fact: f})
	}
}

func (s *State) grams(code record.Code) quantity.Gram {
	n, _, _ := s.contentOf(code)
	return s.graph.Left(n)
}

// What comes back of a dispatch that went to two addresses weighs what as many jars
// weigh, also when no address had so many.
func TestReturnOverTwoAddresses(t *testing.T) {
	s := jars(t)
	s.fold(&record.Returned{Dispatch: "DN-1", Batch: "R1-01", Units: 75, To: "R1-back", Reason: "lids"})
	if m := s.grams("R1-back"); m != 37_500 {
		t.Errorf("75 jars of 500 g came back as %d g", m)
	}
	var out quantity.Gram
	for _, n := range s.RootsOf("DN-1") {
		out += s.graph.Left(n)
		if to := s.SentTo(n); to.ShipTo == "north" && to.Units != 60 {
			t.Errorf("%d jars were sent north, want 60 whatever came back", to.Units)
		}
	}
	if out != 7_500 {
		t.Errorf("%d g are still out, want 15 jars", out)
	}
	s.fold(&record.Returned{Dispatch: "DN-1", Batch: "R1-01", Units: 20, To: "R1-back2", Reason: "lids"})
	if m := s.grams("R1-back2"); m != 7_500 {
		t.Errorf("of 20 that were written down only 15 were out; they weigh %d g", m)
	}
}

func blocked(s *State, code record.Code) bool {
	n, _, _ := s.contentOf(code)
	return s.Held().Blocked(n)
}

func touched(s *State, code record.Code) bool {
	n, _, _ := s.contentOf(code)
	return s.Held().Touched(n)
}

// Holds go where honey goes, end where they are released, and come back to nothing.
func TestHoldsGoWithHoney(t *testing.T) {
	s := jars(t)
	s.fold(&record.HoldSet{Hold: "H1", Cause: record.CauseResidue, Roots: []record.Code{"D1"}, Reason: "sheet"})
	for _, code := range []record.Code{"T2", "R1-01"} {
		if !blocked(s, code) {
			t.Errorf("%s is made of D1 and not blocked", code)
		}
	}
	if blocked(s, "D2") || blocked(s, "T1") {
		t.Error("D2 is of the same lot, not of D1")
	}
	s.fold(&record.Regraded{Batch: "R1-01", To: "R1-B", Units: 5, Reason: "light"}, &record.TippedBack{Batch: "R1-01", Units: 2, To: "P-1"},
		&record.DrumFilled{Filling: "D7", Steel: "S-4", From: "T2", Net: kg(20)})
	for _, code := range []record.Code{"R1-B", "P-1", "D7"} {
		if !blocked(s, code) {
			t.Errorf("%s came of what is on hold and is not blocked", code)
		}
	}
	s.fold(&record.Released{Hold: "H1", Contents: []record.Code{"D7"}, Reason: "sheet", Role: "owner"},
		&record.HoneyMoved{To: "S-1", Pours: []record.Pour{{From: "D7", All: record.Yes}}, Filling: "D8"})
	if blocked(s, "D7") || blocked(s, "D8") {
		t.Error("D7 was released; D8 is of D7 alone")
	}
	s.fold(&record.HoneyMoved{To: "S-1", Pours: []record.Pour{{From: "T2", Mass: kg(1)}}})
	if !blocked(s, "S-1") || !blocked(s, "D8") {
		t.Error("honey on hold was poured on top of D8")
	}
	s.fold(&record.HoldLifted{Hold: "H1", Reason: "sheet", Role: "owner"})
	if blocked(s, "T2") || blocked(s, "S-1") {
		t.Error("the hold is over")
	}
}

// A steel that is filled again tells nothing of what was in it; its old number stays
// that of the old filling. A tank does, until it is cleaned of the cause.
func TestSteelIsUsedAgain(t *testing.T) {
	s := floor(t)
	s.fold(&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D1", All: record.Yes}}},
		&record.SupersReceived{Lot: "L2", Side: record.AfterHotRoom, Stacks: []record.Stack{{Boxes: 50, Gross: kg(900), Tray: kg(10)}}},
		&record.DrumFilled{Filling: "D9", Steel: "S-1", From: "L2", Net: kg(290)},
		&record.HoldSet{Hold: "H1", Cause: record.CauseResidue, Roots: []record.Code{"D1"}, Reason: "sheet"})
	if blocked(s, "D9") || touched(s, "D9") || blocked(s, "S-1") {
		t.Error("D9 is another filling of the steel that D1 was in")
	}
	if s.grams("D1") != 0 || s.grams("D9") != 290_000 || s.grams("S-1") != 290_000 {
		t.Errorf("D1 %d g, D9 %d g, S-1 %d g", s.grams("D1"), s.grams("D9"), s.grams("S-1"))
	}
	s.fold(&record.HoneyMoved{To: "P-1", Pours: []record.Pour{{From: "T2", All: record.Yes}}},
		&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D9", All: record.Yes}}})
	if blocked(s, "T2") || !touched(s, "T2") {
		t.Error("T2 was not cleaned: what D1 left on its walls may be in D9's honey")
	}
}

// A drum that is topped up keeps its number and holds both origins.
func TestToppedUpDrum(t *testing.T) {
	s := floor(t)
	s.fold(&record.SupersReceived{Lot: "L2", Side: record.AfterHotRoom, Stacks: []record.Stack{{Boxes: 50, Gross: kg(900), Tray: kg(10)}}},
		&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D1", Mass: kg(90)}}},
		&record.DrumFilled{Steel: "S-1", From: "L2", Net: kg(40)})
	n, _, _ := s.contentOf("D1")
	if s.grams("D1") != 240_000 || s.grams("S-1") != 240_000 || len(s.ByOrigin(n)) != 2 {
		t.Errorf("D1 %d g of %d origins", s.grams("D1"), len(s.ByOrigin(n)))
	}
}

// Tanks that are one mix: what is poured into one is in all; emptying one of them
// empties nothing while the others still hold the mix.
func TestOneMixInTwoTanks(t *testing.T) {
	s := floor(t)
	s.fold(&record.VesselNamed{Vessel: "T3", Shape: record.Tank},
		&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D1", All: record.Yes}}}, &record.HoneyMoved{To: "T3", Pours: []record.Pour{{From: "D2", All: record.Yes}}},
		&record.Mixed{Vessels: []record.Code{"T2", "T3"}},
		&record.HoneyMoved{To: "T2", Pours: []record.Pour{{From: "D3", All: record.Yes}}})
	if s.grams("T2") != 870_000 || s.grams("T3") != 870_000 {
		t.Fatalf("T2 %d g, T3 %d g, want one mix of 870 kg", s.grams("T2"), s.grams("T3"))
	}
	s.fold(&record.HoneyMoved{To: "S-4", Filling: "D5", Pours: []record.Pour{{From: "T2", All: record.Yes}}})
	if s.grams("D5") != 0 || s.grams("T3") != 870_000 || !slices.ContainsFunc(s.Flags(), func(f Flag) bool { return f.Key == "odd.emptied-part-of-mix" }) {
		t.Errorf("D5 %d g, T3 %d g: how much was in T2 nobody weighed", s.grams("D5"), s.grams("T3"))
	}
	s.fold(&record.HoneyMoved{To: "S-4", Pours: []record.Pour{{From: "T3", All: record.Yes}}})
	if s.grams("D5") != 870_000 {
		t.Errorf("D5 %d g: the last tank takes the rest", s.grams("D5"))
	}
}

// A lot that runs into two tanks is drawn from whichever drum is filled; wet combs that
// are weighed after it was closed show as open in its gap.
func TestLotInTwoTanksAndLateWetCombs(t *testing.T) {
	s := floor(t) // L1: 1990 kg, three drums of 290 off T1
	s.fold(&record.LotRanInto{Lot: "L1", Into: "T2"}, &record.DrumFilled{Filling: "D4", Steel: "S-4", From: "T2", Net: kg(290)},
		&record.LotClosed{Lot: "L1", Reason: "spilt"})
	b, _ := s.LotBalance(must(s.Find("L1")))
	if b.Gap != 830_000 || b.Open {
		t.Errorf("gap %d g", b.Gap)
	}
	s.fold(&record.WetSupersWeighed{Lot: "L1", Stacks: []record.Stack{{Boxes: 100, Gross: kg(810), Tray: kg(10)}}})
	if b, _ = s.LotBalance(must(s.Find("L1"))); b.Gap != 30_000 {
		t.Errorf("the combs were weighed after all: gap %d g, want 30 kg", b.Gap)
	}
	if s.grams("L1") != -800_000 {
		t.Errorf("the lot's account is at %d g: its gap was booked too large", s.grams("L1"))
	}
}

// Combs of a suspect site are put away in the house and set out again a year later,
// and nobody writes down whose they were: what is pulled there may be touched.
func TestStoredCombsReachFurther(t *testing.T) {
	facts := append(append([]record.Fact(nil), world...),
		&record.CombsStored{Lot: "L1", Place: "barn", Boxes: 20},
		&record.SupersPlaced{Site: "South", Boxes: 20},
		&record.LotOpened{Lot: "L9", Site: "South", Pulled: 20_300},
		&record.DrumFilled{Filling: "D9", Steel: "S-1", From: "L9", Net: kg(290)},
		&record.HoldSet{Hold: "H9", Cause: record.CauseDisease, Roots: []record.Code{"North"}, Reason: "foulbrood suspected"})
	s := New()
	for i, f := range facts {
		s.Fold(&record.Entry{Seq: uint64(i + 1), Parts: 1, When: record.When{Minute: int64(i), Precision: record.ToMinute}, Fact: f})
	}
	n, _, _ := s.contentOf("D9")
	if held := s.Held(); !held.Touched(n) {
		t.Errorf("D9 is %v, want touched", held[n])
	}
}
