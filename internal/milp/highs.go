package milp

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"combline/internal/linear"
)

const (
	grace  = 10 * time.Second // from time up to the end of the instance
	finest = 1e-9             // the gap for "as fine as you can"
	near   = 1e-5             // what the solver's answer may break a row by, relative
	dust   = 1e-9             // what is smaller is 0
)

// highs solves one model in an instance of its own, by the deadline.
func (s *Solver) highs(ctx context.Context, m *linear.Model, gap float64, deadline time.Time) (linear.Solution, error) {
	if err := s.Ready(context.WithoutCancel(ctx)); err != nil {
		return linear.Solution{}, err
	}
	now := time.Now()
	limit := max(time.Millisecond, deadline.Sub(now))
	at := &sitting{began: now, deadline: deadline, guard: now.Add(limit + grace), cancel: ctx.Done(), memory: s.memory}
	solution, err := s.sit(context.WithValue(context.WithoutCancel(ctx), sittingKey{}, at), m, gap, limit.Seconds())
	switch {
	case err != nil && at.refused:
		err = fmt.Errorf("%w: a model of %d columns and %d rows needs more than the %d MB a solver may have; ask for fewer orders or lots at once",
			ErrMemory, len(m.Columns), len(m.Rows), s.memory>>20)
	case errors.Is(err, errGuard):
		solution, err = nothing(linear.OutOfTime), nil
	}
	if err != nil {
		return solution, err
	}
	return better(startOf(m), solution, gap), nil // stopped too early it has not even the start
}

func nothing(s linear.Status) linear.Solution {
	return linear.Solution{Status: s, Objective: math.Inf(1), Bound: math.Inf(-1)}
}

func (s *Solver) sit(ctx context.Context, m *linear.Model, gap, seconds float64) (linear.Solution, error) {
	i, err := newInstance(ctx, s.runtime, s.code, s.exports)
	if err != nil {
		return linear.Solution{}, err
	}
	defer i.close()
	for _, option := range []struct {
		name  string
		value any
	}{
		{"output_flag", false}, {"random_seed", 0}, {"parallel", "off"}, {"time_limit", seconds},
		{"mip_rel_gap", max(gap, finest)}, {"mip_abs_gap", finest},
	} {
		if err := i.set(option.name, option.value); err != nil {
			return linear.Solution{}, err
		}
	}
	if err := i.pass(m); err != nil {
		return linear.Solution{}, err
	}
	if _, err := i.do("Highs_run"); err != nil {
		return linear.Solution{}, err
	}
	return i.read(m)
}

// pass hands the model over as arrays, by column, with its start.
func (i *instance) pass(m *linear.Model) error {
	n, rows := len(m.Columns), len(m.Rows)
	cost, low, high := make([]float64, n), make([]float64, n), make([]float64, n)
	whole, starts := make([]int32, n), make([]int32, n+1)
	var index []int32
	var value []float64
	for c := range m.Columns {
		column := &m.Columns[c]
		cost[c], low[c], high[c], whole[c] = column.Cost, column.Low, column.High, int32(boolean(column.Whole))
		for _, e := range column.Entries {
			index, value = append(index, int32(e.Row)), append(value, e.Value)
		}
		starts[c+1] = int32(len(index))
	}
	rowLow, rowHigh := make([]float64, rows), make([]float64, rows)
	for r := range m.Rows {
		rowLow[r], rowHigh[r] = m.Rows[r].Low, m.Rows[r].High
	}
	const byColumn, least = 1, 1
	args := []uint64{uint64(n), uint64(rows), uint64(len(index)), byColumn, least, math.Float64bits(m.Offset)}
	for _, v := range []any{cost, low, high, rowLow, rowHigh, starts, index, value, whole} {
		at, err := i.putAny(v)
		if err != nil {
			return err
		}
		args = append(args, at)
	}
	if _, err := i.do("Highs_passMip", args...); err != nil {
		return err
	}
	return i.start(m)
}

func (i *instance) putAny(v any) (uint64, error) {
	if ints, ok := v.([]int32); ok {
		return i.putInts(ints)
	}
	return i.putFloats(v.([]float64))
}

