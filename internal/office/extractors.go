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
	var named []*record.MachineNamed
	for _, t := range v.State.OfKind(record.Machine) {
		if m, ok := v.State.Named(t).(*record.MachineNamed); ok {
			named = append(named, m)
		}
	}
	for _, m := range named {
		if says(m, words) {
			all = append(all, v.extractor(Extractor{Machine: m.Machine, What: m.What}, today))
		}
	}
	any := len(all) > 0
	for i := 0; !any && i < len(named); i++ {
		if x := v.extractor(Extractor{Machine: named[i].Machine, What: named[i].What}, today); x.Last != (record.When{}) {
			all = append(all, x)
		}
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
	v.back(t, func(e record.Entry) bool {
		never := x.Last == (record.When{})
		switch f := e.Fact.(type) {
		case *record.Cleaned:
			x.Drained = x.Drained || never
		case *record.SupersSpun:
			if never {
				x.last(f, e.When)
			}
			if DayOf(e.When) != today {
				return true
			}
			x.Today, x.Spun = x.Today+max(1, f.Loads), x.Spun+f.Boxes
		}
		return false
	})
	if s, ok := v.LoadSheet(x.Lot); !ok || s.Closed {
		x.Lot = ""
	}
	return x
}

// last is the machine's last load.
func (x *Extractor) last(f *record.SupersSpun, at record.When) {
	loads := max(1, f.Loads)
	x.Lot, x.Last, x.Boxes = f.Lot, at, (f.Boxes+loads-1)/loads
	for _, m := range f.Machines {
		if m.Fold() != x.Machine.Fold() {
			x.With = append(x.With, m)
		}
	}
}
