package milp_test

import (
	"fmt"
	"math"
	"os"
	"testing"

	"combline/internal/blend"
	"combline/internal/linear"
	"combline/internal/milp"
)

// The four reference instances from their tables: the optima were proven equal by
// HiGHS and CBC (the first two by GLPK too) to a relative gap of 1e-7 and stand in the
// instances' own list; the plan is checked in whole grams. The tolerance is the one
// that the house promises.
func TestBlendsReachTheReferenceOptima(t *testing.T) {
	s := milp.New(milp.CacheFolder())
	defer s.Close()
	solve := func(m []linear.Model, o linear.Options) ([]linear.Solution, error) { return s.Solve(t.Context(), m, o) }
	const promised = 1e-6
	for i, want := range []float64{27338.99780, 133626.42360, 44507.90585, 55100.22550} {
		read := func(what string) []byte {
			b, err := os.ReadFile(fmt.Sprintf("../blend/testdata/ex%d.%s.csv", i+1, what))
			if err != nil {
				t.Fatal(err)
			}
			return b
		}
		p, err := blend.FromTables(read("lots"), read("orders"))
		if err != nil {
			t.Fatal(err)
		}
		r, err := blend.Find(p, solve, linear.Options{Gap: promised / 2, Seconds: 120})
		if err != nil || r.Plan == nil {
			t.Fatalf("ex%d: %v %v", i+1, r, err)
		}
		score := r.Plan.Scores[0]
		if math.Abs(score.Value-want) > promised*want || !r.Plan.Proven || score.Bound > want*(1+promised) {
			t.Errorf("ex%d: %.5f, bound %.5f, proven %v; want %.5f", i+1, score.Value, score.Bound, r.Plan.Proven, want)
		}
		if _, faults, err := blend.Check(&p, r.Plan.Draws); err != nil || len(faults) > 0 {
			t.Errorf("ex%d: %v %v", i+1, faults, err)
		}
	}
}
