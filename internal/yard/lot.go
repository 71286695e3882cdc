package yard

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Lot is the boxes of one lot, counted at each step.
type Lot struct {
	Code     record.Code
	Site     record.Code   // as the lot was opened
	Sites    []record.Code // where its boxes were pulled, in order
	Day      record.Day    // pulled, as the lot was opened
	Pulled   int64
	Received int64 // weighed in; boxes weighed before and after the hot room count once
	Spun     int64
	Wet      int64 // weighed out again
	Back     int64 // at sites now
	BackTo   []SiteBoxes
	Stored   int64
	InHouse  int64 // pulled - back - stored: below zero, more left than came
	Closed   bool
	Homes    []Home // of the boxes in the house and store
}

// SiteBoxes is boxes of a lot at a site.
type SiteBoxes struct {
	Site  record.Code
	Boxes int64
}

// Missing is how many boxes were pulled and not received; once the lot is closed,
// the most that any later count lacks. A count that was not made lacks nothing.
func (l Lot) Missing() int64 {
	var most int64
	for i, n := range []int64{l.Received, l.Spun, l.Wet} {
		if n > 0 && (i == 0 || l.Closed) {
			most = max(most, l.Pulled-n)
		}
	}
	return most
}

// A tally is a count with the fact that changed it last.
type tally struct {
	n  int64
	at Stamp
}

func (t *tally) add(n int64, at Stamp) { t.n, t.at = t.n+n, at }

type lot struct {
	code                    record.Code
	opened                  *record.LotOpened
	openedAt                Stamp
	sites                   []record.Code
	pulled                  tally
	before, after, unsided  tally // received, by side of the hot room
	spun, wet, back, stored tally
	closed                  bool
	out                     []SiteBoxes // at sites now
	boxes                   mix         // in the house and store
	moves                   []int32
}

func (l *lot) clone() *lot {
	c := *l
	c.sites, c.moves = slices.Clip(l.sites), slices.Clip(l.moves)
	c.out, c.boxes = slices.Clone(l.out), l.boxes.clone()
	return &c
}

func (l *lot) inHouse() int64 { return l.pulled.n - l.back.n - l.stored.n }

func (l *lot) received() int64 { return l.unsided.n + max(l.before.n, l.after.n) }

func (l *lot) addOut(c record.Code, n int64) []SiteBoxes {
	for i := range l.out {
		if l.out[i].Site.Fold() == c.Fold() {
			l.out[i].Boxes += n
			return l.out
		}
	}
	return append(l.out, SiteBoxes{c, n})
}

func (y *Yard) lot(c record.Code) *lot {
	k := c.Fold()
	l := y.lots[k]
	if l == nil {
		if y.lots == nil {
			y.lots = map[string]*lot{}
		}
		l = &lot{code: c}
		y.lots[k] = l
	}
	return l
}

func (y *Yard) foldLot(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.LotOpened:
		l := y.lot(f.Lot)
		l.opened, l.openedAt = f, stamp(e)
		y.site(f.Site)
	case *record.SupersReceived:
		l := y.lot(f.Lot)
		side := &l.unsided
		switch f.Side {
		case record.BeforeHotRoom:
			side = &l.before
		case record.AfterHotRoom:
			side = &l.after
		}
		side.add(boxes(f.Stacks), stamp(e))
	case *record.SupersSpun:
		y.lot(f.Lot).spun.add(f.Boxes, stamp(e))
	case *record.WetSupersWeighed:
		y.lot(f.Lot).wet.add(boxes(f.Stacks), stamp(e))
	case *record.LotClosed:
		y.lot(f.Lot).closed = true
	}
}

func boxes(stacks []record.Stack) int64 {
	var n int64
	for i := range stacks {
		n += stacks[i].Boxes
	}
	return n
}

// Lot returns the boxes of a lot.
func (y *Yard) Lot(c record.Code) (Lot, bool) {
	l, ok := y.lots[c.Fold()]
	if !ok {
		return Lot{}, false
	}
	v := Lot{Code: l.code, Sites: slices.Clone(l.sites), Pulled: l.pulled.n, Received: l.received(), Spun: l.spun.n, Wet: l.wet.n,
		Back: l.back.n, Stored: l.stored.n, InHouse: l.inHouse(), Closed: l.closed, Homes: l.boxes.sorted()}
	if l.opened != nil {
		v.Site, v.Day = l.opened.Site, l.opened.Pulled
	}
	for _, o := range l.out {
		if o.Boxes > 0 {
			v.BackTo = append(v.BackTo, o)
		}
	}
	return v, true
}

// Lots lists every lot that a fact has named, by code.
func (y *Yard) Lots() []Lot {
	var all []Lot
	for _, k := range slices.Sorted(maps.Keys(y.lots)) {
		l, _ := y.Lot(record.Code(k))
		all = append(all, l)
	}
	return all
}
