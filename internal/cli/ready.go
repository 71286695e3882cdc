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

// Questions of the extraction room: ready for the next step, the line, what goes on top,
// seed.

type readyCommand struct {
	Code     string   `arg:"" optional:"" help:"A lot: are its supers dry enough to spin, and how long must they stay in the hot room. A tank: when may it be drawn, or a soft-set tank jarred. Without it: all that waits."`
	Read     []string `placeholder:"PCT" help:"Water of combs as read now, one or several parted by commas, instead of what is written down."`
	TempC    string   `name:"temp-c" placeholder:"C" help:"Temperature of the honey: with --read that of the combs on an instrument that corrects nothing, else that of the tank."`
	Humidity string   `name:"rh-pct" placeholder:"PCT" help:"Relative humidity of the hot room, whatever is written down."`
	Target   string   `name:"target-pct" placeholder:"PCT" help:"Water at which a comb is dry enough. Without it: the house's rule, 18.0."`
	Depth    string   `name:"depth-m" placeholder:"M" help:"Depth of the honey in the tank, as a dip stick reads it."`
	Water    string   `name:"water-pct" placeholder:"PCT" help:"Water of the honey in the tank, whatever is written down."`
	Bubble   string   `name:"bubble-mm" placeholder:"MM" help:"Bubbles of this size shall be up. Without it: the house's rule, 0.2."`
	AsOf     string   `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
}

func (c *readyCommand) Run(ctx context.Context, a *app) error {
	return a.askedAt(ctx, c.AsOf, func(v *office.View, now record.When) (x answer.Answer, err error) {
		if strings.TrimSpace(c.Code) == "" {
			return v.ReadyAll(now), nil
		}
		ask, err := c.ask(now)
		if err != nil {
			return x, err
		}
		return v.Ready(ask), nil
	})
}

func (c *readyCommand) ask(now record.When) (r office.ReadyAsk, err error) {
	r.At, r.Of = now, record.Code(strings.TrimSpace(c.Code))
	temp, err := typedFigure("temp-c", c.TempC, quantity.DegC)
	if err != nil {
		return r, err
	}
	for _, text := range c.Read {
		w, err := typedFigure("read", text, quantity.Pct)
		if err != nil {
			return r, err
		}
		corrects := record.Yes
		if temp.Given() {
			corrects = record.No
		}
		r.Stack.Typed = append(r.Stack.Typed, office.TypedComb{Water: w, Temp: temp, Corrects: corrects})
	}
	r.Draw.Temp = temp
	for _, x := range [...]struct {
		flag, text string
		unit       quantity.Unit
		to         *quantity.Figure
	}{{"rh-pct", c.Humidity, quantity.Pct, &r.Stack.Humidity}, {"target-pct", c.Target, quantity.Pct, &r.Stack.Target}, {"depth-m", c.Depth, quantity.Metre, &r.Draw.Depth},
		{"water-pct", c.Water, quantity.Pct, &r.Draw.Water}, {"bubble-mm", c.Bubble, quantity.MM, &r.Draw.Bubble}} {
		if *x.to, err = typedFigure(x.flag, x.text, x.unit); err != nil {
			return r, err
		}
	}
	return r, nil
}

// typedFigure reads a figure of a flag, with or without its unit; none is none.
func typedFigure(flag, text string, unit quantity.Unit) (quantity.Figure, error) {
	if strings.TrimSpace(text) == "" {
		return quantity.Figure{}, nil
	}
	f, err := quantity.ParseFigure(text, quantity.Want{Unit: unit})
	if err != nil {
		return f, usage("figure", "flag", "--"+flag, "typed", text)
	}
	return f, nil
}

// askedAt answers from the house as it is, or as it was known at a moment.
func (a *app) askedAt(ctx context.Context, text string, ask func(*office.View, record.When) (answer.Answer, error)) error {
	return a.question(ctx, func(h *opened) (x answer.Answer, err error) {
		read, now, err := h.asOf(ctx, text)
		if err != nil {
			return x, err
		}
		read(func(v *office.View) { x, err = ask(v, record.At(now)) })
		return x, err
	})
}

type lineCommand struct {
	Supers int64    `placeholder:"N" help:"Supers to do today in all. Without it: what is in the house and not spun."`
	By     string   `placeholder:"HH:MM" help:"When the day ends. Without it: 17:00."`
	Rate   []string `placeholder:"MACHINE=N" help:"Frames an hour that a machine can do, whatever is written down, as uncapper=480; several parted by commas."`
	AsOf   string   `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
}

