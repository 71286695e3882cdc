package paper

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/words"
)

// The day sheet is one sheet of A4, read at arm's length: what is to be done with a box to
// tick and room for who did it, then in short what comes. What does not fit is counted.

const (
	dayText  = 3.9 // mm, size of the letters of a job
	daySmall = 3.0
	dayBox   = 5.4 // a tick box
	dayFoot  = 12.0
	whoWide  = 30.0
)

// A dayPage draws the day sheet.
type dayPage struct {
	*sheet
	words  *words.Catalogue
	report Report
	y      float64
}

// isDay reports whether an answer is a day's sheet with its jobs.
func isDay(a answer.Answer) bool {
	return a.Question == "day" && slices.ContainsFunc(a.Tables, func(t answer.Table) bool { return t.Key == "jobs" })
}

// daySheet prints a day's jobs on one sheet.
func daySheet(c *words.Catalogue, r Report) ([]byte, error) {
	s, err := newSheet(A4, r.heading(), r.Made)
	if err != nil {
		return nil, err
	}
	p := &dayPage{sheet: s, words: c, report: r}
	p.AddPage()
	p.head()
	p.loud()
	p.jobs()
	for _, t := range []struct {
		key  string
		most int
		cols []int
	}{{"unmet", 4, []int{0, 2, 5}}, {"order-by", 6, []int{0, 5, 9}}, {"coming", 8, []int{0, 1, 2}}} {
		p.list(t.key, t.most, t.cols)
	}
	p.hand()
	p.foot()
	return p.bytes()
}

func (p *dayPage) table(key string) (t answer.Table) {
	for _, x := range p.report.Answer.Tables {
		if x.Key == key {
			return x
		}
	}
	return t
}

func (p *dayPage) right() float64  { return p.size.Wide - margin }
func (p *dayPage) bottom() float64 { return p.size.High - margin - dayFoot }

// head is the title, the day, and a double rule.
func (p *dayPage) head() {
	p.y = margin + 7
	p.text(margin, p.y, true, 8, p.words.Say("page.daysheet"))
	day := ""
	if len(p.report.Answer.Lines) > 0 {
		if d, ok := p.report.Answer.Lines[0].Args["day"]; ok {
			day = answer.Text(p.words, d)
		}
	}
	p.text(p.right()-p.wide(true, 4.6, day), p.y-3.4, true, 4.6, day)
	made := p.report.House + " · " + p.words.Moment(p.report.Made, 0)
	p.text(p.right()-p.wide(false, daySmall, made), p.y+1, false, daySmall, made)
	p.y += 4
	p.rule(0.5)
	p.y++
	p.rule(0.5)
}

func (p *dayPage) rule(wide float64) {
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(wide)
	p.Line(margin, p.y, p.right(), p.y)
}

// loud is the first thing that is wrong, in a box.
func (p *dayPage) loud() {
	for _, l := range p.report.Answer.Lines {
		if l.Mark != answer.Bad {
			continue
		}
		lines := p.lines(true, dayText, p.right()-margin-6, answer.Sentence(p.words, l))
		lines = lines[:min(len(lines), 2)]
		high := float64(len(lines))*dayText*row + 3
		p.y += 3
		p.SetLineWidth(0.6)
		p.Rect(margin, p.y, p.right()-margin, high, "D")
		for i, text := range lines {
			p.text(margin+3, p.y+1+float64(i+1)*dayText*row, true, dayText, text)
		}
		p.y += high
		return
	}
}

func (p *dayPage) title(text string) {
	p.y += 8
	p.text(margin, p.y, true, 4.2, text)
	p.y += 1.6
	p.rule(0.3)
}

// jobs are the day's jobs with a box to tick; they leave room for what comes below.
func (p *dayPage) jobs() {
	t := p.table("jobs")
	p.title(answer.Title(p.words, t))
	limit := p.bottom() - 70
	for i, r := range t.Rows {
		text := p.lines(true, dayText, p.right()-margin-34-whoWide, answer.Text(p.words, r.Cells[2]))
		text = text[:min(len(text), 3)]
		var why []string
		if !answer.Nothing(t, r, 4) {
			why = p.lines(false, daySmall, p.right()-margin-34-whoWide, answer.Text(p.words, r.Cells[4]))
			why = why[:min(len(why), 2)]
		}
		high := max(dayBox+2, float64(len(text))*dayText*row+float64(len(why))*daySmall*row+2.5)
		if p.y+high > limit {
			p.more(len(t.Rows) - i)
			return
		}
		p.job(t, r, text, why)
		p.y += high
		p.SetDrawColor(150, 150, 150)
		p.SetLineWidth(0.15)
		p.Line(margin, p.y, p.right(), p.y)
	}
	if len(t.Rows) == 0 {
		p.y += dayText * row
		p.text(margin, p.y, false, dayText, p.words.Say("page.today.no-jobs"))
	}
}

