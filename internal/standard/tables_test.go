package standard

import (
	"encoding/csv"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"combline/internal/quantity"
)

// A row is one line of a reference table, by column.
type row map[string]string

// eachRow runs check over every row of a table in testdata and fails if one was
// not visited: the count is taken from the file's own lines, apart from the
// reader. Every table there names a source per row, which is in each message.
func eachRow(t *testing.T, name string, check func(t *testing.T, r row)) {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(b))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	visited := 0
	for i, f := range rows[1:] {
		r := row{}
		for j, head := range rows[0] {
			r[head] = f[j]
		}
		t.Run(strconv.Itoa(i+1)+" "+f[0], func(t *testing.T) { check(t, r); visited++ })
	}
	if want := strings.Count(strings.TrimSpace(string(b)), "\n"); visited != want || want == 0 {
		t.Errorf("%s: %d rows visited of %d", name, visited, want)
	}
}

func (r row) num(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

func (r row) int(t *testing.T, column string) int {
	t.Helper()
	return int(r.num(t, column))
}

// mass reads grams as whole milligrams, exactly.
func (r row) mass(t *testing.T, column string) quantity.Milligram {
	t.Helper()
	return milligrams(t, r[column])
}

func milligrams(t *testing.T, s string) quantity.Milligram {
	t.Helper()
	x, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is no number", s)
	}
	x.Mul(x, big.NewRat(1000, 1))
	if !x.IsInt() {
		t.Fatalf("%q g is not whole milligrams", s)
	}
	return quantity.Milligram(x.Num().Int64())
}

// got checks that a row marked memory comes back marked so, and one read too.
// A figure worked out by the rule's formula is neither.
func (r row) got(t *testing.T, c Cite) {
	t.Helper()
	if r["got"] != c.Got.String() && c.Got != Computation {
		t.Errorf("marked %v, want %s (%s)", c.Got, r["got"], r["source"])
	}
	if s := c.Set.Set(); s.ID == "" || s.Title == "" || c.Place == "" {
		t.Errorf("cite %v names no source", c)
	}
}

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }
