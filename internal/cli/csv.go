package cli

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"combline/internal/office"
	"combline/internal/record"
)

// mostTyped is the largest table that is brought in, in bytes: larger is not a table
// of a honey house.
const mostTyped = 64 << 20

// contents reads a file, or standard input for "-".
func (a *app) contents(file string) ([]byte, error) {
	in := a.In
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	b, err := io.ReadAll(io.LimitReader(in, mostTyped+1))
	if err == nil && len(b) > mostTyped {
		err = usage("too-large", "file", file, "mb", int64(mostTyped>>20))
	}
	return b, err
}

// A badCell is what is wrong in a table before any fact is made of it.
type badCell struct {
	line   int
	column string
	key    string // of package words
	args   map[string]any
}

// table reads rows of named cells from CSV: columns parted by comma, semicolon or tab,
// lines ended any way, with or without a byte order mark. Empty rows are passed over.
func table(content []byte) (header []string, rows []office.TableRow, bad []badCell) {
	content = bytes.TrimPrefix(content, []byte("\ufeff"))
	content = bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))
	content = bytes.ReplaceAll(content, []byte("\r"), []byte("\n"))
	if line := badLine(content); line > 0 {
		return nil, nil, []badCell{{line: line, key: "cli.csv.utf8"}}
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
			return nil, nil, []badCell{{line: wrong.Line, key: "cli.csv.quote"}}
		}
		line, _ := r.FieldPos(0)
		switch {
		case blank(cells):
		case header == nil:
			header = cells
			bad = append(bad, twice(line, header)...)
		default:
			row, wrong := namedRow(header, cells, line)
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

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(s string) bool { return strings.TrimSpace(s) != "" })
}

func twice(line int, header []string) (bad []badCell) {
	seen := map[string]bool{}
	for i, name := range header {
		name = strings.ToLower(strings.TrimSpace(name))
		if seen[name] && name != "" {
			bad = append(bad, badCell{line: line, column: name, key: "cli.csv.twice"})
		}
		header[i], seen[name] = name, true
	}
	return bad
}

func namedRow(header, cells []string, line int) (row office.TableRow, bad []badCell) {
	row = office.TableRow{Line: line, Cells: map[string]string{}}
	for i, s := range cells {
		switch {
		case i < len(header) && header[i] != "":
			row.Cells[header[i]] = s
		case strings.TrimSpace(s) != "":
			bad = append(bad, badCell{line: line, key: "cli.csv.no-name", args: map[string]any{"typed": s, "at": i + 1}})
		}
	}
	return row, bad
}

var memberNumber = regexp.MustCompile(`\.\d+\.`)

// notColumns lists the names of a header that a kind does not have.
func notColumns(kind record.Kind, header []string) (bad []badCell) {
	var have []string
	for _, f := range record.Schema(kind) {
		have = append(have, f.Name)
		if f.Type == record.TypeWeight {
			have = append(have, f.Name+"_known")
		}
	}
	for _, name := range header {
		plain := memberNumber.ReplaceAllString(name, ".")
		if name != "" && !slices.Contains(have, plain) && !slices.Contains(stampColumns, name) {
			bad = append(bad, badCell{line: 1, column: name, key: "cli.csv.not-column", args: map[string]any{"kind": kind.String()}})
		}
	}
	return bad
}
