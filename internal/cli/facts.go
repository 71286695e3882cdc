package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/record"
)

type factsCommand struct {
	Code string `arg:"" help:"Anything that bears a code."`
}

func (c *factsCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (answer.Answer, error) { return h.History(record.Code(c.Code)), nil })
}
