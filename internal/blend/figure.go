package blend

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Figure is what is read of a content.
type Figure uint8

const (
	Water        Figure = iota // %
	Colour                     // mm Pfund
	HMF                        // mg/kg, at tipping
	HMFThen                    // mg/kg, forecast for the best-before date
	Diastase                   // Schade units, at tipping
	DiastaseThen               // Schade units, forecast for the best-before date
	Conductivity               // mS/cm
	Fructose                   // g/100 g
	Glucose                    // g/100 g
	Sucrose                    // g/100 g
	FreeAcid                   // meq/kg
	Insolubles                 // g/100 g
	Yeast                      // living cells a gram
	figureCount
)

// figures are never changed. Low and high are where a figure is taken for a slip of
// its unit: wider than any honey.
var figures = [figureCount]struct {
	name      string
	unit      quantity.Unit
	low, high float64
	step      float64 // to which a changed limit is rounded
}{
	Water:        {"water", quantity.Pct, 10, 30, 0.01},
	Colour:       {"colour", quantity.MM, 0, 140, 0.1},
	HMF:          {"hmf", quantity.MgPerKg, 0, 1000, 0.1},
	HMFThen:      {"hmf_then", quantity.MgPerKg, 0, 1000, 0.1},
	Diastase:     {"diastase", quantity.Schade, 0, 200, 0.1},
	DiastaseThen: {"diastase_then", quantity.Schade, 0, 200, 0.1},
	Conductivity: {"conductivity", quantity.MSPerCM, 0, 5, 0.001},
	Fructose:     {"fructose", quantity.Pct, 0, 60, 0.01},
	Glucose:      {"glucose", quantity.Pct, 0, 60, 0.01},
	Sucrose:      {"sucrose", quantity.Pct, 0, 40, 0.01},
	FreeAcid:     {"free_acid", quantity.MeqPerKg, 0, 200, 0.1},
	Insolubles:   {"insolubles", quantity.Pct, 0, 5, 0.001},
	Yeast:        {"yeast", quantity.PerGram, 0, 1e10, 1},
}

// String is the figure's stable key.
func (f Figure) String() string {
	if f >= figureCount {
		return "unknown"
	}
	return figures[f].name
}

// A Measure is what a limit is set on: a figure of the blend, or what follows from
// two of them.
type Measure uint8

const (
	// The first measures are the figures themselves: Measure(Water) and so on.
	Sugars             = Measure(figureCount) + iota // fructose and glucose together, g/100 g
	GlucosePerWater                                  // sets soon over about 2.1
	FructosePerGlucose                               // sets late over about 1.3
	measureCount
)

var derived = [...]struct {
	name      string
	unit      quantity.Unit
	low, high float64
	step      float64
	of        [2]Figure
}{
	{"sugars", quantity.Pct, 10, 100, 0.01, [2]Figure{Fructose, Glucose}},
	{"glucose_per_water", quantity.Each, 0, 5, 0.01, [2]Figure{Glucose, Water}},
	{"fructose_per_glucose", quantity.Each, 0, 5, 0.01, [2]Figure{Fructose, Glucose}},
}

// String is the measure's stable key.
func (m Measure) String() string {
	switch {
	case m < Measure(figureCount):
		return Figure(m).String()
	case m < measureCount:
		return derived[m-Sugars].name
	}
	return "unknown"
}

// Unit is the unit of the measure's limits.
func (m Measure) Unit() quantity.Unit {
	switch {
	case m < Measure(figureCount):
		return figures[m].unit
	case m < measureCount:
		return derived[m-Sugars].unit
	}
	return quantity.NoUnit
}

// step is what a proposed limit is rounded to.
func (m Measure) step() float64 {
	if m < Measure(figureCount) {
		return figures[m].step
	}
	return derived[m-Sugars].step
}

// checkLimit refuses a limit that no honey's figure comes near: it is in another
// unit, or a slip.
func (m Measure) checkLimit(v float64) error {
	low, high := 0.0, 0.0
	switch {
	case m < Measure(figureCount):
		low, high = figures[m].low, figures[m].high
	case m < measureCount:
		low, high = derived[m-Sugars].low, derived[m-Sugars].high
	default:
		return fmt.Errorf("no measure %d", m)
	}
	if low <= v && v <= high {
		return nil
	}
	return fmt.Errorf("limit %g on %s, want %g to %g %s; is it in another unit?", v, m, low, high, m.Unit())
}

// needs lists the figures that a content must have for m to be known of a blend
// with it.
func (m Measure) needs(colour ColourRule) []Figure {
	switch {
	case m == Measure(Colour) && colour == ColourByDensity:
		return []Figure{Colour, Water}
	case m < Measure(figureCount):
		return []Figure{Figure(m)}
	}
	d := derived[m-Sugars].of
	return d[:]
}

