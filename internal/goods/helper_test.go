package goods

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// day is a day of the demo season.
func day(month time.Month, d int) record.Day {
	return record.DayOf(time.Date(2026, month, d, 0, 0, 0, 0, time.UTC))
}

// A book folds facts, numbered as they come.
type book struct {
	g   *Goods
	seq uint64
}

func newBook() *book { return &book{g: New()} }

// on writes facts of one day.
func (b *book) on(d record.Day, facts ...record.Fact) {
	for _, f := range facts {
		b.seq++
		b.g.Fold(&record.Entry{Seq: b.seq, When: record.OnDay(d.Time()), Fact: f})
	}
}

func each(n int64) q.Figure                   { return q.Figure{Mantissa: n, Unit: q.Each} }
func pieces(n int64) record.Amount            { return record.Amount{Pieces: each(n)} }
func kg(n int64) record.Weight                { return record.Weight{Figure: q.Figure{Mantissa: n, Unit: q.KgUnit}} }
func cases(p string, a, b int64) record.Cases { return record.Cases{Prefix: p, First: a, Last: b} }

func flags(g *Goods) (all []string) {
	for _, f := range g.Flags() {
		all = append(all, f.Key)
	}
	return all
}

var codes = []record.Code{"A", "b", "B", "C", "R1", "R2", "P1", "p2", "O1", "O2", "C-1"}

// all is everything that the goods answer, for comparing two.
func all(g *Goods) []any {
	v := []any{g.Batches(), g.Flags(), g.Orders(), g.Open(0), g.Dispatches(), g.Products(), g.Customers(), g.Suppliers(), g.Materials(), g.Complaints(), g.Recalls()}
	for _, c := range codes {
		b, _ := g.Batch(c)
		d, _ := g.Dispatch(c)
		k, _ := g.Case(c + "2")
		r, _ := g.Recipe(c, day(time.July, 1))
		run, _ := g.Run(c)
		free, _ := g.Free(c)
		l, _ := g.MaterialLot(c)
		v = append(v, b, d, k, r, run, free, l, g.CasesOf(c), g.CasesOn(c), g.BatchesIn(c), g.SentOf(c), g.SentOfFilling(c), g.ReturnsOf(c), g.PromisesOf(c),
			g.PromisesTo(c), g.Stock(c), g.OnOrder(c), g.UsedIn(c), g.UsedBy(c), g.ComplaintsOf(c), g.MaterialLots(c),
			g.Resolve(record.SentLine{What: c, Units: 5}), g.Resolve(record.SentLine{Cases: cases("C-", 2, 9)}))
	}
	return v
}

// any facts of the goods, of few codes, so that they meet.
func facts(t *rapid.T, name string) []record.Entry {
	kinds := slices.DeleteFunc(record.Kinds(), func(k record.Kind) bool {
		return k < record.KindProductNamed && k != record.KindTippedBack && k != record.KindDestroyed || k > record.KindMaterialOrdered
	})
	units := []record.Kind{record.KindJarsFilled, record.KindRegraded, record.KindCased, record.KindCased, record.KindPalletised, record.KindSent, record.KindSent, record.KindPromised}
	var all []record.Entry
	for i := range rapid.IntRange(0, 40).Draw(t, name) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		if rapid.Bool().Draw(t, "units") {
			k = rapid.SampledFrom(units).Draw(t, "kind of units")
		}
		fact := record.New(k)
		fill(t, reflect.ValueOf(fact).Elem())
		all = append(all, record.Entry{Seq: uint64(i + 1), When: record.When{Minute: int64(day(time.May, 1))*1440 + int64(i)*1000, Precision: record.ToMinute}, Fact: fact})
	}
	return all
}

