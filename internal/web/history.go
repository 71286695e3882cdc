package web

import (
	"slices"
	"strconv"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

// Entries: every fact that bears a code, or the latest of the house.
type historyPage struct {
	*frame
	Of     string
	Cannot string
	Facts  *sheet
	Older  string
}

const entriesAPage = 60 // each with what it says

func (v *visit) history() error {
	code := v.of()
	title := v.say("page.history")
	if code != "" {
		title += " · " + string(code)
	}
	p := historyPage{frame: v.frame("", title), Of: string(code)}
	before, _ := strconv.ParseUint(v.arg("before"), 10, 64)
	var t answer.Table
	var all, at int
	v.s.office.Read(func(h *office.View) {
		if code == "" {
			t = h.Latest(before, entriesAPage)
			return
		}
		var a answer.Answer
		a, all = h.HistoryPart(code, func(n int) (int, int) { // the latest first
			at = v.from(n, entriesAPage)
			return max(0, n-at-entriesAPage), n - at
		})
		if a.Cannot != nil {
			p.Cannot = v.sentence(*a.Cannot)
		}
		if len(a.Tables) > 0 {
			t = a.Tables[0]
			slices.Reverse(t.Rows)
		}
	})
	if code != "" {
		p.about(code)
		var whole answer.Answer
		if v.arg("as") != "" {
			v.s.office.Read(func(h *office.View) { whole = h.History(code) })
		} else {
			whole.Tables = []answer.Table{t}
		}
		if sent, err := v.onPaper(p.frame, title, whole); sent || err != nil {
			return err
		}
	}
	if len(t.Rows) > 0 {
		p.Facts = v.facts2(t)
		p.Facts.Parts = v.parts(all, at, entriesAPage, "/history", "of", string(code))
		if last, ok := t.Rows[len(t.Rows)-1].Cells[0].(int64); ok && code == "" && last > 1 {
			p.Older = link("/history", "before", v.num(last))
		}
	}
	return v.render("history", p)
}

// facts2 is entries with what they say in people's words.
func (v *visit) facts2(t answer.Table) *sheet {
	s := v.sheet(t, "says")
	for i, r := range t.Rows {
		seq, _ := r.Cells[0].(int64)
		says := ""
		v.s.office.Read(func(h *office.View) {
			if e, err := h.Fact(uint64(seq)); err == nil {
				says = v.says(e.Fact)
			}
		})
		for j := range s.Rows[i].Cells {
			if t.Columns[j].Key == "kind" {
				s.Rows[i].Cells[j].Note = says
			}
		}
	}
	return s
}

// says is a fact's fields in one line in people's words.
func (v *visit) says(f record.Fact) string {
	text := ""
	record.Visit(f, func(x record.Field) {
		if !x.Given || x.Type == record.TypeBytes {
			return
		}
		if text != "" {
			text += " · "
		}
		text += v.fieldName(x.Name) + " " + v.fieldText(x)
	})
	return text
}

// fieldText is what a field holds, as people read it.
func (v *visit) fieldText(x record.Field) string {
	switch x.Type {
	case record.TypeWeight, record.TypeFigure:
		return v.text(*x.Weight)
	case record.TypeChoice, record.TypeTruth:
		return v.say(record.ChoiceKey(x.Text))
	case record.TypeRef, record.TypeNew:
		codes := make([]record.Code, len(x.Codes))
		for i, c := range x.Codes {
			codes[i] = *c
		}
		return v.text(codes)
	}
	return x.Text
}
