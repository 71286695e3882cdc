package assay

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// Yeast is a count and what heat did to it since: Kills of 1 or more is a kill by
// [honey.YeastLethality]. Yeast that grew since it was counted is not reckoned.
type Yeast struct {
	Counted bool
	PerG    float64
	Kills   float64
}

// Count takes in a yeast count.
func (c *Content) Count(perG quantity.YeastPerG) *Content {
	c = c.clone()
	c.Yeast = Yeast{Counted: true, PerG: float64(perG)}
	return c
}

// Living is the count that is left: none once it was killed.
func (y Yeast) Living() float64 {
	if y.Kills >= 1 {
		return 0
	}
	return y.PerG
}

// pass adds the lethality of a course by the trapezoid rule on steps of at most a
// quarter kelvin.
func (y *Yeast) pass(c Course) {
	for i := 1; i < len(c.Points); i++ {
		p, q := c.Points[i-1], c.Points[i]
		if max(p.C, q.C) < 51 {
			continue
		}
		n := max(1, int(math.Ceil(math.Abs(float64(q.C-p.C))*4)))
		minutes := (q.Hour - p.Hour) * 60 / float64(n)
		for k := range n {
			a := p.C + (q.C-p.C)*quantity.Celsius(float64(k)/float64(n))
			b := p.C + (q.C-p.C)*quantity.Celsius(float64(k+1)/float64(n))
			y.Kills += minutes * (honey.YeastLethality(a) + honey.YeastLethality(b)) / 2
		}
	}
}

// mixYeast is the blend's count, by mass; unknown as soon as a part was not counted.
func mixYeast(parts []Part, total float64) Yeast {
	y := Yeast{Counted: true}
	for _, p := range parts {
		y.Counted = y.Counted && p.Content.Yeast.Counted
		y.PerG += p.Content.Yeast.Living() * float64(p.Mass) / total
	}
	if !y.Counted {
		return Yeast{}
	}
	return y
}
