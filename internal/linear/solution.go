package linear

import "math"

// A Status says how far a solver came.
type Status int

const (
	// Proven: no point is better by more than the gap that was asked for.
	Proven Status = iota + 1
	// BestSoFar: a point, but time or memory ended before the gap was reached.
	BestSoFar
	// Impossible: proven that there is no point.
	Impossible
	// OutOfTime: time or memory ended with no point found and none excluded.
	OutOfTime
	// Cancelled: told to stop; the best point so far, if there is one.
	Cancelled
)

func (s Status) String() string {
	return [...]string{"not solved", "proven", "best so far", "impossible", "out of time", "cancelled"}[s]
}

// A Solution is what a solver found out about a model. Without a point Values is nil
// and Objective is +infinity. Bound is what no point can cost less than: −infinity if
// nothing is known. Duals are there for models without whole columns only.
type Solution struct {
	Status      Status
	Values      []float64 // one a column
	Objective   float64
	Bound       float64
	RowDuals    []float64 // change of the objective for one more of the row's bound
	ColumnDuals []float64 // reduced costs
}

// Found reports whether there is a point.
func (s *Solution) Found() bool { return s.Values != nil }

// Gap is (objective − bound) / |objective|: 0 if they are equal, +infinity if
// nothing is known.
func (s *Solution) Gap() float64 {
	d := s.Objective - s.Bound
	switch {
	case d <= 0:
		return 0
	case math.IsInf(d, 1) || d != d || s.Objective == 0:
		return math.Inf(1)
	}
	return d / math.Abs(s.Objective)
}

// Options say how far a solver is to go with each model.
type Options struct {
	Gap     float64 // enough is (objective − bound) / |objective| within this; 0 for the solver's finest
	Seconds float64 // the most time for each model; 0 for the solver's own limit
}

// A Solve solves each model by itself and returns the solutions in the models'
// order. Same models and options, and each solved to its gap: same solutions. A
// model out of time, impossible or cancelled is no error; a model that is not well
// formed is, and so is a solver that can't run.
type Solve func([]Model, Options) ([]Solution, error)
