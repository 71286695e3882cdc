package cli

import (
	"context"
	"strings"

	"combline/internal/office"
	"combline/internal/paper"
)

type blankCommand struct {
	Sheet string `arg:"" help:"Which: yard, bees, intake, extract, readings or clean."`
	PDF   string `name:"pdf" required:"" placeholder:"FILE" help:"Write it as an A4 sheet."`
}

func (c *blankCommand) Run(ctx context.Context, a *app) error {
	var names []string
	for _, b := range office.BlankSheets() {
		if names = append(names, b.Name); b.Name != strings.ToLower(strings.TrimSpace(c.Sheet)) {
			continue
		}
		h, err := a.reading(ctx)
		if err != nil {
			return err
		}
		defer h.Close()
		f := paper.Form{Title: a.say().Say("page.blank." + b.Name), Lines: b.Lines, Foot: a.say().Say("page.blank.foot")}
		h.Read(func(v *office.View) { f.House = v.State.House().Name })
		for _, k := range b.Top {
			f.Top = append(f.Top, a.say().Say(k))
		}
		for _, k := range b.Heads {
			f.Heads = append(f.Heads, a.say().Say(k))
		}
		pdf, err := paper.Blank(a.say(), f, h.Now())
		if err != nil {
			return err
		}
		return a.newFile(c.PDF, pdf)
	}
	return usage("blank", "typed", c.Sheet, "known", strings.Join(names, ", "))
}
