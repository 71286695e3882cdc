package cli

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/words"
)

// show prints an answer, as text or as JSON. One that can't be given is an error
// once it is printed.
func (a *app) show(x answer.Answer) error {
	err := a.print(x)
	if err == nil && x.Cannot != nil {
		err = &told{&refused{x.Cannot.Key}}
	}
	return err
}

func (a *app) print(x answer.Answer) error {
	if a.json {
		b, err := answer.JSON(a.say(), x)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(a.Out, "%s\n", b)
		return err
	}
	_, err := io.WriteString(a.Out, text(a.say(), x))
	return err
}

// printJSON prints what is not an answer of the house.
func (a *app) printJSON(v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(a.Out, "%s\n", b)
	return err
}

// text is an answer for a terminal: its sentences, its tables, then what to do next.
func text(c *words.Catalogue, x answer.Answer) string {
	var b strings.Builder
	if x.Cannot != nil {
		b.WriteString(answer.Sentence(c, *x.Cannot) + "\n")
	}
	sentences(&b, c, x.Lines)
	marked := false
	for _, t := range x.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		b.WriteString("\n" + c.Say("table."+t.Key) + "\n")
		marked = grid(&b, c, t) || marked
	}
	if len(x.Next) > 0 {
		b.WriteString("\n" + c.Say("cli.next") + "\n")
		sentences(&b, c, once(c, x.Next))
	}
	if marked {
		b.WriteString("\n" + c.Say("cli.signs") + "\n")
	}
	if len(x.Rests)+len(x.Sources) > 0 {
		b.WriteString("\n")
		sentences(&b, c, x.Rests)
		sentences(&b, c, x.Sources)
	}
	return b.String()
}

// once leaves out a step that was named before.
func once(c *words.Catalogue, all []answer.Line) (out []answer.Line) {
	seen := map[string]bool{}
	for _, l := range all {
		if s := answer.Sentence(c, l); !seen[s] {
			seen[s] = true
			out = append(out, l)
		}
	}
	return out
}

func sentences(b *strings.Builder, c *words.Catalogue, lines []answer.Line) {
	for _, l := range lines {
		b.WriteString(sign(l.Mark) + answer.Sentence(c, l) + "\n")
	}
}

// sign is how a mark is seen without colour.
func sign(m answer.Mark) string {
	switch m {
	case answer.Bad:
		return "!! "
	case answer.Care:
		return "! "
	}
	return ""
}

// grid prints a table with its columns in line: figures to the right, words to the
// left, the long ones last.
func grid(b *strings.Builder, c *words.Catalogue, t answer.Table) (marked bool) {
	t = longLast(t)
	rows := [][]string{{""}}
	for _, col := range t.Columns {
		rows[0] = append(rows[0], answer.Head(c, col))
	}
	right := make([]bool, len(rows[0]))
	for _, r := range t.Rows {
		marked = marked || sign(r.Mark) != ""
		row := []string{sign(r.Mark)}
		for i, v := range r.Cells {
			row = append(row, cell(c, t.Key, t.Columns[i].Key, v))
			right[i+1] = right[i+1] || isFigure(v)
		}
		rows = append(rows, row)
	}
	align(b, rows, right)
	return marked
}

// longLast puts the columns of free text after the others.
func longLast(t answer.Table) answer.Table {
	order := make([]int, len(t.Columns))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(length(t.Columns[i]), length(t.Columns[j])) })
	out := answer.Table{Key: t.Key}
	for _, i := range order {
		out.Columns = append(out.Columns, t.Columns[i])
	}
	for _, r := range t.Rows {
		row := answer.Row{Mark: r.Mark}
		for _, i := range order {
			row.Cells = append(row.Cells, r.Cells[i])
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func length(c answer.Column) int {
	if c.Key == "says" || c.Key == "reason" {
		return 1
	}
	return 0
}

// align writes rows with their columns in line, two spaces apart.
func align(b *strings.Builder, rows [][]string, right []bool) {
	widths := make([]int, len(right))
	for _, r := range rows {
		for i, s := range r {
			widths[i] = max(widths[i], utf8.RuneCountInString(s))
		}
	}
	for _, r := range rows {
		var line strings.Builder
		for i, s := range r {
			gap := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(s))
			if right[i] {
				s = gap + s
			} else {
				s += gap
			}
			if i > 0 || widths[0] > 0 {
				s += "  "
			}
			line.WriteString(s)
		}
		b.WriteString(strings.TrimRight("  "+line.String(), " ") + "\n")
	}
}

// cell prints one cell. Where a figure or a place is missing it is not known; where
// a name is missing there is none.
func cell(c *words.Catalogue, table, column string, v any) string {
	if v == nil && !measured(table, column) {
		return "-"
	}
	if raw, ok := v.(json.RawMessage); ok {
		return says(raw)
	}
	if n, ok := v.(int64); ok && slices.Contains([]string{"fact", "corrected_by"}, column) {
		return strconv.FormatInt(n, 10) // a name: it is typed as it stands
	}
	return strings.ReplaceAll(answer.Text(c, v), "\n", " ")
}

// measured reports whether a column holds what somebody measured or saw: then a cell
// without it is unknown. Boxes that went to a site stand in no place of the house, and
// material is counted or weighed.
func measured(table, column string) bool {
	if table == "box-moves" || table == "materials" {
		return false
	}
	return column == "place" ||
		slices.ContainsFunc([]string{"_g", "_pct", "_c", "_per_g"}, func(unit string) bool { return strings.HasSuffix(column, unit) })
}

func isFigure(v any) bool {
	switch v.(type) {
	case int64, quantity.Gram, quantity.Milligram, quantity.Percent, quantity.Figure, quantity.Uncertain:
		return true
	}
	return false
}
