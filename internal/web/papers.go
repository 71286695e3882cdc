package web

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
)

// Papers: what was printed with worked-out figures, and where it would now differ.
type papersPage struct {
	*frame
	Papers *sheet
	Pages  []option
}

func (v *visit) papers() error {
	p := papersPage{frame: v.frame("", v.say("page.papers"))}
	a := answer.Answer{}
	t := a.Table("papers", "paper", "kind", "printed", "of", "printed_pct", "would_now_be_pct", "differs")
	v.s.office.Read(func(h *office.View) {
		for _, paper := range slices.Backward(h.State.Papers("")) {
			v.paperRows(t, h.State, paper)
		}
	})
	if len(t.Rows) > 0 {
		p.Papers = v.sheet(*t)
	}
	for _, x := range [][2]string{{"page.watch", "/watch"}, {"page.tab.stock", "/stock"}, {"page.holds", "/holds"}, {"page.history", "/history"}} {
		p.Pages = append(p.Pages, option{Text: v.say(x[0]), Href: x[1]})
	}
	return v.render("papers", p)
}

func (v *visit) paperRows(t *answer.Table, s *house.State, paper house.Paper) {
	now := s.WouldNowBe(paper)
	kind := answer.Key(paper.Fact.What.Key())
	if len(now) == 0 {
		t.Row(answer.Plain, paper.Fact.Paper, kind, paper.When, paper.Fact.About, nil, nil, false)
	}
	for _, w := range now {
		mark := answer.Plain
		var is any
		if w.Known {
			is = w.Now
		}
		if w.Differs {
			mark = answer.Bad
		}
		t.Row(mark, paper.Fact.Paper, kind, paper.When, w.Of, w.Printed, is, w.Differs)
	}
}
