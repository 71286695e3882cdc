package paper

import (
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/words"
)

// A Report is an answer on paper.
type Report struct {
	House  string // whose it is
	Title  string
	Answer answer.Answer
	Made   time.Time // when it was asked, in the house's time
	Facts  int64     // how many entries the record had then
}

const (
	margin   = 14.0 // mm
	body     = 3.3  // mm, size of the letters
	heading  = 4.2
	row      = 1.35 // lines to the letters' size
	footHigh = 9.0
)

// Sheets prints an answer on A4: what it says, its tables, what it rests on and its
// sources, with the page, the time and the record's length at the foot. Wide tables
// stand across.
func Sheets(c *words.Catalogue, r Report) ([]byte, error) {
	size := A4
	for _, t := range r.Answer.Tables {
		if len(t.Columns) > 6 {
			size = A4Across
		}
	}
	s, err := newSheet(size, r.Title, r.Made)
	if err != nil {
		return nil, err
	}
	p := &reportPage{sheet: s, words: c, report: r}
	s.AliasNbPages("{pages}")
	p.next()
	p.y += 4
	p.paragraph(true, 6, r.Title)
	if r.House != "" {
		p.paragraph(false, body, r.House)
	}
	p.y += 2
	if r.Answer.Cannot != nil {
		p.line(*r.Answer.Cannot)
	}
	for _, l := range r.Answer.Lines {
		p.line(l)
	}
	for _, t := range r.Answer.Tables {
		if len(t.Rows) > 0 {
			p.table(t)
		}
	}
	for _, part := range []struct {
		key   string
		lines []answer.Line
	}{{"paper.next", r.Answer.Next}, {"paper.rests", r.Answer.Rests}, {"paper.sources", r.Answer.Sources}} {
		if len(part.lines) > 0 {
			p.y += 2
			p.need(heading*row + body*row)
			p.paragraph(true, body, c.Say(part.key))
			for _, l := range part.lines {
				p.line(l)
			}
		}
	}
	return s.bytes()
}

type reportPage struct {
	*sheet
	words  *words.Catalogue
	report Report
	y      float64
}

func (p *reportPage) inner() float64 { return p.size.Wide - 2*margin }

// next begins a page with its foot.
func (p *reportPage) next() {
	p.AddPage()
	p.y = margin
	p.SetTextColor(90, 90, 90)
	foot := p.words.Say("paper.foot", "when", p.words.Moment(p.report.Made, 0), "facts", p.report.Facts)
	at := p.size.High - margin + 4
	p.text(margin, at, false, 2.6, foot)
	page := p.words.Say("paper.page", "n", int64(p.PageNo())) + " / {pages}"
	p.text(p.size.Wide-margin-p.wide(false, 2.6, page)+4, at, false, 2.6, page)
	p.SetTextColor(0, 0, 0)
}

// need begins a page if so much does not fit on this one.
func (p *reportPage) need(high float64) {
	if p.y+high > p.size.High-margin-footHigh {
		p.next()
	}
}

func (p *reportPage) paragraph(bold bool, size float64, text string) {
	for _, l := range p.lines(bold, size, p.inner(), text) {
		p.need(size * row)
		p.y += size * row
		p.text(margin, p.y, bold, size, l)
	}
}

// line prints a sentence with a sign of its mark, which does not rest on colour.
func (p *reportPage) line(l answer.Line) {
	p.paragraph(l.Mark == answer.Bad, body, sign(l.Mark)+answer.Sentence(p.words, l))
}

func sign(m answer.Mark) string {
	switch m {
	case answer.Care:
		return "▲ "
	case answer.Bad:
		return "■ "
	}
	return ""
}

// table prints a table with its head on every page. A row is never parted.
func (p *reportPage) table(t answer.Table) {
	p.y += 3
	p.need(heading*row + 3*body*row)
	p.paragraph(true, heading, p.words.Say("table."+t.Key))
	cells := make([][]string, len(t.Rows))
	for i, r := range t.Rows {
		cells[i] = make([]string, len(t.Columns))
		for j, c := range r.Cells {
			cells[i][j] = answer.Text(p.words, c)
		}
		if len(cells[i]) > 0 {
			cells[i][0] = sign(r.Mark) + cells[i][0]
		}
	}
	head := make([]string, len(t.Columns))
	for j, c := range t.Columns {
		head[j] = answer.Head(p.words, c)
	}
	wide := p.columns(head, cells)
	p.row(head, wide, t, true)
	for i, r := range cells {
		if high := p.rowHigh(r, wide); p.y+high > p.size.High-margin-footHigh && i > 0 {
			p.next()
			p.row(head, wide, t, true)
		}
		p.row(r, wide, t, false)
	}
}

const gap = 2.5 // mm between columns

// columns gives each column the width that its texts need; when all don't fit, the wide
// ones give way.
func (p *reportPage) columns(head []string, cells [][]string) []float64 {
	want := make([]float64, len(head))
	for j, h := range head {
		want[j] = p.wide(true, body*0.9, h)
	}
	for _, r := range cells {
		for j, c := range r {
			want[j] = max(want[j], p.wide(false, body, c))
		}
	}
	room := p.inner() - gap*float64(len(head)-1)
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

func (p *reportPage) rowHigh(cells []string, wide []float64) float64 {
	n := 1
	for j, c := range cells {
		n = max(n, len(p.lines(false, body, wide[j], c)))
	}
	return float64(n)*body*row + 0.8
}

func (p *reportPage) row(cells []string, wide []float64, t answer.Table, head bool) {
	size := body
	if head {
		size = body * 0.9
	}
	n, x := 1, margin
	for j, c := range cells {
		lines := p.lines(head, size, wide[j], c)
		n = max(n, len(lines))
		for i, l := range lines {
			at := x
			if right(t.Columns[j].Key) {
				at = x + wide[j] - p.wide(head, size, l)
			}
			p.text(at, p.y+float64(i+1)*body*row, head, size, l)
		}
		x += wide[j] + gap
	}
	p.y += float64(n)*body*row + 0.8
	p.SetDrawColor(190, 190, 190)
	p.SetLineWidth(0.15)
	if head {
		p.SetDrawColor(0, 0, 0)
		p.SetLineWidth(0.3)
	}
	p.Line(margin, p.y+0.4, p.size.Wide-margin, p.y+0.4)
}

// right tells a column of figures, which end in their unit.
func right(key string) bool {
	for _, unit := range []string{"_g", "_kg", "_mg", "_pct", "_c", "_h", "_days", "_n", "_cents", "units", "pieces", "jars"} {
		if strings.HasSuffix(key, unit) {
			return true
		}
	}
	return false
}
