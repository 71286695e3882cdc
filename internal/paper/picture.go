package paper

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
	"time"

	"combline/internal/words"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Picture draws one label as SVG, from the same lay-out as its file: letters as their
// outlines, so that what is seen is what is printed on whatever screen. Alt is read aloud
// in its place. A label that is not ready is drawn all the same: it is looked at to be
// put right.
func Picture(c *words.Catalogue, stock Stock, j JarLabel, alt string) ([]byte, error) {
	if err := stock.check(); err != nil {
		return nil, err
	}
	s, err := newSheet(stock.Label, "label", time.Unix(0, 0))
	if err != nil {
		return nil, err
	}
	s.AddPage()
	d, err := s.design(c, stock, j)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg class="label" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-label="%s">`,
		mm(stock.Label.Wide), mm(stock.Label.High), html.EscapeString(alt))
	fmt.Fprintf(&b, `<rect class="labelpaper" width="%s" height="%s" fill="#fff" stroke="#000" stroke-width=".2"/><g fill="#000">`, mm(stock.Label.Wide), mm(stock.Label.High))
	for _, l := range d.lines {
		if err := s.outline(&b, stock.Margin+l.x, stock.Margin+l.y, l.bold, l.size, l.text); err != nil {
			return nil, err
		}
	}
	for _, p := range d.codes {
		p.path(&b, stock.Margin+p.x, stock.Margin+p.y)
	}
	b.WriteString("</g></svg>")
	return b.Bytes(), nil
}

func mm(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

// outline writes the letters of a line as one path.
func (s *sheet) outline(b *bytes.Buffer, x, y float64, bold bool, size float64, text string) error {
	f := s.font(bold, size)
	var buf sfnt.Buffer
	em := int(f.sfnt.UnitsPerEm())
	scale := size / float64(em)
	at := func(p fixed.Point26_6) string {
		return mm(x+float64(p.X)/64*scale) + " " + mm(y+float64(p.Y)/64*scale)
	}
	b.WriteString(`<path d="`)
	for _, r := range f.drawable(text) {
		i, err := f.sfnt.GlyphIndex(&buf, r)
		if err != nil {
			return err
		}
		segments, err := f.sfnt.LoadGlyph(&buf, i, fixed.I(em), nil)
		if err != nil {
			return err
		}
		for _, g := range segments {
			switch g.Op {
			case sfnt.SegmentOpMoveTo:
				b.WriteString("M" + at(g.Args[0]))
			case sfnt.SegmentOpLineTo:
				b.WriteString("L" + at(g.Args[0]))
			case sfnt.SegmentOpQuadTo:
				b.WriteString("Q" + at(g.Args[0]) + " " + at(g.Args[1]))
			case sfnt.SegmentOpCubeTo:
				b.WriteString("C" + at(g.Args[0]) + " " + at(g.Args[1]) + " " + at(g.Args[2]))
			}
		}
		step, err := f.sfnt.GlyphAdvance(&buf, i, fixed.I(em), font.HintingNone)
		if err != nil {
			return err
		}
		x += float64(step) / 64 * scale
	}
	b.WriteString(`"/>`)
	return nil
}

// path draws a code's dark modules.
func (p placedCode) path(b *bytes.Buffer, x, y float64) {
	high, top := p.high, y
	if len(p.code.Rows) > 1 {
		high, top = p.mod, y+float64(p.code.Quiet)*p.mod
	}
	b.WriteString(`<path shape-rendering="crispEdges" d="`)
	for i, row := range p.code.Rows {
		for j := 0; j < len(row); j++ {
			if !row[j] {
				continue
			}
			from := j
			for j < len(row) && row[j] {
				j++
			}
			fmt.Fprintf(b, "M%s %sh%sv%sh-%sz", mm(x+float64(p.code.Quiet+from)*p.mod), mm(top+float64(i)*p.mod), mm(float64(j-from)*p.mod), mm(high), mm(float64(j-from)*p.mod))
		}
	}
	b.WriteString(`"/>`)
}
