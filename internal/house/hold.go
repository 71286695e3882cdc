package house

import (
	"cmp"
	"slices"

	"combline/internal/record"
	"combline/internal/trace"
)

// A Hold blocks everything with a share of its roots, and marks what they may have
// touched.
type Hold struct {
	Thing     Thing
	Cause     record.Cause
	Reason    string
	Person    record.Code
	When      record.When
	Fact      uint64
	RootCodes []record.Code
	roots     []trace.Node
	released  map[trace.Node]uint32 // edges from here on are free
	ruled     map[trace.Node]record.TouchedRuling
	Lifted    bool
	LiftedAt  record.When
	LiftedBy  string // role
}

// Holds lists every hold ever set, in order.
func (s *State) Holds() []*Hold { return s.holds }

func (s *State) holdSet(e *record.Entry, f *record.HoldSet) {
	t, ok := s.Find(f.Hold)
	if !ok {
		return
	}
	h := &Hold{Thing: t, Cause: f.Cause, Reason: f.Reason, Person: e.Person, When: e.When, Fact: e.Seq, RootCodes: f.Roots,
		released: map[trace.Node]uint32{}, ruled: map[trace.Node]record.TouchedRuling{}}
	for _, c := range f.Roots {
		h.roots = append(h.roots, s.RootsOf(c)...)
	}
	s.holds = append(s.holds, h)
}

// RootsOf lists the contents that a code stands for, as roots of a trace: of a site
// every state of it, of a run its batches and its material, of a machine what went
// through it since it was last seen to be in order, of a dispatch all that it took.
func (s *State) RootsOf(c record.Code) []trace.Node {
	if n, ok := s.byFillingNumber(c); ok {
		return []trace.Node{n}
	}
	t, ok := s.Find(c)
	if !ok {
		return s.caseRoots(c)
	}
	switch s.things[t].kind {
	case record.Site:
		return s.several[t]
	case record.Machine:
		return s.Passed(t)
	case record.Dispatch:
		return s.several[t]
	case record.Enquiry:
		var all []trace.Node
		if f, ok := s.things[t].named.(*record.EnquiryOpened); ok {
			for _, site := range f.Sites {
				all = append(all, s.RootsOf(site)...)
			}
		}
		return all
	case record.Treatment:
		if f, ok := s.things[t].named.(*record.Treated); ok {
			return s.RootsOf(f.Site)
		}
	case record.Run:
		all := []trace.Node{s.things[t].node}
		if r := s.runs[t]; r != nil {
			for _, b := range r.Batches {
				all = append(all, s.things[b].node)
			}
		}
		return all
	case record.Order:
		return s.orderRoots(t)
	case record.Pallet:
		return s.caseRoots(c)
	case record.Material:
		var all []trace.Node
		for _, lot := range s.OfKind(record.MaterialLot) {
			if f, ok := s.things[lot].named.(*record.MaterialReceived); ok && f.Material.Fold() == c.Fold() && s.things[lot].node != 0 {
				all = append(all, s.things[lot].node)
			}
		}
		return all
	}
	if n, _, ok := s.contentOf(c); ok {
		return []trace.Node{n}
	}
	return nil
}

// byFillingNumber reads "S-041/2": the second filling of a vessel.
func (s *State) byFillingNumber(c record.Code) (trace.Node, bool) {
	text := c.Fold()
	i := len(text) - 1
	n := 0
	for scale := 1; i >= 0 && text[i] >= '0' && text[i] <= '9' && scale < 1e6; i-- {
		n += int(text[i]-'0') * scale
		scale *= 10
	}
	if i <= 0 || text[i] != '/' {
		return 0, false
	}
	v := s.vessels[s.byCode[text[:i]]]
	if v == nil || n < 1 || n > len(v.Contents) {
		return 0, false
	}
	return v.Contents[n-1], true
}

// orderRoots lists what was sent for an order, or put by for it.
func (s *State) orderRoots(order Thing) []trace.Node {
	var all []trace.Node
	for _, t := range s.OfKind(record.Dispatch) {
		if f, ok := s.things[t].named.(*record.Sent); ok && f.Order.Fold() == s.things[order].code.Fold() {
			all = append(all, s.several[t]...)
		}
	}
	return all
}

// caseRoots lists the batches in a case, a run of cases or a pallet.
func (s *State) caseRoots(c record.Code) []trace.Node {
	var all []trace.Node
	cases := s.Goods.CasesOn(c)
	if one, ok := s.Goods.Case(c); ok {
		cases = append(cases, one)
	}
	for _, x := range cases {
		for _, b := range x.Units {
			if t, ok := s.Find(b.Batch); ok && s.things[t].node != 0 && !slices.Contains(all, s.things[t].node) {
				all = append(all, s.things[t].node)
			}
		}
	}
	return all
}

