package branch

import (
	"container/heap"
	"math"
	"slices"

	"combline/internal/linear"
)

// A change is what a branch decides: a column of the problem is at most or at least
// a figure, or a link is used (with its firm column within low and high) or not.
type change struct {
	what      int
	at        int // column or link
	low, high float64
}

const (
	narrow = iota // a column's bounds
	use           // a link is used
	drop          // a link is not used
)

// A node is a part of the tree that is not searched yet.
type node struct {
	bound   float64
	serial  int // order of making: ties are broken by it, so that a run can be repeated
	parent  *node
	change  change
	basis   []int
	atUpper []bool
}

// A tree is the search: what is still open, and the best point so far.
type tree struct {
	p     *problem
	lp    *relaxation // of the present node
	spare *relaxation // for trying ways

	o     Options
	spent *int64 // effort so far, of all trees of a search

	open     nodes
	serial   int
	nodes    int
	stopped  bool
	doubtful bool // a part was given up for bad figures

	best    float64
	values  []float64
	given   float64 // the least bound of what was not searched because the gap allows it
	offset  float64 // what the links in use at the present node cost
	decided []int8  // by link: 0 open, 1 used, −1 not
	history []history

	rootValue   float64
	rootReduced []float64
	rootAt      []float64
}

type nodes []*node

func (h nodes) Len() int { return len(h) }
func (h nodes) Less(i, j int) bool {
	if h[i].bound != h[j].bound {
		return h[i].bound < h[j].bound
	}
	return h[i].serial > h[j].serial
}
func (h nodes) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *nodes) Push(x any)   { *h = append(*h, x.(*node)) }
func (h *nodes) Pop() any {
	old := *h
	n := old[len(old)-1]
	*h = old[:len(old)-1]
	return n
}

// cutoff is the cost that a part of the tree must beat, in the relaxation's figures.
func (t *tree) cutoff() float64 {
	if math.IsInf(t.best, 1) {
		return math.Inf(1)
	}
	return t.best - t.o.Gap*math.Abs(t.best) - t.p.offset - t.offset - 1e-9*math.Abs(t.best)
}

func (t *tree) bound() float64 { return t.lp.value() + t.p.offset + t.offset }

// giveUp notes a part with this bound as left unsearched.
func (t *tree) giveUp(bound float64) {
	if bound < t.best {
		t.given = min(t.given, bound)
	}
}

// run searches until all is searched, or this many nodes more were solved.
func (t *tree) run(more int) (done bool) {
	for end := t.nodes + more; t.open.Len() > 0 && !t.stopped; {
		if t.nodes >= end {
			return false
		}
		n := heap.Pop(&t.open).(*node)
		if n.bound-t.p.offset > t.cutoffAll() {
			t.giveUp(n.bound)
			continue
		}
		t.enter(n)
		t.dive(n)
	}
	return true
}

func (t *tree) cutoffAll() float64 {
	if math.IsInf(t.best, 1) {
		return math.Inf(1)
	}
	return t.best - t.o.Gap*math.Abs(t.best) - t.p.offset
}

// enter sets the relaxation to the node.
func (t *tree) enter(n *node) {
	copy(t.lp.low, t.p.root.low)
	copy(t.lp.high, t.p.root.high)
	clear(t.decided)
	t.offset = 0
	var path []change
	for at := n; at.parent != nil; at = at.parent {
		path = append(path, at.change)
	}
	for i := len(path) - 1; i >= 0; i-- {
		t.apply(path[i])
	}
	copy(t.lp.basis, n.basis)
	for j := range t.lp.at {
		t.lp.at[j] = t.lp.low[j]
		if n.atUpper[j] {
			t.lp.at[j] = t.lp.high[j]
		}
	}
	t.lp.rebuild()
}

// apply makes a change at the present node.
func (t *tree) apply(c change) {
	t.offset += t.p.apply(t.lp, c)
	switch c.what {
	case use:
		t.decided[c.at] = 1
	case drop:
		t.decided[c.at] = -1
	}
}

// apply makes a change to a relaxation's bounds, and says what it costs.
func (p *problem) apply(lp *relaxation, c change) (cost float64) {
	switch c.what {
	case narrow:
		lp.low[c.at], lp.high[c.at] = max(lp.low[c.at], c.low), min(lp.high[c.at], c.high)
	case drop:
		l := &p.links[c.at]
		lp.low[l.loose], lp.high[l.loose] = 0, 0
	case use:
		l := &p.links[c.at]
		lp.high[l.loose], lp.low[l.loose] = 0, 0
		lp.low[l.firm], lp.high[l.firm] = c.low, c.high
		sums := lp.columns - lp.rows
		for _, e := range l.takes {
			lp.low[sums+e.Row] -= e.Value
			lp.high[sums+e.Row] -= e.Value
		}
		return l.cost
	}
	return 0
}

