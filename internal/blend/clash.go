package blend

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// A Clash is why there is no plan.
type Clash struct {
	// Set is a set of demands that can't be met together, though any one dropped
	// leaves the others possible. It is empty if nothing that is there may be
	// proposed at all: the outs say why.
	Set []Demand
	// More tells that other demands clash apart from Set: no single change does.
	More bool
	// Unsure tells that time ran out on the way: Set clashes for sure, but may hold
	// more than is needed for it.
	Unsure  bool
	Reaches []Reach  // how far each demand of Set could be met with all others kept
	Changes []Change // single changes that were tried and give a sound plan
}

// A Reach is the nearest to a demand that there is with all others met.
type Reach struct {
	Demand Demand
	Way    int
	Term   Term    // of a limit; Bound as it is asked
	Value  float64 // in the limit's unit, %, kg or a count; with the doubt's guard kept
	// Alone is the blend's own figure there, without guard.
	Alone float64
}

// explain looks for a clash: first the batches, then their demands.
func (t *task) explain(s solver) (*Clash, error) {
	e := explainer{t: t, s: solver{s.solve, linear.Options{Gap: 1e-6, Seconds: s.o.Seconds}}}
	batches, err := e.clashing()
	if err != nil {
		return nil, err
	}
	e.batches = batches
	c := &Clash{}
	if c.Set, err = e.irreducible(); err != nil || len(c.Set) == 0 {
		return c, err
	}
	c.More = true
	for _, d := range c.Set {
		if err := e.change(c, d); err != nil {
			return nil, err
		}
	}
	c.Unsure = e.unsure
	e.batches = t.all()
	if err := e.moreHoney(c); err != nil {
		return nil, err
	}
	slices.SortStableFunc(c.Changes, func(x, y Change) int { return cmp.Compare(x.Size, y.Size) })
	return c, nil
}

type explainer struct {
	t       *task
	s       solver
	batches []int
	unsure  bool
}

// impossible reports whether it is proven that the batches can't be met with some
// demands off.
func (e *explainer) impossible(batches []int, off dropped) (bool, error) {
	_, sol, err := e.t.search(ask{batches: batches, off: off, idle: true}, e.s)
	no := !sol.Found() && sol.Status == linear.Impossible
	e.unsure = e.unsure || !sol.Found() && !no
	return no, err
}

// clashing gives batches that can't be had together, though all but any one can.
func (e *explainer) clashing() ([]int, error) {
	left := e.t.all()
	for j := range e.t.p.Batches {
		without := slices.DeleteFunc(slices.Clone(left), func(x int) bool { return x == j })
		if len(without) == 0 {
			return left, nil
		}
		no, err := e.impossible(without, nil)
		if err != nil {
			return nil, err
		}
		if no {
			left = without
		}
	}
	return left, nil
}

// eager orders demands by how soon they are dropped from a clash: what is asked of
// the honey is told rather than what is asked of the work.
var eager = [...]DemandKind{AskWhole, AskParcel, AskContents, AskTank, AskTime, AskApart, AskUse, AskMark, AskLimit, AskShare, AskLabel, AskGrams}

// irreducible drops demand after demand; one without which it becomes possible stays.
// What is left can't be met, and each of it was needed for that.
func (e *explainer) irreducible() ([]Demand, error) {
	var all []Demand
	for _, j := range e.batches {
		all = append(all, e.t.demands(j)...)
	}
	slices.SortStableFunc(all, func(x, y Demand) int {
		return cmp.Compare(slices.Index(eager[:], x.Kind), slices.Index(eager[:], y.Kind))
	})
	off := dropped{}
	var set []Demand
	for _, d := range all {
		off[d] = true
		no, err := e.impossible(e.batches, off)
		if err != nil {
			return nil, err
		}
		if !no {
			delete(off, d)
			set = append(set, d)
		}
	}
	slices.SortFunc(set, func(x, y Demand) int {
		return cmp.Or(cmp.Compare(x.Batch, y.Batch), cmp.Compare(x.Kind, y.Kind), cmp.Compare(x.Index, y.Index))
	})
	return set, nil
}

// change finds how far a demand can be met with all others kept, and tries the
// smallest change of it that should do. Where other demands clash as well, no change
// of this one does; how far it goes is told for its own batches.
func (e *explainer) change(c *Clash, d Demand) error {
	clashing, off := e.batches, dropped{d: true}
	defer func() { e.batches = clashing }()
	e.batches = e.t.all()
	no, err := e.impossible(e.batches, off)
	if err != nil {
		return err
	}
	if no {
		e.batches = clashing
	}
	reaches, err := e.reaches(d, off)
	if err != nil {
		return err
	}
	c.Reaches = append(c.Reaches, reaches...)
	if no {
		return nil
	}
	c.More = false
	for _, x := range e.proposals(d, reaches) {
		found, err := e.try(&x)
		if err != nil {
			return err
		}
		if found {
			c.Changes = append(c.Changes, x)
		}
	}
	return nil
}

