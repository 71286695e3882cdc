package reckon

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"
)

// tableOf answers a table and returns what was written.
func tableOf(t testing.TB, subject, in string) (string, Tally, error) {
	t.Helper()
	s, err := Find(subject)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	tally, err := Table(context.Background(), s, strings.NewReader(in), &out)
	return out.String(), tally, err
}

func TestTableKeepsItsDialect(t *testing.T) {
	// 1000 kg/m³ figures are those of the density model; what is tested is the form.
	for _, c := range []struct{ name, in, want string }{
		{"plain", "water_pct,temp_c\n17,20\n", "water_pct,temp_c,density_kg_m3,note\n17,20,1420.9377,\n"},
		{"no end of line", "water_pct,temp_c\n17,20", "water_pct,temp_c,density_kg_m3,note\n17,20,1420.9377,\n"},
		{"windows", "water_pct,temp_c\r\n17,20\r\n", "water_pct,temp_c,density_kg_m3,note\r\n17,20,1420.9377,\r\n"},
		{"byte order mark", "\ufeffwater_pct,temp_c\n17,20\n", "\ufeffwater_pct,temp_c,density_kg_m3,note\n17,20,1420.9377,\n"},
		{"semicolons", "drum;water_pct;temp_c\nD1;17,0;20\n", "drum;water_pct;temp_c;density_kg_m3;note\nD1;17,0;20;1420,9377;\n"},
		{"quotes", "drum,\"water_pct\",temp_c\n\"D, 1 \"\"old\"\"\",\"17\",20\n", "drum,\"water_pct\",temp_c,density_kg_m3,note\n\"D, 1 \"\"old\"\"\",\"17\",20,1420.9377,\n"},
		{"a line end in a cell", "water_pct,temp_c,remark\n17,20,\"a\nb\"\n", "water_pct,temp_c,remark,density_kg_m3,note\n17,20,\"a\nb\",1420.9377,\n"},
		{"tabs", "water_pct\ttemp_c\n17,0\t20\n17.0\t\n", "water_pct\ttemp_c\tdensity_kg_m3\tnote\n17,0\t20\t1420.9377\t\n17.0\t\t\ttemp_c is not given\n"},
		{"names with spaces and hyphens", "Water Pct,temp-c\n17,20\n", "Water Pct,temp-c,density_kg_m3,note\n17,20,1420.9377,\n"},
		{"other order and case", " Temp_C ,WATER_PCT\n20,17\n", " Temp_C ,WATER_PCT,density_kg_m3,note\n20,17,1420.9377,\n"},
		{"a unit in the cell", "water_pct,temp_c\n17 %,68 °F\n", "water_pct,temp_c,density_kg_m3,note\n17 %,68 °F,1420.9377,\n"},
		{"empty lines", "water_pct,temp_c\n\n17,20\n\n", "water_pct,temp_c,density_kg_m3,note\n\n17,20,1420.9377,\n\n"},
		{"empty cells too many", "water_pct,temp_c\n17,20,,\n", "water_pct,temp_c,density_kg_m3,note\n17,20,1420.9377,\n"},
		{"a note already", "note,water_pct,temp_c\nold,17,20\nold,,20\n", "note,water_pct,temp_c,density_kg_m3\nold,17,20,1420.9377\nold; water_pct is not given,,20,\n"},
	} {
		got, _, err := tableOf(t, "density", c.in)
		if err != nil || got != c.want {
			t.Errorf("%s:\n%q, %v; want\n%q", c.name, got, err, c.want)
		}
	}
}

// The inputs that are answers too are not added again.
func TestTableAddsNoColumnTwice(t *testing.T) {
	got, _, err := tableOf(t, "colour", "pfund_mm\n40\n")
	if want := "pfund_mm,class,note\n40,Extra Light Amber,\n"; err != nil || got != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
	got, _, err = tableOf(t, "colour", "od560\n0.189\n")
	if want := "od560,pfund_mm,class,note\n0.189,17,Extra White,\n"; err != nil || got != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
}