func (p *dayPage) job(t answer.Table, r answer.Row, text, why []string) {
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.35)
	p.Rect(margin, p.y+1.2, dayBox, dayBox, "D")
	if status, _ := r.Cells[5].(answer.Key); status == "job.status.done" {
		p.Line(margin+1, p.y+4.2, margin+2.3, p.y+5.6)
		p.Line(margin+2.3, p.y+5.6, margin+dayBox-0.8, p.y+2)
	}
	base := p.y + 1 + dayText*row
	p.text(margin+dayBox+2.5, base, true, dayText, answer.Text(p.words, r.Cells[0]))
	if !answer.Nothing(t, r, 1) {
		p.text(margin+dayBox+11, base, false, dayText, answer.Text(p.words, r.Cells[1]))
	}
	x := margin + 31
	for i, l := range text {
		p.text(x, base+float64(i)*dayText*row, true, dayText, l)
	}
	at := base + float64(len(text)-1)*dayText*row
	for i, l := range why {
		p.text(x, at+float64(i+1)*daySmall*row, false, daySmall, l)
	}
	p.SetLineWidth(0.2)
	p.Line(p.right()-whoWide+4, base+1, p.right(), base+1)
}

// more counts what does not fit.
func (p *dayPage) more(n int) {
	p.y += daySmall * row
	p.text(margin, p.y, true, daySmall, p.words.Say("paper.more", "n", int64(n)))
}

// list is a table in short: some of its columns, some of its rows.
func (p *dayPage) list(key string, most int, cols []int) {
	t := p.table(key)
	if len(t.Rows) == 0 || p.y+22 > p.bottom()-16 {
		return
	}
	p.title(answer.Title(p.words, t))
	shown := 0
	for _, r := range t.Rows {
		if shown == most || p.y+dayText*row > p.bottom()-22 {
			break
		}
		var parts []string
		for _, c := range cols {
			if c < len(r.Cells) && !answer.Nothing(t, r, c) {
				parts = append(parts, answer.Text(p.words, r.Cells[c]))
			}
		}
		lines := p.lines(false, daySmall+0.3, p.right()-margin, sign(r.Mark)+strings.Join(parts, " · "))
		if len(lines) > 1 {
			lines = []string{strings.TrimRight(lines[0], " ") + " …"}
		}
		p.y += (daySmall + 0.3) * row * 1.12
		if len(lines) > 0 {
			p.text(margin, p.y, false, daySmall+0.3, lines[0])
		}
		shown++
	}
	if n := len(t.Rows) - shown; n > 0 {
		p.more(n)
	}
}

// hand are lines to write on, as many as are left.
func (p *dayPage) hand() {
	if p.y+22 > p.bottom() {
		return
	}
	p.title(p.words.Say("paper.by-hand"))
	for p.y+8 <= p.bottom() {
		p.y += 8
		p.SetDrawColor(120, 120, 120)
		p.SetLineWidth(0.15)
		p.Line(margin, p.y, p.right(), p.y)
	}
}

// foot is who checked it, and that it is one sheet.
func (p *dayPage) foot() {
	at := p.size.High - margin
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.3)
	p.Line(margin, at-5, p.right(), at-5)
	text := p.words.Say("paper.foot", "when", p.words.Moment(p.report.Made, 0), "facts", p.report.Facts)
	p.text(margin, at, false, 2.6, text)
	by := p.words.Say("paper.checked-by")
	x := margin + 105.0
	p.text(x, at, false, daySmall, by)
	x += p.wide(false, daySmall, by) + 2
	p.Line(x, at, x+38, at)
	page := p.words.Say("paper.page", "n", int64(1)) + " / 1"
	p.text(p.right()-p.wide(false, 2.6, page), at, false, 2.6, page)
}
