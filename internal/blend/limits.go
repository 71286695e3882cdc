package blend

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// addLimits adds the rows of each limit that is asked.
func (b *built) addLimits(place int) {
	x := b.batch(place)
	for i := range x.Limits {
		if b.asked(place, AskLimit, i) {
			b.addLimit(place, i, &x.Limits[i])
		}
	}
}

func (b *built) addLimit(place, i int, l *Limit) {
	if len(l.Ways) == 1 {
		for k, term := range l.Ways[0] {
			key := rowKey{b.a.batches[place], i, 0, k}
			b.addRow(key, b.row(place, term), place, -1)
		}
		return
	}
	rows := make([][]*row, len(l.Ways))
	for w, way := range l.Ways {
		always := true
		for _, term := range way {
			r := b.row(place, term)
			rows[w] = append(rows[w], r)
			always = always && b.always(place, term, r)
		}
		if always {
			return // whatever is mixed goes this way
		}
	}
	b.addWays(place, i, l, rows)
}

// addWays lets a blend go one of several ways.
func (b *built) addWays(place, i int, l *Limit, rows [][]*row) {
	var choice []linear.Term
	b.ways = append(b.ways, len(b.model.Columns))
	for w, way := range l.Ways {
		z := b.model.AddColumn(linear.Column{High: 1, Whole: true})
		choice = append(choice, linear.Term{Column: z, Value: 1})
		for k := range way {
			b.addRow(rowKey{b.a.batches[place], i, w, k}, rows[w][k], place, z)
		}
		b.barWay(place, way, z)
	}
	b.model.AddRow(linear.Row{Low: 1, High: 1}, choice...)
}

// barWay keeps contents out of a way for which they have no reading.
func (b *built) barWay(place int, way []Term, z int) {
	for _, i := range b.of[place] {
		p := b.pairs[i]
		if b.t.lacks(b.t.content(p.group), way) == nil {
			continue
		}
		b.model.AddRow(linear.Row{Low: math.Inf(-1), High: p.most}, linear.Term{Column: p.n, Value: 1}, linear.Term{Column: z, Value: p.most})
		if p.open >= 0 {
			b.model.AddRow(linear.Row{Low: math.Inf(-1), High: 1}, linear.Term{Column: p.open, Value: 1}, linear.Term{Column: z, Value: 1})
		}
	}
}

// row reckons a term's row over a batch's pairs. What has no reading stands with 0 and
// is kept out by other rows.
func (b *built) row(place int, term Term) *row {
	r := newRow(len(b.of[place]), b.t.z)
	for k, i := range b.of[place] {
		c := b.t.content(b.pairs[i].group)
		if b.t.lacks(c, []Term{term}) != nil {
			continue
		}
		if o, err := b.t.against(c, term); err == nil {
			r.set(k, o)
		}
	}
	return r
}

// always reports whether any blend of the batch keeps a term: each part does by
// itself, or a limit as tight is asked anyway.
func (b *built) always(place int, term Term, r *row) bool {
	x := b.batch(place)
	for i, l := range x.Limits {
		if len(l.Ways) != 1 || !b.asked(place, AskLimit, i) {
			continue
		}
		for _, t := range l.Ways[0] {
			if t.Measure == term.Measure && t.Least == term.Least && (t.Bound == term.Bound || t.Least == (t.Bound > term.Bound)) {
				return true
			}
		}
	}
	for k, i := range b.of[place] {
		if b.t.lacks(b.t.content(b.pairs[i].group), []Term{term}) != nil || r.alone(k) > 0 {
			return false
		}
	}
	return b.a.extra == nil
}

// addRow adds a row once for each point at which its doubt was looked at; z is the
// column of its way, −1 if there is only one.
func (b *built) addRow(key rowKey, r *row, place, z int) {
	b.rows = append(b.rows, limitRow{key, r, b.of[place], z})
	planes := [][]float64{slices.Clone(r.mean)}
	switch {
	case !r.doubtful():
	case b.t.careful:
		for k := range r.mean {
			planes[0][k] = r.alone(k)
		}
	default:
		planes = planes[:0]
		for _, at := range append([][]float64{b.everything(place)}, b.points(key, place)...) {
			planes = append(planes, r.tangent(at))
		}
	}
	for _, plane := range planes {
		b.addPlane(key, r, plane, place, z)
	}
}

