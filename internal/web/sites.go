package web

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/yard"
)

// Sites: where hives stand, and whether honey may be pulled there on a day.
type sitesPage struct {
	*frame
	Q      string
	Day    string
	Max    string
	Line   string
	Show   []option
	Table  *sheet
	None   bool
	Filter string
}

// pullChips are the state of a pull by its answer.
var pullChips = map[record.Truth]string{record.Yes: "ok", record.No: "stop", record.NotKnown: "watch"}

// pullKeys are the words for the answer.
var pullKeys = map[record.Truth]string{record.Yes: "page.pull.yes", record.No: "page.pull.no", record.NotKnown: "page.pull.not-known"}

func (v *visit) pullDay() record.Day {
	if d, err := record.ParseDay(v.arg("day")); err == nil {
		return d
	}
	return v.day()
}

func (v *visit) sites() error {
	p := sitesPage{frame: v.frame("", v.say("page.sites")), Q: v.arg("q"), Day: v.pullDay().String(), Filter: v.arg("may")}
	p.Reads = true
	var all []office.SiteLine
	v.s.office.Read(func(h *office.View) { all = h.Sites(v.pullDay(), p.Q) })
	counts := map[record.Truth]int{}
	s := &sheet{Title: p.Title, Class: "sites", Heads: []head{{Text: v.say("column.site")}, {Text: v.say("page.sites.may")}, {Text: v.say("page.sites.why")}, {Text: v.say("field.hives"), Right: true},
		{Text: v.say("page.sites.on"), Right: true}, {Text: v.say("page.sites.last")}}}
	for _, l := range all {
		counts[l.Pull.Allowed]++
		if p.Filter == "" || p.Filter == filterOf(l.Pull.Allowed) {
			s.Rows = append(s.Rows, v.siteRow(l))
		}
	}
	p.Table, p.None = s, len(all) == 0
	p.Line = v.say("page.sites.count", "n", len(all), "day", v.c.DateShort(v.pullDay().Time()))
	p.Show = []option{{Text: v.say("stock.all") + " " + v.c.Count(int64(len(all))), Href: link("/sites", "q", p.Q, "day", v.arg("day")), On: p.Filter == ""}}
	for _, a := range []record.Truth{record.Yes, record.No, record.NotKnown} {
		p.Show = append(p.Show, option{Value: chipIcons[pullChips[a]], Text: v.say(pullKeys[a]) + " " + v.c.Count(int64(counts[a])), On: p.Filter == filterOf(a),
			Href: link("/sites", "q", p.Q, "day", v.arg("day"), "may", filterOf(a))})
	}
	return v.render("sites", p)
}

func filterOf(a record.Truth) string {
	if a == record.NotKnown {
		return "ask"
	}
	return a.String()
}

func (v *visit) siteRow(l office.SiteLine) sheetRow {
	class := pullChips[l.Pull.Allowed]
	why := ""
	if r, ok := mainReason(l.Pull); ok && r.Allowed != record.Yes {
		why = v.reason(r)
	}
	last := sheetCell{}
	if l.LastLot != "" {
		last = sheetCell{Text: string(l.LastLot), Href: thingLink(l.LastLot), Note: together(v.c.DateShort(l.Pulled.Time()))}
	}
	return sheetRow{Cells: []sheetCell{{Text: string(l.Code), Head: true, Href: link("/site", "of", string(l.Code), "day", v.arg("day")), Note: l.Place},
		{Text: v.say(pullKeys[l.Pull.Allowed]), Class: class, Icon: chipIcons[class]}, {Text: why}, {Text: v.hives(l.Site), Right: true}, {Text: v.onHives(l.Site), Right: true}, last}}
}

// mainReason is the first reason that decides the answer.
func mainReason(p yard.Pull) (yard.Reason, bool) {
	for _, r := range p.Reasons {
		if r.Allowed == p.Allowed {
			return r, true
		}
	}
	return yard.Reason{}, false
}

