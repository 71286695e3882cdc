package cli

import (
	"context"
	"strings"

	"combline/internal/answer"
	"combline/internal/record"
)

type traceCommand struct {
	Code string `arg:"" help:"A drum, lot, run, lot mark, case, site, order, customer, machine, lot of material, hold, place or seal."`
	onPaper
}

func (c *traceCommand) Run(ctx context.Context, a *app) error {
	code, err := named(c.Code)
	if err != nil {
		return err
	}
	return a.onPaper(ctx, c.onPaper, "paper.title.trace", func(h *opened) (answer.Answer, error) { return h.Trace(code), nil })
}

// named is a code as it was typed; none at all names nothing.
func named(code string) (record.Code, error) {
	code = strings.TrimSpace(code)
	if code == "" {
		return "", usage("code")
	}
	return record.Code(code), nil
}
