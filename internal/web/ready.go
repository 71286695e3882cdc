package web

import (
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Ready: is a lot dry enough to spin, may a tank be drawn, will the day's supers be done,
// may honey go on top, what seed. Each is an answer above a form that asks again.
type readyPage struct {
	*frame
	Cannot string
	Stamp  *chip
	Lines  []answerLine
	Next   []answerLine
	Sheets []*sheet
	Rests  []string
	Parts  []option
	Form   *readyForm
	Acts   []option
}

// A readyForm asks again with figures of one's own.
type readyForm struct {
	Action string
	Hidden []field2
	Fields []readyField
	Button string
}

type field2 struct{ Name, Value string }

type readyField struct {
	Name, Text, Unit, Value, Note string
	Words                         []option
}

// readyAnswer shows an answer.
func (v *visit) readyAnswer(p *readyPage, a answer.Answer) error {
	if sent, err := v.onPaper(p.frame, p.Title, a); sent || err != nil {
		return err
	}
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
	}
	for _, text := range v.unread {
		a.Lines = slices.Insert(slices.Clone(a.Lines), 0, answer.Line{Key: "typed.unread", Args: answer.Args{"typed": text}, Mark: answer.Care})
	}
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, l := range a.Next {
		p.Next = append(p.Next, v.line(l))
	}
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			s := v.sheet(t)
			s.Count = len(t.Rows)
			p.Sheets = append(p.Sheets, s)
		}
	}
	for _, all := range [][]answer.Line{a.Rests, a.Sources} {
		for _, l := range all {
			p.Rests = append(p.Rests, v.sentence(l))
		}
	}
	if c := v.stampOf(a); c != nil {
		c.Big = true
		p.Stamp = c
	}
	return v.render("ready", p)
}

// stampOf is the verdict of an answer in one word: its gravest line.
func (v *visit) stampOf(a answer.Answer) *chip {
	if a.Cannot != nil {
		c := newChip("", v.say("page.ready.cannot"))
		return &c
	}
	worst := answer.Plain
	for _, l := range a.Lines {
		worst = max(worst, l.Mark)
	}
	var c chip
	switch worst {
	case answer.Good:
		c = newChip("ok", v.say("page.ready.yes"))
	case answer.Care:
		c = newChip("watch", v.say("page.ready.look"))
	case answer.Bad:
		c = newChip("stop", v.say("page.ready.no"))
	default:
		return nil
	}
	return &c
}

// typedFigure reads a field of the form; what can't be read is told above the answer,
// which is given without it.
func (v *visit) typedFigure(name string, unit quantity.Unit) quantity.Figure {
	text := v.arg(name)
	if text == "" {
		return quantity.Figure{}
	}
	f, err := quantity.ParseFigure(text, quantity.Want{Unit: unit, Style: v.numberStyle()})
	if err != nil {
		v.unread = append(v.unread, text)
		return quantity.Figure{}
	}
	return f
}

func (v *visit) figureField(name, text, unit string) readyField {
	return readyField{Name: name, Text: v.say(text), Unit: unit, Value: v.arg(name)}
}

func (v *visit) ready() error {
	of := v.of()
	title := v.say("page.ready")
	if of != "" {
		title += " · " + string(of)
	}
	p := &readyPage{frame: v.frame("extract", title)}
	now := record.At(v.now)
	var a answer.Answer
	lot := false
	v.s.office.Read(func(h *office.View) {
		p.Parts = v.waiting(h, now, of)
		if of == "" {
			a = h.ReadyAll(now)
			return
		}
		if t, ok := h.State.Find(of); ok {
			lot = h.State.KindOf(t) == record.Lot
		}
		a = h.Ready(v.readyAsk(of, now))
	})
	if of != "" {
		p.about(of)
		p.Form = v.readyFormOf(a.Of, lot)
		p.Acts = v.readyActs(a.Of, lot)
	}
	return v.readyAnswer(p, a)
}

