package web

import (
	"slices"
	"strings"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Two honeys: can this wet one be taken to a target with that dry one?
type twoPage struct {
	*frame
	Two   twoForm
	Wrong string
	Stamp chip
	Lines []answerLine
	Rows  *sheet
	Parts *sheet
	Next  []answerLine
	Rests []string
}

// A twoForm asks for the wet and the dry honey and the target.
type twoForm struct {
	Wet, Dry, To string
	Soft         bool
	Likely       []option // wet honey that is here
}

// wetOver is from what moisture on honey is offered as wet.
const wetOver = 18.0

const mostWet = 8

func (v *visit) twoForm(h *office.View) twoForm {
	f := twoForm{To: v.c.Number(18, 1)}
	for _, st := range h.Floor() {
		water, ok := st.Water.(quantity.Figure)
		if st.Empty || !ok || len(f.Likely) == mostWet || water.Unit != quantity.Pct || water.Float() <= wetOver || st.Status == "held" {
			continue
		}
		f.Likely = append(f.Likely, option{Value: string(st.Content.Code), Text: string(st.Content.Code), Note: v.text(water), Href: link("/blend/two", "wet", string(st.Content.Code))})
	}
	return f
}

func (v *visit) blendTwo() error {
	p := twoPage{frame: v.frame("blend", v.say("page.two"))}
	v.s.office.Read(func(h *office.View) { p.Two = v.twoForm(h) })
	for _, f := range []struct {
		to   *string
		name string
	}{{&p.Two.Wet, "wet"}, {&p.Two.Dry, "dry"}, {&p.Two.To, "to"}} {
		if s := v.arg(f.name); s != "" {
			*f.to = s
		}
	}
	p.Two.Soft = v.arg("soft") == "yes"
	if p.Two.Wet == "" {
		return v.render("blendtwo", p)
	}
	p.about(record.Code(strings.TrimSpace(strings.Split(p.Two.Wet, ",")[0])))
	ask, err := v.thinAsk(p.Two)
	var t *office.Thin
	if err == nil {
		v.s.office.Read(func(h *office.View) { t, err = h.Thin(ask, record.DayOf(v.now)) })
	}
	if err != nil {
		p.Wrong, p.Stamp = v.wrongAsk(err), newChip("stop", v.say("page.blend.not-asked"))
		return v.render("blendtwo", p)
	}
	v.fillTwo(&p, t)
	return v.render("blendtwo", p)
}

func (v *visit) thinAsk(f twoForm) (a office.ThinAsk, err error) {
	style := v.numberStyle()
	if a.Wet, err = office.ParseParts(f.Wet, style); err != nil {
		return a, err
	}
	if a.Dry, err = office.ParseParts(f.Dry, style); err != nil {
		return a, err
	}
	a.To, err = quantity.ParseFigure(f.To, quantity.Want{Unit: quantity.Pct, Style: style})
	a.Soft = f.Soft
	return a, err
}

// fillTwo shows the answer: the stamp is about what keeps, for that is what matters.
func (v *visit) fillTwo(p *twoPage, t *office.Thin) {
	a := t.Answer()
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	switch keeps, here := t.Keeps(); {
	case keeps && here:
		p.Stamp = newChip("ok", v.say("page.two.yes"))
	case keeps:
		p.Stamp = newChip("watch", v.say("page.two.not-here"))
	default:
		p.Stamp = newChip("stop", v.say("page.two.no"))
	}
	tables := tablesOf(a)
	p.Rows = v.sheet(tables["thin"])
	if parts := tables["thin-parts"]; len(parts.Rows) > 0 {
		p.Parts = v.sheet(parts)
	}
	for _, l := range a.Next {
		p.Next = append(p.Next, v.line(l))
	}
	for _, l := range slices.Concat(a.Rests, a.Sources) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
}
