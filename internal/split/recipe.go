package split

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// A recipe is one way to do a part: its point, what that costs, and what it takes of
// the shared rows.
type recipe struct {
	part   int
	values []float64
	cost   float64
	takes  []linear.Entry // by shared row
}

func (w *whole) recipe(k int, values []float64) recipe {
	p := &w.parts[k]
	r := recipe{part: k, values: values, cost: p.model.Objective(values)}
	sum := map[int]float64{}
	for _, s := range p.share {
		if v := s.value * values[s.column]; v != 0 {
			sum[s.row] += v
		}
	}
	for row, v := range sum {
		r.takes = append(r.takes, linear.Entry{Row: row, Value: v})
	}
	slices.SortFunc(r.takes, func(a, b linear.Entry) int { return a.Row - b.Row })
	return r
}

func (r *recipe) same(q *recipe) bool {
	return r.part == q.part && math.Abs(r.cost-q.cost) <= 1e-9*math.Abs(r.cost) && slices.Equal(r.values, q.values)
}

// taken adds up what recipes take of each shared row.
func (w *whole) taken(chosen []*recipe) []float64 {
	sum := make([]float64, len(w.shared))
	for _, r := range chosen {
		for _, e := range r.takes {
			sum[e.Row] += e.Value
		}
	}
	return sum
}

// fits reports whether what is taken is there.
func (w *whole) fits(taken []float64) bool {
	for i, v := range taken {
		if v > w.stock[i]+1e-9*max(1, math.Abs(w.stock[i])) {
			return false
		}
	}
	return true
}

// within reports whether no more is taken than is left.
func (r *recipe) within(left []float64) bool {
	for _, e := range r.takes {
		if e.Value > left[e.Row]+1e-9*max(1, math.Abs(left[e.Row])) {
			return false
		}
	}
	return true
}
