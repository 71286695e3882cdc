package heat

import "combline/internal/quantity"

// A Doubt says how far a case may be off. Its slow end warms latest: plan the start by
// it. Its fast end makes the most HMF: judge the honey by it. What is zero is not in
// doubt.
type Doubt struct {
	Film  float64 // ×/÷ on every film
	MeltK float64 // ± on where the grains melt
	Rate  float64 // ×/÷ on the rate of HMF

	// Conductivities of the two ends, if in doubt: the two schools.
	SlowK, FastK *Line
	// The melt's own stirring at the two ends, if in doubt: conduction only, and as
	// published.
	InStirring         bool
	SlowStir, FastStir float64
}

// HouseDoubt is what a house must reckon with that has measured none of its drums:
// films to ×/÷ 1.5, grains to ± 4 K, HMF to ×/÷ 2 (its published spread), both schools
// of conductivity, and honey that stirs itself not at all or as published.
func HouseDoubt(w quantity.WaterPct) (Doubt, error) {
	slow, err := House(w, Additive)
	if err != nil {
		return Doubt{}, err
	}
	fast, err := House(w, Classical)
	if err != nil {
		return Doubt{}, err
	}
	return Doubt{Film: 1.5, MeltK: 4, Rate: 2, SlowK: &slow.Conductivity, FastK: &fast.Conductivity, InStirring: true, FastStir: 1}, nil
}

func (d Doubt) check() error {
	err := first(between("doubt of the rate", d.Rate, 0, 10, "times"), between("doubt of the film", d.Film, 0, 10, "times"),
		between("doubt of the melting", d.MeltK, 0, 30, "K"), between("stirring at the slow end", d.SlowStir, 0, 20, "times"),
		between("stirring at the fast end", d.FastStir, 0, 20, "times"))
	if d.Rate != 0 {
		err = first(err, between("doubt of the rate", d.Rate, 1, 10, "times"))
	}
	if d.Film != 0 {
		err = first(err, between("doubt of the film", d.Film, 1, 10, "times"))
	}
	return err
}

// Slow is the case at its slow end, with the likely rate.
func (d Doubt) Slow(c Case) Case { return d.end(c, -1) }

// Fast is the case at its fast end.
func (d Doubt) Fast(c Case) Case { return d.end(c, 1) }

func (d Doubt) end(c Case, way float64) Case {
	stir, k := d.SlowStir, d.SlowK
	if way > 0 {
		stir, k = d.FastStir, d.FastK
		if d.Rate != 0 {
			c.Honey = c.Honey.Faster(d.Rate)
		}
	}
	if d.InStirring {
		c.Convection = stir
	}
	if k != nil {
		c.Honey.Conductivity = *k
	}
	if d.Film != 0 {
		for _, f := range c.faces() {
			if way > 0 {
				f.Film *= d.Film
			} else {
				f.Film /= d.Film
			}
		}
	}
	if c.Melt != nil {
		m := *c.Melt
		m.Centre -= quantity.Celsius(way * d.MeltK)
		c.Melt = &m
	}
	return c
}

// A Band is a case at the three points of a doubt.
type Band struct{ Slow, Likely, Fast Result }

// Forecast runs a case at the three points of its doubt.
func Forecast(c Case, d Doubt) (Band, error) {
	if err := d.check(); err != nil {
		return Band{}, err
	}
	var b Band
	for _, x := range []struct {
		c  Case
		to *Result
	}{{d.Slow(c), &b.Slow}, {c, &b.Likely}, {d.Fast(c), &b.Fast}} {
		r, err := Run(x.c)
		if err != nil {
			return Band{}, err
		}
		*x.to = r
	}
	return b, nil
}
