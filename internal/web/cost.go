package web

import (
	"cmp"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What it costs: the season, a run part by part, drums or jars, a gram, energy, tests,
// wax; and what a supplier is owed. Each is one answer on one page.
type costPage struct {
	goodsPage
	Show  string
	Of    string
	Asks  []costField // what can be typed
	Next  []answerLine
	Stamp *chip
}

// A costField is one field of a question.
type costField struct {
	Name, Label, Value, Hint string
	Number                   bool
	Pick                     []option
}

// costShows are the questions of the page, by what the address says.
var costShows = []string{"", "margin", "gram", "energy", "tests", "wax"}

func (v *visit) cost() error {
	show := v.arg("show")
	p := costPage{Show: show, Of: string(v.of())}
	p.frame = v.frame("", v.say("page.cost"))
	if p.Text = v.say("page.cost.text" + dotted(show)); p.Of != "" && show == "" {
		p.Title += " · " + p.Of
	}
	for _, s := range costShows {
		p.Choices = append(p.Choices, option{Text: v.say("page.cost.show" + dotted(s)), Href: link("/cost", "show", s), On: s == show && (s != "" || p.Of == "")})
	}
	p.Acts = []option{{Text: v.say("page.prices"), Href: "/prices", Value: "scale"}, {Text: v.say("page.settle"), Href: "/settle", Value: "person"}}
	var a answer.Answer
	var err error
	var plan *office.DayPlan
	if show == "energy" {
		if s, _ := v.s.office.TodaySheet(firstWait); s != nil {
			plan = s.Plan
		}
	}
	v.s.office.Read(func(h *office.View) { a, err = v.costAnswer(h, &p, plan) })
	if err != nil {
		return err
	}
	p.about(record.Code(p.Of))
	title := v.say("page.cost.show" + dotted(show))
	if sent, err := v.onPaper(p.frame, title, a); sent || err != nil {
		return err
	}
	v.withoutOld(&p, a)
	for _, l := range a.Next {
		p.Next = append(p.Next, v.line(l))
	}
	v.toRuns(&p)
	return v.render("cost", p)
}

func dotted(s string) string {
	if s == "" {
		return ""
	}
	return "." + s
}

// costAnswer asks the house. What can't be read in a typed figure stays in its field and
// is told above it.
func (v *visit) costAnswer(h *office.View, p *costPage, plan *office.DayPlan) (answer.Answer, error) {
	of := v.of()
	switch p.Show {
	case "margin":
		ask := office.MarginAsk{Product: of}
		v.productField(h, p, of)
		ask.Drum = v.typedPrice(h, p, "drum", quantity.Money)
		if of != "" {
			ask.Unit = v.typedPrice(h, p, "jar", quantity.Money)
		}
		ask.Hours = v.typedPrice(h, p, "hours", quantity.Hour).Figure
		return h.Margins(ask)
	case "gram":
		n := v.typedPrice(h, p, "units", quantity.Each).Figure
		return h.OneGram(of, min(int64(n.Float()), 1_000_000_000)), nil
	case "energy":
		return h.Energy(v.s.office.Now(), plan), nil
	case "tests":
		return h.LabTests(), nil
	case "wax":
		return h.Wax(of), nil
	}
	return h.Cost(of), nil
}

// typedPrice reads a figure of the question, and keeps it in its field.
func (v *visit) typedPrice(h *office.View, p *costPage, name string, in quantity.Unit) (r quantity.Reading) {
	text := v.arg(name)
	p.Asks = append(p.Asks, costField{Name: name, Label: v.say("page.cost.ask." + name), Value: text, Number: true})
	if text == "" {
		return r
	}
	r, err := quantity.ParseReading(text, quantity.Want{Unit: in, Style: v.numberStyle(), Currency: h.State.House().Currency})
	if err != nil || r.Figure.Mantissa < 0 {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "page.cost.not-read", Mark: answer.Care, Args: answer.Args{"typed": text, "what": answer.Key("page.cost.ask." + name)}}))
		return quantity.Reading{}
	}
	return r
}

