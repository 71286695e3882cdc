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
}

func newReader(in io.Reader) *bufio.Reader { return bufio.NewReaderSize(in, 64<<10) }

// A cell is row[from:to], quotes included.
type cell struct{ from, to int }

// next reads one row; at the end it returns io.EOF.
func (r *records) next() error {
	r.row = r.row[:0]
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
			return nil
		}
		if err == io.EOF {
			return &UsageError{fmt.Sprintf("line %d: the table ends inside a quoted cell", r.line)}
		}
	}
}

// split finds the cells; false if a quoted cell goes on in the next line.
func (r *records) split() bool {
	row := bytes.TrimSuffix(bytes.TrimSuffix(r.row, []byte("\n")), []byte("\r"))
	r.cells = r.cells[:0]
	for from := 0; ; {
		to, closed := cellEnd(row, from, r.sep)
		if !closed {
			return false
		}
		r.cells = append(r.cells, cell{from, to})
		if to == len(row) {
			return true
		}
		from = to + 1
	}
}

// cellEnd finds the end of the cell that starts at from. A cell that begins with a
// quote ends at the next separator after its closing quote; a doubled quote is one
// of its characters.
func cellEnd(row []byte, from int, sep byte) (to int, closed bool) {
	if from < len(row) && row[from] == '"' {
		for from++; ; from++ {
			k := bytes.IndexByte(row[from:], '"')
			if k < 0 {
				return 0, false
			}
			from += k + 1
			if from == len(row) || row[from] != '"' {
				break
			}
		}
	}
	for from < len(row) && row[from] != sep {
		from++
	}
	return from, true
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
