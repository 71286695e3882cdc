package office

import (
	"combline/internal/quantity"
	"combline/internal/record"
)

// A Weighing is one stack as it stood on the scale, in or out.
type Weighing struct {
	Lot   record.Code
	Boxes int64
	Gross record.Weight
	Tray  record.Weight
	Net   quantity.Gram
	Side  record.HotRoomSide
	Scale record.Code
	When  record.When
	Fact  uint64
	Alone bool // the only stack of its fact, so that an undo takes back this one
}

// Weighings lists the stacks that were weighed on a day, the latest first: full ones
// in, or wet ones out.
func (v *View) Weighings(day record.Day, out bool) (all []Weighing) {
	facts := v.OfDay(day)
	for i := len(facts) - 1; i >= 0; i-- {
		all = append(all, weighings(facts[i], out)...)
	}
	return all
}

// weighings are a fact's stacks, the last first; none when it is of another kind.
func weighings(e record.Entry, out bool) (all []Weighing) {
	w := Weighing{When: e.When, Fact: e.Seq}
	var stacks []record.Stack
	switch f := e.Fact.(type) {
	case *record.SupersReceived:
		if out {
			return nil
		}
		w.Lot, w.Side, w.Scale, stacks = f.Lot, f.Side, f.Scale, f.Stacks
	case *record.WetSupersWeighed:
		if !out {
			return nil
		}
		w.Lot, w.Scale, stacks = f.Lot, f.Scale, f.Stacks
	}
	w.Alone = len(stacks) == 1
	for i := len(stacks) - 1; i >= 0; i-- {
		w.Boxes, w.Gross, w.Tray, w.Net = stacks[i].Boxes, stacks[i].Gross, stacks[i].Tray, stacks[i].Net()
		all = append(all, w)
	}
	return all
}

// LastWeighing is the last stack that was weighed of any lot, so that the next form
// begins with its boxes, tray and scale. It is looked for in lots of the last weeks.
func (v *View) LastWeighing(today record.Day, out bool) (last Weighing, ok bool) {
	if all := v.Weighings(today, out); len(all) > 0 {
		return all[0], true
	}
	for _, s := range v.LoadSheets(today) {
		for _, e := range v.Mentions(s.Lot) {
			if all := weighings(e, out); len(all) > 0 && (!ok || e.When.Minute >= last.When.Minute) {
				last, ok = all[0], true
			}
		}
	}
	return last, ok
}