// productField lets one product be looked at.
func (v *visit) productField(h *office.View, p *costPage, of record.Code) {
	f := costField{Name: "of", Label: v.say("page.cost.ask.of"), Pick: []option{{Text: v.say("page.cost.all-products")}}}
	for _, x := range h.State.Goods.Products() {
		if x.What != record.BulkDrum {
			f.Pick = append(f.Pick, option{Text: cmp.Or(x.Name, string(x.Product)), Value: string(x.Product), On: sameCode(x.Product, of)})
		}
	}
	p.Asks = append(p.Asks, f)
}

// withoutOld puts an answer on the page: of a long table the last rows, or where all are
// asked for, part by part.
func (v *visit) withoutOld(p *costPage, a answer.Answer) {
	const most, aPage = 40, 100
	v.answered(&p.goodsPage, answer.Answer{Lines: a.Lines, Cannot: a.Cannot, Sources: a.Sources, Rests: a.Rests})
	for _, t := range a.Tables {
		n := len(t.Rows)
		switch {
		case n == 0:
			continue
		case n > most && v.arg("all") == t.Key:
			p.Sheets = append(p.Sheets, v.part(aPage, t, "/cost", "show", p.Show, "of", p.Of, "all", t.Key))
			continue
		case n > most:
			t.Rows = t.Rows[n-most:]
		}
		s := v.sheet(t)
		if s.Count = n; n > most {
			s.More, s.MoreHref = v.say("page.today.all", "n", n), link("/cost", "show", p.Show, "of", p.Of, "all", t.Key)
		}
		p.Sheets = append(p.Sheets, s)
	}
}

// toRuns makes the runs of the season lead to what each cost.
func (v *visit) toRuns(p *costPage) {
	if p.Show != "" || p.Of != "" {
		return
	}
	for _, s := range p.Sheets {
		for i := range s.Rows {
			if c := s.Rows[i].Cells; len(c) > 1 {
				c[0].Href = link("/cost", "of", c[0].Text)
			}
		}
	}
}

// settlement is what is owed to a supplier.
func (v *visit) settlement() error {
	p := costPage{Show: "settle", Of: v.arg("of")}
	p.frame = v.frame("", v.say("page.settle"))
	p.Text = v.say("page.settle.text")
	p.Acts = []option{{Text: v.say("page.settle.terms"), Href: "/prices#settle", Value: "scale"}}
	p.Asks = []costField{{Name: "of", Label: v.say("page.settle.who"), Value: p.Of}, {Name: "back", Label: v.say("page.settle.back"),
		Pick: []option{{Text: v.say("no")}, {Text: v.say("yes"), Value: "yes", On: v.arg("back") != ""}}}}
	var a answer.Answer
	var err error
	v.s.office.Read(func(h *office.View) {
		for _, name := range h.SettleNames() {
			p.Choices = append(p.Choices, option{Text: name, Href: link("/settle", "of", name), On: name == p.Of})
		}
		if p.Of != "" {
			a, err = h.Settlement(office.SettleAsk{Of: p.Of, Back: v.arg("back") != ""})
		}
	})
	if err != nil {
		return err
	}
	if p.Of != "" {
		if a.Cannot == nil {
			if sent, err := v.onPaper(p.frame, v.say("paper.title.settlement")+" · "+p.Of, a); sent || err != nil {
				return err
			}
		}
		v.answered(&p.goodsPage, a)
		for _, l := range a.Next {
			p.Next = append(p.Next, v.line(l))
		}
	}
	return v.render("cost", p)
}

// The house's prices: each with the time from which it holds.
type pricesPage struct {
	*frame
	Groups []priceGroup
	New    []costField // of a price that is for one only
	Lines  []answerLine
}

type priceGroup struct {
	ID, Title string
	Rows      []ruleRow
}

