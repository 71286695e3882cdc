package yard

import (
	"slices"

	"combline/internal/record"
)

// A MoveKind is how boxes moved.
type MoveKind uint8

const (
	Placed   MoveKind = iota + 1 // onto the hives of a site
	Pulled                       // off the hives of a site, for a lot, to the house
	SentBack                     // from the house to a site, for a lot
	Stored                       // put away in the house, for a lot
)

// String is the kind's stable key.
func (k MoveKind) String() string {
	return [...]string{"", "placed", "pulled", "sent_back", "stored"}[k]
}

// A Move is boxes that moved.
type Move struct {
	Kind  MoveKind
	Site  record.Code // the site; none when stored
	Lot   record.Code // none when placed
	Home  record.Code // placed: the site that the boxes belong to, as written down
	Place record.Code // stored: where
	Boxes int64
	Homes []Home // whose boxes they are, as far as it is known
	Marks []record.Marks
	Stamp
}

func (y *Yard) move(m Move) int32 {
	y.moves = append(y.moves, m)
	return int32(len(y.moves) - 1)
}

// counts reports whether a number of boxes can be; if not it is an oddity.
func (y *Yard) counts(n int64, f Flag) bool {
	if n > 0 && n < maxMark {
		return true
	}
	f.Key, f.Boxes = FlagCountOdd, n
	y.odd = append(y.odd, f)
	return false
}

func (y *Yard) placed(f *record.SupersPlaced, at Stamp) {
	s := y.site(f.Site)
	if !y.counts(f.Boxes, Flag{Site: f.Site, Stamp: at}) {
		return
	}
	var came mix
	if f.From != "" {
		y.site(f.From)
		came.add(f.Boxes, []Home{{f.From, f.Boxes, f.Boxes}})
	} else {
		came.homes = y.homesOf(f.Boxes, f.Marks)
		known := int64(0)
		for _, h := range came.homes {
			known += h.Most
		}
		if rest := f.Boxes - known; rest > 0 {
			came.add(0, []Home{{"", rest, rest}})
		}
	}
	s.boxes.add(f.Boxes, came.homes)
	s.placed, s.touched = true, true
	y.exposeBoxes(s, at)
	at32 := y.move(Move{Kind: Placed, Site: s.code, Home: f.From, Boxes: f.Boxes, Homes: came.sorted(), Marks: f.Marks, Stamp: at})
	s.moves = append(s.moves, at32)
}

func (y *Yard) pulled(f *record.SupersPulled, at Stamp) {
	s, l := y.site(f.Site), y.lot(f.Lot)
	if !y.counts(f.Boxes, Flag{Site: f.Site, Lot: f.Lot, Stamp: at}) {
		return
	}
	if over := f.Boxes - s.boxes.total; over > 0 && s.placed {
		s.short, s.shortAt = s.short+over, at
	}
	went := mix{homes: s.boxes.take(f.Boxes, y.homesOf(f.Boxes, f.Marks))}
	s.touched = true
	s.emptied(at.Day())
	if s.placed && s.boxes.total == 0 && s.ripeAt.When.Minute <= at.When.Minute {
		s.ripe, s.ripeAt = nil, Stamp{} // what was read is off the hives: it says nothing of the boxes to come
	}
	l.boxes.add(f.Boxes, went.homes)
	l.pulled.add(f.Boxes, at)
	if !slices.ContainsFunc(l.sites, func(c record.Code) bool { return c.Fold() == f.Site.Fold() }) {
		l.sites = append(l.sites, s.code)
	}
	at32 := y.move(Move{Kind: Pulled, Site: s.code, Lot: l.code, Boxes: f.Boxes, Homes: went.sorted(), Marks: f.Marks, Stamp: at})
	s.moves, l.moves = append(s.moves, at32), append(l.moves, at32)
}

func (y *Yard) sentBack(f *record.SupersSentBack, at Stamp) {
	s, l := y.site(f.Site), y.lot(f.Lot)
	if !y.counts(f.Boxes, Flag{Site: f.Site, Lot: f.Lot, Stamp: at}) {
		return
	}
	fromHouse := min(max(0, l.inHouse()), f.Boxes)
	l.stored.n -= min(l.stored.n, f.Boxes-fromHouse) // then from the store
	l.out = l.addOut(s.code, f.Boxes)
	l.back.add(f.Boxes, at)
	went := mix{homes: l.boxes.take(f.Boxes, y.homesOf(f.Boxes, f.Marks))}
	s.boxes.add(f.Boxes, went.homes)
	s.touched = true
	y.exposeBoxes(s, at)
	at32 := y.move(Move{Kind: SentBack, Site: s.code, Lot: l.code, Boxes: f.Boxes, Homes: went.sorted(), Marks: f.Marks, Stamp: at})
	s.moves, l.moves = append(s.moves, at32), append(l.moves, at32)
}

// stored puts boxes away: those in the house first; the rest were sent back to
// hives and taken off again, of which there is no other word.
func (y *Yard) stored(f *record.CombsStored, at Stamp) {
	l := y.lot(f.Lot)
	if !y.counts(f.Boxes, Flag{Lot: f.Lot, Stamp: at}) {
		return
	}
	off := f.Boxes - min(max(0, l.inHouse()), f.Boxes)
	for i := range l.out {
		o := &l.out[i]
		n := min(off, o.Boxes)
		if n == 0 {
			continue
		}
		off, o.Boxes, l.back.n = off-n, o.Boxes-n, l.back.n-n
		s := y.site(o.Site)
		l.boxes.add(n, s.boxes.take(min(n, s.boxes.total), nil))
		s.emptied(at.Day())
	}
	l.stored.add(f.Boxes, at)
	at32 := y.move(Move{Kind: Stored, Lot: l.code, Place: f.Place, Boxes: f.Boxes, Homes: l.boxes.sorted(), Stamp: at})
	l.moves = append(l.moves, at32)
}

// Moves lists every box movement that touched a site, in order: onto and off its
// hives, its boxes onto other hives, and what became of the boxes of its lots.
func (y *Yard) Moves(c record.Code) []Move {
	s, ok := y.sites[c.Fold()]
	if !ok {
		return nil
	}
	want := map[int32]bool{}
	for _, i := range s.moves {
		want[i] = true
		if m := y.moves[i]; m.Kind == Pulled {
			for _, j := range y.lots[m.Lot.Fold()].moves {
				want[j] = want[j] || y.moves[j].Kind != Pulled
			}
		}
	}
	var all []Move
	for i, m := range y.moves {
		home := slices.ContainsFunc(m.Homes, func(h Home) bool { return h.Home != "" && h.Home.Fold() == c.Fold() })
		if want[int32(i)] || m.Kind != Stored && home {
			all = append(all, m)
		}
	}
	return all
}
