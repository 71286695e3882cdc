package web

import (
	"combline/internal/answer"
	"combline/internal/office"
)

// The watch list in full, as one page to print.
type watchPage struct {
	*frame
	Lines  []answerLine
	Sheets []*sheet
}

func (v *visit) watchList() error {
	p := watchPage{frame: v.frame("today", v.say("page.watch"))}
	var day answer.Answer
	v.s.office.Read(func(h *office.View) { day = h.Day(v.now) })
	if sent, err := v.onPaper(p.frame, v.say("page.watch"), day); sent || err != nil {
		return err
	}
	for _, l := range day.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, t := range day.Tables {
		if t.Key != "sums" && len(t.Rows) > 0 {
			p.Sheets = append(p.Sheets, v.sheet(t))
		}
	}
	return v.render("watch", p)
}
