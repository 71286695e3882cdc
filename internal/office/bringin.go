package office

import (
	"cmp"
	"slices"

	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A TableRow is one row of a table that is brought in: its cells by header, where it
// stands, and when and who where the row itself says so.
type TableRow struct {
	Line   int
	Cells  map[string]string
	When   record.When // zero: as the draft says
	Person record.Code // empty: as the draft says
}

// A RowError says what is wrong with one cell of a table.
type RowError struct {
	Line   int
	Column string
	Err    error // *record.CellError, *house.Refusal or house.Asks
}

// BringIn makes one draft of a table: all its rows are in order, or none is taken and
// every bad row is named, whether it can't be read or the house says no. Rows see what rows before them name. The draft is recorded
// with Submit, in one commit.
func (o *Office) BringIn(kind record.Kind, rows []TableRow, d house.Draft, style quantity.NumberStyle) (house.Draft, []RowError) {
	out := d
	var errs []RowError
	for _, r := range rows {
		f, bad := record.FromCells(kind, r.Cells, style)
		for _, err := range bad {
			column := ""
			if c, ok := err.(*record.CellError); ok {
				column = c.Column
			}
			errs = append(errs, RowError{r.Line, column, err})
		}
		out.Facts = append(out.Facts, f)
		out.Stamps = append(out.Stamps, stampOf(r, d))
	}
	illegible := map[int]bool{} // a row of which a cell can't be read says nothing to the house
	for _, e := range errs {
		illegible[e.Line] = true
	}
	o.Read(func(v *View) {
		for i, err := range v.State.CheckEach(&out, record.At(o.now())) {
			if err != nil && !illegible[rows[i].Line] {
				errs = append(errs, RowError{rows[i].Line, refusedField(err), err})
			}
		}
	})
	if len(errs) > 0 {
		slices.SortStableFunc(errs, func(a, b RowError) int { return cmp.Compare(a.Line, b.Line) })
		return house.Draft{}, errs
	}
	return out, nil
}

func stampOf(r TableRow, d house.Draft) house.Stamp {
	stamp := house.Stamp{When: d.When, Person: d.Person}
	if r.When != (record.When{}) {
		stamp.When = r.When
	}
	if r.Person != "" {
		stamp.Person = r.Person
	}
	return stamp
}

// refusedField is the column that a refusal is about, if it says.
func refusedField(err error) string {
	if r, ok := err.(*house.Refusal); ok {
		if f, ok := r.Args["column"].(string); ok {
			return f
		}
	}
	return ""
}
