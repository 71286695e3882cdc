package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type statedCommand struct {
	Code string `arg:"" optional:"" help:"A lot or a delivery; without it, every lot in one line."`
	onPaper
}

func (c *statedCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.statement", func(h *opened) (x answer.Answer, err error) {
		h.Read(func(v *office.View) { x = v.HarvestStatement(record.Code(c.Code)) })
		return x, nil
	})
}

type drumsCommand struct{ onPaper }

func (c *drumsCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.drums", func(h *opened) (x answer.Answer, err error) {
		h.Read(func(v *office.View) { x = v.DrumRegister() })
		return x, nil
	})
}

type faultsCommand struct{ onPaper }

func (c *faultsCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.complaints", func(h *opened) (x answer.Answer, err error) {
		h.Read(func(v *office.View) { x = v.ComplaintList() })
		return x, nil
	})
}
