package web

import (
	"strconv"
	"strings"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Weighing stacks: full supers in, wet ones out. One entry is a few taps: the lot, the
// boxes, the tray and the scale stand as they did last, so what is left is the weight.
type weighPage struct {
	*frame
	Entry *entry
	Out   bool
	Line  string
	Said  string // what was just saved
	Odd   []answerLine
	Acts  []option

	Lot, Boxes, Gross, Tray, Side, Scale *field

	Last       []weighLine
	Undo       string
	UndoText   string
	None       string // no lot to weigh: what to do first
	NoneHref   string
	SheetsNote string
}

// A weighLine is one stack that was weighed today.
type weighLine struct {
	Time, Lot, Boxes, Net, EachBox, Href string
}

func (v *visit) intake() error { return v.weigh(false) }
func (v *visit) wetOut() error { return v.weigh(true) }

// fewBoxes are the stacks that have a button; others are typed.
const fewBoxes = 10

func (v *visit) weigh(out bool) error {
	name, tab, path := "weigh.in", "intake", "/intake"
	if out {
		name, tab, path = "weigh.out", "extract", "/wet"
	}
	p := weighPage{Out: out}
	var sheets []office.LoadSheet
	var done []office.Weighing
	t := &task{Name: name, Title: v.say("page." + name), Back: path, Keys: true}
	v.s.office.Read(func(h *office.View) {
		sheets, done = h.LoadSheets(v.day()), h.Weighings(v.day(), out)
		last, _ := h.LastWeighing(v.day(), out)
		t.Parts = []part{v.weighPart(h, sheets, last, out)}
	})
	if typed := v.arg("0.stacks.1.boxes.typed"); typed != "" && v.r.Method == "POST" {
		v.r.PostForm.Set("0.stacks.1.boxes", typed)
	}
	var saved bool
	var err error
	if p.Entry, saved, err = v.take(t); err != nil || saved {
		return err
	}
	p.Entry.Action, p.frame = path, v.frame(tab, t.Title)
	p.Lot, p.Boxes, p.Gross = p.Entry.cellOf("lot"), p.Entry.cellOf("stacks.1.boxes"), p.Entry.cellOf("stacks.1.gross")
	p.Tray, p.Side, p.Scale = p.Entry.cellOf("stacks.1.tray"), p.Entry.cellOf("hot_room"), p.Entry.cellOf("scale")
	for n := int64(1); n <= fewBoxes; n++ {
		p.Boxes.Options = append(p.Boxes.Options, option{Value: v.num(n), Text: v.c.Count(n), On: p.Boxes.Value == v.num(n)})
	}
	if n, err := strconv.ParseInt(p.Boxes.Value, 10, 64); err == nil && n > fewBoxes {
		p.Boxes.Typed = p.Boxes.Value
	}
	p.said(done)
	p.about2(sheets, done)
	p.acts()
	return v.render("weigh", p)
}

// weighPart is the form's fact with what was true last.
func (v *visit) weighPart(h *office.View, sheets []office.LoadSheet, last office.Weighing, out bool) part {
	lot := record.Code(v.arg("lot"))
	if lot == "" {
		lot = nextLot(sheets, last.Lot, out)
	}
	lots := chosen(v.lotOptions(sheets, func(s office.LoadSheet) string { return v.weighedOf(s, out) }), string(lot))
	scales := named(h, record.Instrument, weighsStacks)
	if scale := string(last.Scale); scale != "" || len(scales) != 1 {
		scales = chosen(scales, scale)
	} else {
		scales = chosen(scales, scales[0].Value)
	}
	boxes := boxesLeft(sheets, lot, last.Boxes, out)
	p := part{Kind: record.KindSupersReceived, Cells: []cell{{Name: "lot", Likely: lots, Need: true}, {Name: "stacks.1.boxes", Start: boxes, Need: true},
		{Name: "stacks.1.gross", Need: true}, {Name: "stacks.1.tray", Start: v.bareWeight(last.Tray)}, {Name: "scale", Likely: scales}}}
	if out {
		p.Kind = record.KindWetSupersWeighed
		return p
	}
	side := map[record.HotRoomSide]string{record.BeforeHotRoom: "before", record.AfterHotRoom: "after"}[last.Side]
	p.Cells = append(p.Cells, cell{Name: "hot_room", Start: side})
	return p
}

// weighsStacks reports whether a stack can stand on an instrument: one box of honey
// weighs up to 41 kg (job tables, common practice).
func weighsStacks(f record.Fact) bool {
	i, ok := f.(*record.InstrumentNamed)
	if !ok || !isScale(f) {
		return false
	}
	most, err := i.Capacity.Grams()
	return !i.Capacity.Given() || err != nil || most >= 41_000
}

// nextLot is the lot that the next stack is probably of: that of the last one, while it
// is not all weighed; else the first that is not.
func nextLot(sheets []office.LoadSheet, last record.Code, out bool) record.Code {
	var next record.Code
	for _, s := range sheets {
		open := !s.Complete
		if out {
			open = s.Spun > s.Wet
		}
		if open && s.Lot.Fold() == last.Fold() {
			return s.Lot
		}
		if open && next == "" {
			next = s.Lot
		}
	}
	return next
}

// boxesLeft is how many boxes the next stack probably has: as many as the last one, or
// what is left of the lot when that is fewer.
func boxesLeft(sheets []office.LoadSheet, lot record.Code, last int64, out bool) string {
	for _, s := range sheets {
		if s.Lot.Fold() != lot.Fold() {
			continue
		}
		left := s.Boxes - s.In
		if out {
			left = s.Spun - s.Wet
		}
		if left > 0 && (left < last || last == 0 && left <= fewBoxes) {
			last = left
		}
	}
	if last == 0 {
		return ""
	}
	return strconv.FormatInt(last, 10)
}

// weighedOf says how far the weighing of a lot is.
func (v *visit) weighedOf(s office.LoadSheet, out bool) string {
	done, of := s.In, s.Boxes
	if out {
		done, of = s.Wet, s.Spun
	}
	if of == 0 {
		return v.say("page.weigh.so-far", "n", done)
	}
	return v.say("page.weigh.of", "n", done, "of", of)
}

// bareWeight is a weight as the person would type it again: in their unit, without it.
func (v *visit) bareWeight(w record.Weight) string {
	if !w.Given() {
		return ""
	}
	f := w.Figure
	if unit := v.readIn(quantity.KgUnit); f.Unit != unit {
		f = w.Grams().In(unit, 1)
	}
	number := v.bareNumber(f)
	if strings.ContainsAny(number, ".,") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".,")
	}
	return number
}

