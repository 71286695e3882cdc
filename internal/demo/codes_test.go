package demo

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"combline/internal/record"
)

func timeMonth(m int) time.Month { return time.Month(m) }

// walk goes through the codes of a fact: those that it names first, then those
// that it refers to.
func walk(f record.Fact, names, refers func(field string, c record.Code, of []record.Entity)) {
	for _, fresh := range []bool{true, false} {
		record.Visit(f, func(field record.Field) {
			if fresh != (field.Type == record.TypeNew) {
				return
			}
			for _, c := range field.Codes {
				switch {
				case *c == "":
				case fresh:
					names(field.Name, *c, field.Of)
				default:
					refers(field.Name, *c, field.Of)
				}
			}
		})
	}
}

// book is the codes named so far and what each is.
type book map[string]record.Entity

func (b book) take(t *testing.T, s Step) {
	t.Helper()
	for _, f := range s.Facts {
		walk(f, func(field string, c record.Code, of []record.Entity) {
			if was, used := b[c.Fold()]; used {
				t.Errorf("%s of %v names %s again; it is a %v", f.Kind(), s.When.Time(), c, was)
			}
			b[c.Fold()] = of[0]
		}, func(field string, c record.Code, of []record.Entity) {
			kind, known := b[c.Fold()]
			switch {
			case !known:
				t.Errorf("%s of %v: %s is %s, which nothing has named yet", f.Kind(), s.When.Time(), field, c)
			case !slices.Contains(of, kind):
				t.Errorf("%s of %v: %s is %s, a %v; want one of %v", f.Kind(), s.When.Time(), field, c, kind, of)
			}
		})
	}
}

// No code is used twice or before it is named, in the order of writing: the house
// would refuse it.
func TestCodesInTheOrderOfWriting(t *testing.T) {
	named := book{}
	for _, s := range Season() {
		named.take(t, s)
		for c, want := range map[record.Code]record.Entity{s.Person: record.Person, s.Device: record.Device} {
			if kind := named[c.Fold()]; kind != want {
				t.Errorf("step of %v is by %s, a %v; want a %v", s.Written, c, kind, want)
			}
		}
	}
}

// The same in the order in which things happened, in which the house folds them.
func TestCodesInTheOrderOfHappening(t *testing.T) {
	steps := Season()
	slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(a.When.Minute, b.When.Minute) })
	named := book{}
	for _, s := range steps {
		named.take(t, s)
	}
}
