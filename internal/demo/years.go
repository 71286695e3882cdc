package demo

import (
	"fmt"

	"combline/internal/record"
)

// Years is the season n times over, each copy a season later and with numbers of its
// own, as entries ready to be written: what a house has after years, for measuring.
// yield gets the entries in the order of writing, until it says false.
func Years(n int, yield func(record.Entry) bool) {
	seq := uint64(0)
	for year := range n {
		shift := int64(year) * 260 * 24 * 60 // minutes
		for i, s := range Season() {
			var key record.Key
			copy(key[:], fmt.Sprintf("%08d%08d", year, i))
			when := s.When
			when.Minute += shift
			for part, f := range s.Facts {
				if year > 0 {
					f = renumbered(f, fmt.Sprintf("·%d", year))
				}
				seq++
				e := record.Entry{Seq: seq, Batch: key, Part: uint32(part), Parts: uint32(len(s.Facts)),
					WrittenMS: s.Written.UnixMilli() + shift*60_000, When: when, Person: s.Person, Device: s.Device, Fact: f}
				if !yield(e) {
					return
				}
			}
		}
	}
}

// renumbered is a copy of a fact in which every code has a year's mark.
func renumbered(original record.Fact, mark string) record.Fact {
	b, err := record.Marshal(original)
	if err != nil {
		panic(err)
	}
	f, err := record.Unmarshal(string(b))
	if err != nil {
		panic(err)
	}
	record.Visit(f, func(x record.Field) {
		for _, c := range x.Codes {
			if *c != "" {
				*c += record.Code(mark)
			}
		}
	})
	switch f := f.(type) {
	case *record.Cased:
		f.Cases.Prefix += mark
	case *record.Palletised:
		for i := range f.Cases {
			f.Cases[i].Prefix += mark
		}
	case *record.Sent:
		for i := range f.Lines {
			if f.Lines[i].Cases.First > 0 {
				f.Lines[i].Cases.Prefix += mark
			}
		}
	}
	return f
}
