package web

import (
	"html/template"
	"math"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Ribbons: from where, through the thing, to where, each as wide as its weight and in
// its honey's own colour.

// A strand is one end of a ribbon.
type strand struct {
	name, under string
	grams       quantity.Gram
	fill        string
	y, h        float64
	stop        bool
}

const leastStrand = 3.0 // units high, so that a gram is seen too

// ribbons draws what came in and where it is now, at one width.
func (v *visit) ribbons(w office.Whereabouts, wide float64, class string) template.HTML {
	const roomy = 1000 // wide enough for a third figure
	left, right := v.strands(w.From, w.Whole, false), v.strands(w.Now, w.Whole, wide > roomy)
	if len(left) == 0 || w.Whole <= 0 {
		return ""
	}
	const top, node, body = 40.0, 18.0, 300.0
	labels := max(wide*0.2, 200)
	scale := body / float64(w.Whole)
	high := max(lay(left, scale), lay(right, scale), body)
	settle(left, top, high)
	settle(right, top, high)
	x0, x1, x2 := labels, wide/2-node/2, wide-labels-node
	y := top + (high-body)/2
	var d drawing
	label := v.say("page.trace.drawing", "of", string(w.Of), "mass", w.Whole)
	d.add(`<svg class="chart %s" viewBox="0 0 %s %s" role="img" aria-label="%s">`, class, num(wide), num(top+high+8), template.HTMLEscapeString(label))
	d.text("t2 te", x0+node, 16, v.say("page.trace.from"))
	d.text("t2 tm", wide/2, 16, string(w.Of))
	d.text("t2", x2, 16, v.say("page.trace.now"))
	d.add(`<path class="g" d="M0 28H%s"/>`, num(wide))
	flow(&d, left, x0+node, x1, y, body, w.Whole, true)
	flow(&d, right, x1+node, x2, y, body, w.Whole, false)
	d.add(`<rect class="node" x="%s" y="%s" width="%s" height="%s"/>`, num(x1), num(y), num(node), num(body))
	plate := v.c.MassTo(w.Whole, 0)
	d.add(`<rect class="plate" x="%s" y="%s" width="130" height="32"/>`, num(wide/2-65), num(y+body/2-16))
	d.text("tb tm", wide/2, y+body/2+6, plate)
	for _, s := range left {
		s.draw(&d, x0, node, x0-10, "te")
	}
	for _, s := range right {
		s.draw(&d, x2, node, x2+node+10, "")
	}
	d.add(`</svg>`)
	return d.html()
}

// strands are the heaps as ribbons; small ones of many are put together.
func (v *visit) strands(heaps []office.Heap, whole quantity.Gram, pieces bool) []strand {
	const most = 9
	var all []strand
	for i, h := range heaps {
		if h.Grams <= 0 {
			continue
		}
		if i >= most-1 && len(heaps) > most {
			last := &all[len(all)-1]
			if i == most-1 {
				all = append(all, strand{name: v.say("page.trace.others", "n", len(heaps)-i)})
				last = &all[len(all)-1]
			}
			last.grams += h.Grams
			last.under = v.c.MassTo(last.grams, 0)
			continue
		}
		name := v.text(h.Name)
		if h.Also != nil && v.text(h.Also) != name {
			name = v.text(h.Also) + " · " + name
		}
		under := v.c.MassTo(h.Grams, 0) + " · " + v.c.Percent(quantity.Percent(100*float64(h.Grams)/float64(whole)), 1)
		if h.Units > 1 && pieces {
			under += " · " + v.say("page.trace.pieces", "n", h.Units)
		}
		all = append(all, strand{name: name, under: under, grams: h.Grams, fill: honeyFill(h.Color, h.Read), stop: h.Held})
	}
	return all
}

// lay gives each strand its height and room for its two lines of text; it returns
// the height of all.
func lay(all []strand, scale float64) (high float64) {
	const text, apart = 44.0, 4.0
	for i := range all {
		s := &all[i]
		s.h = max(leastStrand, scale*float64(s.grams))
		room := max(text, s.h)
		s.y = high + (room-s.h)/2
		high += room + apart
	}
	return high
}

// settle puts laid strands in the middle of the height of the drawing.
func settle(all []strand, top, high float64) {
	if len(all) == 0 {
		return
	}
	last := all[len(all)-1]
	from := top + (high-(last.y+last.h+all[0].y))/2
	for i := range all {
		all[i].y += from
	}
}

// flow draws the ribbons between strands and the thing in the middle.
func flow(d *drawing, all []strand, x0, x1, y, body float64, whole quantity.Gram, in bool) {
	at := y
	for _, s := range all {
		h := body * float64(s.grams) / float64(whole)
		a0, a1, b0, b1 := s.y, s.y+s.h, at, at+h
		if !in {
			a0, a1, b0, b1 = b0, b1, a0, a1
		}
		mid := (x0 + x1) / 2
		class, fill := ``, s.fill
		if fill == "" {
			class = `class="unseen" `
		} else {
			fill = `fill="` + fill + `" `
		}
		d.add(`<path %s%sd="M%s %sC%s %s %s %s %s %sV%sC%s %s %s %s %s %sZ"/>`, class, fill,
			num(x0), num(a0), num(mid), num(a0), num(mid), num(b0), num(x1), num(b0), num(b1), num(mid), num(b1), num(mid), num(a1), num(x0), num(a1))
		at += h
	}
}

func (s strand) draw(d *drawing, x, node, textX float64, end string) {
	class := "node"
	if s.stop {
		class = "node held"
	}
	d.add(`<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, num(x), num(s.y), num(node), num(math.Max(s.h, 2)))
	mid := s.y + s.h/2
	d.text("tb "+end, textX, mid-3, s.name)
	d.text("t2 "+end, textX, mid+16, s.under)
}

// heapSheet is the heaps as a table: the same figures in words.
func (v *visit) heapSheet(heaps []office.Heap, whole quantity.Gram, title string) *sheet {
	s := &sheet{Title: title, Heads: []head{{Text: v.say("page.trace.where")}, {Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true},
		{Text: v.say("column.share_pct"), Right: true}, {Text: v.say("column.units"), Right: true}}}
	var sum quantity.Gram
	parts := make([]quantity.Gram, len(heaps))
	for i, h := range heaps {
		parts[i] = max(h.Grams, 0)
		sum += h.Grams
	}
	shares, err := v.c.Shares(parts, 1)
	for i, h := range heaps {
		name := sheetCell{Text: v.text(h.Name), Head: true, Fill: honeyFill(h.Color, h.Read)}
		if h.Also != nil {
			name.Text, name.Note = v.text(h.Also), v.text(h.Name)
			name.Href = thingLink(codeOf(h.Also))
		}
		if h.Held {
			name.Icon, name.Class = "stop", "stop"
		}
		share, units := "", ""
		if err == nil {
			share = shares[i]
		}
		if h.Units > 0 {
			units = v.c.Count(h.Units)
		}
		s.Rows = append(s.Rows, sheetRow{Cells: []sheetCell{name, {Text: v.kg(h.Grams, 1).Value, Right: true}, {Text: share, Right: true}, {Text: units, Right: true}}})
	}
	s.Rows = append(s.Rows, sheetRow{Class: "sum", Cells: []sheetCell{{Text: v.say("stock.all"), Head: true}, {Text: v.kg(sum, 1).Value, Right: true}, {}, {}}})
	return s
}

func codeOf(c answer.Cell) (code record.Code) {
	code, _ = c.(record.Code)
	return code
}
