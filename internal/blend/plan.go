package blend

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Plan is a sound choice of draws, checked in whole grams.
type Plan struct {
	Draws     []Draw // by batch, then content
	Blends    []Blend
	Scores    []Score // by the aims, in their order
	Cost      float64 // of the honey alone, in the house's money
	PartDrums int     // that will be left
	Proven    bool    // by the first aim, to the gap that was asked
}

// A Score is what a plan comes to by an aim, and what none can be under.
type Score struct {
	Aim          Aim
	Value, Bound float64
}

// Gap is how far the plan may be from the best, as a part of its value.
func (s Score) Gap() float64 {
	if d := s.Value - s.Bound; d > 0 {
		return d / math.Abs(s.Value)
	}
	return 0
}

// A Blend is what a batch becomes.
type Blend struct {
	Batch       int
	Grams       quantity.Gram
	Short, Over quantity.Gram
	Contents    int
	Figures     []Found
	Shares      []ShareFound
	Label       []standard.ShareCheck
}

// Found is a limited figure of a blend with its doubt, and the chance that the truth
// breaks the limit.
type Found struct {
	Limit, Way, Place int // into the batch's Limits
	Term              Term
	Value             quantity.Uncertain
	Chance            float64
}

// A ShareFound is a share that was asked for.
type ShareFound struct {
	By          Dimension
	Name        string
	Percent     quantity.Percent
	Least, Most quantity.Percent
}

func (p *Problem) figure(draws []Draw, term Term, limit, way, place int) Found {
	v := p.measure(draws, term.Measure)
	l := quantity.Limit{Value: term.Bound, Least: term.Least}
	f := Found{limit, way, place, term, v, l.Breach(v)}
	if term.Measure == Measure(Colour) && p.Colour == ColourByDensity {
		f.Chance = p.colourBreach(draws, term)
	}
	return f
}

// colourBreach is the chance in optical densities, which is what mixes: one mm is more
// density in dark honey than in pale.
func (p *Problem) colourBreach(draws []Draw, term Term) float64 {
	t := task{p: p}
	var offs []quantity.Uncertain
	var weights []float64
	for _, d := range draws {
		c := &p.Contents[d.Content]
		if t.lacks(c, []Term{term}) != nil {
			return math.NaN()
		}
		o, err := t.against(c, term)
		if err != nil {
			return math.NaN()
		}
		offs, weights = append(offs, o.off), append(weights, o.weight*float64(d.Grams))
	}
	off, err := quantity.WeightedMean(offs, weights)
	if err != nil {
		return math.NaN()
	}
	return off.ChanceAbove(0)
}

// measure reckons a blend's measure from its parts, by the mixing rules of package
// honey.
func (p *Problem) measure(draws []Draw, m Measure) quantity.Uncertain {
	switch m {
	case Measure(Colour):
		if p.Colour == ColourByDensity {
			return p.colour(draws)
		}
	case Sugars:
		return quantity.Add(p.mean(draws, Fructose), p.mean(draws, Glucose))
	case GlucosePerWater:
		return p.ratio(draws, Glucose, Water)
	case FructosePerGlucose:
		return p.ratio(draws, Fructose, Glucose)
	}
	return p.mean(draws, Figure(m))
}

// mean mixes a figure by mass. Log doubt is added up as [quantity.SumPositive] has it.
func (p *Problem) mean(draws []Draw, f Figure) quantity.Uncertain {
	us, weights, total, log := []quantity.Uncertain{}, []float64{}, 0.0, false
	for _, d := range draws {
		u, read := p.Contents[d.Content].Figures[f]
		if !read {
			return quantity.Unknown()
		}
		us, weights = append(us, u), append(weights, float64(d.Grams))
		total, log = total+float64(d.Grams), log || u.Log
	}
	if log {
		for i := range us {
			us[i] = quantity.Scale(us[i], weights[i]/total)
		}
		return quantity.SumPositive(us...)
	}
	u, err := quantity.WeightedMean(us, weights)
	if err != nil {
		return quantity.Unknown()
	}
	return u
}

// ratio is the quotient of two means; its doubt is that of over − ratio × under.
func (p *Problem) ratio(draws []Draw, over, under Figure) quantity.Uncertain {
	a, b := p.mean(draws, over), p.mean(draws, under)
	if !a.Known() || !b.Known() || !(b.Value > 0) {
		return quantity.Unknown()
	}
	r := a.Value / b.Value
	u := quantity.Scale(quantity.Sub(a, quantity.Scale(b, r)), 1/b.Value)
	u.Value = r
	return u
}

// colour mixes optical densities by volume and turns them back into mm.
func (p *Problem) colour(draws []Draw) quantity.Uncertain {
	var parcels []honey.Parcel
	var doubts []quantity.Uncertain
	var weights []float64
	for _, d := range draws {
		c := &p.Contents[d.Content]
		mm, read := c.Figures[Colour]
		w, wet := c.Figures[Water]
		if !read || !wet {
			return quantity.Unknown()
		}
		parcels = append(parcels, honey.Parcel{Name: c.Name, Mass: d.Grams.Kg()}.With(honey.PropPfund, mm.Value).With(honey.PropWater, w.Value))
		density, err := honey.Density(20, quantity.WaterPct(w.Value))
		if err != nil {
			return quantity.Unknown()
		}
		weights = append(weights, float64(d.Grams)/float64(density))
		doubts = append(doubts, quantity.Scale(quantity.Sub(mm, quantity.Exactly(mm.Value)), odSlope(mm.Value)))
	}
	mix, err := honey.Mix(parcels)
	if err != nil {
		return quantity.Unknown()
	}
	mm, err := mix.Of(honey.PropPfund)
	if err != nil {
		return quantity.Unknown()
	}
	u, err := quantity.WeightedMean(doubts, weights)
	if err != nil {
		return quantity.Unknown()
	}
	u = quantity.Scale(u, 1/odSlope(mm))
	u.Value = mm
	return u
}
