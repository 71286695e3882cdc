package reckon

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"combline/internal/quantity"
)

// header finds the columns and writes them with the answer's.
func (t *table) header() error {
	switch err := t.in.next(); {
	case err == io.EOF:
		return &UsageError{"there is no table on standard input; its first line names the columns"}
	case err != nil:
		return err
	}
	if err := t.dialect(); err != nil {
		return err
	}
	names := make([]string, len(t.in.cells))
	for i := range names {
		names[i] = columnName(t.in.content(i))
	}
	if err := t.place(names); err != nil {
		return err
	}
	if err := t.lacking(names); err != nil {
		return err
	}
	t.buf = t.keep(t.buf[:0], nil)
	for _, a := range t.added {
		t.buf = append(append(t.buf, t.in.sep), t.q.subject.Answers[a].Name...)
	}
	if t.note < 0 {
		t.buf = append(append(t.buf, t.in.sep), noteColumn...)
	}
	return t.write()
}

// columnName takes "Temp C" and "temp-c" for temp_c.
func columnName(header []byte) string {
	parts := strings.FieldsFunc(strings.ToLower(string(header)), func(r rune) bool {
		return r == '_' || r == '-' || unicode.IsSpace(r)
	})
	return strings.Join(parts, "_")
}

// dialect looks at the first row, which was split at commas, and splits it again if
// it has semicolons, or tabs alone.
func (t *table) dialect() error {
	if rest, ok := bytes.CutPrefix(t.in.row, []byte(bom)); ok {
		t.in.row = append(t.in.row[:0], rest...)
		if _, err := t.out.WriteString(bom); err != nil {
			return err
		}
	}
	if bytes.IndexByte(t.in.row, 0) >= 0 {
		return &UsageError{"the table is not UTF-8 text; save it as CSV UTF-8"}
	}
	t.style, t.end = quantity.EitherSign, "\n"
	switch {
	case bytes.IndexByte(t.in.row, ';') >= 0:
		t.in.sep, t.style = ';', quantity.DecimalComma
	case bytes.IndexByte(t.in.row, ',') < 0 && bytes.IndexByte(t.in.row, '\t') >= 0:
		t.in.sep = '\t'
	}
	if bytes.HasSuffix(t.in.row, []byte("\r\n")) {
		t.end = "\r\n"
	}
	if !t.in.split() {
		return &UsageError{"line 1: a quote is left open in the names of the columns"}
	}
	return nil
}

// place gives each column its input, and finds the answers that are still to add.
func (t *table) place(names []string) error {
	s := t.q.subject
	t.columns, t.note = make([]int, len(names)), -1
	for i, name := range names {
		t.columns[i] = slices.IndexFunc(s.Inputs, func(in Input) bool { return in.Name == name })
		switch in := t.columns[i]; {
		case in >= 0 && t.q.in[in].column:
			return &UsageError{"the table has two columns " + name + "; leave one out"}
		case in >= 0:
			t.q.in[in].column = true
			t.tally.Read = append(t.tally.Read, name)
		case name == noteColumn && t.note < 0: // a second one is the table's own
			t.note = i
		default:
			t.tally.Carried = append(t.tally.Carried, name)
		}
	}
	for i, a := range s.Answers {
		if !slices.Contains(names, a.Name) {
			t.added = append(t.added, i)
		} else if !slices.Contains(t.tally.Read, a.Name) {
			return &UsageError{"the table has a column " + a.Name + " already; rename it or leave it out, so that nothing is lost"}
		}
	}
	return nil
}

// lacking refuses a table without a column that every row needs.
func (t *table) lacking(names []string) error {
	var lack []string
	has := func(in string) bool { return slices.Contains(t.tally.Read, in) }
	for _, n := range t.q.subject.names(Required) {
		if !has(n) {
			lack = append(lack, n)
		}
	}
	if either := t.q.subject.names(Either); len(either) > 0 && !slices.ContainsFunc(either, has) {
		lack = append(lack, "one of "+strings.Join(either, ", "))
	}
	if len(lack) == 0 {
		return nil
	}
	return &UsageError{fmt.Sprintf("the table lacks %s; its columns are %s", strings.Join(lack, " and "), quoted(strings.Join(names, ", ")))}
}
