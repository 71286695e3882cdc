package web

import (
	"html/template"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Trace: where something comes from and where it is now, by share and apart by
// possibility.
type tracePage struct {
	*frame
	Of      string
	Kind    string
	Head    string
	Lines   []answerLine
	Cannot  string
	Near    []option
	Recent  []option
	Verdict *chip
	Ribbons []template.HTML
	From    *sheet
	Now     *sheet
	Who     *sheet // who got it
	Apart   []*sheet
	ApartN  int // lines of them
	Share   []*sheet
	Whole   *sheet // one table in full, alone
	Links   []option
	Recall  string
	Papers  *sheet
	Holds   *sheet
}

func (v *visit) trace() error {
	code := v.of()
	title := v.say("page.tab.trace")
	if code != "" {
		title += " " + string(code)
	}
	p := tracePage{frame: v.frame("trace", title), Of: string(code)}
	p.Reads = true
	if code == "" {
		p.Recent = v.recent()
		return v.render("trace", p)
	}
	p.about(code)
	at := time.Now()
	var a answer.Answer
	var w office.Whereabouts
	var more map[string]int
	most := mostSteps
	if v.arg("table") != "" || v.arg("as") != "" { // one table in full, or all on paper
		most = 0
	}
	v.s.office.Read(func(h *office.View) {
		a, more = h.TraceTop(code, most)
		if most > 0 {
			w = h.Whereabouts(code)
		}
		if t, ok := h.State.Find(code); ok {
			p.Kind = v.say(h.State.KindOf(t).Key())
		}
		for _, c := range h.State.Near(code, nil) {
			if a.Cannot != nil {
				p.Near = append(p.Near, option{Text: string(c), Href: thingLink(c)})
			}
		}
	})
	took := time.Since(at) // how long the tracing itself took, not what time it is
	p.Of = string(a.Of)
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
		p.Links = v.thingLinks(a.Of)
		return v.render("trace", p)
	}
	if sent, err := v.onPaper(p.frame, v.say("page.tab.trace")+" · "+p.Of, a); sent || err != nil {
		return err
	}
	if t, ok := tablesOf(a)[v.arg("table")]; ok { // one table in full
		p.Whole = v.part(rowsAPage, t, "/trace", "of", string(a.Of), "table", t.Key)
		p.Links = v.thingLinks(a.Of)
		return v.render("trace", p)
	}
	v.fillTrace(&p, a, w, more)
	v.traceHow(&p, w, took)
	return v.render("trace", p)
}

// mostSteps are the rows of one table that are shown among the others: more is found
// by searching, not by reading.
const mostSteps = 40

func (v *visit) fillTrace(p *tracePage, a answer.Answer, w office.Whereabouts, more map[string]int) {
	t := tablesOf(a)
	if w.Whole > 0 {
		for _, x := range []struct {
			wide  float64
			class string
		}{{760, "only-n"}, {1216, "only-m"}, {1584, "only-w"}} {
			if r := v.ribbons(w, x.wide, x.class); r != "" {
				p.Ribbons = append(p.Ribbons, r)
			}
		}
		p.From = v.heapSheet(w.From, w.Whole, v.say("page.trace.back"))
		p.Now = v.heapSheet(w.Now, w.Whole, v.say("page.trace.forward"))
	}
	p.Who = v.whoGot(t["sent"])
	all := func(key string) string { return link("/trace", "of", string(a.Of), "table", key) }
	for _, key := range []string{"lots", "from", "through", "into", "here", "ends", "material", "touched-sites", "touched-lots", "box-moves", "machines"} {
		if x := t[key]; len(x.Rows) > 0 {
			p.Share = append(p.Share, v.sheetTo(mostSteps, x, more[key], all(key)))
		}
	}
	for _, key := range []string{"possible-from", "possible-into"} {
		if x := t[key]; len(x.Rows) > 0 {
			p.Apart = append(p.Apart, v.sheetTo(mostSteps, x, more[key], all(key)))
			p.ApartN += len(x.Rows) + more[key]
		}
	}
	if len(t["papers"].Rows) > 0 {
		p.Papers = v.sheet(t["papers"])
	}
	if len(t["holds"].Rows) > 0 {
		p.Holds = v.sheet(t["holds"])
	}
	p.Links = v.thingLinks(a.Of)
	p.Recall = link("/recall", "of", string(a.Of))
}

// whoGot adds up what went to each customer and address, one dispatch a row.
func (v *visit) whoGot(t answer.Table) *sheet {
	if len(t.Rows) == 0 {
		return nil
	}
	sums := t
	sums.Rows = nil
	at := map[string]int{}
	var units int64
	var mass quantity.Gram
	for _, r := range t.Rows {
		key := v.text(r.Cells[0]) + "\x00" + v.text(r.Cells[1]) + "\x00" + v.text(r.Cells[2])
		units, mass = units+intOf(r.Cells[3]), mass+r.Cells[5].(quantity.Gram)
		i, ok := at[key]
		if !ok {
			at[key] = len(sums.Rows)
			sums.Rows = append(sums.Rows, answer.Row{Mark: r.Mark, Cells: slices.Clone(r.Cells)})
			continue
		}
		to := sums.Rows[i].Cells
		to[3], to[5] = intOf(to[3])+intOf(r.Cells[3]), to[5].(quantity.Gram)+r.Cells[5].(quantity.Gram)
	}
	s := v.sheet(sums)
	s.Rows = append(s.Rows, sheetRow{Class: "sum", Cells: []sheetCell{{Text: v.say("stock.all"), Head: true}, {}, {},
		{Text: v.c.Count(units), Right: true}, {}, {Text: v.kg(mass, 1).Value, Right: true}, {}}})
	return s
}

