package office

import (
	"combline/internal/house"
	"combline/internal/record"
)

// OfDay lists the facts that happened on a day, in the order in which they happened,
// as they are now said to have been. Struck facts are left out.
func (v *View) OfDay(day record.Day) (all []record.Entry) {
	from := int64(day) * minutesADay
	at := v.line.Place(&record.Entry{When: record.When{Minute: from - furthestZone}})
	at = max(0, at-len(v.State.Corrections())) // one that a correction moved may stand earlier
	for step, err := range v.line.From(at, v.log.read) {
		if err != nil {
			return all // what can't be read is told when the house is opened
		}
		e := step.Entry
		if e.When.Minute > from+minutesADay+furthestZone {
			return all
		}
		if !step.Struck && DayOf(e.When) == day && corrects(e.Fact) == 0 {
			all = append(all, e)
		}
	}
	return all
}

const (
	minutesADay  = 24 * 60
	furthestZone = 14 * 60 // minutes that a clock's zone is from UTC at most
)

// DayOf is the calendar day of a moment where it happened.
func DayOf(w record.When) record.Day {
	m := w.Minute + int64(w.Offset)
	d := m / minutesADay
	if m%minutesADay < 0 {
		d--
	}
	return record.Day(d)
}

// Mentions lists the facts that bear a thing's code, in the order of folding, as they
// are now said to have been.
func (v *View) Mentions(code record.Code) (all []record.Entry) {
	t, ok := v.State.Find(code)
	if !ok {
		return nil
	}
	for _, seq := range v.State.Mentions(t) {
		if e, ok := v.AsNow(uint64(seq)); ok {
			all = append(all, e)
		}
	}
	return all
}

// lookBack is how many facts of one thing are looked through for the last of a kind:
// some weeks of the busiest machine.
const lookBack = 400

// back lends the last facts that bear a thing's code, the latest first, as they are now
// said to have been, until see has seen enough. It reports whether there are more.
func (v *View) back(t house.Thing, see func(record.Entry) (enough bool)) (more bool) {
	all := v.State.Mentions(t)
	for i := len(all) - 1; i >= 0; i-- {
		if len(all)-i > lookBack {
			return true
		}
		if e, ok := v.AsNow(uint64(all[i])); ok && see(e) {
			return false
		}
	}
	return false
}

// AsNow is a fact as it is now said to have been; false when it was struck.
func (v *View) AsNow(seq uint64) (record.Entry, bool) {
	e, err := v.Fact(seq)
	if err != nil || corrects(e.Fact) != 0 {
		return e, false
	}
	c, ok := v.Corrected(seq)
	if !ok {
		return e, true
	}
	if c.Struck {
		return e, false
	}
	by, err := v.Fact(c.By)
	a, is := by.Fact.(*record.Amended)
	if err != nil || !is {
		return e, false
	}
	if e.Fact, err = record.Unmarshal(string(a.With)); err != nil {
		return e, false
	}
	if a.When != (record.When{}) {
		e.When = a.When
	}
	return e, true
}
