package flow

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// A Batch is the hours of one batch at each station of a line, in order.
type Batch []float64

// Unlimited is room for any number of batches between stations.
const Unlimited = -1

// A Sequence is an order of batches on a line with the hours that all of it takes, and a
// bound below which no order can come.
type Sequence struct {
	Order  []int // indices of the batches
	Hours  float64
	Bound  float64
	Proven bool // no order is shorter
}

const (
	mostBatches  = 2000
	mostStations = 50
	enumerate    = 8 // batches up to which every order is tried
)

// Makespan gives the hours that batches take in an order on a line, each station one
// batch at a time, with room for some between neighbours:
//
//	start at station k = max(end at k − 1, when k is free)
//	a batch leaves k for the room behind it when the batch b places before has left there
//
// Unlimited room is the flow shop's C[j,k] = max(C[j−1,k], C[j,k−1]) + p. Arithmetic.
func Makespan(all []Batch, order []int, room int) (float64, error) {
	if err := checkShop(all, room); err != nil {
		return 0, err
	}
	if len(order) > len(all) {
		return 0, fmt.Errorf("order names %d batches, %d are given", len(order), len(all))
	}
	seen := make([]bool, len(all))
	for _, i := range order {
		if i < 0 || i >= len(all) || seen[i] {
			return 0, fmt.Errorf("order names batch %d, want each of 0 to %d once at most", i, len(all)-1)
		}
		seen[i] = true
	}
	return makespan(all, order, room), nil
}

// makespan keeps for each station when each batch began and left. Batch j leaves
// station k at the later of its end and, with b places behind, the start at k + 1 of
// batch j − b; with none, its own start there.
func makespan(all []Batch, order []int, room int) float64 {
	if len(order) == 0 {
		return 0
	}
	stations := len(all[0])
	began := make([][]float64, stations)
	free := make([]float64, stations)
	for j, i := range order {
		at := 0.0
		for k, hours := range all[i] {
			start := max(at, free[k])
			if k > 0 && room == 0 {
				free[k-1] = start // it stood in its station until now
			}
			began[k] = append(began[k], start)
			at = start + hours
			free[k] = at
		}
		if room > 0 {
			leave(began, free, j, room, all[i])
		}
	}
	return free[stations-1]
}

// leave makes a batch stand in its station until a place behind it is free.
func leave(began [][]float64, free []float64, j, room int, b Batch) {
	for k := 0; k+1 < len(b) && j >= room; k++ {
		free[k] = max(free[k], began[k+1][j-room])
	}
}

func checkShop(all []Batch, room int) error {
	if len(all) == 0 || len(all) > mostBatches {
		return fmt.Errorf("%d batches, want 1 to %d", len(all), mostBatches)
	}
	if n := len(all[0]); n == 0 || n > mostStations {
		return fmt.Errorf("%d stations, want 1 to %d", n, mostStations)
	}
	if room > 0 && len(all[0]) > 2 {
		return errors.New("room for a few batches is reckoned between two stations; give two, or none or any room")
	}
	if room < Unlimited {
		return fmt.Errorf("room for %d batches, want 0 and more, or %d for any", room, Unlimited)
	}
	for i, b := range all {
		if len(b) != len(all[0]) {
			return fmt.Errorf("batch %d has %d stations, the first has %d", i+1, len(b), len(all[0]))
		}
		for _, h := range b {
			if err := within(fmt.Sprintf("hours of batch %d", i+1), h, 0, 1e5, "h"); err != nil {
				return err
			}
		}
	}
	return nil
}

// Johnson gives the best order of batches on two stations with any room between them:
// those quicker at the first station by rising first time, then the others by falling
// second time. Johnson 1954 (from memory); optimal.
func Johnson(all []Batch) ([]int, error) {
	if err := checkShop(all, Unlimited); err != nil {
		return nil, err
	}
	if len(all[0]) != 2 {
		return nil, fmt.Errorf("%d stations, want 2", len(all[0]))
	}
	order := identity(len(all))
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := all[i], all[j]
		early, late := a[0] < a[1], b[0] < b[1]
		switch {
		case early != late && early:
			return -1
		case early != late:
			return 1
		case early:
			return cmp.Compare(a[0], b[0])
		}
		return cmp.Compare(b[1], a[1])
	})
	return order, nil
}

func identity(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

// Bound gives hours below which no order comes: at each station the least time before
// it, all its own, and the least after it.
func Bound(all []Batch) (float64, error) {
	if err := checkShop(all, Unlimited); err != nil {
		return 0, err
	}
	bound := 0.0
	for k := range all[0] {
		head, own, tail := math.Inf(1), 0.0, math.Inf(1)
		for _, b := range all {
			head, own, tail = min(head, sum(b[:k])), own+b[k], min(tail, sum(b[k+1:]))
		}
		bound = max(bound, head+own+tail)
	}
	return bound, nil
}

func sum(all []float64) (s float64) {
	for _, x := range all {
		s += x
	}
	return s
}

// BestOrder looks for the order of batches that takes the fewest hours: every order up
// to 8 batches (proven), Johnson's rule for two stations with any room (proven), else
// the longest batches first, each put in at its best place, and moves of single batches
// while they help (Nawaz, Enscore and Ham 1983, from memory).
func BestOrder(all []Batch, room int) (Sequence, error) {
	if err := checkShop(all, room); err != nil {
		return Sequence{}, err
	}
	bound, err := Bound(all)
	if err != nil {
		return Sequence{}, err
	}
	s := Sequence{Bound: bound}
	switch {
	case room == Unlimited && len(all[0]) == 2:
		s.Order, _ = Johnson(all)
		s.Proven = true
	case len(all) <= enumerate:
		s.Order, s.Proven = everyOrder(all, room), true
	default:
		s.Order = inserted(all, room)
	}
	s.Hours = makespan(all, s.Order, room)
	s.Proven = s.Proven || s.Hours <= bound*(1+1e-12)
	return s, nil
}

func everyOrder(all []Batch, room int) []int {
	order, best, shortest := identity(len(all)), []int(nil), math.Inf(1)
	var try func(k int)
	try = func(k int) {
		if k == len(order) {
			if h := makespan(all, order, room); h < shortest {
				best, shortest = slices.Clone(order), h
			}
			return
		}
		for i := k; i < len(order); i++ {
			order[k], order[i] = order[i], order[k]
			try(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	try(0)
	return best
}

// inserted builds an order by insertion, then moves single batches while that helps. A
// line of n batches costs about n³ steps a round; rounds end with the first that does
// not help.
func inserted(all []Batch, room int) []int {
	longest := identity(len(all))
	slices.SortStableFunc(longest, func(i, j int) int { return cmp.Compare(sum(all[j]), sum(all[i])) })
	var order []int
	for _, i := range longest {
		order = put(all, order, i, room)
	}
	for range 20 {
		before := makespan(all, order, room)
		for _, i := range longest {
			at := slices.Index(order, i)
			without := slices.Delete(slices.Clone(order), at, at+1)
			if next := put(all, without, i, room); makespan(all, next, room) < makespan(all, order, room) {
				order = next
			}
		}
		if makespan(all, order, room) >= before {
			break
		}
	}
	return order
}

// put gives the order with a batch at its best place.
func put(all []Batch, order []int, batch, room int) []int {
	best, shortest := []int(nil), math.Inf(1)
	for at := 0; at <= len(order); at++ {
		next := slices.Insert(slices.Clone(order), at, batch)
		if h := makespan(all, next, room); h < shortest {
			best, shortest = next, h
		}
	}
	return best
}
