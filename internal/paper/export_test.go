package paper

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"

	"github.com/xuri/excelize/v2"
)

func odd() answer.Answer {
	var a answer.Answer
	for _, key := range []string{"customers", "customers"} {
		t := a.Table(key, "code", "name", "mass_g", "when", "units")
		when := record.When{Minute: 29_900_000, Offset: 120, Precision: record.ToMinute}
		t.Row(answer.Plain, record.Code("C-1"), "=HYPERLINK(\"http://x\")", quantity.Gram(1500), when, int64(12))
		t.Row(answer.Plain, record.Code("C-2"), "a \"b\",\n<c> Żółć 蜂蜜", nil, when, nil)
		t.Row(answer.Plain, record.Code("C-3"), strings.Repeat("x", 40_000), quantity.Gram(-1), when, int64(-3))
	}
	return a
}

// The spreadsheet is read back by the same library, the CSV by the standard library's
// reader of RFC 4180: what a cell says is there, and nothing is a formula.
func TestExports(t *testing.T) {
	c := catalogue(t, "en")
	raw, err := Workbook(c, odd())
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	sheets := f.GetSheetList()
	if len(sheets) != 2 || sheets[0] == sheets[1] {
		t.Fatalf("%q", sheets)
	}
	if formula, err := f.GetCellFormula(sheets[0], "B2"); err != nil || formula != "" {
		t.Errorf("B2 is a formula: %q, %v", formula, err)
	}
	for cell, want := range map[string]string{"A2": "C-1", "B2": `=HYPERLINK("http://x")`, "C2": "1.500", "E2": "12", "C3": "", "C4": "-0.001"} {
		if got, err := f.GetCellValue(sheets[1], cell); err != nil || got != want {
			t.Errorf("%s is %q, %v; want %q", cell, got, err, want)
		}
	}
	raw, err = Table(c, odd().Tables[0])
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if rows[0][2] != "mass_g" || rows[1][2] != "1500" || rows[1][1] != `'=HYPERLINK("http://x")` || rows[2][2] != "" || rows[3][4] != "-3" || len(rows[3][1]) != 40_000 {
		t.Errorf("%.300q", rows)
	}
	if _, err := Workbook(c, answer.Answer{}); err != nil {
		t.Errorf("an answer without tables: %v", err)
	}
}
