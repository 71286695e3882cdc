// Package split solves models of parts that meet only in what they share: orders that
// draw on the same stock. Each part alone is easy, all together are not.
//
// Prices on the shared rows make the parts independent: with any prices, what the
// parts cost at the least, less the prices of the whole stock, is a bound for the
// whole. Good prices and good ways to do each part, recipes, are found in turns: a
// linear master problem mixes the recipes known so far and prices the stock, each part
// looks for a better recipe at those prices (column generation; Dantzig and Wolfe,
// Operations Research 8, 1960, 101–111; for the bound Geoffrion, Mathematical
// Programming Study 2, 1974, 82–114; both cited from memory). The plan is the best
// choice of one recipe a part, improved part by part on what the others leave.
package split

import (
	"errors"
	"math"

	"combline/internal/linear"
)

// Options say how far to go.
type Options struct {
	Gap  float64     // enough is (objective − bound) / |objective| within this
	Stop func() bool // asked between models; nil never stops
}

// ErrOnePart reports a model that does not fall apart.
var ErrOnePart = errors.New("the model hangs together")

// A search is what is known of a model's parts so far.
type search struct {
	w     *whole
	o     Options
	solve linear.Solve

	recipes []recipe
	asked   [][]float64 // by part: the prices that it was last asked at
	lowest  []float64   // by part: its bound at those
	highest []float64   // by part: the cost of its best recipe at those
	level   int         // how fine the parts are solved
	bound   float64     // of the whole
	best    float64     // cost of the best plan
	chosen  []int       // the best plan: recipe of each part
}

// The parts are solved the finer, the nearer the prices are: to a gap, but never finer
// than the whole needs, with seconds of effort at most. The last level has no end.
var levels = [...]struct{ gap, seconds float64 }{{0.02, 0.1}, {0.004, 0.4}, {0, 1.5}, {0, 0}}

const (
	finer     = 2   // how much finer the parts are solved than the whole at last
	trial     = 0.4 // seconds of effort for a better recipe in a plan
	mostTurns = 400
	between   = 6 // turns from one plan to the next
)

// Solve finds the least cost of a model to the gap, as far as it gets: a plan that it
// can't improve further is [linear.BestSoFar] with its bound. The solver is given
// several parts at a time; where it is given seconds, the best it found in some such
// effort will do. A model of one part wraps [ErrOnePart].
func Solve(m *linear.Model, o Options, solve linear.Solve) (linear.Solution, error) {
	if err := m.Check(); err != nil {
		return linear.Solution{}, err
	}
	w := takeApart(m)
	if len(w.parts) < 2 {
		return linear.Solution{}, ErrOnePart
	}
	n := len(w.parts)
	s := &search{w: w, o: o, solve: solve, bound: math.Inf(-1), best: math.Inf(1)}
	s.asked, s.lowest, s.highest = make([][]float64, n), make([]float64, n), make([]float64, n)
	if impossible, err := s.run(); err != nil || impossible {
		return linear.Solution{Status: linear.Impossible, Objective: math.Inf(1), Bound: math.Inf(1)}, err
	}
	return s.solution(), nil
}

func (s *search) stopped() bool { return s.o.Stop != nil && s.o.Stop() }

func (s *search) near() bool { return s.best-s.bound <= s.o.Gap*math.Abs(s.best) }

// run takes turns until the plan is near enough or nothing new turns up.
func (s *search) run() (impossible bool, err error) {
	s.begin()
	if impossible, _, err = s.price(make([]float64, len(s.w.shared))); err != nil || impossible {
		return impossible, err
	}
	if err := s.inTurn(); err != nil {
		return false, err
	}
	for turn := 1; turn < mostTurns && !s.near() && !s.stopped(); turn++ {
		value, prices, err := s.master()
		if err != nil {
			return false, err
		}
		_, fresh, err := s.price(prices)
		if err != nil {
			return false, err
		}
		done := value-s.bound <= s.o.Gap/finer*math.Abs(value)
		if !done && s.refine(fresh, value) {
			continue
		}
		if done || !fresh || turn%between == 0 {
			more, err := s.plan()
			if err != nil || !more && (done || !fresh) {
				return false, err
			}
		}
	}
	return false, nil
}

