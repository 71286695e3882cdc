package blend

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// settle turns a point of a model into draws of whole grams. Whole drums stay as they
// are. What is drawn by weight is rounded, which mostly does; if a limit is broken by
// it, the weights are solved once more with as much room in every row as rounding can
// take.
func (t *task) settle(b *built, values []float64, s solver) ([]Draw, error) {
	parts := b.byWeight(values)
	draws := b.draws(values, b.roundGrams(values, parts))
	if len(parts) == 0 {
		return draws, nil
	}
	_, faults := t.check(draws)
	if len(faults) == 0 {
		return draws, nil
	}
	broken := b.brokenParts(parts, faults) // the others stay: they may have no gram to spare
	a := b.a
	a.fine = b.fineness(b.kgs(values), broken)
	again := t.build(a)
	if len(again.model.Columns) != len(values) {
		return draws, nil
	}
	sol, err := s.one(again.fix(values, broken), linear.Options{Seconds: s.o.Seconds})
	if err != nil || !sol.Found() {
		return draws, err
	}
	return b.draws(sol.Values, b.roundGrams(sol.Values, parts)), nil
}

// brokenParts are the pairs of the batches that have a fault.
func (b *built) brokenParts(parts []int, faults []Fault) (out []int) {
	for _, i := range parts {
		j := b.a.batches[b.pairs[i].batch]
		if slices.ContainsFunc(faults, func(f Fault) bool { return f.Content >= 0 || f.Demand.Batch == j }) {
			out = append(out, i)
		}
	}
	return out
}

// byWeight lists the pairs in use that are drawn by weight, whole or in part.
func (b *built) byWeight(values []float64) (out []int) {
	for i, p := range b.pairs {
		if !p.whole && values[p.n]*p.unit >= gramKg/2 || p.part >= 0 && values[p.part] >= gramKg/2 {
			out = append(out, i)
		}
	}
	return out
}

func (b *built) fineness(kgs []float64, parts []int) []float64 {
	out, sum := make([]float64, len(b.of)), make([]float64, len(b.of))
	for i, w := range kgs {
		sum[b.pairs[i].batch] += w
	}
	for _, i := range parts {
		out[b.pairs[i].batch] += gramKg
	}
	for place := range out {
		if sum[place] > 0 {
			out[place] /= sum[place]
		}
		if out[place] > 0 && b.doubtful() {
			out[place] += doubtRoom
		}
	}
	return out
}

// fix leaves only the weights of some pairs to choose, and what makes up the sum.
func (b *built) fix(values []float64, parts []int) linear.Model {
	m := b.model
	free := map[int]bool{}
	for _, i := range parts {
		if p := b.pairs[i]; !p.whole {
			free[p.n] = true
		} else {
			free[p.part] = true
		}
	}
	for _, p := range b.pairs {
		for _, c := range [...]int{p.n, p.part} {
			if c >= 0 && !free[c] {
				m.Columns[c].Low = math.Round(values[c]*1000) / 1000 // whole drums, or grams as they are rounded
				m.Columns[c].High = m.Columns[c].Low
			}
		}
	}
	for i := range m.Columns {
		if c := &m.Columns[i]; c.Whole {
			c.Low, c.High, c.Whole = math.Round(values[i]), math.Round(values[i]), false
		}
	}
	m.Start = nil
	return m
}

// roundGrams rounds what is drawn by weight, batch by batch: down first, then a gram
// more for the largest rests until the batch's sum is rounded too.
func (b *built) roundGrams(values []float64, parts []int) map[int]quantity.Gram {
	out := map[int]quantity.Gram{}
	for place := range b.of {
		var mine []int
		sum := 0.0
		for _, i := range parts {
			if b.pairs[i].batch == place {
				mine, sum = append(mine, i), sum+b.weight(i, values)
			}
		}
		rests := map[int]float64{}
		left := math.Round(sum * 1000)
		for _, i := range mine {
			g := math.Floor(b.weight(i, values)*1000 + 1e-6)
			out[i], rests[i] = quantity.Gram(g), b.weight(i, values)*1000-g
			left -= g
		}
		slices.SortStableFunc(mine, func(i, j int) int { return cmp.Compare(rests[j], rests[i]) })
		for _, i := range mine {
			if left >= 1 && rests[i] > 0 {
				out[i]++
				left--
			}
		}
	}
	return out
}

// weight is what is drawn by weight of a pair, in kg.
func (b *built) weight(i int, values []float64) float64 {
	if p := b.pairs[i]; p.whole {
		return values[p.part]
	} else {
		return values[p.n] * p.unit
	}
}

// draws gives the equal drums of a group their names: the first ones first.
func (b *built) draws(values []float64, byWeight map[int]quantity.Gram) (out []Draw) {
	left := make([]int, len(b.t.p.Contents)) // whole drums
	for i := range b.t.p.Contents {
		if c := &b.t.p.Contents[i]; c.Drum > 0 {
			left[i] = int(c.Grams / c.Drum)
		}
	}
	for i, p := range b.pairs {
		j := b.a.batches[p.batch]
		members := b.t.groups[p.group].members
		if !p.whole {
			if g := byWeight[i]; g > 0 {
				out = append(out, Draw{Batch: j, Content: members[0], Grams: g})
			}
			continue
		}
		drum, want := b.t.groups[p.group].drum, int(math.Round(values[p.n]))
		part := byWeight[i]
		for _, c := range members {
			d := Draw{Batch: j, Content: c, Drums: min(want, left[c])}
			left[c] -= d.Drums
			want -= d.Drums
			d.Grams = quantity.Gram(d.Drums) * drum
			if want == 0 && part > 0 && left[c] > 0 {
				left[c]--
				d.Grams, d.Part, part = d.Grams+part, true, 0
			}
			if d.Grams > 0 {
				out = append(out, d)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Draw) int {
		return cmp.Or(cmp.Compare(x.Batch, y.Batch), cmp.Compare(x.Content, y.Content))
	})
	return out
}
