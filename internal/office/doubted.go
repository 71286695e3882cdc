package office

import (
	"fmt"
	"math"
	"slices"

	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Doubted is what one property of a content is, with its doubt and what that rests
// on: read of the content itself, or worked out from what it was made of.
type Doubted struct {
	Value   quantity.Uncertain // in the property's usual unit; not known when something lacks
	Figure  quantity.Figure    // as it was read, when it was read of this one or of its only source
	Bound   record.Bound       // the figure stands for less, or for more
	Mixed   bool               // worked out from several parts
	Assumed bool               // the doubt of some reading was not written down: the usual one stands for it
	Reads   []DoubtedRead
	Lacks   []record.Code // parts without a reading
}

// A DoubtedRead is a reading that a figure rests on.
type DoubtedRead struct {
	Of   record.Code
	Seq  uint64
	When record.When
	Lab  string
}

// Standard uncertainties that stand for those that were not written down, as a share
// of the reading, where package honey has none. They are assumptions of the program,
// without a source: a laboratory states its own.
const (
	hmfShare   = 0.05
	sugarShare = 0.02
	otherShare = 0.05
)

// A doubter works out properties of contents, each once.
type doubter struct {
	v    *View
	done map[doubterKey]Doubted
}

type doubterKey struct {
	n trace.Node
	p record.Property
}

func (v *View) doubter() *doubter { return &doubter{v, map[doubterKey]Doubted{}} }

// mostParts bounds how far back a mix is followed, for a record that goes in circles
// after a correction.
const mostParts = 400

// of gives a property of a content. The error of one reading is the same wherever its
// honey went: drums of one lot are wrong together.
func (d *doubter) of(n trace.Node, p record.Property) Doubted { return d.at(n, p, 0) }

func (d *doubter) at(n trace.Node, p record.Property, depth int) Doubted {
	k := doubterKey{n, p}
	if x, ok := d.done[k]; ok {
		return x
	}
	if depth > mostParts {
		return Doubted{Value: quantity.Unknown(), Lacks: []record.Code{d.v.State.NodeCode(n)}}
	}
	x, ok := d.v.ownReading(n, p)
	if !ok {
		x = d.mixed(n, p, depth)
	}
	d.done[k] = x
	return x
}

// ownReading is what was read of a content itself: a laboratory's before one of the
// house, the later before the earlier. A figure in a unit that does not fit is none.
func (v *View) ownReading(n trace.Node, p record.Property) (x Doubted, ok bool) {
	r, ok := v.ownRead(n, p)
	if !ok || !r.Value.Given() {
		return x, false
	}
	value, err := r.Value.In(record.PropertyUnits[p])
	if err != nil {
		return x, false
	}
	sd, assumed := usualDoubt(p, value), true
	if r.PlusMinus.Given() {
		if pm, err := r.PlusMinus.In(record.PropertyUnits[p]); err == nil {
			sd, assumed = pm/2, false
		}
	}
	if p == record.Water && r.Fact.Lab == "" {
		value, sd = correctedWater(r, value, sd)
	}
	x = Doubted{Value: quantity.Uncertain{Value: value, Own: sd}.Named(fmt.Sprintf("reading %d of %s", r.Seq, p)), Figure: r.Value, Bound: r.Bound, Assumed: assumed,
		Reads: []DoubtedRead{{Of: v.State.NodeCode(n), Seq: r.Seq, When: r.When, Lab: r.Fact.Lab}}}
	return x, x.Value.Known()
}

// usualDoubt is the standard uncertainty of a reading whose doubt nobody wrote down.
func usualDoubt(p record.Property, value float64) float64 {
	switch p {
	case record.Water:
		return honey.WaterGoodHandsSD
	case record.Colour:
		return honey.ColourMeterSD
	case record.Conductivity:
		return honey.ConductivitySD * value
	case record.Diastase, record.Invertase:
		return honey.DiastaseSD * value
	case record.HMF:
		return hmfShare * value
	case record.Fructose, record.Glucose, record.Sucrose:
		return sugarShare * value
	case record.Yeast:
		return 0 // a count is taken as it stands, and said so
	}
	return otherShare * math.Abs(value)
}

// correctedWater corrects a reading of the house for the honey's temperature as the
// refractometer needs it. Where nobody wrote the temperature down it stands as read.
func correctedWater(r Read, value, sd float64) (float64, float64) {
	t, err := r.Fact.HoneyTemp.Celsius()
	if err != nil || r.Fact.SelfRights == record.Yes {
		return value, sd
	}
	how := honey.CorrectionNotKnown
	if r.Fact.SelfRights == record.No {
		how = honey.CorrectsNothing
	}
	if w, err := honey.ReadWater(quantity.WaterPct(value), t, how, sd); err == nil {
		return float64(w.Water), w.SD
	}
	return value, sd
}

// mixed works a property out from what a content was made of, by weight; colour
// through optical density. A part without a reading makes it not known.
func (d *doubter) mixed(n trace.Node, p record.Property, depth int) Doubted {
	x := Doubted{Value: quantity.Unknown(), Mixed: true}
	var parts []Doubted
	var grams []float64
	var sum quantity.Gram
	for _, e := range d.v.State.Graph().Next(n, trace.Back) {
		if !e.Share || e.Grams <= 0 || e.Node == n {
			continue
		}
		part := d.at(e.Node, p, depth+1)
		parts, grams, sum = append(parts, part), append(grams, float64(e.Grams)), sum+e.Grams
		x.Lacks = appendNew(x.Lacks, part.Lacks...)
	}
	if len(parts) == 0 || !mixes(p) && len(parts) > 1 || d.v.State.Graph().Made(n) > sum {
		x.Lacks = appendNew(x.Lacks, d.v.State.NodeCode(n)) // honey of which nothing was read
	}
	if len(x.Lacks) > 0 {
		return x
	}
	if len(parts) == 1 {
		return parts[0]
	}
	counted := p == record.Yeast && slices.ContainsFunc(parts, func(d Doubted) bool { return d.Bound != record.Below })
	for i, part := range parts {
		if counted && part.Bound == record.Below { // too few to count, beside what was counted: as none
			parts[i].Value, part.Bound = quantity.Exactly(0), 0
		}
		x.Assumed = x.Assumed || part.Assumed
		x.Reads = appendNew(x.Reads, part.Reads...)
		if part.Bound != 0 {
			x.Bound = part.Bound
		}
	}
	x.Value = meanOf(p, parts, grams)
	return x
}

// mixes reports whether a property of a mix follows from its parts.
func mixes(p record.Property) bool {
	switch p {
	case record.Residue, record.Acidity, record.WaterActivity, record.Pollen, record.Taste, record.Crystals:
		return false
	}
	return true
}

func meanOf(p record.Property, parts []Doubted, grams []float64) quantity.Uncertain {
	values := make([]quantity.Uncertain, len(parts))
	for i := range parts {
		if values[i] = parts[i].Value; p == record.Colour {
			values[i] = opticalDensity(values[i])
		}
	}
	mean, err := quantity.WeightedMean(values, grams)
	if err != nil {
		return quantity.Unknown()
	}
	if p == record.Colour {
		return pfundOf(mean)
	}
	return mean
}

// slopeStep is the half step over which colour's curve is taken for straight.
const slopeStep = 0.5 // mm Pfund

func opticalDensity(u quantity.Uncertain) quantity.Uncertain {
	od := func(mm float64) (float64, bool) {
		x, err := honey.ODFromPfund(quantity.PfundMM(mm))
		return x, err == nil
	}
	mid, ok := od(u.Value)
	low, ok1 := od(max(0, u.Value-slopeStep))
	high, ok2 := od(u.Value + slopeStep)
	if !ok || !ok1 || !ok2 {
		return quantity.Unknown()
	}
	return bent(u, mid, (high-low)/(u.Value+slopeStep-max(0, u.Value-slopeStep)))
}

func pfundOf(od quantity.Uncertain) quantity.Uncertain {
	mm, err := honey.PfundFromOD(od.Value)
	if err != nil {
		return quantity.Unknown()
	}
	at := float64(mm)
	low, err1 := honey.ODFromPfund(quantity.PfundMM(max(0, at-slopeStep)))
	high, err2 := honey.ODFromPfund(quantity.PfundMM(at + slopeStep))
	if err1 != nil || err2 != nil || !(high > low) {
		return quantity.Unknown()
	}
	return bent(od, at, (at+slopeStep-max(0, at-slopeStep))/(high-low))
}

// bent is a function of u with its slope there, to first order.
func bent(u quantity.Uncertain, value, slope float64) quantity.Uncertain {
	u = quantity.Scale(u, slope)
	u.Value = value
	return u
}

func appendNew[T comparable](all []T, more ...T) []T {
	for _, x := range more {
		found := false
		for _, y := range all {
			found = found || x == y
		}
		if !found {
			all = append(all, x)
		}
	}
	return all
}
