package blend

import (
	"math"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// An ask says which part of a task a model is to hold.
type ask struct {
	batches []int // of the problem
	off     dropped
	aim     Aim
	kept    []kept    // what earlier aims came to
	reach   *reach    // in place of the aim: how far a term can go
	extra   *extra    // honey that is not there, in place of the aim
	idle    bool      // any point will do
	fine    []float64 // kg that rounding to grams may move, as a part of each batch; nil: none
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
	n, y         int     // drums or kg; how many contents are used, −1 if nothing asks
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

// build makes the model of an ask.
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

func (b *built) batch(place int) *Batch { return &b.t.p.Batches[b.a.batches[place]] }

// asked reports whether a demand of a batch counts.
func (b *built) asked(place int, k DemandKind, i int) bool {
	return !b.a.off[Demand{b.a.batches[place], k, i}]
}

// fine is how far rounding to grams may move a mean, in parts of the batch.
func (b *built) fine(place int) float64 {
	room := b.t.room[b.a.batches[place]]
	if b.a.fine == nil {
		return room
	}
	return max(room, b.a.fine[place])
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
