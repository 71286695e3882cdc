package office

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"combline/internal/record"
)

// A TableError is what is wrong in a table before any fact is made of it.
type TableError struct {
	Line   int
	Column string
	Key    string // of package words
	Args   map[string]any
}

// ReadTable reads rows of named cells from CSV: columns parted by comma, semicolon or tab,
// lines ended any way, with or without a byte order mark. Empty rows are passed over.
func ReadTable(content []byte) (header []string, rows []TableRow, bad []TableError) {
	content = bytes.TrimPrefix(content, []byte("\ufeff"))
	content = bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))
	content = bytes.ReplaceAll(content, []byte("\r"), []byte("\n"))
	if line := badLine(content); line > 0 {
		return nil, nil, []TableError{{Line: line, Key: "cli.csv.utf8"}}
	}
	r := csv.NewReader(bytes.NewReader(content))
	r.FieldsPerRecord, r.Comma, r.TrimLeadingSpace = -1, separator(content), true
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return header, rows, bad
		}
		var wrong *csv.ParseError
		if errors.As(err, &wrong) {
			return nil, nil, []TableError{{Line: wrong.Line, Key: "cli.csv.quote"}}
		}
		line, _ := r.FieldPos(0)
		switch {
		case blankRow(cells):
		case header == nil:
			header = cells
			bad = append(bad, namedTwice(line, header)...)
		default:
			row, wrong := namedCells(header, cells, line)
			rows, bad = append(rows, row), append(bad, wrong...)
		}
	}
}

// badLine is the first line that is no text in UTF-8, 0 when there is none. Text of two
// bytes a letter has zeros where it could pass.
func badLine(content []byte) int {
	for i, line := range bytes.Split(content, []byte("\n")) {
		if !utf8.Valid(line) || bytes.IndexByte(line, 0) >= 0 {
			return i + 1
		}
	}
	return 0
}

// separator is the sign that parts the names in the first line.
func separator(content []byte) rune {
	first, _, _ := strings.Cut(strings.TrimLeft(string(content), "\n"), "\n")
	best, most := ',', 0
	for _, sign := range []rune{',', ';', '\t'} {
		if n := strings.Count(first, string(sign)); n > most {
			best, most = sign, n
		}
	}
	return best
}

func blankRow(cells []string) bool {
	return !slices.ContainsFunc(cells, func(s string) bool { return strings.TrimSpace(s) != "" })
}

func namedTwice(line int, header []string) (bad []TableError) {
	seen := map[string]bool{}
	for i, name := range header {
		name = strings.ToLower(strings.TrimSpace(name))
		if seen[name] && name != "" {
			bad = append(bad, TableError{Line: line, Column: name, Key: "cli.csv.twice"})
		}
		header[i], seen[name] = name, true
	}
	return bad
}

func namedCells(header, cells []string, line int) (row TableRow, bad []TableError) {
	row = TableRow{Line: line, Cells: map[string]string{}}
	for i, s := range cells {
		switch {
		case i < len(header) && header[i] != "":
			row.Cells[header[i]] = s
		case strings.TrimSpace(s) != "":
			bad = append(bad, TableError{Line: line, Key: "cli.csv.no-name", Args: map[string]any{"typed": s, "at": i + 1}})
		}
	}
	return row, bad
}

var memberNumber = regexp.MustCompile(`\.\d+\.`)

// NotColumns lists the names of a header that a kind does not have.
func NotColumns(kind record.Kind, header []string) (bad []TableError) {
	var have []string
	for _, f := range record.Schema(kind) {
		have = append(have, f.Name)
		if f.Type == record.TypeWeight {
			have = append(have, f.Name+"_known")
		}
	}
	for _, name := range header {
		plain := memberNumber.ReplaceAllString(name, ".")
		if name != "" && !slices.Contains(have, plain) && !slices.Contains(StampColumns, name) {
			bad = append(bad, TableError{Line: 1, Column: name, Key: "cli.csv.not-column", Args: map[string]any{"kind": kind.String()}})
		}
	}
	return bad
}

// StampColumns may stand in every table: when a row happened and who wrote it.
var StampColumns = []string{"happened", "person"}

// StampRows takes out of the rows when each happened and who wrote it, unless the kind
// has fields of these names. when reads a time.
func StampRows(kind record.Kind, rows []TableRow, when func(string) (record.When, error)) (bad []TableError) {
	own := map[string]bool{}
	for _, f := range record.Schema(kind) {
		own[f.Name] = true
	}
	for i := range rows {
		r := &rows[i]
		if text := takeCell(r.Cells, "happened", own); text != "" {
			at, err := when(text)
			if err != nil {
				bad = append(bad, TableError{Line: r.Line, Column: "happened", Key: "cli.csv.time", Args: map[string]any{"typed": text}})
			}
			r.When = at
		}
		r.Person = record.Code(takeCell(r.Cells, "person", own))
	}
	return bad
}

func takeCell(cells map[string]string, name string, own map[string]bool) string {
	if own[name] {
		return ""
	}
	text := strings.TrimSpace(cells[name])
	delete(cells, name)
	return text
}

// TableKey follows from a table's content, so that bringing the same table in twice
// makes it once, however its lines end.
func TableKey(kind record.Kind, content []byte) record.Key {
	content = bytes.TrimRight(bytes.ReplaceAll(bytes.TrimPrefix(content, []byte("\ufeff")), []byte("\r\n"), []byte("\n")), "\n")
	sum := sha256.Sum256(append([]byte("bring in "+kind.String()+"\n"), content...))
	return record.Key(sum[:16])
}
