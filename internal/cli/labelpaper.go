package cli

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/gs1"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/paper"
	"combline/internal/quantity"
	"combline/internal/standard"
	"combline/internal/web"
	"combline/internal/words"
)

// labelPaper draws labels for the commands and the pages alike, each in the label's own
// language and always in that language's usual figures: the same label is the same file
// whoever asks.
type labelPaper struct{}

// labelPrinter lends the pages what draws labels.
func labelPrinter() web.LabelPrinter {
	var p labelPaper
	return web.LabelPrinter{Asked: p.asked, Labels: p.file, Picture: p.picture, Parcels: p.parcels, Tags: p.tags}
}

// labelWords is the catalogue of a label's language.
func labelWords(lang string) (*words.Catalogue, error) {
	l, err := words.ParseLang(lang)
	if err != nil {
		l = words.English
	}
	return words.For(l)
}

// asked completes what is asked of a label with what only its language and the printer
// know.
func (labelPaper) asked(look office.LabelLook) office.LabelLook {
	if c, err := labelWords(look.Language); err == nil {
		look.Country, look.Language = c.Country, string(c.Lang())
	}
	look.Draws = paper.Draws
	return look
}

// file is labels as a PDF; its date is that of the filling, so that it is the same file
// on every day.
func (labelPaper) file(m office.LabelMade, look office.LabelLook, copies int, proof bool) ([]byte, error) {
	c, err := labelWords(look.Language)
	if err != nil {
		return nil, err
	}
	stock, j, err := jarLabel(m, look)
	if err != nil {
		return nil, err
	}
	j.Count, j.Proof = copies, proof
	pdf, err := paper.Labels(c, stock, j, m.Filled)
	return pdf, tooSmall(look.Size, err)
}

// picture is one label as SVG.
func (labelPaper) picture(m office.LabelMade, look office.LabelLook, alt string) ([]byte, error) {
	c, err := labelWords(look.Language)
	if err != nil {
		return nil, err
	}
	stock, j, err := jarLabel(m, look)
	if err != nil {
		return nil, err
	}
	svg, err := paper.Picture(c, stock, j, alt)
	return svg, tooSmall(look.Size, err)
}

func jarLabel(m office.LabelMade, look office.LabelLook) (stock paper.Stock, j paper.JarLabel, err error) {
	stock, ok := stockOf(look.Size)
	if !ok {
		return stock, j, wrongSize(look.Size)
	}
	j = paper.JarLabel{Label: m.Label, Number: m.Number, Domain: m.Domain, Count: 1}
	if net := m.Wish.Pack.Net; net >= 5_000 && net <= 10_000_000 && m.Wish.Rules != standard.US {
		j.EMark = true
	}
	if m.Number != "" {
		item, err := gs1.Item(m.Number)
		if err != nil {
			return stock, j, err
		}
		j.Codes = gs1.Elements{item, {Code: "10", Value: string(m.Mark)}}
		if j.Codes.Check() != nil { // a lot mark with a sign that no code carries: the number alone
			j.Codes = gs1.Elements{item}
		}
	}
	return stock, j, nil
}

// tooSmall words a label that its texts don't fit on.
func tooSmall(size string, err error) error {
	var small *paper.Small
	if !errors.As(err, &small) {
		return err
	}
	if small.Need > 10_000 { // a code is wider than the label
		return &house.Refusal{Key: "refused.label-narrow", Args: answer.Args{"size": size}, Next: "next.larger-label"}
	}
	return &house.Refusal{Key: "refused.label-small", Next: "next.larger-label",
		Args: answer.Args{"size": size, "need": quantity.Figure{Mantissa: int64(math.Ceil(small.Need)), Unit: quantity.MM}}}
}

func wrongSize(size string) error {
	return &house.Refusal{Key: "refused.label-size", Args: answer.Args{"typed": size}, Next: "next.type-again"}
}

// parcels is labels of cases or pallets as a PDF.
func (labelPaper) parcels(lang, size string, all []office.ParcelMade, copies int, made time.Time) ([]byte, error) {
	c, err := labelWords(lang)
	if err != nil {
		return nil, err
	}
	stock, ok := stockOf(size)
	if !ok {
		return nil, wrongSize(size)
	}
	var parcels []paper.Parcel
	for _, p := range all {
		for range max(copies, 1) {
			parcels = append(parcels, paper.Parcel{From: p.From, Title: answer.Sentence(c, p.Title), Number: string(p.Number), Lines: said(c, p.Lines), Codes: p.Codes})
		}
	}
	pdf, err := paper.Parcels(c, stock, parcels, made)
	return pdf, tooSmall(size, err)
}

// tags is tags of drums as a PDF.
func (labelPaper) tags(lang, size string, all []office.TagMade, copies int, made time.Time) ([]byte, error) {
	c, err := labelWords(lang)
	if err != nil {
		return nil, err
	}
	stock, ok := stockOf(size)
	if !ok {
		return nil, wrongSize(size)
	}
	var tags []paper.Tag
	for _, t := range all {
		tag := paper.Tag{Number: string(t.Number), Steel: string(t.Steel), Lines: said(c, t.Lines)}
		if t.Hold != nil {
			tag.Hold = answer.Sentence(c, *t.Hold)
		}
		for range max(copies, 1) {
			tags = append(tags, tag)
		}
	}
	pdf, err := paper.Tags(c, stock, tags, made)
	return pdf, tooSmall(size, err)
}

func said(c *words.Catalogue, lines []answer.Line) (all []string) {
	for _, l := range lines {
		all = append(all, answer.Sentence(c, l))
	}
	return all
}

// stockOf reads the size of a label: 90x60, or a4:2x4.
func stockOf(s string) (paper.Stock, bool) {
	s = strings.ToLower(strings.ReplaceAll(strings.TrimSpace(s), "×", "x"))
	var w, h float64
	var across, down int
	var rest string
	if a4, ok := strings.CutPrefix(s, "a4:"); ok {
		n, err := fmt.Sscanf(a4+"\n", "%dx%d%s", &across, &down, &rest)
		return paper.OnA4(across, down), n == 2 && err != nil && across > 0 && down > 0 && across*down <= 200
	}
	n, _ := fmt.Sscanf(s+"\n", "%gx%g%s", &w, &h, &rest)
	return paper.Roll(w, h), n == 2 && w >= 10 && w <= 1000 && h >= 10 && h <= 1000
}
