package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/record"
)

type traceCommand struct {
	Code string `arg:"" help:"A drum, lot, run, lot mark, case, site, order, machine or lot of material."`
}

func (c *traceCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (answer.Answer, error) { return h.Trace(record.Code(c.Code)), nil })
}