// reason is one thing that speaks for or against a pull, with what it is about.
func (v *visit) reason(r yard.Reason) string {
	text := v.say(r.Key)
	of := r.Product
	if of == "" {
		of = string(r.Of)
	}
	if of != "" {
		text = strings.TrimSuffix(text, ".") + " (" + of + ")."
	}
	if r.Key == yard.PullWaiting && r.Until != 0 {
		text += " " + v.say("page.site.from-day", "day", v.c.DateShort((r.Until+1).Time()))
	}
	return text
}

func (v *visit) hives(s yard.Site) string {
	if !s.Hives.Given() {
		return "?"
	}
	return v.c.Count(int64(s.Hives.Float()))
}

// onHives is the boxes on the hives: not known is not none.
func (v *visit) onHives(s yard.Site) string {
	if s.Known != record.Yes {
		return "?"
	}
	return v.c.Count(s.OnHives)
}

// One site.
type sitePage struct {
	*frame
	Code  string
	Line  string
	Day   string
	Pull  chip
	Whys  []answerLine
	Next  []answerLine
	Facts []fact2
	Do    []doGroup
	Homes []fact2

	Treatments, Feed, Lots, Moves *sheet
	Enquiries                     []answerLine
	Rule                          string
}

type doGroup struct {
	Title string
	Items []option
}

func (v *visit) site() error {
	day := v.pullDay()
	var n office.SiteNow
	var ok bool
	var near []record.Code
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		a = h.MayPull(v.of(), day)
		if n, ok = h.SiteNow(v.of(), day); !ok {
			near = h.State.Near(v.of(), []record.Entity{record.Site})
		}
	})
	if !ok {
		return &notThere{v.of(), near}
	}
	p := sitePage{frame: v.frame("", string(n.Code)), Code: string(n.Code), Day: day.String()}
	p.about(n.Code)
	for _, part := range []string{n.Place, n.Country, n.Owner} {
		if part != "" {
			if p.Line != "" {
				p.Line += " · "
			}
			p.Line += part
		}
	}
	class := pullChips[n.Pull.Allowed]
	p.Pull = newChip(class, v.say(pullKeys[n.Pull.Allowed]))
	p.Pull.Big = true
	for _, r := range n.Pull.Reasons {
		mark := map[record.Truth]answer.Mark{record.Yes: answer.Good, record.No: answer.Bad, record.NotKnown: answer.Care}[r.Allowed]
		why := answerLine{Class: markClass(mark), Icon: chipIcons[markClass(mark)], Text: v.reason(r)}
		if !slices.Contains(p.Whys, why) { // of two feeds both are none
			p.Whys = append(p.Whys, why)
		}
	}
	for _, l := range a.Next {
		x := v.line(l)
		x.Icon = "pencil"
		p.Next = append(p.Next, x)
	}
	p.Facts = []fact2{{Name: v.say("field.hives"), Text: v.hives(n.Site)}, {Name: v.say("page.sites.on"), Text: v.onHives(n.Site)}}
	if n.RipeAt != (yard.Stamp{}) {
		p.Facts = append(p.Facts, fact2{Name: v.say("field.capped"), Text: v.figureText(n.Capped)}, fact2{Name: v.say("field.water"), Text: v.figureText(n.Water)},
			fact2{Name: v.say("page.site.ripe"), Text: v.text(n.RipeAt.When)})
	}
	for _, x := range []fact2{{Name: v.say("column.drive"), Text: v.figureText(n.About.Drive)}, {Name: v.say("field.crop"), Text: n.About.Crop}, {Name: v.say("field.sets_after"), Text: v.figureText(n.About.SetsAfter)}, {Name: v.say("field.note"), Text: n.About.Note}} {
		if x.Text != "" && x.Text != "?" {
			p.Facts = append(p.Facts, x)
		}
	}
	for _, h := range n.Homes {
		name := string(h.Home)
		if name == "" {
			name = v.say("page.site.home-unknown")
		}
		boxes := v.c.Count(h.Most)
		if h.Least != h.Most {
			boxes = v.c.Count(h.Least) + " – " + boxes
		}
		p.Homes = append(p.Homes, fact2{Name: name, Text: boxes, Href: siteLink(h.Home)})
	}
	v.siteTables(&p, n)
	p.Do = v.siteDo(n)
	return v.render("site", p)
}

