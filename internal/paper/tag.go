package paper

import (
	"fmt"
	"slices"
	"time"

	"combline/internal/gs1"
	"combline/internal/words"
)

// A Tag hangs on a drum, a pail or a tank. The number is to be read from 2 m away.
type Tag struct {
	Number string   // of the filling: D041
	Steel  string   // of the vessel
	Lines  []string // lot, net, kind, day: one a line
	Hold   string   // why it is on hold, or ""
}

// A Parcel is a case or a pallet on its way.
type Parcel struct {
	From   string // who sends it: name and address
	Title  string // of the product
	Number string // the case's or pallet's own
	Lines  []string
	Codes  []gs1.Elements // rows of bars; none where the house has no numbers of GS1
}

// numberMM is how high the figures of a tag's number are: 25 mm are read at 2 m with
// ease (common practice, no source).
const numberMM = 25.0

// Tags prints tags on their stock, one each.
func Tags(c *words.Catalogue, stock Stock, tags []Tag, made time.Time) ([]byte, error) {
	if err := stock.check(); err != nil {
		return nil, err
	}
	if len(tags) == 0 {
		return nil, fmt.Errorf("no tags to print")
	}
	s, err := newSheet(stock.Sheet, "tag", made)
	if err != nil {
		return nil, err
	}
	each := stock.Across * stock.Down
	for n, t := range tags {
		if n%each == 0 {
			s.AddPage()
		}
		x, y := stock.at(n%each%stock.Across, n%each/stock.Across)
		if err := s.tag(c, stock, t, x+stock.Margin, y+stock.Margin); err != nil {
			return nil, err
		}
	}
	return s.bytes()
}

func (s *sheet) tag(c *words.Catalogue, stock Stock, t Tag, x, y float64) error {
	wide, high := stock.Label.Wide-2*stock.Margin, stock.Label.High-2*stock.Margin
	code, err := Address(t.Number)
	if err != nil {
		return err
	}
	size := numberMM / s.bold.digit
	codeWide := code.wide(0.6)
	for size > 6 && s.wide(true, size, t.Number) > wide-codeWide-2 {
		size *= 0.97
	}
	base := y + size*s.bold.digit
	s.text(x, base, true, size, t.Number)
	s.draw(code, x+wide-codeWide, y, 0.6, 0)
	at := max(base, y+code.high(0.6)) + 2
	if t.Hold != "" {
		s.SetFillColor(0, 0, 0)
		s.Rect(x, at, wide, 9, "F")
		s.SetTextColor(255, 255, 255)
		s.text(x+2, at+6.6, true, 6, c.Say("paper.hold"))
		s.SetTextColor(0, 0, 0)
		at += 10
		for _, l := range s.lines(false, 4, wide, t.Hold) {
			at += 4 * lead
			s.text(x, at, false, 4, l)
		}
	}
	lines := t.Lines
	if t.Steel != "" {
		lines = append([]string{c.Say("paper.steel", "steel", t.Steel)}, lines...)
	}
	return s.small(stock, x, at, y+high, 4.6, lines)
}

// small prints lines to the end of a label and refuses those that don't fit.
func (s *sheet) small(stock Stock, x, at, end, size float64, lines []string) error {
	wide := stock.Label.Wide - 2*stock.Margin
	for _, text := range lines {
		for _, l := range s.lines(false, size, wide, text) {
			if at += size * lead; at > end+0.01 {
				return &Small{stock.Label, at - end + stock.Label.High}
			}
			s.text(x, at, false, size, l)
		}
	}
	return nil
}

// barModule is 0.495 mm, the full size for cases and pallets read at a distance.
// Source: GS1 General Specifications, section 5.12, logistic labels (memory).
const (
	barModule = 0.495
	barHigh   = 32.0
)

// Parcels prints case and pallet labels, each with its rows of bars under the text.
func Parcels(c *words.Catalogue, stock Stock, parcels []Parcel, made time.Time) ([]byte, error) {
	if err := stock.check(); err != nil {
		return nil, err
	}
	if len(parcels) == 0 {
		return nil, fmt.Errorf("no case or pallet to print a label for")
	}
	s, err := newSheet(stock.Sheet, "case", made)
	if err != nil {
		return nil, err
	}
	each := stock.Across * stock.Down
	for n, p := range parcels {
		if n%each == 0 {
			s.AddPage()
		}
		x, y := stock.at(n%each%stock.Across, n%each/stock.Across)
		if err := s.parcel(stock, p, x+stock.Margin, y+stock.Margin); err != nil {
			return nil, err
		}
	}
	return s.bytes()
}

func (s *sheet) parcel(stock Stock, p Parcel, x, y float64) error {
	wide, end := stock.Label.Wide-2*stock.Margin, y+stock.Label.High-2*stock.Margin
	var rows []Code
	module := barModule
	if all := slices.Concat(p.Codes...); len(all) > 0 {
		if err := all.Check(); err != nil { // rows say something together: a count needs the pallet's own number
			return err
		}
	}
	for _, es := range p.Codes {
		c, err := bars(es)
		if err != nil {
			return err
		}
		rows, module = append(rows, c), min(module, wide/c.wide(1))
	}
	const least = 0.25 // of general retail; nothing finer is printed
	if module < least && len(rows) > 0 {
		return fmt.Errorf("bars of %s need a label at least %.0f mm wide", rows[0].Print, least*rows[0].wide(1)+2*stock.Margin)
	}
	high := barHigh * module / barModule
	top := end - float64(len(rows))*(high+5)
	for i, c := range rows {
		at := top + float64(i)*(high+5)
		s.draw(c, x+(wide-c.wide(module))/2, at, module, high)
		size := min(3.2, 3.2*wide/max(wide, s.wide(false, 3.2, c.Print)))
		s.text(x+(wide-s.wide(false, size, c.Print))/2, at+high+3.6, false, size, c.Print)
	}
	at := y
	for _, l := range s.lines(false, 3.4, wide, p.From) {
		at += 3.4 * lead
		s.text(x, at, false, 3.4, l)
	}
	if p.From != "" {
		at += 2
		s.SetLineWidth(0.4)
		s.Line(x, at, x+wide, at)
		at += 1
	}
	for _, l := range s.lines(true, 6, wide, p.Title) {
		at += 6 * lead
		s.text(x, at, true, 6, l)
	}
	if p.Number != "" {
		at += 9 * lead
		s.text(x, at, true, 9, p.Number)
		at += 2
	}
	return s.small(stock, x, at, top-1, 4.4, p.Lines)
}
