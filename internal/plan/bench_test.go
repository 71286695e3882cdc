package plan

import (
	"context"
	"math"
	"testing"
	"time"

	"combline/internal/linear"
	"combline/internal/milp"
)

// Instances of the benches: 20 orders, 200 drums, 14 days.
const benchSeeds = 6

func benchProblem(seed uint64) *Problem { return drawProblem(seed, 20, 200, 14) }

func sound(b *testing.B, p *Problem, plan *Plan) {
	b.Helper()
	if found := Check(p, plan); len(found) > 0 {
		b.Fatalf("%+v", found)
	}
}

// A first plan, from a problem to a plan that the check finds sound.
func BenchmarkPlanQuick(b *testing.B) {
	var worst time.Duration
	unmet, late := 0, 0
	for range b.N {
		unmet, late = 0, 0
		for seed := range uint64(benchSeeds) {
			p := benchProblem(seed)
			t0 := time.Now()
			plan, err := Quick(p, QuickSteps)
			if err != nil {
				b.Fatal(err)
			}
			worst = max(worst, time.Since(t0))
			sound(b, p, &plan)
			unmet += len(plan.Unmet)
			for _, s := range plan.Spots {
				if s.Late > 0 {
					late++
				}
			}
		}
	}
	b.ReportMetric(worst.Seconds(), "s-slowest")
	b.ReportMetric(float64(unmet), "orders-unmet-of-120")
	b.ReportMetric(float64(late), "late")
}

// The plan again, from the one before: a line down for a day, the power off for a night
// and a morning, a drum on hold, half of the jars late.
func BenchmarkPlanAgain(b *testing.B) {
	var worst time.Duration
	most := 0
	for range b.N {
		for seed := range uint64(benchSeeds) {
			before, err := Quick(benchProblem(seed), QuickSteps)
			if err != nil {
				b.Fatal(err)
			}
			for _, change := range []func(p *Problem){
				func(p *Problem) { p.Resources[iPiston].Capacity = []Step{{0, 1}, {4 * Day, 0}, {5 * Day, 1}} },
				func(p *Problem) {
					for _, r := range []int{iPiston, iPortion} {
						p.Resources[r].Capacity = []Step{{0, 1}, {7*Day + 40, 0}, {8*Day + 24, 1}}
					}
				},
				func(p *Problem) {
					s := before.Spots[len(before.Spots)/2]
					p.Stocks[p.Jobs[s.Job].Ways[s.Way].Takes[0].Stock].Held = true
				},
				func(p *Problem) { p.Stocks[len(p.Stocks)-1].Comes = []Step{{0, 5_000}, {10 * Day, 40_000}} },
			} {
				p := benchProblem(seed)
				remember(p, &before)
				change(p)
				t0 := time.Now()
				plan, err := Quick(p, QuickSteps)
				if err != nil {
					b.Fatal(err)
				}
				worst = max(worst, time.Since(t0))
				sound(b, p, &plan)
				most = max(most, int(plan.Cost.Moved/p.Move))
			}
		}
	}
	b.ReportMetric(worst.Seconds(), "s-slowest")
	b.ReportMetric(float64(most), "jobs-moved-at-most")
}

// Sixty seconds of the clock for a better plan and its proof: the gap as a part of the
// whole cost, and of what decisions can change.
func BenchmarkPlanGap(b *testing.B) {
	solver := milp.New(milp.CacheFolder())
	defer func() { _ = solver.Close() }()
	if err := solver.Ready(context.Background()); err != nil {
		b.Fatal(err)
	}
	var whole, choice, saved float64
	for range b.N {
		whole, choice, saved = 0, 0, math.Inf(1)
		for seed := range uint64(benchSeeds) {
			p := benchProblem(seed)
			first, err := Quick(p, QuickSteps)
			if err != nil {
				b.Fatal(err)
			}
			end := time.Now().Add(time.Minute)
			r, err := Better(p, first, Options{Seconds: 60, Stop: func() bool { return time.Now().After(end) }},
				func(all []linear.Model, o linear.Options) ([]linear.Solution, error) {
					o.Seconds = min(o.Seconds, max(0.1, time.Until(end).Seconds()))
					return solver.Solve(context.Background(), all, o)
				})
			if err != nil {
				b.Fatal(err)
			}
			sound(b, p, &r.Plan)
			w, c := r.Gap()
			b.Logf("instance %d: cost %+v, bound %d, alone %d: %.2f %% of the whole, %.0f %% of choice", seed, r.Plan.Cost, r.Bound, r.Alone, 100*w, 100*c)
			whole, choice = max(whole, w), max(choice, c)
			saved = min(saved, float64(first.Cost.Sum()-r.Plan.Cost.Sum())/float64(first.Cost.Sum()))
		}
	}
	b.ReportMetric(100*whole, "%-gap-of-the-whole-cost-at-most")
	b.ReportMetric(100*choice, "%-gap-of-what-decisions-change-at-most")
	b.ReportMetric(100*saved, "%-saved-on-the-first-plan-at-least")
}