// A point passes if it breaks a doubtful row by no more than a part of the guard that
// its contents would need one by one. What it breaks is mended when weights are
// rounded, or by the next attempt's room, so that the planes themselves cut off nothing
// and every bound holds.
const (
	doubtPasses = 2e-6
	reachPasses = 5e-6 // how far a demand could be met is told to a step, and tried
	lookPasses  = 1e-2 // by the relaxed model, which only shows where to look
	doubtRoom   = 4e-6 // that mends it, in parts of a row's largest coefficient
)

func (b *built) addPlane(key rowKey, r *row, plane []float64, place, z int) {
	spare, size := b.fine(place)*largest(plane), max(1, largest(plane)/10)
	for k := range plane {
		plane[k] += spare
	}
	terms := b.terms(place, func(k int) float64 { return plane[k] / size })
	extra := 0.0
	if b.more >= 0 && b.a.extra.batch == place {
		extra = b.t.extraAt(b.a.extra, key)
		terms = append(terms, linear.Term{Column: b.more, Value: extra / size})
	}
	room := 0.0
	if z >= 0 {
		room = b.room(place, plane, extra) / size
		terms = append(terms, linear.Term{Column: z, Value: room})
	}
	if b.a.reach.key == key {
		terms = append(terms, linear.Term{Column: b.target, Value: -1 / size})
	}
	b.model.AddRow(linear.Row{Low: math.Inf(-1), High: room}, terms...)
}

// room is the most that a plane can come to, whatever is mixed.
func (b *built) room(place int, plane []float64, extra float64) float64 {
	sum, most := 0.0, max(0, extra)
	for k, i := range b.of[place] {
		sum += max(0, plane[k]) * (b.pairs[i].most*b.pairs[i].unit + b.partMost(i))
		most = max(most, plane[k])
	}
	all := b.kgMost(place)
	if math.IsInf(all, 1) {
		return sum
	}
	if extra > 0 {
		sum += extra * all
	}
	return min(sum, most*all)
}

func largest(xs []float64) (most float64) {
	for _, x := range xs {
		most = max(most, math.Abs(x))
	}
	return most
}

func (b *built) partMost(i int) float64 {
	if b.pairs[i].part >= 0 {
		return b.pairs[i].unit
	}
	return 0
}

// everything is all the kg that could go into a batch: the first point to look at.
func (b *built) everything(place int) []float64 {
	out := make([]float64, len(b.of[place]))
	for k, i := range b.of[place] {
		out[k] = max(b.pairs[i].most*b.pairs[i].unit, b.pairs[i].unit)
	}
	return out
}

// points gives the points of a row as kg of the batch's pairs.
func (b *built) points(key rowKey, place int) (out [][]float64) {
	for _, byGroup := range b.t.points[key] {
		at := make([]float64, len(b.of[place]))
		for k, i := range b.of[place] {
			at[k] = byGroup[b.pairs[i].group]
		}
		out = append(out, at)
	}
	return out
}

// missed looks at the doubt of each row at a point of the model; rows that it breaks
// are remembered with the point, and the model must be built again.
func (b *built) missed(values []float64, passes float64) bool {
	kgs, found := b.kgs(values), false
	for _, r := range b.rows {
		if r.way >= 0 && values[r.way] < 1-1e-6 || !r.row.doubtful() {
			continue // not the way that is gone, or only half so in a relaxed model
		}
		at, size := make([]float64, len(r.pairs)), 0.0
		byGroup := make([]float64, len(b.t.groups))
		for k, i := range r.pairs {
			at[k], byGroup[b.pairs[i].group] = kgs[i], kgs[i]
			size += (r.row.alone(k) - r.row.mean[k]) * kgs[i]
		}
		over := r.row.at(at)
		if b.a.reach.key == r.key {
			over -= values[b.target]
		}
		if over > passes*size+1e-9 {
			b.t.points[r.key] = append(b.t.points[r.key], byGroup)
			found = true
		}
	}
	return found
}
