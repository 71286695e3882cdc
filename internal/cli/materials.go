package cli

import (
	"context"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type stuffCommand struct {
	Date    string   `arg:"" optional:"" help:"As it was known on that day, 2026-09-01. Without it: now."`
	Runs    []string `name:"run" sep:"none" placeholder:"ORDER=DAY" help:"When an order is packed: \"O-06=2026-11-03\", with all that will be filled \"O-06=2026-11-03,9900\" and the run's name \"O-06=2026-11-03,9900,R3\"; may stand several times. Without it: some days before it is due (setting order.lead)."`
	Recipe  string   `placeholder:"PRODUCT" help:"Of a product with honey in it: its share for the label, allergens, and how many batches the honey makes."`
	Cooking bool     `help:"With --recipe: how many batches use up the cooking-grade honey."`
	onPaper
}

func (c *stuffCommand) Run(ctx context.Context, a *app) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	runs, err := c.runs()
	if err != nil {
		return err
	}
	var x answer.Answer
	err = h.known(ctx, c.Date, func(v *office.View, today record.Day) error {
		if c.Recipe != "" {
			k, ok := v.Kitchen(record.Code(c.Recipe), c.Cooking)
			if !ok {
				x = answer.Answer{Question: "kitchen", Of: record.Code(c.Recipe), Cannot: &answer.Line{Key: "kitchen.none", Args: answer.Args{"product": record.Code(c.Recipe)}}}
				return nil
			}
			x = k.Answer(v)
			return nil
		}
		for _, r := range runs {
			if _, ok := v.State.Goods.Order(r.Order); !ok {
				return usage("run-order", "order", string(r.Order))
			}
		}
		x = v.Materials(office.MaterialsAsk{Today: today, Runs: runs}).Answer(v)
		return nil
	})
	if err != nil {
		return err
	}
	if c.asked() && x.Cannot == nil {
		return c.write(a, h, "paper.title.materials", x)
	}
	return a.show(x)
}

// runs reads the days on which orders are packed.
func (c *stuffCommand) runs() (all []office.PlannedRun, err error) {
	for _, text := range c.Runs {
		order, rest, ok := strings.Cut(text, "=")
		parts := strings.Split(rest, ",")
		day, err := time.Parse(time.DateOnly, strings.TrimSpace(parts[0]))
		r := office.PlannedRun{Order: record.Code(strings.TrimSpace(order)), Day: dayOf(day)}
		if len(parts) > 1 && err == nil {
			r.Fill, err = strconv.ParseInt(strings.TrimSpace(parts[1]), 10, 64)
		}
		if len(parts) > 2 {
			r.Run = record.Code(strings.TrimSpace(parts[2]))
		}
		if !ok || err != nil || r.Order == "" || r.Fill < 0 || r.Fill > 1<<40 || len(parts) > 3 {
			return nil, usage("run", "typed", text)
		}
		all = append(all, r)
	}
	return all, nil
}
