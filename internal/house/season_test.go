package house

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A world is what random seasons happen in: made up, for the laws only.
var world = []record.Fact{
	&record.SiteOpened{Site: "North", Country: "VM", Hives: 60}, &record.SiteOpened{Site: "South", Country: "OS", Hives: 30},
	&record.MachineNamed{Machine: "EX", What: "extractor"}, &record.MachineNamed{Machine: "FILL", What: "filler"},
	&record.InstrumentNamed{Instrument: "SCALE", What: "platform scale", Division: quantity.Figure{Mantissa: 2, Decimals: 1, Unit: quantity.KgUnit}},
	&record.VesselNamed{Vessel: "T1", Shape: record.Tank}, &record.VesselNamed{Vessel: "T2", Shape: record.Tank},
	&record.VesselNamed{Vessel: "S-1", Shape: record.Drum, Tare: kg(18)}, &record.VesselNamed{Vessel: "S-2", Shape: record.Drum, Tare: kg(18)},
	&record.VesselNamed{Vessel: "P-1", Shape: record.Pail, Tare: kg(1)},
	&record.LotOpened{Lot: "L1", Site: "North", Pulled: 20000}, &record.LotOpened{Lot: "L2", Site: "South", Pulled: 20001},
	&record.LotOpened{Lot: "L3", Site: "North", Pulled: 20002},
	&record.StockOpened{Filling: "SEED", Steel: "P-1", Country: "VM", Mass: kg(60)},
	&record.ProductNamed{Product: "jar", What: record.Jar}, &record.CustomerNamed{Customer: "shop"},
	&record.RunStarted{Run: "R1", Product: "jar", From: []record.Code{"T1"}, Machines: []record.Code{"FILL"}},
	&record.PlaceNamed{Place: "barn", For: record.Store},
	&record.SupplierNamed{Supplier: "grower"}, &record.HoneyBought{Delivery: "DEL", Supplier: "grower", Country: "OS"},
	&record.MaterialNamed{Material: "lid"}, &record.MaterialReceived{Lot: "LID", Material: "lid"},
}

func kg(n int64) record.Weight {
	return record.Weight{Figure: quantity.Figure{Mantissa: n, Unit: quantity.KgUnit}, How: quantity.Weighed}
}

func grams(n int64) record.Weight { return record.Grams(quantity.Gram(n)) }

