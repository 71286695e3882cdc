package honey

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// A measure is how far off is told.
type measure uint8

const (
	inUnits  measure = iota // difference, in the row's unit
	inShares                // difference over the published figure
	inTimes                 // quotient, above or below 1
)

// A check compares one row of a published table with the model. Either figures
// (low to high, one of them NaN if open, equal for a single figure) or a claim.
type check struct {
	file         string
	row          int // data rows, from 1
	what         string
	source, got  string
	low, high    float64
	model        float64
	format       string // of the figures, with their unit
	in           measure
	tol          float64 // same measure as off
	why          string  // the tolerance's reason
	known        string  // a known disagreement's reason; then off must be near size
	size         float64
	claim        string // what the row says, where it is no figure
	holds, isTxt bool
}

// off is 0 inside the published range; outside it is the distance from the nearer
// end: signed, or for inTimes the quotient with 1 inside.
func (c check) off() float64 {
	end := math.NaN()
	switch {
	case c.model < c.low:
		end = c.low
	case c.model > c.high:
		end = c.high
	}
	switch {
	case math.IsNaN(c.model):
		return math.NaN()
	case math.IsNaN(end) && c.in == inTimes:
		return 1
	case math.IsNaN(end):
		return 0
	case c.in == inTimes:
		return c.model / end
	case c.in == inShares:
		return (c.model - end) / math.Abs(end)
	}
	return c.model - end
}

func (c check) fails() string {
	if c.isTxt {
		if !c.holds {
			return "does not hold: " + c.claim
		}
		return ""
	}
	off := c.off()
	size := math.Abs(off)
	if c.in == inTimes {
		size = math.Exp(math.Abs(math.Log(off)))
	}
	if c.known == "" {
		if !(size <= c.tol) {
			return fmt.Sprintf("model "+c.format+" is off by %s, more than %s (%s)", c.model, c.offText(), c.tolText(), c.why)
		}
		return ""
	}
	// 3 % of the size: it is stated to two or three figures.
	if !(math.Abs(off-c.size) <= 0.03*math.Abs(c.size)) {
		return fmt.Sprintf("known disagreement (%s): off by %.4g, stated as %.4g", c.known, off, c.size)
	}
	return ""
}

func (c check) offText() string {
	switch c.in {
	case inShares:
		if math.Abs(c.off()) < 0.01 {
			return fmt.Sprintf("%+.2f %%", 100*c.off())
		}
		return fmt.Sprintf("%+.1f %%", 100*c.off())
	case inTimes:
		if c.off() == 1 {
			return "inside"
		}
		return fmt.Sprintf("× %.2f", c.off())
	}
	if math.Abs(c.off()) < 1e-9 {
		return "+0"
	}
	return fmt.Sprintf("%+.3g", c.off())
}

func (c check) tolText() string {
	switch c.in {
	case inShares:
		return fmt.Sprintf("%.3g %%", 100*c.tol)
	case inTimes:
		return fmt.Sprintf("×/÷ %.3g", c.tol)
	}
	return fmt.Sprintf("%.3g", c.tol)
}

// published prints what the row says.
func (c check) published() string {
	f := func(x float64) string { return fmt.Sprintf(c.format, x) }
	switch {
	case c.isTxt:
		return c.claim
	case math.IsNaN(c.low) && math.IsNaN(c.high):
		return "none"
	case math.IsNaN(c.low):
		return "at most " + f(c.high)
	case math.IsNaN(c.high):
		return "at least " + f(c.low)
	case c.low == c.high:
		return f(c.low)
	}
	return f(c.low) + " to " + f(c.high)
}

// A record is one row of a CSV by its headers.
type record struct {
	file   string
	row    int
	fields map[string]string
}

func readTable(t testing.TB, file string) []record {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(file, err)
	}
	var out []record
	for i, cells := range rows[1:] {
		r := record{file: file, row: i + 1, fields: map[string]string{}}
		for j, h := range rows[0] {
			r.fields[h] = cells[j]
		}
		out = append(out, r)
	}
	return out
}

// num is NaN for an empty cell.
func (r record) num(column string) float64 {
	s, ok := r.fields[column]
	if !ok {
		panic(r.file + " has no column " + column)
	}
	if s == "" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("%s row %d: %v", r.file, r.row, err))
	}
	return x
}

// span reads "low-high" or a single figure.
func (r record) span(column string) (low, high float64) {
	s := r.fields[column]
	if s == "" {
		return math.NaN(), math.NaN()
	}
	a, b, two := strings.Cut(s, "-")
	if !two {
		b = a
	}
	low, err1 := strconv.ParseFloat(a, 64)
	high, err2 := strconv.ParseFloat(b, 64)
	if err1 != nil || err2 != nil {
		panic(fmt.Sprintf("%s row %d: %q", r.file, r.row, s))
	}
	return low, high
}

func (r record) check(what, format string) check {
	return check{file: r.file, row: r.row, what: what, source: r.fields["source"], got: r.fields["got"], format: format}
}

func (r record) claim(what, says string, holds bool) check {
	c := r.check(what, "%v")
	c.claim, c.holds, c.isTxt = says, holds, true
	return c
}

// figure is a check of a single published figure.
func (c check) figure(published, model float64, in measure) check {
	return c.figures(published, published, model, in)
}

func (c check) figures(low, high, model float64, in measure) check {
	c.low, c.high, c.model, c.in = low, high, model, in
	return c
}

func (c check) within(tol float64, why string) check {
	c.tol, c.why = tol, why
	return c
}

func (c check) disagrees(size float64, why string) check {
	c.size, c.known = size, why
	return c
}

// must is for figures that the models have to take.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Every row of every published table is compared, or refused on purpose.
func TestEveryPublishedRow(t *testing.T) {
	files, err := filepath.Glob("testdata/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatal("no tables", err)
	}
	byFile := tableChecks(t)
	total := 0
	for _, path := range files {
		file := filepath.Base(path)
		want, seen := len(readTable(t, file)), map[int]bool{}
		for _, c := range byFile[file] {
			seen[c.row] = true
			if bad := c.fails(); bad != "" {
				t.Errorf("%s row %d, %s: published %s: %s (%s, %s)", c.file, c.row, c.what, c.published(), bad, c.source, c.got)
			}
		}
		if len(seen) != want {
			t.Errorf("%s: %d of %d rows checked", file, len(seen), want)
		}
		total += want
	}
	// A table that loses rows must not go unseen.
	if total != 295 {
		t.Errorf("%d rows in all tables, want 295", total)
	}
	if len(byFile) != len(files) {
		t.Errorf("%d tables checked, %d there", len(byFile), len(files))
	}
}
