package cli

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// morning is the hour at which a day sheet of an earlier day is drawn up.
const morning = 6 * time.Hour

type dayCommand struct {
	Date    []string `arg:"" optional:"" help:"A day as 2026-09-01, for what was known at 06:00 that morning, or with a time: 2026-09-01 17:00. Without it: now."`
	If      []string `name:"if" sep:"none" placeholder:"WHAT" help:"Suppose something; nothing is recorded. \"order=5000 summer 340 2026-09-25\", \"sold=D020,D021\", \"failed=D020\", \"broken=jar filler 2026-09-21..2026-09-23\", \"off=2026-09-15T13:00..2026-09-15T17:00\" (no power), \"people=6\", \"late=JAR340 2026-11-05\". May stand several times."`
	Accept  bool     `help:"Agree to the plan of the days to come: the next one keeps to it unless a change pays."`
	Done    []int    `sep:"," placeholder:"N" help:"These jobs of the sheet were done; --when says when."`
	NotDone int      `placeholder:"N" help:"This job of the sheet was not done; needs --reason."`
	Reason  string   `help:"Why it was not done."`
	Better  float64  `name:"seconds" placeholder:"N" help:"Look for a better plan for so many seconds, and say how far from the best it may be."`
	writer
	onPaper
}

func (c *dayCommand) Run(ctx context.Context, a *app) error {
	if len(c.Done) > 0 || c.NotDone != 0 || c.Accept {
		return c.write(ctx, a)
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	s, none, err := c.sheet(ctx, h)
	if wrong := (*office.BlendWrong)(nil); errors.As(err, &wrong) {
		return a.wrongAsk(err)
	}
	if err != nil {
		return err
	}
	if none != nil {
		return a.show(*none)
	}
	x := s.Answer()
	if len(c.If) > 0 {
		was, _, err := (&dayCommand{Date: c.Date}).sheet(ctx, h)
		if err != nil {
			return err
		}
		x = office.IfAnswer(was, s)
	}
	if c.onPaper.asked() {
		return c.onPaper.write(a, h, "page.daysheet", x)
	}
	return a.show(x)
}

// sheet draws up the sheet, or says why there is none.
func (c *dayCommand) sheet(ctx context.Context, h *opened) (*office.DaySheet, *answer.Answer, error) {
	at := h.Now()
	if text := strings.TrimSpace(strings.Join(c.Date, " ")); text != "" {
		t, err := h.moment(text)
		if err != nil {
			return nil, nil, err
		}
		at = t
	}
	var ifs []office.If
	for _, text := range c.If {
		i, err := office.ParseIf(text, at)
		if err != nil {
			return nil, nil, err
		}
		ifs = append(ifs, i)
	}
	v, err := c.view(ctx, h, at)
	if err != nil {
		return nil, nil, err
	}
	if v.Facts() == 0 {
		none, err := h.Day(ctx, at)
		return nil, &none, err
	}
	s, err := h.DaySheet(ctx, v, at, ifs)
	if err == nil && c.Better > 0 {
		err = h.BetterPlan(ctx, s, c.Better)
	}
	return s, nil, err
}

// view is the house as it was known then; all that is known, where no time is named.
func (c *dayCommand) view(ctx context.Context, h *opened, at time.Time) (v *office.View, err error) {
	if len(c.Date) > 0 {
		return h.AsOf(ctx, at)
	}
	h.Read(func(now *office.View) { v = now.Apart() })
	return v, nil
}

// write ticks jobs off, or agrees to the plan.
func (c *dayCommand) write(ctx context.Context, a *app) error {
	if c.NotDone != 0 && c.Reason == "" {
		return usage("job-reason")
	}
	if len(c.If) > 0 {
		return usage("if-write")
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	d, err := c.draft(h, record.Key(randomKey()))
	if err != nil {
		return err
	}
	s, none, err := c.sheet(ctx, h)
	if err != nil {
		return err
	}
	if none != nil {
		return a.wrong(*none)
	}
	x := answer.Answer{Question: "day"}
	if c.Accept {
		if len(s.Plan.Agree().Steps) == 0 {
			return &house.Refusal{Key: "plan.nothing-to-agree"}
		}
		d.Facts = append(d.Facts, s.Plan.Agree())
		x.Say("plan.agreed", answer.Args{"n": int64(len(s.Plan.Agree().Steps))})
	}
	tick := func(n int, done bool) error {
		j, ok := s.Job(n)
		if !ok {
			return &house.Refusal{Key: "refused.no-job", Args: answer.Args{"n": int64(n), "day": s.Day, "all": int64(len(s.Jobs))}, Next: "next.type-again"}
		}
		if f := s.Ticked(j, done, c.Reason); !h.ticked(f) {
			d.Facts = append(d.Facts, f)
		}
		x.Lines = append(x.Lines, j.What)
		return nil
	}
	slices.Sort(c.Done)
	for _, n := range slices.Compact(c.Done) {
		if err := tick(n, true); err != nil {
			return err
		}
	}
	if c.NotDone != 0 {
		if err := tick(c.NotDone, false); err != nil {
			return err
		}
	}
	if len(d.Facts) == 0 {
		x.Say("job.already", nil)
		return a.show(x)
	}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	receipt(&x, r)
	return a.show(x)
}

// ticked reports whether a job was ticked off so already.
func (h *opened) ticked(f *record.JobTicked) (same bool) {
	h.Read(func(v *office.View) {
		for _, t := range v.State.Ticks(f.Day) {
			if t.Job == f.Job {
				same = t.Done == f.Done && t.Reason == f.Reason
			}
		}
	})
	return same
}

// moment is the time that a day sheet is asked for.
func (h *opened) moment(text string) (time.Time, error) {
	w, err := h.when(text)
	if err != nil {
		return time.Time{}, err
	}
	at := w.Time()
	if w.Precision == record.ToDay {
		at = at.Add(morning)
	}
	if now := h.Now(); at.After(now) {
		return at, &house.Refusal{Key: "refused.time-to-come", Args: answer.Args{"when": record.At(at), "now": record.At(now)}, Next: "next.check-date"}
	}
	return at, nil
}