func (s *State) holdBy(c record.Code) *Hold {
	t, ok := s.Find(c)
	if !ok {
		return nil
	}
	for _, h := range s.holds {
		if h.Thing == t {
			return h
		}
	}
	return nil
}

func (s *State) released(e *record.Entry, f *record.Released) {
	h := s.holdBy(f.Hold)
	if h == nil {
		return
	}
	for _, c := range f.Contents {
		for _, n := range s.RootsOf(c) {
			h.released[n] = s.graph.EdgeMark()
		}
	}
}

func (s *State) holdLifted(e *record.Entry, f *record.HoldLifted) {
	if h := s.holdBy(f.Hold); h != nil {
		h.Lifted, h.LiftedAt, h.LiftedBy = true, e.When, f.Role
	}
}

func (s *State) touchedRuled(e *record.Entry, f *record.TouchedRuled) {
	h := s.holdBy(f.Hold)
	if h == nil {
		return
	}
	for _, c := range f.Contents {
		for _, n := range s.RootsOf(c) {
			h.ruled[n] = f.Ruling
		}
	}
}

func (s *State) holdOverridden(e *record.Entry, f *record.HoldOverridden) {
	for _, c := range f.Contents {
		s.flag(e, "odd.poured-on-hold", c, f.Hold)
	}
}

// Reach is everything that a hold blocks or may have touched, whether it is lifted
// or not. Released contents are left out, and what was poured from them since.
func (s *State) Reach(h *Hold) []trace.Reached {
	return h.standing(s.graph.Reach(h.from(), trace.Forward, h.Cause.Bit(), h.gate))
}

// blocks is what of Reach a hold blocks.
func (s *State) blocks(h *Hold) []trace.Reached {
	return h.standing(s.graph.ByShare(h.from(), trace.Forward, h.gate))
}

// from lists the roots of a hold, and what a ruling holds: it blocks from there on.
func (h *Hold) from() []trace.Node {
	roots := slices.Clone(h.roots)
	for n, r := range h.ruled {
		if r == record.TouchedHeld {
			roots = append(roots, n)
		}
	}
	slices.Sort(roots)
	return slices.Compact(roots)
}

// gate ends a hold's way at what was released from it: what was poured since is free.
func (h *Hold) gate(n trace.Node, at uint32) bool {
	mark, ok := h.released[n]
	return !ok || at < mark
}

// standing leaves out what was released or cleared.
func (h *Hold) standing(found []trace.Reached) []trace.Reached {
	return slices.DeleteFunc(found, func(r trace.Reached) bool {
		_, free := h.released[r.Node]
		return free || !r.Share && h.ruled[r.Node] == record.TouchedCleared
	})
}

// On says how a hold is on a content.
type On struct {
	Hold  Thing
	Share bool // it blocks; otherwise it may have been touched
}

// Held is what the holds in force are on, by content.
type Held map[trace.Node][]On

// Held works out what every hold in force is on.
func (s *State) Held() Held {
	held := Held{}
	for _, h := range s.holds {
		if h.Lifted {
			continue
		}
		for _, r := range s.Reach(h) {
			held[r.Node] = append(held[r.Node], On{h.Thing, r.Share})
		}
	}
	for n := range held {
		slices.SortFunc(held[n], func(a, b On) int { return cmp.Compare(a.Hold, b.Hold) })
	}
	return held
}

// Blocked reports whether some hold blocks the content.
func (h Held) Blocked(n trace.Node) bool {
	return slices.ContainsFunc(h[n], func(on On) bool { return on.Share })
}

// Touched reports whether some hold may have touched the content and none blocks it.
func (h Held) Touched(n trace.Node) bool { return len(h[n]) > 0 && !h.Blocked(n) }

// SentHeld is something that left the house while a hold blocked it.
type SentHeld struct {
	Node trace.Node
	Hold record.Code
}

// SentOnHold lists what left the house while a hold was in force on it.
func (s *State) SentOnHold() []SentHeld {
	var all []SentHeld
	for _, h := range s.holds {
		for _, r := range s.blocks(h) {
			i := &s.nodes[r.Node]
			if i.kind == SentNode && i.when.Minute >= h.When.Minute && (!h.Lifted || i.when.Minute < h.LiftedAt.Minute) {
				all = append(all, SentHeld{r.Node, s.things[h.Thing].code})
			}
		}
	}
	return all
}