// refine solves the parts finer, if it is their gaps rather than the prices that keep
// the bound down; false if nothing is to be had by it.
func (s *search) refine(fresh bool, value float64) bool {
	slack := 0.0
	for k := range s.lowest {
		slack += s.highest[k] - s.lowest[k]
	}
	if s.level == len(levels)-1 || fresh && slack < 0.5*(value-s.bound) {
		return false
	}
	s.level++
	clear(s.asked)
	return true
}

// fine is how the parts are solved at the present level.
func (s *search) fine() linear.Options {
	at := levels[s.level]
	return linear.Options{Gap: max(at.gap, s.o.Gap/finer), Seconds: at.seconds}
}

// begin takes the parts' starts for recipes, and for the first plan.
func (s *search) begin() {
	var chosen []int
	for k := range s.w.parts {
		if p := &s.w.parts[k]; p.model.Start != nil && p.model.Breaks(p.model.Start, near) == nil {
			chosen = append(chosen, s.index(s.w.recipe(k, p.model.Start)))
		}
	}
	if len(chosen) == len(s.w.parts) {
		s.take(chosen)
	}
}

// near is what a point may break a row by, relative to its terms.
const near = 1e-7

// price asks the parts for their best recipes at prices, those whose own prices are
// new. The sum of the parts' bounds less the price of the stock is a bound for the
// whole.
func (s *search) price(prices []float64) (impossible, fresh bool, err error) {
	var models []linear.Model
	var which []int
	for k := range s.w.parts {
		if p := &s.w.parts[k]; s.asked[k] == nil || !p.samePrices(s.asked[k], prices) {
			models, which = append(models, s.model(k, prices, s.w.stock)), append(which, k)
		}
	}
	found, err := s.solve(models, s.fine())
	if err != nil {
		return false, false, err
	}
	for n, f := range found {
		k := which[n]
		if f.Status == linear.Impossible {
			return true, false, nil
		}
		s.asked[k], s.lowest[k], s.highest[k] = prices, f.Bound, f.Objective
		fresh = f.Found() && s.add(s.w.recipe(k, f.Values)) || fresh
	}
	bound := s.w.m.Offset
	for k := range s.w.parts {
		bound += s.lowest[k]
	}
	for r, p := range prices {
		if p != 0 {
			bound -= p * s.w.stock[r]
		}
	}
	s.bound = max(s.bound, bound)
	return false, fresh, nil
}

// model is a part's model at prices on what is left, with the best recipe to start from.
func (s *search) model(k int, prices, left []float64) linear.Model {
	m := s.w.parts[k].with(prices, left)
	best := math.Inf(1)
	for i := range s.recipes {
		r := &s.recipes[i]
		if r.part != k || !r.within(left) {
			continue
		}
		if cost := m.Objective(r.values); cost < best {
			best, m.Start = cost, r.values
		}
	}
	return m
}

// add keeps a recipe unless it is known.
func (s *search) add(r recipe) bool {
	before := len(s.recipes)
	return s.index(r) == before
}

// index is a recipe's place; a new one is kept.
func (s *search) index(r recipe) int {
	for i := range s.recipes {
		if s.recipes[i].same(&r) {
			return i
		}
	}
	s.recipes = append(s.recipes, r)
	return len(s.recipes) - 1
}

func (s *search) solution() linear.Solution {
	f := linear.Solution{Status: linear.OutOfTime, Objective: s.best, Bound: min(s.bound, s.best)}
	if s.chosen == nil {
		return f
	}
	f.Status = linear.BestSoFar
	if s.near() {
		f.Status = linear.Proven
	}
	f.Values = make([]float64, len(s.w.m.Columns))
	for _, i := range s.chosen {
		r := &s.recipes[i]
		for n, j := range s.w.parts[r.part].columns {
			f.Values[j] = r.values[n]
		}
	}
	return f
}
