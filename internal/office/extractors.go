package office

import (
	"slices"
	"strings"

	"combline/internal/record"
)

// An Extractor is one machine with the lot that it spins now and its loads today.
type Extractor struct {
	Machine record.Code
	What    string
	Lot     record.Code // of its last load, when that lot is still open
	Last    record.When // zero: never
	Boxes   int64       // of its last load, on average
	With    []record.Code
	Today   int64 // loads
	Spun    int64 // boxes today
	Drained bool  // drained or cleaned since its last load
	Shared  bool  // its loads were written down for several machines together
}

// Extractors lists the machines that spin: those whose name or kind says so with one
// of the words given, or, when none does, every machine that a load was written for.
func (v *View) Extractors(today record.Day, words []string) (all []Extractor) {
	var others []Extractor
	for _, t := range v.State.OfKind(record.Machine) {
		named, ok := v.State.Named(t).(*record.MachineNamed)
		if !ok {
			continue
		}
		x := v.extractor(Extractor{Machine: v.State.Code(t), What: named.What}, today)
		if says(named, words) {
			all = append(all, x)
		} else if x.Last != (record.When{}) {
			others = append(others, x)
		}
	}
	if len(all) == 0 {
		all = others
	}
	for i := range all { // a load's other extractors did not work on it alone
		all[i].Shared = slices.ContainsFunc(all[i].With, func(c record.Code) bool { return isOne(all, c) })
		all[i].With = slices.DeleteFunc(all[i].With, func(c record.Code) bool { return isOne(all, c) })
	}
	return all
}

func says(m *record.MachineNamed, words []string) bool {
	text := strings.ToLower(m.What + " " + string(m.Machine))
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, strings.ToLower(w)) })
}

func isOne(all []Extractor, c record.Code) bool {
	return slices.ContainsFunc(all, func(x Extractor) bool { return x.Machine.Fold() == c.Fold() })
}

// extractor adds what was written down of a machine's loads, from the last one back to
// the first of the day.
func (v *View) extractor(x Extractor, today record.Day) Extractor {
	t, _ := v.State.Find(x.Machine)
	all := v.State.Mentions(t)
	for i := len(all) - 1; i >= 0; i-- {
		e, ok := v.AsNow(uint64(all[i]))
		if !ok {
			continue
		}
		never := x.Last == (record.When{})
		switch f := e.Fact.(type) {
		case *record.Cleaned:
			x.Drained = x.Drained || never
		case *record.SupersSpun:
			loads := max(1, f.Loads)
			if never {
				x.Lot, x.Last, x.Boxes = f.Lot, e.When, (f.Boxes+loads-1)/loads
				for _, m := range f.Machines {
					if m.Fold() != x.Machine.Fold() {
						x.With = append(x.With, m)
					}
				}
			}
			if DayOf(e.When) == today {
				x.Today, x.Spun = x.Today+loads, x.Spun+f.Boxes
			} else {
				i = 0
			}
		}
	}
	if s, ok := v.LoadSheet(x.Lot); !ok || s.Closed {
		x.Lot = ""
	}
	return x
}
