package office

import (
	"context"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// A DaySheet is what to do on a day and in the days after, with why.
type DaySheet struct {
	Day  record.Day
	At   time.Time
	Plan *DayPlan
	Jobs []Job
	Now  answer.Answer // how the house stands
}

// sheetHour is when a day's sheet is drawn up: its jobs keep their numbers all day.
const sheetHour = 6

// DaySheet draws up the sheet of the day of at from what was known then. Jobs bear the
// numbers that they had in the morning; what came up later follows.
func (o *Office) DaySheet(ctx context.Context, v *View, at time.Time, ifs []If) (*DaySheet, error) {
	d, err := o.PlanDays(ctx, v, at, ifs)
	if err != nil {
		return nil, err
	}
	s := &DaySheet{Day: record.DayOf(at), At: at, Plan: d, Now: d.v.Day(at)}
	midnight := dayStart(s.Day, at)
	jobs := d.jobs(at, midnight.AddDate(0, 0, 1))
	morning := jobs
	if dawn := midnight.Add(sheetHour * time.Hour); at.After(dawn) && len(ifs) == 0 {
		if morning, err = o.morningJobs(ctx, dawn); err != nil {
			return nil, err
		}
	}
	s.number(morning, jobs)
	s.tick(d.v.State.Ticks(s.Day))
	return s, nil
}

// morningJobs are the jobs of the sheet that was drawn up in the morning.
func (o *Office) morningJobs(ctx context.Context, dawn time.Time) ([]Job, error) {
	v, err := o.AsOf(ctx, dawn)
	if err != nil || v.Facts() == 0 {
		return nil, err
	}
	d, err := o.PlanDays(ctx, v, dawn, nil)
	if err != nil {
		return nil, err
	}
	return d.jobs(dawn, dayStart(record.DayOf(dawn), dawn).AddDate(0, 0, 1)), nil
}

// number gives the jobs their numbers: those of the morning keep theirs, and those that
// are not asked any more stay on the sheet as such.
func (s *DaySheet) number(morning, now []Job) {
	find := func(key string) (Job, bool) {
		i := slices.IndexFunc(now, func(j Job) bool { return j.Key == key })
		if i < 0 {
			return Job{}, false
		}
		return now[i], true
	}
	for i, j := range morning {
		k, still := find(j.Key)
		if !still {
			k = j
			k.Gone = true
		}
		if k.Number = j.Number; k.Number == 0 {
			k.Number = i + 1
		}
		k.Tick = nil
		s.Jobs = append(s.Jobs, k)
	}
	for _, j := range now {
		if !slices.ContainsFunc(s.Jobs, func(k Job) bool { return k.Key == j.Key }) {
			j.Number = len(s.Jobs) + 1
			s.Jobs = append(s.Jobs, j)
		}
	}
}

// tick marks the jobs that were ticked off, and adds those that no sheet shows any more.
func (s *DaySheet) tick(ticks []house.Tick) {
	for i := range ticks {
		t := &ticks[i]
		at := slices.IndexFunc(s.Jobs, func(j Job) bool { return j.Key == t.Job })
		if at < 0 {
			s.Jobs = append(s.Jobs, Job{Key: t.Job, Number: int(t.Number), Kind: "other", What: answer.Line{Key: "job.other", Args: answer.Args{"job": t.Job}}})
			at = len(s.Jobs) - 1
		}
		s.Jobs[at].Tick = t
	}
}

// Job is a job by its number.
func (s *DaySheet) Job(number int) (Job, bool) {
	for _, j := range s.Jobs {
		if j.Number == number {
			return j, true
		}
	}
	return Job{}, false
}

// Left is how many jobs are still to be done.
func (s *DaySheet) Left() (n int) {
	for i := range s.Jobs {
		if s.Jobs[i].Open() {
			n++
		}
	}
	return n
}

// Ticked is the fact that ticks a job off.
func (s *DaySheet) Ticked(j Job, done bool, reason string) *record.JobTicked {
	f := &record.JobTicked{Day: s.Day, Job: j.Key, Number: int64(j.Number), Done: record.Yes, Reason: reason}
	if !done {
		f.Done = record.No
	}
	for _, c := range append(slices.Clone(j.Of), j.Order) {
		if t, ok := s.Plan.v.State.Find(c); ok && c != "" && s.Plan.v.State.KindOf(t) != record.NoEntity && !slices.Contains(f.About, c) {
			f.About = append(f.About, c)
		}
	}
	return f
}

// Agree is the fact that agrees to the plan.
func (d *DayPlan) Agree() *record.DayPlanned {
	f := &record.DayPlanned{Day: record.DayOf(d.At), Edition: planEdition}
	for _, x := range d.Orders {
		if len(x.Steps) == 0 {
			continue
		}
		first := x.Steps[0].From
		f.Steps = append(f.Steps, record.DayStep{Order: x.Cover.Order.Code, Product: x.Product.Product, Machine: x.Line, Day: record.DayOf(first), Clock: first.Format("15:04"), Units: x.Fill, From: x.contents()})
	}
	return f
}

const planEdition = "plan 1"