// bareNumber is a figure without its unit, with the person's decimal sign.
func (v *visit) bareNumber(f quantity.Figure) string {
	if v.c.Style().Decimal == quantity.DecimalComma {
		return strings.Replace(f.Digits(), ".", ",", 1)
	}
	return f.Digits()
}

// said words what the page just recorded, and what is odd about it.
func (p *weighPage) said(done []office.Weighing) {
	r := p.frame.Receipt
	if r == nil {
		return
	}
	p.frame.Receipt = nil // it would push the keys from under the thumb
	p.Said, p.Odd = r.Text, r.Lines
	first, _, _ := firstLast(p.v.r.URL.Query().Get("saved"))
	for i, w := range done {
		if w.Fact == first {
			p.Said = p.v.say("page.weigh.saved", "no", len(done)-i, "lot", string(w.Lot), "boxes", w.Boxes, "mass", p.v.c.MassTo(w.Net, 1))
		}
	}
}

// about2 is the line below the title and the list of what was weighed today.
func (p *weighPage) about2(sheets []office.LoadSheet, done []office.Weighing) {
	v := p.v
	var boxes int64
	var net quantity.Gram
	for i, w := range done {
		boxes, net = boxes+w.Boxes, net+w.Net
		if i < 12 {
			p.Last = append(p.Last, weighLine{Time: v.c.Clock(w.When.Time()), Lot: string(w.Lot), Boxes: v.say("page.weigh.boxes", "n", w.Boxes), Net: v.c.MassTo(w.Net, 1),
				EachBox: v.say("page.weigh.each", "mass", v.c.MassTo(w.Net/quantity.Gram(max(1, w.Boxes)), 1)), Href: link("/correct", "fact", v.num(int64(w.Fact)))})
		}
	}
	p.Line = v.say("page.weigh.today", "stacks", len(done), "boxes", boxes, "mass", v.c.MassTo(net, 0))
	if len(done) > 0 && done[0].Alone {
		fact := v.num(int64(done[0].Fact))
		p.Undo = link("/undo", "facts", fact+"-"+fact, "back", p.Entry.Action)
		p.UndoText = v.say("page.weigh.undo", "no", len(done), "mass", v.c.MassTo(done[0].Net, 1))
	}
	p.Entry.Go = v.say("page.weigh.save", "no", len(done)+1)
	if len(sheets) == 0 {
		p.None, p.NoneHref = v.say("page.weigh.none"), link("/enter/load", "back", p.Entry.Action)
	}
	open := 0
	for _, s := range sheets {
		if !s.Complete {
			open++
		}
	}
	p.SheetsNote = v.say("page.weigh.open", "n", open)
}

func (p *weighPage) acts() {
	v, lot := p.v, p.Lot.picked()
	if p.Out {
		p.Acts = []option{{Text: v.say("page.tab.extract"), Href: "/extract", Value: "extract"}, {Text: v.say("page.enter.combs-back.short"), Href: link("/enter/combs-back", "of", lot, "back", "/wet"), Value: "box"}}
		return
	}
	p.Acts = []option{{Text: v.say("page.enter.load"), Href: "/enter/load?back=/intake", Value: "pencil"}}
	if lot != "" {
		p.Acts = append(p.Acts, option{Text: v.say("page.weigh.moisture"), Href: link("/do/reading", "of", lot, "what", "water", "back", "/intake"), Value: "drop"},
			option{Text: v.say("page.weigh.hot-room"), Href: link("/enter/hot-in", "of", lot, "back", "/intake"), Value: "thermo"})
	}
	p.Acts = append(p.Acts, option{Text: v.say("page.sites"), Href: "/sites", Value: "place"})
}

// picked is the button that is on.
func (f *field) picked() string {
	for _, o := range f.Options {
		if o.On {
			return o.Value
		}
	}
	return ""
}
