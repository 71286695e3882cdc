package house

import (
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Run is one packing of one product.
type Run struct {
	Started *record.RunStarted
	When    record.When
	Fact    uint64
	Batches []Thing
	Fed     []trace.Node // the contents that it was filled from
	Ended   bool
	EndedAt record.When
	Reason  string
}

// Run returns what is known of a run.
func (s *State) Run(t Thing) (Run, bool) {
	r, ok := s.runs[t]
	if !ok {
		return Run{}, false
	}
	return *r, true
}

// batch is packed goods under one lot mark.
type batch struct {
	run   Thing
	units int64 // filled
	left  int64 // not yet sent, destroyed, tipped back or regraded
}

func (s *State) runStarted(e *record.Entry, f *record.RunStarted) {
	t, ok := s.Find(f.Run)
	if !ok || s.runs[t] != nil {
		return
	}
	s.runs[t] = &Run{Started: f, When: e.When, Fact: e.Seq}
	s.things[t].node = s.note(s.graph.NewNode(), nodeInfo{kind: RunNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
}

func (s *State) runEnded(e *record.Entry, f *record.RunEnded) {
	if t, ok := s.Find(f.Run); ok && s.runs[t] != nil {
		r := s.runs[t]
		r.Ended, r.EndedAt, r.Reason = true, e.When, f.Reason
	}
}

func (s *State) materialUsed(e *record.Entry, f *record.MaterialUsed) {
	lot, ok := s.Find(f.Lot)
	to, known := s.Find(f.For)
	if !ok || !known || s.things[lot].node == 0 || s.things[to].node == 0 {
		s.flag(e, "odd.not-named", f.Lot, f.For)
		return
	}
	s.graph.Link(s.things[lot].node, s.things[to].node)
}

// newBatch makes packed goods of draws.
func (s *State) newBatch(e *record.Entry, mark, run Thing, units int64, draws ...trace.Draw) trace.Node {
	n := s.book(e, BatchNode, mark, run, "", draws...)
	s.nodes[n].units = units
	s.things[mark].node = n
	s.batches[mark] = &batch{run: run, units: units, left: units}
	if r := s.runs[run]; r != nil {
		r.Batches = append(r.Batches, mark)
		s.graph.Link(s.things[run].node, n)
	}
	return n
}

func (s *State) jarsFilled(e *record.Entry, f *record.JarsFilled) {
	mark, ok := s.Find(f.Batch)
	run, _ := s.Find(f.Run)
	from, _, here := s.contentOf(f.From)
	if !ok || !here || s.batches[mark] != nil {
		s.flag(e, "odd.from-nothing", f.From, f.Batch)
		return
	}
	r := s.runs[run]
	via := f.Via
	if r != nil {
		via = append(append([]record.Code(nil), r.Started.Machines...), via...)
		if len(r.Fed) == 0 || r.Fed[len(r.Fed)-1] != from {
			r.Fed = append(r.Fed, from)
		}
	}
	s.pass(e, from, via)
	s.newBatch(e, mark, run, f.Units, trace.Draw{From: from, Mass: f.Mass.Grams()})
	s.stand(mark, f.Place, e)
}

func (s *State) batchMade(e *record.Entry, f *record.BatchMade) {
	mark, ok := s.Find(f.Batch)
	run, _ := s.Find(f.Run)
	if !ok || s.batches[mark] != nil {
		return
	}
	var draws []trace.Draw
	var materials []trace.Node
	for i := range f.Inputs {
		in := &f.Inputs[i]
		n, t, ok := s.contentOf(in.From)
		switch {
		case !ok:
			s.flag(e, "odd.from-nothing", in.From, f.Batch)
		case s.things[t].kind == record.MaterialLot:
			materials = append(materials, n)
		default:
			draws = append(draws, trace.Draw{From: n, Mass: in.Mass.Grams()})
		}
	}
	n := s.newBatch(e, mark, run, f.Units, draws...)
	for _, m := range materials {
		s.graph.Link(m, n)
	}
}

// takeUnits draws units of a batch: the given mass, or the units' part of what is
// left; the last unit takes the rest.
func (s *State) takeUnits(e *record.Entry, c record.Code, units int64, mass record.Weight) (trace.Draw, Thing, bool) {
	t, ok := s.Find(c)
	b := s.batches[t]
	if !ok || b == nil {
		s.flag(e, "odd.from-nothing", c, "")
		return trace.Draw{}, 0, false
	}
	n := s.things[t].node
	left := s.graph.Left(n)
	d := trace.Draw{From: n}
	switch {
	case mass.Given():
		d.Mass = mass.Grams()
	case units == b.left:
		d.All = true
	case b.left > 0:
		d.Mass = quantity.Gram(part(int64(left), units, b.left))
	case b.units > 0:
		d.Mass = quantity.Gram(part(int64(s.graph.Made(n)), units, b.units))
	}
	b.left -= units // below zero: package goods says so, and in which way they went
	return d, t, true
}

// part is all × n / of, rounded, without overflow for any house's jars.
func part(all, n, of int64) int64 { return (all*n + of/2) / of }

func (s *State) regraded(e *record.Entry, f *record.Regraded) {
	to, ok := s.Find(f.To)
	if !ok || s.batches[to] != nil {
		return
	}
	var draws []trace.Draw
	var units int64
	var run Thing
	for _, x := range f.From() {
		if d, t, ok := s.takeUnits(e, x.Batch, x.Units, x.Mass); ok {
			draws, units, run = append(draws, d), units+x.Units, s.batches[t].run
		}
	}
	if len(draws) > 0 {
		s.newBatch(e, to, run, units, draws...)
	}
}

func (s *State) retained(e *record.Entry, f *record.Retained) {
	if d, t, ok := s.takeUnits(e, f.Batch, f.Units, f.Mass); ok {
		n := s.book(e, RetainedNode, t, s.batches[t].run, "", d)
		s.nodes[n].units = f.Units
	}
}

func (s *State) tippedBack(e *record.Entry, f *record.TippedBack) {
	to, ok := s.Find(f.To)
	if !ok {
		return
	}
	if d, _, ok := s.takeUnits(e, f.Batch, f.Units, f.Mass); ok {
		s.fill(e, to, 0, 0, d)
	}
}

func (s *State) destroyed(e *record.Entry, f *record.Destroyed) {
	if t, ok := s.Find(f.What); ok && s.batches[t] != nil {
		if d, _, ok := s.takeUnits(e, f.What, f.Units, f.Mass); ok {
			n := s.book(e, DestroyedNode, t, s.batches[t].run, f.Reason, d)
			s.nodes[n].units = f.Units
		}
		return
	}
	n, t, ok := s.contentOf(f.What)
	if !ok {
		s.flag(e, "odd.from-nothing", f.What, "")
		return
	}
	d := trace.Draw{From: n, Mass: f.Mass.Grams(), All: !f.Mass.Given()}
	s.book(e, DestroyedNode, t, 0, f.Reason, d)
}

// sent moves what left the house out of the stock, line by line.
func (s *State) sent(e *record.Entry, f *record.Sent) {
	dispatch, ok := s.Find(f.Dispatch)
	customer, _ := s.Find(f.Customer)
	if !ok {
		return
	}
	for i := range f.Lines {
		line := &f.Lines[i]
		if t, ok := s.Find(line.What); ok && (s.things[t].kind == record.Filling || s.things[t].kind == record.Vessel) {
			if n, _, ok := s.contentOf(line.What); ok {
				s.sentNode(e, dispatch, customer, line.ShipTo, 1, trace.Draw{From: n, All: true})
				s.seal(n, line.Seal)
			}
			continue
		}
		for _, part := range s.Goods.Resolve(*line) {
			if d, _, ok := s.takeUnits(e, part.Batch, part.Units, record.Weight{}); ok {
				s.sentNode(e, dispatch, customer, line.ShipTo, part.Units, d)
			}
		}
	}
}

func (s *State) sentNode(e *record.Entry, dispatch, customer Thing, shipTo string, units int64, d trace.Draw) {
	n := s.book(e, SentNode, dispatch, customer, shipTo, d)
	s.nodes[n].units = units
	if s.things[dispatch].node == 0 {
		s.things[dispatch].node = n
	}
}

// returned brings goods back as a batch with a mark of their own.
func (s *State) returned(e *record.Entry, f *record.Returned) {
	to, ok := s.Find(f.To)
	batch, known := s.Find(f.Batch)
	dispatch, sent := s.Find(f.Dispatch)
	if !ok || !known || !sent || s.batches[to] != nil || s.batches[batch] == nil {
		return
	}
	var draws []trace.Draw
	wanted := f.Units
	for _, n := range s.several[dispatch] {
		out := s.stillOut(n, s.things[batch].node)
		units := min(wanted, out)
		if units <= 0 {
			continue
		}
		draws = append(draws, trace.Draw{From: n, Mass: quantity.Gram(part(int64(s.graph.Left(n)), units, out)), All: units == out})
		wanted -= units
	}
	if len(draws) == 0 {
		s.flag(e, "odd.returned-not-sent", f.Batch, f.Dispatch)
		return
	}
	s.newBatch(e, to, s.batches[batch].run, f.Units, draws...)
}

// stillOut is how many units of a batch that left as n have not come back: what is
// left of their weight tells.
func (s *State) stillOut(n, batch trace.Node) int64 {
	left, made := s.graph.Left(n), s.graph.Made(n)
	if left <= 0 || !slices.ContainsFunc(s.graph.Next(n, trace.Back), func(x trace.Neighbour) bool { return x.Node == batch }) {
		return 0
	}
	return part(s.nodes[n].units, int64(left), int64(made))
}
