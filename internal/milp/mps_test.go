package milp

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"combline/internal/linear"
)

// readMPS reads a problem in the free MPS form, as far as the reference instances use
// it: least cost, L, G and E rows, UP bounds, whole columns between markers.
func readMPS(t testing.TB, file string) linear.Model {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := mps{rows: map[string]int{}, columns: map[string]int{}}
	for line := range strings.Lines(string(text)) {
		if err := r.line(line); err != nil {
			t.Fatalf("%s: %q: %v", file, line, err)
		}
	}
	return r.model
}

type mps struct {
	model         linear.Model
	section       string
	cost          string
	rows, columns map[string]int
	whole         bool
}

func (r *mps) line(line string) error {
	f := strings.Fields(line)
	if len(f) == 0 {
		return nil
	}
	if line[0] != ' ' {
		r.section = f[0]
		return nil
	}
	switch r.section {
	case "ROWS":
		return r.row(f[0], f[1])
	case "COLUMNS":
		if f[1] == "'MARKER'" {
			r.whole = f[2] == "'INTORG'"
			return nil
		}
		return r.pairs(f[1:], func(row string, v float64) { r.entry(f[0], row, v) })
	case "RHS":
		return r.pairs(f[1:], r.rhs)
	case "BOUNDS":
		v, err := strconv.ParseFloat(f[3], 64)
		if f[0] != "UP" || err != nil {
			return fmt.Errorf("bound %v", f)
		}
		r.model.Columns[r.columns[f[2]]].High = v
		return nil
	}
	return fmt.Errorf("section %s", r.section)
}

func (r *mps) row(kind, name string) error {
	low, high := 0.0, 0.0
	switch kind {
	case "N":
		r.cost = name
		return nil
	case "L":
		low = math.Inf(-1)
	case "G":
		high = math.Inf(1)
	case "E":
	default:
		return fmt.Errorf("row kind %s", kind)
	}
	r.rows[name] = r.model.AddRow(linear.Row{Name: name, Low: low, High: high})
	return nil
}

func (r *mps) entry(column, row string, v float64) {
	at, ok := r.columns[column]
	if !ok {
		at = r.model.AddColumn(linear.Column{Name: column, High: math.Inf(1), Whole: r.whole})
		r.columns[column] = at
	}
	c := &r.model.Columns[at]
	if row == r.cost {
		c.Cost += v
		return
	}
	c.Entries = append(c.Entries, linear.Entry{Row: r.rows[row], Value: v})
	for i := len(c.Entries) - 1; i > 0 && c.Entries[i].Row < c.Entries[i-1].Row; i-- {
		c.Entries[i], c.Entries[i-1] = c.Entries[i-1], c.Entries[i]
	}
}

func (r *mps) rhs(row string, v float64) {
	b := &r.model.Rows[r.rows[row]]
	if !math.IsInf(b.Low, 0) {
		b.Low = v
	}
	if !math.IsInf(b.High, 0) {
		b.High = v
	}
}

func (r *mps) pairs(f []string, use func(string, float64)) error {
	for i := 0; i+1 < len(f); i += 2 {
		v, err := strconv.ParseFloat(f[i+1], 64)
		if err != nil {
			return err
		}
		use(f[i], v)
	}
	return nil
}