func siteLink(c record.Code) string {
	if c == "" {
		return ""
	}
	return link("/site", "of", string(c))
}

func (v *visit) figureText(f quantity.Figure) string {
	if !f.Given() {
		return "?"
	}
	return v.text(f)
}

// siteDo is what can be written down about a site, in the order of the year.
func (v *visit) siteDo(n office.SiteNow) []doGroup {
	of := string(n.Code)
	back := link("/site", "of", of)
	item := func(task, sign string) option {
		return option{Text: v.say("page.enter." + task + ".short"), Href: link("/enter/"+task, "of", of, "back", back), Value: sign}
	}
	combs := option{Text: v.say("page.enter.combs-back.short"), Href: link("/enter/combs-back", "back", back), Value: "down"}
	if len(n.Out) > 0 {
		combs.Href = link("/enter/combs-back", "of", string(n.Out[len(n.Out)-1].Code), "back", back)
	}
	enquiry := item("enquiry", "stop")
	for _, e := range n.Enquiries {
		if e.Ruled == nil {
			enquiry = option{Text: v.say("page.enter.ruling.short"), Href: link("/enter/ruling", "of", string(e.Code), "back", back), Value: "tick"}
		}
	}
	return []doGroup{
		{v.say("page.site.harvest"), []option{item("ripeness", "eye"), item("describe", "place"), item("load", "pencil"), item("supers-on", "box"), combs}},
		{v.say("page.site.bees"), []option{item("treated", "drop"), item("ended", "tick"), item("not-treated", "dash"), item("fed", "down"), item("not-fed", "dash"), item("hives", "intake"), enquiry}},
	}
}

func (v *visit) siteTables(p *sitePage, n office.SiteNow) {
	for _, e := range n.Enquiries {
		l := answerLine{Class: "stop", Icon: "stop", Text: v.say("page.site.enquiry", "enquiry", string(e.Code), "disease", e.Opened.Disease, "when", v.text(e.At.When))}
		if e.Ruled != nil {
			l.Text += " " + v.say("page.site.ruled", "ruling", v.say(record.ChoiceKey(map[record.Ruling]string{record.Cleared: "cleared", record.Confirmed: "confirmed"}[e.Ruled.Ruling])), "by", e.Ruled.By, "when", v.text(e.RuledAt.When))
			if e.Ruled.Ruling == record.Cleared {
				l.Class, l.Icon = "ok", "tick"
			}
		}
		p.Enquiries = append(p.Enquiries, l)
	}
	v.treatmentSheet(p, n)
	v.feedSheet(p, n)
	p.Lots = &sheet{Title: v.say("table.lots"), Heads: []head{{Text: v.say("column.lot")}, {Text: v.say("column.day")}, {Text: v.say("column.honey")}, {Text: v.say("column.boxes"), Right: true}, {Text: v.say("column.gross_in_g") + v.unitOf("gross_in_g"), Right: true}}}
	for _, l := range n.Lots {
		p.Lots.Rows = append(p.Lots.Rows, sheetRow{Cells: []sheetCell{{Text: string(l.Lot), Head: true, Href: thingLink(l.Lot)}, {Text: v.c.DateShort(l.Pulled.Time())}, {Text: l.Honey},
			{Text: v.c.Count(l.Boxes), Right: true}, {Text: v.kg(l.GrossIn, 1).Value, Right: true}}})
	}
	p.Moves = &sheet{Title: v.say("table.box-moves"), Heads: []head{{Text: v.say("column.when")}, {Text: v.say("column.move")}, {Text: v.say("column.boxes"), Right: true}, {Text: v.say("column.site")}, {Text: v.say("column.lot")}}}
	const most = 30
	for _, m := range n.Moves[:min(len(n.Moves), most)] {
		where := m.Site
		if where == "" {
			where = m.Place
		}
		p.Moves.Rows = append(p.Moves.Rows, sheetRow{Cells: []sheetCell{{Text: v.text(m.When), Head: true, Href: link("/correct", "fact", v.num(int64(m.Fact)))}, {Text: v.say("move." + m.Kind.String())},
			{Text: v.c.Count(m.Boxes), Right: true}, {Text: string(where)}, {Text: string(m.Lot), Href: thingLink(m.Lot)}}})
	}
}

