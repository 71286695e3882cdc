package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A DayBalance is what was weighed on one day, and what is still between the scales.
type DayBalance struct {
	Weighed []DayLine
	Lots    []InWork
	Open    []answer.Line // what was not written down that day
}

// A DayLine is what was weighed of one kind, of one lot or out of one vessel.
type DayLine struct {
	Kind  record.Kind
	Of    record.Code
	Times int
	Boxes int64
	Grams quantity.Gram
}

// InWork is a lot's account while it is in work: In less Out is the gap, live.
type InWork struct {
	LoadSheet
	Balance house.Balance
	Verdict string // key
	Mark    answer.Mark
}

// AccountOf is the in-process account of one lot.
func (v *View) AccountOf(lot record.Code) (w InWork, ok bool) {
	s, ok := v.LoadSheet(lot)
	if !ok {
		return w, false
	}
	t, _ := v.State.Find(lot)
	w.LoadSheet = s
	w.Balance, _ = v.State.LotBalance(t)
	w.Verdict, w.Mark = verdict(w.Balance, v.State.Setting("gap.lot", lotRule))
	return w, true
}

// LotsInWork are the accounts of the lots that came in lately and are not closed.
func (v *View) LotsInWork(today record.Day) (all []InWork) {
	for _, s := range v.LoadSheets(today) {
		if w, ok := v.AccountOf(s.Lot); ok && w.In > 0 {
			all = append(all, w)
		}
	}
	return all
}

// DayBalance answers what was weighed on a day, and which gaps stand open.
func (v *View) DayBalance(day record.Day) (b DayBalance) {
	var lots, scales, checked []record.Code
	start := false
	for _, e := range v.OfDay(day) {
		if l, ok := v.dayLine(e.Fact); ok {
			b.add(l)
		}
		record.Names(e.Fact, func(c record.Code, _ bool, _ []record.Entity) {
			if t, ok := v.State.Find(c); ok && v.State.KindOf(t) == record.Lot {
				lots = withCode(lots, v.State.Code(t))
			}
		})
		switch f := e.Fact.(type) {
		case *record.SupersReceived:
			scales = withCode(scales, f.Scale)
		case *record.WetSupersWeighed:
			scales = withCode(scales, f.Scale)
		case *record.DrumFilled:
			scales = withCode(scales, f.Scale)
		case *record.InstrumentChecked:
			checked = withCode(checked, f.Instrument)
		case *record.StartChecked:
			start = true
		}
	}
	for _, w := range v.LotsInWork(day) {
		lots = withCode(lots, w.Lot)
	}
	for _, c := range lots {
		if w, ok := v.AccountOf(c); ok && (w.In > 0 || w.Spun > 0) {
			b.Lots = append(b.Lots, w)
		}
	}
	slices.SortStableFunc(b.Lots, func(x, y InWork) int { return cmp.Compare(natural(x.Lot), natural(y.Lot)) })
	b.open(scales, checked, start)
	return b
}

// open says what a day's books lack.
func (b *DayBalance) open(scales, checked []record.Code, start bool) {
	say := func(key string, args answer.Args) {
		b.Open = append(b.Open, answer.Line{Key: key, Args: args, Mark: answer.Care})
	}
	for _, w := range b.Lots {
		if n := w.Boxes - w.In; n > 0 {
			say("page.daybalance.not-in", answer.Args{"lot": w.Lot, "n": n})
		}
		if n := w.Spun - w.Wet; n > 0 {
			say("page.daybalance.not-wet", answer.Args{"lot": w.Lot, "n": n})
		}
	}
	for _, s := range scales {
		switch {
		case s == "":
			say("page.daybalance.no-scale", nil)
		case !slices.ContainsFunc(checked, func(c record.Code) bool { return c.Fold() == s.Fold() }):
			say("page.daybalance.not-checked", answer.Args{"scale": s})
		}
	}
	spun := slices.ContainsFunc(b.Weighed, func(l DayLine) bool { return l.Kind == record.KindSupersSpun })
	if spun && !start {
		say("page.daybalance.no-start", nil)
	}
}

func withCode(all []record.Code, c record.Code) []record.Code {
	if slices.ContainsFunc(all, func(x record.Code) bool { return x.Fold() == c.Fold() }) {
		return all
	}
	return append(all, c)
}

// add puts what was weighed alike into one line.
func (b *DayBalance) add(l DayLine) {
	for i := range b.Weighed {
		if x := &b.Weighed[i]; x.Kind == l.Kind && x.Of.Fold() == l.Of.Fold() {
			x.Times, x.Boxes, x.Grams = x.Times+l.Times, x.Boxes+l.Boxes, x.Grams+l.Grams
			return
		}
	}
	b.Weighed = append(b.Weighed, l)
}

// dayLine is what a fact weighed.
func (v *View) dayLine(f record.Fact) (l DayLine, ok bool) {
	l = DayLine{Kind: f.Kind(), Times: 1}
	stacks := func(all []record.Stack) {
		l.Times = len(all)
		for i := range all {
			l.Boxes, l.Grams = l.Boxes+all[i].Boxes, l.Grams+all[i].Net()
		}
	}
	switch f := f.(type) {
	case *record.SupersReceived:
		l.Of = f.Lot
		stacks(f.Stacks)
	case *record.SupersSpun:
		l.Of, l.Boxes, l.Times = f.Lot, f.Boxes, int(max(1, f.Loads))
	case *record.WetSupersWeighed:
		l.Of = f.Lot
		stacks(f.Stacks)
	case *record.CappingsSpun:
		l.Of, l.Grams = f.Lot, f.Wet.Grams()-f.Dry.Grams()
	case *record.WaxCast:
		l.Of, l.Grams = f.Lot, f.Mass.Grams()
	case *record.MelterHoneyDrawn:
		l.Of, l.Grams = f.Lot, f.Mass.Grams()
	case *record.Skimmed:
		l.Of, l.Grams = f.From, f.Mass.Grams()
	case *record.DrumFilled:
		l.Of = f.From
		l.Grams, _ = v.State.Net(f.Net, f.Gross, f.Tare, f.Steel)
	case *record.DrumReceived:
		l.Of = f.Delivery
		l.Grams, _ = v.State.Net(f.Net, f.Gross, f.Tare, f.Steel)
	default:
		return l, false
	}
	return l, true
}
