package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type scaleCommand struct {
	Code string `arg:"" optional:"" help:"The scale. Without it: every instrument, right or not today."`
	onPaper
}

func (c *scaleCommand) Run(ctx context.Context, a *app) error {
	return a.now(ctx, c.onPaper, "paper.title.scales", func(v *office.View, today record.Day) answer.Answer {
		if c.Code == "" {
			return v.ScaleList(today)
		}
		return v.ScaleRight(record.Code(c.Code))
	})
}