func (v *visit) readyAsk(of record.Code, now record.When) office.ReadyAsk {
	r := office.ReadyAsk{Of: of, At: now}
	temp := v.typedFigure("temp", quantity.DegC)
	for _, text := range strings.FieldsFunc(v.arg("read"), func(r rune) bool { return r == ';' || r == ' ' }) {
		f, err := quantity.ParseFigure(text, quantity.Want{Unit: quantity.Pct, Style: v.numberStyle()})
		if err != nil {
			v.unread = append(v.unread, text)
			continue
		}
		corrects := record.Yes
		if temp.Given() {
			corrects = record.No
		}
		r.Stack.Typed = append(r.Stack.Typed, office.TypedComb{Water: f, Temp: temp, Corrects: corrects})
	}
	r.Stack.Humidity, r.Stack.Target = v.typedFigure("rh", quantity.Pct), v.typedFigure("target", quantity.Pct)
	r.Draw.Temp, r.Draw.Depth, r.Draw.Water, r.Draw.Bubble = temp, v.typedFigure("depth", quantity.Metre), v.typedFigure("water", quantity.Pct), v.typedFigure("bubble", quantity.MM)
	return r
}

// waiting are the lots and tanks that wait for their next step.
func (v *visit) waiting(h *office.View, now record.When, of record.Code) (all []option) {
	add := func(c record.Code, note string) {
		all = append(all, option{Text: strings.TrimSpace(string(c) + " " + note), Href: link("/ready", "of", string(c)), On: c.Fold() == of.Fold()})
	}
	for _, s := range h.HotRoom(now) {
		add(s.Lot, string(s.Site))
	}
	for _, st := range h.Waits(now) {
		add(st.Code, "")
	}
	return all
}

func (v *visit) readyFormOf(of record.Code, lot bool) *readyForm {
	f := &readyForm{Action: "/ready", Hidden: []field2{{"of", string(of)}}, Button: v.say("page.ready.ask")}
	if lot {
		f.Fields = []readyField{v.figureField("read", "page.ready.read", "%"), v.figureField("temp", "page.ready.comb-temp", "°C"),
			v.figureField("rh", "page.ready.rh", "%")}
		f.Fields[0].Note = v.say("page.ready.read-note")
		return f
	}
	f.Fields = []readyField{v.figureField("depth", "page.ready.depth", "m"), v.figureField("temp", "page.ready.temp", "°C"),
		v.figureField("water", "page.ready.water", "%")}
	return f
}

func (v *visit) readyActs(of record.Code, lot bool) []option {
	back := link("/ready", "of", string(of))
	if lot {
		return []option{{Text: v.say("page.weigh.moisture"), Href: link("/do/reading", "of", string(of), "what", "water", "back", back), Value: "drop"},
			{Text: v.say("page.line"), Href: "/line", Value: "clock"}}
	}
	return []option{{Text: v.say("page.vessel.open"), Href: link("/vessel", "of", string(of)), Value: "stock"}, {Text: v.say("page.top"), Href: link("/top", "of", string(of)), Value: "stock"}}
}

func (v *visit) linePage() error {
	p := &readyPage{frame: v.frame("extract", v.say("page.line"))}
	ask := office.LineAsk{At: record.At(v.now)}
	if f := v.typedFigure("supers", quantity.Each); f.Given() && f.Float() >= 1 && f.Float() <= 1e6 {
		ask.Supers = int64(f.Float())
	}
	if t, err := time.Parse("15:04", v.arg("by")); err == nil {
		ask.By = int64(t.Hour()*60 + t.Minute())
	} else if v.arg("by") != "" {
		v.unread = append(v.unread, v.arg("by"))
	}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) { a = h.Line(ask) })
	p.Form = &readyForm{Action: "/line", Button: v.say("page.ready.ask"), Fields: []readyField{v.figureField("supers", "page.line.supers", ""), v.figureField("by", "page.line.by", "")}}
	p.Form.Fields[1].Note = "17:00"
	p.Acts = []option{{Text: v.say("page.tab.extract"), Href: "/extract", Value: "extract"}}
	return v.readyAnswer(p, a)
}

