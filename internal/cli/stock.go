package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
)

type stockCommand struct{ onPaper }

func (c *stockCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.stock", func(h *opened) (x answer.Answer, err error) {
		h.Read(func(v *office.View) { x = v.StockInFull() })
		return x, nil
	})
}

// question opens the house for reading, asks, and shows the answer.
func (a *app) question(ctx context.Context, ask func(*opened) (answer.Answer, error)) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	x, err := ask(h)
	if err != nil {
		return err
	}
	return a.show(x)
}
