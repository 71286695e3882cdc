package split

import (
	"math"

	"combline/internal/linear"
)

// program is the master problem: how much of each recipe, one in all for each part, no
// more than there is of what is shared. Rows that no choice of recipes can break are
// left out; rows says which are in it, after the parts' own.
func (s *search) program(whole bool) (m linear.Model, rows []int) {
	ones := make([][]linear.Term, len(s.w.parts))
	takes := make([][]linear.Term, len(s.w.shared))
	for i := range s.recipes {
		r := &s.recipes[i]
		c := m.AddColumn(linear.Column{Cost: r.cost, High: 1, Whole: whole})
		ones[r.part] = append(ones[r.part], linear.Term{Column: c, Value: 1})
		for _, e := range r.takes {
			takes[e.Row] = append(takes[e.Row], linear.Term{Column: c, Value: e.Value})
		}
	}
	if !whole {
		s.addNone(&m, ones)
	}
	for k := range ones {
		m.AddRow(linear.Row{Low: 1, High: 1}, ones[k]...)
	}
	for r, terms := range takes {
		if s.most(terms) > s.w.stock[r]*(1+1e-12) {
			rows = append(rows, r)
			m.AddRow(linear.Row{Low: math.Inf(-1), High: s.w.stock[r]}, terms...)
		}
	}
	return m, rows
}

// addNone lets a part go undone at a cost beyond any recipe's: the first recipes may
// not fit together.
func (s *search) addNone(m *linear.Model, ones [][]linear.Term) {
	dear := 1.0
	for i := range s.recipes {
		dear = max(dear, 1000*math.Abs(s.recipes[i].cost))
	}
	for k := range ones {
		ones[k] = append(ones[k], linear.Term{Column: m.AddColumn(linear.Column{Cost: dear, High: 1}), Value: 1})
	}
}

// most is what the parts together can take of a row by their greediest recipes.
func (s *search) most(terms []linear.Term) float64 {
	most := make([]float64, len(s.w.parts))
	for _, t := range terms {
		k := s.recipes[t.Column].part
		most[k] = max(most[k], t.Value)
	}
	sum := 0.0
	for _, v := range most {
		sum += v
	}
	return sum
}

// master prices the shared rows: what one more of each would save.
func (s *search) master() (value float64, prices []float64, err error) {
	m, rows := s.program(false)
	found, err := s.solve([]linear.Model{m}, linear.Options{})
	if err != nil {
		return 0, nil, err
	}
	prices = make([]float64, len(s.w.shared))
	if found[0].RowDuals == nil {
		return math.Inf(1), prices, nil
	}
	for n, r := range rows {
		prices[r] = max(0, -found[0].RowDuals[len(s.w.parts)+n])
	}
	return found[0].Objective + s.w.m.Offset, prices, nil
}
