package paper

import (
	"fmt"
	"math"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/gs1"
	"combline/internal/label"
	"combline/internal/words"
)

// A JarLabel is a checked label with what only paper needs to know.
type JarLabel struct {
	Label  label.Label
	EMark  bool         // packed by the average system, 5 g to 10 kg
	Number string       // the jar's number for a till, or ""
	Codes  gs1.Elements // what a square code says, or none
	Domain string       // the packer's own, for a telephone to open; "" makes a DataMatrix
	Count  int          // how many labels
	Proof  bool         // not for sale: what says so stands across every label
}

// A Small is a label that its own texts don't fit on at the heights that the rules ask
// for. Nothing is printed.
type Small struct {
	Label Size
	Need  float64 // mm of height
}

func (e *Small) Error() string {
	return fmt.Sprintf("the texts need %.0f mm of height at the letters' least size, and the label of %.0f × %.0f mm has less: take a larger label or shorter texts", e.Need, e.Label.Wide, e.Label.High)
}

// Labels prints a label on its stock at true size, each letter at least as high as its
// item asks for. A label that is not ready is refused, and so is one that does not fit.
func Labels(c *words.Catalogue, stock Stock, j JarLabel, made time.Time) ([]byte, error) {
	if !j.Label.Ready() {
		return nil, fmt.Errorf("the label has something against it and is not printed; look at its findings")
	}
	if err := stock.check(); err != nil {
		return nil, err
	}
	if j.Count < 1 || j.Count > 100_000 {
		return nil, fmt.Errorf("%d labels; 1 to 100000 go in one print", j.Count)
	}
	s, err := newSheet(stock.Sheet, "label", made)
	if err != nil {
		return nil, err
	}
	d, err := s.design(c, stock, j)
	if err != nil {
		return nil, err
	}
	each := stock.Across * stock.Down
	for n := range j.Count {
		if n%each == 0 {
			s.AddPage()
		}
		x, y := stock.at(n%each%stock.Across, n%each/stock.Across)
		d.draw(s, x+stock.Margin, y+stock.Margin)
		if j.Proof {
			s.across(c.Say("paper.proof"), x, y, stock.Label)
		}
	}
	return s.bytes()
}

// across writes from corner to corner of a label, as large as goes, over what stands
// there and so that it can still be read.
func (s *sheet) across(text string, x, y float64, label Size) {
	long := math.Hypot(label.Wide, label.High)
	size := 0.86 * long / s.wide(true, 1, text)
	size = min(size, 0.5*min(label.Wide, label.High))
	angle := math.Atan2(label.High, label.Wide) * 180 / math.Pi
	wide := s.wide(true, size, text)
	mx, my := x+label.Wide/2, y+label.High/2
	s.SetAlpha(0.35, "Normal")
	s.SetTextColor(150, 0, 0)
	s.TransformBegin()
	s.TransformRotate(angle, mx, my)
	s.text(mx-wide/2, my+size*0.35, true, size, text)
	s.TransformEnd()
	s.SetAlpha(1, "Normal")
	s.SetTextColor(0, 0, 0)
}

// A design is a label laid out: where each line stands, from the label's inner corner.
type design struct {
	lines []placed
	codes []placedCode
}

type placed struct {
	x, y float64
	bold bool
	size float64
	text string
}

type placedCode struct {
	code            Code
	x, y, mod, high float64
}

func (d *design) draw(s *sheet, x, y float64) {
	s.SetTextColor(0, 0, 0)
	for _, l := range d.lines {
		s.text(x+l.x, y+l.y, l.bold, l.size, l.text)
	}
	for _, c := range d.codes {
		s.draw(c.code, x+c.x, y+c.y, c.mod, c.high)
	}
}

// Sizes of modules, mm. A till's code at 80 % of its full size, square codes at what a
// telephone or a hand reader takes well. Source: GS1 General Specifications, section
// 5.12 (memory).
const (
	tillModule   = 0.264
	tillHigh     = 14.0
	squareModule = 0.40
)

// design lays a label out: the front in large letters, the rest beside or over the
// codes, at the least sizes when it gets tight.
func (s *sheet) design(c *words.Catalogue, stock Stock, j JarLabel) (*design, error) {
	wide, high := stock.Label.Wide-2*stock.Margin, stock.Label.High-2*stock.Margin
	need := 0.0
	for _, scale := range []float64{1.6, 1.3, 1.1, 1} {
		d, used, err := s.layout(c, j, wide, scale)
		if err != nil {
			return nil, err
		}
		if need = used; used <= high {
			return d, nil
		}
	}
	return nil, &Small{stock.Label, need + 2*stock.Margin}
}

