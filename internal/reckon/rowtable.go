package reckon

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
)

// A rowTable is an answer of many rows. A figure that is not known is NaN.
type rowTable struct {
	columns []rowColumn
	rows    [][]float64
	words   []string // that figures of word columns are places in
}

// A rowColumn is one figure of each row. People are shown the main ones only, JSON and
// CSV have all.
type rowColumn struct {
	name     string
	decimals int // or aWord
	main     bool
}

// aWord stands for the decimals of a column of words.
const aWord = -2

// cell prints a figure, or the word that it is the place of.
func (t *rowTable) cell(column int, x float64, decimals int) string {
	if t.columns[column].decimals == aWord && !math.IsNaN(x) {
		return t.words[int(x)]
	}
	return rounded(x, decimals)
}

// word keeps a word and gives its place.
func (t *rowTable) word(w string) float64 {
	t.words = append(t.words, w)
	return float64(len(t.words) - 1)
}

// file is an input that is read from a file.
func file(name, help string) Input { return Input{Name: name, Kind: File, Help: help} }

// rowsOfTable is an answer of many rows.
func rowsOfTable(name, help string) Answer { return Answer{Name: name, Kind: Rows, Help: help} }

// rows finds a subject's answer of many rows, or −1.
func (s *Subject) rows() int {
	for i, a := range s.Answers {
		if a.Kind == Rows {
			return i
		}
	}
	return -1
}

// objects gives each row as JSON.
func (t *rowTable) objects() []object {
	all := []object{}
	for _, r := range t.rows {
		o := make(object, len(r))
		for i, x := range r {
			o[i] = member{t.columns[i].name, nil} // not known
			if t.columns[i].decimals == aWord && !math.IsNaN(x) {
				o[i].value = t.words[int(x)]
			} else if !math.IsNaN(x) {
				o[i].value = x
			}
		}
		all = append(all, o)
	}
	return all
}

// writeCSV prints every row to full precision.
func (t *rowTable) writeCSV(out io.Writer) error {
	w := bufio.NewWriter(out)
	for i, c := range t.columns {
		if i > 0 {
			w.WriteByte(',')
		}
		w.WriteString(c.name)
	}
	var cell []byte
	for _, r := range t.rows {
		w.WriteByte('\n')
		for i, x := range r {
			if i > 0 {
				w.WriteByte(',')
			}
			if math.IsNaN(x) {
				continue // not known: an empty cell
			}
			if t.columns[i].decimals == aWord {
				cell = appendCell(cell[:0], t.words[int(x)], ',')
			} else {
				cell = strconv.AppendFloat(cell[:0], x, 'g', -1, 64)
			}
			w.Write(cell)
		}
	}
	w.WriteByte('\n')
	return w.Flush()
}

// writeText prints the main columns for people.
func (t *rowTable) writeText(out io.Writer) error {
	var b strings.Builder
	tw := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, c := range t.columns {
		if c.main {
			fmt.Fprintf(tw, "%s\t", c.name)
		}
	}
	for _, r := range t.rows {
		fmt.Fprintln(tw)
		for i, c := range t.columns {
			if c.main {
				fmt.Fprintf(tw, "%s\t", t.cell(i, r[i], c.decimals))
			}
		}
	}
	fmt.Fprintln(tw)
	if err := tw.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		if _, err := fmt.Fprintln(out, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
}

// asShort are the decimals of hours: as many as they have.
const asShort = -1

func rounded(x float64, decimals int) string {
	if math.IsNaN(x) {
		return "–"
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}
