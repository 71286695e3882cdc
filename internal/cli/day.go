package cli

import (
	"context"
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
	Date []string `arg:"" optional:"" help:"A day as 2026-09-01, for what was known at 06:00 that morning, or with a time: 2026-09-01 17:00. Without it: now."`
}

func (c *dayCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (x answer.Answer, err error) {
		text := strings.TrimSpace(strings.Join(c.Date, " "))
		if text == "" { // all that is known, whatever the clock said when it was written
			h.Read(func(v *office.View) { x = v.Day(h.Now()) })
			return x, nil
		}
		at, err := h.moment(text)
		if err != nil {
			return answer.Answer{}, err
		}
		return h.Day(ctx, at)
	})
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
