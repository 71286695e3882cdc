package cli

import (
	"strings"
	"testing"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
)

func printed(t *testing.T, table answer.Table) []string {
	t.Helper()
	c, err := words.For("en")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	grid(&b, c, table)
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// A column in which nothing stands is left out; what nobody measured is said, and kept.
func TestEmptyColumnsAreLeftOut(t *testing.T) {
	got := printed(t, answer.Table{Key: "contents", Columns: []answer.Column{{Key: "content"}, {Key: "hold"}, {Key: "person"}, {Key: "water_pct"}},
		Rows: []answer.Row{{Cells: []any{record.Code("D1"), nil, record.Code(""), nil}}}})
	if len(got) != 2 || got[0] != "  Content  Moisture" || got[1] != "  D1       not known" {
		t.Errorf("%q", got)
	}
}

// A table that is too wide loses what it can do without and breaks words between lines,
// never in a word and never a figure.
func TestWideTables(t *testing.T) {
	reason := strings.Repeat("the label says no supers during treatment; ", 5)
	got := printed(t, answer.Table{Key: "holds", Columns: []answer.Column{{Key: "reason"}, {Key: "hold"}, {Key: "blocks_g"}},
		Rows: []answer.Row{{Mark: answer.Bad, Cells: []any{reason, record.Code("H-01"), quantity.Gram(2_534_200)}},
			{Cells: []any{"", record.Code("H-02"), quantity.Gram(0)}}}})
	for _, line := range got {
		if utf8.RuneCountInString(line) > wide {
			t.Errorf("%d letters: %q", utf8.RuneCountInString(line), line)
		}
	}
	all := strings.Join(strings.Fields(strings.Join(got, " ")), " ")
	if !strings.Contains(all, "H-01 2 534.2 kg the label") || len(got) != 5 {
		t.Errorf("%q", got)
	}
	columns := []answer.Column{{Key: "content"}, {Key: "vessel"}, {Key: "since"}, {Key: "reason"}}
	cells := []any{record.Code("D001"), record.Code("S-001"), strings.Repeat("x", 40), strings.Repeat("y", 60)}
	got = printed(t, answer.Table{Key: "contents", Columns: columns, Rows: []answer.Row{{Cells: cells}}})
	if all := strings.Join(got, " "); strings.Contains(all, "xxx") || !strings.Contains(all, "S-001") {
		t.Errorf("the first spare column goes, the rest stays: %q", got)
	}
}

// Text that came from outside steers no terminal: no escapes, no turned writing.
func TestTextFromOutsideIsPlain(t *testing.T) {
	for in, want := range map[string]string{
		"red \x1b[31m \x07":     "red ·[31m ·",
		"two\nlines\tand a tab": "two lines and a tab",
		"\u202eabc\u2066":       "·abc·",
		"miód, 5 µm, ½, 🐝":      "miód, 5 µm, ½, 🐝",
	} {
		if got := plain(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
