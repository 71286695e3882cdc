package cli

import (
	"context"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type setsCommand struct {
	Code     string `arg:"" help:"A lot mark, drum, tank or lot."`
	By       string `required:"" placeholder:"DAY" help:"Before which day, as 2026-12-24."`
	Glucose  string `name:"glucose-pct" placeholder:"PCT" help:"Glucose, g in 100 g, whatever is written down."`
	Fructose string `name:"fructose-pct" placeholder:"PCT" help:"Fructose, g in 100 g: with it all published criteria speak."`
	Water    string `name:"water-pct" placeholder:"PCT" help:"Water, whatever is written down."`
	AsOf     string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
}

func (c *setsCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (x answer.Answer, err error) {
		read, now, err := h.asOf(ctx, c.AsOf)
		if err != nil {
			return x, err
		}
		by, err := h.when(c.By)
		if err != nil {
			return x, err
		}
		ask := office.SetsAsk{Of: record.Code(strings.TrimSpace(c.Code)), At: record.At(now), By: record.DayOf(by.Time())}
		for _, t := range [...]struct {
			flag, text string
			to         *quantity.Figure
		}{{"glucose-pct", c.Glucose, &ask.Glucose}, {"fructose-pct", c.Fructose, &ask.Fructose}, {"water-pct", c.Water, &ask.Water}} {
			if *t.to, err = typedFigure(t.flag, t.text, quantity.Pct); err != nil {
				return x, err
			}
		}
		read(func(v *office.View) { x = v.Sets(ask) })
		return x, nil
	})
}
