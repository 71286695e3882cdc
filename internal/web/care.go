package web

import (
	"strings"

	"combline/internal/office"
	"combline/internal/record"
)

// The care of the house: what must be cleaned, checked, read and dealt with.
type carePage struct {
	*frame
	Line     string
	Problems []note
	Clean    []keptView
	Tools    []keptView
	Rooms    []keptView
	Starts   []answerLine
}

// A keptView is a thing with its state and the form that writes the next one.
type keptView struct {
	Name, Under, Href string
	State             chip
}

func (v *visit) care() error {
	p := carePage{frame: v.frame("", v.say("page.care"))}
	var c office.Care
	v.s.office.Read(func(h *office.View) { c = h.Care(v.day()) })
	p.Line = v.say("page.care.line", "problems", len(c.Problems))
	for _, x := range c.Problems {
		p.Problems = append(p.Problems, note{Class: "watch", Icon: "watch", Text: string(x.Code) + " · " + x.What, Under: v.text(x.When) + under(x.Action), Href: link("/enter/dealt", "of", string(x.Code), "back", "/care")})
	}
	for _, k := range c.Kept {
		p.Clean = append(p.Clean, v.keptView(k))
	}
	for _, t := range c.Tools {
		p.Tools = append(p.Tools, v.toolView(t))
	}
	for _, r := range c.Rooms {
		w := keptView{Name: string(r.Place), Href: link("/enter/room", "of", string(r.Place), "back", "/care"), State: newChip("", v.say("page.care.never-read"))}
		if kind := v.say(r.For.Key()); !strings.EqualFold(kind, w.Name) {
			w.Under = kind
		}
		if r.Known {
			w.State = chip{Icon: "thermo", Text: v.text(v.degrees(r.Read.Fact.Temp))}
			if r.Read.Fact.Humidity.Given() {
				w.State.Text += " · " + v.text(r.Read.Fact.Humidity)
			}
			w.Under = strings.TrimPrefix(w.Under+" · "+v.text(r.Read.When), " · ")
		}
		p.Rooms = append(p.Rooms, w)
	}
	for _, e := range c.Starts {
		f := e.Fact.(*record.StartChecked)
		l := answerLine{Class: "ok", Icon: "tick", Text: v.c.Clock(e.When.Time()) + " · " + v.say("page.care.started", "n", len(f.Lines)) + under(v.of2(f.Of))}
		for _, x := range f.Lines {
			if x.InOrder == record.No {
				l.Class, l.Icon, l.Text = "stop", "stop", l.Text+under(x.What)
			}
		}
		p.Starts = append(p.Starts, l)
	}
	return v.render("care", p)
}

func under(text string) string {
	if text == "" {
		return ""
	}
	return " · " + text
}

func (v *visit) keptView(k office.Kept) keptView {
	w := keptView{Name: string(k.Code), Under: k.What, Href: link("/clean", "of", string(k.Code), "back", "/care")}
	if k.Kind == record.Vessel {
		w.Under = v.say(k.What)
	}
	switch {
	case k.Cleaned == nil && k.Since && !k.Long:
		w.State = newChip("watch", v.say("page.care.used"))
	case k.Cleaned == nil && !k.Long:
		w.State = newChip("", v.say("page.care.never"))
	case k.Since || k.Long:
		w.State = newChip("watch", v.say("page.care.used-since"))
	default:
		w.State = newChip("ok", v.say(k.Cleaned.Clean.Key()))
	}
	if k.Cleaned != nil {
		w.Under += " · " + v.say(k.Cleaned.Clean.Key()) + " " + v.text(k.When)
	}
	return w
}

func (v *visit) toolView(t office.Tool) keptView {
	w := keptView{Name: string(t.Instrument), Under: t.What, Href: link("/enter/check", "of", string(t.Instrument), "back", "/care"), State: newChip("", v.say("page.care.never-checked"))}
	if t.Check == nil {
		return w
	}
	w.Under += " · " + v.text(t.Check.Fact.Read) + " / " + v.text(t.Check.Fact.Against) + " · " + v.text(t.Check.When)
	switch {
	case t.Check.Fact.InOrder == record.No:
		w.State = newChip("stop", v.say("page.care.off"))
	case office.DayOf(t.Check.When) != v.day():
		w.State = chip{Icon: "clock", Text: v.say("page.care.not-today")}
	case t.Check.Fact.InOrder == record.Yes:
		w.State = newChip("ok", v.say("page.care.in-order"))
	default:
		w.State = newChip("", v.say("page.form.not-known"))
	}
	return w
}
