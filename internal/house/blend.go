package house

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A BlendPlan is a blend that somebody agreed to.
type BlendPlan struct {
	record.BlendPlanned
	Seq     uint64
	When    record.When
	Person  record.Code
	Dropped bool
	Reason  string // of dropping it
	nodes   []trace.Node
	later   trace.Node // contents above it were made after the plan
}

// A PartSoFar is one content of a plan and how much of it was tipped since.
type PartSoFar struct {
	Node    trace.Node // 0 when a correction took the content away
	Planned quantity.Gram
	Tipped  quantity.Gram
	Into    []record.Code // the vessels that it went into
	Left    quantity.Gram
}

func (s *State) blendPlanned(e *record.Entry, f *record.BlendPlanned) {
	p := BlendPlan{BlendPlanned: *f, Seq: e.Seq, When: e.When, Person: e.Person, later: trace.Node(s.graph.Nodes())}
	for _, part := range f.Parts {
		n, _, _ := s.contentOf(part.Content)
		if at, ok := s.byFillingNumber(part.Content); ok {
			n = at
		}
		p.nodes = append(p.nodes, n)
	}
	s.blends = append(s.blends, p)
}

func (s *State) blendDropped(f *record.BlendDropped) {
	for i := range s.blends {
		if p := &s.blends[i]; p.Plan.Fold() == f.Plan.Fold() {
			p.Dropped, p.Reason = true, f.Reason
		}
	}
}

// BlendPlans lists the planned blends, the first first.
func (s *State) BlendPlans() []BlendPlan { return s.blends }

// SoFar is what of a plan was tipped since: what went from its contents into other
// vessels. What was sampled, lost or sent does not count.
func (s *State) SoFar(p BlendPlan) []PartSoFar {
	all := make([]PartSoFar, len(p.Parts))
	for i, part := range p.Parts {
		x := &all[i]
		x.Planned, x.Node = part.Mass.Grams(), p.nodes[i]
		if x.Node == 0 {
			continue
		}
		x.Left = s.graph.Left(x.Node)
		for _, y := range s.graph.Next(x.Node, trace.Forward) {
			if y.Node <= p.later || !y.Share || y.Grams <= 0 || s.nodes[y.Node].kind != ContentNode {
				continue
			}
			x.Tipped += y.Grams
			if v := s.things[s.nodes[y.Node].vessel].code; v != "" && !slices.Contains(x.Into, v) {
				x.Into = append(x.Into, v)
			}
		}
	}
	return all
}

// Since reports whether a content was made after a plan.
func (s *State) Since(p BlendPlan, n trace.Node) bool { return n > p.later }

// Open reports whether anything of a plan is still to be tipped: it was not dropped,
// and some content of it has not left its vessel as planned.
func (s *State) Open(p BlendPlan) bool {
	return !p.Dropped && slices.ContainsFunc(s.SoFar(p), func(x PartSoFar) bool { return x.Tipped < x.Planned && x.Left > 0 })
}

// PlannedOf is how much of each content open plans will still take, and the last plan
// that does.
func (s *State) PlannedOf() (grams map[trace.Node]quantity.Gram, by map[trace.Node]record.Code) {
	grams, by = map[trace.Node]quantity.Gram{}, map[trace.Node]record.Code{}
	for _, p := range s.blends {
		if p.Dropped {
			continue
		}
		for _, x := range s.SoFar(p) {
			if still := min(x.Planned-x.Tipped, x.Left); x.Node != 0 && still > 0 {
				grams[x.Node] += still
				by[x.Node] = p.Plan
			}
		}
	}
	return grams, by
}

// blendPlan refuses a plan that can't be carried out as it stands: nothing in it, a
// content twice, more of one than there is, or one on hold. What was done all the same
// is recorded as done.
func (c *check) blendPlan(f *record.BlendPlanned) {
	if len(f.Parts) == 0 {
		c.missing("parts.content", f)
		return
	}
	planned, by := c.s.PlannedOf()
	seen := map[trace.Node]bool{}
	for _, p := range f.Parts {
		n, _, ok := c.s.contentOf(p.Content)
		if at, is := c.s.byFillingNumber(p.Content); is {
			n, ok = at, true
		}
		if !ok {
			continue // the field itself was refused, or it is named in this batch
		}
		left, want := c.s.graph.Left(n), p.Mass.Grams()
		switch {
		case seen[n]:
			c.refuse("refused.plan-twice", "next.type-again", answer.Args{"what": p.Content})
		case want <= 0:
			c.missing("parts.mass", f)
		case want > left:
			c.refuse("refused.plan-more", "next.plan-again", answer.Args{"what": p.Content, "want": want, "have": left})
		case want > left-planned[n]:
			c.ask("ask.plan-taken", answer.Args{"what": p.Content, "plan": by[n], "free": left - planned[n]})
		}
		seen[n] = true
		for _, on := range c.holds()[n] {
			if on.Share {
				c.refuse("refused.plan-on-hold", "next.plan-without", answer.Args{"what": p.Content, "hold": c.s.things[on.Hold].code})
			}
		}
	}
}
