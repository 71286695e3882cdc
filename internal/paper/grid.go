package paper

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/quantity"
)

// A grid is a table as it is drawn: its cells in words, without the columns in which
// nothing stands.
type grid struct {
	title string
	head  []string
	right []bool // figures stand to the right
	cells [][]string
}

// grids are the tables that have rows.
func (p *reportPage) grids(tables []answer.Table) (all []grid) {
	for _, t := range tables {
		if len(t.Rows) > 0 {
			all = append(all, p.grid(t))
		}
	}
	return all
}

func (p *reportPage) grid(t answer.Table) grid {
	g := grid{title: answer.Title(p.words, t), cells: make([][]string, len(t.Rows))}
	for j, col := range t.Columns {
		if !slices.ContainsFunc(t.Rows, func(r answer.Row) bool { return !answer.Nothing(t, r, j) }) {
			continue
		}
		right := false
		for i, r := range t.Rows {
			text := "–"
			if !answer.Nothing(t, r, j) {
				text = answer.Text(p.words, r.Cells[j])
			}
			g.cells[i] = append(g.cells[i], text)
			right = right || figure(r.Cells[j])
		}
		g.head, g.right = append(g.head, answer.Head(p.words, col)), append(g.right, right)
	}
	for i, r := range t.Rows {
		if len(g.cells[i]) > 0 {
			g.cells[i][0] = sign(r.Mark) + g.cells[i][0]
		}
	}
	return g
}

func figure(v any) bool {
	switch v.(type) {
	case int64, quantity.Gram, quantity.Milligram, quantity.Percent, quantity.Figure, quantity.Uncertain:
		return true
	}
	return false
}

const gap = 2.5 // mm between columns

// tooWide reports whether a table does not fit on the sheet unless words are broken.
func (p *reportPage) tooWide(all []grid) bool {
	for _, g := range all {
		sum := gap * float64(len(g.head)-1)
		for _, w := range p.natural(g) {
			sum += w
		}
		if sum > p.inner() {
			return true
		}
	}
	return false
}

// natural is the width that each column's texts need.
func (p *reportPage) natural(g grid) []float64 {
	want := make([]float64, len(g.head))
	for j, h := range g.head {
		want[j] = p.wide(true, body*0.9, h)
	}
	for _, r := range g.cells {
		for j, c := range r {
			want[j] = max(want[j], p.wide(false, body, c))
		}
	}
	return want
}

// columns gives each column the width that its texts need; when all don't fit, the wide
// ones give way.
func (p *reportPage) columns(g grid) []float64 {
	want := p.natural(g)
	room := p.inner() - gap*float64(len(want)-1)
	for {
		var sum, most float64
		for _, w := range want {
			sum, most = sum+w, max(most, w)
		}
		if sum <= room || most <= 8 {
			return want
		}
		for j := range want {
			if want[j] > most*0.95 {
				want[j] *= 0.95
			}
		}
	}
}

// table prints a table with its head on every page. A row is never parted unless it is
// longer than a page.
func (p *reportPage) table(g grid) {
	p.y += 3
	p.need(heading*row + 3*body*row)
	p.paragraph(true, heading, g.title)
	wide := p.columns(g)
	p.row(g.head, wide, g, true)
	for i, r := range g.cells {
		if high := p.rowHigh(r, wide); p.y+high > p.bottom() && i > 0 {
			p.next()
			p.row(g.head, wide, g, true)
		}
		p.row(r, wide, g, false)
	}
}

// bottom is where the foot begins.
func (p *reportPage) bottom() float64 { return p.size.High - margin - footHigh }

func (p *reportPage) rowHigh(cells []string, wide []float64) float64 {
	n := 1
	for j, c := range cells {
		n = max(n, len(p.lines(false, body, wide[j], c)))
	}
	return float64(n)*body*row + 0.8
}

func (p *reportPage) row(cells []string, wide []float64, g grid, head bool) {
	size := body
	if head {
		size = body * 0.9
	}
	parts, most := make([][]string, len(cells)), 1
	for j, c := range cells {
		parts[j] = p.lines(head, size, wide[j], c)
		most = max(most, len(parts[j]))
	}
	for from := 0; from < most; { // on as many pages as it takes
		n := min(most-from, max(1, int((p.bottom()-p.y-0.8)/(body*row))))
		p.slice(parts, from, n, wide, g, head, size)
		if from += n; from < most {
			p.next()
		}
	}
	p.SetDrawColor(190, 190, 190)
	p.SetLineWidth(0.15)
	if head {
		p.SetDrawColor(0, 0, 0)
		p.SetLineWidth(0.3)
	}
	p.Line(margin, p.y+0.4, p.size.Wide-margin, p.y+0.4)
}

// slice draws n lines of a row from one on.
func (p *reportPage) slice(parts [][]string, from, n int, wide []float64, g grid, head bool, size float64) {
	x := margin
	for j, all := range parts {
		for i := from; i < min(from+n, len(all)); i++ {
			at := x
			if g.right[j] {
				at = x + wide[j] - p.wide(head, size, all[i])
			}
			p.text(at, p.y+float64(i-from+1)*body*row, head, size, all[i])
		}
		x += wide[j] + gap
	}
	p.y += float64(n)*body*row + 0.8
}