func fill(t *rapid.T, v reflect.Value) {
	switch p := v.Addr().Interface().(type) {
	case *record.Code:
		*p = rapid.SampledFrom(append([]record.Code{""}, codes...)).Draw(t, "code")
		return
	case *record.Day:
		*p = day(time.May, 1) + record.Day(rapid.IntRange(0, 120).Draw(t, "day"))
		return
	case *q.Figure:
		*p = q.Figure{Mantissa: rapid.Int64Range(-3, 60).Draw(t, "m"), Decimals: uint8(rapid.IntRange(0, 2).Draw(t, "d")), Unit: rapid.SampledFrom([]q.Unit{q.NoUnit, q.Each}).Draw(t, "unit")}
		return
	case *record.Weight:
		*p = record.Weight{Figure: q.Figure{Mantissa: rapid.Int64Range(-3, 60).Draw(t, "g"), Unit: rapid.SampledFrom([]q.Unit{q.NoUnit, q.G, q.KgUnit}).Draw(t, "unit")}}
		return
	case *record.Cases:
		*p = record.Cases{Prefix: rapid.SampledFrom([]string{"", "C-", "c-", "C-1"}).Draw(t, "prefix"), First: rapid.Int64Range(-1, 30).Draw(t, "first"), Last: rapid.Int64Range(0, 40).Draw(t, "last")}
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.SampledFrom([]string{"", "x", "shop"}).Draw(t, "text"))
	case reflect.Int64:
		v.SetInt(rapid.Int64Range(-1, 60).Draw(t, "n"))
	case reflect.Uint8:
		v.SetUint(uint64(rapid.IntRange(0, 2).Draw(t, "choice")))
	case reflect.Slice:
		n := rapid.IntRange(0, 2).Draw(t, "len")
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i))
		}
	}
}

func fold(g *Goods, list []record.Entry) *Goods {
	for i := range list {
		g.Fold(&list[i])
	}
	return g
}

// Law: a prefix, copied, and the rest give what all gives, whatever else the
// original takes in meanwhile.
func TestCloneIsIndependent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list, other := facts(t, "facts"), facts(t, "other facts")
		cut := rapid.IntRange(0, len(list)).Draw(t, "cut")
		first := fold(New(), list[:cut])
		before := all(first)
		copied := first.Clone()
		fold(first, other)
		if d := cmp.Diff(before, all(copied)); d != "" {
			t.Fatalf("the copy changed with the original:\n%s", d)
		}
		after := all(first)
		fold(copied, list[cut:])
		if d := cmp.Diff(after, all(first)); d != "" {
			t.Fatalf("the original changed with the copy:\n%s", d)
		}
		whole := all(fold(&Goods{}, list))
		if d := cmp.Diff(whole, all(copied)); d != "" {
			t.Fatalf("prefix and rest are not all:\n%s", d)
		}
		fold(copied.Clone(), other)
		if d := cmp.Diff(whole, all(copied)); d != "" {
			t.Fatalf("a copy of the copy changed it:\n%s", d)
		}
	})
}

// Law: every unit that was filled is on hand, retained, destroyed, tipped back or
// out of the house, and every unit in a case is counted once.
func TestNoUnitIsMadeOrLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := facts(t, "facts")
		g := fold(New(), list)
		var filled, is int64
		for _, e := range list {
			switch f := e.Fact.(type) {
			case *record.JarsFilled:
				filled += max(0, f.Units)
			case *record.BatchMade:
				filled += max(0, f.Units)
			}
		}
		gone := map[string]int64{}
		for _, b := range g.Batches() {
			is += b.OnHand + b.Retained + b.Destroyed + b.TippedBack + b.Sent - b.Returned
			if b.Made+b.CameIn != b.OnHand+b.RegradedOut+b.Retained+b.Destroyed+b.TippedBack+b.Sent || b.Loose+b.InCases != b.OnHand || b.InCases < 0 {
				t.Fatalf("%+v does not add up", b)
			}
			for _, l := range g.SentOf(b.Code) {
				gone[b.Code.Fold()] += l.Units
			}
			if gone[b.Code.Fold()] != b.Sent {
				t.Fatalf("batch %s: %d units sent, %d by its lines", b.Code, b.Sent, gone[b.Code.Fold()])
			}
		}
		if is != filled {
			t.Fatalf("%d units filled, %d found", filled, is)
		}
		inCases, numbers := map[string]int64{}, map[string]bool{}
		for _, s := range g.series {
			for i, p := range s.pieces {
				if p.last < p.first || i > 0 && s.pieces[i-1].last >= p.first {
					t.Fatalf("pieces of %s: %+v", s.prefix, s.pieces)
				}
				for n := p.first; n <= p.last; n++ {
					numbers[record.Code(s.prefix).Fold()] = true
					if p.sent == nil {
						for _, x := range p.of.shares(n, n) { // case by case, against ranges
							inCases[x.batch.Fold()] += x.units
						}
					}
				}
			}
		}
		for _, b := range g.Batches() {
			if inCases[b.Code.Fold()] != b.InCases {
				t.Fatalf("batch %s: %d units in cases, %d case by case", b.Code, b.InCases, inCases[b.Code.Fold()])
			}
		}
	})
}

