package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type costCommand struct {
	Code string `arg:"" optional:"" help:"A run or lot mark, what a jar of it cost; a drum, lot or delivery, what a kilogram of it cost. Without it: the season, run by run."`
	AsOf string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	onPaper
}

func (c *costCommand) Run(ctx context.Context, a *app) error {
	return a.askedOn(ctx, c.AsOf, c.onPaper, "paper.title.cost", func(v *office.View) (answer.Answer, error) { return v.Cost(record.Code(c.Code)), nil })
}

// askedOn asks the house as it was known then, and puts the answer on paper where that is
// asked for.
func (a *app) askedOn(ctx context.Context, asOf string, p onPaper, title string, ask func(*office.View) (answer.Answer, error)) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	read, _, err := h.asOf(ctx, asOf)
	if err != nil {
		return err
	}
	var x answer.Answer
	read(func(v *office.View) { x, err = ask(v) })
	if err != nil {
		return err
	}
	if p.asked() && x.Cannot == nil {
		return p.write(a, h, title, x)
	}
	return a.show(x)
}
