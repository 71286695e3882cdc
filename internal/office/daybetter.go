package office

import "context"

// BetterPlan looks for a better plan than a sheet's for some seconds, and notes how far
// from the best it may still be.
func (o *Office) BetterPlan(ctx context.Context, s *DaySheet, seconds float64) error {
	d := s.Plan
	if err := o.betterUntil(ctx, d, seconds, func() bool { return false }); err != nil {
		return err
	}
	midnight := dayStart(s.Day, s.At)
	jobs := d.jobs(s.At, midnight.AddDate(0, 0, 1))
	s.Jobs = nil
	s.number(jobs, jobs)
	s.tick(d.v.State.Ticks(s.Day))
	return nil
}
