package cli

import (
	"cmp"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/words"
)

// wide is how many columns of letters a table takes at the most, where it can: what a
// terminal shows side by side with something else.
const wide = 100

// spare are the columns of a table that is too wide that a terminal can do without,
// the first to go first. JSON and the pages have them all.
var spare = map[string][]string{
	"contents": {"since", "known", "filled", "vessel"},
	"lots":     {"wet_out_g", "removed_g", "country"},
	"runs":     {"lost_g"},
}

// A column is one column of a grid: its heading, its cells, and how it may be set.
type column struct {
	key   string
	head  string
	cells []string
	right bool // figures stand to the right
	whole bool // figures and times are not broken
	width int
}

// grid prints a table with its columns in line: figures to the right, words to the
// left, the long ones last. A column in which nothing stands is left out. Where the
// table is too wide, spare columns go and words are broken into lines.
func grid(b *strings.Builder, c *words.Catalogue, t answer.Table) (marked bool) {
	signs := column{key: "mark"}
	var all []column
	for i, col := range t.Columns {
		x := column{key: col.Key, head: answer.Head(c, col)}
		for _, r := range t.Rows {
			x.cells = append(x.cells, cell(c, t, r, i))
			x.right = x.right || isFigure(r.Cells[i])
			x.whole = x.whole || x.right || isTime(r.Cells[i])
		}
		if slices.ContainsFunc(x.cells, func(s string) bool { return s != "-" }) {
			all = append(all, x)
		}
	}
	for _, r := range t.Rows {
		signs.cells = append(signs.cells, strings.TrimSpace(sign(r.Mark)))
		marked = marked || r.Mark == answer.Bad || r.Mark == answer.Care
	}
	slices.SortStableFunc(all, func(x, y column) int { return cmp.Compare(long(x.key), long(y.key)) })
	if marked {
		all = append([]column{signs}, all...)
	}
	all = fit(all, spare[t.Key])
	blocks(b, all)
	return marked
}

// blocks writes the headings, if there are any, and every row.
func blocks(b *strings.Builder, all []column) {
	row := make([]string, len(all))
	for i, x := range all {
		row[i] = x.head
	}
	if strings.Join(row, "") != "" {
		block(b, all, row)
	}
	for r := range all[0].cells {
		for i, x := range all {
			row[i] = x.cells[r]
		}
		block(b, all, row)
	}
}

// long orders columns of free text after the others.
func long(key string) int {
	return slices.Index([]string{"reason", "says"}, key) + 1
}

// fit gives each column its width: that of its longest cell and its heading. Where all
// are too wide together, headings are broken between words, then spare columns go, then
// columns of words are narrowed.
func fit(all []column, spare []string) []column {
	for i := range all {
		all[i].width = max(utf8.RuneCountInString(all[i].head), longest(all[i].cells))
	}
	if total(all) > wide {
		for i := range all {
			all[i].width = max(inTwo(all[i].head), longest(all[i].cells))
		}
	}
	for _, key := range spare {
		if total(all) > wide {
			all = slices.DeleteFunc(all, func(x column) bool { return x.key == key })
		}
	}
	if slices.ContainsFunc(all, func(x column) bool { return x.key == "says" }) {
		return all // it stands last, as it would be typed, however long it is
	}
	for total(all) > wide && narrow(all, total(all)-wide) {
	}
	return all
}

// inTwo is the least width at which a heading takes two lines.
func inTwo(head string) int {
	n := longest(strings.Fields(head))
	for len(wrap(head, n)) > 2 {
		n++
	}
	return n
}

func total(all []column) (sum int) {
	for _, x := range all {
		sum += x.width + 2
	}
	return sum
}

func longest(all []string) (most int) {
	for _, s := range all {
		most = max(most, utf8.RuneCountInString(s))
	}
	return most
}

// narrow makes a column of words narrower, free text first, then the one in which the
// fewest cells break by it, and reports whether there is one.
func narrow(all []column, over int) bool {
	at, least, to := -1, 0, 0
	for i, x := range all {
		width := max(x.broken(), x.width-over)
		if x.whole || width >= x.width {
			continue
		}
		n := -long(x.key)
		for _, s := range x.cells {
			if n >= 0 && utf8.RuneCountInString(s) > width {
				n++
			}
		}
		if at < 0 || n < least {
			at, least, to = i, n, width
		}
	}
	if at >= 0 {
		all[at].width = to
	}
	return at >= 0
}

// broken is the width that a column needs at least: its longest word, and its heading
// in two lines.
func (x *column) broken() int {
	most := inTwo(x.head)
	for _, s := range x.cells {
		most = max(most, longest(strings.Fields(s)))
	}
	return most
}

// block writes one row: cells that are wider than their column go on below.
func block(b *strings.Builder, all []column, cells []string) {
	lines := make([][]string, len(all))
	most := 1
	for i, s := range cells {
		lines[i] = []string{s}
		if utf8.RuneCountInString(s) > all[i].width {
			lines[i] = wrap(s, all[i].width)
		}
		most = max(most, len(lines[i]))
	}
	for n := range most {
		var line strings.Builder
		for i, x := range all {
			s := ""
			if n < len(lines[i]) {
				s = lines[i][n]
			}
			gap := strings.Repeat(" ", max(0, x.width-utf8.RuneCountInString(s)))
			if x.right {
				line.WriteString("  " + gap + s)
			} else {
				line.WriteString("  " + s + gap)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

func isTime(v any) bool {
	switch v.(type) {
	case record.When, record.Day, time.Time:
		return true
	}
	return false
}

// wrap breaks text between words.
func wrap(s string, width int) (lines []string) {
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
