package office

import (
	"cmp"
	"slices"

	"combline/internal/fill"
	"combline/internal/record"
)

// A FillRisk is the jars that a nozzle's drift puts at risk: all since its last good
// check, and all nozzles' when the jars do not show which one filled them.
type FillRisk struct {
	Nozzle    int
	Low       bool  // it fell; otherwise it rose
	Good      int64 // the last good check; 0: none
	GoodMS    int64 // when, or the start of the run
	Caught    int64 // check at which the alarm began
	CaughtMS  int64
	Change    fill.Change
	Own, All  int64
	Held      int64 // of these: Own where the mark shows the nozzle, else All
	Counted   bool  // jars were counted or booked
	ThenAll   int64 // All when the alarm began
	ThenOwn   int64
	Marks     []record.Code
	Marked    int64 // jars that bear these marks
	Cases     []record.Cases
	CaseCount int64
	Pallets   []record.Code
	Gone      int64 // cases that have left the house
	OnHold    bool  // a hold is on all these marks
	Sorted    bool  // they were held once, and are released
}

// risks are the jars at risk of every nozzle whose alarm stands.
func (b *FillBook) risks() (all []FillRisk) {
	for n := 1; n < len(b.nozzles); n++ {
		if x := &b.nozzles[n]; x.caught != nil {
			all = append(all, b.risk(n))
		}
	}
	return all
}

func (b *FillBook) risk(n int) FillRisk {
	x := &b.nozzles[n]
	w, _ := b.line.Nozzle(n)
	r := FillRisk{Nozzle: n, Caught: x.caught.point.Check, CaughtMS: x.caught.point.AtMS, Low: w.Alarm().Signals.Has(fill.Low), Counted: true, GoodMS: b.Spec.StartMS}
	r.Change, _ = w.ChangePoint()
	// what is known now may put the start earlier than what was known when it was caught
	good := x.caught.lastGood
	if now := max(r.Change.After, int64(r.Change.At)); r.Change.Gain > 0 && now < good {
		good = now
	}
	if b.jars > 0 {
		b.streamRisk(&r, x, good)
	} else {
		b.checkRisk(&r, x, good)
	}
	return r
}

// streamRisk counts jars of a stream since the last good check.
func (b *FillBook) streamRisk(r *FillRisk, x *nozzleBook, good int64) {
	since := func(check int64) (all, own, ms int64) {
		if p, ok := x.points.find(check); ok {
			return p.All, p.Own, p.AtMS
		}
		return 0, 0, b.Spec.StartMS // further back than what is kept: the run from its start
	}
	all, own, ms := since(good)
	if ms > b.Spec.StartMS {
		r.Good = good
	}
	r.GoodMS = ms
	r.All, r.Own = b.jars-all, x.count.Jars-own
	r.ThenAll, r.ThenOwn = x.caught.point.All-all, x.caught.point.Own-own
	if x.caught.known {
		a, o, _ := since(x.caught.lastGood)
		r.ThenAll, r.ThenOwn = x.caught.point.All-a, x.caught.point.Own-o
	}
	r.Held = r.All
	if b.Spec.NozzleShown {
		r.Held = r.Own
	}
	for i := range b.slots {
		if b.slots[i].ToMS > ms {
			r.addMarks(&b.slots[i])
		}
	}
}

// checkRisk counts the jars of half-hours since the last good check.
func (b *FillBook) checkRisk(r *FillRisk, x *nozzleBook, good int64) {
	last := 0 // slots up to the last good check
	if p, ok := x.points.find(good); ok && good > 0 {
		last = p.Slot + 1 - b.early.slots
		r.Good, r.GoodMS = b.slots[last-1].Check, p.AtMS
	}
	then := x.caught.point.Slot + 1 - b.early.slots
	r.Caught = b.slots[then-1].Check
	slots := make([]fill.Slot, len(b.slots))
	for i := range b.slots {
		slots[i].Jars = b.slots[i].Jars
		if i >= last {
			r.Counted = r.Counted && b.slots[i].Counted
			r.addMarks(&b.slots[i])
		}
	}
	n := max(1, b.used())
	if a, err := fill.Risk(slots, min(r.Nozzle, n), n, min(last, len(slots)-1), len(slots), b.Spec.NozzleShown); err == nil {
		r.All, r.Own, r.Held = a.All, a.Own, a.Held
	}
	lastThen := last
	if p, ok := x.points.find(x.caught.lastGood); ok && x.caught.known {
		lastThen = p.Slot + 1 - b.early.slots
	}
	if a, err := fill.Risk(slots, min(r.Nozzle, n), n, min(lastThen, then-1), then, b.Spec.NozzleShown); err == nil {
		r.ThenAll, r.ThenOwn = a.All, a.Own
	}
}

func (r *FillRisk) addMarks(s *FillSlot) {
	for _, m := range s.Marks {
		r.Marks = withCode(r.Marks, m)
	}
}

// places says in which cases and on which pallets the marks of a risk are, and whether
// they are held.
func (v *View) places(r *FillRisk) {
	held := v.held()
	r.OnHold, r.Sorted = len(r.Marks) > 0, len(r.Marks) > 0
	var gone []record.Cases
	for _, m := range r.Marks {
		r.Marked += v.State.UnitsMade(m)
		on := false
		for _, n := range v.State.RootsOf(m) {
			on = on || held.Blocked(n)
		}
		r.OnHold, r.Sorted = r.OnHold && on, r.Sorted && !on && v.wasRoot(m)
		for _, c := range v.State.Goods.CasesOf(m) {
			r.Cases = append(r.Cases, c.Cases)
			if c.Gone {
				gone = append(gone, c.Cases)
			}
			if c.Pallet != "" {
				r.Pallets = withCode(r.Pallets, c.Pallet)
			}
		}
	}
	r.Cases, r.CaseCount = mergeCases(r.Cases)
	_, r.Gone = mergeCases(gone)
	slices.SortFunc(r.Pallets, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
}

// wasRoot reports whether a hold was ever set on a lot mark itself.
func (v *View) wasRoot(mark record.Code) bool {
	for _, h := range v.State.Holds() {
		for _, c := range h.RootCodes {
			if c.Fold() == mark.Fold() {
				return true
			}
		}
	}
	return false
}

// mergeCases joins ranges of cases that meet, and counts each case once.
func mergeCases(all []record.Cases) (out []record.Cases, count int64) {
	slices.SortFunc(all, func(a, b record.Cases) int {
		return cmp.Or(cmp.Compare(a.Prefix, b.Prefix), cmp.Compare(a.First, b.First), cmp.Compare(a.Last, b.Last))
	})
	for _, c := range all {
		if n := len(out); n > 0 && out[n-1].Prefix == c.Prefix && c.First <= out[n-1].Last+1 {
			out[n-1].Last = max(out[n-1].Last, c.Last)
			continue
		}
		out = append(out, c)
	}
	for _, c := range out {
		count += c.Count()
	}
	return out, count
}
