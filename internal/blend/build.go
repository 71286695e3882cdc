package blend

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// An ask says which part of a task a model is to hold.
type ask struct {
	batches []int     // of the problem
	left    []float64 // drums or kg of each group that are left; nil: all
	off     dropped
	aim     Aim
	kept    []kept    // what earlier aims came to
	reach   *reach    // in place of the aim: how far a term can go
	extra   *extra    // honey that is not there, in place of the aim
	idle    bool      // any point will do
	fine    []float64 // kg that rounding to grams may move, as a part of each batch; nil: none
	only    [][]int   // groups looked at, by place in batches; nil: all
}

// A kept aim stays as good as it was.
type kept struct {
	aim  Aim
	most float64
}

// A pair is a group that may go into a batch, with its columns.
type pair struct {
	group, batch int // batch: place in the ask
	unit         float64
	most         float64 // drums or kg at most
	whole        bool    // in whole drums
	n, y         int     // drums or kg; used or not, −1 if nothing asks
	part, open   int     // kg from a part drum, and that one is opened; −1 if none
}

// built is a model with what its columns mean.
type built struct {
	t           *task
	a           ask
	model       linear.Model
	pairs       []pair
	of          [][]int // pairs of each batch
	short, over []int   // columns, by place in batches
	rows        []limitRow
	ways        []int // the first column of each limit with several ways
	target      int   // the column of a reach
	more        int   // the column of an extra
}

// limitRow is a limit's row as it stands in the model, to find what doubt it misses.
type limitRow struct {
	key   rowKey
	row   *row
	pairs []int
	way   int // the column of the way, −1 if there is only one
}

// build makes the model of some batches on the stock that is left.
func (t *task) build(a ask) *built {
	b := &built{t: t, a: a, of: make([][]int, len(a.batches)), target: -1, more: -1}
	if a.reach == nil {
		b.a.reach = &reach{key: noRow, place: -1}
	}
	for place := range a.batches {
		b.addPairs(place)
	}
	for place := range a.batches {
		b.addAmount(place)
		b.addContents(place)
		b.addReach(place)
		b.addLimits(place)
		b.addShares(place)
		b.addUses(place)
	}
	b.addStock()
	b.addKept()
	b.setCosts()
	b.setStart()
	return b
}

// setStart starts from no honey at all where batches may fall short: every other row
// keeps with nothing in it.
func (b *built) setStart() {
	if b.t.p.Prices.ShortKg == 0 || b.a.extra != nil || b.a.reach.place >= 0 || slices.Contains(b.short, -1) {
		return
	}
	for place := range b.a.batches {
		if len(b.batch(place).Use) > 0 {
			return
		}
	}
	start := make([]float64, len(b.model.Columns))
	for place, s := range b.short {
		start[s] = kg(b.batch(place).Grams)
	}
	for _, first := range b.ways {
		start[first] = 1
	}
	for _, k := range b.a.kept {
		if w := b.weights(k.aim); dot(w, start) > k.most {
			return
		}
	}
	b.model.Start = start
}

func (b *built) batch(place int) *Batch { return &b.t.p.Batches[b.a.batches[place]] }

// asked reports whether a demand of a batch counts.
func (b *built) asked(place int, k DemandKind, i int) bool {
	return !b.a.off[Demand{b.a.batches[place], k, i}]
}

// fine is how far rounding to grams may move a mean, in parts of the batch.
func (b *built) fine(place int) float64 {
	if b.a.fine == nil {
		return 0
	}
	return b.a.fine[place]
}

// kgMost is the most that a batch can come to.
func (b *built) kgMost(place int) float64 {
	x, most := b.batch(place), math.Inf(1)
	if b.asked(place, AskGrams, 0) {
		most = kg(x.Grams + x.Over)
	}
	if x.Tank > 0 && b.asked(place, AskTank, 0) {
		most = min(most, kg(x.Tank))
	}
	return most
}

func kg(g quantity.Gram) float64 { return float64(g) / 1000 }

