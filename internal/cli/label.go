package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"combline/internal/answer"
	"combline/internal/gs1"
	"combline/internal/office"
	"combline/internal/paper"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

type labelCommand struct {
	Code   string   `arg:"" help:"A lot mark or a run for the label of its jars; a drum, a pail or a tank for its tag; a pallet for its label."`
	Name   string   `name:"name" placeholder:"TEXT" help:"The name on the label, when it is not the product's."`
	Plant  string   `name:"plant" placeholder:"PLANT" help:"The plant that the name says the honey is of: held against the record."`
	Region string   `name:"region" placeholder:"PLACE" help:"The place that the name says it is from: held against the record."`
	Text   []string `name:"text" placeholder:"TEXT" help:"Anything else that is to stand there: looked through for words that honey must never bear."`
	Date   bool     `name:"full-date" help:"Print day and month of the best-before date."`
	PDF    string   `name:"pdf" placeholder:"FILE" help:"Print it at true size."`
	Size   string   `name:"size" default:"90x60" placeholder:"MM" help:"Width and height of one label from a roll, mm; or a4:ACROSSxDOWN for sheets."`
	Count  int      `name:"count" default:"1" help:"How many."`
}

func (c *labelCommand) Run(ctx context.Context, a *app) error {
	stock, err := stockOf(c.Size)
	if err != nil {
		return err
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	var pdf []byte
	var x answer.Answer
	h.Read(func(v *office.View) {
		code := record.Code(c.Code)
		if t, ok := v.TagOf(code); ok && v.Packed(code) == "" {
			pdf, err = c.tag(a, h, stock, t)
			return
		}
		if p, ok := v.PalletOf(code); ok {
			pdf, err = c.pallet(a, h, stock, v, p)
			return
		}
		x, pdf, err = c.jar(a, h, stock, v)
	})
	if err != nil {
		return err
	}
	if c.PDF != "" && pdf != nil {
		return a.newFile(c.PDF, pdf)
	}
	return a.show(x)
}

func (c *labelCommand) jar(a *app, h *opened, stock paper.Stock, v *office.View) (answer.Answer, []byte, error) {
	ask := office.LabelAsk{Of: record.Code(c.Code), Now: h.Now(), Name: c.Name, Plant: c.Plant, Region: c.Region, Texts: c.Text, FullDate: c.Date,
		Language: string(a.say().Lang()), Country: a.say().Country}
	x, err := v.Labelling(ask)
	if err != nil || x.Cannot != nil || c.PDF == "" {
		return x, nil, err
	}
	m, _, err := v.LabelOf(ask)
	if err != nil || !m.Ready() {
		return x, nil, err // its findings say why nothing is printed
	}
	j := paper.JarLabel{Label: m.Label, Number: m.Number, Domain: v.Domain(), Count: c.Count}
	if net := m.Wish.Pack.Net; net >= 5_000 && net <= 10_000_000 && m.Wish.Rules != standard.US {
		j.EMark = true
	}
	if m.Number != "" {
		item, err := gs1.Item(m.Number)
		if err != nil {
			return x, nil, err
		}
		j.Codes = gs1.Elements{item, {Code: "10", Value: string(m.Mark)}}
	}
	pdf, err := paper.Labels(a.say(), stock, j, h.Now())
	var small *paper.Small
	if errors.As(err, &small) {
		return x, nil, usage("label-small", "size", c.Size, "need", quantity.Figure{Mantissa: int64(small.Need + 1), Unit: quantity.MM})
	}
	return x, pdf, err
}

func (c *labelCommand) tag(a *app, h *opened, stock paper.Stock, t office.TagMade) ([]byte, error) {
	tag := paper.Tag{Number: string(t.Number), Steel: string(t.Steel), Lines: sentencesOf(a, t.Lines)}
	if t.Hold != nil {
		tag.Hold = answer.Sentence(a.say(), *t.Hold)
	}
	return paper.Tags(a.say(), stock, repeated(tag, c.Count), h.Now())
}

func (c *labelCommand) pallet(a *app, h *opened, stock paper.Stock, v *office.View, p office.PalletMade) ([]byte, error) {
	parcel := paper.Parcel{Title: a.say().Say("tag.pallet", "cases", p.Cases, "units", p.Units), Number: string(p.Number), Lines: sentencesOf(a, p.Lines)}
	return paper.Parcels(a.say(), stock, repeated(parcel, c.Count), h.Now())
}

func repeated[T any](x T, n int) []T {
	all := make([]T, max(n, 0))
	for i := range all {
		all[i] = x
	}
	return all
}

func sentencesOf(a *app, lines []answer.Line) (all []string) {
	for _, l := range lines {
		all = append(all, answer.Sentence(a.say(), l))
	}
	return all
}

// stockOf reads the size of a label: 90x60, or a4:2x4.
func stockOf(s string) (paper.Stock, error) {
	var w, h float64
	var across, down int
	if rest, ok := strings.CutPrefix(strings.ToLower(s), "a4:"); ok {
		if n, err := fmt.Sscanf(rest, "%dx%d", &across, &down); err == nil && n == 2 && across > 0 && down > 0 && across*down <= 200 {
			return paper.OnA4(across, down), nil
		}
	} else if n, err := fmt.Sscanf(s, "%gx%g", &w, &h); err == nil && n == 2 && w >= 10 && w <= 1000 && h >= 10 && h <= 1000 {
		return paper.Roll(w, h), nil
	}
	return paper.Stock{}, usage("label-size", "typed", s)
}
