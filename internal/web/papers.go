package web

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/epcis"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Papers: the register of a month for an inspector, every other paper, forms to fill in by
// hand; and what was printed with worked-out figures, with where it would now differ.
type papersPage struct {
	*frame
	From, To string
	Papers   *sheet
	Pages    []option
	Forms    []option
}

func (v *visit) papers() error {
	p := papersPage{frame: v.frame("", v.say("page.papers")), From: v.now.AddDate(0, 0, -v.now.Day()).Format("2006-01")}
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
	for _, x := range [][2]string{{"page.watch", "/watch"}, {"page.tab.stock", "/stock"}, {"paper.title.drums", "/papers/drums"}, {"paper.title.statement", "/papers/statement"}, {"page.balance", "/balance"},
		{"page.orders", "/orders"}, {"page.materials", "/materials"}, {"page.recall", "/recall"}, {"page.complaints", "/complaints"}, {"page.holds", "/holds"}, {"page.history", "/history"}} {
		p.Pages = append(p.Pages, option{Text: v.say(x[0]), Href: x[1]})
	}
	for _, b := range office.BlankSheets() {
		p.Forms = append(p.Forms, option{Text: v.say("page.blank." + b.Name), Href: link("/blank", "sheet", b.Name)})
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

// The register of a time: its chapters, or one of them with its entries.
type registerPage struct {
	*frame
	From, To string
	Problem  string
	Lines    []answerLine
	Chapters []option
	Whole    []option // the same with every field, and as events
	Sheets   []*sheet
}

func (v *visit) registerOf() error {
	p := registerPage{frame: v.frame("", v.say("paper.title.register")), From: v.arg("from"), To: v.arg("to")}
	from, to, ok := office.ParsePeriod(p.From, p.To)
	if !ok || to < from {
		p.Problem = v.say("page.papers.period-wrong", "typed", strings.TrimSpace(p.From+" "+p.To))
		return v.render("register", p)
	}
	here := func(pairs ...string) string {
		return link("/papers/register", append([]string{"from", p.From, "to", p.To}, pairs...)...)
	}
	kinds, one := office.RegisterKinds(v.arg("of"))
	if v.arg("as") == "json" {
		return v.events(from, to)
	}
	var all, said, fields answer.Answer
	v.s.office.Read(func(h *office.View) {
		all = h.Register(from, to)
		if said = all; one {
			said = h.RegisterSaid(kinds, from, to)
		}
		if as := v.arg("as"); one && as != "" && as != "pdf" || v.arg("fields") != "" {
			fields = h.RegisterOf(kinds, from, to)
			said.Tables = fields.Tables
		}
	})
	title := v.say("paper.title.register") + " " + strings.Trim(p.From+" – "+p.To, " –")
	if one {
		title += ", " + v.chapter(v.arg("of"))
	}
	if sent, err := v.onPaper(p.frame, title, said); sent || err != nil {
		return err
	}
	for _, l := range all.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	if all.Cannot != nil {
		p.Lines = append(p.Lines, v.line(*all.Cannot))
	}
	p.Chapters = []option{{Text: v.say("page.papers.registers"), Href: here(), On: !one}}
	for _, t := range all.Tables {
		name, chapter := strings.CutPrefix(t.Key, "register-")
		if _, known := office.RegisterKinds(name); chapter && known && len(t.Rows) > 0 {
			p.Chapters = append(p.Chapters, option{Text: answer.Title(v.c, t) + " · " + v.c.Count(int64(len(t.Rows))), Href: here("of", name), On: name == v.arg("of")})
		}
	}
	if v.s.opts.Printer.Workbook != nil {
		p.Whole = append(p.Whole, option{Text: v.say("page.papers.fields") + " · Excel", Href: here("fields", "yes", "as", "xlsx")}, option{Text: v.say("page.papers.fields") + " · CSV", Href: here("fields", "yes", "as", "csv")})
	}
	p.Whole = append(p.Files, append(p.Whole, option{Text: v.say("page.papers.events"), Href: here("as", "json")})...)
	p.Files = nil
	for _, t := range said.Tables {
		if one && len(t.Rows) > 0 {
			p.Sheets = append(p.Sheets, v.part(rowsAPage, t, "/papers/register", "from", p.From, "to", p.To, "of", v.arg("of")))
		}
	}
	return v.render("register", p)
}

// chapter is a register's own word.
func (v *visit) chapter(name string) string {
	if k, ok := record.KindOf(name); ok {
		return v.say(k.Key())
	}
	return v.say("table.register-" + strings.ToLower(name))
}

// events sends what happened to the honey as a document of EPCIS 2.0.
func (v *visit) events(from, to record.Day) error {
	var events []epcis.Event
	var terms epcis.Context
	var err error
	v.s.office.Read(func(h *office.View) {
		events, err = h.Events(from, to)
		terms = h.Terms()
	})
	if err != nil {
		return err
	}
	doc, err := epcis.Document(events, terms, v.now)
	if err != nil {
		return err
	}
	return v.file(v.say("page.papers.events"), "json", doc)
}

// An answer that is a paper and no more: the drum register, a harvest statement.
func (v *visit) paperOf(title string, ask func(*office.View) answer.Answer, acts ...option) error {
	p := goodsPage{frame: v.frame("", v.say(title)), Print: true, Acts: acts}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) { a = ask(h) })
	if a.Of != "" {
		p.Title += " · " + string(a.Of)
		p.about(a.Of)
	}
	if a.Cannot == nil {
		if sent, err := v.onPaper(p.frame, v.say(title), a); sent || err != nil {
			return err
		}
	}
	v.answered(&p, a)
	for i, t := range withRows(a) { // a long table in parts
		if len(t.Rows) > rowsAPage {
			p.Sheets[i] = v.part(rowsAPage, t, v.r.URL.Path, "of", string(a.Of))
		}
	}
	return v.render("goods", p)
}

func (v *visit) drumRegister() error {
	return v.paperOf("paper.title.drums", (*office.View).DrumRegister)
}

func (v *visit) statement() error {
	var acts []option
	if v.of() != "" {
		acts = []option{{Text: v.say("table.harvest-statements"), Href: "/papers/statement", Value: "list"}, {Text: v.say("page.tab.trace"), Href: link("/trace", "of", string(v.of())), Value: "trace"}}
	}
	return v.paperOf("paper.title.statement", func(h *office.View) answer.Answer { return h.HarvestStatement(v.of()) }, acts...)
}