func (v *visit) treatmentSheet(p *sitePage, n office.SiteNow) {
	p.Treatments = &sheet{Title: v.say("page.site.treatments"), Heads: []head{{Text: v.say("column.product")}, {Text: v.say("page.site.in")}, {Text: v.say("page.site.out")}, {Text: v.say("page.site.wait")}, {Text: v.say("column.fact"), Right: true}}}
	for _, t := range n.Treatments {
		if t.Treated == nil {
			continue
		}
		out := sheetCell{Text: v.say("page.site.still-in"), Class: "watch", Icon: "watch"}
		if t.Over == record.Yes {
			out = sheetCell{Text: v.text(t.OverAt.When)}
		}
		wait := sheetCell{Text: "?"}
		if t.Treated.WaitDays.Given() {
			wait.Text = v.text(t.Treated.WaitDays)
		}
		p.Treatments.Rows = append(p.Treatments.Rows, sheetRow{Cells: []sheetCell{{Text: t.Treated.Product, Note: string(t.Code) + " · " + t.Treated.Against, Head: true}, {Text: v.text(t.At.When)}, out, wait,
			{Text: v.c.Count(int64(t.At.Fact)), Href: link("/correct", "fact", v.num(int64(t.At.Fact))), Right: true}}})
	}
	for i := len(n.NotTreated) - 1; i >= 0; i-- {
		e := n.NotTreated[i]
		f := e.Fact.(*record.NotTreated)
		p.Treatments.Rows = append(p.Treatments.Rows, sheetRow{Cells: []sheetCell{{Text: v.say("page.site.none-given"), Head: true}, {Text: v.c.DateShort(f.From.Time())}, {Text: v.c.DateShort(f.To.Time())}, {},
			{Text: v.c.Count(int64(e.Seq)), Href: link("/correct", "fact", v.num(int64(e.Seq))), Right: true}}})
	}
}

func (v *visit) feedSheet(p *sitePage, n office.SiteNow) {
	p.Feed = &sheet{Title: v.say("page.site.feed"), Heads: []head{{Text: v.say("page.site.feed-what")}, {Text: v.say("column.when")}, {Text: v.say("field.supers_on")}, {Text: v.say("column.fact"), Right: true}}}
	for i := len(n.Fed) - 1; i >= 0; i-- {
		f := n.Fed[i]
		p.Feed.Rows = append(p.Feed.Rows, sheetRow{Cells: []sheetCell{{Text: f.Feed, Head: true}, {Text: v.text(f.When)}, {Text: v.text(f.SupersOn)},
			{Text: v.c.Count(int64(f.Fact)), Href: link("/correct", "fact", v.num(int64(f.Fact))), Right: true}}})
	}
	for i := len(n.NotFed) - 1; i >= 0; i-- {
		f := n.NotFed[i]
		p.Feed.Rows = append(p.Feed.Rows, sheetRow{Cells: []sheetCell{{Text: v.say("page.site.none-given"), Head: true}, {Text: v.c.DateRange(f.From.Time(), f.To.Time())}, {},
			{Text: v.c.Count(int64(f.Fact)), Href: link("/correct", "fact", v.num(int64(f.Fact))), Right: true}}})
	}
}
