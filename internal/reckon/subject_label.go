package reckon

import (
	"combline/internal/quantity"
	"combline/internal/standard"
)

// labelSubjects are what a label must show, and how large.
func labelSubjects() []Subject {
	const exact = "exact by the rule"
	area := func() Input {
		return number("largest_cm2", quantity.Each, "area of the pack's largest side, cm²")
	}
	return []Subject{
		{Name: "gtin", Help: "check digit of a trade number", Range: "7, 11, 12, 13 or 17 digits", Doubt: exact,
			Example: "--digits 629104150021", Inputs: []Input{text("digits", "the number without its check digit")},
			Answers: []Answer{counts("check_digit", "digit that completes it")}, answer: gtin},
		{Name: "gtin-check", Help: "is a whole trade number right", Range: "8, 12, 13, 14 or 18 digits", Doubt: "every single wrong digit is found; a swap of neighbours that differ by 5 is not",
			Example: "--code 6291041500213", Inputs: []Input{text("code", "the number with its check digit")},
			Answers: []Answer{whether("valid", "is its check digit right")}, answer: gtinCheck},
		{Name: "figure-height", Help: "least height of the net quantity's figures", Range: "any label", Doubt: exact,
			Example: "--label-g 340 --rules eu", Inputs: []Input{labelG(), rulesOf("eu", "uk", "de")},
			Answers: []Answer{gives("height_mm", "mm", 2, "least height of the figures")}, answer: figureHeight},
		{Name: "e-mark", Help: "least height of the e mark", Range: "labels of 5 g to 10 kg", Doubt: exact,
			Example: "--label-g 340", Inputs: []Input{labelG()},
			Answers: []Answer{gives("height_mm", "mm", 2, "least height of the e")}, answer: eMark},
		{Name: "letter-height", Help: "least height of a small x on a European label", Range: "areas above 0", Doubt: exact,
			Example: "--largest-cm2 120", Inputs: []Input{area()},
			Answers: []Answer{gives("height_mm", "mm", 2, "least height of a small x")}, answer: letterHeight},
		{Name: "type-height", Help: "least height of the US net contents", Range: "panels above 0", Doubt: exact,
			Example: "--panel round --height-in 4 --width-in 9",
			Inputs: []Input{word("panel", "shape of the pack: rectangular (one side), round (width is the circumference), or other (the whole surface)", panelWords()...),
				number("height_in", quantity.Inch, "height, inches"), number("width_in", quantity.Inch, "width, or circumference, inches")},
			Answers: []Answer{gives("panel_sq_in", "sq in", 4, "principal display panel"), gives("type_in", "in", 4, "least height of the type")}, answer: typeHeight},
		{Name: "lot-mark", Help: "does a European pack need a lot mark", Range: "areas above 0", Doubt: exact,
			Example: "--day-and-month no --largest-cm2 120",
			Inputs:  []Input{truth("day_and_month", "is a best-before with day and month printed, uncoded"), area()},
			Answers: []Answer{whether("needed", "is a lot mark needed")}, answer: lotMark},
		{Name: "date-mark", Help: "how fine a European best-before must be", Range: "months above 0", Doubt: exact,
			Example: "--months 24", Inputs: []Input{number("months", quantity.Each, "months that it keeps")},
			Answers: []Answer{says("precision", "day and month, month and year, or year")}, answer: dateMark},
	}
}

func gtin(q *Query) error {
	d, c, err := standard.CheckDigit(q.word("digits"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.put("check_digit", float64(d-'0'))
	return nil
}

func gtinCheck(q *Query) error {
	valid, c, err := standard.CodeValid(q.word("code"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.tell("valid", valid)
	return nil
}

func figureHeight(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	mm, c, err := standard.FigureHeightMM(q.rules(), label)
	if err != nil {
		return err
	}
	q.cite(c)
	q.put("height_mm", float64(mm))
	return nil
}

func eMark(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	mm, c, err := standard.EMarkHeightMM(label)
	if err != nil {
		return err
	}
	q.cite(c)
	q.put("height_mm", float64(mm))
	return nil
}

func letterHeight(q *Query) error {
	mm, c, err := standard.XHeightMM(q.num("largest_cm2"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.put("height_mm", mm)
	return nil
}

func panelWords() []string { return []string{"rectangular", "round", "other"} }

func typeHeight(q *Query) error {
	area, at, err := standard.PanelArea(standard.Panel(place(q.word("panel"), panelWords())), q.num("height_in"), q.num("width_in"))
	if err != nil {
		return err
	}
	h, c, err := standard.TypeHeight(area)
	if err != nil {
		return err
	}
	q.cite(at, c)
	q.put("panel_sq_in", area)
	q.put("type_in", h.Inches())
	return nil
}

func lotMark(q *Query) error {
	needed, c, err := standard.LotNeeded(q.yes("day_and_month"), q.num("largest_cm2"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.tell("needed", needed)
	return nil
}

func dateMark(q *Query) error {
	p, c, err := standard.DatePrecisionOf(q.num("months"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.say("precision", [...]string{standard.DayAndMonth: "day and month", standard.MonthAndYear: "month and year", standard.YearOnly: "year"}[p])
	return nil
}