// anyFact is something that could happen in the world, whether it fits or not: what
// happened is never refused. i makes new numbers.
func anyFact(t *rapid.T, i int) record.Fact {
	lot := rapid.SampledFrom([]record.Code{"L1", "L2", "L3"})
	vessel := rapid.SampledFrom([]record.Code{"T1", "T2", "S-1", "S-2", "P-1"})
	from := rapid.SampledFrom([]record.Code{"T1", "T2", "S-1", "S-2", "P-1", "L1", "L2", "SEED"})
	mass := grams(rapid.Int64Range(0, 400_000).Draw(t, "mass"))
	number := record.Code(fmt.Sprintf("N%d", i))
	before := rapid.Custom(func(t *rapid.T) record.Code {
		return record.Code(fmt.Sprintf("N%d", rapid.IntRange(0, i).Draw(t, "n")))
	})
	stack := []record.Stack{{Boxes: 6, Gross: mass, Tray: grams(1500)}}
	return rapid.SampledFrom([]func() record.Fact{
		func() record.Fact { return &record.SupersPulled{Lot: lot.Draw(t, "lot"), Site: "North", Boxes: 20} },
		func() record.Fact {
			return &record.SupersReceived{Lot: lot.Draw(t, "lot"), Side: record.AfterHotRoom, Scale: "SCALE", Stacks: stack}
		},
		func() record.Fact {
			return &record.SupersSpun{Lot: lot.Draw(t, "lot"), Boxes: 6, Machines: []record.Code{"EX"}}
		},
		func() record.Fact {
			return &record.WetSupersWeighed{Lot: lot.Draw(t, "lot"), Scale: "SCALE", Stacks: stack}
		},
		func() record.Fact { return &record.SupersSentBack{Lot: lot.Draw(t, "lot"), Site: "South", Boxes: 6} },
		func() record.Fact { return &record.LotRanInto{Lot: lot.Draw(t, "lot"), Into: vessel.Draw(t, "into")} },
		func() record.Fact {
			return &record.LotClosed{Lot: lot.Draw(t, "lot"), Reason: rapid.SampledFrom([]string{"", "spilt"}).Draw(t, "reason")}
		},
		func() record.Fact { return &record.WaxCast{Wax: number, Lot: lot.Draw(t, "lot"), Mass: mass} },
		func() record.Fact {
			return &record.MelterHoneyDrawn{Lot: lot.Draw(t, "lot"), To: vessel.Draw(t, "to"), Mass: mass}
		},
		func() record.Fact {
			return &record.DrumFilled{Filling: number, Steel: vessel.Draw(t, "steel"), From: from.Draw(t, "from"), Net: mass}
		},
		func() record.Fact {
			return &record.HoneyMoved{To: vessel.Draw(t, "to"), Pours: []record.Pour{{From: from.Draw(t, "a"), All: record.Yes}, {From: from.Draw(t, "b"), Mass: mass}}, Via: []record.Code{"FILL"}}
		},
		func() record.Fact {
			return &record.Mixed{Vessels: []record.Code{vessel.Draw(t, "a"), vessel.Draw(t, "b")}}
		},
		func() record.Fact {
			return &record.Skimmed{From: from.Draw(t, "from"), To: vessel.Draw(t, "to"), Mass: mass}
		},
		func() record.Fact {
			return &record.Sampled{Sample: number, From: from.Draw(t, "from"), Mass: grams(400)}
		},
		func() record.Fact { return &record.Lost{From: from.Draw(t, "from"), Mass: mass, Reason: "floor"} },
		func() record.Fact { return &record.StockChecked{What: vessel.Draw(t, "what"), Found: mass} },
		func() record.Fact { return &record.Seeded{Vessel: vessel.Draw(t, "to"), Seed: "SEED", Mass: mass} },
		func() record.Fact {
			return &record.JarsFilled{Batch: number, Run: "R1", From: vessel.Draw(t, "from"), Units: 100, Mass: mass}
		},
		func() record.Fact {
			return &record.Sent{Dispatch: number, Customer: "shop", Lines: []record.SentLine{{What: record.Code(fmt.Sprintf("N%d", rapid.IntRange(0, i).Draw(t, "batch"))), Units: 30}}}
		},
		func() record.Fact {
			return &record.Regraded{Batch: record.Code(fmt.Sprintf("N%d", rapid.IntRange(0, i).Draw(t, "batch"))), To: number, Units: 10, Reason: "light"}
		},
		func() record.Fact {
			return &record.TippedBack{Batch: record.Code(fmt.Sprintf("N%d", rapid.IntRange(0, i).Draw(t, "batch"))), Units: 5, To: vessel.Draw(t, "to")}
		},
		func() record.Fact { return &record.Destroyed{What: from.Draw(t, "what"), Mass: mass, Reason: "glass"} },
		func() record.Fact {
			return &record.HoldSet{Hold: number, Cause: record.CauseResidue, Roots: []record.Code{from.Draw(t, "root")}, Reason: "sheet"}
		},
		func() record.Fact {
			return &record.Cleaned{What: []record.Code{"EX", "FILL", vessel.Draw(t, "what")}, Clean: record.WashDown, Ends: []record.EndsCause{{Cause: record.CauseResidue}}}
		},
		func() record.Fact { return &record.Placed{What: []record.Code{vessel.Draw(t, "what")}, Place: "barn"} },
		func() record.Fact {
			return &record.Returned{Dispatch: before.Draw(t, "dispatch"), Batch: before.Draw(t, "batch"), Units: rapid.Int64Range(1, 40).Draw(t, "units"), To: number, Reason: "lid"}
		},
		func() record.Fact { return &record.Retained{Batch: before.Draw(t, "batch"), Units: 2} },
		func() record.Fact {
			return &record.BatchMade{Batch: number, Inputs: []record.Input{{From: from.Draw(t, "honey"), Mass: grams(20_000)}, {From: "LID", Mass: grams(100)}}, Units: 50}
		},
		func() record.Fact { return &record.MaterialUsed{Lot: "LID", For: "R1"} },
		func() record.Fact {
			return &record.DrumReceived{Filling: number, Steel: vessel.Draw(t, "steel"), Delivery: "DEL", Net: mass}
		},
		func() record.Fact { return &record.SupersPlaced{Site: "South", From: "North", Boxes: 10} },
		func() record.Fact {
			return &record.HoldSet{Hold: number, Cause: record.CauseDisease, Roots: []record.Code{lot.Draw(t, "root")}, Reason: "hive"}
		},
		func() record.Fact {
			return &record.Released{Hold: before.Draw(t, "hold"), Contents: []record.Code{from.Draw(t, "content")}, Reason: "sheet", Role: "owner"}
		},
		func() record.Fact {
			return &record.TouchedRuled{Hold: before.Draw(t, "hold"), Contents: []record.Code{from.Draw(t, "content")}, Reason: "far", Role: "owner",
				Ruling: rapid.SampledFrom([]record.TouchedRuling{record.TouchedHeld, record.TouchedCleared}).Draw(t, "ruling")}
		},
	}).Draw(t, "kind")()
}

