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

// inTurn makes a first plan, the dearest parts first: each its best recipe if what it
// takes is still there; those for which it is not, the best on what is left.
func (s *search) inTurn() error {
	order := make([]int, len(s.w.parts))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.lowest[b], s.lowest[a]) })
	chosen, left := make([]int, len(order)), slices.Clone(s.w.stock)
	use := func(k, recipe int) {
		chosen[k] = recipe
		for _, e := range s.recipes[recipe].takes {
			left[e.Row] = max(0, left[e.Row]-e.Value)
		}
	}
	var later []int
	for _, k := range order {
		if i := s.cheapest(k, left); i >= 0 && s.recipes[i].cost <= s.highest[k]+1e-9*math.Abs(s.highest[k]) {
			use(k, i)
		} else {
			later = append(later, k)
		}
	}
	for _, k := range later {
		i, err := s.onLeft(k, left)
		if err != nil || i < 0 {
			return err
		}
		use(k, i)
	}
	s.take(chosen)
	return nil
}

// cheapest is the cheapest known recipe of a part within what is left, −1 if none is.
func (s *search) cheapest(k int, left []float64) int {
	best := -1
	for i := range s.recipes {
		r := &s.recipes[i]
		if r.part == k && r.within(left) && (best < 0 || r.cost < s.recipes[best].cost) {
			best = i
		}
	}
	return best
}

// onLeft is the best recipe of a part on what is left, the best known if time is up.
func (s *search) onLeft(k int, left []float64) (int, error) {
	if s.stopped() {
		return s.cheapest(k, left), nil
	}
	found, err := s.solve([]linear.Model{s.model(k, nil, left)}, s.fine())
	if err != nil || !found[0].Found() {
		return s.cheapest(k, left), err
	}
	return s.index(s.w.recipe(k, found[0].Values)), nil
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