// A row that can't be answered keeps its cells, has empty answers, and says why.
func TestBadRows(t *testing.T) {
	for _, c := range []struct{ cells, why string }{
		{"0.18,20", "0.18 looks like a fraction: 18?"},
		{"82,20", "solids"},
		{"17,", "temp_c is not given"},
		{",", "water_pct is not given"},
		{"  ,20", "water_pct is not given"},
		{"NaN,20", "not a number"},
		{"Inf,20", "not a number"},
		{"1e999,20", "exponent"},
		{"0x11,20", "number"},
		{"17,150", "temperature °C 150 is outside"},
		{"17,95", "degrees Fahrenheit: 35?"},
		{"17,20 kg", "does not fit"},
		{"17 mm,20", "does not fit"},
		{"17,20 °Z", "temp_c"},
		{"17;20", "water_pct"},
		{"\"1,234\",20", "1.234 is outside"},
		{"17,4,20", "decimal comma"},
		{"17", "temp_c is not given"},
		{"seventeen,20", "not a number"},
	} {
		got, tally, err := tableOf(t, "density", "water_pct,temp_c\n"+c.cells+"\n17,20\n")
		if err != nil {
			t.Errorf("%s: %v", c.cells, err)
			continue
		}
		rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
		if err != nil || len(rows) != 3 {
			t.Errorf("%s: %q, %v; want 3 rows of 4 cells", c.cells, got, err)
			continue
		}
		if bad := rows[1]; bad[2] != "" || !strings.Contains(bad[3], c.why) {
			t.Errorf("%s: answer %q, note %q; want none and a note with %q", c.cells, bad[2], bad[3], c.why)
		}
		if good := rows[2]; good[2] == "" || good[3] != "" || tally.Unanswered != 1 || tally.Rows != 2 {
			t.Errorf("%s: the row after it %q, %+v; want it answered", c.cells, good, tally)
		}
	}
}

func TestBadTables(t *testing.T) {
	for _, c := range []struct{ subject, in, why string }{
		{"density", "", "no table"},
		{"density", "water_pct,temp_f\n17,68\n", "lacks temp_c"},
		{"density", "water_pct,temp_c,Water_Pct\n17,20,18\n", "two columns water_pct"},
		{"density", "water_pct,temp_c,density_kg_m3\n17,20,1\n", "density_kg_m3 already"},
		{"colour", "mm\n40\n", "one of pfund_mm, od560, absorbance635"},
		{"density", "w\x00a\x00t\x00", "UTF-8"},
		{"density", "water_pct,temp_c\n17,\"20\n17,20\n", "quote"},
		{"density", "drum,water_pct,temp_c\n\"old,17,20\n\"new,17,20\n", "lines 2 to 3: a quote closes in the middle"},
		{"density", "drum,water_pct,temp_c\n\"old,17,20\n\"new\",17,20\n", "lines 2 to 3: a quote closes in the middle"},
		{"density", "Water Pct,water-pct,temp_c\n17,17,20\n", "two columns water_pct"},
		{"density", "water_pct,temp_c\n17,\"" + strings.Repeat("x", longestRecord) + "\n", "quote left open"},
	} {
		var use *UsageError
		if _, _, err := tableOf(t, c.subject, c.in); !errors.As(err, &use) || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%.40q: %v, want a refusal with %q", c.in, err, c.why)
		}
	}
}

// Rows use what they have; what disagrees is told, and an unknown temperature is
// not 20 °C.
func TestAlternatives(t *testing.T) {
	got, _, err := tableOf(t, "water", "index,temp_c,brix\n1.4915,20,\n,,79.7\n1.4915,20,75\n1.4915,,\n,,\n1.4915,20,80.3\n")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ water, note string }{
		{"18.00", ""}, {"18.59", ""}, {"18.00", "disagree"}, {"", "temp_c is empty"}, {"", "none of index, brix"}, {"18.00", ""},
	} {
		r := rows[i+1]
		if !strings.HasPrefix(r[3], want.water[:min(4, len(want.water))]) || (want.water == "") != (r[3] == "") ||
			!strings.Contains(r[4], want.note) || (want.note == "") != (r[4] == "") {
			t.Errorf("row %d: %q, want %q with a note of %q", i+1, r, want.water, want.note)
		}
	}
}

// What stands in for an empty cell that may be left out is told, and an answer that
// its lack leaves empty too.
func TestEmptyOptionalCells(t *testing.T) {
	for _, c := range []struct{ subject, table, note string }{
		{"viscosity", "water_pct,temp_c,factor\n17,35,\n", "factor is empty, 1 was taken"},
		{"hmf", "temp_c,days,rate,spread\n45,2,,\n", "rate is empty, 1 was taken; spread is empty, 2 was taken"},
		{"limit", "property,rules,value,doubt\nhmf,eu,,\n", "value is empty: no verdict"},
		{"limit", "property,rules,value,doubt\nhmf,eu,39,\n", "doubt is empty: the bare figure was judged"},
		{"limit", "property,rules,value,cooking\nhmf,eu,39,\n", "cooking is empty, no was taken"},
		{"target", "label_g,sd_g,rules,checked\n340,3,eu,\n", "checked is empty: no guard"},
		{"sampling", "batch,rules,short\n400,eu,\n", "short is empty: no decision"},
		{"granulation", "glucose_pct,fructose_pct,water_pct\n36,,17\n", "fructose_pct is empty: glucose over water alone"},
		{"ferment", "water_pct,yeast_per_g\n17.5,\n", "count the yeast: up to 1000 in a gram keeps at this water"},
	} {
		got, _, err := tableOf(t, c.subject, c.table)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%s: %q, %v", c.subject, got, err)
		}
		if note := rows[1][len(rows[1])-1]; note != c.note {
			t.Errorf("%s: note %q, want %q", c.subject, note, c.note)
		}
	}
	// A column that the table does not have was left out on purpose.
	if got, _, err := tableOf(t, "hmf", "temp_c,days\n45,2\n"); err != nil || !strings.HasSuffix(got, ",\n") {
		t.Errorf("%q, %v; want no note", got, err)
	}
}

