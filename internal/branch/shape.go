package branch

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"combline/internal/linear"
)

// A link is a column that may be nothing or between least and most, and the yes/no
// column that says which: used ≥ column / most. The yes/no column costs something and
// takes room in rows, never gives any, so in the relaxation it is column / most: it
// is worked into the column, which is then called loose. Once it is decided that the
// column is used, a second column without it, the firm one, takes its place.
type link struct {
	column, used int // of the model
	least, most  float64
	loose, firm  int // of the problem
	cost         float64
	takes        []linear.Entry // what yes takes of each row
}

// A problem is a model in few rows: links worked in, rows of one column made bounds,
// rows scaled.
type problem struct {
	model  *linear.Model
	root   *relaxation
	offset float64
	links  []link
	// For each column of the problem: of the model, its scale (model = scale × problem),
	// whether it is whole, and the link it belongs to or −1.
	of    []int
	scale []float64
	whole []bool
	link  []int
	out   []bool // by model column: left out, for it is 0
	// For each row: of the model, and its scale (problem = scale × model).
	rowOf    []int
	rowScale []float64
	bounded  bool // a row of one column was made a bound
}

// How many rows a problem may have, for the tableau is kept whole: with whole columns
// it is solved many times, without once.
const mostRows, mostLinear = 80, 300

// reader is what is known of a model while it is taken apart.
type reader struct {
	m         *linear.Model
	rowColumn [][]int // the columns of each row
	gone      []bool  // rows that became bounds or links
	bounded   bool    // some became bounds
	low, high []float64
	rowLow    []float64
	rowHigh   []float64
	links     []link
	linkOf    []int // by model column: the link it is the column of
	usedOf    []int // by model column: the link it is the yes/no of
}

func read(m *linear.Model, most []float64) *reader {
	columns, rows := len(m.Columns), len(m.Rows)
	r := &reader{m: m, rowColumn: make([][]int, rows), gone: make([]bool, rows)}
	r.low, r.high = make([]float64, columns), make([]float64, columns)
	r.rowLow, r.rowHigh = make([]float64, rows), make([]float64, rows)
	r.linkOf, r.usedOf = make([]int, columns), make([]int, columns)
	for j := range m.Columns {
		r.low[j], r.high[j], r.linkOf[j], r.usedOf[j] = m.Columns[j].Low, m.Columns[j].High, -1, -1
		if most != nil {
			r.high[j] = min(r.high[j], most[j])
		}
	}
	r.list()
	r.singles()
	r.list()
	r.tighten()
	r.needless()
	r.list()
	for j := range m.Columns {
		r.findLink(j)
	}
	return r
}

// list lists each row's columns, but those that are 0 anyway.
func (r *reader) list() {
	for i := range r.rowColumn {
		r.rowColumn[i] = r.rowColumn[i][:0]
	}
	for j := range r.m.Columns {
		if r.nought(j) {
			continue
		}
		for _, e := range r.m.Columns[j].Entries {
			if e.Value != 0 {
				r.rowColumn[e.Row] = append(r.rowColumn[e.Row], j)
			}
		}
	}
}

func (r *reader) nought(j int) bool { return r.low[j] == 0 && r.high[j] == 0 }

// takesOnly reports whether more of a column never helps a row.
func (r *reader) takesOnly(e linear.Entry) bool {
	return e.Value == 0 || r.gone[e.Row] || e.Value > 0 && math.IsInf(r.rowLow[e.Row], -1) || e.Value < 0 && math.IsInf(r.rowHigh[e.Row], 1)
}

// needless puts columns at 0 that cost something and never help.
func (r *reader) needless() {
	for j := range r.m.Columns {
		c := &r.m.Columns[j]
		if c.Cost >= 0 && r.low[j] == 0 && !slices.ContainsFunc(c.Entries, func(e linear.Entry) bool { return !r.takesOnly(e) }) {
			r.high[j] = 0
		}
	}
}

// singles makes bounds of the rows with one column or none, and drops rows without
// bounds.
func (r *reader) singles() {
	for i, row := range r.m.Rows {
		if math.IsInf(row.Low, -1) && math.IsInf(row.High, 1) {
			r.gone[i] = true
		}
		if len(r.rowColumn[i]) != 1 || r.gone[i] {
			continue
		}
		j := r.rowColumn[i][0]
		v := in(&r.m.Columns[j], i)
		a, b := row.Low/v, row.High/v
		if v < 0 {
			a, b = b, a
		}
		r.low[j], r.high[j] = max(r.low[j], a), min(r.high[j], b)
		r.gone[i], r.bounded = true, true
	}
	for j := range r.m.Columns {
		if r.m.Columns[j].Whole {
			r.low[j], r.high[j] = math.Ceil(r.low[j]-1e-6), math.Floor(r.high[j]+1e-6)
		}
	}
}

