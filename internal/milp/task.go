package milp

import (
	"context"
	"errors"
	"math"
	"time"

	"combline/internal/branch"
	"combline/internal/linear"
	"combline/internal/split"
)

// A task is one model's way through the solvers, by one deadline. What the next solver
// starts from is the best point of those before, and the highest bound counts.
type task struct {
	s        *Solver
	gap      float64
	deadline time.Time
}

const (
	ownLimit = 2 * time.Minute // for a model that brought none
	// How much effort the search for few rows may spend: with one part, where it is
	// mostly quicker than HiGHS; with several, where it seldom is. By effort and not by
	// time, so that a busy machine gives the same answer.
	effortOne, effortMany = 7e8, 1.5e8
	effortSecond          = 5e8
	// A model of several parts with at most wholeMost columns HiGHS can prove whole:
	// at once if the gap is finer than usual, else if the parts don't.
	wholeMost = 1200
	usual     = 1e-3
)

func (s *Solver) task(o linear.Options) *task {
	limit := ownLimit
	if o.Seconds > 0 {
		limit = time.Duration(min(o.Seconds, 1e6) * float64(time.Second))
	}
	return &task{s, o.Gap, time.Now().Add(limit)}
}

func (t *task) over(ctx context.Context) bool {
	return ctx.Err() != nil || time.Now().After(t.deadline)
}

// solve tries the solvers in turn until one proves its answer.
func (t *task) solve(ctx context.Context, m *linear.Model) (linear.Solution, error) {
	if stuck(m) {
		return nothing(linear.Impossible), nil
	}
	parts, effort := 1, int64(effortOne)
	if m.Whole() {
		parts = split.Parts(m)
	}
	if parts > 1 {
		effort = effortMany
	}
	best, err := t.branch(ctx, m, effort)
	best = better(startOf(m), best, t.gap)
	if err != nil || t.done(ctx, &best) && (m.Whole() || best.RowDuals != nil) {
		return best, err
	}
	small := len(m.Columns) <= wholeMost
	if parts > 1 && !(small && t.gap < usual) {
		o := split.Options{Gap: max(t.gap, finest), Stop: func() bool { return t.over(ctx) }}
		found, err := split.Solve(from(m, &best), o, t.parts(ctx))
		if err != nil {
			return best, err
		}
		if best = better(best, found, t.gap); t.done(ctx, &best) || !small && best.Found() {
			return best, nil
		}
	}
	found, err := t.leaf(ctx, from(m, &best))
	if err != nil && best.Found() { // out of memory, or not built in: what is there is still good
		return best, nil
	}
	if err == nil && !m.Whole() && found.Status == linear.Proven { // with what its rows are worth
		return found, nil
	}
	return better(best, found, t.gap), err
}

// stuck reports a row without terms that would have to be something. HiGHS calls a
// model of nothing else empty, not impossible.
func stuck(m *linear.Model) bool {
	terms := make([]int, len(m.Rows))
	for _, c := range m.Columns {
		for _, e := range c.Entries {
			terms[e.Row]++
		}
	}
	for i, r := range m.Rows {
		if terms[i] == 0 && (r.Low > near || r.High < -near) {
			return true
		}
	}
	return false
}

// done reports that nothing is left to do, or no time for it.
func (t *task) done(ctx context.Context, s *linear.Solution) bool {
	return s.Status == linear.Proven || s.Status == linear.Impossible || t.over(ctx)
}

// from is the model with the point to start from.
func from(m *linear.Model, s *linear.Solution) *linear.Model {
	if !s.Found() {
		return m
	}
	with := *m
	with.Start = s.Values
	return &with
}

// better puts two answers to one model together: the better point, the higher bound.
func better(a, b linear.Solution, gap float64) linear.Solution {
	if b.Status == linear.Impossible || !a.Found() {
		return b
	}
	best := b
	if a.Objective < b.Objective {
		best = a
	}
	best.Bound = min(best.Objective, max(a.Bound, b.Bound))
	switch {
	case b.Status == linear.Proven || best.Gap() <= gap:
		best.Status = linear.Proven
	default:
		best.Status = linear.BestSoFar
	}
	return best
}

// branch searches a model of few rows; one that does not suit it has no answer yet.
func (t *task) branch(ctx context.Context, m *linear.Model, effort int64) (linear.Solution, error) {
	t.s.seats <- struct{}{}
	defer func() { <-t.s.seats }()
	if ctx.Err() != nil {
		return nothing(linear.Cancelled), nil
	}
	s, err := branch.Solve(m, branch.Options{Gap: max(t.gap, finest), Stop: func() bool { return t.over(ctx) }, Effort: effort})
	switch {
	case errors.Is(err, branch.ErrUnsuited):
		return nothing(linear.OutOfTime), nil
	case errors.Is(err, branch.ErrFigures):
		s.Status, s.Bound = linear.BestSoFar, math.Inf(-1)
		if !s.Found() {
			s.Status = linear.OutOfTime
		}
		return s, nil
	}
	return s, err
}

// parts solves what split asks for, by the task's deadline.
func (t *task) parts(ctx context.Context) linear.Solve {
	return func(models []linear.Model, o linear.Options) ([]linear.Solution, error) {
		one := &task{t.s, o.Gap, t.deadline}
		return t.s.each(models, func(m *linear.Model) (linear.Solution, error) { return one.part(ctx, m, o.Seconds) })
	}
}

// startOf is the model's own start for an answer, if it is a point.
func startOf(m *linear.Model) linear.Solution {
	s := nothing(linear.OutOfTime)
	if m.Start != nil && m.Whole() && m.Breaks(m.Start, near) == nil {
		s.Status, s.Values, s.Objective = linear.BestSoFar, m.Start, m.Objective(m.Start)
	}
	return s
}

// part solves one part's model, or the master of them all; with seconds given by the
// search for few rows alone, by as much effort as takes some such time.
func (t *task) part(ctx context.Context, m *linear.Model, seconds float64) (linear.Solution, error) {
	effort := int64(effortOne)
	if seconds > 0 {
		effort = int64(seconds * effortSecond)
	}
	best, err := t.branch(ctx, m, effort)
	if err != nil || t.done(ctx, &best) || seconds > 0 && best.Found() {
		return best, err
	}
	found, err := t.leaf(ctx, from(m, &best))
	if err != nil && best.Found() {
		return best, nil
	}
	return better(best, found, t.gap), err
}

// leaf gives a model to HiGHS.
func (t *task) leaf(ctx context.Context, m *linear.Model) (linear.Solution, error) {
	t.s.seats <- struct{}{}
	defer func() { <-t.s.seats }()
	if t.over(ctx) {
		return nothing(linear.OutOfTime), nil
	}
	return t.s.highs(ctx, m, t.gap, t.deadline)
}
