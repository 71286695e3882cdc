package split

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// Parts that compete are solved anew together, two at a time, on what the others of
// the best plan leave: one gives up a drum that the other needs more. To stay small
// the two may only use what some recipe of theirs uses.

// A pair is two parts and how many rows they compete for.
type pair struct{ one, other, rows int }

const mostPairs = 24

// together tries pairs as long as that helps.
func (s *search) together() error {
	for s.chosen != nil && !s.stopped() {
		pairs := s.pairs()
		models, joints := make([]linear.Model, len(pairs)), make([][2]int, len(pairs))
		for i, p := range pairs {
			models[i], joints[i] = s.joint(p), [2]int{p.one, p.other}
		}
		found, err := s.solve(models, linear.Options{Gap: s.o.Gap / finer, Seconds: trial})
		if err != nil {
			return err
		}
		before := s.best
		for i, f := range found {
			if f.Found() {
				s.takeBoth(joints[i], f.Values)
			}
		}
		if !(s.best < before-1e-9*math.Abs(before)) {
			return nil
		}
	}
	return nil
}

// pairs lists the parts that compete, those for most rows first.
func (s *search) pairs() []pair {
	users := make([][]int, len(s.w.shared))
	for i := range s.recipes {
		for _, e := range s.recipes[i].takes {
			if k := s.recipes[i].part; !slices.Contains(users[e.Row], k) {
				users[e.Row] = append(users[e.Row], k)
			}
		}
	}
	rows := map[[2]int]int{}
	for _, parts := range users {
		for _, a := range parts {
			for _, b := range parts {
				if a < b {
					rows[[2]int{a, b}]++
				}
			}
		}
	}
	var all []pair
	for a := range s.w.parts {
		for b := a + 1; b < len(s.w.parts); b++ {
			if n := rows[[2]int{a, b}]; n > 0 {
				all = append(all, pair{a, b, n})
			}
		}
	}
	slices.SortStableFunc(all, func(x, y pair) int { return y.rows - x.rows })
	return all[:min(len(all), mostPairs)]
}

// joint is the model of two parts, starting from the best plan.
func (s *search) joint(p pair) (m linear.Model) {
	left := s.leftFor(p.one, p.other)
	rows := make([][]linear.Term, len(left))
	for _, k := range []int{p.one, p.other} {
		first := len(m.Columns)
		part := s.w.parts[k].model.Clone()
		for _, c := range part.Columns {
			for i := range c.Entries {
				c.Entries[i].Row += len(m.Rows)
			}
			m.AddColumn(c)
		}
		m.Rows = append(m.Rows, part.Rows...)
		m.Offset += part.Offset
		m.Start = append(m.Start, s.recipes[s.chosen[k]].values...)
		used := s.used(k)
		for _, t := range s.w.parts[k].share {
			c := first + t.column
			if !used[t.column] && m.Columns[c].Low <= 0 {
				m.Columns[c].High = 0
				continue
			}
			rows[t.row] = append(rows[t.row], linear.Term{Column: c, Value: t.value})
		}
	}
	for r, terms := range rows {
		if len(terms) > 0 {
			m.AddRow(linear.Row{Low: math.Inf(-1), High: left[r]}, terms...)
		}
	}
	return m
}

// used says which of a part's columns some recipe uses.
func (s *search) used(k int) []bool {
	used := make([]bool, len(s.w.parts[k].columns))
	for i := range s.recipes {
		if s.recipes[i].part != k {
			continue
		}
		for c, v := range s.recipes[i].values {
			used[c] = used[c] || v != 0
		}
	}
	return used
}

func (s *search) takeBoth(parts [2]int, values []float64) {
	chosen, at := slices.Clone(s.chosen), 0
	for _, k := range parts {
		n := len(s.w.parts[k].columns)
		chosen[k] = s.index(s.w.recipe(k, slices.Clone(values[at:at+n])))
		at += n
	}
	s.take(chosen)
}
