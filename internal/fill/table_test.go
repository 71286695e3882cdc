package fill

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// rows reads a table of testdata, or of package standard's, one map a row.
func rows(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, name := range all[0] {
			m[name] = r[i]
		}
		out = append(out, m)
	}
	if len(out) == 0 {
		t.Fatalf("%s has no row", path)
	}
	return out
}

func own(name string) string { return filepath.Join("testdata", name+".csv") }

// rules is a table of the published rules and worked examples, whose sources stand in its rows.
func rules(name string) string { return filepath.Join("..", "standard", "testdata", name+".csv") }

func num(t *testing.T, r map[string]string, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

// milligrams takes a printed figure in grams; tables print at most three decimals.
func milligrams(t *testing.T, r map[string]string, column string) quantity.Milligram {
	t.Helper()
	return quantity.Milligram(math.Round(num(t, r, column) * 1000))
}

func close(got, want, tol float64) bool { return math.Abs(got-want) <= tol }

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func tolerance(t *testing.T, r standard.Rules, label quantity.Milligram) *standard.Tolerance {
	t.Helper()
	tol, err := standard.ToleranceOf(r, label)
	if err != nil {
		t.Fatal(err)
	}
	return &tol
}

const gram quantity.Milligram = 1000
