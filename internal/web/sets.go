package web

import (
	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// sets shows whether honey sets before a day.
func (v *visit) sets() error {
	of := v.of()
	p := &readyPage{frame: v.frame("", v.say("page.sets")+" · "+string(of))}
	by := record.DayOf(v.now) + 90
	if d, err := record.ParseDay(v.arg("by")); err == nil {
		by = d
	}
	ask := office.SetsAsk{Of: of, At: record.At(v.now), By: by,
		Glucose: v.typedFigure("glucose", quantity.Pct), Fructose: v.typedFigure("fructose", quantity.Pct), Water: v.typedFigure("water", quantity.Pct)}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) { a = h.Sets(ask) })
	p.Form = &readyForm{Action: "/sets", Hidden: []field2{{"of", string(of)}}, Button: v.say("page.ready.ask"), Fields: []readyField{
		{Name: "by", Text: v.say("page.sets.by"), Value: by.String()},
		v.figureField("glucose", "page.sets.glucose", "%"), v.figureField("fructose", "page.sets.fructose", "%"), v.figureField("water", "page.ready.water", "%")}}
	p.Acts = []option{{Text: v.say("page.tab.trace"), Href: link("/trace", "of", string(of)), Value: "trace"}}
	return v.readyAnswer(p, a)
}
