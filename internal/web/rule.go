package web

import (
	"html/template"
	"math"
)

// A scale of a rule or chart runs over round steps.
type axis struct {
	from, to, step float64
	decimals       int
}

// axisOf chooses four to six round steps over a range.
func axisOf(low, high float64) axis {
	if !(high > low) {
		high = low + 1
	}
	raw := (high - low) / 5
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	step := power
	for _, m := range []float64{1, 2, 5, 10} {
		if step = m * power; step >= raw {
			break
		}
	}
	a := axis{from: math.Floor(low/step+1e-9) * step, to: math.Ceil(high/step-1e-9) * step, step: step}
	a.decimals = max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	return a
}

// dipRule draws a reading against its limits: shaded what is allowed, a post for each
// limit, a ring for the reading, a bar for its spread.
type dipRule struct {
	value, low, high float64 // high and low of the band, 9 in 10
	least, most      float64 // limits, NaN for none
	from, to         float64 // what honey reads
	allowed          bool    // a rule says what is allowed
	label            string  // read aloud
}

func (r dipRule) draw(number func(float64, int) string) template.HTML {
	const wide, left, right, base = 300.0, 16.0, 284.0, 26.0
	low, high := min(r.from, r.low, r.value), max(r.to, r.high, r.value)
	for _, limit := range []float64{r.least, r.most} {
		if !math.IsNaN(limit) {
			low, high = min(low, limit), max(high, limit)
		}
	}
	a := axisOf(low, high)
	at := func(x float64) float64 { return left + (right-left)*(x-a.from)/(a.to-a.from) }
	var d drawing
	d.add(`<svg class="chart rule" viewBox="0 0 %s 52" role="img" aria-label="%s">`, num(wide), template.HTMLEscapeString(r.label))
	z0, z1 := left, right
	if !math.IsNaN(r.least) {
		z0 = at(r.least)
	}
	if !math.IsNaN(r.most) {
		z1 = at(r.most)
	}
	if r.allowed {
		d.add(`<path class="zone" d="M%s 8H%sV%sH%sZ"/>`, num(z0), num(z1), num(base), num(z0))
	}
	for x := a.from; x <= a.to+a.step/2; x += a.step {
		d.add(`<path class="dip" d="M%s %sv-8"/>`, num(at(x)), num(base))
		d.text("t2 tm", at(x), 46, number(x, a.decimals))
	}
	d.add(`<path class="ax" d="M%s %sH%s"/>`, num(left), num(base), num(right))
	for _, limit := range []float64{r.least, r.most} {
		if !math.IsNaN(limit) {
			d.add(`<path class="lim post" d="M%s 2V30"/>`, num(at(limit)))
		}
	}
	if r.high > r.low {
		d.add(`<path class="spread" d="M%s 14H%s"/><path class="ends" d="M%s 9v10M%s 9v10"/>`, num(at(r.low)), num(at(r.high)), num(at(r.low)), num(at(r.high)))
	}
	d.add(`<circle class="dot" cx="%s" cy="14" r="6.5"/></svg>`, num(at(r.value)))
	return d.html()
}
