package web

// Paper sheets to fill in where no tablet is. What is written on them is typed in later
// with the time that stands on the line: every form asks when it happened.
type blankPage struct {
	*frame
	Sheet  string
	Sheets []option
	Head   string
	About  string
	Top    []string // written once a sheet
	Heads  []string
	Lines  []int
	Ticks  []string
	Typed  string // where it is typed in
}

// A blankSheet is a form on paper: what is written once, the columns, how many lines.
type blankSheet struct {
	name  string
	top   []string
	heads []string
	lines int
	to    string
}

// blankSheets: keys of the words on each.
var blankSheets = []blankSheet{
	{"yard", []string{"field.site", "field.person", "page.blank.date", "field.vehicle", "field.vehicle_clean"},
		[]string{"field.time", "field.lot", "field.boxes", "field.marks", "field.capped", "field.water", "field.hives", "field.note"}, 22, "/enter/load"},
	{"bees", []string{"field.site", "field.person"},
		[]string{"page.blank.date", "field.product", "field.product_batch", "field.dose", "field.hives", "field.wait_days", "page.blank.out", "field.feed", "field.supers_on"}, 22, "/sites"},
	{"intake", []string{"page.blank.date", "field.person", "field.scale", "field.tray"},
		[]string{"field.time", "field.lot", "field.boxes", "field.gross", "field.tray", "page.blank.before-after", "field.water", "field.honey_temp", "field.corrects_itself"}, 22, "/intake"},
	{"extract", []string{"page.blank.date", "field.person", "field.lot", "field.scale"},
		[]string{"field.time", "field.machine", "field.loads", "field.boxes", "page.blank.wet-boxes", "page.blank.wet-gross", "field.drum", "field.gross", "field.tare", "field.note"}, 22, "/extract"},
	{"readings", []string{"page.blank.date", "field.person", "field.instrument"},
		[]string{"field.time", "field.of", "field.property", "field.value", "field.plus_minus", "field.honey_temp", "field.corrects_itself", "field.sample"}, 22, "/lab"},
	{"clean", []string{"page.blank.date", "field.person"},
		[]string{"field.time", "field.what", "field.how", "field.chemical", "field.dose", "field.dry", "field.in_order", "field.signed"}, 22, "/care"},
}

func (v *visit) blank() error {
	p := blankPage{frame: v.frame("", v.say("page.blank.title")), Sheet: v.arg("sheet")}
	chosen := blankSheets[0]
	for _, b := range blankSheets {
		if b.name == p.Sheet {
			chosen = b
		}
	}
	for _, b := range blankSheets {
		p.Sheets = append(p.Sheets, option{Text: v.say("page.blank." + b.name), Href: link("/blank", "sheet", b.name), On: b.name == chosen.name})
	}
	p.Sheet, p.Head, p.About, p.Typed = chosen.name, v.say("page.blank."+chosen.name), v.say("page.blank.about"), chosen.to
	for _, k := range chosen.top {
		p.Top = append(p.Top, v.say(k))
	}
	for _, k := range chosen.heads {
		p.Heads = append(p.Heads, v.say(k))
	}
	p.Lines = make([]int, chosen.lines)
	return v.render("blank", p)
}
