package web

import (
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Samples and results: what goes to the laboratory, what is there, what came back.
type labPage struct {
	*frame
	Line        string
	Send        *sheet
	Await       []awaited
	Back, House *sheet
}

// An awaited sheet can be typed at once.
type awaited struct {
	Of, Under, Class, Icon, Href string
}

func (v *visit) lab() error {
	p := labPage{frame: v.frame("stock", v.say("page.lab"))}
	var l office.Lab
	v.s.office.Read(func(h *office.View) { l = h.Lab() })
	p.Line = v.say("page.lab.line", "send", len(l.Send), "await", len(l.Awaited))
	p.Send = &sheet{Title: v.say("page.lab.send"), Heads: []head{{Text: v.say("column.of")}, {Text: v.say("column.honey")}, {Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true}, {Text: v.say("page.lab.missing")}, {Text: ""}}}
	for _, x := range l.Send {
		p.Send.Rows = append(p.Send.Rows, sheetRow{Cells: []sheetCell{{Text: string(x.Of), Head: true, Href: thingLink(x.Of)}, {Text: v.text(x.Honey)}, {Text: v.kg(x.Grams, 0).Value, Right: true},
			{Text: v.properties(x.Missing)}, {Text: v.say("page.lab.read"), Href: link("/do/reading", "of", string(x.Of), "back", "/lab")}}})
	}
	for _, a := range l.Awaited {
		w := awaited{Of: string(a.Of), Under: a.Lab + " · " + v.say("page.lab.sent", "when", v.text(a.Sent)), Icon: "clock", Href: link("/enter/sheet", "of", string(a.Of), "back", "/lab")}
		if a.Tests != "" {
			w.Under += " · " + a.Tests
		}
		if a.Due != 0 {
			w.Under += " · " + v.say("page.lab.due", "day", v.c.DateShort(a.Due.Time()))
			if a.Due < v.day() {
				w.Class, w.Icon = "watch", "watch"
			}
		}
		p.Await = append(p.Await, w)
	}
	p.Back, p.House = v.readingsSheet("page.lab.back", l.Back), v.readingsSheet("page.lab.house", l.House)
	return v.render("lab", p)
}

func (v *visit) properties(all []record.Property) string {
	var names []string
	for _, p := range all {
		names = append(names, v.say(p.Key()))
	}
	return v.c.List(names)
}

const mostReadings = 30

func (v *visit) readingsSheet(title string, all []house.Reading) *sheet {
	s := &sheet{Title: v.say(title), Heads: []head{{Text: v.say("column.of")}, {Text: v.say("column.when")}, {Text: v.say("page.lab.result")}, {Text: v.say("page.lab.by")}, {Text: v.say("column.fact"), Right: true}}}
	for _, r := range all[:min(len(all), mostReadings)] {
		text := ""
		for _, x := range r.Fact.Results {
			if text != "" {
				text += " · "
			}
			text += v.say(x.Property.Key()) + " " + v.result(x)
		}
		by := r.Fact.Lab
		if r.Fact.Sheet != "" {
			by += " " + r.Fact.Sheet
		}
		if by == "" {
			by = string(r.Fact.Instrument)
		}
		s.Rows = append(s.Rows, sheetRow{Cells: []sheetCell{{Text: string(r.Fact.Of), Head: true, Href: thingLink(r.Fact.Of)}, {Text: v.text(r.When)}, {Text: text}, {Text: by},
			{Text: v.c.Count(int64(r.Seq)), Href: link("/correct", "fact", v.num(int64(r.Seq))), Right: true}}})
	}
	return s
}

// result is one result as it was written down.
func (v *visit) result(x record.Result) string {
	text := ""
	if x.Value.Given() {
		text = v.text(x.Value)
		switch x.Bound {
		case record.Below:
			text = "< " + text
		case record.Above:
			text = "> " + text
		}
		if x.PlusMinus.Given() {
			text += " ± " + v.text(x.PlusMinus)
		}
	}
	switch x.Verdict {
	case record.Clear:
		text += " " + v.say("choice.clear")
	case record.Found:
		text += " " + v.say("choice.found")
	}
	if x.What != "" {
		text += " (" + x.What + ")"
	}
	return text
}
