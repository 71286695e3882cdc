package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/record"
)

type balanceCommand struct {
	Code string `arg:"" optional:"" help:"A lot or a run; without it, the season with every lot and run."`
	onPaper
}

func (c *balanceCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.balance", func(h *opened) (answer.Answer, error) { return h.Balance(record.Code(c.Code)), nil })
}
