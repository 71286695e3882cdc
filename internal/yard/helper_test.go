package yard

import (
	"fmt"
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
	y   *Yard
	seq uint64
}

func newBook() *book { return &book{y: New()} }

// on writes facts of one day.
func (b *book) on(d record.Day, facts ...record.Fact) {
	for _, f := range facts {
		b.seq++
		b.y.Fold(&record.Entry{Seq: b.seq, When: record.OnDay(d.Time()), Fact: f})
	}
}

// at writes facts at a minute of a day.
func (b *book) at(d record.Day, minute int, facts ...record.Fact) {
	for _, f := range facts {
		b.seq++
		b.y.Fold(&record.Entry{Seq: b.seq, When: record.At(d.Time().Add(time.Duration(minute) * time.Minute)), Fact: f})
	}
}

func days(n int64) q.Figure { return q.Figure{Mantissa: n, Unit: q.Day} }

// all is everything that the yard answers, for comparing two.
func all(y *Yard) []any {
	v := []any{y.Sites(), y.Lots(), y.Flags(), y.Enquiries(), y.Pulls(day(time.August, 1))}
	for _, s := range y.Sites() {
		fed, not := y.Feedings(s.Code)
		v = append(v, y.Moves(s.Code), y.Treatments(s.Code), fed, not, y.MayPull(s.Code, day(time.July, 27)), y.Reach([]record.Code{s.Code}, 0))
	}
	return v
}

// any facts of the yard, of few codes, so that they meet.
func facts(t *rapid.T, name string) []record.Entry {
	kinds := slices.DeleteFunc(record.Kinds(), func(k record.Kind) bool { return k > record.KindLotClosed })
	var all []record.Entry
	for i := range rapid.IntRange(0, 40).Draw(t, name) {
		fact := record.New(rapid.SampledFrom(kinds).Draw(t, "kind"))
		fill(t, reflect.ValueOf(fact).Elem())
		when := record.When{Minute: int64(day(time.May, 1))*1440 + int64(i)*rapid.Int64Range(0, 3000).Draw(t, "gap"),
			Precision: record.Precision(rapid.IntRange(1, 3).Draw(t, "precision"))}
		all = append(all, record.Entry{Seq: uint64(i + 1), When: when, Fact: fact})
	}
	return all
}

func fill(t *rapid.T, v reflect.Value) {
	switch p := v.Addr().Interface().(type) {
	case *record.Code:
		*p = rapid.SampledFrom([]record.Code{"A", "b", "B", "C", "d", "L1", "L2", "L3", "T1", "T2"}).Draw(t, "code")
		return
	case *record.Day:
		*p = day(time.May, 1) + record.Day(rapid.IntRange(0, 120).Draw(t, "day"))
		return
	case *q.Figure:
		*p = q.Figure{Mantissa: rapid.Int64Range(-3, 60).Draw(t, "m"), Decimals: uint8(rapid.IntRange(0, 2).Draw(t, "d")), Unit: rapid.SampledFrom([]q.Unit{q.NoUnit, q.Day, q.Hour}).Draw(t, "unit")}
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.SampledFrom([]string{"", "x", "LC-"}).Draw(t, "text"))
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

func fold(y *Yard, list []record.Entry) *Yard {
	for i := range list {
		y.Fold(&list[i])
	}
	return y
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
		whole := all(fold(&Yard{}, list))
		if d := cmp.Diff(whole, all(copied)); d != "" {
			t.Fatalf("prefix and rest are not all:\n%s", d)
		}
		fold(copied.Clone(), other)
		if d := cmp.Diff(whole, all(copied)); d != "" {
			t.Fatalf("a copy of the copy changed it:\n%s", d)
		}
	})
}

// Law: boxes pulled are in the house, stored, or at sites.
func TestNoBoxIsMadeOrLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := facts(t, "facts")
		y := fold(New(), list)
		pulled := map[string]int64{}
		for _, e := range list {
			if f, ok := e.Fact.(*record.SupersPulled); ok && f.Boxes > 0 {
				pulled[f.Lot.Fold()] += f.Boxes
			}
		}
		for _, l := range y.Lots() {
			var at int64
			for _, b := range l.BackTo {
				at += b.Boxes
			}
			if sum := l.InHouse + l.Back + l.Stored; sum != pulled[l.Code.Fold()] || at != l.Back || l.Stored < 0 || l.Back < 0 {
				t.Fatalf("lot %s: %d in house + %d back + %d stored, %d at sites; %d pulled", l.Code, l.InHouse, l.Back, l.Stored, at, pulled[l.Code.Fold()])
			}
		}
		for _, s := range y.Sites() {
			checkMix(t, fmt.Sprint("site ", s.Code), s.OnHives, s.Homes)
		}
	})
}

func checkMix(t *rapid.T, of string, total int64, homes []Home) {
	var least, most int64
	for _, h := range homes {
		if h.Least < 0 || h.Least > h.Most || h.Most > total {
			t.Fatalf("%s: %+v of %d boxes", of, h, total)
		}
		least, most = least+h.Least, most+h.Most
	}
	if least > total || most < total {
		t.Fatalf("%s: homes %d to %d of %d boxes: %+v", of, least, most, total, homes)
	}
}

// Lists grow in place while there is room: whatever their length at the copy, what
// the one takes in next does not show in the other.
func TestCopiesGrowApart(t *testing.T) {
	round := func(i int64, who record.Code) []record.Fact {
		s := string(who)
		return []record.Fact{
			&record.Fed{Site: "A", Feed: s, Hives: i, SupersOn: record.NotKnown}, &record.NotFed{Site: "A", From: day(3, 1), To: day(5, 1) + record.Day(len(s))},
			&record.Treated{Treatment: record.Code(fmt.Sprint(who, i)), Site: "A", Product: s}, &record.TreatmentEnded{Treatment: record.Code("none" + s)},
			&record.EnquiryOpened{Enquiry: who, Sites: []record.Code{"B"}, Disease: s},
			&record.SupersMarked{Site: who, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 9}}},
			&record.SupersPlaced{Site: "A", Boxes: 9, Marks: []record.Marks{{Prefix: "LC-", First: 1, Last: 9}}},
			&record.SupersPulled{Lot: "L1", Site: "A", Boxes: 5}, &record.SupersPulled{Lot: "L1", Site: who, Boxes: 1},
			&record.SupersSentBack{Lot: "L1", Site: who, Boxes: 2, Note: s}, &record.CombsStored{Lot: "L1", Place: who, Boxes: 1}}
	}
	build := func(n int64, last record.Code) *book {
		b := newBook()
		for i := range n {
			b.on(day(5, 1), round(i, record.Code(fmt.Sprint("S", i)))...)
		}
		if last != "" {
			b.on(day(5, 2), round(n, last)...)
		}
		return b
	}
	for n := range int64(10) {
		one := build(n, "")
		two := &book{y: one.y.Clone(), seq: one.seq}
		three := &book{y: one.y.Clone(), seq: one.seq}
		two.on(day(5, 2), round(n, "two")...)
		one.on(day(5, 2), round(n, "one")...)
		three.on(day(5, 2), round(n, "three")...)
		for who, b := range map[record.Code]*book{"one": one, "two": two, "three": three} {
			if d := cmp.Diff(all(build(n, who).y), all(b.y)); d != "" {
				t.Fatalf("after %d rounds %s differs:\n%s", n, who, d)
			}
		}
	}
}