// start gives the solver a point to begin from. One that breaks a row is the solver's
// to mend or drop.
func (i *instance) start(m *linear.Model) error {
	if m.Start == nil || !m.Whole() {
		return nil
	}
	at, err := i.putFloats(m.Start)
	if err != nil {
		return err
	}
	_, err = i.do("Highs_setSolution", at, 0, 0, 0)
	return err
}

// What HiGHS says of a model after a run: kHighsModelStatus of its interface.
const (
	modelEmpty       = 6
	modelOptimal     = 7
	modelInfeasible  = 8
	modelUnboundedOr = 9
	modelUnbounded   = 10
	modelTimeLimit   = 13
	modelInterrupt   = 17
	pointFeasible    = 2 // of primal_solution_status
)

func (i *instance) read(m *linear.Model) (linear.Solution, error) {
	status, err := i.do("Highs_getModelStatus")
	if err != nil {
		return linear.Solution{}, err
	}
	switch status {
	case modelEmpty:
		return linear.Solution{Status: linear.Proven, Values: []float64{}, Objective: m.Offset, Bound: m.Offset}, nil
	case modelInfeasible:
		s := nothing(linear.Impossible)
		s.Bound = math.Inf(1)
		return s, nil
	case modelUnboundedOr, modelUnbounded:
		return linear.Solution{}, errors.New("the cost has no least value, or nothing fits: a column that earns needs a bound")
	case modelOptimal, modelTimeLimit, modelInterrupt:
	default:
		return linear.Solution{}, fmt.Errorf("the solver stopped with status %d", status)
	}
	return i.readPoint(m, status == modelOptimal)
}

func (i *instance) readPoint(m *linear.Model, proven bool) (linear.Solution, error) {
	s := nothing(linear.OutOfTime)
	if m.Whole() {
		bound, err := i.figure("mip_dual_bound")
		if err != nil {
			return s, err
		}
		s.Bound = min(s.Objective, limitless(bound))
	}
	has, err := i.count("primal_solution_status")
	if err != nil || has != pointFeasible {
		return s, err
	}
	values, columnDuals, rowDuals, err := i.solution(m)
	if err != nil {
		return s, err
	}
	if s.Values, err = settled(m, values); err != nil {
		return s, err
	}
	s.Status, s.Objective = linear.BestSoFar, m.Objective(s.Values)
	if proven {
		s.Status = linear.Proven
	}
	if !m.Whole() && proven {
		s.Bound, s.RowDuals, s.ColumnDuals = s.Objective, rowDuals, columnDuals
	}
	s.Bound = min(s.Bound, s.Objective)
	return s, nil
}

func limitless(x float64) float64 {
	if math.Abs(x) >= 1e29 {
		return math.Inf(int(math.Copysign(1, x)))
	}
	return x
}

func (i *instance) solution(m *linear.Model) (values, columnDuals, rowDuals []float64, err error) {
	n, rows := len(m.Columns), len(m.Rows)
	at, err := i.room(16 * (n + rows))
	if err != nil {
		return nil, nil, nil, err
	}
	part := func(k int) uint64 { return at + uint64(8*k) }
	if _, err = i.do("Highs_getSolution", at, part(n), part(2*n), part(2*n+rows)); err != nil {
		return nil, nil, nil, err
	}
	all, err := i.floats(at, 2*(n+rows))
	if err != nil {
		return nil, nil, nil, err
	}
	return all[:n:n], all[n : 2*n : 2*n], all[2*n+rows:], nil
}

// settled makes whole columns exactly whole and puts each column within its bounds:
// the solver keeps both to a millionth. What then still breaks a row is no answer.
func settled(m *linear.Model, values []float64) ([]float64, error) {
	v := append([]float64(nil), values...)
	for c := range m.Columns {
		if m.Columns[c].Whole {
			v[c] = math.Round(v[c])
		}
		if math.Abs(v[c]) < dust {
			v[c] = 0
		}
		v[c] = max(m.Columns[c].Low, min(v[c], m.Columns[c].High))
	}
	if m.Breaks(v, near) == nil {
		return v, nil
	}
	if err := m.Breaks(values, near); err != nil {
		return nil, fmt.Errorf("the solver's answer breaks the model: %w", err)
	}
	return values, nil
}