// season is the world and what happened in it: seq in the order of writing, minutes
// as drawn.
func season(t *rapid.T, inOrder bool) []record.Entry {
	var all []record.Entry
	for i, f := range world {
		all = append(all, record.Entry{Seq: uint64(i + 1), Parts: 1, When: record.When{Minute: int64(i), Precision: record.ToMinute}, Fact: f})
	}
	minute := int64(len(world))
	for i := range rapid.IntRange(1, 40).Draw(t, "facts") {
		if minute++; !inOrder {
			minute = rapid.Int64Range(int64(len(world)), 200).Draw(t, "minute")
		}
		all = append(all, record.Entry{Seq: uint64(len(all) + 1), Parts: 1, When: record.When{Minute: minute, Precision: record.ToMinute}, Fact: anyFact(t, i)})
	}
	return all
}

func foldAll(entries []record.Entry) *State {
	s := New()
	for i := range entries {
		s.Fold(&entries[i])
	}
	return s
}

func byTime(entries []record.Entry) (*Timeline, func(uint64) (record.Entry, error)) {
	line := &Timeline{}
	for i := range entries {
		line.Add(&entries[i])
	}
	return line, func(seq uint64) (record.Entry, error) { return entries[seq-1], nil }
}

func refold(t *rapid.T, entries []record.Entry) *State {
	line, read := byTime(entries)
	s := New()
	for step, err := range line.Each(read) {
		if err != nil {
			t.Fatal(err)
		}
		s.FoldStep(step)
	}
	return s
}

// look is everything of a state that does not tell how it came about.
func look(s *State) string {
	out := ""
	prints := s.fingerprints()
	for _, k := range slices.Sorted(maps.Keys(prints)) {
		p := prints[k]
		out += fmt.Sprintln(k, p.kind, p.grams, p.parts)
		for _, on := range p.holds {
			out += fmt.Sprintln("  held by", s.Code(on.Hold), on.Share)
		}
	}
	for _, t := range s.OfKind(record.Lot) {
		b, _ := s.LotBalance(t)
		out += fmt.Sprintln(s.Code(t), b.In, b.Out, b.Gap)
	}
	for _, t := range s.OfKind(record.Vessel) {
		out += fmt.Sprintln(s.Code(t), s.Code(s.places[t].at))
	}
	return out
}

// Law: no season makes or loses a gram, over all and for each origin; contents have
// the grams of their origins together. What came in is what was weighed in, bought
// and there at the start.
func TestMassIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := season(t, true)
		s := foldAll(entries)
		in := map[record.Code]quantity.Gram{"SEED": 60_000, "L1": 0, "L2": 0, "L3": 0, "DEL": 0}
		for _, e := range entries {
			switch f := e.Fact.(type) {
			case *record.SupersReceived:
				in[f.Lot] += f.Stacks[0].Net()
			case *record.DrumReceived:
				in["DEL"] += f.Net.Grams()
			}
		}
		got := map[record.Code]quantity.Gram{}
		for n := 1; n <= s.graph.Nodes(); n++ {
			var sum quantity.Gram
			for _, p := range s.graph.Parts(trace.Node(n)) {
				got[s.Code(s.OriginOf(p.Origin).Of)] += p.Left
				sum += p.Left
			}
			if sum != s.graph.Left(trace.Node(n)) {
				t.Fatalf("content %s has %d g, its origins %d g", s.NodeCode(trace.Node(n)), s.graph.Left(trace.Node(n)), sum)
			}
		}
		for c, m := range in {
			if got[c] != m {
				t.Fatalf("%s: %d g over all contents, %d g came in", c, got[c], m)
			}
		}
		if b := s.SeasonBalance(); balanceOf(b.In)-balanceOf(b.Out) != b.Gap {
			t.Fatal("the season's balance does not add up")
		}
	})
}