func (t *tree) snapshot(parent *node, c change, bound float64) *node {
	t.serial++
	n := &node{bound: bound, serial: t.serial, parent: parent, change: c}
	n.basis = slices.Clone(t.lp.basis)
	n.atUpper = make([]bool, t.lp.columns)
	for j := range n.atUpper {
		n.atUpper[j] = t.lp.row[j] < 0 && t.lp.at[j] == t.lp.high[j] && t.lp.high[j] > t.lp.low[j]
	}
	return n
}

// dive solves the node and goes on with the better of its two ways, leaving the other
// for later, until there is nothing better below.
func (t *tree) dive(n *node) {
	for {
		t.nodes++
		if t.enough() {
			t.stopped = true
			t.giveUp(n.bound)
			return
		}
		if !t.relax(n) {
			return
		}
		f, more := t.choose()
		if !more {
			return
		}
		if f.two {
			heap.Push(&t.open, t.snapshot(n, f.second, max(n.bound, f.secondBound)))
		}
		n = &node{bound: max(n.bound, f.firstBound), parent: n, change: f.first}
		t.apply(f.first)
	}
}

// enough reports that time or effort are up.
func (t *tree) enough() bool {
	if t.o.Effort > 0 && *t.spent > t.o.Effort {
		return true
	}
	return t.o.Stop != nil && t.o.Stop()
}

// relax solves the node's relaxation; false if nothing better is below.
func (t *tree) relax(n *node) bool {
	o := t.lp.solve(t.cutoff())
	if o == trouble {
		t.lp.begin()
		o = t.lp.solve(t.cutoff())
	}
	switch o {
	case noPoint:
		return false
	case trouble:
		t.doubtful = true
		return false
	}
	n.bound = max(n.bound, t.bound())
	if o == optimal {
		t.harvest(t.lp)
		if n.parent == nil {
			t.rootValue, t.rootReduced, t.rootAt = t.lp.value(), slices.Clone(t.lp.reduced()), slices.Clone(t.lp.at)
		}
	}
	if o == overCutoff || n.bound-t.p.offset > t.cutoffAll() {
		t.giveUp(n.bound)
		return false
	}
	return true
}

// harvest takes the point of a relaxation if it is one of the problem's, and better.
func (t *tree) harvest(lp *relaxation) {
	v, ok := t.point(lp)
	if !ok {
		return
	}
	if cost := t.p.model.Objective(v); cost < t.best && t.p.model.Breaks(v, near) == nil {
		t.best, t.values = cost, v
	}
}

const wholeEnough = 1e-6

// point makes the relaxation's point one of the model, if its whole columns are.
func (t *tree) point(lp *relaxation) ([]float64, bool) {
	v := make([]float64, len(t.p.model.Columns))
	for c, j := range t.p.of {
		x := lp.at[c] * t.p.scale[c]
		if t.p.whole[c] {
			if math.Abs(x-math.Round(x)) > wholeEnough {
				return nil, false
			}
			x = math.Round(x)
		}
		v[j] += x
	}
	for j := range v {
		v[j] = max(t.p.model.Columns[j].Low, min(v[j], t.p.model.Columns[j].High))
	}
	for i := range t.p.links {
		if l := &t.p.links[i]; v[l.column] > 1e-9 {
			v[l.used] = 1
		} else {
			v[l.column] = 0
		}
	}
	return v, true
}

func newTree(m *linear.Model, most []float64, o Options, spent *int64) (*tree, error) {
	p, err := shape(m, most)
	if err != nil {
		return nil, err
	}
	t := &tree{p: p, o: o, spent: spent, best: math.Inf(1), given: math.Inf(1)}
	t.lp = newRelaxation(p.root.rows, p.root.columns, spent)
	t.spare = newRelaxation(p.root.rows, p.root.columns, spent)
	for _, lp := range []*relaxation{t.lp, t.spare} {
		lp.matrix, lp.cost = p.root.matrix, p.root.cost
	}
	t.decided = make([]int8, len(p.links))
	t.history = make([]history, len(p.of)+len(p.links))
	t.open = nodes{t.rootNode()}
	return t, nil
}

func (t *tree) rootNode() *node {
	return &node{bound: math.Inf(-1), basis: t.p.root.basis, atUpper: make([]bool, t.p.root.columns)}
}
