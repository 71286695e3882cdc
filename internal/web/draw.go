package web

import (
	"fmt"
	"html/template"
	"math"
	"regexp"
	"strconv"
	"strings"

	"combline/internal/honey"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A drawing is SVG being written. Sizes are in its own units; text is escaped.
type drawing struct{ strings.Builder }

func (d *drawing) add(format string, args ...any) { fmt.Fprintf(d, format, args...) }

func (d *drawing) text(class string, x, y float64, s string) {
	d.add(`<text class="%s" x="%s" y="%s">%s</text>`, class, num(x), num(y), template.HTMLEscapeString(s))
}

func (d *drawing) html() template.HTML { return template.HTML(d.String()) }

// num writes a coordinate to a tenth.
func num(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64) }

// honeyFill is the colour in which honey of a Pfund reading is drawn.
func honeyFill(c office.Colour, known bool) string {
	if !known {
		return ""
	}
	rgb, err := honey.ScreenColour(c.Pfund)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("#%02x%02x%02x", rgb.R, rgb.G, rgb.B)
}

const (
	perMetre = 112 // units of a drawing to a metre, so that all stand at one scale
	edge     = 4   // units around a drawing, for its lines
	// honeyKgM3 is honey of 18 % water at 20 °C: a drawing's level needs no better.
	honeyKgM3 = 1420
)

// A body is a vessel's outside as it is drawn, in metres.
type body struct{ wide, high, legs float64 }

// bodyOf is how large a vessel is: as written down, or as its weight of honey makes
// it with usual proportions.
func bodyOf(st office.Stand) body {
	b := map[record.VesselKind]body{
		record.Tank: {0.95, 1.1, 0.35}, record.Drum: {0.57, 0.85, 0}, record.Pail: {0.3, 0.32, 0},
		record.Tote: {1, 1, 0.1}, record.Sump: {0.9, 0.5, 0.35},
	}[st.Shape]
	w, h := st.Wide.Float(), st.High.Float()
	volume := float64(st.Holds) / 1000 / honeyKgM3
	switch {
	case w > 0 && h > 0:
		b.wide, b.high = w, h
	case h > 0 && volume > 0:
		b.wide, b.high = math.Sqrt(4*volume/(math.Pi*h)), h
	case w > 0 && volume > 0:
		b.wide, b.high = w, 4*volume/(math.Pi*w*w)
	case volume > 0:
		ratio := b.high / b.wide
		b.wide = math.Cbrt(4 * volume / (math.Pi * ratio))
		b.high = b.wide * ratio
	}
	b.wide, b.high = min(max(b.wide, 0.25), 3), min(max(b.high, 0.25), 3)
	return b
}

// level is how much of a vessel is full, by height; not known when nothing says how
// large it is.
func level(st office.Stand, b body) (share float64, known bool) {
	if st.Empty {
		return 0, true
	}
	if len(st.Content.InLots) > 0 {
		return 0, false // honey runs in unweighed
	}
	grams := float64(max(st.Content.Grams, 0))
	if st.Holds > 0 {
		return min(grams/float64(st.Holds), 1), true
	}
	if st.Wide.Given() && st.High.Given() || st.Shape == record.Drum {
		full := math.Pi / 4 * b.wide * b.wide * b.high * honeyKgM3 * 1000
		return min(grams/full, 1), true
	}
	return 0, false
}

// elevation draws a vessel from the side, on the floor, at the house's one scale,
// filled to its true height in its honey's colour.
func elevation(st office.Stand) template.HTML {
	b := bodyOf(st)
	w, h, legs := b.wide*perMetre, b.high*perMetre, b.legs*perMetre
	all := h + legs + 2*edge
	var d drawing
	d.add(`<svg class="vessel" width="%sem" height="%sem" viewBox="0 0 %s %s" aria-hidden="true">`, em(w+2*edge), em(all), num(w+2*edge), num(all))
	d.add(`<g transform="translate(%d %d)">`, edge, edge)
	if legs > 0 {
		d.add(`<path class="skin" d="M8 %sV%sM%s %sV%s"/>`, num(h), num(h+legs), num(w-8), num(h), num(h+legs))
	}
	d.add(`<path class="wall bare" d="M0 0V%sH%sV0Z"/>`, num(h), num(w))
	share, known := level(st, b)
	fill := honeyFill(st.Colour, st.Read)
	switch {
	case !known:
		hatch(&d, 0, h*0.35, w, h*0.65)
		d.text("tm big halo", w/2, h*0.72, "?")
	case share > 0:
		top := h - (h-6)*share
		if fill == "" {
			hatch(&d, 0, top, w, h-top)
		} else {
			d.add(`<path fill="%s" d="M0 %sH%sV%sH0Z"/>`, fill, num(top), num(w), num(h))
		}
		d.add(`<path class="sur" d="M0 %sH%s"/>`, num(top), num(w))
	}
	if b.high >= 0.5 && st.Shape != record.Drum {
		for i := 1; i < 10; i++ {
			y := h - (h-6)*float64(i)/10
			long := 9
			if i == 5 {
				long = 16
			}
			d.add(`<path class="dip" d="M1.5 %sh%d"/>`, num(y), long)
		}
	}
	d.add(`<path class="skin" d="M0 0V%sH%sV0M-2 0H%s"/>`, num(h), num(w), num(w+2))
	d.add(`</g></svg>`)
	return d.html()
}