func (c *lineCommand) Run(ctx context.Context, a *app) error {
	return a.askedAt(ctx, c.AsOf, func(v *office.View, now record.When) (x answer.Answer, err error) {
		ask := office.LineAsk{At: now, Supers: c.Supers}
		if c.Supers < 0 || c.Supers > 1e6 {
			return x, usage("figure", "flag", "--supers", "typed", c.Supers)
		}
		if c.By != "" {
			t, err := time.Parse("15:04", strings.TrimSpace(c.By))
			if err != nil {
				return x, usage("figure", "flag", "--by", "typed", c.By)
			}
			ask.By = int64(t.Hour()*60 + t.Minute())
		}
		for _, r := range c.Rate {
			name, n, _ := strings.Cut(r, "=")
			all, err := office.ParseLineRates(name + " " + n)
			if err != nil {
				return x, err
			}
			ask.Rates = append(ask.Rates, all...)
		}
		return v.Line(ask), nil
	})
}

type topCommand struct {
	Tank string `arg:"" help:"The tank that has honey in it."`
	Code string `arg:"" help:"The lot, drum or tank whose honey would go on top."`
	AsOf string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
}

func (c *topCommand) Run(ctx context.Context, a *app) error {
	return a.askedAt(ctx, c.AsOf, func(v *office.View, _ record.When) (answer.Answer, error) {
		return v.MayTop(record.Code(strings.TrimSpace(c.Tank)), record.Code(strings.TrimSpace(c.Code))), nil
	})
}

type seedCommand struct {
	Tank  string `arg:"" help:"The tank that is to be soft-set, or is."`
	Seed  string `placeholder:"CODE" help:"The seed to use. Without it: the house's only one."`
	Honey string `name:"honey-kg" placeholder:"KG" help:"How much honey, whatever is in the tank."`
	Water string `name:"water-pct" placeholder:"PCT" help:"Its water, whatever is written down."`
	Start string `name:"temp-c" placeholder:"C" help:"Its temperature now. Without it: as read, or 24."`
	AsOf  string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
}

func (c *seedCommand) Run(ctx context.Context, a *app) error {
	return a.askedAt(ctx, c.AsOf, func(v *office.View, now record.When) (x answer.Answer, err error) {
		ask := office.SeedAsk{Tank: record.Code(strings.TrimSpace(c.Tank)), Seed: record.Code(strings.TrimSpace(c.Seed)), At: now}
		kg, err := typedFigure("honey-kg", c.Honey, quantity.KgUnit)
		if err != nil {
			return x, err
		}
		if ask.Honey, err = gramsOf(kg); err != nil {
			return x, usage("figure", "flag", "--honey-kg", "typed", c.Honey)
		}
		if ask.Water, err = typedFigure("water-pct", c.Water, quantity.Pct); err != nil {
			return x, err
		}
		if ask.Start, err = typedFigure("temp-c", c.Start, quantity.DegC); err != nil {
			return x, err
		}
		return v.Seed(ask), nil
	})
}

// gramsOf is a mass in whole grams; none is 0.
func gramsOf(f quantity.Figure) (quantity.Gram, error) {
	if !f.Given() {
		return 0, nil
	}
	x, err := f.In(quantity.G)
	if err != nil || !(x > 0 && x <= 1e8) {
		return 0, usage("figure", "flag", "--honey-kg", "typed", f.String())
	}
	return quantity.Gram(x + 0.5), nil
}
