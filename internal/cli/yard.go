package cli

import (
	"context"
	"math"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Questions of the yard: what may be pulled and in which order, boxes, yields, winter
// stores, and what was done in earlier years.

type pullCommand struct {
	Of []string `arg:"" optional:"" help:"A site, a day as 2026-07-27, or both. A site: may it be pulled, and why. Without one: the order of pulls. A day that is past: as it was known at 06:00 that morning."`
	onPaper
}

func (c *pullCommand) Run(ctx context.Context, a *app) error {
	site, on := siteAndDay(c.Of)
	return a.onDay(ctx, on, c.onPaper, "paper.title.pull", func(v *office.View, day record.Day) answer.Answer {
		if site == "" {
			return v.Pulls(day)
		}
		return v.MayPull(site, day)
	})
}

// siteAndDay takes the last word for a day where it is one; the rest is a site.
func siteAndDay(words []string) (site record.Code, day string) {
	if n := len(words); n > 0 {
		if dayLike(words[n-1]) {
			words, day = words[:n-1], words[n-1]
		}
	}
	return record.Code(strings.TrimSpace(strings.Join(words, " "))), day
}

// dayLike reports whether a word is a day, or meant as one: 2026-02-30 is no site.
func dayLike(word string) bool {
	parts := strings.Split(word, "-")
	return len(parts) == 3 && len(parts[0]) == 4 && strings.Trim(word, "0123456789-") == ""
}

// onDay answers for a day: one that is past as it was known that morning, any other by all
// that is known now.
func (a *app) onDay(ctx context.Context, on string, p onPaper, title string, ask func(*office.View, record.Day) answer.Answer) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	day := record.DayOf(h.Now())
	if on != "" {
		when, err := h.when(on)
		if err != nil {
			return err
		}
		day = record.DayOf(when.Time())
	}
	var x answer.Answer
	if day < record.DayOf(h.Now()) {
		when, err := h.when(day.String())
		if err != nil {
			return err
		}
		v, err := h.AsOf(ctx, when.Time().Add(morning))
		if err != nil {
			return err
		}
		x = ask(v, day)
	} else {
		h.Read(func(v *office.View) { x = ask(v, day) })
	}
	if p.asked() && x.Cannot == nil {
		return p.write(a, h, title, x)
	}
	return a.show(x)
}

// now answers by all that is known.
func (a *app) now(ctx context.Context, p onPaper, title string, ask func(*office.View, record.Day) answer.Answer) error {
	return a.onDay(ctx, "", p, title, ask)
}

type boxesCommand struct {
	Of []string `arg:"" optional:"" help:"A site, a day, or both. A site: how many of its boxes to load on the truck that goes there. Without one: what is due back where."`
	onPaper
}

func (c *boxesCommand) Run(ctx context.Context, a *app) error {
	site, on := siteAndDay(c.Of)
	return a.onDay(ctx, on, c.onPaper, "paper.title.boxes", func(v *office.View, day record.Day) answer.Answer { return v.Boxes(site, day) })
}

type yieldCommand struct {
	Site string `arg:"" optional:"" help:"A site. Without one: every site."`
	Year int    `help:"The year of the pulls. Without it: the year of the last pull."`
	onPaper
}

func (c *yieldCommand) Run(ctx context.Context, a *app) error {
	if c.Year < 0 || c.Year > 9999 {
		return usage("period", "typed", c.Year)
	}
	return a.now(ctx, c.onPaper, "paper.title.yield", func(v *office.View, _ record.Day) answer.Answer { return v.Yield(c.Year, record.Code(c.Site)) })
}

type lastYearCommand struct {
	Date  string `arg:"" optional:"" help:"The day of this year, as 2027-07-19; it may be to come. Without it: today."`
	Site  string `help:"Only what was done at or for this site and its lots."`
	Honey string `help:"Only what was done for lots of this honey, as summer."`
	Years int64  `default:"1" help:"How many years back."`
	onPaper
}

func (c *lastYearCommand) Run(ctx context.Context, a *app) error {
	if c.Years < 1 || c.Years > 30 {
		return usage("years", "typed", c.Years)
	}
	return a.now(ctx, c.onPaper, "paper.title.last-year", func(v *office.View, today record.Day) answer.Answer {
		day := today
		if c.Date != "" {
			d, err := record.ParseDay(c.Date)
			if err != nil {
				return answer.Answer{Question: "last-year", Cannot: &answer.Line{Key: "cli.usage.time", Args: answer.Args{"typed": c.Date}}}
			}
			day = d
		}
		return v.LastYear(office.LastYearAsk{Day: day, Site: record.Code(c.Site), Honey: c.Honey, Years: c.Years})
	})
}

type storesCommand struct {
	Site     string `arg:"" optional:"" help:"A site, for the number of its hives."`
	Have     string `placeholder:"MASS" help:"Honey on a hive, weighed: 34kg."`
	Frames   string `placeholder:"N" help:"Or full frames of honey on a hive, counted; half frames count: 6.5."`
	LateFlow string `placeholder:"MASS" help:"What a hive will still bring in."`
	Sugar    string `placeholder:"MASS" help:"Dry sugar that a hive will be fed."`
	Climate  string `placeholder:"CLIMATE" help:"mild, temperate or cold. Without it: the house's (setting stores.climate)."`
	Depth    string `placeholder:"DEPTH" help:"Frames: deep, medium or shallow. Without it: the house's (setting stores.depth)."`
	Hives    int64  `help:"How many hives. Without it: as counted at the site."`
	onPaper
}

func (c *storesCommand) Run(ctx context.Context, a *app) error {
	ask := office.StoresAsk{Site: record.Code(c.Site), Hives: c.Hives, Climate: c.Climate, Depth: c.Depth, Have: math.NaN(), Frames: math.NaN()}
	if c.Hives < 0 || c.Hives > 1_000_000 {
		return usage("hives", "typed", c.Hives)
	}
	for _, x := range []struct {
		name, typed string
		unit        quantity.Unit
		to          *float64
	}{{"have", c.Have, quantity.KgUnit, &ask.Have}, {"frames", c.Frames, quantity.Each, &ask.Frames}, {"late-flow", c.LateFlow, quantity.KgUnit, &ask.LateFlow}, {"sugar", c.Sugar, quantity.KgUnit, &ask.Sugar}} {
		if x.typed == "" {
			continue
		}
		f, err := quantity.ParseFigure(x.typed, quantity.Want{Unit: x.unit})
		if err != nil {
			return usage("mass", "name", x.name, "typed", x.typed)
		}
		if *x.to, err = f.In(x.unit); err != nil || !(*x.to >= 0) {
			return usage("mass", "name", x.name, "typed", x.typed)
		}
	}
	return a.now(ctx, c.onPaper, "paper.title.stores", func(v *office.View, _ record.Day) answer.Answer { return v.Stores(ask) })
}
