package blend

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// Honey is honey that is not there.
type Honey struct {
	Like    int // the content that it is more of; −1 if it is as good as the best here in each figure
	Content Content
	Grams   quantity.Gram
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

// mostHoneys is how many honeys to bring in are proposed at most; twice as many are
// tried.
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
	for n, k := 0, 0; k < min(len(good), 2*mostHoneys) && n < mostHoneys; k++ {
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
