package goods

import (
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"combline/internal/record"
)

// store is a house with jars of one product: batches with best-before days, some in
// cases, some on pallets, some put by.
func store(t *rapid.T) (b *book, batches []record.Code) {
	b = newBook()
	n := rapid.IntRange(1, 5).Draw(t, "batches")
	next := int64(1)
	for i := range n {
		run, lot := record.Code("R"+string(rune('1'+i))), record.Code("B"+string(rune('1'+i)))
		best := record.Day(0)
		if rapid.IntRange(0, 4).Draw(t, "best known") > 0 {
			best = day(time.December, 1) + record.Day(rapid.IntRange(0, 3).Draw(t, "best before"))
		}
		made := day(time.May, 1) + record.Day(rapid.IntRange(0, 3).Draw(t, "made"))
		units := rapid.Int64Range(1, 60).Draw(t, "units")
		b.on(made, &record.RunStarted{Run: run, Product: "J", BestBefore: best}, &record.JarsFilled{Run: run, Batch: lot, Units: units})
		if rapid.Bool().Draw(t, "retained") && units > 2 {
			b.on(made, &record.Retained{Batch: lot, Units: 2})
		}
		batches = append(batches, lot)
	}
	for range rapid.IntRange(0, 4).Draw(t, "packings") {
		var from []record.CasedFrom
		var sum int64
		for _, lot := range batches {
			v, _ := b.g.Batch(lot)
			if k := rapid.Int64Range(0, max(0, v.Loose)).Draw(t, "cased"); k > 0 && rapid.Bool().Draw(t, "in") {
				from, sum = append(from, record.CasedFrom{Batch: lot, Units: k}), sum+k
			}
		}
		per := rapid.Int64Range(1, 12).Draw(t, "per case")
		if count := (sum + per - 1) / per; count > 0 {
			b.on(day(time.June, 1), &record.Cased{Batches: from, Cases: cases("C-", next, next+count-1), PerCase: per})
			if rapid.Bool().Draw(t, "pallet") {
				b.on(day(time.June, 1), &record.Palletised{Pallet: record.Code("P" + string(rune('0'+next%10)) + string(rune('0'+next/10))), Cases: []record.Cases{cases("C-", next, next+count/2)}})
			}
			next += count
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "promises") {
		p := &record.Promised{Order: rapid.SampledFrom([]record.Code{"O1", "O2"}).Draw(t, "for"), What: []record.Code{rapid.SampledFrom(batches).Draw(t, "what")}, Units: rapid.Int64Range(0, 30).Draw(t, "put by")}
		if there := slices.Sorted(maps.Keys(b.g.pallets)); len(there) > 0 && rapid.IntRange(0, 2).Draw(t, "which") == 0 {
			p.What, p.Units = []record.Code{record.Code(rapid.SampledFrom(there).Draw(t, "pallet"))}, 0
		}
		b.on(day(time.July, 1), p)
	}
	if rapid.Bool().Draw(t, "regraded") {
		b.on(day(time.July, 2), &record.Regraded{Batch: batches[0], To: "B1-X", Units: 1})
	}
	return b, batches
}

// Law: a pick takes no unit twice, none beyond what the order may have, none on hold,
// none of another mark; what is short is exactly what could not be had; and a later
// batch is touched only when all before it have given everything that they may.
func TestPick(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, batches := store(t)
		held := record.Code("")
		if rapid.Bool().Draw(t, "one is held") {
			held = rapid.SampledFrom(batches).Draw(t, "held")
		}
		w := Want{Order: "O1", Product: "J", Units: rapid.Int64Range(0, 200).Draw(t, "wanted"), Held: func(c record.Code) bool { return c == held }}
		may, put := map[record.Code]int64{}, int64(0)
		for _, v := range b.g.Batches() {
			may[v.Code] = b.g.FreeFor(v.Code, "O1")
			put += b.g.PutBy(v.Code, "O1")
			if other := b.g.FreeFor(v.Code, "O1"); other > v.OnHand {
				t.Fatalf("%s: %d for the order of %d on hand", v.Code, other, v.OnHand)
			}
		}
		takes, short := b.g.Pick(w)
		got, numbers := map[record.Code]int64{}, map[int64]bool{}
		mixed := map[record.Code]bool{}
		var sum int64
		for _, x := range takes {
			for _, u := range x.Of {
				got[u.Batch], sum = got[u.Batch]+u.Units, sum+u.Units
				if u.Units <= 0 {
					t.Fatalf("%+v takes nothing", x)
				}
				mixed[u.Batch] = mixed[u.Batch] || len(x.Of) > 1
			}
			ranges := []record.Cases{x.Cases}
			if x.Pallet != "" && x.Cases.First == 0 {
				ranges = nil
				for _, r := range b.g.CasesOn(x.Pallet) {
					ranges = append(ranges, r.Cases)
				}
			}
			for _, r := range ranges {
				for n := r.First; n <= r.Last && n > 0; n++ {
					if numbers[n] {
						t.Fatalf("case %d is taken twice", n)
					}
					numbers[n] = true
				}
			}
		}
		if sum+short != w.Units {
			t.Fatalf("%d taken and %d short of %d", sum, short, w.Units)
		}
		if got[held] > 0 && held != "" {
			t.Fatalf("%d of %s on hold", got[held], held)
		}
		if got["B1-X"] > 0 {
			t.Fatal("units that were set aside are taken")
		}
		for c, n := range got {
			if n > may[c] {
				t.Fatalf("%d of %s, it may have %d", n, c, may[c])
			}
		}
		for _, v := range b.g.FirstOut("J") {
			if short > 0 && v.Code != held && v.Code != "B1-X" && got[v.Code] != may[v.Code] && !onBarredPallet(b.g, v.Code) {
				t.Fatalf("short of %d, and %s gave %d of %d", short, v.Code, got[v.Code], may[v.Code])
			}
		}
		if put == 0 {
			firstOut(t, b.g, got, may, mixed, held)
		}
		// what the proposal says is what leaves: no flag, and every unit from where it was
		before := map[record.Code]int64{}
		for _, v := range b.g.Batches() {
			before[v.Code] = v.OnHand
		}
		f := &record.Sent{Dispatch: "DN", Order: "O1", Customer: "K"}
		for _, x := range takes {
			f.Lines = append(f.Lines, x.Line())
		}
		b.on(day(time.August, 1), f)
		for _, v := range b.g.Batches() {
			if before[v.Code]-v.OnHand != got[v.Code] {
				t.Fatalf("%s: %d left the house, the pick said %d", v.Code, before[v.Code]-v.OnHand, got[v.Code])
			}
		}
	})
}

