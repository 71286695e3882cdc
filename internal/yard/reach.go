package yard

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"combline/internal/record"
)

// Touched is what the boxes of suspect sites reached: too long perhaps, never too
// short. Certain: boxes of a touched site are known to have come. Otherwise they
// may have, because stacks were mixed, marks are missing, or the order in time is
// not known.
type Touched struct {
	Sites []TouchedSite // suspects first, then as they were touched
	Lots  []TouchedLot  // pulled from touched sites after the touch, every lot of a suspect site, and those of others that machines touched
	Moves []TouchedMove // every box movement on the way, in order
}

// A TouchedSite got boxes from a suspect site, directly or through others.
type TouchedSite struct {
	Site    record.Code
	Suspect bool
	Certain bool
	At      Stamp // the first movement that may have brought it; zero for a suspect
}

// A TouchedLot has honey or combs from touched sites.
type TouchedLot struct {
	Lot     record.Code
	Sites   []record.Code // the touched ones that it is from
	Certain bool
}

// A TouchedMove is a movement of boxes that were, or may have been, touched.
type TouchedMove struct {
	Move
	Certain bool
}

// reach holds, by folded site, the minute from which it may have been touched and
// the minute by which it certainly was.
type reach struct {
	y         *Yard
	since     int64
	suspect   map[string]bool
	machines  map[string]bool // lots that ran through machines after touched ones
	may, sure map[string]int64
	setOut    []*Move            // boxes set on the hives of touched sites; of this round
	lots      map[*lot]*lotReach // of this round
}

// Reach follows the boxes of suspect sites from day since on, 0 for ever. A pull
// from a suspect site before since counts as possible; boxes that were sent on
// before since do not count. The combs of lots that ran through the same machines may
// be touched too: the yard does not see machines, so they are named.
func (y *Yard) Reach(sites []record.Code, since record.Day, machines ...record.Code) Touched {
	r := reach{y: y, since: math.MinInt64, suspect: map[string]bool{}, machines: map[string]bool{}, may: map[string]int64{}, sure: map[string]int64{}}
	for _, c := range machines {
		r.machines[c.Fold()] = true
	}
	if since != 0 {
		r.since = (int64(since) - 1) * 1440 // a day of grace for places east and west of UTC
	}
	for _, c := range sites {
		k := c.Fold()
		r.suspect[k], r.may[k], r.sure[k] = true, r.since, r.since
	}
	for changed := true; changed; {
		changed = false
		r.round()
		for i := range y.moves {
			changed = r.step(&y.moves[i]) || changed
		}
	}
	return r.touched(sites)
}

// round forgets what the last round knew of lots; in the last round of all nothing
// changes, so what it knew stays right.
func (r *reach) round() {
	r.lots, r.setOut = map[*lot]*lotReach{}, nil
	for i := range r.y.moves {
		m := &r.y.moves[i]
		if _, ok := r.may[m.Site.Fold()]; ok && m.Kind == Placed {
			r.setOut = append(r.setOut, m)
		}
	}
}

// step lets a movement touch its site, and says whether that changed anything.
func (r *reach) step(m *Move) bool {
	if m.Kind != Placed && m.Kind != SentBack {
		return false
	}
	may, sure := r.carries(m)
	if !may {
		return false
	}
	from, before := m.span()
	k, changed := m.Site.Fold(), false
	if t, ok := r.may[k]; !ok || from < t {
		r.may[k], changed = from, true
	}
	if t, ok := r.sure[k]; sure && (!ok || before < t) {
		r.sure[k], changed = before, true
	}
	return changed
}

// carries says whether a movement may bring, and certainly brings, touched boxes.
func (r *reach) carries(m *Move) (may, sure bool) {
	if _, before := m.span(); before <= r.since {
		return false, false
	}
	switch m.Kind {
	case Pulled:
		return r.pull(m)
	case SentBack, Stored:
		return r.ofLot(m, r.y.lots[m.Lot.Fold()])
	}
	return r.placed(m)
}

// from says whether a site was touched when something left it.
func (r *reach) from(site record.Code, from, before int64) (may, sure bool) {
	k := site.Fold()
	t, touched := r.may[k]
	u, certain := r.sure[k]
	return touched && (before > t || r.suspect[k]), certain && from >= u
}

