package web

import (
	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The balance of a lot or run: what came in, what went out, what is between, beside
// what the scales can hide; or of the season, lot by lot and run by run.
type balancePage struct {
	*frame
	Of     string
	Cannot string
	Stamp  *chip
	Lines  []answerLine
	Next   []answerLine
	Books  *sheet
	Gap    figure
	Sheets []*sheet
	Lots   []option
	Trace  string
}

func (v *visit) balance() error {
	code := v.of()
	title := v.say("page.balance")
	if code != "" {
		title += " · " + string(code)
	}
	p := balancePage{frame: v.frame("extract", title), Of: string(code)}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		a = h.Balance(code)
		for _, kind := range []record.Entity{record.Lot, record.Run} {
			things := h.State.OfKind(kind)
			for _, t := range things[max(0, len(things)-mostLikely):] { // the latest
				c := h.State.Code(t)
				p.Lots = append(p.Lots, option{Text: string(c), Href: link("/balance", "of", string(c)), On: c.Fold() == code.Fold()})
			}
		}
	})
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
		return v.render("balance", p)
	}
	if sent, err := v.onPaper(p.frame, title, a); sent || err != nil {
		return err
	}
	if code != "" {
		p.about(code)
		p.Trace = link("/trace", "of", string(a.Of))
	}
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, l := range a.Next {
		p.Next = append(p.Next, v.line(l))
	}
	for _, t := range a.Tables {
		switch {
		case t.Key == "balance":
			p.Books = v.books(t)
			v.closing(&p, a, t)
		case len(t.Rows) > 0:
			p.Sheets = append(p.Sheets, v.latest(t, code))
		}
	}
	return v.render("balance", p)
}

// latest is a table with its last rows, and where all of them are when they are many.
func (v *visit) latest(t answer.Table, code record.Code) *sheet {
	const most = 60
	n := len(t.Rows)
	if v.arg("all") == t.Key {
		return v.part(rowsAPage, t, "/balance", "of", string(code), "all", t.Key)
	}
	t.Rows = t.Rows[max(0, n-most):]
	s := v.sheet(t)
	if s.Count = n; n > most {
		s.More, s.MoreHref = v.say("page.today.all", "n", n), link("/balance", "of", string(code), "all", t.Key)
	}
	return s
}

// mostOf is how many numbers stand behind a line of the balance: where they are more, the
// trace has them.
const mostOf = 10

// books is the two sides of a balance, in and out each in a column of its own.
func (v *visit) books(t answer.Table) *sheet {
	s := &sheet{Title: v.say("table.balance"), Class: "books", Heads: []head{{Text: v.say("column.what")}, {Text: v.say("column.of")},
		{Text: v.say("balance.in") + v.unitOf("mass_g"), Right: true}, {Text: v.say("balance.out") + v.unitOf("mass_g"), Right: true}}}
	var in, out quantity.Gram
	for _, r := range t.Rows {
		m, _ := r.Cells[2].(quantity.Gram)
		row := sheetRow{Cells: []sheetCell{{Text: v.text(r.Cells[1]), Head: true}, {}, {Right: true}, {Right: true}}}
		if r.Cells[3] != nil {
			row.Cells[1] = v.cell("of", r.Cells[3])
			if codes, ok := r.Cells[3].([]record.Code); ok && len(codes) > mostOf {
				row.Cells[1].Text = v.text(codes[:mostOf]) + " · " + v.say("page.trace.others", "n", len(codes)-mostOf)
			}
		}
		figure := v.kg(m, 1).Value
		switch r.Cells[0] {
		case answer.Key("balance.in"):
			in, row.Cells[2].Text = in+m, figure
		case answer.Key("balance.out"):
			out, row.Cells[3].Text = out+m, figure
		default: // what is between closes the sheet
			out, row.Cells[3].Text = out+m, figure
		}
		s.Rows = append(s.Rows, row)
	}
	s.Rows = append(s.Rows, sheetRow{Class: "sum", Cells: []sheetCell{{Text: v.say("stock.all"), Head: true}, {}, {Text: v.kg(in, 1).Value, Right: true}, {Text: v.kg(out, 1).Value, Right: true}}})
	return s
}

// closing says whether what is missing is within the house's rule, and how that was
// reckoned.
func (v *visit) closing(p *balancePage, a answer.Answer, t answer.Table) {
	gap, _ := t.Rows[len(t.Rows)-1].Cells[2].(quantity.Gram)
	p.Gap = v.kg(gap, 1)
	h := how{ID: "how-gap", Title: v.say("balance.gap"), Answer: v.text(gap), Formula: []string{v.say("page.balance.formula")}, Source: v.say("page.balance.source")}
	for _, r := range t.Rows[:len(t.Rows)-1] {
		sign := map[any]string{answer.Key("balance.in"): "+ ", answer.Key("balance.out"): "− "}[r.Cells[0]]
		h.Inputs = append(h.Inputs, input{Name: v.text(r.Cells[1]), Value: sign + v.text(r.Cells[2])})
	}
	for _, l := range a.Lines {
		if doubt, ok := l.Args["doubt"].(quantity.Gram); ok {
			p.Gap.Spread = v.kg(doubt, 1).Value
		}
		if rule, ok := l.Args["rule"]; ok {
			h.Inputs = append(h.Inputs, input{Name: v.say("page.balance.rule"), Value: v.text(rule)})
			class := map[answer.Mark]string{answer.Good: "ok", answer.Care: "watch", answer.Bad: "stop"}[l.Mark]
			c := newChip(class, v.say(l.Key+".short"))
			c.Big = true
			if l.Mark == answer.Bad { // it does not close
				p.Books.Rows[len(p.Books.Rows)-1].Class = "sum open"
			}
			p.Stamp = &c
		}
	}
	p.Gap.Href, p.Gap.Label = p.how(h), v.say("page.how.open", "figure", v.text(gap))
}
