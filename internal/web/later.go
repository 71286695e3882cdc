package web

import (
	"combline/internal/answer"
	"combline/internal/office"
)

// Tabs whose work comes later show what the record holds of it so far.
type laterPage struct {
	*frame
	Text   string
	Sheets []*sheet
}

func (v *visit) later(tab string, ask func(*office.View) answer.Answer) error {
	p := laterPage{frame: v.frame(tab, v.say("page.tab."+tab)), Text: v.say("page.later." + tab)}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) { a = ask(h) })
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			p.Sheets = append(p.Sheets, v.sheet(t))
		}
	}
	return v.render("later", p)
}

func (v *visit) send() error { return v.later("send", (*office.View).OrdersAndSent) }