func (r *reach) pull(m *Move) (may, sure bool) {
	from, before := m.span()
	return r.from(m.Site, from, before)
}

// A lotReach is what is known of a lot in one round.
type lotReach struct {
	may, sure  bool    // are any, are all of its boxes from touched sites
	clean, bad []*Move // pulls from sites that were not, and certainly were, touched
	outs       [2]out  // the two earliest
}

// An out is a time from which boxes of a lot may have stood at a touched site after
// they had left the house, with the movement that brought them there.
type out struct {
	from int64
	fact uint64
}

func (r *reach) lot(l *lot) *lotReach {
	v := r.lots[l]
	if v == nil {
		v = &lotReach{outs: [2]out{{from: math.MaxInt64}, {from: math.MaxInt64}}}
		r.lots[l] = v
		r.fillPulls(l, v)
		r.fillOuts(l, v)
	}
	return v
}

func (r *reach) fillPulls(l *lot, v *lotReach) {
	v.sure = true
	pulls := 0
	for _, i := range l.moves {
		m := &r.y.moves[i]
		if m.Kind != Pulled {
			continue
		}
		pulls++
		may, sure := r.pull(m)
		v.may, v.sure = v.may || may, v.sure && sure
		if sure {
			v.bad = append(v.bad, m)
		} else if !may {
			v.clean = append(v.clean, m)
		}
	}
	if pulls == 0 {
		v.may, v.sure = r.openedAt(l)
	}
}

// fillOuts finds when boxes of the lot stood at touched sites: sent there, or
// perhaps set out there without a word of their lot.
func (r *reach) fillOuts(l *lot, v *lotReach) {
	for _, i := range l.moves {
		if m := &r.y.moves[i]; m.Kind == SentBack {
			r.out(m, v)
		}
	}
	for _, m := range r.setOut {
		if from, before := m.span(); r.inHouse(l, from, before) && couldBe(m.Homes, l.cameFrom(r.y)) {
			r.out(m, v)
		}
	}
}

func (r *reach) out(m *Move, v *lotReach) {
	t, ok := r.may[m.Site.Fold()]
	if !ok {
		return
	}
	from, _ := m.span()
	o := out{max(from, t), m.Fact}
	if o.from < v.outs[0].from {
		o, v.outs[0] = v.outs[0], o
	}
	if o.from < v.outs[1].from {
		v.outs[1] = o
	}
}

// ofLot says it of boxes of a lot that left the house: any of them may be from any
// site that the lot was pulled from, or from where boxes of the lot had been sent,
// unless their marks were written down at the pull.
func (r *reach) ofLot(m *Move, l *lot) (may, sure bool) {
	v := r.lot(l)
	from, before := m.span()
	may, sure = v.may, v.sure
	if may && !sure && len(m.Marks) > 0 {
		sure = shared(m.Marks, marksBy(v.bad, from)) > 0
		may = sure || shared(m.Marks, marksBy(v.clean, from)) < m.Boxes
	}
	may = may || r.machines[l.code.Fold()]
	for _, o := range v.outs {
		may = may || o.fact != m.Fact && o.from < before
	}
	return may, sure && may
}

// marksBy are the marks of boxes that had been pulled by a minute. A box may be
// pulled for the same lot again, later.
func marksBy(pulls []*Move, minute int64) []record.Marks {
	var all []record.Marks
	for _, m := range pulls {
		if _, before := m.span(); before <= minute {
			all = append(all, m.Marks...)
		}
	}
	return all
}

// openedAt says it of a lot of which no pull was written down.
func (r *reach) openedAt(l *lot) (may, sure bool) {
	if l.opened == nil {
		return false, false
	}
	from := int64(l.opened.Pulled) * 1440
	may, sure = r.from(l.opened.Site, from-1440, from+2*1440) // its local day, wherever that is
	return may, sure
}

// placed says it of boxes set on hives: boxes that belong to a touched site, and
// boxes that may have come from a touched lot in the house. A box carried straight
// from hives to hives is seen only when its home was written down.
func (r *reach) placed(m *Move) (may, sure bool) {
	from, before := m.span()
	for _, h := range m.Homes {
		if h.Home != "" {
			hm, hs := r.from(h.Home, from, before)
			may, sure = may || hm, sure || hs && h.Least > 0
		}
	}
	if may {
		return may, sure
	}
	for _, l := range r.y.lots {
		if r.inHouse(l, from, before) && couldBe(m.Homes, l.cameFrom(r.y)) {
			if may, _ = r.ofLot(m, l); may {
				return true, false
			}
		}
	}
	return false, false
}