func (b *built) addPairs(place int) {
	j := b.a.batches[place]
	groups := allGroups(b.t, b.a.only, place)
	room := b.kgMost(place)
	for _, g := range groups {
		c := b.t.content(g)
		if b.t.bar(c, j, b.a.off) != nil {
			continue
		}
		there := b.t.groups[g].count
		if b.a.left != nil {
			there = b.a.left[g]
		}
		p := pair{group: g, batch: place, unit: b.t.groups[g].unit, whole: c.Drum > 0, y: -1, part: -1, open: -1}
		if p.whole && !b.asked(place, AskWhole, 0) {
			p.whole, there, p.unit = false, there*p.unit, 1
		}
		if p.most = min(there, room/p.unit); p.whole {
			p.most = math.Floor(min(there, room/p.unit) + 1e-9)
		}
		split := p.whole && c.Split && there >= 1
		if p.most <= 0 && !split {
			continue
		}
		b.of[place] = append(b.of[place], len(b.pairs))
		b.pairs = append(b.pairs, b.columns(p, split, there))
	}
}

func allGroups(t *task, only [][]int, place int) []int {
	if only != nil && only[place] != nil {
		return only[place]
	}
	all := make([]int, len(t.groups))
	for g := range all {
		all[g] = g
	}
	return all
}

// columns adds a pair's unknowns and the rows that tie them together.
func (b *built) columns(p pair, split bool, there float64) pair {
	m, c := &b.model, b.t.content(p.group)
	p.n = m.AddColumn(linear.Column{High: p.most, Whole: p.whole})
	if split {
		p.part = m.AddColumn(linear.Column{High: p.unit})
		p.open = m.AddColumn(linear.Column{High: 1, Whole: true})
		m.AddRow(linear.Row{Low: math.Inf(-1)}, linear.Term{Column: p.part, Value: 1}, linear.Term{Column: p.open, Value: -p.unit})
		if least := b.least(p, c.Least); least > 0 {
			m.AddRow(linear.Row{High: math.Inf(1)}, linear.Term{Column: p.part, Value: 1}, linear.Term{Column: p.open, Value: -min(least, p.unit)})
		}
	}
	if !b.counts(p, c) {
		return p
	}
	if p.whole && p.most <= 1 && !split {
		p.y = p.n
		return p
	}
	p.y = m.AddColumn(linear.Column{High: 1, Whole: true})
	link := []linear.Term{{Column: p.n, Value: 1}, {Column: p.y, Value: -p.most}}
	if split {
		link = []linear.Term{{Column: p.n, Value: 1}, {Column: p.open, Value: 1}, {Column: p.y, Value: -there}}
	}
	m.AddRow(linear.Row{Low: math.Inf(-1)}, link...)
	if least := b.least(p, c.Least); !p.whole && least > 0 {
		m.AddRow(linear.Row{High: math.Inf(1)}, linear.Term{Column: p.n, Value: 1}, linear.Term{Column: p.y, Value: -least})
	}
	return p
}

// least is the smallest draw in kg that a pair may have.
func (b *built) least(p pair, own quantity.Gram) float64 {
	x := b.batch(p.batch)
	if b.asked(p.batch, AskParcel, 0) {
		own = max(own, x.Parcel)
	}
	if own > 0 && b.a.fine != nil {
		own++
	}
	return kg(own)
}

// gramKg is a gram.
const gramKg = 0.001

// counts reports whether it matters that a pair is used at all.
func (b *built) counts(p pair, c *Content) bool {
	x := b.batch(p.batch)
	reaching := b.a.reach.place >= 0 && (b.a.reach.d.Kind == AskContents || b.a.reach.d.Kind == AskParcel)
	return reaching || b.t.p.Prices.Handling > 0 || x.Most > 0 && b.asked(p.batch, AskContents, 0) || b.a.aim == FewContents ||
		slices.ContainsFunc(b.a.kept, func(k kept) bool { return k.aim == FewContents }) ||
		!p.whole && b.least(p, c.Least) > 0 || len(x.Apart) > 0
}

// terms gives each kg of a batch's pairs, times a factor for the pair.
func (b *built) terms(place int, factor func(i int) float64) []linear.Term {
	var out []linear.Term
	for k, i := range b.of[place] {
		p, f := b.pairs[i], factor(k)
		out = append(out, linear.Term{Column: p.n, Value: f * p.unit})
		if p.part >= 0 {
			out = append(out, linear.Term{Column: p.part, Value: f})
		}
	}
	return out
}

