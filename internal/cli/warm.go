package cli

import (
	"context"
	"math"
	"time"

	"combline/internal/answer"
	"combline/internal/heat"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type warmCommand struct {
	Drums    []string `arg:"" optional:"" help:"Drums, tanks or fillings that shall be fillable together. Without any: what is wanted warm, and what the warming rooms cost in the week to come."`
	By       string   `placeholder:"TIME" help:"When they shall be fillable, as 2026-12-03 07:00."`
	RestH    float64  `name:"rest-h" placeholder:"H" help:"Hours to tip, mix and rest before that."`
	FillC    float64  `name:"fill-c" placeholder:"C" default:"-999" help:"Temperature at which they are filled, °C. Without it: the house's rule, 38."`
	MostC    float64  `name:"most-c" placeholder:"C" default:"-999" help:"The warmest that the room may be set to, °C. Without it: the house's rule, 50."`
	Room     string   `placeholder:"PLACE" help:"Where they are warmed. Without it: the house's first warming room."`
	PowerKW  string   `name:"power-kw" placeholder:"KW" help:"What the heater gives; without it, enough is taken."`
	WaterPct float64  `name:"assume-water-pct" placeholder:"PCT" help:"Water that you agree to reckon with where nobody read it."`
	StartC   float64  `name:"start-c" placeholder:"C" default:"-999" help:"What the honey has now, °C, whatever is written down."`
	Grain    string   `enum:"fine,medium,coarse,clear" default:"fine" help:"Grains of the honey: fine as grown in the cold, medium, coarse as grown at room temperature, or clear."`
	Crystals float64  `name:"crystals-pct" placeholder:"PCT" help:"Share of crystals; without it 15."`
	Settings int      `placeholder:"N" default:"3" help:"How often somebody sets the heater at most."`
	Cheapest float64  `name:"cheapest-hmf" placeholder:"MG" help:"The cheapest plan that adds no more HMF than this, mg/kg, instead of the gentlest; wants --power-kw."`
	OffFrom  string   `name:"off-from" placeholder:"TIME" help:"The power was off from then ..."`
	OffTo    string   `name:"off-to" placeholder:"TIME" help:"... to then, where no logger wrote it down."`
	OffC     float64  `name:"off-c" placeholder:"C" default:"-999" help:"What the room had meanwhile, °C; without it as cold as outside."`
	AsOf     string   `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	storeFlags
}

func (c *warmCommand) Run(ctx context.Context, a *app) error {
	return a.question(ctx, func(h *opened) (answer.Answer, error) {
		read, now, err := h.asOf(ctx, c.AsOf)
		if err != nil {
			return answer.Answer{}, err
		}
		var x answer.Answer
		if len(c.Drums) == 0 {
			read(func(v *office.View) { x = v.WarmWeek(now) })
			return x, nil
		}
		if c.By == "" {
			return x, usage("by")
		}
		ask, err := c.ask(h, now)
		if err != nil {
			return x, err
		}
		read(func(v *office.View) { x, err = v.Warming(ask) })
		return x, err
	})
}

// ask reads the flags. What is out of range is for the office to say.
func (c *warmCommand) ask(h *opened, now time.Time) (w office.WarmAsk, err error) {
	if !(c.RestH >= 0 && c.RestH <= 336) {
		return w, usage("rest", "typed", c.RestH)
	}
	by, err := h.when(c.By)
	if err != nil {
		return w, err
	}
	w = office.WarmAsk{By: by.Time(), At: now, Room: record.Code(c.Room), Rest: time.Duration(c.RestH * float64(time.Hour)), Water: quantity.WaterPct(c.WaterPct),
		Crystals: quantity.Percent(c.Crystals), Settings: c.Settings, MostHMF: quantity.MgKg(c.Cheapest), Clear: c.Grain == "clear",
		Grain: map[string]heat.Grain{"fine": heat.FineGrain, "medium": heat.MediumGrain, "coarse": heat.CoarseGrain}[c.Grain]}
	for _, d := range c.Drums {
		code, err := named(d)
		if err != nil {
			return w, err
		}
		w.Of = append(w.Of, code)
	}
	if c.FillC != notSaid {
		w.Fill = quantity.Celsius(c.FillC)
	}
	if c.MostC != notSaid {
		w.Most = quantity.Celsius(c.MostC)
	}
	if c.StartC != notSaid {
		if !(c.StartC >= -20 && c.StartC <= 70) {
			return w, usage("start-c", "typed", c.StartC)
		}
		w.Start = quantity.Figure{Mantissa: int64(math.Round(10 * c.StartC)), Decimals: 1, Unit: quantity.DegC}
	}
	if c.PowerKW != "" {
		if w.PowerKW, err = quantity.ParseFigure(c.PowerKW, quantity.Want{Unit: quantity.KW}); err != nil {
			return w, usage("power", "typed", c.PowerKW)
		}
	}
	if err := c.cut(h, &w); err != nil {
		return w, err
	}
	w.Keep, err = c.storeFlags.ask(h, now)
	return w, err
}

// cut reads a power cut.
func (c *warmCommand) cut(h *opened, w *office.WarmAsk) error {
	if c.OffFrom == "" && c.OffTo == "" {
		return nil
	}
	from, err := h.when(c.OffFrom)
	if err != nil {
		return err
	}
	to, err := h.when(c.OffTo)
	if err != nil {
		return err
	}
	w.Off = office.Held{From: from.Time(), To: to.Time(), C: quantity.Celsius(c.OffC)}
	if c.OffC == notSaid {
		w.Off.C = office.BarnAir(from.Time())
	}
	if !(w.Off.C >= -30 && w.Off.C <= 60) || !w.Off.To.After(w.Off.From) {
		return usage("cut")
	}
	return nil
}