// Law: nothing is negative without a flag.
func TestNothingIsNegativeSilently(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := fold(New(), facts(t, "facts"))
		flagged := map[string]bool{}
		for _, f := range g.Flags() {
			flagged[f.Batch.Fold()] = true
			flagged["lot "+f.Of.Fold()] = true
		}
		for _, b := range g.Batches() {
			if (b.Loose < 0 || b.OnHand < 0) && !flagged[b.Code.Fold()] {
				t.Fatalf("%+v has no flag", b)
			}
		}
		for _, c := range codes {
			if l, ok := g.MaterialLot(c); ok && min(l.Left.Pieces.N, l.Left.Grams.N) < 0 && !flagged["lot "+l.Lot.Fold()] {
				t.Fatalf("%+v has no flag", l)
			}
		}
	})
}

// Law: what a line resolves to before it is folded is what leaves.
func TestResolveIsWhatLeaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := fold(New(), facts(t, "facts"))
		var l record.SentLine
		fill(t, reflect.ValueOf(&l).Elem())
		want, before := map[string]int64{}, map[string]int64{}
		for _, b := range g.Batches() {
			before[b.Code.Fold()] = b.OnHand
		}
		for _, u := range g.Resolve(l) {
			want[u.Batch.Fold()] += u.Units
		}
		g.Fold(&record.Entry{Seq: 1000, Fact: &record.Sent{Dispatch: "D9", Customer: "K", Lines: []record.SentLine{l}}})
		for _, b := range g.Batches() {
			if k := b.Code.Fold(); before[k]-b.OnHand != want[k] {
				t.Fatalf("batch %s: %d units left; resolved %d", k, before[k]-b.OnHand, want[k])
			}
		}
	})
}

// Lists grow in place while there is room: whatever their length at the copy, what
// the one takes in next does not show in the other.
func TestCopiesGrowApart(t *testing.T) {
	round := func(i int64, who record.Code) []record.Fact {
		return []record.Fact{
			&record.JarsFilled{Batch: "A", Run: "R1", Units: 30 + i}, &record.JarsFilled{Batch: who, Run: "R1", Units: 1},
			&record.Cased{Batches: []record.CasedFrom{{Batch: "A", Units: 10}}, Cases: cases("C-", 1+2*i, 2+2*i), PerCase: 5},
			&record.Palletised{Pallet: "P1", Cases: []record.Cases{cases("C-", 1+2*i, 1+2*i)}},
			&record.Promised{Order: "O1", What: []record.Code{"A"}, Units: 1}, &record.RecipeSet{Product: "p2", Note: string(who)},
			&record.Sent{Dispatch: who, Order: "O1", Lines: []record.SentLine{{What: "A", Units: 2, ShipTo: string(who)}, {What: "B", ShipTo: string(who)}}},
			&record.Returned{Dispatch: who, Batch: "A", Units: 1, To: "R2", Reason: string(who)},
			&record.MaterialReceived{Lot: "C", Material: "p2", Amount: pieces(9)}, &record.MaterialUsed{Lot: "C", For: "A", Amount: pieces(i)},
			&record.MaterialUsed{Lot: "C", For: who, Amount: pieces(1)}, &record.MaterialCounted{Lot: "C", Amount: pieces(100 + i)},
			&record.MaterialOrdered{Material: "O2", Supplier: who, Amount: pieces(5)}, &record.ComplaintTaken{Complaint: who, Mark: "A"},
			&record.RecallStarted{Recall: who}, &record.ComplaintAnswered{Complaint: "none", Answer: string(who)}}
	}
	build := func(n int64, last record.Code) *book {
		b := newBook()
		for i := range n {
			b.on(day(5, 1), round(i, "both")...)
		}
		if last != "" {
			b.on(day(5, 2), round(n, last)...)
		}
		return b
	}
	for n := range int64(10) {
		one := build(n, "")
		two := &book{g: one.g.Clone(), seq: one.seq}
		three := &book{g: one.g.Clone(), seq: one.seq}
		two.on(day(5, 2), round(n, "two")...)
		one.on(day(5, 2), round(n, "one")...)
		three.on(day(5, 2), round(n, "three")...)
		for who, b := range map[record.Code]*book{"one": one, "two": two, "three": three} {
			if d := cmp.Diff(all(build(n, who).g), all(b.g)); d != "" {
				t.Fatalf("after %d rounds %s differs:\n%s", n, who, d)
			}
		}
	}
}
