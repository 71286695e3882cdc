package house

import (
	"combline/internal/record"
	"combline/internal/trace"
)

// passing is what a machine's walls may still carry, and what went through it since
// it was last seen to be in order.
type passing struct {
	last   trace.Node
	causes uint16 // that no cleaning ended since
	since  []trace.Node
}

// never is the set of causes that no cleaning ends: spores stay in a line for decades.
const never = uint16(1 << record.CauseDisease)

// Washable is what a film of honey carries over and a wash takes off: traces of a
// treatment, residues, ferment, allergens, honey of another origin.
const Washable = uint16(1<<record.CauseTreatment | 1<<record.CauseResidue | 1<<record.CauseFerment | 1<<record.CauseAllergen | 1<<record.CauseOrigin)

// pass notes that a content went through machines. What went through before may be
// in it, for every cause that no cleaning in between ended.
func (s *State) pass(e *record.Entry, n trace.Node, machines []record.Code) {
	if n == 0 {
		return
	}
	for _, c := range machines {
		m, ok := s.Find(c)
		if !ok {
			continue
		}
		p := s.passing[m]
		if p == nil {
			p = &passing{}
			s.passing[m] = p
		}
		if p.last != n {
			s.graph.Possible(p.last, n, p.causes)
			p.since = append(p.since, n)
		}
		p.last, p.causes = n, trace.Every
	}
}

// Passed lists what went through a machine since it was last seen to be in order.
func (s *State) Passed(m Thing) []trace.Node {
	if p := s.passing[m]; p != nil {
		return p.since
	}
	return nil
}

// cleaned ends what machines and vessels could carry over, for the causes that the
// cleaning covers.
func (s *State) cleaned(e *record.Entry, f *record.Cleaned) {
	var ends uint16
	for _, c := range f.Ends {
		ends |= c.Cause.Bit()
	}
	ends &^= never
	for _, c := range f.What {
		t, ok := s.Find(c)
		if !ok {
			continue
		}
		if p := s.passing[t]; p != nil {
			p.causes &^= ends
		}
		if v := s.vessels[t]; v != nil {
			s.drained(v)
			v.Cleaned |= ends
		}
	}
}

// A SieveCheck is one look at a sieve.
type SieveCheck struct {
	Fact record.Strained
	When record.When
	Seq  uint64
}

func (s *State) strained(e *record.Entry, f *record.Strained) {
	s.sieves = append(s.sieves, SieveCheck{*f, e.When, e.Seq})
	t, ok := s.Find(f.Sieve)
	if !ok {
		return
	}
	p := s.passing[t]
	if p == nil {
		return
	}
	switch f.Whole {
	case record.Yes:
		p.since = nil
	case record.No:
		s.flag(e, "odd.torn-sieve", f.Sieve, f.Of)
	}
}

// SieveChecks lists every look at a sieve, in order.
func (s *State) SieveChecks() []SieveCheck { return s.sieves }
