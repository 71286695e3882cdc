package branch

import (
	"sort"
)

// Good points early close most of the tree. They are found by searching a few links at
// a time: first those that the root's relaxation finds cheapest, then the best point's
// own with others in turn.

// ranked gives the links, cheapest by the root's relaxation first.
func (t *tree) ranked() []int {
	order := make([]int, len(t.p.links))
	price := make([]float64, len(t.p.links))
	for i := range order {
		order[i] = i
		l := &t.p.links[i]
		if price[i] = t.rootReduced[l.loose] / t.p.scale[l.loose] * l.most; t.rootAt[l.loose] > wholeEnough {
			price[i] = -t.rootAt[l.loose] / t.p.root.high[l.loose]
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return price[order[a]] < price[order[b]] })
	return order
}

// among searches for better points with these links alone.
func (t *tree) among(links []int, nodes int) error {
	most := t.mosts()
	kept := make([]bool, len(t.p.links))
	for _, i := range links {
		kept[i] = true
	}
	for i := range t.p.links {
		if !kept[i] {
			most[t.p.links[i].column] = 0
		}
	}
	few, err := newTree(t.p.model, most, t.o, t.spent)
	if err != nil {
		return err
	}
	few.best, few.values = t.best, t.values
	few.run(nodes)
	t.best, t.values, t.stopped = few.best, few.values, few.stopped
	t.nodes += few.nodes
	return nil
}

const (
	window      = 32
	windows     = 12
	windowNodes = 150
)

// around searches the best point's links with others, a window of the ranked ones at a
// time.
func (t *tree) around(round int) error {
	order := t.ranked()
	for k := 0; k*window < len(order) && k < windows && !t.stopped; k++ {
		var links []int
		for i := range t.p.links {
			if t.values[t.p.links[i].used] > 0.5 {
				links = append(links, i)
			}
		}
		for n, i := range order {
			if round%2 == 0 && n/window == k || round%2 == 1 && n%windows == k && n < windows*window {
				links = append(links, i)
			}
		}
		if err := t.among(links, windowNodes); err != nil {
			return err
		}
	}
	return nil
}