// A table says the same as the flags, for every subject.
func TestTableAndFlagsAgree(t *testing.T) {
	for _, s := range Subjects() {
		if s.rows() >= 0 {
			continue // it answers with a table of its own
		}
		q := must(t, s.Name+" "+s.Example)
		var head, row []string
		for i, in := range s.Inputs {
			if !q.in[i].given {
				continue
			}
			head = append(head, in.Name)
			if q.in[i].word != "" {
				row = append(row, string(appendCell(nil, q.in[i].word, ',')))
			} else {
				row = append(row, strconv.FormatFloat(q.in[i].number, 'g', -1, 64))
			}
		}
		got, tally, err := tableOf(t, s.Name, strings.Join(head, ",")+"\n"+strings.Join(row, ",")+"\n")
		if err != nil || tally.Unanswered != 0 {
			t.Errorf("%s: %v, %+v\n%s", s.Name, err, tally, got)
			continue
		}
		rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for i, name := range rows[0][len(head) : len(rows[0])-1] {
			want := q.answered(name)
			if cell := rows[1][len(head)+i]; cell != want.word && cell != strconv.FormatFloat(want.number, 'g', -1, 64) && (cell != "" || want.given) {
				t.Errorf("%s: %s %q in the table, %v by flags", s.Name, name, cell, want)
			}
		}
	}
}

// FuzzTable: whatever comes, nothing panics; each row comes out as one row, answered
// or with a note.
func FuzzTable(f *testing.F) {
	for _, in := range []string{
		"water_pct,temp_c\n17,20\n", "drum;water_pct;temp_c\nD1;17,5;20\n", "water_pct,temp_c\r\n\"17\"\"\",\r\n\n1,2,3\n",
		"\ufeffnote,water_pct,temp_c,note\nx,17,20\n", "note,wAter pCt,temp C,note\n,,,\n", "water_pct,temp_c\n17,\"2\n0\"\n\"17\" ,20\n", "water_pct,temp_c\n1e-400,20 °F\n17,-0\n",
	} {
		f.Add(in)
	}
	s, err := Find("density")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, in string) {
		var out bytes.Buffer
		tally, err := Table(context.Background(), s, strings.NewReader(in), &out)
		if err != nil {
			return
		}
		rows := readBack(t, in, out.String())
		if len(rows) != tally.Rows+1 {
			t.Fatalf("%d rows came out of %d\n%q\n%q", len(rows)-1, tally.Rows, in, out.String())
		}
		answer, note := column(rows[0], "density_kg_m3"), column(rows[0], noteColumn)
		for _, r := range rows[1:] {
			if len(r) != len(rows[0]) || r[answer] == "" && r[note] == "" {
				t.Fatalf("row %q is neither answered nor noted, under %q", r, rows[0])
			}
		}
	})
}

// readBack splits what was written with the program's own reader, which the tests
// above hold to the standard library's on well-formed tables; on others, such as a
// bare quote in a cell, that one gives up.
func readBack(t *testing.T, in, out string) [][]string {
	t.Helper()
	r := records{in: newReader(strings.NewReader(out)), sep: ','}
	switch head, _, _ := strings.Cut(strings.TrimPrefix(in, bom), "\n"); {
	case strings.Contains(head, ";"):
		r.sep = ';'
	case strings.Contains(head, "\t") && !strings.Contains(head, ","):
		r.sep = '\t'
	}
	var rows [][]string
	for {
		switch err := r.next(); {
		case err == io.EOF:
			return rows
		case err != nil:
			t.Fatalf("%v\n%q\n%q", err, in, out)
		}
		if r.blank() && len(rows) > 0 {
			continue
		}
		row := make([]string, len(r.cells))
		for i := range row {
			row[i] = string(r.content(i))
		}
		rows = append(rows, row)
	}
}

func column(head []string, name string) int {
	for i, h := range head {
		if columnName([]byte(strings.TrimPrefix(h, bom))) == name {
			return i
		}
	}
	return -1
}
