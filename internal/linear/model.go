// Package linear states mixed integer linear problems and their solutions. It
// solves none: a search that needs a solver is handed one as a [Solve].
package linear

import (
	"fmt"
	"math"
)

// A Model is a problem: the least total cost of its columns, each within its bounds
// (and whole where it says so), such that each row's sum is within the row's bounds.
// No bound is math.Inf of its sign.
type Model struct {
	Columns []Column
	Rows    []Row
	Offset  float64   // added to every objective
	Start   []float64 // a point to start from, one figure a column; nil for none
}

// A Column is one unknown.
type Column struct {
	Name      string // for messages; may be empty
	Cost      float64
	Low, High float64
	Whole     bool    // takes whole numbers only
	Entries   []Entry // its coefficients, each row at most once, rows rising
}

// An Entry is a column's coefficient in a row.
type Entry struct {
	Row   int
	Value float64
}

// A Row is a sum of columns with its bounds.
type Row struct {
	Name      string
	Low, High float64
}

// A Term is a column's part in a row that is being added.
type Term struct {
	Column int
	Value  float64
}

// AddColumn adds an unknown and returns its place.
func (m *Model) AddColumn(c Column) int {
	m.Columns = append(m.Columns, c)
	return len(m.Columns) - 1
}

// AddRow adds a row over columns that are there and returns its place. Terms of the
// same column add up; a term of 0 is left out.
func (m *Model) AddRow(r Row, terms ...Term) int {
	m.Rows = append(m.Rows, r)
	at := len(m.Rows) - 1
	for _, t := range terms {
		c := &m.Columns[t.Column]
		switch n := len(c.Entries); {
		case t.Value == 0:
		case n > 0 && c.Entries[n-1].Row == at:
			c.Entries[n-1].Value += t.Value
		default:
			c.Entries = append(c.Entries, Entry{at, t.Value})
		}
	}
	return at
}

// Clone returns a copy that shares nothing with m.
func (m *Model) Clone() Model {
	c := Model{Offset: m.Offset}
	c.Columns = append([]Column(nil), m.Columns...)
	for i := range c.Columns {
		c.Columns[i].Entries = append([]Entry(nil), m.Columns[i].Entries...)
	}
	c.Rows = append([]Row(nil), m.Rows...)
	c.Start = append([]float64(nil), m.Start...)
	return c
}

// Whole reports whether any column is whole.
func (m *Model) Whole() bool {
	for i := range m.Columns {
		if m.Columns[i].Whole {
			return true
		}
	}
	return false
}

// Objective gives the cost of a point, one figure a column.
func (m *Model) Objective(values []float64) float64 {
	sum := m.Offset
	for i := range m.Columns {
		sum += m.Columns[i].Cost * values[i]
	}
	return sum
}

// RowSums gives each row's sum at a point.
func (m *Model) RowSums(values []float64) []float64 {
	sums := make([]float64, len(m.Rows))
	for i := range m.Columns {
		for _, e := range m.Columns[i].Entries {
			sums[e.Row] += e.Value * values[i]
		}
	}
	return sums
}

// Breaks says what is the matter with a point: nil if each column and row is within
// its bounds by the tolerance (absolute for a column; for a row times the larger of 1
// and the sum of its terms' sizes) and each whole column is whole by it.
func (m *Model) Breaks(values []float64, tolerance float64) error {
	if len(values) != len(m.Columns) {
		return fmt.Errorf("%d figures for %d columns", len(values), len(m.Columns))
	}
	size := make([]float64, len(m.Rows))
	for i, c := range m.Columns {
		v := values[i]
		if !(v >= c.Low-tolerance && v <= c.High+tolerance) {
			return fmt.Errorf("column %d (%s) is %g, bounds %g to %g", i, c.Name, v, c.Low, c.High)
		}
		if c.Whole && math.Abs(v-math.Round(v)) > tolerance {
			return fmt.Errorf("column %d (%s) is %g, not whole", i, c.Name, v)
		}
		for _, e := range c.Entries {
			size[e.Row] += math.Abs(e.Value * v)
		}
	}
	for i, sum := range m.RowSums(values) {
		r, slack := m.Rows[i], tolerance*max(1, size[i])
		if !(sum >= r.Low-slack && sum <= r.High+slack) {
			return fmt.Errorf("row %d (%s) is %g, bounds %g to %g", i, r.Name, sum, r.Low, r.High)
		}
	}
	return nil
}

// Check refuses a model that is not well formed: a figure that is not a number, a
// cost or coefficient that is not finite, bounds the wrong way round, a row that is
// not there or comes twice, a start of another length.
func (m *Model) Check() error {
	for i := range m.Columns {
		if err := m.Columns[i].check(len(m.Rows)); err != nil {
			return fmt.Errorf("column %d (%s): %w", i, m.Columns[i].Name, err)
		}
	}
	for i, r := range m.Rows {
		if !(r.Low <= r.High) {
			return fmt.Errorf("row %d (%s): bounds %g to %g", i, r.Name, r.Low, r.High)
		}
	}
	if m.Start != nil && len(m.Start) != len(m.Columns) {
		return fmt.Errorf("start of %d figures for %d columns", len(m.Start), len(m.Columns))
	}
	for i, v := range m.Start {
		if !finite(v) {
			return fmt.Errorf("start of column %d (%s) is %g", i, m.Columns[i].Name, v)
		}
	}
	if !finite(m.Offset) {
		return fmt.Errorf("offset is %g", m.Offset)
	}
	return nil
}

func (c *Column) check(rows int) error {
	if !(c.Low <= c.High) || !finite(c.Cost) {
		return fmt.Errorf("cost %g, bounds %g to %g", c.Cost, c.Low, c.High)
	}
	last := -1
	for _, e := range c.Entries {
		if e.Row <= last || e.Row >= rows {
			return fmt.Errorf("entry for row %d after row %d, of %d rows", e.Row, last, rows)
		}
		if !finite(e.Value) {
			return fmt.Errorf("coefficient %g in row %d", e.Value, e.Row)
		}
		last = e.Row
	}
	return nil
}

func finite(x float64) bool { return x-x == 0 }
