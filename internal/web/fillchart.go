package web

import (
	"html/template"
	"math"

	"combline/internal/fill"
	"combline/internal/office"
	"combline/internal/quantity"
)

// Charts of filling: each nozzle's means, check by check, against the label, the bound
// for short jars, and what the nozzle usually gives.

// chartWidths are the widths at which a chart is drawn, with the class of the window that
// shows it.
var chartWidths = []struct {
	wide  float64
	class string
}{{760, "only-n"}, {830, "only-m"}, {600, "only-w"}}

const mostShown = 60 // points of one chart

// nozzleCharts draws a nozzle at each width.
func (v *visit) nozzleCharts(s *office.FillState, n *office.NozzleState) (all []template.HTML) {
	for _, w := range chartWidths {
		all = append(all, v.nozzleChart(s, n, w.wide, w.class))
	}
	return all
}

// A scale maps grams to the height of a drawing.
type gramScale struct{ low, high, top, bottom float64 }

func (g gramScale) y(grams float64) float64 {
	return g.bottom - (grams-g.low)/(g.high-g.low)*(g.bottom-g.top)
}

// nozzleChart is one nozzle at one width.
func (v *visit) nozzleChart(s *office.FillState, n *office.NozzleState, wide float64, class string) template.HTML {
	points := n.Points[max(0, len(n.Points)-mostShown):]
	label, t1 := fill.Grams(s.Spec.Label), fill.Grams(s.Spec.Tolerance.T1)
	const left, high, under = 52.0, 158.0, 28.0
	right := wide - 122
	g := spanOf(points, label, t1)
	g.top, g.bottom = 26, high-under
	x := func(i int) float64 {
		if len(points) == 1 {
			return (left + right) / 2
		}
		return left + 8 + (right-left-16)*float64(i)/float64(len(points)-1)
	}
	last := points[len(points)-1]
	var d drawing
	says := v.say("page.fill.chart-says", "nozzle", int64(n.Nozzle), "n", int64(len(points)), "mean", v.grams(s, last.MeanG), "label", v.grams(s, label))
	d.add(`<svg class="chart %s" viewBox="0 0 %s %s" role="img" aria-label="%s">`, class, num(wide), num(high), template.HTMLEscapeString(says))
	d.text("t2", 0, 14, v.say("page.fill.grams"))
	v.backdrop(&d, s, g, left, right)
	band(&d, points, x, g)
	v.line2(&d, points, x, g)
	for i, p := range points { // times under the line: first, last, and where the alarm began
		if i == 0 || i == len(points)-1 {
			anchor := map[bool]string{true: "t2", false: "t2 te"}[i == 0 && len(points) > 1]
			d.text(anchor, x(i), high-8, v.checkName(s, p))
		}
	}
	v.ends(&d, s, g, last, right)
	d.add(`</svg>`)
	return d.html()
}

// pooledCharts draws all nozzles together at each width: grams from what each usually
// gives, so that it shows what they have in common, as the honey's warmth.
func (v *visit) pooledCharts(s *office.FillState) (all []template.HTML) {
	points := s.Pooled[max(0, len(s.Pooled)-mostShown):]
	if len(points) < 2 {
		return nil
	}
	for _, w := range chartWidths {
		const left, high, under = 52.0, 140.0, 28.0
		right := w.wide - 122
		g := gramScale{low: -1, high: 1, top: 26, bottom: high - under}
		for _, p := range points {
			off := 3.3 * p.SigmaG / math.Sqrt(float64(p.N))
			g.low, g.high = min(g.low, p.MeanG*1.1, -off), max(g.high, p.MeanG*1.1, off)
		}
		x := func(i int) float64 { return left + 8 + (right-left-16)*float64(i)/float64(len(points)-1) }
		last := points[len(points)-1]
		var d drawing
		says := v.say("page.fill.pooled-says", "n", int64(len(points)), "off", v.grams2(last.MeanG))
		d.add(`<svg class="chart %s" viewBox="0 0 %s %s" role="img" aria-label="%s">`, w.class, num(w.wide), num(high), template.HTMLEscapeString(says))
		d.text("t2", 0, 14, v.say("page.fill.pooled-unit"))
		step := tick(g.high-g.low, 3)
		for at := math.Ceil(g.low/step) * step; at <= g.high; at += step {
			d.add(`<path class="g" d="M%s %sH%s"/>`, num(left), num(g.y(at)), num(right))
			d.text("t2 te", left-8, g.y(at)+5, v.c.Number(at, tickDecimals(step)))
		}
		d.add(`<path class="ax" d="M%s %sH%s"/>`, num(left), num(g.y(0)), num(right))
		for i := range points {
			points[i].CentreG = 0
		}
		band(&d, points, x, g)
		v.line2(&d, points, x, g)
		d.text("t2", x(0), high-8, v.checkName(s, points[0]))
		d.text("t2 te", x(len(points)-1), high-8, v.checkName(s, last))
		d.text("tb", right+8, g.y(last.MeanG)+5, v.signed(s, last.MeanG))
		d.add(`</svg>`)
		all = append(all, d.html())
	}
	return all
}

