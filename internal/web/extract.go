package web

import (
	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Extract: the extractors with their lots and loads, the account of each lot that is
// in work, and what was weighed today.
type extractPage struct {
	*frame
	Line       string
	Acts       []option
	Extractors []extractorView
	Lots       []option
	Account    *accountView
	Day        *sheet
	Open       []answerLine
	Start      *chip
	By         *byView
}

// A byView is whether the day's supers will be done in time.
type byView struct {
	State chip
	Lines []answerLine
}

// An extractorView is one machine as it stands, with its next load ready to save.
type extractorView struct {
	Name, What string
	Lot, Site  string
	Loads      int64
	Last       string
	State      *chip
	Next       *nextLoad
	Other      string // form of a load of another kind
	Change     string
}

// A nextLoad is a load like the last one, written down by one tap.
type nextLoad struct {
	Action, Key, Lot, Boxes, Text string
	Machines                      []string
	Who                           string
}

// An accountView is the in-process account of a lot: in, out, and what is between.
type accountView struct {
	Lot, Site string
	Boxes     string
	Rows      []bookingRow
	Gap       figure
	Share     string
	State     chip
	Missing   []answerLine
	Do        []option
}

type bookingRow struct {
	Text, Of, Grams string
	Out             bool
}

func (v *visit) extract() error {
	p := extractPage{frame: v.frame("extract", v.say("page.tab.extract"))}
	var all []office.Extractor
	var lots []office.InWork
	var day office.DayBalance
	var start bool
	var by answer.Answer
	v.s.office.Read(func(h *office.View) {
		all, lots = h.Extractors(v.day(), v.extractorWords()), h.LotsInWork(v.day())
		day = h.DayBalance(v.day())
		start = len(h.Starts(v.day())) > 0
		if ask := (office.LineAsk{At: record.At(v.now)}); h.LineNow(ask).Begun() {
			by = h.Line(ask)
		}
	})
	var loads, boxes int64
	for _, x := range all {
		p.Extractors = append(p.Extractors, v.extractorView(x, lots))
	}
	for _, l := range day.Weighed {
		if l.Kind == record.KindSupersSpun {
			loads, boxes = loads+int64(l.Times), boxes+l.Boxes
		}
	}
	p.Line = v.say("page.extract.today", "loads", loads, "boxes", boxes)
	if c := newChip("watch", v.say("page.extract.no-start")); !start && loads > 0 {
		p.Start = &c
	}
	p.By = v.byView(by)
	open := record.Code(v.arg("lot"))
	for _, w := range lots {
		if open == "" {
			open = w.Lot
		}
		p.Lots = append(p.Lots, option{Text: string(w.Lot) + " " + string(w.Site), Href: link("/extract", "lot", string(w.Lot)), On: w.Lot.Fold() == open.Fold()})
	}
	if open != "" {
		v.s.office.Read(func(h *office.View) {
			if w, ok := h.AccountOf(open); ok {
				p.Account = v.account(w)
			}
		})
	}
	p.Day = v.weighedSheet(day)
	for _, l := range day.Open {
		p.Open = append(p.Open, v.line(l))
	}
	p.Acts = []option{{Text: v.say("page.weigh.out"), Href: "/wet", Value: "scale"}, {Text: v.say("page.enter.start"), Href: "/enter/start?back=/extract", Value: "list"},
		{Text: v.say("page.enter.sieve"), Href: "/enter/sieve?back=/extract", Value: "eye"}, {Text: v.say("page.ready"), Href: "/ready", Value: "clock"}}
	return v.render("extract", p)
}

// byView shows the line's answer in short; nothing on a day without spinning.
func (v *visit) byView(a answer.Answer) *byView {
	c := v.stampOf(a)
	if c == nil {
		return nil
	}
	b := &byView{State: *c}
	for i, l := range a.Lines {
		if i == 0 || l.Mark != answer.Plain {
			b.Lines = append(b.Lines, v.line(l))
		}
	}
	return b
}

func (v *visit) extractorView(x office.Extractor, lots []office.InWork) extractorView {
	e := extractorView{Name: string(x.Machine), What: x.What, Loads: x.Today, Lot: string(x.Lot),
		Other: link("/enter/spin", "of", string(x.Machine), "back", "/extract"), Change: link("/enter/lot-change", "of", string(x.Machine), "back", "/extract")}
	for _, w := range lots {
		if w.Lot.Fold() == x.Lot.Fold() {
			e.Site = string(w.Site)
		}
	}
	if x.Last != (record.When{}) {
		e.Last = v.say("page.extract.last", "when", v.text(x.Last))
	}
	var c chip
	switch {
	case x.Drained:
		c = newChip("ok", v.say("page.extract.drained"))
	case x.Lot == "":
		c = newChip("", v.say("page.extract.idle"))
	default:
		c = chip{Icon: "extract", Text: v.say("page.extract.spins")}
	}
	e.State = &c
	if x.Lot == "" || x.Boxes == 0 || x.Drained || x.Shared || v.person == "" && len(v.people) > 0 {
		return e
	}
	e.Next = &nextLoad{Action: e.Other, Key: newKey(), Lot: string(x.Lot), Boxes: v.num(x.Boxes), Machines: []string{string(x.Machine)},
		Text: v.say("page.extract.load", "boxes", x.Boxes)}
	for _, m := range x.With {
		e.Next.Machines = append(e.Next.Machines, string(m))
	}
	return e
}

// account shows a lot's in-process account, live, with what can be booked to it.
func (v *visit) account(w office.InWork) *accountView {
	b := w.Balance
	lot := string(w.Lot)
	a := &accountView{Lot: lot, Site: string(w.Site), State: v.accountState(w),
		Boxes: v.say("page.extract.boxes", "in", w.In, "spun", w.Spun, "wet", w.Wet)}
	for _, x := range b.In {
		a.Rows = append(a.Rows, bookingRow{Text: v.say(x.Key), Of: v.of2(x.Of), Grams: v.kg(x.Grams, 1).Value})
	}
	for _, x := range b.Out {
		a.Rows = append(a.Rows, bookingRow{Text: v.say(x.Key), Of: v.of2(x.Of), Grams: "− " + v.kg(x.Grams, 1).Value, Out: true})
	}
	a.Gap = v.kg(b.Gap, 1)
	if b.Doubt.Known() {
		low, high := b.Doubt.Band9in10()
		a.Gap.Spread = v.kg(quantity.Gram((high-low)/2), 1).Value
	}
	if b.Base != 0 {
		a.Share = v.c.Percent(b.GapPercent(), 1)
	}
	for _, m := range b.Missing {
		a.Missing = append(a.Missing, v.line(answer.Line{Key: "balance." + m, Args: answer.Args{"of": w.Lot}, Mark: answer.Care}))
	}
	back := link("/extract", "lot", lot)
	for _, d := range []struct{ text, path, sign string }{{"page.weigh.out", "", "scale"}, {"page.enter.run-in.short", "/enter/run-in", "stock"}, {"page.extract.drum-off", "/do/drum-off", "drum"},
		{"page.enter.cappings.short", "/enter/cappings", "skim"}, {"page.enter.wax.short", "/enter/wax", "box"}, {"page.enter.melter.short", "/enter/melter", "thermo"},
		{"page.weigh.moisture", "/do/reading", "drop"}, {"page.extract.ready", "/ready", "clock"}, {"page.enter.combs-back.short", "/enter/combs-back", "place"}, {"page.enter.combs-stored.short", "/enter/combs-stored", "box"},
		{"page.enter.close-lot.short", "/enter/close-lot", "tick"}, {"page.balance", "/balance", "list"}} {
		href := link("/wet", "lot", lot)
		switch d.path {
		case "":
		case "/balance", "/ready":
			href = link(d.path, "of", lot)
		case "/do/reading":
			href = link(d.path, "of", lot, "what", "water", "back", back)
		default:
			href = link(d.path, "of", lot, "back", back)
		}
		a.Do = append(a.Do, option{Text: v.say(d.text), Href: href, Value: d.sign})
	}
	return a
}

// accountState is the verdict on a lot's gap. While the lot is in work its honey is
// between the scales: that is no gap yet.
func (v *visit) accountState(w office.InWork) chip {
	if w.Balance.Open && w.Mark != answer.Bad {
		return chip{Icon: "clock", Text: v.say("page.extract.spins")}
	}
	return newChip(markClass(w.Mark), v.say(w.Verdict+".short"))
}

// of2 names the first few of what is behind a booking.
func (v *visit) of2(codes []record.Code) string {
	const most = 6
	if len(codes) > most {
		return v.text(codes[:most]) + " …"
	}
	if len(codes) == 0 {
		return ""
	}
	return v.text(codes)
}
