package office

import (
	"cmp"
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
)

// A LoadSheet is a lot that was pulled, with what of it has been weighed.
type LoadSheet struct {
	Lot      record.Code
	Site     record.Code
	Pulled   record.Day
	Honey    string
	Boxes    int64 // pulled; 0: nobody wrote it down
	In       int64 // weighed in
	Spun     int64
	Wet      int64 // weighed out again
	GrossIn  quantity.Gram
	WetOut   quantity.Gram
	Closed   bool
	Complete bool // all that was pulled was weighed in
}

// lately is how long a lot that is not fully received stays among the load sheets; a
// stack stands in the hot room for two days, and rain makes that a week or two
// (common practice, no source).
const lately = 21

// LoadSheets lists the lots of the last weeks that are not closed: those with boxes
// still to weigh in first, the latest pull before the earlier.
func (v *View) LoadSheets(today record.Day) (all []LoadSheet) {
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || l.Closed || l.Opened.Pulled < today-lately || l.Opened.Pulled > today {
			continue
		}
		if s, ok := v.LoadSheet(v.State.Code(t)); ok {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(a, b LoadSheet) int {
		return cmp.Or(later(a.Complete, b.Complete), cmp.Compare(b.Pulled, a.Pulled), cmp.Compare(natural(a.Lot), natural(b.Lot)))
	})
	return all
}

// later puts what is true after what is not.
func later(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// LoadSheet is one lot with what of it has been weighed.
func (v *View) LoadSheet(lot record.Code) (s LoadSheet, ok bool) {
	t, ok := v.State.Find(lot)
	if !ok {
		return s, false
	}
	l, ok := v.State.Lot(t)
	if !ok {
		return s, false
	}
	s = LoadSheet{Lot: v.State.Code(t), Site: l.Opened.Site, Pulled: l.Opened.Pulled, Honey: l.Opened.Honey, GrossIn: l.GrossIn, WetOut: l.WetOut, Closed: l.Closed}
	if y, ok := v.State.Yard.Lot(lot); ok {
		s.Boxes, s.In, s.Spun, s.Wet = y.Pulled, y.Received, y.Spun, y.Wet
	}
	s.Complete = s.Boxes > 0 && s.In >= s.Boxes
	return s, true
}