// A ColourRule says how colour mixes.
type ColourRule uint8

const (
	// ColourByDensity turns mm Pfund into optical density at 560 nm, mixes that by
	// volume and turns it back, as package honey does: dark honey darkens more than
	// its share.
	ColourByDensity ColourRule = iota
	// ColourByMM mixes mm by mass: right for absorbance at 635 nm on diluted honey,
	// of which mm is a straight line (mm = −38.70 + 371.39 A).
	ColourByMM
)

// An odds is a content's part in a row: its weight in the mean for each kg (1 by
// mass, 1/density by volume) and how far its figure is from the limit, with doubt.
// The blend keeps a "most" where Σ weight·kg·off is not above 0.
type odds struct {
	weight float64
	off    quantity.Uncertain
}

// against gives the content's part in the row of a term, turned so that what breaks
// it is above 0. Its figures are known: see [Measure.needs].
func (t *task) against(c *Content, term Term) (odds, error) {
	o, err := t.measured(c, term)
	if term.Least {
		o.off = quantity.Scale(o.off, -1)
	}
	return o, err
}

func (t *task) measured(c *Content, term Term) (odds, error) {
	m, limit, colour := term.Measure, term.Bound, t.p.Colour
	switch m {
	case Measure(Colour):
		if colour == ColourByDensity {
			return colourAgainst(c, limit)
		}
	case Sugars:
		return odds{1, quantity.Sum(c.Figures[Fructose], c.Figures[Glucose], quantity.Exactly(-limit))}, nil
	case GlucosePerWater:
		return odds{1, quantity.Sub(c.Figures[Glucose], quantity.Scale(c.Figures[Water], limit))}, nil
	case FructosePerGlucose:
		return odds{1, quantity.Sub(c.Figures[Fructose], quantity.Scale(c.Figures[Glucose], limit))}, nil
	}
	return odds{1, quantity.Add(t.straight(c.Figures[Figure(m)], term.Least), quantity.Exactly(-limit))}, nil
}

// straight gives log doubt (×/÷) the linear doubt that has the same end of the band
// at the chance that is taken: the upper end against a most, the lower against a
// least.
func (t *task) straight(u quantity.Uncertain, least bool) quantity.Uncertain {
	if !u.Log || t.z == 0 || u.StdDev() == 0 {
		return u
	}
	s, sign := u.StdDev(), 1.0
	if least {
		sign = -1
	}
	k := sign * u.Value * math.Expm1(sign*t.z*s) / (t.z * s)
	out := quantity.Uncertain{Value: u.Value, Own: k * u.Own}
	for _, part := range u.Shared {
		out = out.WithShare(part.Key, k*part.Coef)
	}
	return out
}

// perM3 scales weights by volume to about 1.
const perM3 = 1420

func colourAgainst(c *Content, limit float64) (odds, error) {
	mm := c.Figures[Colour]
	od, err := honey.ODFromPfund(quantity.PfundMM(mm.Value))
	if err != nil {
		return odds{}, fmt.Errorf("%s: %w", c.Name, err)
	}
	bound, err := honey.ODFromPfund(quantity.PfundMM(min(limit, scaleEndMM)))
	if err != nil {
		return odds{}, err
	}
	density, err := honey.Density(20, quantity.WaterPct(c.Figures[Water].Value))
	if err != nil {
		return odds{}, fmt.Errorf("%s: %w", c.Name, err)
	}
	off := quantity.Add(quantity.Scale(quantity.Sub(mm, quantity.Exactly(mm.Value)), odSlope(mm.Value)), quantity.Exactly(od-bound))
	return odds{perM3 / float64(density), off}, nil
}

// scaleEndMM is the darkest colour that has an optical density.
const scaleEndMM = 114.0

// odSlope is the change of optical density for one mm, for the doubt to first order.
func odSlope(mm float64) float64 {
	low, high := max(0, mm-0.5), min(scaleEndMM, mm+0.5)
	a, err := honey.ODFromPfund(quantity.PfundMM(low))
	b, err2 := honey.ODFromPfund(quantity.PfundMM(high))
	if err != nil || err2 != nil {
		return math.NaN()
	}
	return (b - a) / (high - low)
}

// ends gives the range in which a bound is looked for.
func (m Measure) ends(colour ColourRule) (low, high float64) {
	switch {
	case m == Measure(Colour) && colour == ColourByDensity:
		return 0, scaleEndMM
	case m < Measure(figureCount):
		return figures[m].low, figures[m].high
	}
	return derived[m-Sugars].low, derived[m-Sugars].high
}