// inHouse says whether boxes of a lot may have been in the house then.
func (r *reach) inHouse(l *lot, from, before int64) bool {
	var n int64
	pulls := false
	for _, i := range l.moves {
		m := &r.y.moves[i]
		mFrom, mBefore := m.span()
		switch {
		case m.Kind == Pulled && mFrom < before:
			n, pulls = n+m.Boxes, true
		case m.Kind == SentBack && mBefore <= from:
			n -= m.Boxes
		case m.Kind == Stored && mFrom < before:
			return true // perhaps taken off hives again
		}
	}
	return n > 0 || !pulls && l.opened != nil && (int64(l.opened.Pulled)-1)*1440 < before
}

// cameFrom lists the homes of all boxes that were ever pulled for the lot.
func (l *lot) cameFrom(y *Yard) []Home {
	var all []Home
	for _, i := range l.moves {
		if m := &y.moves[i]; m.Kind == Pulled {
			all = append(all, m.Homes...)
		}
	}
	if len(all) == 0 {
		all = []Home{{Home: "", Most: 1}}
	}
	return all
}

// couldBe says whether boxes of the one may be boxes of the other.
func couldBe(a, b []Home) bool {
	for _, x := range a {
		for _, z := range b {
			if x.Home == "" || z.Home == "" || x.Home.Fold() == z.Home.Fold() {
				return true
			}
		}
	}
	return false
}

func (r *reach) touched(suspects []record.Code) Touched {
	var t Touched
	first := map[string]Stamp{}
	for i := range r.y.moves {
		m := &r.y.moves[i]
		may, sure := r.carries(m)
		if !may {
			continue
		}
		t.Moves = append(t.Moves, TouchedMove{*m, sure})
		if _, ok := first[m.Site.Fold()]; !ok && (m.Kind == Placed || m.Kind == SentBack) {
			first[m.Site.Fold()] = m.Stamp
		}
	}
	seen := map[string]bool{}
	for _, c := range suspects {
		if k := c.Fold(); !seen[k] {
			seen[k] = true
			t.Sites = append(t.Sites, TouchedSite{Site: r.y.name(c), Suspect: true, Certain: true})
		}
	}
	n := len(t.Sites)
	for k := range r.may {
		if !seen[k] {
			_, sure := r.sure[k]
			t.Sites = append(t.Sites, TouchedSite{Site: r.y.name(record.Code(k)), Certain: sure, At: first[k]})
		}
	}
	slices.SortFunc(t.Sites[n:], func(a, b TouchedSite) int {
		return cmp.Or(cmp.Compare(a.At.When.Minute, b.At.When.Minute), cmp.Compare(a.Site.Fold(), b.Site.Fold()))
	})
	t.Lots = r.touchedLots()
	return t
}

func (y *Yard) name(c record.Code) record.Code {
	if s, ok := y.sites[c.Fold()]; ok {
		return s.code
	}
	return c
}

func (r *reach) touchedLots() []TouchedLot {
	var all []TouchedLot
	for _, l := range r.y.lots {
		v := TouchedLot{Lot: l.code}
		add := func(site record.Code, may, sure bool) {
			if may && !slices.ContainsFunc(v.Sites, func(c record.Code) bool { return c.Fold() == site.Fold() }) {
				v.Sites = append(v.Sites, site)
			}
			v.Certain = v.Certain || sure
		}
		for _, i := range l.moves {
			if m := &r.y.moves[i]; m.Kind == Pulled {
				may, sure := r.pull(m)
				add(m.Site, may, sure)
			}
		}
		if l.opened != nil {
			may, sure := r.openedAt(l)
			add(l.opened.Site, may, sure && len(l.sites) == 0)
		}
		if len(v.Sites) > 0 || r.machines[l.code.Fold()] {
			all = append(all, v)
		}
	}
	slices.SortFunc(all, func(a, b TouchedLot) int { return strings.Compare(a.Lot.Fold(), b.Lot.Fold()) })
	return all
}