// reaches finds how far a demand can be met.
func (e *explainer) reaches(d Demand, off dropped) ([]Reach, error) {
	b := &e.t.p.Batches[d.Batch]
	r := reach{d: d, place: slices.Index(e.batches, d.Batch), key: noRow}
	switch d.Kind {
	case AskLimit:
		return e.limitReaches(d, b.Limits[d.Index], off)
	case AskGrams:
		more, err := keep(e.furthest(r, off))
		if err != nil {
			return nil, err
		}
		r.up = true
		less, err := keep(e.furthest(r, off))
		return append(less, more...), err
	case AskTank, AskContents:
		return keep(e.furthest(r, off))
	case AskUse, AskParcel:
		r.up = true
		return keep(e.furthest(r, off))
	case AskShare:
		return e.shareReaches(r, b.Shares[d.Index].Least, off)
	case AskLabel:
		least, _ := claimBand(b.Label[d.Index].Percent)
		return e.shareReaches(r, least, off)
	}
	return nil, nil
}

func keep(r *Reach, err error) ([]Reach, error) {
	if r == nil {
		return nil, err
	}
	return []Reach{*r}, err
}

// shareReaches finds the highest share if that is under the least, or else the lowest.
func (e *explainer) shareReaches(r reach, least quantity.Percent, off dropped) ([]Reach, error) {
	r.up = true
	high, err := e.ratio(r, off)
	if err != nil || high == nil {
		return nil, err
	}
	if high.Value < float64(least) {
		return []Reach{*high}, nil
	}
	r.up = false
	return keep(e.ratio(r, off))
}

// furthest solves for what one solution tells: kg, a count, a parcel.
func (e *explainer) furthest(r reach, off dropped) (*Reach, error) {
	b, sol, err := e.t.search(ask{batches: e.batches, off: off, reach: &r}, e.s)
	if err != nil || !sol.Found() {
		return nil, err
	}
	v := math.Abs(sol.Objective)
	if r.d.Kind == AskGrams || r.d.Kind == AskTank {
		v = b.mass(r.place, sol.Values)
	}
	return &Reach{Demand: r.d, Value: v, Alone: v}, nil
}

func (b *built) mass(place int, values []float64) (sum float64) {
	kgs := b.kgs(values)
	for _, i := range b.of[place] {
		sum += kgs[i]
	}
	return sum
}

// mostRatioSteps bounds the search for the best quotient, which usually takes 3 or 4.
const mostRatioSteps = 20

// ratio finds the highest or lowest share: the best of Σ (share − r)·kg is 0 at the
// best share r, and each solution's own share is a better r (Dinkelbach, Management
// Science 13, 1967, 492–498).
func (e *explainer) ratio(r reach, off dropped) (*Reach, error) {
	var best *Reach
	for range mostRatioSteps {
		b, sol, err := e.t.search(ask{batches: e.batches, off: off, reach: &r}, e.s)
		if err != nil || !sol.Found() {
			return best, err
		}
		kgs, sum, mass := b.kgs(sol.Values), 0.0, 0.0
		for _, i := range b.of[r.place] {
			sum, mass = sum+(b.reachPerKg(b.pairs[i])+r.at)*kgs[i], mass+kgs[i]
		}
		v := sum / mass
		if best != nil && !better(100*v, best.Value, r.up) {
			return best, nil
		}
		best = &Reach{Demand: r.d, Value: 100 * v, Alone: 100 * v}
		r.at = v
	}
	return best, nil
}

func better(v, than float64, up bool) bool {
	d := v - than
	if !up {
		d = -d
	}
	return d > 1e-7*max(1, math.Abs(than))
}

// limitReaches finds how far each term of each way can go with the rest of that way
// kept.
func (e *explainer) limitReaches(d Demand, l Limit, off dropped) (out []Reach, err error) {
	for w, way := range l.Ways {
		for k, term := range way {
			r := reach{d: d, place: slices.Index(e.batches, d.Batch), key: rowKey{d.Batch, d.Index, w, k}, term: term}
			x, err := e.bound(r, off)
			if err != nil {
				return nil, err
			}
			if x != nil {
				x.Way, x.Term = w, term
				out = append(out, *x)
			}
		}
	}
	return out, nil
}

// bound finds the tightest bound of a term that some blend keeps, in the same manner
// as [explainer.ratio].
func (e *explainer) bound(r reach, off dropped) (*Reach, error) {
	var best *Reach
	for range mostRatioSteps {
		b, sol, err := e.t.search(ask{batches: e.batches, off: off, reach: &r}, e.s)
		if err != nil || !sol.Found() {
			return best, err
		}
		guarded, plain := b.boundAt(r, sol.Values)
		if math.IsNaN(guarded) || best != nil && !better(guarded, best.Value, r.term.Least) {
			return best, nil
		}
		best = &Reach{Demand: r.d, Value: guarded, Alone: plain}
		r.term.Bound = guarded
	}
	return best, nil
}

// boundAt gives the tightest bound that a point keeps, with and without the doubt's
// guard, by halving: the row falls as the bound is eased.
func (b *built) boundAt(r reach, values []float64) (guarded, plain float64) {
	kgs := b.kgs(values)
	at := make([]float64, len(b.of[r.place]))
	for k, i := range b.of[r.place] {
		at[k] = kgs[i]
	}
	return b.halve(r, at, b.t.z), b.halve(r, at, 0)
}

func (b *built) halve(r reach, at []float64, z float64) float64 {
	tight, easy := r.term.Measure.ends(b.t.p.Colour)
	if r.term.Least {
		tight, easy = easy, tight
	}
	over := func(bound float64) bool {
		term := r.term
		term.Bound = bound
		row := b.row(r.place, term)
		row.z = z
		return row.at(at) > 0
	}
	if over(easy) {
		return math.NaN()
	}
	for range 60 {
		if mid := (tight + easy) / 2; over(mid) {
			tight = mid
		} else {
			easy = mid
		}
	}
	return easy
}
