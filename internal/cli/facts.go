package cli

import (
	"context"

	"combline/internal/answer"
)

type factsCommand struct {
	Code string `arg:"" help:"Anything that bears a code."`
}

func (c *factsCommand) Run(ctx context.Context, a *app) error {
	code, err := named(c.Code)
	if err != nil {
		return err
	}
	return a.question(ctx, func(h *opened) (answer.Answer, error) { return h.History(code), nil })
}
