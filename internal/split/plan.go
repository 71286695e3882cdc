package split

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
)

// plan takes the best choice of one recipe a part and improves it. It reports whether
// that turned up new recipes.
func (s *search) plan() (more bool, err error) {
	before := len(s.recipes)
	if err := s.choose(); err != nil || s.near() {
		return false, err
	}
	if err := s.improve(); err != nil || s.near() {
		return false, err
	}
	if err := s.together(); err != nil || s.near() {
		return false, err
	}
	return len(s.recipes) > before, nil
}

func (s *search) choose() error {
	m, _ := s.program(true)
	if s.chosen != nil {
		m.Start = make([]float64, len(m.Columns))
		for _, i := range s.chosen {
			m.Start[i] = 1
		}
	}
	found, err := s.solve([]linear.Model{m}, linear.Options{Gap: s.o.Gap / finer})
	if err != nil || !found[0].Found() {
		return err
	}
	chosen := make([]int, len(s.w.parts))
	for i, v := range found[0].Values {
		if v > 0.5 {
			chosen[s.recipes[i].part] = i
		}
	}
	s.take(chosen)
	return nil
}

// take keeps a plan if it is the best, and possible.
func (s *search) take(chosen []int) {
	cost := s.w.m.Offset
	var all []*recipe
	for _, i := range chosen {
		cost += s.recipes[i].cost
		all = append(all, &s.recipes[i])
	}
	if cost < s.best && s.w.fits(s.w.taken(all)) {
		s.best, s.chosen = cost, slices.Clone(chosen)
	}
}

// inTurn makes a first plan: the parts one after the other on what is left, the
// dearest first.
func (s *search) inTurn() error {
	order := make([]int, len(s.w.parts))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.lowest[b], s.lowest[a]) })
	chosen, left := make([]int, len(order)), slices.Clone(s.w.stock)
	for _, k := range order {
		found, err := s.solve([]linear.Model{s.model(k, nil, left)}, linear.Options{Gap: s.fine, Seconds: s.patience()})
		if err != nil || !found[0].Found() {
			return err
		}
		chosen[k] = s.index(s.w.recipe(k, found[0].Values))
		for _, e := range s.recipes[chosen[k]].takes {
			left[e.Row] = max(0, left[e.Row]-e.Value)
		}
	}
	s.take(chosen)
	return nil
}

// improve solves each part of the best plan anew on what the others leave, as long as
// that helps.
func (s *search) improve() error {
	for s.chosen != nil && !s.stopped() {
		models := make([]linear.Model, len(s.w.parts))
		for k := range models {
			models[k] = s.model(k, nil, s.leftFor(k))
		}
		found, err := s.solve(models, linear.Options{Gap: s.o.Gap / finer, Seconds: trial})
		if err != nil {
			return err
		}
		before := s.best
		for k, f := range found {
			if f.Found() {
				chosen := slices.Clone(s.chosen)
				chosen[k] = s.index(s.w.recipe(k, f.Values))
				s.take(chosen)
			}
		}
		if !(s.best < before-1e-9*math.Abs(before)) {
			return nil
		}
	}
	return nil
}

// leftFor is what the other parts of the best plan leave.
func (s *search) leftFor(parts ...int) []float64 {
	var others []*recipe
	for j, i := range s.chosen {
		if !slices.Contains(parts, j) {
			others = append(others, &s.recipes[i])
		}
	}
	left := s.w.taken(others)
	for r := range left {
		left[r] = max(0, s.w.stock[r]-left[r])
	}
	return left
}