func (v *visit) prices() error {
	p := pricesPage{frame: v.frame("", v.say("page.prices"))}
	if name, ok := v.newPrice(&p); ok {
		return v.see(link("/do/setting", "of", name, "back", "/prices"))
	}
	v.s.office.Read(func(h *office.View) {
		for i, rules := range h.PriceRules() {
			id := []string{"goods", "work", "settle"}[i]
			g := priceGroup{ID: id, Title: v.say("page.prices." + id)}
			for _, r := range rules {
				row := ruleRow{Name: v.priceName(r), Value: v.say("page.prices.not-set"), Own: r.Set, Href: link("/do/setting", "of", r.Name, "back", "/prices")}
				if r.Set {
					row.Value, row.Usual = v.text(r.Value), v.say("page.prices.since", "when", v.text(r.Since))
				}
				g.Rows = append(g.Rows, row)
			}
			p.Groups = append(p.Groups, g)
		}
	})
	return v.render("prices", p)
}

// newPrice lets a price be set that is for one supplier, one kind of honey or one step of
// water; true with its rule's name once all is chosen.
func (v *visit) newPrice(p *pricesPage) (name string, chosen bool) {
	who, what, step := v.arg("who"), v.arg("what"), v.arg("step")
	whoms := costField{Name: "who", Label: v.say("page.prices.for"), Pick: []option{{Text: v.say("page.prices.everybody")}}}
	whats := costField{Name: "what", Label: v.say("page.prices.what")}
	name = "settle."
	v.s.office.Read(func(h *office.View) {
		for _, n := range h.SettleNames() {
			whoms.Pick = append(whoms.Pick, option{Text: n, Value: n, On: n == who})
		}
		for _, term := range office.SettleTerms() {
			text := v.say("page.price.settle." + strings.TrimSuffix(term, "."))
			if strings.HasSuffix(term, ".") {
				text = v.say("page.prices.step-of")
			}
			whats.Pick = append(whats.Pick, option{Text: text, Value: term, On: term == what})
		}
		for _, kind := range h.HoneyBrought() {
			value := "price." + kind
			whats.Pick = append(whats.Pick, option{Text: v.say("page.prices.honey-of", "of", kind), Value: value, On: value == what})
		}
		if who != "" {
			name += who + "."
		}
		if name += what; strings.HasSuffix(what, ".") && what != "" {
			f, err := quantity.ParseFigure(step, quantity.Want{Unit: quantity.Pct, Style: v.numberStyle()})
			if err == nil {
				name += f.Digits()
			}
		}
		_, chosen = h.PriceRuleNamed(name)
	})
	p.New = []costField{whoms, whats, {Name: "step", Label: v.say("page.prices.step"), Value: step, Number: true}}
	if what != "" && !chosen {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "page.prices.bad-step", Mark: answer.Care, Args: answer.Args{"typed": step}}))
	}
	return name, what != "" && chosen
}

func (v *visit) priceName(r office.PriceRule) string {
	return v.say("page.price."+r.Head, "of", r.Of)
}

// priceTask sets a price from now on; what was packed before keeps the old one.
func (v *visit) priceTask(name string) (*task, bool) {
	var r office.PriceRule
	var ok bool
	v.s.office.Read(func(h *office.View) { r, ok = h.PriceRuleNamed(name) })
	if !ok {
		return nil, false
	}
	value := cell{Name: "value", In: r.In, Need: true}
	if r.Set {
		value.Start = v.digits(r.Value)
	}
	cells := []cell{value}
	if r.Head == "cost.other" {
		cells = append(cells, cell{Name: "text", Label: v.say("page.price.what")})
	}
	rule := office.Rule{Name: r.Name, Otherwise: quantity.Figure{Unit: r.In}}
	return &task{Title: v.priceName(r), About: v.say("page.prices.from-now"), Back: "/prices",
		Parts: []part{{Kind: record.KindSettingChanged, Fixed: map[string]string{"setting": r.Name}, Cells: append(cells, cell{Name: "reason"})}},
		Make:  func(d *house.Draft) error { return priceInUnit(d, rule) }}, true
}

// priceInUnit is [inUnit], but what is taken off a kilogram may be below nothing.
func priceInUnit(d *house.Draft, r office.Rule) error {
	f, ok := d.Facts[0].(*record.SettingChanged)
	if ok && f.Value.Unit == r.Otherwise.Unit && office.MayBeNegative(r.Name) {
		return nil
	}
	return inUnit(d, r)
}
