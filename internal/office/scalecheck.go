package office

import (
	"cmp"
	"math"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A ScaleVerdict is a check of a scale with a known mass, against what a scale of its
// class may err in service.
type ScaleVerdict struct {
	Scale  record.Code
	Known  bool // the limit is known: the scale's division was written down
	LimitG float64
	OffG   float64 // read less the mass
	InTime bool
	Class  standard.ScaleClass
	Cite   standard.Cite
}

// InOrder reports whether the scale keeps its limit.
func (v ScaleVerdict) InOrder() bool { return v.Known && math.Abs(v.OffG) <= v.LimitG+1e-9 }

// JudgeScale judges one reading of a known mass. Where a scale's class is not written
// down it is taken for III, or II where it has more divisions than III allows.
func (v *View) JudgeScale(scale record.Code, against, read quantity.Figure) (s ScaleVerdict) {
	t, ok := v.State.Find(scale)
	named, is := v.State.Named(t).(*record.InstrumentNamed)
	a, bad1 := against.In(quantity.G)
	r, bad2 := read.In(quantity.G)
	if !ok || !is || bad1 != nil || bad2 != nil {
		return s
	}
	s.Scale, s.OffG, s.Class = v.State.Code(t), r-a, standard.ClassIII
	e, ok := divisionOf(named)
	if !ok {
		return s
	}
	if most, err := named.Capacity.In(quantity.G); err == nil && named.Capacity.Given() && most/e.Grams() > 10_000 {
		s.Class = standard.ClassII
	}
	load, err := standard.MicrogramsOf(a)
	if err != nil {
		return s
	}
	limit, err := standard.ScaleErrorOf(s.Class, e, load)
	if err != nil {
		return s
	}
	s.LimitG, s.Cite, s.Known = limit.InService.Grams(), limit.Cite, true
	return s
}

// WeighedSince lists what was weighed with a scale after its last good check: lots,
// fillings and lot marks that a hold can be set on. good is false when there is no good
// check at all; then it is all that was ever weighed with it.
func (v *View) WeighedSince(scale record.Code) (codes []record.Code, since record.When, good bool) {
	for _, e := range v.Mentions(scale) {
		if f, ok := e.Fact.(*record.InstrumentChecked); ok {
			if v.goodCheck(f) {
				codes, since, good = nil, e.When, true
			}
			continue
		}
		v.weighedIn(e, func(c record.Code) { codes = withCode(codes, c) })
	}
	return codes, since, good
}

// goodCheck reports whether a check found its scale in order: as the person said, and
// within the limit where that is known.
func (v *View) goodCheck(f *record.InstrumentChecked) bool {
	s := v.JudgeScale(f.Instrument, f.Against, f.Read)
	return f.InOrder != record.No && (s.InOrder() || !s.Known && f.InOrder == record.Yes)
}

// weighedIn gives what an entry says was weighed.
func (v *View) weighedIn(e record.Entry, add func(record.Code)) {
	switch f := e.Fact.(type) {
	case *record.SupersReceived:
		add(f.Lot)
	case *record.WetSupersWeighed:
		add(f.Lot)
	case *record.WaxCast:
		add(f.Lot)
	case *record.DrumFilled:
		add(cmp.Or(f.Filling, f.Steel))
	case *record.DrumReceived:
		add(cmp.Or(f.Filling, f.Steel))
	case *record.NozzlesChecked:
		v.marksUpTo(f.Run, e.When, add)
	case *record.StreamRead:
		v.marksUpTo(f.Of, e.When, add)
	case *record.Regraded:
		add(f.To)
	}
}

// marksUpTo gives the lot marks of a run that stand for a check: what was booked since
// the half-hour before it.
func (v *View) marksUpTo(run record.Code, at record.When, add func(record.Code)) {
	const before = 30 // minutes
	for _, e := range v.Mentions(run) {
		if f, ok := e.Fact.(*record.JarsFilled); ok && e.When.Minute > at.Minute-before {
			add(f.Batch)
		}
	}
}

// ScaleRight answers whether a scale is right, and if not, what is in doubt.
func (o *Office) ScaleRight(scale record.Code) (a answer.Answer) {
	o.Read(func(v *View) { a = v.ScaleRight(scale) })
	return a
}

// ScaleRight is [Office.ScaleRight] on a view.
func (v *View) ScaleRight(scale record.Code) answer.Answer {
	a := answer.Answer{Question: "scale", Of: v.properCode(scale)}
	t, ok := v.State.Find(scale)
	if !ok || v.State.KindOf(t) != record.Instrument {
		a.Cannot = &answer.Line{Key: "fill.no-instrument", Args: answer.Args{"of": scale, "near": v.instruments()}}
		return a
	}
	var last *record.Entry
	for _, e := range v.Mentions(scale) {
		if _, ok := e.Fact.(*record.InstrumentChecked); ok {
			x := e
			last = &x
		}
	}
	if last == nil {
		a.Cannot = &answer.Line{Key: "scale.never", Args: answer.Args{"of": a.Of}}
		a.Then("next.scale.check", answer.Args{"of": a.Of})
		return a
	}
	f := last.Fact.(*record.InstrumentChecked)
	s := v.JudgeScale(scale, f.Against, f.Read)
	args := answer.Args{"of": a.Of, "read": f.Read, "against": f.Against, "at": last.When, "off": finest(s.OffG), "limit": finest(s.LimitG)}
	bad := f.InOrder == record.No || s.Known && !s.InOrder()
	switch {
	case bad && !s.Known:
		a.Lines = append(a.Lines, answer.Line{Key: "scale.off-said", Args: args, Mark: answer.Bad})
	case bad:
		a.Lines = append(a.Lines, answer.Line{Key: "scale.off", Args: args, Mark: answer.Bad})
	case !s.Known:
		a.Lines = append(a.Lines, answer.Line{Key: "scale.no-limit", Args: args, Mark: answer.Care})
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "scale.right", Args: args, Mark: answer.Good})
	}
	if DayOf(last.When) != record.DayOf(v.newest().Time()) && !bad {
		a.Warn("scale.not-today", args)
	}
	if bad {
		v.inDoubt(&a, scale)
	}
	if s.Known {
		a.Follows("follows.scale", answer.Args{"class": s.Class.String(), "set": s.Cite.ID(), "place": s.Cite.Place})
	}
	v.restsOnRecord(&a)
	return a
}

