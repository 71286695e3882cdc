package reckon

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"combline/internal/quantity"
)

// A Tally tells what came of a table.
type Tally struct {
	Rows, Unanswered int
	Read, Carried    []string // columns that were inputs, and the others
}

const noteColumn = "note"

// bom stands before UTF-8 in the files of some spreadsheets.
const bom = "\ufeff"

// Table answers a subject for every row of a CSV table, in memory that does not
// grow with the rows. The row's own cells stay as they came; behind them come the
// answer's columns and a note. A table parted by semicolons has decimal commas.
// The first error of reading or writing ends it; a row that can't be answered does
// not: its answers are empty and its note says why.
func Table(ctx context.Context, s *Subject, in io.Reader, out io.Writer) (Tally, error) {
	t := &table{q: newQuery(s), in: records{in: newReader(in), sep: ','}, out: bufio.NewWriterSize(out, 64<<10)}
	if err := t.header(); err != nil {
		return t.tally, err
	}
	for {
		if t.in.in.Buffered() == 0 { // the next read may wait: let out what there is
			if err := t.flush(ctx); err != nil {
				return t.tally, err
			}
		}
		switch err := t.in.next(); {
		case err == io.EOF:
			return t.tally, t.flush(ctx)
		case err != nil:
			return t.tally, errors.Join(err, t.flush(ctx)) // the rows before it are answered
		}
		if err := t.row(); err != nil {
			return t.tally, err
		}
	}
}

type table struct {
	q     *Query
	in    records
	out   *bufio.Writer
	tally Tally

	style   quantity.NumberStyle
	end     string // of a line
	columns []int  // the input of each column, or -1
	note    int    // the column that has the notes already, or -1
	added   []int  // the answers that are not columns yet
	buf     []byte // of the row that is written
}

func (t *table) flush(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return t.out.Flush()
}

// row answers one row and writes it.
func (t *table) row() error {
	if t.in.blank() && len(t.columns) > 1 {
		t.buf = append(t.buf[:0], t.end...) // an empty line is no row
		_, err := t.out.Write(t.buf)
		return err
	}
	t.tally.Rows++
	t.q.forget()
	if err := t.answer(); err != nil {
		t.tally.Unanswered++
		t.q.note(t.q.sentence(err))
	}
	t.buf = t.keep(t.buf[:0], t.q.notes)
	for _, a := range t.added {
		t.buf = t.figure(append(t.buf, t.in.sep), a)
	}
	if t.note < 0 {
		t.buf = append(t.buf, t.in.sep)
		if len(t.q.notes) > 0 {
			t.buf = appendCell(t.buf, strings.Join(t.q.notes, "; "), t.in.sep)
		}
	}
	return t.write()
}

func (t *table) answer() error {
	if over := t.overhang(); over != "" {
		return fmt.Errorf("%d cells for %d columns (%s too many); a decimal comma must stand in quotes, or the columns be parted by semicolons",
			len(t.in.cells), len(t.columns), over)
	}
	for i := range t.columns {
		if t.columns[i] < 0 {
			continue
		}
		var typed []byte
		if i < len(t.in.cells) {
			typed = t.in.content(i)
		}
		if err := t.q.set(t.columns[i], typed, t.style); err != nil {
			return err
		}
	}
	return t.q.reckon()
}

// overhang is what stands in cells beyond the last column.
func (t *table) overhang() string {
	var over []string
	for i := len(t.columns); i < len(t.in.cells); i++ {
		if c := t.in.content(i); len(bytes.TrimSpace(c)) > 0 {
			over = append(over, quoted(string(c)))
		}
	}
	return strings.Join(over, ", ")
}

// keep writes the row's own cells, as many as there are columns, with notes in the
// note column if the table had one.
func (t *table) keep(row []byte, notes []string) []byte {
	for i := range t.columns {
		if i > 0 {
			row = append(row, t.in.sep)
		}
		switch {
		case i == t.note && len(notes) > 0:
			row = t.addNotes(row, i, notes)
		case i < len(t.in.cells):
			row = append(row, t.in.raw(i)...)
		}
	}
	return row
}

func (t *table) addNotes(row []byte, i int, notes []string) []byte {
	all := strings.Join(notes, "; ")
	if i < len(t.in.cells) {
		if had := strings.TrimSpace(string(t.in.content(i))); had != "" {
			all = had + "; " + all
		}
	}
	return appendCell(row, all, t.in.sep)
}

// figure writes one answer to full double precision.
func (t *table) figure(row []byte, a int) []byte {
	v := &t.q.out[a]
	switch kind := t.q.subject.Answers[a].Kind; {
	case !v.given:
		return row
	case kind != Number && kind != Count:
		return appendCell(row, v.word, t.in.sep)
	}
	from := len(row)
	row = strconv.AppendFloat(row, v.number, 'g', -1, 64)
	if t.style == quantity.DecimalComma {
		if k := bytes.IndexByte(row[from:], '.'); k >= 0 {
			row[from+k] = ','
		}
	}
	return row
}

func (t *table) write() error {
	t.buf = append(t.buf, t.end...)
	_, err := t.out.Write(t.buf)
	return err
}

// report tells on standard error what came of the table, so that a misspelt column
// is seen.
func (t Tally) report(w io.Writer) error {
	s := fmt.Sprintf("%d rows, %d without an answer", t.Rows, t.Unanswered)
	if t.Unanswered > 0 {
		s += " (their note says why)"
	}
	s += "; read: " + strings.Join(t.Read, ", ")
	if len(t.Carried) > 0 {
		s += "; carried along unread: " + strings.Join(t.Carried, ", ")
	}
	_, err := fmt.Fprintln(w, s)
	return err
}
