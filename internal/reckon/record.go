package reckon

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// longestRecord bounds a row, so that a quote left open can't swallow the table.
const longestRecord = 64 << 10

// A records reads the rows of a CSV table (RFC 4180) and keeps their bytes as they
// came, so that a row can be passed on with its own quotes. It uses one buffer
// again and again.
type records struct {
	in    *bufio.Reader
	sep   byte
	line  int // of the row's end in the file
	row   []byte
	cells []cell
	torn  bool // a quoted cell goes on behind its closing quote
}

func newReader(in io.Reader) *bufio.Reader { return bufio.NewReaderSize(in, 64<<10) }

// A cell is row[from:to], quotes included.
type cell struct{ from, to int }

// next reads one row; at the end it returns io.EOF.
func (r *records) next() error {
	r.row = r.row[:0]
	first := r.line + 1
	for {
		part, err := r.in.ReadSlice('\n')
		r.row = append(r.row, part...)
		if len(r.row) > longestRecord {
			return &UsageError{fmt.Sprintf("line %d: the row has more than %d bytes; is a quote left open?", r.line+1, longestRecord)}
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err == io.EOF && len(r.row) == 0:
			return io.EOF
		case err != nil && err != io.EOF:
			return err
		}
		r.line++
		if r.split() {
			return r.check(first)
		}
		if err == io.EOF {
			return &UsageError{fmt.Sprintf("line %d: the table ends inside a quoted cell", r.line)}
		}
	}
}

// check refuses a row of several lines in which a quote closes in the middle of a
// cell: quotes were forgotten, and rows ran together.
func (r *records) check(first int) error {
	if r.line == first || !r.torn {
		return nil
	}
	return &UsageError{fmt.Sprintf("lines %d to %d: a quote closes in the middle of a cell; is one left open?", first, r.line)}
}

// split finds the cells; false if a quoted cell goes on in the next line.
func (r *records) split() bool {
	row := bytes.TrimSuffix(bytes.TrimSuffix(r.row, []byte("\n")), []byte("\r"))
	r.cells, r.torn = r.cells[:0], false
	for from := 0; ; {
		after, closed := quoteEnd(row, from)
		if !closed {
			return false
		}
		to := cellEnd(row, after, r.sep)
		r.torn = r.torn || after > from && len(bytes.TrimSpace(row[after:to])) > 0
		r.cells = append(r.cells, cell{from, to})
		if to == len(row) {
			return true
		}
		from = to + 1
	}
}

// quoteEnd finds where the quoted part ends with which a cell may begin; a doubled
// quote is one of its characters.
func quoteEnd(row []byte, from int) (to int, closed bool) {
	if from == len(row) || row[from] != '"' {
		return from, true
	}
	for from++; ; from++ {
		k := bytes.IndexByte(row[from:], '"')
		if k < 0 {
			return 0, false
		}
		from += k + 1
		if from == len(row) || row[from] != '"' {
			return from, true
		}
	}
}

// cellEnd finds the next separator, or the row's end.
func cellEnd(row []byte, from int, sep byte) int {
	for from < len(row) && row[from] != sep {
		from++
	}
	return from
}

// raw is a cell as it came.
func (r *records) raw(i int) []byte { return r.row[r.cells[i].from:r.cells[i].to] }

// content is a cell without its quotes.
func (r *records) content(i int) []byte {
	b := r.raw(i)
	if len(b) < 2 || b[0] != '"' || b[len(b)-1] != '"' {
		return b
	}
	b = b[1 : len(b)-1]
	if bytes.IndexByte(b, '"') < 0 {
		return b
	}
	return bytes.ReplaceAll(b, []byte(`""`), []byte(`"`))
}

// blank reports a row without any character.
func (r *records) blank() bool { return len(r.cells) == 1 && r.cells[0].from == r.cells[0].to }

// appendCell adds text to a row, quoted where it must be. Line ends become spaces,
// so that a row of answers is always one line.
func appendCell(row []byte, text string, sep byte) []byte {
	plain := true
	for i := range len(text) {
		if c := text[i]; c == sep || c == '"' || c == '\n' || c == '\r' {
			plain = false
			break
		}
	}
	if plain {
		return append(row, text...)
	}
	row = append(row, '"')
	for i := range len(text) {
		switch c := text[i]; c {
		case '"':
			row = append(row, `""`...)
		case '\n', '\r':
			row = append(row, ' ')
		default:
			row = append(row, c)
		}
	}
	return append(row, '"')
}
