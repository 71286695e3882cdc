package office

import (
	"cmp"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/plan"
	"combline/internal/record"
)

// read takes the plan back to the house: each order's steps with their times.
func (d *DayPlan) read() {
	for _, x := range d.Orders {
		x.Steps, x.Late, x.Earliest = nil, 0, 0
		x.Why = slices.DeleteFunc(x.Why, func(l answer.Line) bool {
			return slices.Contains([]string{"plan.no-place", "plan.no-time", "plan.holds", "plan.holds-by", "plan.holds-stuff"}, l.Key)
		})
		if x.Job < 0 {
			continue
		}
		spot, ok := d.Plan.Spot(x.Job)
		if !ok {
			d.alone(x)
			continue
		}
		x.Steps = d.steps(x, spot)
		if was := d.Problem.Jobs[x.Job].Was; was != nil && was.Start != spot.Start {
			d.Moved++
		}
		if due := x.Cover.Order.Due; due > 0 {
			if done := d.Clock.At(spot.Done); done.After(noonOf(due, d.At)) {
				x.Late = max(1, int64(record.DayOf(done)-due))
			}
		}
	}
	d.reasons()
}

// steps are the steps of a spot in clock order. What is only held meanwhile, as a tank,
// stands with each step of it.
func (d *DayPlan) steps(x *PlanOrder, s plan.Spot) (all []PlanStep) {
	w := d.Problem.Jobs[s.Job].Ways[s.Way]
	var tanks, line []record.Code
	room := x.Room
	for i := range w.Uses {
		for _, r := range s.On[i] {
			switch code := d.names[r].code; d.names[r].kind {
			case plan.Tank:
				tanks = append(tanks, code)
			case plan.Line:
				line = append(line, code)
			case plan.Room, plan.Bath:
				room = code
			}
		}
	}
	for _, u := range w.Uses {
		step := PlanStep{Kind: u.Name, From: d.Clock.At(s.Start + u.From), To: d.Clock.At(s.Start + u.To)}
		switch u.Name {
		case "carry", "warm":
			if room != "" {
				step.On = []record.Code{room}
			}
		case "tip", "cool", "seed", "hold", "rewarm":
			step.On = tanks
		case "ready":
			step.On = append(slices.Clone(tanks), line...)
		case "run", "clean":
			step.On = line
		default:
			continue
		}
		all = append(all, step)
	}
	slices.SortStableFunc(all, func(a, b PlanStep) int { return cmp.Or(a.From.Compare(b.From), a.To.Compare(b.To)) })
	return all
}

// alone looks how early an order that is not in the plan could be ready with the house to
// itself and after all others.
func (d *DayPlan) alone(x *PlanOrder) {
	p := d.Problem
	job := p.Jobs[x.Job]
	job.Was, job.Unmet = nil, 1<<39
	if len(job.Ways) == 0 {
		x.cannot("plan.no-time", nil)
		return
	}
	p.Jobs = []plan.Job{job}
	found, err := plan.Quick(&p, 1000)
	if spot, ok := found.Spot(0); err == nil && ok {
		x.Earliest = record.DayOf(d.Clock.At(spot.Done))
		x.cannot("plan.no-place", answer.Args{"day": x.Earliest})
		return
	}
	x.cannot("plan.no-time", nil)
}

// Step is the first step of a kind.
func (x *PlanOrder) Step(kind string) (s PlanStep, ok bool) {
	for _, s := range x.Steps {
		if s.Kind == kind {
			return s, true
		}
	}
	return s, false
}

// Done is when the order is packed; zero if it is not in the plan.
func (x *PlanOrder) Done() (at time.Time) {
	for _, s := range x.Steps {
		if s.Kind == "run" && s.To.After(at) {
			at = s.To
		}
	}
	return at
}
