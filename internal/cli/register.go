package cli

import (
	"context"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/epcis"
	"combline/internal/office"
	"combline/internal/record"
)

type registerCommand struct {
	From   string `arg:"" help:"A month as 2026-10, a year as 2026, or the first day as 2026-10-05."`
	To     string `arg:"" optional:"" help:"The last day or month; without it, the end of the month or year, or the one day."`
	Of     string `name:"of" placeholder:"REGISTER" help:"One register alone, every field in a column of its own: sites, boxes, intake, bought, honey, heat, lab, holds, runs, orders, complaints, cleaning, checks, materials, house; or a kind of fact as \"jars-filled\" (record --list names them)."`
	Fields bool   `help:"Every kind of fact in a table of its own, every field in a column."`
	Events string `name:"events" placeholder:"FILE" help:"Write what happened to the honey as events of EPCIS 2.0 (JSON-LD), each named by its hash."`
	onPaper
}

func (c *registerCommand) Run(ctx context.Context, a *app) error {
	from, to, ok := office.ParsePeriod(c.From, c.To)
	switch {
	case !ok && c.To != "":
		return usage("period", "typed", c.From+" "+c.To)
	case !ok:
		return usage("period", "typed", c.From)
	case to < from:
		return usage("period-backwards", "from", c.From, "to", c.To)
	}
	var kinds []record.Kind
	if c.Of != "" {
		if kinds, ok = office.RegisterKinds(c.Of); !ok {
			return usage("register", "typed", c.Of, "known", strings.Join(office.RegisterNames(), ", "))
		}
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	if c.Events != "" {
		if err := c.events(a, h, from, to); err != nil {
			return err
		}
	}
	if !c.asked() && c.Events != "" {
		return nil
	}
	var said, x answer.Answer
	h.Read(func(v *office.View) {
		said = v.RegisterSaid(kinds, from, to)
		if x = said; c.Fields || c.Of != "" {
			x = v.RegisterOf(kinds, from, to)
		}
	})
	if !c.asked() || x.Cannot != nil {
		return a.show(x)
	}
	sheets, files := c.onPaper, c.onPaper // a sheet of paper is too narrow for every field
	sheets.XLSX, sheets.CSV, files.PDF = "", "", ""
	if err := sheets.write(a, h, "paper.title.register", said); err != nil {
		return err
	}
	return files.write(a, h, "paper.title.register", x)
}

func dayOf(t time.Time) record.Day { return record.Day(t.Unix() / 86400) }

func (c *registerCommand) events(a *app, h *opened, from, to record.Day) error {
	var events []epcis.Event
	var terms epcis.Context
	var err error
	h.Read(func(v *office.View) {
		events, err = v.Events(from, to)
		terms = v.Terms()
	})
	if err != nil {
		return err
	}
	doc, err := epcis.Document(events, terms, h.Now())
	if err != nil {
		return err
	}
	return a.newFile(c.Events, doc)
}
