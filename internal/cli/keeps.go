package cli

import (
	"context"
	"math"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// storeFlags say how warm jars stand until they are eaten.
type storeFlags struct {
	Until      string  `placeholder:"DATE" help:"The best-before date. Without it: as many months on as the house gives."`
	Months     int     `placeholder:"N" help:"The same in months from now."`
	StoreC     float64 `name:"store-c" placeholder:"C" default:"-999" help:"Mean temperature at which the jars stand, °C. Without it: the house's rule, 20."`
	SwingC     float64 `name:"swing-c" placeholder:"K" default:"-999" help:"How much warmer than the mean high summer is."`
	LorryC     float64 `name:"lorry-c" placeholder:"C" default:"-999" help:"A summer lorry of this temperature on the way, °C."`
	LorryHours float64 `name:"lorry-hours" placeholder:"H" default:"72" help:"How long the lorry takes."`
	LorryAfter float64 `name:"lorry-after" placeholder:"DAYS" default:"14" help:"Days from now until it leaves."`
	Sure       float64 `placeholder:"PCT" help:"How sure the date shall be, in per cent. Without it: the house's rule, 90."`
}

type keepsCommand struct {
	Code  string  `arg:"" optional:"" help:"A drum, tank, lot, delivery or lot mark; without it, everything in vessels, what runs out first on top."`
	HeldC float64 `name:"held-c" placeholder:"C" default:"-999" help:"What if the honey stood at this temperature, °C, from --from to --to, whatever is written down."`
	From  string  `placeholder:"TIME" help:"When it began, as 2026-10-11 18:00. Without it: now."`
	To    string  `placeholder:"TIME" help:"When it ended. Without it: now."`
	Hours float64 `placeholder:"H" help:"Instead of --to: how many hours it lasted."`
	AsOf  string  `name:"as-of" placeholder:"TIME" help:"Ask as of then: what was written later does not count."`
	storeFlags
	onPaper
}

const notSaid = -999.0

func (c *keepsCommand) Run(ctx context.Context, a *app) error {
	return a.onPaper(ctx, c.onPaper, "paper.title.keeps", func(h *opened) (answer.Answer, error) {
		v, now, err := h.asOf(ctx, c.AsOf)
		if err != nil {
			return answer.Answer{}, err
		}
		if c.Code == "" {
			var all answer.Answer
			v(func(v *office.View) { all = v.KeepingAll(now) })
			return all, nil
		}
		code, err := named(c.Code)
		if err != nil {
			return answer.Answer{}, err
		}
		ask, err := c.ask(h, now)
		if err != nil {
			return answer.Answer{}, err
		}
		ask.Of, ask.At = code, now
		if c.HeldC != notSaid {
			held, err := c.held(h, now)
			if err != nil {
				return answer.Answer{}, err
			}
			ask.Held = []office.Held{held}
		}
		var x answer.Answer
		v(func(v *office.View) { x, err = v.Keeping(ask) })
		return x, err
	})
}

// asOf lends the house as it was known at a moment, and gives the moment; without one
// the house as it is.
func (h *opened) asOf(ctx context.Context, text string) (func(func(*office.View)), time.Time, error) {
	if strings.TrimSpace(text) == "" {
		return h.Read, h.Now(), nil
	}
	at, err := h.moment(text)
	if err != nil {
		return nil, at, err
	}
	v, err := h.AsOf(ctx, at)
	return func(use func(*office.View)) { use(v) }, at, err
}

// ask reads the flags of the store.
func (f *storeFlags) ask(h *opened, now time.Time) (k office.KeepAsk, err error) {
	switch {
	case f.Until != "":
		w, err := h.when(f.Until)
		if err != nil {
			return k, err
		}
		k.Until = w.Time()
	case f.Months != 0:
		if f.Months < 0 || f.Months > 240 {
			return k, usage("months", "typed", int64(f.Months))
		}
		k.Until = now.AddDate(0, f.Months, 0)
	}
	if !k.Until.IsZero() && k.Until.Before(now) {
		return k, &house.Refusal{Key: "keep.past", Args: answer.Args{"until": record.DayOf(k.Until), "now": record.At(now)}, Next: "next.check-date"}
	}
	if f.Sure != 0 {
		if !(f.Sure >= 50 && f.Sure <= 99.9) {
			return k, usage("sure", "typed", f.Sure)
		}
		k.Sure = f.Sure / 100
	}
	return k, f.store(h, &k)
}

func (f *storeFlags) store(h *opened, k *office.KeepAsk) error {
	if f.StoreC == notSaid && f.SwingC == notSaid && f.LorryC == notSaid {
		return nil
	}
	var s assay.Store
	h.Read(func(v *office.View) { s = v.HouseStore() })
	if f.StoreC != notSaid {
		s.Mean, s.Key = quantity.Celsius(f.StoreC), "said"
	}
	if f.SwingC != notSaid {
		s.Swing = f.SwingC
	}
	if f.LorryC != notSaid {
		s.Lorries = []assay.Lorry{{After: quantity.Days(f.LorryAfter), Hours: f.LorryHours, C: quantity.Celsius(f.LorryC)}}
	}
	if s.Check() != nil {
		return usage("store")
	}
	k.Store = &s
	return nil
}

// held reads what if it had stood at another temperature.
func (c *keepsCommand) held(h *opened, now time.Time) (x office.Held, err error) {
	if !(c.HeldC >= -30 && c.HeldC <= 95) {
		return x, usage("held", "typed", c.HeldC)
	}
	x = office.Held{From: now, To: now, C: quantity.Celsius(c.HeldC)}
	if c.From != "" {
		w, err := h.when(c.From)
		if err != nil {
			return x, err
		}
		x.From = w.Time()
	}
	switch {
	case c.Hours != 0:
		if !(c.Hours > 0 && c.Hours <= 20000) || math.IsNaN(c.Hours) {
			return x, usage("hours", "typed", c.Hours)
		}
		x.To = x.From.Add(time.Duration(c.Hours * float64(time.Hour)))
	case c.To != "":
		w, err := h.when(c.To)
		if err != nil {
			return x, err
		}
		x.To = w.Time()
	}
	if !x.To.After(x.From) {
		return x, usage("held-order")
	}
	return x, nil
}
