// Package branch solves mixed integer linear problems of few rows by branch and
// bound: blends of one order, whose columns are many and whose rows are some twenty.
package branch

import (
	"errors"
	"math"

	"combline/internal/linear"
)

// Options say how far to go.
type Options struct {
	Gap  float64     // enough is (objective − bound) / |objective| within this
	Stop func() bool // asked now and then; nil never stops
	// Effort is how many figures of its tableaus the search may change, which a core
	// does some 5·10⁸ times a second; 0 sets no end. Unlike a time it ends each run at
	// the same place.
	Effort int64
}

// ErrFigures reports a model whose figures are too far apart for this search.
var ErrFigures = errors.New("the model's figures are too far apart for this search")

const (
	near       = 1e-7 // what a point may break a row by, relative to its terms
	firstLook  = 40   // nodes until it is asked whether to begin again with less
	fewAtFirst = 40   // links that are tried alone for a good first point
	fewNodes   = 400  // nodes for that
	hardNodes  = 200  // nodes after which more is done for a good point and tight bounds
	mostRounds = 12
)

// Solve finds the least cost of a model to the gap; an end by Stop or Effort gives the
// best point so far with its bound. A model that this search does not suit wraps
// [ErrUnsuited] or [ErrFigures].
func Solve(m *linear.Model, o Options) (linear.Solution, error) {
	if err := m.Check(); err != nil {
		return linear.Solution{}, err
	}
	t, err := newTree(m, nil, o, new(int64))
	if err != nil {
		return linear.Solution{}, err
	}
	if m.Start != nil && m.Breaks(m.Start, near) == nil {
		t.best, t.values = m.Objective(m.Start), m.Start
	}
	given, look := math.Inf(1), firstLook
	for round := range mostRounds {
		next, err := t.round(round, look)
		if err != nil {
			return linear.Solution{}, err
		}
		if next == nil {
			break
		}
		// What the smaller tree leaves out costs more than the cutoff.
		given = min(given, t.cutoffAll()+t.p.offset)
		t, look = next, look*2
	}
	t.given = min(t.given, given)
	return t.solution()
}

// round searches until all is searched, nil, or it pays to begin again with a smaller
// tree, which it returns.
func (t *tree) round(round, look int) (*tree, error) {
	if t.run(1) {
		return nil, nil
	}
	large := len(t.p.links) > fewAtFirst && t.rootReduced != nil
	if large && round == 0 {
		if err := t.among(t.ranked()[:fewAtFirst], fewNodes); err != nil {
			return nil, err
		}
	}
	for ; !t.run(look); look *= 2 {
		if round == mostRounds-1 || t.rootReduced == nil || math.IsInf(t.best, 1) {
			continue
		}
		hard := t.nodes > hardNodes
		if hard && large {
			if err := t.around(round); err != nil {
				return nil, err
			}
		}
		most := t.priced()
		if hard && t.left(most) > pays {
			t.probed(most)
		}
		if t.left(most) > pays {
			continue
		}
		next, err := newTree(t.p.model, most, t.o, t.spent)
		if err == nil {
			next.best, next.values = t.best, t.values
			next.open[0].bound = t.lowest()
		}
		return next, err
	}
	return nil, nil
}

// lowest is what no point costs less than.
func (t *tree) lowest() float64 {
	bound := min(t.best, t.given)
	for _, n := range t.open {
		bound = min(bound, n.bound)
	}
	return bound
}

func (t *tree) solution() (linear.Solution, error) {
	s := linear.Solution{Values: t.values, Objective: t.best, Bound: t.lowest()}
	switch {
	case t.doubtful:
		return s, ErrFigures
	case t.stopped && t.values == nil:
		s.Status = linear.OutOfTime
	case t.stopped:
		s.Status = linear.BestSoFar
	case t.values == nil:
		s.Status = linear.Impossible
	default:
		s.Status = linear.Proven
		t.duals(&s)
	}
	return s, nil
}

// duals reads off what one more of each row's bound changes, for a model without whole
// columns: the reduced cost of the row's own column. Not where a row was made a bound.
func (t *tree) duals(s *linear.Solution) {
	if t.p.model.Whole() || t.p.bounded || t.rootReduced == nil {
		return
	}
	s.RowDuals = make([]float64, len(t.p.model.Rows))
	s.ColumnDuals = make([]float64, len(t.p.model.Columns))
	for k, i := range t.p.rowOf {
		s.RowDuals[i] = t.rootReduced[len(t.p.of)+k] * t.p.rowScale[k]
	}
	for j := range s.ColumnDuals {
		c := &t.p.model.Columns[j]
		s.ColumnDuals[j] = c.Cost
		for _, e := range c.Entries {
			s.ColumnDuals[j] -= e.Value * s.RowDuals[e.Row]
		}
	}
}