// em is a length for the page: one em of the drawing is one metre.
func em(units float64) string { return strconv.FormatFloat(units/perMetre, 'f', 3, 64) }

// hatch fills with lines what is there and nobody has seen the colour of.
func hatch(d *drawing, x, y, w, h float64) {
	d.add(`<path class="unseen" d="M%s %sH%sV%sH%sZ"/>`, num(x), num(y), num(x+w), num(y+h), num(x))
	var path strings.Builder
	for at := 8.0; at < w+h; at += 10 { // from the left or lower edge, up to the right
		x0, y0 := max(0, at-h), min(at, h)
		x1, y1 := min(at, w), max(0, at-w)
		fmt.Fprintf(&path, "M%s %sL%s %s", num(x+x0), num(y+y0), num(x+x1), num(y+y1))
	}
	d.add(`<path class="hatch" d="%s"/>`, path.String())
}

// drumRow draws a few drums side by side, each with its number on a plate.
func drumRow(drums []office.Stand) template.HTML {
	const gap = 9
	var d drawing
	w, h := 0.57*perMetre, 0.85*perMetre
	all := (w+gap)*float64(len(drums)) - gap
	d.add(`<svg class="vessel" width="%sem" height="%sem" viewBox="0 0 %s %s" aria-hidden="true">`, em(all+2*edge), em(h+2*edge), num(all+2*edge), num(h+2*edge))
	for i, st := range drums {
		d.add(`<g transform="translate(%s %d)"><path class="wall bare" d="M0 0V%sH%sV0Z"/>`, num(edge+(w+gap)*float64(i)), edge, num(h), num(w))
		if share, known := level(st, body{0.57, 0.85, 0}); known && share > 0 {
			top := h - (h-4)*share
			if fill := honeyFill(st.Colour, st.Read); fill != "" {
				d.add(`<path fill="%s" d="M1.5 %sH%sV%sH1.5Z"/>`, fill, num(top), num(w-1.5), num(h-1.5))
			} else {
				hatch(&d, 1.5, top, w-3, h-top-1.5)
			}
		}
		d.add(`<path class="skin" d="M0 0V%sH%sV0M-2 0H%s"/>`, num(h), num(w), num(w+2))
		d.add(`<rect class="plate" x="%s" y="%s" width="52" height="26"/>`, num(w/2-26), num(h/2-13))
		d.text("tm tb", w/2, h/2+6, lastThree(st.Content.Code))
		d.add(`</g>`)
	}
	d.add(`</svg>`)
	return d.html()
}

var runsOfDigits = regexp.MustCompile(`[0-9]{2,}`)

// lastThree is what of a number is called across the room: the last digits of its
// longest run of them, or where it has none, its end.
func lastThree(c record.Code) string {
	text := []rune(string(c))
	if len(text) <= 4 {
		return string(c)
	}
	longest := ""
	for _, run := range runsOfDigits.FindAllString(string(c), -1) {
		if len(run) >= len(longest) {
			longest = run
		}
	}
	if longest != "" {
		text = []rune(longest)
	}
	return string(text[max(0, len(text)-3):])
}

// kg is a mass in the person's large unit, without it.
func (v *visit) kg(m quantity.Gram, decimals uint8) figure {
	unit := v.c.Style().Mass
	if unit != quantity.Lb {
		unit = quantity.KgUnit
	}
	return figure{Value: v.c.Number(m.In(unit, 3).Float(), int(decimals)), Unit: v.c.Unit(unit)}
}
