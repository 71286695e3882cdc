package paper

import (
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/words"
)

// A Report is an answer on paper.
type Report struct {
	House  string // whose it is
	Title  string // "Balance"; what it is about follows by itself
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

// heading is the title with what the answer is about.
func (r Report) heading() string {
	if of := string(r.Answer.Of); of != "" && !strings.Contains(r.Title, of) {
		return r.Title + " · " + of
	}
	return r.Title
}

// Sheets prints an answer on A4: what it says, its tables, what it rests on and its
// sources, with the page, the time and the record's length at the foot. Where a table is
// wider than an upright sheet, all stand across. A day's sheet has a form of its own.
func Sheets(c *words.Catalogue, r Report) ([]byte, error) {
	if isDay(r.Answer) {
		return daySheet(c, r)
	}
	s, err := newSheet(A4, r.heading(), r.Made)
	if err != nil {
		return nil, err
	}
	p := &reportPage{sheet: s, words: c, report: r}
	tables := p.grids(r.Answer.Tables)
	if p.tooWide(tables) {
		if s, err = newSheet(A4Across, r.heading(), r.Made); err != nil {
			return nil, err
		}
		p.sheet = s
	}
	s.AliasNbPages("{pages}")
	p.next()
	p.y += 4
	p.paragraph(true, 6, r.heading())
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
	for _, t := range tables {
		p.table(t)
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
	if marked(r.Answer) {
		p.y += 2
		p.paragraph(false, body, c.Say("cli.signs"))
	}
	if s.undrawn {
		p.y += 2
		p.paragraph(false, body, c.Say("paper.undrawn"))
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

// marked reports whether a line or row bears a sign.
func marked(a answer.Answer) bool {
	for _, l := range a.Lines {
		if sign(l.Mark) != "" {
			return true
		}
	}
	for _, t := range a.Tables {
		if slices.ContainsFunc(t.Rows, func(r answer.Row) bool { return sign(r.Mark) != "" }) {
			return true
		}
	}
	return false
}

func sign(m answer.Mark) string {
	switch m {
	case answer.Care:
		return "! "
	case answer.Bad:
		return "!! "
	}
	return ""
}