func (r *reader) tighten() {
	for i := range r.m.Rows {
		least, most := 0.0, 0.0
		for _, j := range r.rowColumn[i] {
			v := in(&r.m.Columns[j], i)
			a, b := v*r.low[j], v*r.high[j]
			least, most = least+min(a, b), most+max(a, b)
		}
		r.rowLow[i], r.rowHigh[i] = r.m.Rows[i].Low, r.m.Rows[i].High
		slack := 1e-9 * max(1, math.Abs(least))
		if least >= r.rowLow[i]-slack {
			r.rowLow[i] = math.Inf(-1)
		}
		slack = 1e-9 * max(1, math.Abs(most))
		if most <= r.rowHigh[i]+slack {
			r.rowHigh[i] = math.Inf(1)
		}
		if math.IsInf(r.rowLow[i], -1) && math.IsInf(r.rowHigh[i], 1) {
			r.gone[i] = true
		}
	}
}

// findLink looks whether model column y is the yes/no of a link.
func (r *reader) findLink(y int) {
	c := &r.m.Columns[y]
	if !c.Whole || r.low[y] != 0 || r.high[y] != 1 || !(c.Cost >= 0) || r.linkOf[y] >= 0 {
		return
	}
	l := link{column: -1, used: y, most: math.Inf(1), cost: c.Cost}
	var rows []int
	for _, e := range c.Entries {
		switch x, bound, over := r.ties(y, e); {
		case r.gone[e.Row] || e.Value == 0:
		case x >= 0 && (l.column < 0 || l.column == x):
			l.column = x
			rows = append(rows, e.Row)
			if over {
				l.most = min(l.most, bound)
			} else {
				l.least = max(l.least, bound)
			}
		case r.takesOnly(e):
			l.takes = append(l.takes, e)
		default:
			return
		}
	}
	if l.column < 0 || math.IsInf(l.most, 1) {
		return
	}
	r.accept(l, rows)
}

// ties reads a row as a bound of one column by y: x ≤ bound·y (over) or x ≥ bound·y.
func (r *reader) ties(y int, e linear.Entry) (x int, bound float64, over bool) {
	both := r.rowColumn[e.Row]
	if len(both) != 2 || r.gone[e.Row] || both[0] != y && both[1] != y { // a term of 0 stands in no row
		return -1, 0, false
	}
	x = both[0] + both[1] - y
	v, low, high := in(&r.m.Columns[x], e.Row), r.rowLow[e.Row], r.rowHigh[e.Row]
	if bound = -e.Value / v; !(bound > 0) || r.low[x] != 0 || r.linkOf[x] >= 0 || r.usedOf[x] >= 0 {
		return -1, 0, false
	}
	switch {
	case high == 0 && math.IsInf(low, -1):
		return x, bound, v > 0
	case low == 0 && math.IsInf(high, 1):
		return x, bound, v < 0
	}
	return -1, 0, false
}

func (r *reader) accept(l link, rows []int) {
	l.most = min(l.most, r.high[l.column])
	if r.m.Columns[l.column].Whole {
		l.least, l.most = max(1, math.Ceil(l.least-1e-9)), math.Floor(l.most+1e-9)
	}
	if l.least > l.most || l.most <= 0 {
		l.least, l.most = 0, 0
	}
	for _, i := range rows {
		r.gone[i] = true
	}
	r.linkOf[l.column], r.usedOf[l.used] = len(r.links), len(r.links)
	r.links = append(r.links, l)
}

func in(c *linear.Column, row int) float64 {
	k, ok := slices.BinarySearchFunc(c.Entries, row, func(e linear.Entry, row int) int { return e.Row - row })
	if !ok {
		return 0
	}
	return c.Entries[k].Value
}

// dropUnused leaves out the links that can't be used.
func (r *reader) dropUnused() {
	var kept []link
	for i := range r.links {
		l := &r.links[i]
		if l.most == 0 || r.high[l.column] == 0 {
			r.high[l.column], r.linkOf[l.column] = 0, -1
			continue
		}
		r.linkOf[l.column], r.usedOf[l.used] = len(kept), len(kept)
		kept = append(kept, *l)
	}
	r.links = kept
}

// ErrUnsuited reports a model that is not of the kind that this package is for.
var ErrUnsuited = errors.New("not a model of few rows")

