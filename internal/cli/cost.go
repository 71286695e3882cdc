package cli

import (
	"context"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type costCommand struct {
	Code      string `arg:"" optional:"" help:"A run or lot mark, what a jar of it cost; a drum, lot or delivery, what a kilogram of it cost. A year or nothing: the season, run by run. With --drums-or-jars and --gram: a product."`
	Margin    bool   `name:"drums-or-jars" xor:"what" help:"What is over of a kilogram and of an hour of work in drums and in jars."`
	DrumPrice string `name:"drum-price" placeholder:"PRICE" help:"With --drums-or-jars: what a kilogram fetches in drums, as 5.60 or with its doubt 5.60±0.20. Without it: as it was last ordered."`
	JarPrice  string `name:"jar-price" placeholder:"PRICE" help:"With --drums-or-jars PRODUCT: what a jar of it fetches, with or without a doubt."`
	DrumHours string `name:"drum-hours" placeholder:"H" help:"With --drums-or-jars: person-hours of sending a drum. Without it: the house's rule cost.drum-work."`
	Gram      bool   `xor:"what" help:"What a gram of overfill costs in a year."`
	Units     int64  `placeholder:"N" help:"With --gram: so many jars a year. Without it: those of the last 365 days."`
	Energy    bool   `xor:"what" help:"What the warming rooms will cost in the week to come."`
	Lab       bool   `xor:"what" help:"Which honey goes to the laboratory, for which tests, and what they cost."`
	AsOf      string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	onPaper
}

func (c *costCommand) Run(ctx context.Context, a *app) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	read, now, err := h.asOf(ctx, c.AsOf)
	if err != nil {
		return err
	}
	var x answer.Answer
	code := record.Code(c.Code)
	var plan *office.DayPlan
	if c.Energy {
		if plan, err = h.planned(ctx, c.AsOf, now); err != nil {
			return err
		}
	}
	read(func(v *office.View) {
		switch {
		case c.Margin:
			var ask office.MarginAsk
			if ask, err = c.margin(v); err == nil {
				x, err = v.Margins(ask)
			}
		case c.Gram && c.Units < 0:
			err = usage("units", "typed", c.Units)
		case c.Gram:
			x = v.OneGram(code, c.Units)
		case c.Energy:
			x = v.Energy(now, plan)
		case c.Lab:
			x = v.LabTests()
		default:
			x = v.Cost(code)
		}
	})
	if err != nil {
		return err
	}
	return a.answered(h, c.onPaper, "paper.title.cost", x)
}

// planned is the plan of the days to come as it would be drawn up then.
func (h *opened) planned(ctx context.Context, asOf string, at time.Time) (*office.DayPlan, error) {
	v, err := h.AsOf(ctx, at)
	if strings.TrimSpace(asOf) == "" {
		h.Read(func(now *office.View) { v = now.Apart() })
	}
	if err != nil || v.Facts() == 0 {
		return nil, err
	}
	return h.PlanDays(ctx, v, at, nil)
}

// answered shows an answer, or puts it on paper where that is asked for.
func (a *app) answered(h *opened, p onPaper, title string, x answer.Answer) error {
	if p.asked() && x.Cannot == nil {
		return p.write(a, h, title, x)
	}
	return a.show(x)
}

// margin reads the typed prices.
func (c *costCommand) margin(v *office.View) (ask office.MarginAsk, err error) {
	ask.Product = record.Code(c.Code)
	if c.JarPrice != "" && c.Code == "" {
		return ask, usage("jar-price")
	}
	for _, x := range []struct {
		text string
		to   *quantity.Reading
	}{{c.DrumPrice, &ask.Drum}, {c.JarPrice, &ask.Unit}} {
		if x.text == "" {
			continue
		}
		r, err := quantity.ParseReading(x.text, moneyWant(v))
		if err != nil || r.Figure.Mantissa < 0 {
			return ask, usage("price", "typed", x.text)
		}
		*x.to = r
	}
	if c.DrumHours != "" {
		f, err := quantity.ParseFigure(c.DrumHours, quantity.Want{Unit: quantity.Hour, Style: quantity.DecimalPoint})
		if err != nil || f.Mantissa < 0 {
			return ask, usage("hours", "typed", c.DrumHours)
		}
		ask.Hours = f
	}
	return ask, nil
}

// moneyWant is how a price is typed: with a point, with or without the house's currency.
func moneyWant(v *office.View) quantity.Want {
	return quantity.Want{Unit: quantity.Money, Style: quantity.DecimalPoint, Currency: v.State.House().Currency}
}
