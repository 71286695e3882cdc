package blend

import (
	"fmt"

	"combline/internal/linear"
)

// A solver is what the search was handed, with how far it is to go.
type solver struct {
	solve linear.Solve
	o     linear.Options
}

func (s solver) one(m linear.Model, o linear.Options) (linear.Solution, error) {
	out, err := s.solve([]linear.Model{m}, o)
	if err != nil {
		return linear.Solution{}, fmt.Errorf("solver: %w", err)
	}
	if len(out) != 1 {
		return linear.Solution{}, fmt.Errorf("solver: %d solutions for one model", len(out))
	}
	if v := out[0].Values; v != nil && len(v) != len(m.Columns) {
		return linear.Solution{}, fmt.Errorf("solver: %d figures for %d columns", len(v), len(m.Columns))
	}
	return out[0], nil
}

// mostLooks bounds how often the doubt of a blend is looked at before every error is
// taken to have the same sign.
const mostLooks = 30

// search solves an ask with the doubt of the blend as it is. The model starts with a
// plane of each doubtful row; a solution that breaks the row itself adds its own
// plane, and so on. No plane cuts off a sound blend, so the first solution that breaks
// nothing is the best, and every bound on the way holds. bound is the best of them.
func (t *task) search(a ask, s solver) (*built, linear.Solution, error) {
	if a.idle { // with every error against it is sound enough, and told at once
		t.careful = true
		b := t.build(a)
		t.careful = false
		if sol, err := s.one(b.model, s.o); err != nil || sol.Found() || !b.doubtful() {
			return b, sol, err
		}
	}
	b, err := t.look(a, s)
	if err != nil {
		return b, linear.Solution{}, err
	}
	passes := doubtPasses
	if a.reach != nil || a.idle { // a hair is no matter there
		passes = reachPasses
	}
	for range mostLooks {
		sol, err := s.one(b.model, s.o)
		if err != nil || !sol.Found() || !b.missed(sol.Values, passes) {
			return b, sol, err
		}
		b = t.build(a)
	}
	return t.searchCarefully(a, s)
}

// look finds the planes that matter by the relaxed model, which is quick.
func (t *task) look(a ask, s solver) (*built, error) {
	b := t.build(a)
	for range mostLooks {
		if !b.doubtful() {
			return b, nil
		}
		sol, err := s.one(relaxed(b.model), s.o)
		if err != nil || !sol.Found() || !b.missed(sol.Values, lookPasses) {
			return b, err
		}
		b = t.build(a)
	}
	return b, nil
}

func (b *built) doubtful() bool {
	for _, r := range b.rows {
		if r.row.doubtful() {
			return true
		}
	}
	return false
}

// relaxed is a model without its whole columns.
func relaxed(m linear.Model) linear.Model {
	m = m.Clone()
	m.Start = nil
	for i := range m.Columns {
		m.Columns[i].Whole = false
	}
	return m
}

// searchCarefully ends a search that found no end: the bound is of the planes so far,
// the blend keeps every row with room to spare.
func (t *task) searchCarefully(a ask, s solver) (*built, linear.Solution, error) {
	loose, err := s.one(t.build(a).model, s.o)
	if err != nil {
		return nil, loose, err
	}
	t.careful = true
	b := t.build(a)
	t.careful = false
	sol, err := s.one(b.model, s.o)
	sol.Bound = min(sol.Bound, loose.Bound)
	if sol.Status == linear.Proven && sol.Gap() > s.o.Gap {
		sol.Status = linear.BestSoFar
	}
	if sol.Status == linear.Impossible { // of the careful model alone
		sol.Status = linear.OutOfTime
	}
	return b, sol, err
}
