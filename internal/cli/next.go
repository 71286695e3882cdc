package cli

import (
	"context"
	"strings"

	"combline/internal/answer"
)

type nextCommand struct {
	Head string `arg:"" help:"How the number begins: D for drums, L for lots, S- for steel."`
}

func (c *nextCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (answer.Answer, error) { return h.NextNumber(strings.TrimSpace(c.Head)), nil })
}
