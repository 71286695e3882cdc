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
	return a.question(ctx, func(h *opened) (answer.Answer, error) {
		at, err := h.moment(strings.Join(c.Date, " "))
		if err != nil {
			return answer.Answer{}, err
		}
		return h.Day(ctx, at)
	})
}

// now is this moment, and not before the last entry: a simulated clock stands at its
// moment whenever the house is opened, so that what was written a moment ago would be
// yet to come. A clock that was an hour wrong is another matter.
func (h *opened) now() time.Time {
	at := h.Now()
	h.Read(func(v *office.View) {
		if e, err := v.Fact(v.Facts()); err == nil && e.Written().After(at) && e.Written().Sub(at) < time.Hour {
			at = e.Written().In(at.Location())
		}
	})
	return at
}

// moment is the time that a day sheet is asked for.
func (h *opened) moment(text string) (time.Time, error) {
	if text == "" {
		return h.now(), nil
	}
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
