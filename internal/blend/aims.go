package blend

import (
	"math"
	"slices"

	"combline/internal/linear"
)

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
