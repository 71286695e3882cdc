package office

import (
	"context"
	"sync"
	"time"

	"combline/internal/linear"
	"combline/internal/plan"
	"combline/internal/record"
)

// SheetNews is the name under which [Office.WatchBlends] tells that a day's sheet is ready.
const SheetNews = "day"

const (
	sheetFresh  = 30 * time.Minute // of the house's clock: then it is drawn up again
	sheetBetter = 10.0             // seconds that a better plan is looked for behind the pages
)

// daySheets keeps the sheet of today as it was drawn up last.
type daySheets struct {
	mu    sync.Mutex
	last  *DaySheet
	facts uint64
	busy  bool
	ready chan struct{} // closed when the one being drawn up is ready
}

// TodaySheet is the sheet of today as it was drawn up last, and whether it knows of all
// that is written down. One that does not is drawn up again behind; whoever asks waits
// for it no longer than wait. Nil: there is none yet.
func (o *Office) TodaySheet(wait time.Duration) (s *DaySheet, fresh bool) {
	d := &o.sheets
	var facts uint64
	o.Read(func(v *View) { facts = v.Facts() })
	now := o.now()
	d.mu.Lock()
	fresh = d.last != nil && d.facts == facts && d.last.Day == record.DayOf(now) && now.Sub(d.last.At).Abs() < sheetFresh
	if !fresh && !d.busy {
		d.busy, d.ready = o.drawUp(facts, now), make(chan struct{})
	}
	s, busy, ready := d.last, d.busy, d.ready
	d.mu.Unlock()
	if fresh || !busy || wait <= 0 {
		return s, fresh
	}
	select {
	case <-ready:
		d.mu.Lock()
		defer d.mu.Unlock()
		return d.last, d.facts == facts
	case <-time.After(wait):
		return s, false
	}
}

// drawUp draws the sheet up behind the pages, then looks for a better plan for as long as
// nothing new is written down. False: the office is closing.
func (o *Office) drawUp(facts uint64, now time.Time) bool {
	b := &o.blends
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.ended {
		return false
	}
	b.wait.Go(func() {
		ctx, stop := context.WithCancel(context.Background())
		defer stop()
		s, err := o.sheetOf(ctx, now)
		o.keepSheet(s, facts, true)
		if err != nil || s == nil || !s.Plan.Solved {
			return
		}
		over := func() bool {
			stale := false
			o.Read(func(v *View) { stale = v.Facts() != facts })
			b.mu.Lock()
			defer b.mu.Unlock()
			return stale || b.ended
		}
		if better := o.betterSheet(ctx, s, over); better != nil {
			o.keepSheet(better, facts, false)
		}
	})
	return true
}

// sheetOf draws up the sheet of now; nil for a house in which nothing is written down.
func (o *Office) sheetOf(ctx context.Context, now time.Time) (*DaySheet, error) {
	v, err := o.AsOf(ctx, now.Add(time.Minute))
	if err != nil || v.Facts() == 0 {
		return nil, err
	}
	return o.DaySheet(ctx, v, now, nil)
}

// keepSheet puts a sheet in the place of the last, and tells.
func (o *Office) keepSheet(s *DaySheet, facts uint64, first bool) {
	d := &o.sheets
	d.mu.Lock()
	if s != nil && (first || d.facts == facts) {
		d.last, d.facts = s, facts
	}
	if first {
		d.busy = false
		close(d.ready)
	}
	d.mu.Unlock()
	o.blends.tell(SheetNews)
}

// betterSheet is the sheet with a better plan, if there is one; nil if it was stopped.
func (o *Office) betterSheet(ctx context.Context, s *DaySheet, over func() bool) *DaySheet {
	d := *s.Plan
	d.Orders = nil
	for _, x := range s.Plan.Orders { // the sheet that pages show stays as it is
		y := *x
		d.Orders = append(d.Orders, &y)
	}
	if err := o.betterUntil(ctx, &d, sheetBetter, over); err != nil || over() {
		return nil
	}
	t := *s
	t.Plan, t.Jobs = &d, nil
	midnight := dayStart(s.Day, s.At)
	t.number(s.Jobs, d.jobs(s.At, midnight.AddDate(0, 0, 1)))
	t.tick(d.v.State.Ticks(s.Day))
	return &t
}

// betterUntil looks for a better plan until the time is up, or somebody says that it is
// over.
func (o *Office) betterUntil(ctx context.Context, d *DayPlan, seconds float64, over func() bool) error {
	o.blends.mu.Lock()
	solve := o.blends.solve
	o.blends.mu.Unlock()
	if solve == nil || len(d.Problem.Jobs) == 0 {
		return nil
	}
	until := time.Now().Add(time.Duration(min(max(seconds, 0.5), mostSeconds) * float64(time.Second)))
	stop := func() bool { return ctx.Err() != nil || time.Now().After(until) || over() }
	r, err := plan.Better(&d.Problem, d.Plan, plan.Options{Seconds: seconds, Stop: stop}, func(all []linear.Model, opt linear.Options) ([]linear.Solution, error) {
		opt.Seconds = max(0.2, min(time.Until(until).Seconds(), opt.Seconds))
		return solve(ctx, all, opt)
	})
	if err != nil {
		return err
	}
	d.Plan, d.Proven, d.Moved = r.Plan, true, 0
	d.GapWhole, d.GapChoice = r.Gap()
	d.read()
	return nil
}
