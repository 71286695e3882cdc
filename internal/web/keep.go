package web

import (
	"html/template"
	"math"
	"strconv"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/honey"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What heat has made of a content, and what it makes of it by its best-before; and what
// if it were kept otherwise for a while.
type keepPanel struct {
	Note     string
	Lines    []answerLine
	Steppers []stepper
	Outcome  []outcome
	Charts   [][]template.HTML // one chart at each width
	Under    string
	How      string
	Steps    *sheet
	Heat     *sheet
	Warm     string // where to ask how to warm it
	Plain    string // the same page without a choice; empty where none is made
}

// A stepper changes one figure of a choice by taps; it is a form of its own, for it works
// without script.
type stepper struct {
	Label, Value string
	Name         string
	Less, More   string
	LessSay      string
	MoreSay      string
	Hidden       []option // what else the choice has
}

// An outcome is one figure of a choice beside what it is now.
type outcome struct{ Label, Value, Not string }

const (
	keptC, keptHours = 40.0, 72.0 // what the steppers begin with
	leastC, mostC    = -10.0, 70.0
	mostKeptHours    = 2000.0
)

// A choice is what somebody asks: what if the honey is kept at c for so many hours.
type choice struct {
	c, hours float64
	made     bool
}

func (v *visit) choice() choice {
	x := choice{keptC, keptHours, v.arg("c") != "" || v.arg("h") != ""}
	read := func(name string, to *float64, low, high float64) {
		if f, err := strconv.ParseFloat(v.arg(name), 64); err == nil && low <= f && f <= high {
			*to = math.Round(f)
		}
	}
	read("c", &x.c, leastC, mostC)
	read("h", &x.hours, 0, mostKeptHours)
	return x
}

const curvePoints = 13

// keepPanel is the panel of a content that is here.
func (v *visit) keepPanel(f *frame, code record.Code) (*keepPanel, *office.Keep) {
	x := v.choice()
	var now, then office.Keep
	var ok bool
	v.s.office.Read(func(h *office.View) {
		at := v.now.Truncate(time.Hour)
		now, ok = h.KeepOnce(office.KeepAsk{Of: code, At: at, Curve: curvePoints, Months: []int{6, 12, 18, 24, 36}})
		if ok && x.made {
			held := office.Held{From: at, To: at.Add(time.Duration(x.hours * float64(time.Hour))), C: quantity.Celsius(x.c)}
			then, ok = h.KeepOnce(office.KeepAsk{Of: code, At: at, Curve: curvePoints, Held: []office.Held{held}})
		}
	})
	if !ok {
		return nil, nil
	}
	p := &keepPanel{Note: v.say("page.keep.note"), Warm: link("/warm", "of", string(code))}
	for _, l := range now.Lines() {
		p.Lines = append(p.Lines, v.line(l))
	}
	p.Steppers = v.steppers(code, x)
	if x.made {
		p.Plain = link("/vessel", "of", string(code)) + "#keep"
	}
	p.Outcome = v.outcomes(now, then, x)
	for _, m := range now.Markers {
		if m.Known && m.Marker != assay.Invertase {
			p.Charts = append(p.Charts, v.keepCharts(now, then, x, m))
		}
	}
	if len(p.Charts) > 0 {
		p.Under = v.say("page.keep.under", "temp", v.temp(now.Store.Mean), "doubt", v.step(now.Store.SD*honey.NineInTen), "likely", v.c.Number(now.Markers[0].Rate.Factor.Likely, 2),
			"low", v.c.Number(now.Markers[0].Rate.Factor.Low, 2), "high", v.c.Number(now.Markers[0].Rate.Factor.High, 2))
		p.How = f.how(v.keepHow(now))
	}
	a := now.Answer()
	for _, t := range a.Tables {
		switch {
		case t.Key == "keep-steps" && len(p.Charts) > 0:
			p.Steps = v.sheet(t, "hmf_low", "diastase_high")
		case t.Key == "heat-had" && len(t.Rows) > 0:
			p.Heat = v.sheet(t, "coldest_c", "hmf_low", "hmf_high")
		}
	}
	return p, &now
}

// temp is a temperature in the person's unit, and step a difference of two.
func (v *visit) temp(c quantity.Celsius) string { return v.c.Temp(c, 0) }
func (v *visit) step(k float64) string          { return v.c.TempStep(quantity.Celsius(k), 0) }

func (v *visit) steppers(code record.Code, x choice) []stepper {
	c, h := strconv.FormatFloat(x.c, 'f', -1, 64), strconv.FormatFloat(x.hours, 'f', -1, 64)
	to := func(y, low, high float64) string { return strconv.FormatFloat(min(max(y, low), high), 'f', -1, 64) }
	of := option{Value: "of", Text: string(code)}
	return []stepper{
		{Label: v.say("page.keep.at"), Value: v.temp(quantity.Celsius(x.c)), Name: "c", Less: to(x.c-1, leastC, mostC), More: to(x.c+1, leastC, mostC),
			LessSay: v.say("page.keep.cooler"), MoreSay: v.say("page.keep.warmer"), Hidden: []option{of, {Value: "h", Text: h}}},
		{Label: v.say("page.keep.for"), Value: v.text(quantity.Figure{Mantissa: int64(x.hours), Unit: quantity.Hour}), Name: "h", Less: to(x.hours-12, 0, mostKeptHours), More: to(x.hours+12, 0, mostKeptHours),
			LessSay: v.say("page.keep.shorter"), MoreSay: v.say("page.keep.longer"), Hidden: []option{of, {Value: "c", Text: c}}},
	}
}

// outcomes are the figures at the best-before date, each beside what it is without the
// choice.
func (v *visit) outcomes(now, then office.Keep, x choice) (all []outcome) {
	day := v.text(record.DayOf(now.Until))
	add := func(label, value, not string) {
		if x.made {
			not = v.say("page.keep.not", "value", not)
		} else {
			not = ""
		}
		all = append(all, outcome{label, value, not})
	}
	shown := now
	if x.made {
		shown = then
	}
	for i, m := range shown.Markers {
		if m.Known && m.Marker != assay.Invertase {
			unit := []string{" mg/kg", " DN"}[m.Marker]
			add(v.say("property."+m.Marker.String())+", "+day, v.c.Number(m.Then.Likely, 0)+unit, v.c.Number(now.Markers[i].Then.Likely, 0))
		}
	}
	for i, m := range shown.Markers {
		if m.Known && m.Limit != nil {
			limit := v.c.Number(m.Limit.Value, 0)
			key := "page.keep.over"
			if m.Limit.Least {
				key = "page.keep.under-limit"
			}
			add(v.say(key, "what", v.say("property."+m.Marker.String()), "limit", limit), v.chance(m.Over), v.chance(now.Markers[i].Over))
		}
	}
	return all
}

// chance is a probability in whole per cent; one that is not 0 is never shown as 0.
func (v *visit) chance(p float64) string {
	switch {
	case p > 0 && p < 0.005:
		return "< " + v.c.Percent(1, 0)
	case p < 1 && p > 0.995:
		return "> " + v.c.Percent(99, 0)
	}
	return v.c.Percent(quantity.Percent(100*p), 0)
}

// keepHow says how the forecast is made.
func (v *visit) keepHow(k office.Keep) how {
	h := how{ID: "how-keep", Title: v.say("page.keep"), Formula: []string{v.say("page.keep.formula.hmf"), v.say("page.keep.formula.diastase"), v.say("page.keep.formula.band")}}
	for _, m := range k.Markers {
		if m.Known {
			h.Answer += v.say("property."+m.Marker.String()) + " " + v.c.Number(m.Then.Low, 0) + "–" + v.c.Number(m.Then.High, 0) + "  "
			h.Inputs = append(h.Inputs, input{Name: v.say("page.keep.rate", "what", v.say("property."+m.Marker.String())), Value: "× " + v.c.Number(m.Rate.Factor.Likely, 2),
				Note: v.say("page.keep.rate-band", "low", v.c.Number(m.Rate.Factor.Low, 2), "high", v.c.Number(m.Rate.Factor.High, 2), "n", int64(m.Rate.Readings))})
		}
	}
	for _, r := range k.Rests {
		h.Inputs = append(h.Inputs, input{Name: v.say("property." + r.Marker.String()), Value: v.text(r.Value), Note: string(r.Of) + ", " + v.text(r.When), Href: link("/correct", "fact", v.num(int64(r.Seq)))})
	}
	for _, s := range k.Heat {
		h.Inputs = append(h.Inputs, input{Name: v.text(orNone(s.Place)), Value: v.c.Number(float64(s.Low), 0) + "–" + v.temp(s.Top), Note: v.say(s.How) + ", " + v.text(record.At(s.From))})
	}
	h.Inputs = append(h.Inputs, input{Name: v.say("page.keep.store"), Value: v.temp(k.Store.Mean), Note: v.say("page.keep.store-note", "swing", v.step(k.Store.Swing), "doubt", v.step(k.Store.SD*honey.NineInTen)), Href: "/rules"})
	h.Source = v.say("follows.assay")
	return h
}

func orNone(c record.Code) answer.Cell {
	if c == "" {
		return nil
	}
	return c
}

// roomUsed is how much of the allowance for HMF is used at the best-before, as a figure
// and a bar.
func (v *visit) roomUsed(p *vesselPage, k *office.Keep) {
	if k == nil || !(k.Room.Likely > 0) {
		return
	}
	share := func(x float64) float64 { return 100 * min(x, 9.99) }
	p.Room = figure{Value: v.c.Number(share(k.Room.Likely), 0), Unit: "% (" + v.c.Number(share(k.Room.Low), 0) + "–" + v.c.Number(share(k.Room.High), 0) + ")", Href: "#how-room", Label: v.say("page.how.how")}
	p.how(how{ID: "how-room", Title: v.say("page.keep.room"), Answer: v.c.Number(share(k.Room.Likely), 0) + " % (" + v.c.Number(share(k.Room.Low), 0) + "–" + v.c.Number(share(k.Room.High), 0) + ")",
		Formula: []string{v.say("page.keep.formula.room")}, Source: v.say("follows.assay"), Inputs: []input{{Name: v.say("column.until"), Value: v.text(record.DayOf(k.Until))}}})
	p.Bar = heatBar(k.Room)
}

// heatBar draws a share of an allowance with quarter marks, and its band.
func heatBar(room honey.Band[float64]) template.HTML {
	const wide = 296.0
	at := func(x float64) string { return num(wide * min(max(x, 0), 1)) }
	var d drawing
	d.add(`<svg class="heatbar" width="296" height="18" viewBox="0 0 296 18" preserveAspectRatio="none" aria-hidden="true"><path class="bare" d="M0 4H296V14H0Z"/>`)
	d.add(`<path class="used" d="M0 4H%sV14H0Z"/><path class="spreads" d="M%s 9H%s"/>`, at(room.Likely), at(room.Low), at(room.High))
	for i := range 5 {
		d.add(`<path class="dip" d="M%s 0v18"/>`, num(0.6+294.8*float64(i)/4))
	}
	d.add(`</svg>`)
	return d.html()
}
