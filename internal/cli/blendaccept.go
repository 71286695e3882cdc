package cli

import (
	"context"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// accept records the blend as a plan. It is an intent: what is tipped is recorded as
// it is tipped.
func (c *blendCommand) accept(ctx context.Context, a *app, h *opened, w *office.BlendWork) error {
	code := record.Code(strings.TrimSpace(c.Accept))
	if strings.EqualFold(string(code), "next") {
		code = ""
	}
	d := house.Draft{Key: record.Key(randomKey()), Person: record.Code(c.Person), Device: record.Code(c.Device), When: record.At(h.Now()), Confirmed: c.Confirm}
	r, err := h.AcceptBlend(ctx, w, d, code)
	if err != nil {
		return inFolder(h.dir, err)
	}
	x := w.Answer()
	receipt(&x, r)
	return a.show(x)
}

// everyOrder blends for all open orders from one stock.
func (c *blendCommand) everyOrder(ctx context.Context, a *app, h *opened) error {
	if c.Accept != "" {
		return usage("accept-one")
	}
	var x answer.Answer
	run := func(v *office.View, today record.Day) error {
		r, err := h.BlendRound(ctx, v, today, c.Seconds)
		if err == nil {
			x = r.Answer()
		}
		return err
	}
	var v *office.View
	var today record.Day
	var err error
	if c.On != "" {
		v, today, err = c.then(ctx, h)
	} else {
		v, err = h.AsOf(ctx, h.Now())
		today = record.DayOf(h.Now())
	}
	if err == nil {
		err = run(v, today)
	}
	if err != nil {
		return a.wrongAsk(err)
	}
	return a.show(x)
}