func one(int) float64 { return 1 }

func (b *built) addAmount(place int) {
	m, x := &b.model, b.batch(place)
	b.short, b.over = append(b.short, -1), append(b.over, -1)
	mass := b.terms(place, one)
	if b.a.extra != nil && b.a.extra.batch == place {
		b.more = m.AddColumn(linear.Column{High: kg(mostGrams)})
		mass = append(mass, linear.Term{Column: b.more, Value: 1})
	}
	tank := math.Inf(1)
	if x.Tank > 0 && b.asked(place, AskTank, 0) {
		tank = kg(x.Tank)
	}
	if !b.asked(place, AskGrams, 0) {
		row := linear.Row{Low: min(1, kg(x.Grams)), High: tank}
		if r := b.a.reach; r.place == place && r.d.Kind == AskGrams { // the nearest on this side
			if r.up {
				row.High = min(tank, kg(x.Grams+x.Over))
			} else {
				row.Low = max(row.Low, kg(x.Grams-x.Under))
			}
		}
		if row.Low > row.High { // the tank takes less
			row.Low = row.High
		}
		m.AddRow(row, mass...)
		return
	}
	short, over := kg(x.Under), kg(x.Over)
	if b.t.p.Prices.ShortKg > 0 {
		short = kg(x.Grams)
	}
	if tank >= kg(x.Grams) {
		over = min(over, tank-kg(x.Grams))
	} else {
		m.AddRow(linear.Row{Low: math.Inf(-1), High: tank}, mass...)
	}
	b.short[place] = m.AddColumn(linear.Column{High: short})
	b.over[place] = m.AddColumn(linear.Column{High: over})
	mass = append(mass, linear.Term{Column: b.short[place], Value: 1}, linear.Term{Column: b.over[place], Value: -1})
	m.AddRow(linear.Row{Low: kg(x.Grams), High: kg(x.Grams)}, mass...)
}

// addContents keeps to the most contents, and apart what must not meet.
func (b *built) addContents(place int) {
	m, x := &b.model, b.batch(place)
	if x.Most > 0 && b.asked(place, AskContents, 0) {
		var used []linear.Term
		for _, i := range b.of[place] {
			used = append(used, linear.Term{Column: b.pairs[i].y, Value: 1})
		}
		m.AddRow(linear.Row{Low: math.Inf(-1), High: float64(x.Most)}, used...)
	}
	for k, apart := range x.Apart {
		if !b.asked(place, AskApart, k) {
			continue
		}
		for _, one := range b.named(place, apart.One) {
			for _, other := range b.named(place, apart.Other) {
				if one != other {
					m.AddRow(linear.Row{Low: math.Inf(-1), High: 1}, linear.Term{Column: one, Value: 1}, linear.Term{Column: other, Value: 1})
				}
			}
		}
	}
}

// named gives the columns "used" of named contents in a batch.
func (b *built) named(place int, names []string) (columns []int) {
	for _, i := range b.of[place] {
		if p := b.pairs[i]; slices.Contains(names, b.t.content(p.group).Name) {
			columns = append(columns, p.y)
		}
	}
	return columns
}

func (b *built) addShares(place int) {
	x := b.batch(place)
	add := func(by Dimension, name string, least, most quantity.Percent) {
		part := func(bound quantity.Percent) []linear.Term {
			terms := b.terms(place, func(k int) float64 {
				return b.t.content(b.pairs[b.of[place][k]].group).Parts[by].fraction(name) - float64(bound)/100
			})
			if b.more >= 0 && b.a.extra.batch == place {
				terms = append(terms, linear.Term{Column: b.more, Value: b.a.extra.like.Parts[by].fraction(name) - float64(bound)/100})
			}
			return terms
		}
		fine := quantity.Percent(100 * b.fine(place))
		if least > 0 {
			b.model.AddRow(linear.Row{High: math.Inf(1)}, part(least+fine)...)
		}
		if most < 100 {
			b.model.AddRow(linear.Row{Low: math.Inf(-1)}, part(most-fine)...)
		}
	}
	for i, s := range x.Shares {
		if b.asked(place, AskShare, i) {
			add(s.By, s.Name, s.Least, s.Most)
		}
	}
	for i, c := range x.Label {
		if b.asked(place, AskLabel, i) {
			least, most := claimBand(c.Percent)
			add(ByCountry, c.Country, least, most)
		}
	}
}

