package goods

import (
	"maps"
	"slices"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// A Material is jars, lids, labels, film or an ingredient.
type Material struct {
	*record.MaterialNamed
	Stamp
}

// A Level is how much of a material there is, in pieces, by weight, or both.
type Level struct {
	Pieces Count
	Grams  Count
}

// A Count is one figure of a level.
type Count struct {
	N     int64
	Given bool // false: this material was never written down so; N says nothing
	Open  bool // something came or went without a figure since the last count: N is not known
}

func levelOf(a record.Amount) Level {
	var l Level
	if a.Pieces.Given() {
		l.Pieces = Count{N: whole(a.Pieces), Given: true}
	}
	if a.Mass.Given() {
		l.Grams = Count{N: int64(a.Mass.Grams()), Given: true}
	}
	return l
}

// whole is a count of pieces to the whole piece, halves away from zero.
func whole(f q.Figure) int64 {
	n := f.Mantissa
	for d := f.Decimals; d > 1; d-- {
		n /= 10 // only the tenths round
	}
	if f.Decimals > 0 {
		if n < 0 {
			return (n - 5) / 10
		}
		return (n + 5) / 10
	}
	return n
}

// change adds sign times d; a measure that d has no figure for is open from then on.
func (l *Level) change(d Level, sign int64) {
	l.Pieces.change(d.Pieces, sign)
	l.Grams.change(d.Grams, sign)
}

func (c *Count) change(d Count, sign int64) {
	switch {
	case d.Given:
		c.N, c.Given, c.Open = c.N+sign*d.N, true, c.Open || d.Open
	case c.Given:
		c.Open = true
	}
}

// A MaterialLot is one lot of a material.
type MaterialLot struct {
	Lot      record.Code
	Material record.Code // none while only its use was written down
	Supplier record.Code
	TheirLot string
	Paper    string
	Left     Level // below zero: more was used than came
	At       Stamp // received
	Counts   []Counted
}

// A Counted is a count of a material lot: it replaces what the books said.
type Counted struct {
	Was, Found Level
	Stamp
}

type materialLot struct {
	MaterialLot
	uses  []Use
	outAt Stamp
}

func (l *materialLot) clone() *materialLot {
	c := *l
	c.Counts, c.uses = slices.Clip(l.Counts), slices.Clip(l.uses)
	return &c
}

// A Use is material that went into a run or batch, spoilt pieces apart.
type Use struct {
	Lot      record.Code
	Material record.Code
	For      record.Code
	Amount   record.Amount
	Spoilt   q.Figure
	Input    bool // written down as an input of a batch
	Stamp
}

// OnOrder is material that was ordered and has not come, or not all of it.
type OnOrder struct {
	Material record.Code
	Supplier record.Code
	Amount   Level
	Due      record.Day
	Stamp
}

func (g *Goods) lot(c record.Code) *materialLot {
	k := c.Fold()
	l := g.lots[k]
	if l == nil {
		l = &materialLot{MaterialLot: MaterialLot{Lot: c}}
		put(&g.lots, k, l)
	}
	return l
}

func (g *Goods) materialReceived(f *record.MaterialReceived, at Stamp) {
	l := g.lot(f.Lot)
	l.Material, l.Supplier, l.TheirLot, l.Paper, l.At = f.Material, f.Supplier, f.TheirLot, f.Paper, at
	came := levelOf(f.Amount)
	l.Left.change(came, 1)
	g.arrived(f, came)
}

// arrived takes what came off what is on order of the material, the first due
// first; an order from another supplier stays.
func (g *Goods) arrived(f *record.MaterialReceived, came Level) {
	open := make([]int, 0, len(g.onOrder))
	for i, o := range g.onOrder {
		other := o.Supplier != "" && f.Supplier != "" && o.Supplier.Fold() != f.Supplier.Fold()
		if o.Material.Fold() == f.Material.Fold() && !other {
			open = append(open, i)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int { return int(g.onOrder[a].Due) - int(g.onOrder[b].Due) })
	for _, i := range open {
		o := &g.onOrder[i].Amount
		o.Pieces.less(&came.Pieces)
		o.Grams.less(&came.Grams)
	}
	g.onOrder = slices.DeleteFunc(g.onOrder, func(o OnOrder) bool {
		return (o.Amount.Pieces.Given || o.Amount.Grams.Given) && o.Amount.Pieces.N <= 0 && o.Amount.Grams.N <= 0
	})
}

func (c *Count) less(came *Count) {
	n := max(0, min(c.N, came.N))
	c.N, came.N = c.N-n, came.N-n
}

func (g *Goods) use(lot record.Code, u Use) {
	l := g.lot(lot)
	u.Lot, u.Material = l.Lot, l.Material
	d := levelOf(u.Amount)
	if u.Spoilt.Given() {
		d.Pieces = Count{N: d.Pieces.N + whole(u.Spoilt), Given: true, Open: !u.Amount.Pieces.Given()}
	}
	if l.Material != "" { // a lot that came in pieces has no weight to be taken from, and the other way round
		d.Pieces.Given = d.Pieces.Given && l.Left.Pieces.Given
		d.Grams.Given = d.Grams.Given && l.Left.Grams.Given
	}
	l.Left.change(d, -1)
	l.uses, l.outAt = append(l.uses, u), u.Stamp
	put(&g.uses, u.For.Fold(), append(g.uses[u.For.Fold()], u))
}

func (g *Goods) materialCounted(f *record.MaterialCounted, at Stamp) {
	l := g.lot(f.Lot)
	was, found := l.Left, levelOf(f.Amount)
	if found.Pieces.Given {
		l.Left.Pieces = found.Pieces
	}
	if found.Grams.Given {
		l.Left.Grams = found.Grams
	}
	l.Counts = append(l.Counts, Counted{was, found, at})
}

// Material returns a material.
func (g *Goods) Material(c record.Code) (Material, bool) {
	m, ok := g.materials[c.Fold()]
	return m, ok
}

// Materials lists the materials by code.
func (g *Goods) Materials() []Material {
	var all []Material
	for _, k := range slices.Sorted(maps.Keys(g.materials)) {
		all = append(all, g.materials[k])
	}
	return all
}

// MaterialLot returns a lot of material.
func (g *Goods) MaterialLot(c record.Code) (MaterialLot, bool) {
	l, ok := g.lots[c.Fold()]
	if !ok {
		return MaterialLot{}, false
	}
	v := l.MaterialLot
	v.Counts = slices.Clone(v.Counts)
	return v, true
}

// MaterialLots lists the lots of a material by code.
func (g *Goods) MaterialLots(material record.Code) []MaterialLot {
	var all []MaterialLot
	for _, k := range slices.Sorted(maps.Keys(g.lots)) {
		if g.lots[k].Material.Fold() == material.Fold() {
			l, _ := g.MaterialLot(record.Code(k))
			all = append(all, l)
		}
	}
	return all
}

// Stock is what is left of a material over all its lots; nothing given when no lot
// was ever written down, which is not none.
func (g *Goods) Stock(material record.Code) Level {
	var sum Level
	for _, l := range g.lots {
		if l.Material.Fold() == material.Fold() {
			sum.Pieces.sum(l.Left.Pieces)
			sum.Grams.sum(l.Left.Grams)
		}
	}
	return sum
}

func (c *Count) sum(d Count) {
	if d.Given {
		c.N, c.Given, c.Open = c.N+d.N, true, c.Open || d.Open
	}
}

// OnOrder lists what of a material is still to come, the first due first.
func (g *Goods) OnOrder(material record.Code) []OnOrder {
	var all []OnOrder
	for _, o := range g.onOrder {
		if o.Material.Fold() == material.Fold() {
			all = append(all, o)
		}
	}
	slices.SortStableFunc(all, func(a, b OnOrder) int { return int(a.Due) - int(b.Due) })
	return all
}

// UsedIn lists the runs and batches that a lot of material went into.
func (g *Goods) UsedIn(lot record.Code) []Use {
	if l, ok := g.lots[lot.Fold()]; ok {
		return slices.Clone(l.uses)
	}
	return nil
}

// UsedBy lists the material that was written down for a run or batch itself; for
// a batch of a run, ask for both.
func (g *Goods) UsedBy(c record.Code) []Use { return slices.Clone(g.uses[c.Fold()]) }
