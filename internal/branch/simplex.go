package branch

import (
	"math"
	"slices"
)

type outcome int

const (
	optimal outcome = iota
	noPoint
	overCutoff // costs more than the cutoff
	trouble    // figures too bad to go on
)

const (
	feasible    = 1e-9  // how far a value may be beyond its bound; rows are scaled to 1
	dualZero    = 1e-9  // a reduced cost within this of 0 has no sign
	pivotLeast  = 1e-7  // a pivot must be larger
	noise       = 1e-10 // what is smaller is rounding, in a row of figures up to 1
	rebuildAt   = 100   // pivots until the tableau is made anew
	tooLong     = 2000  // pivots for one solution: it goes round in circles
	dropFigures = 1e-13 // what is smaller is rounding
)

// settle puts each column outside the basis at the bound that its reduced cost asks
// for, and works out the basic ones.
func (p *relaxation) settle() {
	d := p.reduced()
	for j := range p.at {
		if p.row[j] >= 0 {
			continue
		}
		switch {
		case d[j] > dualZero && !math.IsInf(p.low[j], 0), math.IsInf(p.high[j], 0):
			p.at[j] = p.low[j]
		case d[j] < -dualZero || math.IsInf(p.low[j], 0):
			p.at[j] = p.high[j]
		case p.at[j] >= p.high[j]: // no sign: stay where it was
			p.at[j] = p.high[j]
		default:
			p.at[j] = p.low[j]
		}
		if math.IsInf(p.at[j], 0) { // a free row sum outside the basis
			p.at[j] = 0
		}
	}
	p.reckon()
}

// reckon works out the basic columns from the others.
func (p *relaxation) reckon() {
	p.placed = p.placed[:0]
	for j, v := range p.at {
		if v != 0 && p.row[j] < 0 {
			p.placed = append(p.placed, j)
		}
	}
	n := p.columns
	for i, b := range p.basis {
		line, sum := p.tableau[i*n:i*n+n], 0.0
		for _, j := range p.placed {
			sum -= line[j] * p.at[j]
		}
		p.at[b] = sum
	}
}

// value is the cost at the present point, which is a bound for the problem while the
// reduced costs have their signs.
func (p *relaxation) value() float64 {
	sum := 0.0
	for j, d := range p.reduced() {
		if d != 0 && p.row[j] < 0 {
			sum += d * p.at[j]
		}
	}
	return sum
}

// solve finds the least cost, or that there is no point, or that it costs more than
// the cutoff.
func (p *relaxation) solve(cutoff float64) outcome {
	if p.pivots > rebuildAt {
		p.rebuild()
	}
	p.settle()
	for range tooLong {
		r, up := p.worst()
		if r < 0 {
			return optimal
		}
		q, ok := p.enter(r, up)
		if !ok {
			return noPoint
		}
		if q < 0 {
			return trouble
		}
		p.step(r, q, up)
		if p.value() > cutoff {
			return overCutoff
		}
		if p.pivots > 2*rebuildAt {
			p.rebuild()
			p.settle()
		}
	}
	return trouble
}

// worst is the basic row farthest beyond its bound, and whether it must go up; −1 if
// none is.
func (p *relaxation) worst() (row int, up bool) {
	row, most := -1, 0.0
	for i, b := range p.basis {
		under, over := p.low[b]-p.at[b], p.at[b]-p.high[b]
		tolerance := feasible * max(1, math.Abs(p.at[b]))
		if under > tolerance && under > most {
			row, most, up = i, under, true
		}
		if over > tolerance && over > most {
			row, most, up = i, over, false
		}
	}
	return row, up
}

// enter chooses the column that takes the place of row r's basic one: reduced costs
// keep their signs longest. Columns with two bounds that come before it are put at
// their other bound as long as that does not bring r to its bound. False means that
// all of them together do not suffice: there is no point. −1 and true: only figures
// too small to be trusted could do it.
func (p *relaxation) enter(r int, up bool) (column int, ok bool) {
	line, d, b := p.tableau[r*p.columns:(r+1)*p.columns], p.reduced(), p.basis[r]
	rest := p.at[b] - p.high[b]
	if up {
		rest = p.low[b] - p.at[b]
	}
	p.passed, p.ways = p.passed[:0], p.ways[:0]
	tiny := feasible * max(1, math.Abs(p.at[b]))
	for j, v := range line {
		if v == 0 || p.row[j] >= 0 || p.low[j] == p.high[j] {
			continue
		}
		// Column j moves r by −v for one more of it; at its low it can only rise.
		switch helps, size := (v < 0) == up, math.Abs(v); {
		case helps != (p.at[j] < p.high[j]) || size < noise:
		case size < pivotLeast:
			tiny += size * (p.high[j] - p.low[j])
		default:
			p.ways = append(p.ways, way{j, math.Abs(d[j]) / size, size})
		}
	}
	for k := range p.ways {
		w := p.nextWay(k)
		reach := w.size * (p.high[w.column] - p.low[w.column])
		if !(rest-reach > 0) || k == len(p.ways)-1 && rest-reach <= tiny {
			p.flip(p.passed)
			return w.column, true
		}
		rest -= reach
		p.passed = append(p.passed, w.column)
	}
	if rest > tiny {
		return -1, false
	}
	return -1, true
}

// A way is a column that may enter: how soon its reduced cost comes to 0, and its
// figure in the row.
type way struct {
	column      int
	ratio, size float64
}

func (w way) before(o way) bool {
	if w.ratio != o.ratio {
		return w.ratio < o.ratio
	}
	if w.size != o.size {
		return w.size > o.size
	}
	return w.column < o.column
}

// nextWay brings the first of the ways from k on to place k. Few are asked for, so
// looking through them is quicker than sorting all.
func (p *relaxation) nextWay(k int) way {
	if k == manyWays {
		slices.SortFunc(p.ways[k:], func(a, b way) int {
			if a.before(b) {
				return -1
			}
			return 1
		})
	}
	if k < manyWays {
		first := k
		for i := k + 1; i < len(p.ways); i++ {
			if p.ways[i].before(p.ways[first]) {
				first = i
			}
		}
		p.ways[k], p.ways[first] = p.ways[first], p.ways[k]
	}
	return p.ways[k]
}

const manyWays = 8

// flip puts columns at their other bound.
func (p *relaxation) flip(columns []int) {
	n := p.columns
	for _, j := range columns {
		to := p.high[j]
		if p.at[j] >= p.high[j] {
			to = p.low[j]
		}
		by := to - p.at[j]
		p.at[j] = to
		for i, b := range p.basis {
			p.at[b] -= p.tableau[i*n+j] * by
		}
	}
}

// step moves column q until row r's basic column is at its bound, and exchanges them.
func (p *relaxation) step(r, q int, up bool) {
	n, b := p.columns, p.basis[r]
	to := p.high[b]
	if up {
		to = p.low[b]
	}
	by := (p.at[b] - to) / p.tableau[r*n+q]
	for i, c := range p.basis {
		p.at[c] -= p.tableau[i*n+q] * by
	}
	p.at[q] += by
	p.at[b] = to
	p.pivot(r, q)
}
