package office

import (
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Colour is how dark honey is: read of itself, or worked out from its parts.
type Colour struct {
	Pfund quantity.PfundMM
	Mixed bool // worked out: the parts' optical densities averaged by weight
}

// Colour is the colour of a content, when it or all that it was made of was read.
func (v *View) Colour(n trace.Node) (Colour, bool) { return v.colour(n, 0) }

// deepest is how many pours back a colour is looked for; beyond, it is not known.
const deepest = 8

func (v *View) colour(n trace.Node, depth int) (Colour, bool) {
	if r, ok := v.reading(n, record.Colour); ok && r.Value.Given() {
		return Colour{Pfund: quantity.PfundMM(r.Value.Float())}, true
	}
	if depth == deepest {
		return Colour{}, false
	}
	var od, grams float64
	for _, x := range v.State.Graph().Next(n, trace.Back) {
		if !x.Share || x.Grams <= 0 {
			continue
		}
		part, ok := v.colour(x.Node, depth+1)
		if !ok {
			return Colour{}, false
		}
		d, err := honey.ODFromPfund(part.Pfund)
		if err != nil {
			return Colour{}, false
		}
		od, grams = od+d*float64(x.Grams), grams+float64(x.Grams)
	}
	if !(grams > 0) {
		return Colour{}, false
	}
	p, err := honey.PfundFromOD(od / grams)
	return Colour{Pfund: p, Mixed: true}, err == nil
}
