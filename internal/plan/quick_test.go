package plan

import (
	"reflect"
	"testing"
)

const testSteps = 8_000 // a fiftieth of the usual work: what is tested is the same

func TestQuickIsSound(t *testing.T) {
	for seed := range uint64(2) {
		p := drawProblem(seed, 20, 200, 14)
		got, err := Quick(p, testSteps)
		if err != nil {
			t.Fatal(err)
		}
		if b := Check(p, &got); len(b) > 0 {
			t.Errorf("seed %d: %v", seed, b)
		}
		if len(got.Spots) < 15 {
			t.Errorf("seed %d: only %d of 20 orders are done; the house is made to hold nearly all", seed, len(got.Spots))
		}
	}
}

func TestSameStepsSamePlan(t *testing.T) {
	p := drawProblem(5, 10, 100, 14)
	a, _ := Quick(p, 5_000)
	if b, _ := Quick(p, 5_000); !reflect.DeepEqual(a, b) {
		t.Errorf("two plans of one problem: %v and %v", a, b)
	}
}

// remember makes a plan the plan before.
func remember(p *Problem, plan *Plan) {
	for _, s := range plan.Spots {
		p.Jobs[s.Job].Was = &Was{Way: p.Jobs[s.Job].Ways[s.Way].Name, Start: s.Start, Done: s.Done}
	}
}

// Where nothing changed the plan before stays; where the line breaks for a day only what
// pays is moved, and the plan is sound.
func TestAgain(t *testing.T) {
	p := drawProblem(3, 20, 200, 14)
	before, err := Quick(p, testSteps)
	if err != nil {
		t.Fatal(err)
	}
	remember(p, &before)
	same, _ := Quick(p, testSteps/4)
	if same.Cost.Sum() > before.Cost.Sum() || same.Cost.Moved > 0 && same.Cost.Sum() == before.Cost.Sum() {
		t.Errorf("nothing changed, yet %d of moves and %d instead of %d", same.Cost.Moved, same.Cost.Sum(), before.Cost.Sum())
	}
	p.Resources[iPiston].Capacity = []Step{{0, 1}, {8 * Day, 0}, {9 * Day, 1}}
	after, _ := Quick(p, testSteps)
	if b := Check(p, &after); len(b) > 0 {
		t.Errorf("with the line broken: %v", b)
	}
	moved := int(after.Cost.Moved / p.Move)
	if moved == 0 || moved > 12 {
		t.Errorf("a line broken for one of ten days moved %d of 20 jobs", moved)
	}
}

// A begun job stays where it is, its tank is not given to another, and what it took
// before the plan's start is not taken again.
func TestBegun(t *testing.T) {
	p, _ := twoRuns()
	p.Jobs[0].Begun = &Begun{Start: -2, On: [][]int{{0}, {2}, {3}, {4}}}
	p.Stocks[1].Comes = nil // the drum was tipped
	got, err := Quick(p, 1000)
	if err != nil {
		t.Fatal(err)
	}
	if b := Check(p, &got); len(b) > 0 {
		t.Error(b)
	}
	if s, ok := got.Spot(0); !ok || s.Start != -2 || s.On[1][0] != 2 {
		t.Errorf("the begun job is at %v", s)
	}
	if s, ok := got.Spot(1); !ok || s.Start != 4 { // at 0 its line would not be clean: 6 < 6 + 2
		t.Errorf("the other is at %v, want 4", s)
	}
}

func TestBadProblemsAreRefused(t *testing.T) {
	for what, spoil := range map[string]func(p *Problem){
		"no horizon":        func(p *Problem) { p.Horizon = 0 },
		"midnight":          func(p *Problem) { p.Midnight = 48 },
		"capacity":          func(p *Problem) { p.Resources[0].Capacity = always(-1) },
		"steps back":        func(p *Problem) { p.Stocks[0].Comes = []Step{{5, 1}, {5, 2}} },
		"a use of nothing":  func(p *Problem) { p.Jobs[0].Ways[0].Uses[0].Any = nil },
		"an empty use":      func(p *Problem) { p.Jobs[0].Ways[0].Uses[0].To = 0 },
		"no such resource":  func(p *Problem) { p.Jobs[0].Ways[0].Uses[0].Any = []int{9} },
		"no such stock":     func(p *Problem) { p.Jobs[0].Ways[0].Takes[0].Stock = 9 },
		"no such family":    func(p *Problem) { p.Jobs[0].Ways[0].Uses[2].Family = 2 },
		"a ragged change":   func(p *Problem) { p.Resources[3].Changes[0] = nil },
		"cost below 0":      func(p *Problem) { p.Jobs[0].Ways[0].Cost = -1 },
		"waits for itself":  func(p *Problem) { p.Jobs[0].After = []After{{Job: 1}}; p.Jobs[1].After = []After{{Job: 0}} },
		"begun in no way":   func(p *Problem) { p.Jobs[0].Begun = &Begun{Way: 3} },
		"begun on another":  func(p *Problem) { p.Jobs[0].Begun = &Begun{On: [][]int{{0}, {0}, {3}, {4}}} },
		"starts out of row": func(p *Problem) { p.Jobs[0].Ways[0].Starts = []Half{4, 0} },
	} {
		p, _ := twoRuns()
		if spoil(p); p.Check() == nil {
			t.Errorf("%s: not refused", what)
		}
		if _, err := Quick(p, 10); err == nil {
			t.Errorf("%s: planned", what)
		}
	}
}
