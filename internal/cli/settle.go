package cli

import (
	"context"
	"strings"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type settleCommand struct {
	Of       string `arg:"" help:"Whom to settle with: an owner as he stands with his lots, a supplier, or one lot or delivery."`
	Price    string `placeholder:"PRICE" help:"What a kilogram of his honey fetches. Without it: the house's rules settle.price.HONEY and settle.price, before them those with his name."`
	Moisture string `placeholder:"TABLE" help:"What is added a kilogram for its water, \"17.5=0.10,18=0,18.5=-0.15\": up to each per cent. Wetter has no price. Without it: the rules settle.moisture.PERCENT."`
	Cooking  string `name:"cooking-price" placeholder:"PRICE" help:"A kilogram of melter honey and skim (settle.cooking)."`
	Fee      string `placeholder:"PRICE" help:"For spinning a kilogram (settle.fee)."`
	FeeSuper string `name:"fee-super" placeholder:"PRICE" help:"For spinning a super (settle.fee-super)."`
	Wax      string `name:"wax-price" placeholder:"PRICE" help:"A kilogram of wax (settle.wax)."`
	WaxKept  string `name:"wax-kept" placeholder:"PCT" help:"The house's share of the wax (settle.wax-kept)."`
	Gap      string `placeholder:"PCT" help:"What is unaccounted he carries up to this share of what was removed (settle.gap). Without it: the house's rule gap.lot, 1 %."`
	Back     bool   `help:"His honey and wax go back to him: only the fee is owed."`
	AsOf     string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	onPaper
}

func (c *settleCommand) Run(ctx context.Context, a *app) error {
	return a.askedOnPaper(ctx, c.AsOf, c.onPaper, "paper.title.settlement", func(v *office.View) (answer.Answer, error) {
		ask, err := c.ask(v)
		if err != nil {
			return answer.Answer{}, err
		}
		return v.Settlement(ask)
	})
}

// askedOnPaper answers from what was known then, on the screen and on paper.
func (a *app) askedOnPaper(ctx context.Context, asOf string, on onPaper, title string, ask func(*office.View) (answer.Answer, error)) error {
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
	return a.answered(h, on, title, x)
}

func (c *settleCommand) ask(v *office.View) (ask office.SettleAsk, err error) {
	ask = office.SettleAsk{Of: c.Of, Back: c.Back, Terms: map[string]quantity.Figure{}}
	for _, x := range []struct {
		name, text string
		unit       quantity.Unit
	}{{"price", c.Price, quantity.Money}, {"cooking", c.Cooking, quantity.Money}, {"fee", c.Fee, quantity.Money}, {"fee-super", c.FeeSuper, quantity.Money},
		{"wax", c.Wax, quantity.Money}, {"wax-kept", c.WaxKept, quantity.Pct}, {"gap", c.Gap, quantity.Pct}} {
		if x.text == "" {
			continue
		}
		want := moneyWant(v)
		want.Unit = x.unit
		f, err := quantity.ParseFigure(x.text, want)
		if err != nil || f.Mantissa < 0 || x.unit == quantity.Pct && f.Float() > 100 {
			return ask, usage("price", "typed", x.text)
		}
		ask.Terms[x.name] = f
	}
	ask.Steps, err = c.steps(v)
	return ask, err
}

// steps reads a table of moisture.
func (c *settleCommand) steps(v *office.View) (all []cost.Step, err error) {
	if c.Moisture == "" {
		return nil, nil
	}
	for _, text := range strings.Split(c.Moisture, ",") {
		upTo, add, ok := strings.Cut(text, "=")
		f, err := quantity.ParseFigure(upTo, quantity.Want{Unit: quantity.Pct, Style: quantity.DecimalPoint})
		m, err2 := quantity.ParseFigure(add, moneyWant(v))
		if !ok || err != nil || err2 != nil || f.Mantissa < 0 || f.Float() > 100 {
			return nil, usage("moisture", "typed", text)
		}
		price, err := cost.Price(m)
		if err != nil {
			return nil, usage("moisture", "typed", text)
		}
		all = append(all, cost.Step{UpTo: f, Add: price})
	}
	return all, nil
}

type waxCommand struct {
	Code string `arg:"" optional:"" help:"A block or a lot. Without it: every lot."`
	AsOf string `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	onPaper
}

func (c *waxCommand) Run(ctx context.Context, a *app) error {
	return a.askedOnPaper(ctx, c.AsOf, c.onPaper, "paper.title.wax", func(v *office.View) (answer.Answer, error) { return v.Wax(record.Code(c.Code)), nil })
}
