package paper

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"

	"github.com/xuri/excelize/v2"
)

// mostRows is what a sheet of a spreadsheet holds.
const mostRows = 1_048_576

// Workbook writes an answer's tables as a spreadsheet (Office Open XML), one sheet
// each: masses as numbers in kilograms, counts, days and times as such, figures of one
// unit as numbers with the unit in the head, everything else as text. No cell is ever a formula.
func Workbook(c *words.Catalogue, a answer.Answer) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	w := &workbook{File: f, words: c}
	for name, code := range map[*int]string{&w.day: "yyyy-mm-dd", &w.moment: "yyyy-mm-dd hh:mm", &w.kg: "0.000"} {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
		if err != nil {
			return nil, err
		}
		*name = style
	}
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, err
	}
	var names []string
	for _, t := range a.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		if len(t.Rows) >= mostRows {
			return nil, fmt.Errorf("%s has %d rows; a sheet holds %d: take a shorter time", answer.Title(c, t), len(t.Rows), mostRows-1)
		}
		name := sheetName(answer.Title(c, t), names)
		names = append(names, name)
		if _, err := f.NewSheet(name); err != nil {
			return nil, err
		}
		if err := w.table(name, bold, t); err != nil {
			return nil, err
		}
	}
	if len(names) > 0 { // a workbook needs one sheet, so the empty one goes last
		if err := f.DeleteSheet("Sheet1"); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// sheetName is a name that a spreadsheet takes: 31 characters, none of []:*?/\, no two alike.
func sheetName(s string, taken []string) string {
	s = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\'`, r) {
			return ' '
		}
		return r
	}, s)
	cut := func(s string, n int) string {
		for utf8.RuneCountInString(s) > n {
			_, size := utf8.DecodeLastRuneInString(s)
			s = s[:len(s)-size]
		}
		return strings.TrimSpace(s)
	}
	name := cut(s, 31)
	for n := 2; slices.ContainsFunc(taken, func(t string) bool { return strings.EqualFold(t, name) }); n++ {
		name = cut(s, 27) + fmt.Sprintf(" %d", n)
	}
	return name
}

type workbook struct {
	*excelize.File
	words           *words.Catalogue
	day, moment, kg int
}

func (w *workbook) table(sheet string, bold int, t answer.Table) error {
	s, err := w.NewStreamWriter(sheet)
	if err != nil {
		return err
	}
	head, units := make([]any, len(t.Columns)), make([]quantity.Unit, len(t.Columns))
	for j, col := range t.Columns {
		text := answer.Head(w.words, col)
		units[j] = oneUnit(t, j)
		if strings.HasSuffix(col.Key, "_g") {
			text += " (kg)"
		} else if sign := w.words.Unit(units[j]); sign != "" {
			text += " (" + sign + ")"
		}
		head[j] = excelize.Cell{StyleID: bold, Value: text}
		if err := s.SetColWidth(j+1, j+1, 18); err != nil {
			return err
		}
	}
	if err := s.SetRow("A1", head); err != nil {
		return err
	}
	for i, r := range t.Rows {
		cells := make([]any, len(r.Cells))
		for j, c := range r.Cells {
			if f, ok := c.(quantity.Figure); ok && units[j] != quantity.NoUnit && f.Given() {
				c = f.Float()
			}
			cells[j] = w.cell(c)
		}
		at, err := excelize.CoordinatesToCellName(1, i+2)
		if err != nil {
			return err
		}
		if err := s.SetRow(at, cells); err != nil {
			return err
		}
	}
	return s.Flush()
}

// oneUnit is the unit that all figures of a column share, so that it stands in the head
// and the figures are numbers; NoUnit where they differ or there are none.
func oneUnit(t answer.Table, column int) quantity.Unit {
	unit := quantity.NoUnit
	for _, r := range t.Rows {
		f, ok := r.Cells[column].(quantity.Figure)
		switch {
		case !ok || !f.Given():
		case unit != quantity.NoUnit && unit != f.Unit:
			return quantity.NoUnit
		default:
			unit = f.Unit
		}
	}
	return unit
}

func (w *workbook) cell(v any) any {
	switch v := v.(type) {
	case nil:
		return nil
	case int64, float64, bool:
		return v
	case quantity.Gram:
		return excelize.Cell{StyleID: w.kg, Value: float64(v) / 1000}
	case answer.Known:
		return excelize.Cell{StyleID: w.kg, Value: float64(v.Mass) / 1000}
	case record.Day:
		return excelize.Cell{StyleID: w.day, Value: v.Time()}
	case record.When:
		t := v.Time()
		_, offset := t.Zone()
		return excelize.Cell{StyleID: w.moment, Value: t.UTC().Add(time.Duration(offset) * time.Second)} // the wall clock there
	}
	return clipped(answer.Text(w.words, v))
}

// clipped keeps a text within what one cell of a spreadsheet holds.
func clipped(s string) string {
	const most = 32_767
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-1]) + "…"
}

// Table writes one table as CSV (RFC 4180) with its column keys as the head: masses in
// whole grams, times as ISO 8601, unknown as nothing. A text that a spreadsheet would
// take for a formula gets an apostrophe before it.
func Table(c *words.Catalogue, t answer.Table) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	head := make([]string, len(t.Columns))
	for j, col := range t.Columns {
		head[j] = col.Plain()
	}
	if err := w.Write(head); err != nil {
		return nil, err
	}
	for _, r := range t.Rows {
		row := make([]string, len(r.Cells))
		for j, v := range r.Cells {
			row[j] = plainCell(c, v)
		}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func plainCell(c *words.Catalogue, v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case int64:
		return fmt.Sprint(v)
	case quantity.Gram:
		return fmt.Sprint(int64(v))
	case quantity.Milligram:
		return fmt.Sprint(int64(v))
	case answer.Known:
		return fmt.Sprint(int64(v.Mass))
	case record.Day:
		return v.String()
	case record.When:
		return v.Time().Format("2006-01-02T15:04Z07:00")
	case quantity.Figure:
		return v.String()
	}
	s := answer.Text(c, v)
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