// checkName is a check by its number, or a point of a stream by its time.
func (v *visit) checkName(s *office.FillState, p office.FillPoint) string {
	return v.c.Clock(s.Spec.Moment(p.AtMS).Time())
}

// spanOf is the part of the scale that is shown: always with the label and the bound.
func spanOf(points []office.FillPoint, label, t1 float64) gramScale {
	g := gramScale{low: min(label, t1), high: label}
	for _, p := range points {
		g.low, g.high = min(g.low, p.MeanG), max(g.high, p.MeanG)
	}
	room := (g.high - g.low) * 0.1
	if room == 0 {
		room = 1
	}
	g.low, g.high = g.low-room, g.high+room
	return g
}

// backdrop draws lines of the scale, the label, and the bound for short jars.
func (v *visit) backdrop(d *drawing, s *office.FillState, g gramScale, left, right float64) {
	label, t1 := fill.Grams(s.Spec.Label), fill.Grams(s.Spec.Tolerance.T1)
	step := tick(g.high-g.low, 4)
	for at := math.Ceil(g.low/step) * step; at <= g.high; at += step {
		y := g.y(at)
		d.add(`<path class="g" d="M%s %sH%s"/>`, num(left), num(y), num(right))
		d.text("t2 te", left-8, y+5, v.c.Number(at, tickDecimals(step)))
	}
	if y := g.y(t1); y < g.bottom {
		d.add(`<rect class="under" x="%s" y="%s" width="%s" height="%s"/>`, num(left), num(y), num(right-left), num(g.bottom-y))
		d.add(`<path class="lim" d="M%s %sH%s"/>`, num(left), num(y), num(right))
	}
	d.add(`<path class="ax" d="M%s %sH%s"/>`, num(left), num(g.y(label)), num(right))
}

// tick is a step of 1, 2 or 5 that parts a span into about so many.
func tick(span float64, n int) float64 {
	raw := span / float64(n)
	ten := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, k := range [...]float64{1, 2, 5} {
		if raw <= k*ten {
			return k * ten
		}
	}
	return 10 * ten
}

func tickDecimals(step float64) int {
	return max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
}

// band shades where a steady nozzle's means lie.
func band(d *drawing, points []office.FillPoint, x func(int) float64, g gramScale) {
	upper, lower, n := "", "", 0
	for i, p := range points {
		if p.Signals.Has(fill.Learning) || !(p.SigmaG > 0) {
			continue
		}
		off := 3 * p.SigmaG / math.Sqrt(float64(p.N))
		at := num(x(i))
		upper += map[bool]string{true: "M", false: "L"}[n == 0] + at + " " + num(clamp(g.y(p.CentreG+off), g))
		lower = "L" + at + " " + num(clamp(g.y(p.CentreG-off), g)) + lower
		n++
	}
	if n > 1 {
		d.add(`<path class="bandf" d="%s%sZ"/>`, upper, lower)
	}
}

func clamp(y float64, g gramScale) float64 { return min(max(y, g.top), g.bottom) }

// line2 draws the means: hollow where all is well, filled where they alarm.
func (v *visit) line2(d *drawing, points []office.FillPoint, x func(int) float64, g gramScale) {
	path := ""
	for i, p := range points {
		path += map[bool]string{true: "M", false: "L"}[i == 0] + num(x(i)) + " " + num(clamp(g.y(p.MeanG), g))
	}
	d.add(`<path class="ser thin" d="%s"/>`, path)
	r := 4.5
	if len(points) > 30 {
		r = 3
	}
	for i, p := range points {
		class := "pt"
		if p.Signals.Alarm() {
			class = "pt bad"
		}
		d.add(`<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, num(x(i)), num(clamp(g.y(p.MeanG), g)), num(r))
	}
}

// ends writes at the right what the lines are, apart from each other.
func (v *visit) ends(d *drawing, s *office.FillState, g gramScale, last office.FillPoint, right float64) {
	label, t1 := fill.Grams(s.Spec.Label), fill.Grams(s.Spec.Tolerance.T1)
	const apart = 17
	at := [3]float64{g.y(last.MeanG), g.y(label), g.y(t1)} // from the top when all is well
	order := [3]int{0, 1, 2}
	for range 3 {
		for i := range 2 {
			if at[order[i]] > at[order[i+1]] {
				order[i], order[i+1] = order[i+1], order[i]
			}
		}
	}
	for i := 1; i < 3; i++ {
		at[order[i]] = max(at[order[i]], at[order[i-1]]+apart)
	}
	if over := at[order[2]] - (g.bottom + 4); over > 0 {
		for i := range at {
			at[i] -= over
		}
	}
	class := "tb"
	if last.Signals.Alarm() {
		class = "tlim"
	}
	d.text(class, right+8, at[0]+5, v.c.Number(last.MeanG, int(s.Spec.Decimals())))
	d.text("t2", right+8, at[1]+5, v.say("page.fill.label-line", "label", v.c.Number(label, 0)))
	d.text("tlim", right+8, at[2]+5, v.say("page.fill.t1-line", "t1", v.c.Number(t1, 1)))
}

// grams prints grams as finely as the units are told.
func (v *visit) grams(s *office.FillState, g float64) string {
	return v.c.With(g, int(s.Spec.Decimals()), quantity.G)
}
