package trace

import (
	"slices"

	"combline/internal/quantity"
)

// A Direction is where a trace goes.
type Direction uint8

const (
	Back    Direction = iota // to what it was made of
	Forward                  // to what was made of it
)

// A Reached node is one that a trace came to.
type Reached struct {
	Node  Node
	Share bool // false: by possibility only
	Via   Node // the node before it on the way, 0 for a root
}

// A Gate decides whether a trace may go from n along the edge that is the at-th of
// the graph; nil lets all pass. Releases end a hold's way with it.
type Gate func(n Node, at uint32) bool

// Reach goes from the roots one way through everything they have a share in, and
// from there through what they may have touched for one of the causes. Share comes
// first: a node that is reached both ways is reached by share. Roots are included.
// The order is that of the steps from the roots.
func (g *Graph) Reach(roots []Node, way Direction, causes uint16, pass Gate) []Reached {
	found, seen := begin(roots)
	found, apart := g.walk(found, seen, way, causes, true, pass)
	if apart {
		found, _ = g.walk(found, seen, way, causes, false, pass) // again from the start: now also over possibility
	}
	return found
}

// ByShare is what Reach reaches by share for any cause: what the roots are made of, or
// went into, and nothing that they only may have touched.
func (g *Graph) ByShare(roots []Node, way Direction, pass Gate) []Reached {
	found, seen := begin(roots)
	found, _ = g.walk(found, seen, way, Every, true, pass)
	return found
}

func begin(roots []Node) (found []Reached, seen *nodeSet) {
	found, seen = make([]Reached, 0, 256), newNodeSet()
	for _, n := range roots {
		if n != 0 && seen.add(n) {
			found = append(found, Reached{Node: n, Share: true})
		}
	}
	return found, seen
}

// abreast is how many nodes are looked up at once: their places in memory lie far
// apart, and lookups that do not wait for each other overlap.
const abreast = 32

// walk goes on from everything found. With share only it leaves possibility out and
// says whether there was any.
func (g *Graph) walk(found []Reached, seen *nodeSet, way Direction, causes uint16, share bool, pass Gate) (all []Reached, apart bool) {
	var heads [abreast]uint32
	var edges [abreast]edge
	for i := 0; i < len(found); {
		block := found[i:min(i+abreast, len(found))]
		for k := range block {
			heads[k] = g.first(block[k].Node, way)
		}
		for k := range block {
			edges[k] = g.edges[heads[k]]
		}
		for k := range block {
			n := found[i+k].Node
			for at, e := heads[k], &edges[k]; at != 0; e = &g.edges[at] {
				this, other := at, e.to
				at = e.nextOut
				if way == Back {
					other, at = e.from, e.nextIn
				}
				if e.causes&causes == 0 || share && !e.share {
					apart = apart || e.causes&causes != 0
					continue
				}
				if pass != nil && !pass(n, this) {
					continue
				}
				if seen.add(other) {
					found = append(found, Reached{Node: other, Share: share, Via: n})
				}
			}
		}
		i += len(block)
	}
	return found, apart
}

func (g *Graph) first(n Node, way Direction) uint32 {
	if way == Back {
		return g.nodes[n].firstIn
	}
	return g.nodes[n].firstOut
}

// EdgeMark is a mark of now: edges made later are at or above it.
func (g *Graph) EdgeMark() uint32 { return uint32(max(1, len(g.edges))) }

// A Neighbour is a node one edge away.
type Neighbour struct {
	Node  Node
	Grams quantity.Gram
	Share bool
}

// Next lists what n was drawn from or what was made of it, as it was recorded.
func (g *Graph) Next(n Node, way Direction) []Neighbour {
	var all []Neighbour
	for at := g.first(n, way); at != 0; {
		e := &g.edges[at]
		if way == Back {
			all = append(all, Neighbour{e.from, quantity.Gram(e.grams), e.share})
			at = e.nextIn
		} else {
			all = append(all, Neighbour{e.to, quantity.Gram(e.grams), e.share})
			at = e.nextOut
		}
	}
	slices.Reverse(all)
	return all
}

// nodeSet is a set of nodes by open addressing: a trace is small beside the graph,
// so nothing of the graph's size is made or cleared for it.
type nodeSet struct {
	slots []Node
	n     int
}

func newNodeSet() *nodeSet { return &nodeSet{slots: make([]Node, 1024)} }

func (s *nodeSet) add(n Node) bool {
	if 2*s.n >= len(s.slots) {
		old := s.slots
		s.slots, s.n = make([]Node, 4*len(old)), 0
		for _, m := range old {
			if m != 0 {
				s.add(m)
			}
		}
	}
	mask := uint32(len(s.slots) - 1)
	for i := uint32(n) * 2654435769 & mask; ; i = (i + 1) & mask {
		switch s.slots[i] {
		case n:
			return false
		case 0:
			s.slots[i] = n
			s.n++
			return true
		}
	}
}
