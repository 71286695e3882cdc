package paper

import (
	"time"

	"combline/internal/words"
)

// A Form is a sheet to be filled in by hand: what is written once at the top, columns, and
// lines as high as a hand writes.
type Form struct {
	House, Title, Foot string
	Top, Heads         []string
	Lines              int
}

const (
	handLine = 7.0 // mm between the lines of a form, for a pen and a glove off
	topHigh  = 11.0
)

// Blank prints a form on one sheet of A4 across, with as many of its lines as fit.
func Blank(c *words.Catalogue, f Form, made time.Time) ([]byte, error) {
	s, err := newSheet(A4Across, f.Title, made)
	if err != nil {
		return nil, err
	}
	s.AddPage()
	y := margin + 6.0
	s.text(margin, y, true, 6, f.Title)
	s.text(s.size.Wide-margin-s.wide(false, body, f.House), y, false, body, f.House)
	y = s.tops(y+4, f.Top)
	y = s.heads(y+2, f.Heads)
	bottom := s.size.High - margin - 5
	wide := (s.size.Wide - 2*margin) / float64(max(1, len(f.Heads)))
	first := y
	for n := 0; n < f.Lines && y+handLine <= bottom; n++ {
		y += handLine
		s.Line(margin, y, s.size.Wide-margin, y)
	}
	for j := 0; j <= len(f.Heads); j++ {
		x := margin + float64(j)*wide
		s.Line(x, first, x, y)
	}
	s.SetTextColor(90, 90, 90)
	s.text(margin, s.size.High-margin+2, false, 2.6, f.Foot)
	page := c.Say("paper.page", "n", int64(1)) + " / 1"
	s.text(s.size.Wide-margin-s.wide(false, 2.6, page), s.size.High-margin+2, false, 2.6, page)
	return s.bytes()
}

// tops draws what is written once a sheet: a label over a line.
func (s *sheet) tops(y float64, top []string) float64 {
	if len(top) == 0 {
		return y
	}
	s.SetDrawColor(0, 0, 0)
	s.SetLineWidth(0.25)
	wide := (s.size.Wide - 2*margin) / float64(len(top))
	for j, t := range top {
		x := margin + float64(j)*wide
		s.text(x, y+2.6, false, 2.6, t)
		s.Line(x, y+topHigh, x+wide-4, y+topHigh)
	}
	return y + topHigh
}

// heads draws the heads of the columns, each broken into as many lines as it needs.
func (s *sheet) heads(y float64, heads []string) float64 {
	if len(heads) == 0 {
		return y
	}
	const size = 3.0
	wide := (s.size.Wide - 2*margin) / float64(len(heads))
	most := 1
	for j, h := range heads {
		lines := s.lines(true, size, wide-1.5, h)
		most = max(most, len(lines))
		for i, l := range lines {
			s.text(margin+float64(j)*wide+0.8, y+float64(i+1)*size*row, true, size, l)
		}
	}
	y += float64(most)*size*row + 1.5
	s.SetLineWidth(0.35)
	s.Line(margin, y, s.size.Wide-margin, y)
	s.SetLineWidth(0.15)
	return y
}
