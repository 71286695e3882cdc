package goods

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Promise is honey or goods put by for an order.
type Promise struct {
	Order record.Code
	What  record.Code // drum, vessel, batch or pallet
	Units int64       // still to go of a batch; 0: all of it
	Stamp
}

// promised puts things by. Units of several batches together are taken from them
// in turn, each as far as it is free, the last giving the rest.
func (g *Goods) promised(f *record.Promised, at Stamp) {
	left := g.count(f.Units, "", at)
	lastBatch := -1
	for i, c := range f.What {
		if _, ok := g.batches[c.Fold()]; ok {
			lastBatch = i
		}
	}
	for i, c := range f.What {
		p := Promise{Order: f.Order, What: c, Stamp: at}
		if free, ok := g.Free(c); ok && f.Units > 0 {
			if p.Units = min(left, max(0, free)); i == lastBatch {
				p.Units = left
			}
			if left -= p.Units; p.Units == 0 {
				continue
			}
		}
		put(&g.promises, c.Fold(), append(g.promises[c.Fold()], p))
	}
}

func (g *Goods) takenBack(f *record.PromiseTakenBack) {
	for _, c := range f.What {
		g.free(c.Fold(), f.Order)
	}
}

// free ends what is put by for an order of one thing.
func (g *Goods) free(k string, order record.Code) {
	g.setPromises(k, slices.DeleteFunc(g.promises[k], func(p Promise) bool { return p.Order.Fold() == order.Fold() }))
}

// fulfil takes what went for an order off what was put by for it.
func (g *Goods) fulfil(line SentLine, what record.Code) {
	k, left := what.Fold(), line.Units
	old, ok := g.promises[k]
	if !ok {
		return
	}
	b, isBatch := g.batches[k]
	list := old[:0]
	for _, p := range old {
		mine := line.Order != "" && p.Order.Fold() == line.Order.Fold()
		switch {
		case mine && !isBatch, mine && p.Units == 0 && b.onHand() <= 0:
			continue
		case mine && p.Units > 0:
			n := min(p.Units, left)
			left -= n
			if p.Units -= n; p.Units == 0 {
				continue
			}
		}
		list = append(list, p)
	}
	g.setPromises(k, list)
}

func (g *Goods) setPromises(k string, list []Promise) {
	if len(list) == 0 {
		delete(g.promises, k)
		return
	}
	put(&g.promises, k, list)
}

// PromisesOf lists for which orders something is put by.
func (g *Goods) PromisesOf(what record.Code) []Promise { return slices.Clone(g.promises[what.Fold()]) }

// PromisesTo lists what is put by for an order.
func (g *Goods) PromisesTo(order record.Code) []Promise {
	var all []Promise
	for _, k := range slices.Sorted(maps.Keys(g.promises)) {
		for _, p := range g.promises[k] {
			if p.Order.Fold() == order.Fold() {
				all = append(all, p)
			}
		}
	}
	return all
}

// Free is how many units of a batch are on hand and not put by, itself or on a
// pallet; below zero when more is put by than there is. False when the code is no
// batch.
func (g *Goods) Free(batch record.Code) (int64, bool) {
	b, ok := g.batches[batch.Fold()]
	if !ok {
		return 0, false
	}
	free := b.onHand() - g.onPallets(b, func(record.Code) bool { return true })
	for _, p := range g.promises[batch.Fold()] {
		if p.Units == 0 {
			return min(0, free), true
		}
		free -= p.Units
	}
	return free, true
}