func (b *built) addUses(place int) {
	for i, u := range b.batch(place).Use {
		if !b.asked(place, AskUse, i) {
			continue
		}
		terms := b.terms(place, func(k int) float64 {
			if b.t.content(b.pairs[b.of[place][k]].group).Name == u.Content {
				return 1
			}
			return 0
		})
		b.model.AddRow(linear.Row{Low: kg(u.Grams), High: math.Inf(1)}, terms...)
	}
}

// addStock keeps to what is there of each group.
func (b *built) addStock() {
	order := make([]int, len(b.pairs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(b.pairs[i].group, b.pairs[j].group) })
	for len(order) > 0 {
		g, n := b.pairs[order[0]].group, 1
		for n < len(order) && b.pairs[order[n]].group == g {
			n++
		}
		b.stockRow(g, order[:n])
		order = order[n:]
	}
}

func (b *built) stockRow(g int, pairs []int) {
	there := b.t.groups[g].count
	if b.a.left != nil {
		there = b.a.left[g]
	}
	if b.a.fine != nil && len(pairs) > 1 && b.t.groups[g].drum == 0 {
		there -= float64(len(pairs)) * gramKg
	}
	var terms []linear.Term
	for _, i := range pairs {
		p := b.pairs[i]
		terms = append(terms, linear.Term{Column: p.n, Value: p.unit / b.t.groups[g].unit})
		if p.open >= 0 {
			terms = append(terms, linear.Term{Column: p.open, Value: 1})
		}
	}
	if len(terms) == 1 && b.pairs[pairs[0]].most <= there {
		return // the column's own bound says it
	}
	b.model.AddRow(linear.Row{Low: math.Inf(-1), High: there}, terms...)
}

// weights gives each column's part in an aim.
func (b *built) weights(a Aim) []float64 {
	w, prices := make([]float64, len(b.model.Columns)), b.t.p.Prices
	for _, p := range b.pairs {
		c := b.t.content(p.group)
		perKg, used, opened := 0.0, 0.0, 0.0
		switch a {
		case Cheapest:
			perKg, used = c.Cost-prices.AgeKgDay*c.AgeDays, prices.Handling
		case OldestFirst:
			perKg = -c.AgeDays
		case FewPartDrums:
			opened = 1
		case FewContents:
			used = 1
		case LeastHoney:
			perKg = 1
		}
		w[p.n] += perKg * p.unit
		if p.part >= 0 {
			w[p.part], w[p.open] = perKg, opened
		}
		if p.y >= 0 {
			w[p.y] += used
		}
	}
	for place := range b.a.batches {
		switch s := b.short[place]; {
		case s >= 0 && a == Cheapest:
			w[s], w[b.over[place]] = prices.ShortKg, prices.OverKg
		case s >= 0 && a == LeastShort:
			w[s] = 1
		}
	}
	return w
}

func (b *built) setCosts() {
	switch {
	case b.a.idle:
		return
	case b.more >= 0:
		b.model.Columns[b.more].Cost = 1
		return
	case b.a.reach.place >= 0:
		b.setReach()
		return
	}
	for i, w := range b.weights(b.a.aim) {
		b.model.Columns[i].Cost = w
	}
}

func (b *built) addKept() {
	for _, k := range b.a.kept {
		var terms []linear.Term
		for i, w := range b.weights(k.aim) {
			terms = append(terms, linear.Term{Column: i, Value: w})
		}
		b.model.AddRow(linear.Row{Low: math.Inf(-1), High: k.most}, terms...)
	}
}

// kgs gives the kg of each pair at a point.
func (b *built) kgs(values []float64) []float64 {
	out := make([]float64, len(b.pairs))
	for i, p := range b.pairs {
		if out[i] = values[p.n] * p.unit; p.part >= 0 {
			out[i] += values[p.part]
		}
	}
	return out
}
