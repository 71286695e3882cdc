package blend

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"combline/internal/linear"
)

// A Result is the best plan, or why there is none; and what was left out.
type Result struct {
	Plan   *Plan
	Clash  *Clash
	Status linear.Status // of the search for the first aim
	Outs   []Out         // contents that were not proposed, by batch and content
}

// ErrNotSettled is returned when a blend exists but none was found that keeps every
// limit in whole grams.
var ErrNotSettled = errors.New("no blend keeps every limit in whole grams; give a limit a little room")

// Find looks for the best plan by the problem's aims in their order. Limits are kept
// with the readings' doubt: the chance that the truth breaks one is at most the
// problem's risk, errors that readings share counted as shared. The plan is in whole
// grams and checked by [Check]; it says whether it is proven best by its first aim. If
// none is possible the result says why, and what small change would do. Out of time
// without a plan is neither: the status says so.
func Find(p Problem, solve linear.Solve, o linear.Options) (*Result, error) {
	r, t, err := find(p, solver{solve, o})
	if err != nil || r.Status != linear.Impossible {
		return r, err
	}
	r.Clash, err = t.explain(solver{solve, o})
	return r, err
}

// mostSettles bounds how often a plan that fails its check by the solver's tolerance
// is looked for again, further inside the limits.
const mostSettles = 5

func find(p Problem, s solver) (*Result, *task, error) {
	t, err := prepare(&p)
	if err != nil {
		return nil, nil, err
	}
	r := &Result{Outs: t.outs()}
	for k := range mostSettles {
		done, err := t.attempt(r, s)
		if err == nil && done && k > 0 && r.Plan == nil {
			break // there is one on paper, but none with room for a gram
		}
		if err != nil || done {
			return r, t, err
		}
	}
	r.Status = linear.OutOfTime
	return r, t, ErrNotSettled
}

// attempt looks for a plan once. It is not done if the plan failed its check.
func (t *task) attempt(r *Result, s solver) (bool, error) {
	a := ask{batches: t.all()}
	plan := &Plan{}
	var last *built
	var values []float64
	for i, aim := range t.p.aims() {
		a.aim = aim
		if i > 0 && last.idle(aim) {
			plan.Scores = append(plan.Scores, Score{Aim: aim})
			continue
		}
		b, sol, err := t.search(a, s)
		if err != nil {
			return false, err
		}
		if i == 0 {
			r.Status = sol.Status
			plan.Proven = sol.Status == linear.Proven
			t.bound = min(t.bound, sol.Bound)
			sol.Bound = t.bound // of the first attempt: later ones keep further inside
			if !sol.Found() {
				return true, nil
			}
		}
		if !sol.Found() { // a later aim ran out of time: the plan so far stands
			break
		}
		last, values = b, sol.Values
		plan.Scores = append(plan.Scores, Score{aim, sol.Objective, sol.Bound})
		a.kept = append(slices.Clone(a.kept), kept{aim, sol.Objective + 1e-9*math.Abs(sol.Objective) + 1e-7})
	}
	draws, err := t.settle(last, values, s)
	if err != nil {
		return false, err
	}
	done, err := t.finish(r, plan, draws)
	if r.Plan != nil {
		// What was found further inside, by an attempt after the first, is held to the
		// first's bound; whole grams may cost a little.
		first := r.Plan.Scores[0]
		r.Plan.Proven = r.Plan.Proven && first.Value-first.Bound <= max(s.o.Gap, 2e-6)*math.Abs(first.Value)+t.gramsWorth()
	}
	return done, err
}

// gramsWorth is what a few grams may cost.
func (t *task) gramsWorth() float64 {
	dearest := 0.0
	for i := range t.p.Contents {
		dearest = max(dearest, math.Abs(t.p.Contents[i].Cost))
	}
	return 10 * gramKg * (dearest + t.p.Prices.ShortKg + t.p.Prices.OverKg)
}

func (t *task) all() []int {
	all := make([]int, len(t.p.Batches))
	for j := range all {
		all[j] = j
	}
	return all
}

// idle reports an aim by which all plans are equal.
func (b *built) idle(a Aim) bool {
	if a == FewContents {
		return false
	}
	return !slices.ContainsFunc(b.weights(a), func(w float64) bool { return w != 0 })
}

// finish checks the draws and completes the plan. A limit broken by a hair is given
// room for the next attempt.
func (t *task) finish(r *Result, plan *Plan, draws []Draw) (bool, error) {
	blends, faults := t.check(draws)
	if len(faults) > 0 {
		return false, t.widen(faults)
	}
	plan.Draws, plan.Blends = draws, blends
	for _, d := range draws {
		plan.Cost += t.p.Contents[d.Content].Cost * kg(d.Grams)
		if d.Part {
			plan.PartDrums++
		}
	}
	for i := range plan.Scores {
		s := &plan.Scores[i]
		s.Value = t.score(s.Aim, plan)
		s.Bound = min(s.Bound, s.Value) // a share kept to the gram may save one
	}
	r.Plan = plan
	return true, nil
}

// leastRoom is the first room that is left to batches whose plan failed its check: a
// few grams in a tonne. It grows eightfold from attempt to attempt.
const leastRoom = doubtRoom

// widen keeps the next plan further inside the limits of the batches that this one
// broke.
func (t *task) widen(faults []Fault) error {
	wider := map[int]bool{}
	for _, f := range faults {
		if f.Content < 0 {
			wider[f.Demand.Batch] = true
		}
	}
	for j := range t.room {
		if wider[j] {
			t.room[j] = max(8*t.room[j], leastRoom)
		}
	}
	if f := faults[0]; len(wider) == 0 {
		return fmt.Errorf("%w (content %s)", ErrNotSettled, t.p.Contents[f.Content].Name)
	}
	return nil
}

// score reckons an aim from the plan's own grams.
func (t *task) score(a Aim, plan *Plan) (sum float64) {
	prices := t.p.Prices
	for _, d := range plan.Draws {
		c, w := &t.p.Contents[d.Content], kg(d.Grams)
		switch a {
		case Cheapest:
			sum += (c.Cost - prices.AgeKgDay*c.AgeDays) * w
		case OldestFirst:
			sum -= c.AgeDays * w
		case LeastHoney:
			sum += w
		}
	}
	for _, b := range plan.Blends {
		switch a {
		case Cheapest:
			sum += prices.Handling*float64(b.Contents) + prices.ShortKg*kg(b.Short) + prices.OverKg*kg(b.Over)
		case FewContents:
			sum += float64(b.Contents)
		case LeastShort:
			sum += kg(b.Short)
		}
	}
	if a == FewPartDrums {
		sum = float64(plan.PartDrums)
	}
	return sum
}
