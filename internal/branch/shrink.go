package branch

import (
	"math"
)

// What a better point can hold of each column, by the root's relaxation: the less, the
// stronger the relaxation, for a link's cost and its place among the few contents are
// spread over the most of its column.

// priced gives the upper bounds of the model's columns that follow from the root's
// reduced costs: a unit more than its share of the room up to the cutoff is too dear.
func (t *tree) priced() []float64 {
	room, most := t.cutoffAll()-t.rootValue, t.mosts()
	for c, j := range t.p.of {
		d := t.rootReduced[c]
		if t.firm(c) || t.p.root.low[c] != 0 || !(d > dualZero) || !(room >= 0) {
			continue
		}
		most[j] = min(most[j], t.canHold(c, room/d*t.p.scale[c]))
	}
	return most
}

// firm reports whether c is a link's second column.
func (t *tree) firm(c int) bool { return t.p.link[c] >= 0 && c == t.p.links[t.p.link[c]].firm }

// canHold is an upper bound of a column as the column can have it: whole, and 0 if a
// link can't use so little.
func (t *tree) canHold(c int, most float64) float64 {
	if t.p.whole[c] {
		most = math.Floor(most + wholeEnough)
	}
	if l := t.p.link[c]; l >= 0 && most < t.p.links[l].least-wholeEnough {
		return 0
	}
	return most
}

// mosts are the present upper bounds of the model's columns, 0 for what was left out.
func (t *tree) mosts() []float64 {
	most := make([]float64, len(t.p.model.Columns))
	for j := range most {
		most[j] = math.Inf(1)
	}
	for i := range most {
		if t.p.out[i] {
			most[i] = 0
		}
	}
	for c, j := range t.p.of {
		if !t.firm(c) {
			most[j] = t.p.root.high[c] * t.p.scale[c]
		}
	}
	return most
}

// probed tightens the upper bounds further by trying: as long as no point with at least
// half of what a link may hold is within the cutoff, half is enough.
func (t *tree) probed(most []float64) {
	t.enter(t.rootNode())
	if t.lp.solve(math.Inf(1)) != optimal {
		return
	}
	for i := range t.p.links {
		l := &t.p.links[i]
		now := most[l.column]
		for range probes {
			half := now / 2
			if t.p.whole[l.loose] {
				half = math.Floor(half) + 1
			}
			if half > now || now == 0 || t.o.Stop != nil && t.o.Stop() {
				break
			}
			t.spare.copyFrom(t.lp)
			t.spare.low[l.loose], t.spare.high[l.loose] = half/t.p.scale[l.loose], now/t.p.scale[l.loose]
			o := t.spare.solve(t.cutoff())
			if o != noPoint && o != overCutoff {
				break
			}
			now = half
			if t.p.whole[l.loose] {
				now--
			}
			now = t.canHold(l.loose, now)
		}
		most[l.column] = now
	}
}

const (
	probes = 8
	pays   = 0.8 // what must be left of the columns at most, that it pays to begin again
)

// left is the part of the columns' room that tighter bounds leave.
func (t *tree) left(most []float64) float64 {
	before, after := 0.0, 0.0
	for c, j := range t.p.of {
		if high := t.p.root.high[c] * t.p.scale[c]; high > 0 && !t.firm(c) && t.p.root.low[c] == 0 && !math.IsInf(high, 1) {
			before++
			after += min(1, most[j]/high)
		}
	}
	if before == 0 {
		return 1
	}
	return after / before
}