// shape takes a model apart; most, if not nil, are lower upper bounds of its columns. A model of too many rows, or with a column that would
// be worth having without end, wraps [ErrUnsuited].
func shape(m *linear.Model, most []float64) (*problem, error) {
	r := read(m, most)
	var rows []int
	for i := range m.Rows {
		if !r.gone[i] {
			rows = append(rows, i)
		}
	}
	limit := mostRows
	if !m.Whole() {
		limit = mostLinear
	}
	if len(rows) > limit {
		return nil, fmt.Errorf("%w: %d rows, at most %d", ErrUnsuited, len(rows), limit)
	}
	scales := r.rowScales()
	p := &problem{model: m, offset: m.Offset, links: r.links, rowOf: rows, bounded: r.bounded}
	r.dropUnused()
	p.links = r.links
	p.out = make([]bool, len(m.Columns))
	for j := range m.Columns {
		p.out[j] = r.nought(j)
		switch l := r.linkOf[j]; {
		case r.usedOf[j] >= 0:
		case r.nought(j):
		case l >= 0:
			p.links[l].loose = p.column(j, l, r.scaleOf(j, scales))
			p.links[l].firm = p.column(j, l, r.scaleOf(j, scales))
		default:
			p.column(j, -1, r.scaleOf(j, scales))
		}
	}
	p.root = newRelaxation(len(rows), len(p.of)+len(rows), new(int64))
	for c, j := range p.of {
		low, high := r.low[j], r.high[j]
		if l := p.link[c]; l >= 0 {
			low, high = 0, p.links[l].most
			if c == p.links[l].firm {
				high = 0
			}
		}
		p.root.low[c], p.root.high[c] = low/p.scale[c], high/p.scale[c]
		p.root.cost[c] = p.costOf(c)
		if cost := p.root.cost[c]; cost < 0 && math.IsInf(high, 1) || cost >= 0 && math.IsInf(low, -1) {
			return nil, fmt.Errorf("%w: column %d (%s) has no end on its better side", ErrUnsuited, j, m.Columns[j].Name)
		}
	}
	for _, i := range rows {
		p.rowScale = append(p.rowScale, scales[i])
	}
	p.fill(r, rows, scales)
	p.root.begin()
	return p, nil
}

func (p *problem) column(of, link int, scale float64) int {
	p.of, p.link = append(p.of, of), append(p.link, link)
	p.scale, p.whole = append(p.scale, scale), append(p.whole, p.model.Columns[of].Whole)
	return len(p.of) - 1
}

func (p *problem) costOf(c int) float64 {
	cost := p.model.Columns[p.of[c]].Cost
	if l := p.link[c]; l >= 0 && c == p.links[l].loose && p.links[l].most > 0 {
		cost += p.links[l].cost / p.links[l].most
	}
	return cost * p.scale[c]
}

// rowScales bring each kept row's coefficients of whole columns, of any if there are
// none, to at most 1; 0 for a row that is not kept.
func (r *reader) rowScales() []float64 {
	whole, any := make([]float64, len(r.m.Rows)), make([]float64, len(r.m.Rows))
	for j := range r.m.Columns {
		for _, e := range r.m.Columns[j].Entries {
			any[e.Row] = max(any[e.Row], math.Abs(e.Value))
			if r.m.Columns[j].Whole {
				whole[e.Row] = max(whole[e.Row], math.Abs(e.Value))
			}
		}
	}
	for i := range any {
		switch {
		case r.gone[i]:
			any[i] = 0
		case whole[i] > 0:
			any[i] = 1 / whole[i]
		default:
			any[i] = 1 / any[i]
		}
	}
	return any
}

func (r *reader) scaleOf(j int, rowScale []float64) float64 {
	if r.m.Columns[j].Whole {
		return 1
	}
	most := 0.0
	for _, e := range r.m.Columns[j].Entries {
		most = max(most, math.Abs(e.Value)*rowScale[e.Row])
	}
	if most == 0 {
		return 1
	}
	return 1 / most
}

// fill writes the matrix and the bounds of the row sums.
func (p *problem) fill(r *reader, rows []int, scales []float64) {
	n, sums := p.root.columns, len(p.of)
	at := map[int]int{}
	scale := make([]float64, len(rows))
	for k, i := range rows {
		at[i], scale[k] = k, scales[i]
		p.root.low[sums+k], p.root.high[sums+k] = r.rowLow[i]*scale[k], r.rowHigh[i]*scale[k]
	}
	for c, j := range p.of {
		for _, e := range p.model.Columns[j].Entries {
			if k, ok := at[e.Row]; ok {
				p.root.matrix[k*n+c] = e.Value * scale[k] * p.scale[c]
			}
		}
	}
	for i := range p.links {
		l := &p.links[i]
		kept := l.takes[:0]
		for _, e := range l.takes {
			k, ok := at[e.Row]
			if !ok {
				continue
			}
			e = linear.Entry{Row: k, Value: e.Value * scale[k]}
			kept = append(kept, e)
			if l.most > 0 {
				p.root.matrix[k*n+l.loose] += e.Value / l.most * p.scale[l.loose]
			}
		}
		l.takes = kept
	}
}
