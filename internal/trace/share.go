package trace

import (
	"cmp"
	"slices"

	"combline/internal/quantity"
)

// A Share is how many grams of one content are in another.
type Share struct {
	Node  Node
	Grams quantity.Gram
}

// MadeOf splits mass of n over everything that it was made of: for each content on
// the way back, how many grams came through it. The split is exact at every step,
// by largest remainder. Material and sites carry no grams and are not listed.
func (g *Graph) MadeOf(n Node, mass quantity.Gram) []Share {
	return g.follow(n, mass, Back)
}

// WentInto follows what was made as n to everything made of it: for each content
// on the way, how many grams of n went into it.
func (g *Graph) WentInto(n Node) []Share {
	return g.follow(n, g.Made(n), Forward)
}

func (g *Graph) follow(n Node, mass quantity.Gram, way Direction) []Share {
	reached := g.ByShare([]Node{n}, way, nil)
	all := make([]Share, len(reached))
	for i, r := range reached {
		all[i].Node = r.Node
	}
	// honey flows from lower to higher nodes: a content is made after what it is made of
	slices.SortFunc(all, func(a, b Share) int {
		if way == Back {
			a, b = b, a
		}
		return cmp.Compare(a.Node, b.Node)
	})
	at := make(map[Node]int, len(all))
	for i, s := range all {
		at[s.Node] = i
	}
	all[at[n]].Grams = mass
	var to []Node
	var ways, got []Part
	for i := range all {
		if all[i].Grams <= 0 {
			continue
		}
		to, ways = to[:0], ways[:0]
		var moved quantity.Gram
		for _, x := range g.Next(all[i].Node, way) {
			if x.Share && x.Grams > 0 {
				to = append(to, x.Node)
				ways = append(ways, Part{Origin: Origin(len(to)), Left: x.Grams})
				moved += x.Grams
			}
		}
		if len(to) == 0 {
			continue
		}
		if rest := g.Made(all[i].Node) - moved; rest > 0 { // came in here, or is still here
			to = append(to, 0)
			ways = append(ways, Part{Origin: Origin(len(to)), Left: rest})
		}
		got = append(got[:0], make([]Part, len(ways))...)
		for k := range got {
			got[k].Origin = ways[k].Origin
		}
		apportion(got, ways, all[i].Grams, func(p Part) quantity.Gram { return p.Left })
		for k, node := range to {
			if j, ok := at[node]; ok {
				all[j].Grams += got[k].Left
			}
		}
	}
	out := all[:0]
	for _, s := range all {
		if s.Node != n && s.Grams > 0 {
			out = append(out, s)
		}
	}
	return out
}
