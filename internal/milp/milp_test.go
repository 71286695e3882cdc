package milp

import (
	"context"
	"math"
	"testing"

	"combline/internal/linear"
)

// The machine code is shared by the tests, and kept where the program keeps it: to
// compile it takes some seconds, and much longer with the race detector.
func solver(t testing.TB) *Solver {
	t.Helper()
	s := New(CacheFolder())
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := s.Ready(context.Background()); err != nil {
		t.Fatal(err)
	}
	return s
}

// The optima are those of two independent solvers, HiGHS 1.15.1 and CBC 2.10.8 (ex1
// and ex2 of GLPK 5.0 as well), each to a relative gap of 1e-7.
var references = map[string]float64{"ex1": 27338.99780, "ex2": 133626.42360, "ex3": 44507.90585, "ex4": 55100.22550}

const referenceTolerance = 1e-6 // relative; the references are printed to 1e-5 EUR

func TestReferenceOptima(t *testing.T) {
	s := solver(t)
	for name, want := range references {
		t.Run(name, func(t *testing.T) {
			m := readMPS(t, "testdata/"+name+".mps")
			got, err := s.Solve(context.Background(), []linear.Model{m}, linear.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if g := got[0]; g.Status != linear.Proven || math.Abs(g.Objective/want-1) > referenceTolerance || g.Gap() > referenceTolerance {
				t.Errorf("%v %.5f, bound %.5f; want %.5f", g.Status, g.Objective, g.Bound, want)
			}
		})
	}
}
