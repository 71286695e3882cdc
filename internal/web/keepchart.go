package web

import (
	"fmt"
	"html/template"
	"time"

	"combline/internal/assay"
	"combline/internal/honey"
	"combline/internal/office"
	"combline/internal/quantity"
)

// keepWidths are the widths at which a forecast is drawn, with the class of the window
// that shows it.
var keepWidths = []struct {
	wide  float64
	class string
}{{740, "only-n"}, {820, "only-m"}, {1080, "only-w"}}

// keepCharts draws a marker from now to the best-before, at each width.
func (v *visit) keepCharts(now, then office.Keep, x choice, m office.MarkerKeep) (all []template.HTML) {
	for _, w := range keepWidths {
		all = append(all, v.keepChart(now, then, x, m, w.wide, w.class))
	}
	return all
}

func of(s office.KeepStep, m assay.Marker) honey.Band[float64] {
	if m == assay.HMF {
		return s.HMF
	}
	return s.DN
}

// keepChart: solid as now with its shaded band, dashed as chosen, the limit in red.
func (v *visit) keepChart(now, then office.Keep, x choice, m office.MarkerKeep, wide float64, class string) template.HTML {
	const left, high, bottom, top = 44.0, 236.0, 204.0, 34.0
	right := wide - 118
	most := m.Now.High
	for _, s := range append(append([]office.KeepStep(nil), now.Curve...), then.Curve...) {
		most = max(most, of(s, m.Marker).High)
	}
	if m.Limit != nil {
		most = min(max(most, m.Limit.Value*1.1), m.Limit.Value*4)
	}
	a := axisOf(0, most)
	y := func(value float64) float64 { return bottom - (bottom-top)*min(value, a.to)/a.to }
	span := now.Until.Sub(now.At)
	px := func(t time.Time) float64 { return left + (right-left)*float64(t.Sub(now.At))/float64(span) }
	var d drawing
	says := v.say("page.keep.chart-says", "what", v.say("property."+m.Marker.String()), "now", v.c.Number(m.Now.Likely, 0), "then", v.c.Number(m.Then.Likely, 0), "low", v.c.Number(m.Then.Low, 0), "high", v.c.Number(m.Then.High, 0))
	d.add(`<svg class="chart %s" viewBox="0 0 %s %s" role="img" aria-label="%s">`, class, num(wide), num(high), template.HTMLEscapeString(says))
	unit := []string{"mg/kg", "DN"}[m.Marker]
	d.text("t2", 0, 15, v.say("property."+m.Marker.String())+", "+unit)
	for value := a.from; value <= a.to+a.step/2; value += a.step {
		d.add(`<path class="g" d="M%s %sH%s"/>`, num(left), num(y(value)), num(right))
		d.text("t2 te", left-8, y(value)+5, v.c.Number(value, a.decimals))
	}
	keepBand(&d, now.Curve, m.Marker, px, y)
	if m.Limit != nil {
		d.add(`<path class="lim" d="M%s %sH%s"/>`, num(left), num(y(m.Limit.Value)), num(right))
		below := -7.0
		if m.Limit.Least {
			below = 19
		}
		d.text("tlim halo", left+8, y(m.Limit.Value)+below, v.say("page.keep.limit", "limit", v.c.Number(m.Limit.Value, 0)))
	}
	end := of(now.Curve[len(now.Curve)-1], m.Marker)
	yNow := y(end.Likely) + 5
	if x.made && len(then.Curve) > 0 {
		keepLine(&d, "ser alt", then.Curve, m.Marker, px, y)
		chosen := of(then.Curve[len(then.Curve)-1], m.Marker)
		yThen := y(chosen.Likely) + 5
		if yThen <= yNow && yNow-yThen < 20 {
			yNow = yThen + 20
		} else if yThen > yNow && yThen-yNow < 20 {
			yThen = yNow + 20
		}
		d.text("talt", right+8, yThen, fmt.Sprintf("%s: %s", v.temp(quantity.Celsius(x.c)), v.c.Number(chosen.Likely, 0)))
	}
	keepLine(&d, "ser", now.Curve, m.Marker, px, y)
	d.text("tb", right+8, yNow, fmt.Sprintf("%s (%s–%s)", v.c.Number(end.Likely, 0), v.c.Number(end.Low, 0), v.c.Number(end.High, 0)))
	d.add(`<path class="ax" d="M%s %sH%s"/>`, num(left), num(bottom), num(right))
	for i := range 5 {
		t := now.At.Add(time.Duration(float64(span) * float64(i) / 4))
		d.add(`<path class="ax" d="M%s %sv6"/>`, num(px(t)), num(bottom))
		if i%2 == 0 {
			anchor := []string{"t2", "t2 tm", "t2 te"}[i/2]
			d.text(anchor, px(t), 226, v.c.DateShort(t))
		}
	}
	d.add(`<path class="now" d="M%s 30V%s"/>`, num(right), num(bottom))
	d.text("t2 te", right, 22, v.say("page.keep.best-before", "day", v.c.DateShort(now.Until)))
	d.add(`</svg>`)
	return d.html()
}

func keepBand(d *drawing, curve []office.KeepStep, m assay.Marker, px func(time.Time) float64, y func(float64) float64) {
	upper, lower := "", ""
	for i, s := range curve {
		b := of(s, m)
		upper += map[bool]string{true: "M", false: "L"}[i == 0] + num(px(s.At)) + " " + num(y(b.High))
		lower = "L" + num(px(s.At)) + " " + num(y(b.Low)) + lower
	}
	d.add(`<path class="bandf" d="%s%sZ"/>`, upper, lower)
}

func keepLine(d *drawing, class string, curve []office.KeepStep, m assay.Marker, px func(time.Time) float64, y func(float64) float64) {
	path := ""
	for i, s := range curve {
		path += map[bool]string{true: "M", false: "L"}[i == 0] + num(px(s.At)) + " " + num(y(of(s, m).Likely))
	}
	d.add(`<path class="%s" d="%s"/>`, class, path)
}