func balanceOf(all []Booking) (sum quantity.Gram) {
	for _, x := range all {
		sum += x.Grams
	}
	return sum
}

// Law: facts written late fold to the same house as if they had been written in time.
func TestLateIsAsOnTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := season(t, false)
		late := refold(t, entries)
		onTime := slices.Clone(entries)
		slices.SortStableFunc(onTime, func(a, b record.Entry) int { return int(a.When.Minute - b.When.Minute) })
		if d := cmp.Diff(look(foldAll(onTime)), look(late)); d != "" {
			t.Fatalf("(-on time +late):\n%s", d)
		}
	})
}

// Law: a part of the facts folded, then the rest, is all of them folded.
func TestPrefixThenRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := season(t, true)
		cut := rapid.IntRange(0, len(entries)).Draw(t, "cut")
		first := foldAll(entries[:cut])
		kept := look(first)
		rest := first.Clone()
		for i := cut; i < len(entries); i++ {
			rest.Fold(&entries[i])
		}
		if d := cmp.Diff(look(foldAll(entries)), look(rest)); d != "" {
			t.Fatalf("(-all at once +in two parts):\n%s", d)
		}
		if look(first) != kept {
			t.Fatal("folding into a copy changed the original")
		}
	})
}

// Law: a correction followed by its reverse leaves the house as it was; a fact that
// was struck leaves it as if the fact had not been, but for its number.
func TestCorrectionAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := season(t, false)
		was := look(refold(t, entries))
		at := rapid.IntRange(len(world), len(entries)-1).Draw(t, "which")
		amend := func(with record.Fact, when record.When) {
			b, err := record.Marshal(with)
			if err != nil {
				t.Fatal(err)
			}
			entries = append(entries, record.Entry{Seq: uint64(len(entries) + 1), Parts: 1, When: record.When{Minute: 300, Precision: record.ToMinute},
				Fact: &record.Amended{Fact: int64(at + 1), With: b, When: when, Reason: "typed wrong"}})
		}
		original := entries[at]
		amend(anyFact(t, at-len(world)), record.When{Minute: rapid.Int64Range(int64(len(world)), 250).Draw(t, "moved"), Precision: record.ToMinute})
		changed := refold(t, entries)
		if changed.Folded != len(entries) {
			t.Fatalf("%d of %d facts folded", changed.Folded, len(entries))
		}
		amend(original.Fact, original.When)
		if d := cmp.Diff(was, look(refold(t, entries))); d != "" {
			t.Fatalf("corrected and put back (-before +after):\n%s", d)
		}
		entries = append(entries, record.Entry{Seq: uint64(len(entries) + 1), Parts: 1, When: record.When{Minute: 301, Precision: record.ToMinute},
			Fact: &record.Struck{Fact: int64(at + 1), Reason: "did not happen"}})
		struck := refold(t, entries)
		without := slices.Delete(slices.Clone(entries[:len(entries)-3]), at, at+1)
		for i := range without {
			without[i].Seq = uint64(i + 1)
		}
		if d := cmp.Diff(look(refold(t, without)), look(struck)); d != "" {
			t.Fatalf("struck (-never was +struck):\n%s", d)
		}
		record.Names(original.Fact, func(c record.Code, fresh bool, _ []record.Entity) {
			if _, used := struck.Find(c); fresh && !used {
				t.Fatalf("number %s is free again", c)
			}
		})
	})
}

// Law: an origin that could be in a content stays in everything made of it.
func TestNoDrawOrderLosesAnOrigin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := foldAll(season(t, true))
		for n := 1; n <= s.graph.Nodes(); n++ {
			for _, from := range s.graph.Next(trace.Node(n), trace.Back) {
				if !from.Share || from.Grams == 0 {
					continue
				}
				for _, p := range s.graph.Parts(from.Node) {
					if !slices.ContainsFunc(s.graph.Parts(trace.Node(n)), func(q trace.Part) bool { return q.Origin == p.Origin }) {
						t.Fatalf("%s was made of %s and lost an origin", s.NodeCode(trace.Node(n)), s.NodeCode(from.Node))
					}
				}
			}
		}
	})
}
