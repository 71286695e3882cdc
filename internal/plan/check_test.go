package plan

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// twoRuns is a small sound plan: two batches through a room, one of two tanks, and a
// line that is cleaned down between them.
func twoRuns() (*Problem, *Plan) {
	clean := Change{Least: 2, Cost: 50}
	job := func(name string, family, setting int) Job {
		return Job{Name: name, Due: 20, Late: 10, Units: 100, Unmet: 10_000, Ways: []Way{{
			Name: "one", Starts: []Half{0, 4, 8, 12}, Done: 8, Units: 100, Cost: 100,
			Uses: []Use{
				{Name: "warm", Any: []int{0}, Amount: 2, To: 4, Setting: setting},
				{Name: "tank", Any: []int{1, 2}, Amount: 900, From: 4, To: 8},
				{Name: "fill", Any: []int{3}, Amount: 1, From: 6, To: 8, Family: family},
				{Name: "hands", Any: []int{4}, Amount: 2, From: 6, To: 8},
			},
			Takes: []Take{{Stock: 0, Amount: 100, At: 6}, {Stock: 1 + family, Amount: 290}},
		}}}
	}
	p := &Problem{Horizon: 48, Move: 5, Jobs: []Job{job("a", 0, 45), job("b", 1, 45)},
		Resources: []Resource{
			{Name: "room", Kind: Room, Capacity: always(4), OneSetting: true},
			{Name: "T1", Kind: Tank, Capacity: always(1000), Single: true},
			{Name: "T2", Kind: Tank, Capacity: always(1000), Single: true},
			{Name: "line", Kind: Line, Capacity: always(1), Single: true, Family: -1, Changes: [][]Change{{{}, clean}, {clean, {}}}},
			{Name: "hands", Kind: People, Capacity: always(3)},
		},
		Stocks: []Stock{{Name: "jars", Comes: []Step{{0, 100}, {8, 100}}},
			{Name: "drum a", Honey: true, Whole: true, Comes: []Step{{0, 290}}}, {Name: "drum b", Honey: true, Whole: true, Comes: []Step{{0, 290}}}}}
	return p, &Plan{Spots: []Spot{
		{Job: 0, Start: 0, Done: 8, On: [][]int{{0}, {1}, {3}, {4}}},
		{Job: 1, Start: 4, Done: 12, On: [][]int{{0}, {2}, {3}, {4}}},
	}, Cost: Cost{Ways: 200, Changes: 50}}
}

