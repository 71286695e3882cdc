package branch

import (
	"cmp"
	"math"
	"slices"
)

// A candidate is something that the relaxation leaves undecided. Its two ways are
// "less" (a link not used, a column at most a figure) and "more".
type candidate struct {
	key      int // where its history is kept
	ways     [2]change
	distance [2]float64 // of the relaxation's value to what each way allows
	guess    [2]float64 // what each way will cost more
	known    bool       // by trying
}

// A history is what a candidate's ways have cost so far, for each unit of distance.
type history struct {
	cost  [2]float64
	count [2]int
}

// candidates lists what may be branched on at the present point.
func (t *tree) candidates() (all []candidate) {
	for i := range t.p.links {
		if k, open := t.linkCandidate(i); open {
			all = append(all, k)
		}
	}
	for c := range t.p.of {
		if k, open := t.columnCandidate(c); open {
			all = append(all, k)
		}
	}
	return all
}

// linkCandidate is whether a link is used, if the relaxation uses it in part.
func (t *tree) linkCandidate(i int) (k candidate, open bool) {
	l := &t.p.links[i]
	x := t.lp.at[l.loose] * t.p.scale[l.loose]
	if t.decided[i] != 0 || x <= wholeEnough || x >= l.most*(1-wholeEnough) {
		return k, false
	}
	if l.cost == 0 && len(l.takes) == 0 && x >= l.least-wholeEnough {
		return k, false
	}
	share := x / l.most
	use := change{use, i, l.least / t.p.scale[l.firm], t.lp.high[l.loose]}
	return candidate{key: len(t.p.of) + i, ways: [2]change{{what: drop, at: i}, use}, distance: [2]float64{share, 1 - share}}, true
}

// columnCandidate is a whole column that is between two whole figures. One under 1 of
// an undecided link is left to the link.
func (t *tree) columnCandidate(c int) (k candidate, open bool) {
	x := t.lp.at[c]
	f := x - math.Floor(x)
	if !t.p.whole[c] || f < wholeEnough || f > 1-wholeEnough {
		return k, false
	}
	k = candidate{key: c, distance: [2]float64{f, 1 - f}}
	k.ways[0] = change{narrow, c, math.Inf(-1), math.Floor(x)}
	k.ways[1] = change{narrow, c, math.Ceil(x), math.Inf(1)}
	if l := t.p.link[c]; l >= 0 && c == t.p.links[l].loose {
		k.ways[1] = change{use, l, math.Ceil(x), t.lp.high[c]}
		return k, x > 1
	}
	return k, true
}

const (
	reliable = 4  // times a way was tried, that its history is believed
	tries    = 10 // candidates tried at a node
	least    = 1e-6
)

func (k *candidate) score() float64 { return max(k.guess[0], least) * max(k.guess[1], least) }

// usual is what a way costs for each unit of distance, over all candidates: for one
// without a history.
func (t *tree) usual() (mean [2]float64) {
	for side := range mean {
		sum, n := 0.0, 0
		for i := range t.history {
			if h := &t.history[i]; h.count[side] > 0 {
				sum += h.cost[side] / float64(h.count[side])
				n++
			}
		}
		if mean[side] = 1; n > 0 {
			mean[side] = sum / float64(n)
		}
	}
	return mean
}

// A fork is what is decided at a node: the way to go on with, and the other, if it
// need be searched at all, with their bounds.
type fork struct {
	first, second           change
	firstBound, secondBound float64
	two                     bool
}

// choose decides what to branch on: what raises the bound most, by its history or, as
// long as that is short, by trying. False if nothing is undecided or neither way need
// be searched.
func (t *tree) choose() (fork, bool) {
	all := t.candidates()
	mean := t.usual()
	for i := range all {
		k := &all[i]
		for side := range k.guess {
			k.guess[side] = mean[side] * k.distance[side]
			if h := &t.history[k.key]; h.count[side] > 0 {
				k.guess[side] = h.cost[side] / float64(h.count[side]) * k.distance[side]
			}
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(b.score(), a.score()) })
	here, tried := t.bound(), 0
	var best *candidate
	for i := range all {
		k := &all[i]
		if h := &t.history[k.key]; min(h.count[0], h.count[1]) < reliable && tried < tries {
			tried++
			switch closed := t.try(k); {
			case closed[0] && closed[1]:
				return fork{}, false
			case closed[0]:
				return fork{first: k.ways[1], firstBound: here + k.guess[1]}, true
			case closed[1]:
				return fork{first: k.ways[0], firstBound: here + k.guess[0]}, true
			}
		}
		if best == nil || k.score() > best.score() {
			best = k
		}
	}
	if best == nil {
		return fork{}, false
	}
	return best.fork(here), true
}

func (k *candidate) fork(here float64) fork {
	first := 0
	if k.guess[1] <= k.guess[0] {
		first = 1
	}
	f := fork{first: k.ways[first], second: k.ways[1-first], firstBound: here, secondBound: here, two: true}
	if k.known {
		f.firstBound, f.secondBound = here+k.guess[first], here+k.guess[1-first]
	}
	return f
}

// try solves both ways of a candidate and notes what they cost more. A way without a
// point, or that costs too much, is closed.
func (t *tree) try(k *candidate) (closed [2]bool) {
	here := t.lp.value()
	k.known = true
	for side, c := range k.ways {
		t.spare.copyFrom(t.lp)
		cost := t.p.apply(t.spare, c)
		switch t.spare.solve(t.cutoff() - cost) {
		case noPoint:
			closed[side] = true
		case overCutoff:
			closed[side] = true
			t.giveUp(t.spare.value() + cost + t.p.offset + t.offset)
		case trouble:
			k.guess[side], k.known = 0, false
		case optimal:
			k.guess[side] = max(0, t.spare.value()+cost-here)
			h := &t.history[k.key]
			h.cost[side] += k.guess[side] / max(k.distance[side], 1e-3)
			h.count[side]++
			t.harvest(t.spare)
		}
	}
	return closed
}
