package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// StockInFull is [View.Stock] with its sums by grade, by place and by product, each by
// whether it is free, put by, touched or on hold, and with the samples that were kept.
func (v *View) StockInFull() answer.Answer {
	a := v.Stock()
	held, put := v.held(), v.promised()
	grade, place := sumsBy{}, sumsBy{}
	for _, c := range v.State.Contents() {
		if c.Grams == 0 && len(c.InLots) > 0 { // what runs in unweighed is not none
			continue
		}
		st := v.status(held, put, c)
		grade.add(purposeKey(c.Purpose), st, int64(c.Grams))
		place.add(orNil(c.Place), st, int64(c.Grams))
	}
	grade.table(a.Table("sums-grade", "purpose", "free_g", "promised_g", "touched_g", "held_g", "all_g"), asGrams)
	place.table(a.Table("sums-place", "place", "free_g", "promised_g", "touched_g", "held_g", "all_g"), asGrams)
	goods := sumsBy{}
	for _, c := range v.State.Batches() {
		goods.add(v.productOf(c.Code), v.status(held, put, c), c.Units)
	}
	goods.table(a.Table("sums-goods", "product", "free_units", "promised_units", "touched_units", "held_units", "units"), asCount)
	v.retained(&a)
	return a
}

// productOf is the product that a batch is of; nil when its run does not say.
func (v *View) productOf(batch record.Code) any {
	if b, ok := v.State.Goods.Batch(batch); ok {
		return orNil(b.Product)
	}
	return nil
}

// retained lists the samples of packed goods that are still kept.
func (v *View) retained(a *answer.Answer) {
	t := a.Table("retained", "mark", "product", "units", "mass_g", "place", "since")
	for _, thing := range v.State.OfKind(record.Batch) {
		code := v.State.Code(thing)
		for _, n := range v.State.RootsOf(code) {
			for _, x := range v.State.Graph().Next(n, trace.Forward) {
				c := v.State.Content(x.Node)
				if c.Kind == house.RetainedNode && v.State.Graph().Left(x.Node) > 0 {
					t.Row(answer.Plain, code, v.productOf(code), countOrNil(c.Units), c.Grams, orNil(c.Place), whenOrNil(c.When))
				}
			}
		}
	}
}

// sumsBy adds up what stands under one name, by status.
type sumsBy []sumBy

type sumBy struct {
	name any
	of   map[status]int64
}

func (all *sumsBy) add(name any, st status, n int64) {
	i := slices.IndexFunc(*all, func(x sumBy) bool { return x.name == name })
	if i < 0 {
		i, *all = len(*all), append(*all, sumBy{name, map[status]int64{}})
	}
	(*all)[i].of[st] += n
}

// table writes the sums in the order in which the names came.
func (all sumsBy) table(t *answer.Table, as func(int64) any) {
	for _, s := range all {
		row, whole := []any{s.name}, int64(0)
		for _, st := range []status{free, promised, touched, onHold} {
			row, whole = append(row, as(s.of[st])), whole+s.of[st]
		}
		t.Row(answer.Plain, append(row, as(whole))...)
	}
}

func asGrams(n int64) any { return quantity.Gram(n) }
func asCount(n int64) any { return n }