// Every kind of breach is found where it was planted, and nothing in the sound plan.
func TestCheckFindsWhatWasPlanted(t *testing.T) {
	p, plan := twoRuns()
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	if b := Check(p, plan); len(b) > 0 {
		t.Fatalf("the sound plan: %v", b)
	}
	for what, c := range map[string]struct {
		kind  BreachKind
		spoil func(p *Problem, plan *Plan)
	}{
		"a job nowhere":       {Missing, func(_ *Problem, plan *Plan) { plan.Spots = plan.Spots[:1] }},
		"a job twice":         {Missing, func(_ *Problem, plan *Plan) { plan.Unmet = []int{1} }},
		"an unknown job":      {Missing, func(_ *Problem, plan *Plan) { plan.Unmet = []int{7} }},
		"a begun job moved":   {Missing, func(p *Problem, _ *Plan) { p.Jobs[1].Begun = &Begun{Start: 2} }},
		"no such way":         {NoWay, func(_ *Problem, plan *Plan) { plan.Spots[0].Way = 1 }},
		"another tank":        {NoWay, func(_ *Problem, plan *Plan) { plan.Spots[0].On[1] = []int{0} }},
		"two tanks for one":   {NoWay, func(_ *Problem, plan *Plan) { plan.Spots[0].On[1] = []int{1, 2} }},
		"a start not allowed": {NotThen, func(_ *Problem, plan *Plan) { plan.Spots[1].Start, plan.Spots[1].Done = 5, 13 }},
		"before its release":  {TooEarly, func(p *Problem, _ *Plan) { p.Jobs[1].Release = 6 }},
		"past the end":        {PastEnd, func(p *Problem, _ *Plan) { p.Horizon = 11 }},
		"the room too small":  {Overfull, func(p *Problem, _ *Plan) { p.Jobs[0].Ways[0].Uses[0].Amount = 5 }},
		"the tank too small":  {Overfull, func(p *Problem, _ *Plan) { p.Resources[1].Capacity = always(899) }},
		"the tank broken":     {Overfull, func(p *Problem, _ *Plan) { p.Resources[2].Capacity = []Step{{0, 1000}, {9, 0}, {10, 1000}} }},
		"too few hands":       {Overfull, func(p *Problem, _ *Plan) { p.Resources[4].Capacity = []Step{{0, 3}, {11, 1}} }},
		"two in a tank": {TwoAtOnce, func(_ *Problem, plan *Plan) {
			plan.Spots[0].On[1], plan.Spots[1].On[1] = []int{1}, []int{1}
			plan.Spots[1].Start = 0
		}},
		"two runs on a line":    {TwoAtOnce, func(_ *Problem, plan *Plan) { plan.Spots[1].Start = 0 }},
		"no time to clean down": {Changing, func(p *Problem, _ *Plan) { p.Resources[3].Changes[0][1].Least = 3 }},
		"only the next day":     {Changing, func(p *Problem, _ *Plan) { p.Resources[3].Changes[0][1].NextDay = true }},
		"not clean of last week's": {Changing, func(p *Problem, _ *Plan) {
			p.Resources[3].Family, p.Resources[3].Ended, p.Resources[3].Changes[1][0].Least = 1, 0, 7
		}},
		"two settings":             {Settings, func(p *Problem, plan *Plan) { p.Jobs[1].Ways[0].Uses[0].Setting = 40; plan.Spots[1].Start = 0 }},
		"too few jars":             {Short, func(p *Problem, _ *Plan) { p.Stocks[0].Comes = []Step{{0, 199}} }},
		"jars too late":            {Short, func(p *Problem, _ *Plan) { p.Stocks[0].Comes[1].From = 11 }},
		"honey on hold":            {OnHold, func(p *Problem, _ *Plan) { p.Stocks[2].Held = true }},
		"one drum for two":         {Shared, func(p *Problem, _ *Plan) { p.Jobs[1].Ways[0].Takes[1].Stock = 1 }},
		"before what it waits for": {Waits, func(p *Problem, _ *Plan) { p.Jobs[1].After = []After{{Job: 0}} }},
		"told to be in time":       {ToldWrong, func(p *Problem, _ *Plan) { p.Jobs[1].Due = 11 }},
		"told too cheap":           {ToldWrong, func(_ *Problem, plan *Plan) { plan.Cost.Changes = 0 }},
	} {
		p, plan := twoRuns()
		c.spoil(p, plan)
		if found := Check(p, plan); !slices.ContainsFunc(found, func(b Breach) bool { return b.Kind == c.kind }) {
			t.Errorf("%s: found %v, want %s", what, found, c.kind)
		}
	}
}

// What the search takes for possible and what the check finds sound are the same, though
// they share no code: jobs put anywhere, one after the other.
func TestSearchAndCheckAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSmall(rapid.Uint64Range(1, 1<<40).Draw(t, "seed"))
		b := newBook(p)
		for range 8 {
			job := rapid.IntRange(0, len(p.Jobs)-1).Draw(t, "job")
			if b.spots[job] != nil {
				continue
			}
			way := rapid.IntRange(0, len(p.Jobs[job].Ways)-1).Draw(t, "way")
			start := Half(rapid.IntRange(0, int(p.Horizon)).Draw(t, "start"))
			o := option{int32(way), start, p.costOf(job, way, start)}
			_, in := b.place(job, o)
			plan := b.plan()
			if in == nil {
				if found := unless(Check(p, &plan), NotThen, TooEarly); len(found) > 0 {
					t.Fatalf("placed job %d at %d, yet %v", job, start, found)
				}
				continue
			}
			if len(p.Jobs[job].Ways[way].Uses[1].Any) > 1 {
				continue // the first tank need not be the one that was tried last
			}
			s := &Spot{Job: job, Way: way, Start: start, Done: start + p.Jobs[job].Ways[way].Done}
			for _, u := range p.Jobs[job].Ways[way].Uses {
				s.On = append(s.On, u.Any[:u.count()])
			}
			plan.Spots = append(plan.Spots, *s)
			plan.Unmet = slices.DeleteFunc(plan.Unmet, func(j int) bool { return j == job })
			if found := unless(Check(p, &plan), NotThen, TooEarly, ToldWrong); len(found) == 0 {
				t.Fatalf("job %d at %d was refused for %+v, yet nothing is wrong", job, start, *in)
			}
		}
	})
}

func unless(all []Breach, kinds ...BreachKind) []Breach {
	return slices.DeleteFunc(all, func(b Breach) bool { return slices.Contains(kinds, b.Kind) })
}
