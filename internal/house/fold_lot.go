package house

import (
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Lot is the in-process account of one site's honey of one pull day: what was
// weighed in, what was weighed off, and what is between.
type Lot struct {
	Opened    *record.LotOpened
	Origin    trace.Origin
	Boxes     int64 // pulled
	BoxesIn   int64 // weighed in
	BoxesWet  int64 // weighed out wet
	Spun      int64
	GrossIn   quantity.Gram
	WetOut    quantity.Gram
	StacksIn  int // weighings
	StacksOut int
	ScaleIn   Thing
	ScaleOut  Thing
	Side      record.HotRoomSide
	TwoSides  bool // some stacks weighed before the hot room, some after
	Closed    bool
	Reason    string
	OpenedAt  record.When
	ClosedAt  record.When
}

// Lot returns the account of a lot.
func (s *State) Lot(t Thing) (Lot, bool) {
	l, ok := s.lots[t]
	if !ok {
		return Lot{}, false
	}
	return *l, true
}

func (s *State) lotOf(e *record.Entry, c record.Code) (*Lot, Thing) {
	t, ok := s.Find(c)
	if !ok {
		return nil, 0
	}
	l := s.lots[t]
	if l == nil {
		s.flag(e, "odd.no-lot", c, "")
	}
	return l, t
}

func (s *State) siteOpened(e *record.Entry, f *record.SiteOpened) {
	if t, ok := s.Find(f.Site); ok && s.things[t].node == 0 {
		s.things[t].node = s.note(s.graph.NewNode(), nodeInfo{kind: SiteNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	}
}

// siteNow makes a new state of a site when boxes from elsewhere came to it: what is
// pulled from now on may have been touched by them.
func (s *State) siteNow(e *record.Entry, t Thing, causes uint16, from ...trace.Node) {
	old := s.things[t].node
	if old == 0 || len(from) == 0 {
		return
	}
	n := s.note(s.graph.NewNode(), nodeInfo{kind: SiteNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	s.graph.Link(old, n)
	for _, x := range from {
		s.graph.Possible(x, n, causes)
	}
	s.things[t].node = n
}

// What comb can carry: spores, residues of treatments, what was fed.
const combCarries = uint16(1<<record.CauseDisease | 1<<record.CauseTreatment | 1<<record.CauseResidue | 1<<record.CauseOther)

// supersPlaced: boxes of another site bring what that site could have; boxes of which
// nobody wrote down where they belong may be any that are stored in the house.
func (s *State) supersPlaced(e *record.Entry, f *record.SupersPlaced) {
	site, ok := s.Find(f.Site)
	from, known := s.Find(f.From)
	switch {
	case !ok:
	case known && site != from:
		s.siteNow(e, site, combCarries, s.things[from].node)
	case !known:
		s.siteNow(e, site, combCarries, s.stored...)
	}
}

// combsStored: combs of a lot stand in the house, to go who knows where.
func (s *State) combsStored(f *record.CombsStored) {
	if t, ok := s.Find(f.Lot); ok && s.lots[t] != nil && !slices.Contains(s.stored, s.things[t].node) {
		s.stored = append(s.stored[:len(s.stored):len(s.stored)], s.things[t].node)
	}
}

func (s *State) lotOpened(e *record.Entry, f *record.LotOpened) {
	t, ok := s.Find(f.Lot)
	if !ok || s.lots[t] != nil {
		return
	}
	o := Origin{Of: t, Honey: f.Honey, Day: f.Pulled}
	site, known := s.Find(f.Site)
	if known {
		o.Site = site
		if opened, ok := s.things[site].named.(*record.SiteOpened); ok {
			o.Country = opened.Country
		}
	}
	origin := s.newOrigin(o)
	n := s.note(s.graph.NewNode(origin), nodeInfo{kind: LotNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	s.things[t].node = n
	s.lots[t] = &Lot{Opened: f, Origin: origin, OpenedAt: e.When}
	if known && s.things[site].node != 0 {
		s.graph.Link(s.things[site].node, n)
	}
}

func (s *State) supersPulled(e *record.Entry, f *record.SupersPulled) {
	l, t := s.lotOf(e, f.Lot)
	if l == nil {
		return
	}
	l.Boxes += f.Boxes
	if site, ok := s.Find(f.Site); ok && f.Site.Fold() != l.Opened.Site.Fold() {
		s.flag(e, "odd.pulled-elsewhere", f.Lot, f.Site) // two sites in one lot: mixed for ever
		s.graph.Possible(s.things[site].node, s.things[t].node, trace.Every)
	}
}

func (s *State) supersReceived(e *record.Entry, f *record.SupersReceived) {
	l, t := s.lotOf(e, f.Lot)
	if l == nil {
		return
	}
	var net quantity.Gram
	for i := range f.Stacks {
		net += f.Stacks[i].Net()
		l.BoxesIn += f.Stacks[i].Boxes
	}
	l.GrossIn += net
	l.StacksIn += len(f.Stacks)
	l.TwoSides = l.TwoSides || l.Side != 0 && l.Side != f.Side
	l.Side = f.Side
	l.ScaleIn, _ = s.Find(f.Scale)
	s.graph.Source(s.things[t].node, l.Origin, net)
}

func (s *State) supersSpun(e *record.Entry, f *record.SupersSpun) {
	if l, t := s.lotOf(e, f.Lot); l != nil {
		l.Spun += f.Boxes
		s.pass(e, s.things[t].node, f.Machines)
	}
}

func (s *State) wetSupersWeighed(e *record.Entry, f *record.WetSupersWeighed) {
	l, t := s.lotOf(e, f.Lot)
	if l == nil {
		return
	}
	var net quantity.Gram
	for i := range f.Stacks {
		net += f.Stacks[i].Net()
		l.BoxesWet += f.Stacks[i].Boxes
	}
	l.WetOut += net
	l.StacksOut += len(f.Stacks)
	l.ScaleOut, _ = s.Find(f.Scale)
	s.book(e, CombsOutNode, t, 0, "", trace.Draw{From: s.things[t].node, Mass: net})
}

func (s *State) supersSentBack(e *record.Entry, f *record.SupersSentBack) {
	l, t := s.lotOf(e, f.Lot)
	site, ok := s.Find(f.Site)
	if l == nil || !ok {
		return
	}
	s.siteNow(e, site, combCarries, s.things[t].node)
}

// lotRanInto makes the vessel's content one that draws on the lot's account.
func (s *State) lotRanInto(e *record.Entry, f *record.LotRanInto) {
	l, t := s.lotOf(e, f.Lot)
	v := s.vesselOf(e, f.Into)
	if l == nil || v == nil {
		return
	}
	lot := s.things[t].node
	s.pass(e, lot, f.Via)
	if slices.Contains(s.graph.Feeds(v.Node), lot) {
		return // runs on
	}
	vessel, _ := s.Find(f.Into)
	n := s.fill(e, vessel, 0, 0, trace.Draw{From: lot})
	s.graph.Feed(n, lot)
	s.nodes[n].fed = true
}

// lotClosed ends a lot: nothing more of it runs into a tank. A reason books the gap;
// without one it stays open, for all to see.
func (s *State) lotClosed(e *record.Entry, f *record.LotClosed) {
	l, t := s.lotOf(e, f.Lot)
	if l == nil {
		return
	}
	l.Closed, l.Reason, l.ClosedAt = true, f.Reason, e.When
	s.graph.EndLot(s.things[t].node)
	if f.Reason != "" {
		s.book(e, GapNode, t, 0, f.Reason, trace.Draw{From: s.things[t].node, All: true})
	}
}

func (s *State) cappingsSpun(e *record.Entry, f *record.CappingsSpun) {
	if l, t := s.lotOf(e, f.Lot); l != nil {
		s.pass(e, s.things[t].node, []record.Code{f.Machine})
	}
}

func (s *State) waxCast(e *record.Entry, f *record.WaxCast) {
	l, t := s.lotOf(e, f.Lot)
	wax, ok := s.Find(f.Wax)
	if l == nil || !ok {
		return
	}
	s.pass(e, s.things[t].node, []record.Code{f.Machine})
	n := s.graph.Pour(trace.Draw{From: s.things[t].node, Mass: f.Mass.Grams()})
	s.things[wax].node = s.note(n, nodeInfo{kind: WaxNode, of: wax, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When, also: t})
}

func (s *State) melterHoneyDrawn(e *record.Entry, f *record.MelterHoneyDrawn) {
	l, t := s.lotOf(e, f.Lot)
	to, ok := s.Find(f.To)
	if l == nil || !ok {
		return
	}
	s.pass(e, s.things[t].node, []record.Code{f.Machine})
	s.fill(e, to, 0, record.CookingGrade, trace.Draw{From: s.things[t].node, Mass: f.Mass.Grams()})
}

// book moves honey to an account: lost, destroyed, out with the combs.
func (s *State) book(e *record.Entry, kind NodeKind, of, also Thing, text string, draws ...trace.Draw) trace.Node {
	n := s.note(s.graph.Pour(draws...), nodeInfo{kind: kind, of: of, also: also, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	if text != "" {
		s.texts[n] = text
	}
	return n
}
