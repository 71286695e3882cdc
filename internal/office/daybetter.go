package office

import (
	"context"
	"time"

	"combline/internal/linear"
	"combline/internal/plan"
)

// BetterPlan looks for a better plan than a sheet's for some seconds, and notes how far
// from the best it may still be.
func (o *Office) BetterPlan(ctx context.Context, s *DaySheet, seconds float64) error {
	d := s.Plan
	if err := o.better(ctx, d, seconds); err != nil {
		return err
	}
	midnight := dayStart(s.Day, s.At)
	s.Jobs = nil
	jobs := d.jobs(s.At, midnight.AddDate(0, 0, 1))
	s.number(jobs, jobs)
	s.tick(d.v.State.Ticks(s.Day))
	return nil
}

// better makes a plan better with the solver until the time is up or nothing better is
// left to find.
func (o *Office) better(ctx context.Context, d *DayPlan, seconds float64) error {
	o.blends.mu.Lock()
	solve := o.blends.solve
	o.blends.mu.Unlock()
	if solve == nil || len(d.Problem.Jobs) == 0 {
		return nil
	}
	seconds = min(max(seconds, 0.5), mostSeconds)
	until := time.Now().Add(time.Duration(seconds * float64(time.Second)))
	stop := func() bool { return ctx.Err() != nil || time.Now().After(until) }
	r, err := plan.Better(&d.Problem, d.Plan, plan.Options{Seconds: seconds, Stop: stop}, func(all []linear.Model, opt linear.Options) ([]linear.Solution, error) {
		opt.Seconds = max(0.2, min(time.Until(until).Seconds(), opt.Seconds))
		return solve(ctx, all, opt)
	})
	if err != nil {
		return err
	}
	d.Plan, d.Proven = r.Plan, true
	d.GapWhole, d.GapChoice = r.Gap()
	d.Moved = 0
	d.read()
	return nil
}
