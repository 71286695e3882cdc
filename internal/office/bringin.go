package office

import (
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A TableRow is one row of a table that is brought in: its cells by header, and where it stands.
type TableRow struct {
	Line  int
	Cells map[string]string
}

// A RowError says what is wrong with one cell of a table.
type RowError struct {
	Line   int
	Column string
	Err    error // *record.CellError, *house.Refusal or house.Asks
}

// BringIn makes a draft of each row of a table: all of them are in order, or none is
// taken and every bad row is named. The cells happened, person and note of a row say
// when it happened and who wrote it; otherwise d's hold. Rows see what rows before
// them name. The drafts are recorded with Submit, in order.
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
	}
	if len(errs) > 0 {
		return house.Draft{}, errs
	}
	o.Read(func(v *View) {
		now := record.At(o.now())
		for i, r := range rows {
			if err := v.State.CheckPart(&out, i, now); err != nil {
				errs = append(errs, RowError{r.Line, refusedField(err), err})
			}
		}
	})
	if len(errs) > 0 {
		return house.Draft{}, errs
	}
	return out, nil
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
