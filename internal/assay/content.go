package assay

import (
	"fmt"
	"math"
	"slices"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A House is where contents are reckoned: the unknowns that they share and what was
// learned of its honey types. One goroutine at a time; [House.Beside] is for another.
type House struct {
	Sampler
	learned map[Marker]map[string]*Factor
}

// New is a house with the factors that were learned; types without one have the
// published spread.
func New(learned ...*Factor) *House {
	h := &House{learned: map[Marker]map[string]*Factor{}}
	for _, f := range learned {
		if h.learned[f.Marker] == nil {
			h.learned[f.Marker] = map[string]*Factor{}
		}
		h.learned[f.Marker][f.Type] = f
	}
	return h
}

// Beside is the same house for another goroutine: the same unknowns.
func (h *House) Beside() *House {
	var all []*Factor
	for _, m := range Markers() {
		for _, t := range sortedKeys(h.learned[m]) {
			all = append(all, h.learned[m][t])
		}
	}
	return New(all...)
}

// Factor is what is known of a type's rate.
func (h *House) Factor(m Marker, honeyType string) *Factor {
	if f := h.learned[m][honeyType]; f != nil {
		return f
	}
	f := Learn(m, honeyType, nil)
	if h.learned[m] == nil {
		h.learned[m] = map[string]*Factor{}
	}
	h.learned[m][honeyType] = f
	return f
}

// A Content is honey as it was up to some hour. The zero Content is nothing; begin with
// [House.Unread].
type Content struct {
	types  []typeShare
	levels [markers]level
	Yeast  Yeast
}

type typeShare struct {
	name  string
	share float64
}

// A level is one marker of a content in every scenario: what it was after the last
// reading (mean at, variance own), and how it grew since along the temperatures as they
// are written down (grown) and as they are in the scenario (really). amiss is the
// variance that the temperatures' doubt adds, for the next reading's weight.
type level struct {
	known  bool
	lacks  []string // contents without a reading
	at     draw
	own    draw
	grown  draw
	really draw
	amiss  draw
}

// Unread is honey of a type of which nothing was read; name says whose it is.
func (h *House) Unread(honeyType, name string) *Content {
	c := &Content{types: []typeShare{{honeyType, 1}}}
	for m := range c.levels {
		c.levels[m].lacks = []string{name}
	}
	return c
}

// Known reports whether a marker of the content was ever read, and else which contents
// lack a reading.
func (c *Content) Known(m Marker) (known bool, lacks []string) {
	return c.levels[m].known, c.levels[m].lacks
}

func (c *Content) clone() *Content {
	d := *c
	return &d
}

// Pass lets the content stand along a course.
func (h *House) Pass(c *Content, course Course) (*Content, error) {
	if err := course.Check(); err != nil {
		return nil, err
	}
	c = c.clone()
	for _, m := range Markers() {
		h.grow(c, m, course)
	}
	c.Yeast.pass(course)
	return c, nil
}

// grow adds a course's heat to one marker.
func (h *House) grow(c *Content, m Marker, course Course) {
	k := m.kinetics()
	s := sum(k.law, course)
	if s.a <= 0 {
		return
	}
	l := &c.levels[m]
	z := h.normal("temperature:" + course.Key)
	sign, kelvin := 1.0, s.perKelvin(k.law)
	if k.log {
		sign = -1
	}
	for _, t := range c.types {
		f := h.Factor(m, t.name)
		for i := range Scenarios {
			base := sign * t.share * s.a * math.Exp(f.rate[i]) * s.times(k.law, f.energy[i], 0)
			l.grown[i] += base
			l.really[i] += base * math.Exp((k.law.Energy+f.energy[i])/honey.R*s.q/s.a*course.SD*z[i])
			l.amiss[i] += square(base * kelvin * course.SD)
		}
	}
}

// before is the mean and variance of what the next reading should show.
func (l *level) before(i int) (mean, variance float64) {
	return l.at[i] + l.grown[i], l.own[i] + square(withinType*l.grown[i]) + l.amiss[i]
}

// Read takes in a reading. odd: it lies so far from what was reckoned (4 standard
// deviations) that the history can't have been as it is written down; then only the
// reading counts.
func (h *House) Read(c *Content, m Marker, r Reading) (_ *Content, odd bool, err error) {
	if err := r.Check(m); err != nil {
		return nil, false, err
	}
	c = c.clone()
	l := &c.levels[m]
	x := r.on(m)
	z := h.normal("laboratory:" + m.String() + ":" + r.Lab)
	odd = l.known && l.surprise(x) > 4
	for i := range Scenarios {
		y, own := x.y-z[i]*x.lab, square(x.own)
		mean, variance := l.before(i)
		if !l.known || odd {
			l.at[i], l.own[i] = y, own
			continue
		}
		gain := variance / (variance + own)
		l.at[i], l.own[i] = mean+gain*(y-mean), variance*own/(variance+own)
	}
	l.known, l.lacks = true, nil
	l.grown, l.really, l.amiss = draw{}, draw{}, draw{}
	return c, odd, nil
}

// surprise is how many standard deviations a reading lies from what was reckoned, over
// all scenarios.
func (l *level) surprise(x seen) float64 {
	var mean, second float64
	for i := range Scenarios {
		mu, v := l.before(i)
		mean += mu / Scenarios
		second += (mu*mu + v) / Scenarios
	}
	return math.Abs(x.y-mean) / math.Sqrt(max(0, second-mean*mean)+square(x.own)+square(x.lab))
}

// A Part is a content in a blend.
type Part struct {
	Mass    quantity.Kg
	Content *Content
}

// Mix is what parts stirred together are. Markers mix by mass; a part without a reading
// leaves the blend's marker unknown.
func (h *House) Mix(parts []Part) (*Content, error) {
	var total float64
	for _, p := range parts {
		if !(p.Mass > 0 && p.Mass <= 1e9) {
			return nil, fmt.Errorf("a part of %g kg, want above 0", float64(p.Mass))
		}
		total += float64(p.Mass)
	}
	if len(parts) == 0 {
		return nil, fmt.Errorf("no part to mix")
	}
	if len(parts) == 1 {
		return parts[0].Content, nil
	}
	c := &Content{}
	shares := map[string]float64{}
	for _, p := range parts {
		for _, t := range p.Content.types {
			shares[t.name] += t.share * float64(p.Mass) / total
		}
	}
	for _, name := range sortedKeys(shares) {
		c.types = append(c.types, typeShare{name, shares[name]})
	}
	for _, m := range Markers() {
		mixLevel(&c.levels[m], m, parts, total)
	}
	c.Yeast = mixYeast(parts, total)
	return c, nil
}

// mixLevel mixes one marker by mass, scenario by scenario. What the parts' histories
// leave in doubt is taken as one error: they stood in one house.
func mixLevel(to *level, m Marker, parts []Part, total float64) {
	to.known = true
	for _, p := range parts {
		l := &p.Content.levels[m]
		to.known = to.known && l.known
		to.lacks = append(to.lacks, l.lacks...)
	}
	slices.Sort(to.lacks)
	to.lacks = slices.Compact(to.lacks)
	up, down := func(y float64) float64 { return y }, func(y float64) float64 { return y }
	if m.kinetics().log {
		up, down = math.Exp, math.Log
	}
	for i := range Scenarios {
		var nominal, real, own, within, amiss float64
		for _, p := range parts {
			l, w := &p.Content.levels[m], float64(p.Mass)/total
			y := up(l.at[i] + l.grown[i])
			slope := w
			if m.kinetics().log {
				slope = w * y
			}
			nominal += w * y
			real += w * up(l.at[i]+l.really[i])
			own += square(slope) * l.own[i]
			within += slope * l.grown[i]
			amiss += slope * math.Sqrt(l.amiss[i])
		}
		per := 1.0
		if m.kinetics().log {
			per = nominal
		}
		to.at[i] = down(nominal)
		to.really[i] = down(real) - to.at[i]
		to.own[i] = (own + square(withinType*within)) / square(per)
		to.amiss[i] = square(amiss / per)
	}
}
