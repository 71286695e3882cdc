package web

import (
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The balance of a day: what was weighed, what is between, what was not written down.
// It is printed and signed in the evening.
type dayPage struct {
	*frame
	Line         string
	Before, Next string
	Weighed      *sheet
	Lots         *sheet
	Open         []answerLine
}

func (v *visit) dayBalance() error {
	day := v.day()
	if d, err := record.ParseDay(v.arg("day")); err == nil && d <= day {
		day = d
	}
	p := dayPage{frame: v.frame("extract", v.say("page.daybalance")), Line: v.c.Date(day.Time()), Before: link("/daybalance", "day", (day - 1).String())}
	if day < v.day() {
		p.Next = link("/daybalance", "day", (day + 1).String())
	}
	var b office.DayBalance
	v.s.office.Read(func(h *office.View) { b = h.DayBalance(day) })
	p.Weighed, p.Lots = v.weighedSheet(b), v.inWorkSheet(b.Lots)
	for _, l := range b.Open {
		p.Open = append(p.Open, v.line(l))
	}
	return v.render("daybalance", p)
}

// weighedSheet is what was weighed of each lot, and out of each tank.
func (v *visit) weighedSheet(b office.DayBalance) *sheet {
	s := &sheet{Title: v.say("page.extract.weighed"), Heads: []head{{Text: v.say("column.what")}, {Text: v.say("column.of")}, {Text: v.say("page.daybalance.times"), Right: true},
		{Text: v.say("column.boxes"), Right: true}, {Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true}}}
	for _, l := range b.Weighed {
		row := sheetRow{Cells: []sheetCell{{Text: v.say(l.Kind.Key()), Head: true}, {Text: string(l.Of), Href: thingLink(l.Of)}, {Text: v.c.Count(int64(l.Times)), Right: true},
			{Right: true}, {Right: true}}}
		if l.Boxes > 0 {
			row.Cells[3].Text = v.c.Count(l.Boxes)
		}
		if l.Grams != 0 {
			row.Cells[4].Text = v.kg(l.Grams, 1).Value
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// inWorkSheet is the account of each lot in one line.
func (v *visit) inWorkSheet(all []office.InWork) *sheet {
	s := &sheet{Title: v.say("page.extract.lots")}
	for _, h := range []string{"lot", "site", "gross_in_g", "wet_out_g", "gap_g", "verdict"} {
		s.Heads = append(s.Heads, head{Text: v.say("column."+h) + v.unitOf(h), Right: isNumber(h)})
	}
	for _, w := range all {
		gap := v.kg(w.Balance.Gap, 1).Value
		if w.Balance.Doubt.Known() {
			low, high := w.Balance.Doubt.Band9in10()
			gap += " ± " + v.kg(quantity.Gram((high-low)/2), 1).Value
		}
		is := v.accountState(w)
		class, state := is.Class, sheetCell{Text: is.Text, Class: is.Class, Icon: is.Icon}
		s.Rows = append(s.Rows, sheetRow{Class: class, Cells: []sheetCell{{Text: string(w.Lot), Head: true, Href: link("/balance", "of", string(w.Lot))}, {Text: string(w.Site)},
			{Text: v.kg(w.GrossIn, 1).Value, Right: true}, {Text: v.kg(w.WetOut, 1).Value, Right: true}, {Text: gap, Right: true}, state}})
	}
	return s
}
