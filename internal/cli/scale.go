package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/record"
)

type scaleCommand struct {
	Code string `arg:"" help:"The scale."`
}

func (c *scaleCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (answer.Answer, error) { return h.ScaleRight(record.Code(c.Code)), nil })
}
