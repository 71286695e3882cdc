package cli

import (
	"context"
	"time"

	"combline/internal/answer"
	"combline/internal/epcis"
	"combline/internal/office"
	"combline/internal/record"
)

type registerCommand struct {
	From   string `arg:"" help:"A month as 2026-10, or the first day as 2026-10-05."`
	To     string `arg:"" optional:"" help:"The last day; without it, the end of the month, or the one day."`
	Events string `name:"events" placeholder:"FILE" help:"Write what happened to the honey as events of EPCIS 2.0 (JSON-LD), each named by its hash."`
	onPaper
}

func (c *registerCommand) Run(ctx context.Context, a *app) error {
	from, to, err := c.period()
	if err != nil {
		return err
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	if c.Events != "" {
		if err := c.events(a, h, from, to); err != nil {
			return err
		}
	}
	if !c.asked() && c.Events != "" {
		return nil
	}
	var x answer.Answer
	h.Read(func(v *office.View) { x = v.Register(from, to) })
	if c.asked() {
		return c.write(a, h, "paper.title.register", x)
	}
	return a.show(x)
}

// period is the first and the last day.
func (c *registerCommand) period() (from, to record.Day, err error) {
	first, err := time.Parse("2006-01", c.From)
	last := first.AddDate(0, 1, -1)
	if err != nil {
		if first, err = time.Parse(time.DateOnly, c.From); err != nil {
			return 0, 0, usage("period", "typed", c.From)
		}
		last = first
	}
	if c.To != "" {
		if last, err = time.Parse(time.DateOnly, c.To); err != nil {
			return 0, 0, usage("period", "typed", c.To)
		}
	}
	if last.Before(first) {
		return 0, 0, usage("period-backwards", "from", c.From, "to", c.To)
	}
	return dayOf(first), dayOf(last), nil
}

func dayOf(t time.Time) record.Day { return record.Day(t.Unix() / 86400) }

func (c *registerCommand) events(a *app, h *opened, from, to record.Day) error {
	var events []epcis.Event
	var terms epcis.Context
	var err error
	h.Read(func(v *office.View) {
		events, err = v.Events(from, to)
		terms = v.Terms()
	})
	if err != nil {
		return err
	}
	doc, err := epcis.Document(events, terms, h.Now())
	if err != nil {
		return err
	}
	return a.newFile(c.Events, doc)
}
