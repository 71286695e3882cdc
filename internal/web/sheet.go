package web

import (
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A sheet is a table as a page shows it.
type sheet struct {
	Title    string
	Class    string
	Heads    []head
	Rows     []sheetRow
	Count    int    // rows in all, where not all are shown
	More     string // link below: "all 21"
	MoreHref string
	Parts    []option // of a long table: where the others are
}

type head struct {
	Text  string
	Right bool
}

type sheetRow struct {
	Class string
	ID    string
	Cells []sheetCell
}

type sheetCell struct {
	Text, Note, Href, Class, Icon, Fill string
	Right, Head, Whole                  bool // Whole: not broken between two lines
}

// sheet makes a page's table of an answer's, without the columns that are left out.
// Codes lead to their pages, entries to where they can be corrected.
func (v *visit) sheet(t answer.Table, without ...string) *sheet {
	s := &sheet{Title: answer.Title(v.c, t)}
	skip := map[int]bool{}
	for i, c := range t.Columns {
		for _, w := range without {
			skip[i] = skip[i] || w == c.Key
		}
		if !skip[i] {
			s.Heads = append(s.Heads, head{Text: answer.Head(v.c, c) + v.unitOf(c.Key), Right: isNumber(c.Key)})
		}
	}
	for _, r := range t.Rows {
		row := sheetRow{Class: markClass(r.Mark)}
		for i, cell := range r.Cells {
			if !skip[i] {
				c := v.cell(columnOf(t, i), cell)
				if cell == nil && noQuestion[t.Key] && answer.Nothing(t, r, i) {
					c.Text = "–"
				}
				row.Cells = append(row.Cells, c)
			}
		}
		if len(row.Cells) > 0 {
			row.Cells[0].Head = true
			if row.Class != "" {
				row.Cells[0].Icon, row.Cells[0].Class = chipIcons[row.Class], row.Class
			}
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

func isNumber(column string) bool {
	for _, end := range []string{"_g", "_mg", "_pct", "_c", "_per_g", "_units", "_n"} {
		if strings.HasSuffix(column, end) {
			return true
		}
	}
	switch column {
	case "needs", "on_hand", "on_order", "short", "wait_days", "for_units", "price", "units", "cases", "boxes", "days", "left", "pieces", "fact", "touched", "drums", "hmf", "hmf_low", "hmf_high", "hmf_added", "hmf_then",
		"diastase", "diastase_low", "diastase_high", "kwh", "honey_kwh", "lost_kwh", "cost", "each_cost", "kg_cost", "sale_price", "over_kg", "over_hour", "least_price", "hours", "amount", "wax_share", "boxes_in", "boxes_wet", "boxes_back":
		return true
	}
	return false
}

// noQuestion are tables in which an empty cell is no open question: what left the house
// stands in no place of it, what is here was not sent.
var noQuestion = map[string]bool{"share": true, "possible": true, "recall-steps": true}

// mayBeNone are columns in which nothing means that there is none, not that it is not
// known.
var mayBeNone = map[string]bool{"hold": true, "missing": true, "corrected_by": true, "also": true, "lots": true, "ship_to": true, "cases": true, "left": true, "through": true,
	"units": true, "more_holds": true, "fewer_holds": true, "run": true, "due": true, "days": true, "vessel": true, "customer": true, "marks": true, "lot": true, "for": true,
	"first_short": true, "first_short_on": true, "order_by": true, "best_before": true, "touched_by": true, "needs_g": true, "price": true, "order": true,
	"drums": true, "seal": true, "packed_as": true, "for_units": true, "ingredient": true, "photos": true, "bought_at": true, "became": true, "told": true}

// columnOf is the key of a column; in the steps of boxes a site is named only where
// they went.
func columnOf(t answer.Table, i int) string {
	if t.Key == "boxes" && t.Columns[i].Key == "site" {
		return "also"
	}
	return t.Columns[i].Key
}

// unitOf is the unit of a column's figures, for its head.
func (v *visit) unitOf(column string) string {
	switch {
	case strings.HasSuffix(column, "_g") && column != "yeast_per_g":
		return ", " + v.kg(0, 0).Unit
	case strings.HasSuffix(column, "_pct") && column != "water_pct":
		return ", %"
	}
	return ""
}

// cell prints one cell and says where it leads.
func (v *visit) cell(column string, cell answer.Cell) sheetCell {
	c := sheetCell{Text: v.text(cell), Right: isNumber(column)}
	switch x := cell.(type) {
	case nil:
		c.Class = "q"
		if mayBeNone[column] {
			c.Text = "–"
		}
	case record.When, record.Day:
		c.Text = together(c.Text)
	case answer.Line:
		c.Class = "says"
	case record.Code:
		c.Href, c.Whole = thingLink(x), isShort(x)
	case []record.Code:
		if len(x) == 1 {
			c.Href, c.Whole = thingLink(record.Code(strings.TrimSuffix(string(x[0]), "?"))), isShort(x[0])
		}
	case int64:
		if column == "fact" || column == "corrected_by" {
			c.Href = link("/correct", "fact", strconv.FormatInt(x, 10))
		}
	case quantity.Gram:
		c.Text = v.kg(x, 1).Value
	case quantity.Percent:
		c.Text = v.c.Number(float64(x), 1)
	}
	return c
}

// isShort reports whether a code is one word that a column has room for.
func isShort(c record.Code) bool { return len(c) <= 14 && !strings.ContainsRune(string(c), ' ') }

// together keeps the parts of a date on one line, and its time on that or the next.
func together(date string) string {
	return strings.ReplaceAll(strings.ReplaceAll(date, " ", "\u00a0"), ",\u00a0", ", ")
}

// thingLink leads to the page of whatever bears a code.
func thingLink(c record.Code) string {
	if c == "" {
		return ""
	}
	return link("/thing", "of", string(c))
}

// sheetTo is the sheet of a table's first rows, with a link to all of them: beside
// those in the table so many more.
func (v *visit) sheetTo(most int, t answer.Table, more int, href string) *sheet {
	n := len(t.Rows) + more
	t.Rows = t.Rows[:min(most, len(t.Rows))]
	s := v.sheet(t)
	if s.Count = n; n > most {
		s.More, s.MoreHref = v.say("page.today.all", "n", n), href
	}
	return s
}

// cut keeps the first rows and says how many there are in all, and where.
func (s *sheet) cut(most int, more, href string) *sheet {
	if len(s.Rows) > most {
		s.Rows, s.More, s.MoreHref = s.Rows[:most], more, href
	}
	return s
}

// tables are an answer's tables by key.
func tablesOf(a answer.Answer) map[string]answer.Table {
	all := map[string]answer.Table{}
	for _, t := range a.Tables {
		all[t.Key] = t
	}
	return all
}