// onBarredPallet reports whether units of a batch stand on a pallet that is put by for
// an order: which of them are free can't be told by numbers alone.
func onBarredPallet(g *Goods, c record.Code) bool {
	for _, r := range g.CasesOf(c) {
		if r.Pallet != "" && len(g.PromisesOf(r.Pallet)) > 0 {
			return true
		}
	}
	return false
}

// firstOut: no batch goes before one that expires earlier has given all.
func firstOut(t *rapid.T, g *Goods, got, may map[record.Code]int64, mixed map[record.Code]bool, held record.Code) {
	waits := record.Code("")
	for _, v := range g.FirstOut("J") {
		if v.Code == held || v.Code == "B1-X" {
			continue
		}
		if waits != "" && got[v.Code] > 0 && !mixed[v.Code] {
			t.Fatalf("%s goes (%d) while %s, which is to go first, still has some", v.Code, got[v.Code], waits)
		}
		if got[v.Code] < may[v.Code] && !onBarredPallet(g, v.Code) {
			waits = v.Code
		}
	}
}

// The order of a pick by hand: 30 jars of two batches in cases of 12; the batch that
// expires first goes first, then as few of the next as are needed, out of an opened
// case only at the end (common practice, no source).
func TestPickByHand(t *testing.T) {
	b := newBook()
	b.on(day(time.May, 1), &record.RunStarted{Run: "R1", Product: "J", BestBefore: day(time.December, 9)}, &record.JarsFilled{Run: "R1", Batch: "LATE", Units: 24},
		&record.Cased{Batches: []record.CasedFrom{{Batch: "LATE", Units: 24}}, Cases: cases("L-", 1, 2), PerCase: 12},
		&record.RunStarted{Run: "R2", Product: "J", BestBefore: day(time.December, 1)}, &record.JarsFilled{Run: "R2", Batch: "SOON", Units: 14},
		&record.Cased{Batches: []record.CasedFrom{{Batch: "SOON", Units: 12}}, Cases: cases("S-", 1, 1), PerCase: 12})
	takes, short := b.g.Pick(Want{Product: "J", Units: 30})
	want := []Take{{Cases: cases("S-", 1, 1), Of: []BatchUnits{{"SOON", 12}}}, {Of: []BatchUnits{{"SOON", 2}}},
		{Cases: cases("L-", 1, 1), Of: []BatchUnits{{"LATE", 12}}}, {Open: "L-2", Of: []BatchUnits{{"LATE", 4}}}}
	if d := cmp.Diff(want, takes); d != "" || short != 0 {
		t.Errorf("short of %d:\n%s", short, d)
	}
	b.on(day(time.May, 2), &record.Promised{Order: "O9", What: []record.Code{"SOON"}})
	if _, short = b.g.Pick(Want{Order: "O1", Product: "J", Units: 30}); short != 6 {
		t.Errorf("short of %d beside what is put by for O9, want 6", short)
	}
	takes, _ = b.g.Pick(Want{Order: "O9", Product: "J", Units: 3})
	if d := cmp.Diff([]Take{{Of: []BatchUnits{{"SOON", 2}}}, {Open: "S-1", Of: []BatchUnits{{"SOON", 1}}}}, takes); d != "" {
		t.Errorf("what is put by for the order itself:\n%s", d)
	}
}