func (v *View) instruments() (all []record.Code) {
	for _, t := range v.State.OfKind(record.Instrument) {
		all = append(all, v.State.Code(t))
	}
	return all
}

// newest is when the last entry was written, on its own clock.
func (v *View) newest() record.When {
	e, err := v.Fact(v.Facts())
	if err != nil {
		return record.When{}
	}
	return record.When{Minute: e.WrittenMS / 60_000, Offset: e.When.Offset, Precision: record.ToMinute}
}

// inDoubt lists what was weighed since the last good check, and asks to hold it.
func (v *View) inDoubt(a *answer.Answer, scale record.Code) {
	codes, since, good := v.WeighedSince(scale)
	if !good {
		a.Warn("scale.no-good-check", answer.Args{"of": a.Of})
	}
	t := a.Table("weighed-since", "of", "kind", "held")
	held := v.held()
	open := false
	for _, c := range codes {
		on := false
		for _, n := range v.State.RootsOf(c) {
			on = on || held.Blocked(n)
		}
		open = open || !on
		x, _ := v.State.Find(c)
		t.Row(answer.Care, c, answer.Key(v.State.KindOf(x).Key()), on)
	}
	switch {
	case len(codes) == 0:
		a.Say("scale.nothing-weighed", answer.Args{"since": since})
	case open:
		a.Then("next.scale.hold", answer.Args{"n": int64(len(codes))})
	}
}

// Holdable are those of the codes that something can still be held of: what is there in
// the house, and on no hold yet.
func (v *View) Holdable(codes []record.Code) (all []record.Code) {
	held := v.held()
	for _, c := range codes {
		for _, n := range v.State.RootsOf(c) {
			if !held.Blocked(n) {
				all = append(all, c)
				break
			}
		}
	}
	return all
}