// lead is from base to base, in sizes.
const lead = 1.22

func (s *sheet) layout(c *words.Catalogue, j JarLabel, wide, scale float64) (*design, float64, error) {
	d := &design{}
	y := 0.0
	put := func(bold bool, size, room float64, text string) {
		for _, l := range s.lines(bold, size, room, text) {
			y += size * lead
			d.lines = append(d.lines, placed{0, y - size*(lead-1), bold, size, l})
		}
	}
	for _, i := range j.Label.Items {
		if !i.Front {
			continue
		}
		text := itemText(c, i)
		switch i.Part {
		case label.NetPart:
			size := i.LeastMM / s.bold.digit * min(scale, 1.3) * 1.001
			y += size * lead
			base := y - size*(lead-1)
			d.lines = append(d.lines, placed{0, base, true, size, text})
			if j.EMark {
				mark := max(size, 3.001/s.markHeight())
				d.lines = append(d.lines, placed{s.wide(true, size, text) + size*0.4, base, false, mark, "℮"})
			}
		case label.NamePart:
			put(true, i.LeastMM/s.bold.xHeight*2*scale, wide, text)
		default:
			put(false, i.LeastMM/s.regular.xHeight*min(scale, 1.3)*1.001, wide, text)
		}
	}
	y += 1
	codes, err := j.codes()
	if err != nil {
		return nil, 0, err
	}
	codeWide, codeHigh := 0.0, 0.0
	for i := range codes {
		codes[i].y = codeHigh
		w, h := codes[i].size()
		codeWide, codeHigh = max(codeWide, w), codeHigh+h+1
	}
	top := y
	beside := len(codes) > 0 && wide-codeWide >= 22 // else the codes stand under the texts
	room := wide
	if beside {
		room -= codeWide + 1.5
	}
	for _, i := range j.Label.Items {
		if !i.Front {
			put(false, i.LeastMM/s.regular.xHeight*1.001, room, itemText(c, i))
		}
	}
	if beside {
		y = max(y, top+codeHigh)
	} else {
		top = y + 1
		y += codeHigh
	}
	for _, p := range codes {
		w, h := p.size()
		p.y += top
		if p.x = 0; beside {
			p.x = wide - w
		}
		d.codes = append(d.codes, p)
		if len(p.code.Rows) == 1 { // figures under bars
			size := 2.4
			d.lines = append(d.lines, placed{p.x + (w-s.wide(false, size, p.code.Print))/2, p.y + h - 0.4, false, size, p.code.Print})
		}
	}
	for _, p := range d.codes {
		if w, _ := p.size(); w > wide+0.01 {
			return d, 1e6, nil // no height helps
		}
	}
	return d, y, nil
}

// size is a code with its figures under it.
func (p placedCode) size() (wide, high float64) {
	if len(p.code.Rows) == 1 {
		return p.code.wide(p.mod), p.high + 3
	}
	return p.code.wide(p.mod), p.code.high(p.mod)
}

func (j JarLabel) codes() (all []placedCode, err error) {
	if j.Number != "" {
		c, err := Retail(j.Number)
		if err != nil {
			return nil, err
		}
		all = append(all, placedCode{code: c, mod: tillModule, high: tillHigh})
	}
	if len(j.Codes) > 0 {
		c, err := Square(j.Codes)
		if j.Domain != "" {
			c, err = Link(j.Codes, j.Domain)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, placedCode{code: c, mod: squareModule})
	}
	return all, nil
}

// markHeight is how high the e mark's glyph stands, as a part of the font size.
func (s *sheet) markHeight() float64 {
	if h, err := s.regular.height('℮'); err == nil {
		return h
	}
	return s.regular.xHeight
}

// itemText is what an item says, in one paragraph with its heading.
func itemText(c *words.Catalogue, i label.Item) string {
	var parts []string
	for _, l := range i.Says {
		parts = append(parts, answer.Sentence(c, l))
	}
	text := strings.Join(parts, ", ")
	switch i.Part {
	case label.OriginPart:
		return c.Say("label.head.origin") + " " + text
	case label.IngredientsPart:
		return c.Say("label.head.ingredients") + " " + text
	case label.NutritionPart:
		return c.Say("label.head.nutrition") + " " + text
	}
	return text
}
