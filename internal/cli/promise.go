package cli

import (
	"context"
	"time"

	"combline/internal/office"
	"combline/internal/record"
)

type promiseCommand struct {
	Product string `arg:"" help:"The product, as \"blend 340\"."`
	Count   int64  `arg:"" help:"How many."`
	Day     string `arg:"" help:"By when, as 2026-11-09."`
	On      string `placeholder:"TIME" help:"As it was known then."`
	onPaper
}

// Run answers whether so much can be promised by a day: with the honey, the hours of
// people and line, the materials and the other promises; else the earliest day, and what
// holds it.
func (c *promiseCommand) Run(ctx context.Context, a *app) error {
	day, err := time.Parse(time.DateOnly, c.Day)
	if err != nil {
		return usage("period", "typed", c.Day)
	}
	if c.Count <= 0 || c.Count > office.MostUnits {
		return usage("count", "typed", c.Count, "most", int64(office.MostUnits))
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	at := h.Now()
	when := &dayCommand{}
	if c.On != "" {
		when.Date = []string{c.On}
		if at, err = h.moment(c.On); err != nil {
			return err
		}
	}
	v, err := when.view(ctx, h, at)
	if err != nil {
		return err
	}
	x, err := h.Promise(ctx, v, at, record.Code(c.Product), c.Count, dayOf(day))
	if err != nil {
		return inFolder(h.dir, err)
	}
	if c.onPaper.asked() && x.Cannot == nil {
		return c.onPaper.write(a, h, "paper.title.orders", x)
	}
	return a.show(x)
}