func (v *visit) top() error {
	of, top := v.of(), record.Code(v.arg("top"))
	p := &readyPage{frame: v.frame("extract", v.say("page.top"))}
	var a answer.Answer
	var tanks, lots []option
	v.s.office.Read(func(h *office.View) {
		tanks, lots = v.topChoices(h, of, top)
		if of != "" && top != "" {
			a = h.MayTop(of, top)
		}
	})
	p.Form = &readyForm{Action: "/top", Button: v.say("page.ready.ask"), Fields: []readyField{
		{Name: "of", Text: v.say("page.top.tank"), Value: string(of), Words: tanks}, {Name: "top", Text: v.say("page.top.on"), Value: string(top), Words: lots}}}
	if of != "" && top != "" {
		p.about(of)
		return v.readyAnswer(p, a)
	}
	return v.render("ready", p)
}

// topChoices are tanks with honey in them, and lots and tanks that could go on top.
func (v *visit) topChoices(h *office.View, of, top record.Code) (tanks, lots []option) {
	for _, s := range h.LoadSheets(v.day()) {
		lots = append(lots, option{Value: string(s.Lot), Text: string(s.Lot) + " " + string(s.Site), On: s.Lot.Fold() == top.Fold()})
	}
	for _, st := range h.Floor() {
		if st.Shape != record.Tank || st.Empty {
			continue
		}
		tanks = append(tanks, option{Value: string(st.Code), Text: string(st.Code), On: st.Code.Fold() == of.Fold()})
		lots = append(lots, option{Value: string(st.Code), Text: string(st.Code), On: st.Code.Fold() == top.Fold()})
	}
	return withTyped(tanks, of), withTyped(lots, top)
}

// withTyped adds a code that was asked for and is no choice.
func withTyped(all []option, code record.Code) []option {
	for _, o := range all {
		if o.On {
			return all
		}
	}
	if code == "" {
		return append([]option{{Text: "–", On: true}}, all...)
	}
	return append([]option{{Value: string(code), Text: string(code), On: true}}, all...)
}

func (v *visit) seed() error {
	of := v.of()
	title := v.say("page.seed")
	if of != "" {
		title += " · " + string(of)
	}
	p := &readyPage{frame: v.frame("extract", title)}
	ask := office.SeedAsk{Tank: of, Seed: record.Code(v.arg("seed")), At: record.At(v.now), Water: v.typedFigure("water", quantity.Pct), Start: v.typedFigure("temp", quantity.DegC)}
	if g, err := v.typedFigure("honey", quantity.KgUnit).In(quantity.G); err == nil && g > 0 && g <= 1e8 {
		ask.Honey = quantity.Gram(g + 0.5)
	}
	var a answer.Answer
	var tanks []option
	v.s.office.Read(func(h *office.View) {
		tanks = v.softTanks(h, of)
		if of != "" {
			a = h.Seed(ask)
		}
	})
	p.Form = &readyForm{Action: "/seed", Button: v.say("page.ready.ask"), Fields: []readyField{{Name: "of", Text: v.say("page.top.tank"), Value: string(of), Words: tanks},
		v.figureField("honey", "page.seed.honey", "kg"), v.figureField("water", "page.ready.water", "%"), v.figureField("temp", "page.ready.temp", "°C"), v.figureField("seed", "page.seed.which", "")}}
	if of == "" {
		return v.render("ready", p)
	}
	p.about(of)
	p.Acts = []option{{Text: v.say("page.vessel.open"), Href: link("/vessel", "of", string(of)), Value: "stock"}}
	return v.readyAnswer(p, a)
}

func (v *visit) softTanks(h *office.View, of record.Code) (tanks []option) {
	for _, st := range h.Floor() {
		if st.Shape == record.Tank {
			tanks = append(tanks, option{Value: string(st.Code), Text: string(st.Code), On: st.Code.Fold() == of.Fold()})
		}
	}
	return withTyped(tanks, of)
}
