package web

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

// Stock: what honey, goods and packing stuff there is, where, and whether it is free.
type stockPage struct {
	*frame
	Q      string // what is looked for
	Show   string // part that is open
	Parts  []option
	Line   string
	Sums   *sheet
	Tables []*sheet
	Found  int
	Empty  []option // vessels that stand empty
	Start  bool     // nothing at all in the house
}

var stockParts = []string{"tanks", "drums", "goods", "materials", "places"}

func (v *visit) stock() error {
	p := stockPage{frame: v.frame("stock", v.say("page.tab.stock")), Q: v.arg("q"), Show: v.arg("show")}
	p.Reads = true
	var a answer.Answer
	var floor []office.Stand
	var places []office.PlaceStock
	v.s.office.Read(func(h *office.View) {
		a, floor = h.Stock(), h.Floor()
		if v.arg("as") != "" {
			a = h.StockInFull()
		}
		places = h.Places(floor)
	})
	if sent, err := v.onPaper(p.frame, v.say("page.tab.stock"), a); sent || err != nil {
		return err
	}
	tables := tablesOf(a)
	p.Line = v.sentence(a.Lines[0])
	p.Sums = v.sheet(tables["sums"])
	if n := len(p.Sums.Rows); n > 0 {
		p.Sums.Rows[n-1].Class = "sum"
	}
	for _, part := range stockParts {
		p.Parts = append(p.Parts, option{Text: v.say("page.stock." + part), Href: link("/stock", "show", part, "q", p.Q), On: part == p.Show})
	}
	steel, drums := v.bulk(tables["contents"], floor)
	shown := map[string][]*sheet{"tanks": {steel}, "drums": {drums}, "goods": {v.sheet(tables["goods"])},
		"materials": {v.sheet(tables["materials"])}, "places": {v.places(places)}}
	for _, part := range stockParts {
		if p.Show != "" && part != p.Show {
			continue
		}
		for _, s := range shown[part] {
			s.Title = v.say("page.stock." + part)
			s.find(p.Q)
			s.Count = len(s.Rows)
			p.Found += s.Count
			if len(s.Rows) > 0 || p.Show == part {
				const most = 12
				if p.Show == "" && p.Q == "" {
					s.cut(most, v.say("page.today.all", "n", len(s.Rows)), link("/stock", "show", part))
				}
				p.Tables = append(p.Tables, s)
			}
		}
	}
	if p.Q == "" && (p.Show == "" || p.Show == "tanks") {
		for _, st := range floor {
			if st.Empty && st.Shape != record.Drum {
				p.Empty = append(p.Empty, option{Text: string(st.Code), Href: link("/vessel", "of", string(st.Code))})
			}
		}
	}
	p.Start = len(floor) == 0
	return v.render("stock", p)
}

// bulk parts honey in vessels into what stands fast and what is carried about, with
// its colour beside it.
func (v *visit) bulk(t answer.Table, floor []office.Stand) (steel, drums *sheet) {
	fills, tank := map[record.Code]string{}, map[record.Code]bool{}
	for _, st := range floor {
		if !st.Empty {
			fills[st.Content.Code] = honeyFill(st.Colour, st.Read)
			tank[st.Content.Code] = st.Shape == record.Tank || st.Shape == record.Sump || st.Shape == record.Tote
		}
	}
	fast, loose := t, t
	fast.Rows, loose.Rows = nil, nil
	for _, r := range t.Rows {
		if code, _ := r.Cells[1].(record.Code); tank[code] {
			fast.Rows = append(fast.Rows, r)
		} else {
			loose.Rows = append(loose.Rows, r)
		}
	}
	paint := func(t answer.Table) *sheet {
		t.Columns, t.Rows = contentFirst(t.Columns, t.Rows)
		slices.SortStableFunc(t.Rows, func(a, b answer.Row) int {
			return strings.Compare(office.Natural(codeOf(a.Cells[0])), office.Natural(codeOf(b.Cells[0])))
		})
		s := v.sheet(t, "known", "since", "filled", "lots", "purpose")
		for i, r := range t.Rows {
			code, _ := r.Cells[0].(record.Code)
			s.Rows[i].Cells[0].Fill = fills[code]
		}
		return s
	}
	return paint(fast), paint(loose)
}

// contentFirst puts the number that is painted on a drum's lid before the steel's own.
func contentFirst(columns []answer.Column, rows []answer.Row) ([]answer.Column, []answer.Row) {
	cols := append([]answer.Column{columns[1], columns[0]}, columns[2:]...)
	out := make([]answer.Row, len(rows))
	for i, r := range rows {
		out[i] = answer.Row{Mark: r.Mark, Cells: append([]any{r.Cells[1], r.Cells[0]}, r.Cells[2:]...)}
	}
	return cols, out
}

// find keeps the rows that have what is looked for in some cell.
func (s *sheet) find(q string) {
	q = strings.ToLower(q)
	if q == "" {
		return
	}
	kept := s.Rows[:0]
	for _, r := range s.Rows {
		for _, c := range r.Cells {
			if strings.Contains(strings.ToLower(c.Text), q) || strings.Contains(strings.ToLower(c.Note), q) {
				kept = append(kept, r)
				break
			}
		}
	}
	s.Rows = kept
}

// places is how many vessels and how much honey stand where, and how warm it is there.
func (v *visit) places(all []office.PlaceStock) *sheet {
	s := &sheet{Class: "places"}
	s.Heads = []head{{Text: v.say("column.place")}, {Text: v.say("column.kind")}, {Text: v.say("page.stock.vessels"), Right: true},
		{Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true}, {Text: v.say("column.temp_c"), Right: true}}
	for _, p := range all {
		temp, stale := v.temperature(p.Temp)
		s.Rows = append(s.Rows, sheetRow{Cells: []sheetCell{{Text: string(p.Place), Head: true, Href: link("/stock", "q", string(p.Place))},
			{Text: v.say(p.For.Key())}, {Text: v.c.Count(int64(p.Vessels)), Right: true}, {Text: v.kg(p.Grams, 0).Value, Right: true},
			{Text: temp, Note: stale, Right: true}}})
	}
	return s
}
