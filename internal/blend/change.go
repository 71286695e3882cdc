package blend

import (
	"errors"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// A Change is one thing done otherwise, with which there is a plan.
type Change struct {
	Demand Demand // that gives way; meaningless if Honey is there
	Way    int
	Place  int     // of the term in the way
	From   float64 // in the limit's unit, %, kg, days or a count
	To     float64
	Honey  *Honey  // honey to bring in instead
	Size   float64 // how far it goes, in parts of what was asked: smaller changes first
	Plan   *Plan   // what it gives
}

// try applies a change and looks for a plan; a bound that fails by rounding is eased
// a step or two more.
func (e *explainer) try(x *Change) (bool, error) {
	for range 3 {
		p := x.Apply(*e.t.p)
		r, _, err := find(p, solver{e.s.solve, linear.Options{Gap: 1e-3, Seconds: e.s.o.Seconds}})
		switch {
		case errors.Is(err, ErrNotSettled):
		case err != nil:
			return false, err
		case r.Plan != nil:
			x.Plan = r.Plan
			return true, nil
		}
		if !x.ease(e.t.p) {
			return false, nil
		}
	}
	return false, nil
}

// ease moves a change a step further: the nearest that could be met was found by a
// search that lets a hair pass.
func (x *Change) ease(p *Problem) bool {
	b := &p.Batches[x.Demand.Batch]
	if x.Honey != nil {
		x.Honey.Grams += x.Honey.Grams/50 + 2000
		x.Honey.Content.Grams = x.Honey.Grams
		return true
	}
	step := 0.0
	switch x.Demand.Kind {
	case AskGrams, AskParcel, AskUse:
		step = max(0.001*math.Abs(x.To), gramKg)
	case AskTank:
		step = 1
	case AskContents:
		step = 1
	case AskLimit:
		step = b.Limits[x.Demand.Index].Ways[x.Way][x.Place].Measure.step()
	case AskShare:
		step = shareStep
	}
	if x.To < x.From {
		step = -step
	}
	x.To = math.Round((x.To+step)*1e9) / 1e9
	x.Size = math.Abs(x.To-x.From) / max(math.Abs(x.From), 1e-9)
	return step != 0 && x.To > 0
}

// shareStep is what a proposed share is rounded to, in %.
const shareStep = 0.1

// Apply gives the problem with the change made.
func (x *Change) Apply(p Problem) Problem {
	if x.Honey != nil {
		p.Contents = append(slices.Clone(p.Contents), x.Honey.Content)
		return p
	}
	p.Batches = slices.Clone(p.Batches)
	b := &p.Batches[x.Demand.Batch]
	switch i := x.Demand.Index; x.Demand.Kind {
	case AskGrams:
		b.Grams = quantity.Gram(math.Round(x.To * 1000))
	case AskTank:
		b.Tank = quantity.Gram(math.Round(x.To * 1000))
	case AskContents:
		b.Most = int(x.To)
	case AskParcel:
		b.Parcel = quantity.Gram(math.Round(x.To * 1000))
	case AskLimit:
		b.Limits = slices.Clone(b.Limits)
		l := &b.Limits[i]
		l.Ways = slices.Clone(l.Ways)
		l.Ways[x.Way] = slices.Clone(l.Ways[x.Way])
		l.Ways[x.Way][x.Place].Bound = x.To
	case AskShare:
		b.Shares = slices.Clone(b.Shares)
		if s := &b.Shares[i]; x.To < x.From {
			s.Least = quantity.Percent(x.To)
		} else {
			s.Most = quantity.Percent(x.To)
		}
	case AskUse:
		b.Use = slices.Clone(b.Use)
		b.Use[i].Grams = quantity.Gram(math.Round(x.To * 1000))
	case AskApart:
		b.Apart = slices.Delete(slices.Clone(b.Apart), i, i+1)
	case AskMark:
		b.Marks = slices.Delete(slices.Clone(b.Marks), i, i+1)
	case AskTime:
		b.Within = quantity.Days(x.To)
	case AskWhole:
		p.Contents = slices.Clone(p.Contents)
		for k := range p.Contents {
			p.Contents[k].Split = p.Contents[k].Drum > 0
		}
	}
	return p
}

// proposals are the changes of a demand that its reaches suggest. What law or nature
// sets is not changed, and a label's share follows the honey, not the other way round:
// a label that says what is reachable is another product, and left to the person.
func (e *explainer) proposals(d Demand, reaches []Reach) (out []Change) {
	b := &e.t.p.Batches[d.Batch]
	add := func(way, place int, from, to float64) {
		size := math.Abs(to-from) / max(math.Abs(from), 1e-9)
		out = append(out, Change{Demand: d, Way: way, Place: place, From: from, To: to, Size: size})
	}
	switch d.Kind {
	case AskApart, AskMark, AskWhole:
		add(0, 0, 1, 0)
	case AskTime:
		for _, days := range e.later(b.Within) {
			add(0, 0, float64(b.Within), days)
		}
	}
	for _, r := range reaches {
		switch d.Kind {
		case AskGrams:
			add(0, 0, kg(b.Grams), e.grams(b, r.Value))
		case AskTank:
			add(0, 0, kg(b.Tank), math.Ceil(r.Value))
		case AskContents:
			add(0, 0, float64(b.Most), math.Round(r.Value))
		case AskParcel:
			add(0, 0, kg(b.Parcel), math.Floor(r.Value*10)/10)
		case AskUse:
			add(0, 0, kg(b.Use[d.Index].Grams), math.Floor(r.Value))
		case AskLimit:
			if !b.Limits[d.Index].Fixed {
				k := slices.Index(b.Limits[d.Index].Ways[r.Way], r.Term)
				add(r.Way, k, r.Term.Bound, outward(r.Value, r.Term.Measure.step(), r.Term.Least))
			}
		case AskShare:
			s := b.Shares[d.Index]
			if r.Value < float64(s.Least) {
				add(0, 0, float64(s.Least), outward(r.Value, shareStep, true))
			} else {
				add(0, 0, float64(s.Most), outward(r.Value, shareStep, false))
			}
		}
	}
	return out
}

// grams gives the amount to ask for so that what can be had is within its tolerance.
func (e *explainer) grams(b *Batch, had float64) float64 {
	if had < kg(b.Grams-b.Under) {
		return math.Floor(had*1000) / 1000
	}
	return math.Ceil(had*1000) / 1000
}

// outward rounds a bound to a step on its easy side.
func outward(v, step float64, least bool) float64 {
	const hair = 1e-6 // of a step: a figure that stands on one is not moved
	n := math.Ceil(v/step - hair)
	if least {
		n = math.Floor(v/step + hair)
	}
	return math.Round(n*step*1e9) / 1e9
}

// later lists the days after which more contents can be tipped.
func (e *explainer) later(within quantity.Days) (out []float64) {
	for i := range e.t.p.Contents {
		if d := e.t.p.Contents[i].TipAfter; d > within && !slices.Contains(out, float64(d)) {
			out = append(out, float64(d))
		}
	}
	slices.Sort(out)
	return out
}