func intOf(c answer.Cell) int64 {
	n, _ := c.(int64)
	return n
}

// traceHow says whether all of it is found, and how that was reckoned.
func (v *visit) traceHow(p *tracePage, w office.Whereabouts, took time.Duration) {
	if w.Whole <= 0 {
		return
	}
	found := w.Found()
	// each draw on the way is rounded to a gram; as many as there are heaps and more
	const perDraw = 1
	slack := quantity.Gram(perDraw * (200 + 10*len(w.Now)))
	c := newChip("ok", v.say("page.trace.all-found", "mass", w.Whole))
	if off := w.Whole - found; off > slack || off < -slack {
		c = newChip("watch", v.say("page.trace.not-found", "mass", w.Whole-found))
	}
	c.Big = true
	p.Verdict = &c
	h := how{ID: "how-found", Title: v.say("page.trace.add-up"), Answer: v.text(found), Formula: []string{v.say("page.trace.formula")},
		Source: v.say("page.trace.took", "ms", int64(took/time.Millisecond)+1)}
	for _, x := range w.Now {
		h.Inputs = append(h.Inputs, input{Name: v.text(x.Name), Value: v.text(x.Grams)})
	}
	p.Head = p.how(h)
}

// thingLinks are the other pages about a thing.
func (v *visit) thingLinks(code record.Code) []option {
	all := []option{{Text: v.say("page.history"), Href: link("/history", "of", string(code)), Value: "list"}}
	v.s.office.Read(func(h *office.View) {
		t, ok := h.State.Find(code)
		if !ok {
			return
		}
		switch h.State.KindOf(t) {
		case record.Lot, record.Run:
			all = append(all, option{Text: v.say("page.balance"), Href: link("/balance", "of", string(code)), Value: "scale"})
		case record.Vessel, record.Filling:
			all = append(all, option{Text: v.say("page.vessel.open"), Href: link("/vessel", "of", string(code)), Value: "stock"})
		}
	})
	return all
}

// recent are what was spoken of last and can be traced: a start for a finger.
func (v *visit) recent() (all []option) {
	v.s.office.Read(func(h *office.View) {
		for _, kind := range []record.Entity{record.Complaint, record.Batch, record.Dispatch, record.Lot} {
			things := h.State.OfKind(kind)
			slices.Reverse(things)
			for _, t := range things[:min(6, len(things))] {
				c := h.State.Code(t)
				all = append(all, option{Text: string(c), Note: v.say(kind.Key()), Href: thingLink(c)})
			}
		}
	})
	return all
}

// thing leads from a code to the page about what bears it.
func (v *visit) thing() error {
	code := v.of()
	to := link("/trace", "of", string(code))
	var near []record.Code
	found := false
	v.s.office.Read(func(h *office.View) {
		t, ok := h.State.Find(code)
		if !ok {
			near = h.State.Near(code, nil)
			found = len(h.State.RootsOf(code)) > 0
			if len(near) == 1 {
				to, found = thingLink(near[0]), true
			}
			if found && len(near) == 0 { // a filling by its number, or a case
				if _, is := h.StandOf(code); is {
					to = link("/vessel", "of", string(code))
				}
			}
			return
		}
		found = true
		to = pageOf(h, h.State.Code(t), h.State.KindOf(t))
	})
	if !found {
		return &notThere{code, near}
	}
	return v.see(to)
}

// pageOf is the page about a thing.
func pageOf(h *office.View, code record.Code, kind record.Entity) string {
	of := string(code)
	switch kind {
	case record.Filling:
		if _, there := h.StandOf(code); !there { // it went somewhere: that is what there is to see
			return link("/trace", "of", of)
		}
		return link("/vessel", "of", of)
	case record.Vessel:
		return link("/vessel", "of", of)
	case record.Hold:
		return "/holds#" + of
	case record.Site:
		return link("/site", "of", of)
	case record.Instrument, record.Problem:
		return "/care"
	case record.Order:
		return link("/orders", "of", of)
	case record.Product:
		return link("/products", "of", of)
	case record.Material:
		return "/materials"
	case record.Complaint:
		for _, c := range h.State.Goods.Complaints() {
			if c.Complaint.Fold() == code.Fold() && c.Mark != "" {
				return link("/trace", "of", string(c.Mark))
			}
		}
		return link("/history", "of", of)
	case record.Enquiry, record.Treatment, record.Lot, record.Machine, record.Delivery, record.Run, record.Batch, record.Pallet,
		record.Dispatch, record.MaterialLot, record.Sample, record.WaxBlock:
		return link("/trace", "of", of)
	}
	return link("/history", "of", of)
}
