package blend

import (
	"cmp"
	"errors"
	"fmt"
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

// Honey is honey that is not there.
type Honey struct {
	Like    int // the content that it is more of; −1 if it is as good as the best here in each figure
	Content Content
	Grams   quantity.Gram
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
		if !x.ease() {
			return false, nil
		}
	}
	return false, nil
}

// ease moves a change a step further.
func (x *Change) ease() bool {
	if x.Honey != nil {
		x.Honey.Grams += x.Honey.Grams/100 + 1000
		x.Honey.Content.Grams = x.Honey.Grams
		return true
	}
	return false
}

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
				add(0, 0, float64(s.Least), outward(r.Value, 0.1, true))
			} else {
				add(0, 0, float64(s.Most), outward(r.Value, 0.1, false))
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

// An extra is honey that may be brought in without end: how little of it would do?
type extra struct {
	batch int // place
	like  *Content
}

// extraAt is the extra's part in a row, with all its doubt against it.
func (t *task) extraAt(x *extra, key rowKey) float64 {
	term := t.p.Batches[key.batch].Limits[key.limit].Ways[key.way][key.term]
	o, err := t.against(x.like, term)
	if err != nil {
		return 0
	}
	return o.weight * (o.off.Value + t.z*o.off.StdDev())
}

// mostHoneys is how many honeys to bring in are proposed at most.
const mostHoneys = 3

// moreHoney finds which honey more of it would help, and how little.
func (e *explainer) moreHoney(c *Clash) error {
	for place, j := range e.batches {
		var asks []Change
		var models []linear.Model
		for _, h := range e.honeys(j) {
			b := e.t.build(ask{batches: e.batches, extra: &extra{place, &h.Content}})
			asks, models = append(asks, Change{Honey: &h, Demand: Demand{Batch: j}}), append(models, b.model)
		}
		if len(models) == 0 {
			continue
		}
		sols, err := e.s.solve(models, e.s.o)
		if err != nil {
			return fmt.Errorf("solver: %w", err)
		}
		if err := e.tryHoneys(c, j, asks, sols); err != nil {
			return err
		}
	}
	return nil
}

func (e *explainer) tryHoneys(c *Clash, j int, asks []Change, sols []linear.Solution) error {
	var good []Change
	for i, x := range asks {
		if i >= len(sols) || !sols[i].Found() || !(sols[i].Objective > 0) {
			continue
		}
		x.Honey.Grams = quantity.Gram(math.Ceil(sols[i].Objective+0.01)) * 1000
		x.Honey.Content.Grams = x.Honey.Grams
		x.Size = kg(x.Honey.Grams) / kg(e.t.p.Batches[j].Grams)
		good = append(good, x)
	}
	slices.SortStableFunc(good, func(x, y Change) int { return cmp.Compare(x.Honey.Grams, y.Honey.Grams) })
	for n, k := 0, 0; k < len(good) && n < mostHoneys; k++ {
		found, err := e.try(&good[k])
		if err != nil {
			return err
		}
		if found {
			c.Changes = append(c.Changes, good[k])
			n++
		}
	}
	return nil
}

// honeys lists what could be brought in for a batch: more of each sound content that
// is unlike the others, and honey of each name asked for that is as good as the best
// here.
func (e *explainer) honeys(j int) (out []Honey) {
	for g := range e.t.groups {
		like := e.t.groups[g].members[0]
		c := e.t.p.Contents[like]
		if e.t.bar(&c, j, nil) != nil {
			continue
		}
		same := func(h Honey) bool { return alike(&h.Content, &c) }
		if slices.ContainsFunc(out, same) {
			continue
		}
		out = append(out, Honey{Like: like, Content: poured(c, "more like "+c.Name)})
	}
	return append(out, e.best(j)...)
}

// alike reports contents that are the same honey.
func alike(x, y *Content) bool {
	for f := Figure(0); f < figureCount; f++ {
		if x.Figures[f].Value != y.Figures[f].Value {
			return false
		}
	}
	return fmt.Sprint(x.Parts) == fmt.Sprint(y.Parts)
}

// poured is a content to be drawn by weight.
func poured(c Content, name string) Content {
	c.Name, c.Drum, c.Split, c.Least, c.Grams, c.TipAfter = name, 0, false, 0, 1, 0
	return c
}

// best makes honeys of the names that a batch's shares ask for.
func (e *explainer) best(j int) (out []Honey) {
	b := &e.t.p.Batches[j]
	c := Content{Name: "as good as the best here", Grams: 1, Figures: map[Figure]quantity.Uncertain{}, Marks: b.Marks}
	for f := Figure(0); f < figureCount; f++ {
		if v, ok := e.bestOf(b, j, f); ok {
			c.Figures[f] = quantity.Exactly(v)
		}
	}
	add := func(by Dimension, name string) {
		x := c
		x.Parts[by] = Pure(name)
		if by != ByCountry && len(b.Label) > 0 {
			x.Parts[ByCountry] = Pure(b.Label[0].Country)
		}
		x.Name += ", " + name
		out = append(out, Honey{Like: -1, Content: x})
	}
	for _, s := range b.Shares {
		if s.Least > 0 {
			add(s.By, s.Name)
		}
	}
	for _, l := range b.Label {
		add(ByCountry, l.Country)
	}
	if out == nil && len(b.Limits) > 0 {
		out = []Honey{{Like: -1, Content: c}}
	}
	return out
}

// bestOf gives the figure here that helps a batch's limits most: the lowest where a
// most is asked, the highest where a least is, the nearest to the middle where both.
func (e *explainer) bestOf(b *Batch, j int, f Figure) (best float64, ok bool) {
	low, high := math.Inf(-1), math.Inf(1)
	for _, l := range b.Limits {
		for _, way := range l.Ways {
			for _, term := range way {
				if term.Measure == Measure(f) && term.Least {
					low = max(low, term.Bound)
				} else if term.Measure == Measure(f) {
					high = min(high, term.Bound)
				}
			}
		}
	}
	worth := func(v float64) float64 {
		switch {
		case math.IsInf(low, 0):
			return v
		case math.IsInf(high, 0):
			return -v
		}
		return math.Abs(v - (low+high)/2)
	}
	for i := range e.t.p.Contents {
		c := &e.t.p.Contents[i]
		u, read := c.Figures[f]
		if read && e.t.bar(c, j, nil) == nil && (!ok || worth(u.Value) < worth(best)) {
			best, ok = u.Value, true
		}
	}
	return best, ok
}
