package fill

import "fmt"

// A Slot is what was filled between two checks of a nozzle: slot k ends with
// check k.
type Slot struct {
	Jars    int64   // of all nozzles
	Nozzles []int64 // of each nozzle; nil: not counted apart, then equal parts
	Mark    string  // lot mark on these jars; slots may share one
}

// At says which jars a nozzle's drift puts at risk, and what they can be told by.
type AtRisk struct {
	Nozzle   int
	LastGood int   // the check up to which all is well; 0: none, so from the start
	First    int   // slots First to Last are at risk
	Last     int   // the same
	Own      int64 // jars of that nozzle, rounded up
	All      int64 // jars of all nozzles in those slots
	Held     int64 // jars to hold: Own if the nozzle is marked on the jar, else All
	Marks    []MarkRange
	Marked   int64 // jars that bear those marks: what a recall by mark has to find
}

// A MarkRange is consecutive slots with one lot mark.
type MarkRange struct {
	Mark        string
	First, Last int   // slots
	Jars        int64 // of all nozzles
}

// Risk says how far back to go: from after the last good check of the nozzle to
// slot now. A good check is one at or before the estimated start of the drift in
// which the nozzle raised no alarm. If jars do not show which nozzle filled them, all
// nozzles' jars are held; if the mark is the same on earlier or later slots, those
// jars cannot be told from the ones at risk and count among the marked. A list may
// be too long, never too short: parts of a jar are rounded up.
func Risk(slots []Slot, nozzle, nozzles, lastGood, now int, nozzleShown bool) (AtRisk, error) {
	switch {
	case nozzles < 1 || nozzles > mostNozzles || nozzle < 1 || nozzle > nozzles:
		return AtRisk{}, fmt.Errorf("nozzle %d of %d, want 1 to the filler's number: %w", nozzle, nozzles, ErrOutOfRange)
	case now < 1 || now > len(slots) || lastGood < 0 || lastGood >= now:
		return AtRisk{}, fmt.Errorf("from check %d to check %d of %d, want the last good check before the latest: %w", lastGood, now, len(slots), ErrOutOfRange)
	}
	a := AtRisk{Nozzle: nozzle, LastGood: lastGood, First: lastGood + 1, Last: now}
	var rest int64 // nozzle parts not counted apart, in jars × 1/nozzles
	for i, s := range slots[lastGood:now] {
		if s.Jars < 0 || s.Nozzles != nil && len(s.Nozzles) != nozzles {
			return AtRisk{}, fmt.Errorf("slot %d has %d jars of %d nozzles, want 0 or more of %d: %w", lastGood+i+1, s.Jars, len(s.Nozzles), nozzles, ErrOutOfRange)
		}
		a.All += s.Jars
		if s.Nozzles != nil {
			a.Own += s.Nozzles[nozzle-1]
		} else {
			rest += s.Jars
		}
	}
	a.Own += (rest + int64(nozzles) - 1) / int64(nozzles)
	a.Held = a.All
	if nozzleShown {
		a.Held = a.Own
	}
	a.byMark(slots)
	return a, nil
}

// byMark widens the slots at risk to all that bear the same marks.
func (a *AtRisk) byMark(slots []Slot) {
	at := map[string]bool{}
	for _, s := range slots[a.First-1 : a.Last] {
		at[s.Mark] = true
	}
	for i, s := range slots {
		if !at[s.Mark] {
			continue
		}
		a.Marked += s.Jars
		if n := len(a.Marks); n > 0 && a.Marks[n-1].Mark == s.Mark && a.Marks[n-1].Last == i {
			a.Marks[n-1].Last, a.Marks[n-1].Jars = i+1, a.Marks[n-1].Jars+s.Jars
			continue
		}
		a.Marks = append(a.Marks, MarkRange{s.Mark, i + 1, i + 1, s.Jars})
	}
}

// Range gives the jars at risk as numbers in the order filled, from 1, for the
// cases and pallets that hold them.
func (a *AtRisk) Range(slots []Slot) (first, last int64) {
	for i, s := range slots[:a.Last] {
		if i < a.First-1 {
			first += s.Jars
		}
		last += s.Jars
	}
	return first + 1, last
}

// Holding is which cases of so many jars, or pallets of so many cases, hold units
// first to last when they are packed in order: a case that is only partly at risk
// is one of them.
func Holding(first, last, size int64) (from, to, count int64, err error) {
	if first < 1 || last < first || size < 1 {
		return 0, 0, 0, fmt.Errorf("units %d to %d in cases of %d, want 1 or more of each, in order: %w", first, last, size, ErrOutOfRange)
	}
	from, to = (first-1)/size+1, (last-1)/size+1
	return from, to, to - from + 1, nil
}

// LastGood is the last check of the nozzle up to which all is well: at or before the
// estimated start of its drift, and before its alarm. early takes the early end of
// the estimate's interval in place of the estimate. Without an alarm it is the latest
// check.
func (w *Watch) LastGood(early bool) (int64, error) {
	if w.first.Check == 0 {
		return w.checks, nil
	}
	c, err := w.ChangePoint()
	if err != nil {
		return 0, err
	}
	at := c.After
	if early {
		at = c.Low
	}
	return min(at, w.first.Check-1), nil
}
