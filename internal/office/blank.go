package office

// A BlankSheet is a form on paper to fill in where no tablet is: keys of the words that are
// written once, and of the columns. What is written on it is typed in later with the time
// that stands on the line.
type BlankSheet struct {
	Name       string
	Top, Heads []string
	Lines      int
	To         string // the page where it is typed in
}

// BlankSheets lists the forms.
func BlankSheets() []BlankSheet {
	return []BlankSheet{
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
}
