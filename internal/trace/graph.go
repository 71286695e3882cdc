// Package trace owns the graph of contents: what honey went into what, with
// grams by origin, and what could have touched what. It answers where something
// comes from and where it went, by share and by possibility.
//
// A node is one content that does not change its composition: a lot in process,
// a filling of a drum, a mix in a tank from one pour to the next, a batch of jars,
// what went out. Every pour makes a new node. Honey only ever moves between
// nodes, so that the grams of an origin over all nodes are what came in.
package trace

import (
	"math/bits"
	"slices"

	"combline/internal/quantity"
)

// A Node is one content; 0 is none.
type Node uint32

// An Origin is where grams came into the house: a lot, a delivery, opening stock;
// 0 is none.
type Origin uint32

// A Part is what one origin has in a content.
type Part struct {
	Origin Origin
	Made   quantity.Gram // when the content was made
	Left   quantity.Gram // now; may be below zero while a discrepancy is open
}

// Every is the set of all causes: an edge that honey itself took.
const Every = ^uint16(0)

type node struct {
	firstIn, firstOut uint32 // edges, 0 for none
	parts             uint32 // index of the first part
	n                 uint32 // number of parts
}

// An edge leads from what was drawn to what was made of it. A share edge carries
// grams, or the material or site that is in the whole of it; a possibility edge
// carries none and only for the causes in its set.
type edge struct {
	from, to        Node
	nextIn, nextOut uint32
	grams           int64
	causes          uint16
	share           bool
}

// A Graph is the contents and what led from one to another. The zero Graph is
// empty and ready.
type Graph struct {
	nodes   []node
	edges   []edge
	parts   []Part
	origins uint32
	feeds   map[Node][]Node // honey that runs in unweighed: content to lots
}

// Clone returns an independent copy.
func (g *Graph) Clone() *Graph {
	c := &Graph{nodes: slices.Clone(g.nodes), edges: slices.Clone(g.edges), parts: slices.Clone(g.parts), origins: g.origins}
	if g.feeds != nil {
		c.feeds = make(map[Node][]Node, len(g.feeds))
		for n, lots := range g.feeds {
			c.feeds[n] = slices.Clone(lots)
		}
	}
	return c
}

// Trim gives back the room that was made for more than came.
func (g *Graph) Trim() {
	g.nodes, g.edges, g.parts = slices.Clone(g.nodes), slices.Clone(g.edges), slices.Clone(g.parts)
}

// Nodes is how many nodes there are; they are numbered from 1.
func (g *Graph) Nodes() int { return max(0, len(g.nodes)-1) }

// Edges is how many edges there are.
func (g *Graph) Edges() int { return max(0, len(g.edges)-1) }

// NewOrigin names an origin.
func (g *Graph) NewOrigin() Origin {
	g.origins++
	return Origin(g.origins)
}

// Origins is how many origins there are; they are numbered from 1.
func (g *Graph) Origins() int { return int(g.origins) }

// NewNode makes an empty content that may hold honey of the origins.
func (g *Graph) NewNode(origins ...Origin) Node {
	if len(g.nodes) == 0 {
		g.nodes, g.edges = make([]node, 1), make([]edge, 1)
	}
	at := len(g.parts)
	for _, o := range origins {
		g.parts = append(g.parts, Part{Origin: o})
	}
	g.nodes = append(g.nodes, node{parts: uint32(at), n: uint32(len(origins))})
	return Node(len(g.nodes) - 1)
}

// Parts returns what each origin has in n, by rising origin. The caller does not
// change it.
func (g *Graph) Parts(n Node) []Part { return g.of(n) }

func (g *Graph) of(n Node) []Part {
	x := &g.nodes[n]
	return g.parts[x.parts : x.parts+x.n : x.parts+x.n]
}

// Left is what is in n now.
func (g *Graph) Left(n Node) quantity.Gram {
	var sum quantity.Gram
	for _, p := range g.of(n) {
		sum += p.Left
	}
	return sum
}

// Made is what was in n when it was made, with what ran in since.
func (g *Graph) Made(n Node) quantity.Gram {
	var sum quantity.Gram
	for _, p := range g.of(n) {
		sum += p.Made
	}
	return sum
}

// Source puts grams of o that came into the house in n, or takes them out again
// when m is below zero. o must be one of n's origins.
func (g *Graph) Source(n Node, o Origin, m quantity.Gram) {
	parts := g.of(n)
	for i := range parts {
		if parts[i].Origin == o {
			parts[i].Made += m
			parts[i].Left += m
			return
		}
	}
	panic("trace: origin is not in the content")
}

// Link says that to has from in the whole of it, without grams: a material in a
// run, a site in a lot.
func (g *Graph) Link(from, to Node) { g.connect(edge{from: from, to: to, causes: Every, share: true}) }

// Possible says that something of from may have come into to, for the causes.
func (g *Graph) Possible(from, to Node, causes uint16) {
	if from != to && from != 0 && causes != 0 {
		g.connect(edge{from: from, to: to, causes: causes})
	}
}

func (g *Graph) connect(e edge) *edge {
	at := uint32(len(g.edges))
	e.nextIn, e.nextOut = g.nodes[e.to].firstIn, g.nodes[e.from].firstOut
	g.nodes[e.to].firstIn, g.nodes[e.from].firstOut = at, at
	g.edges = append(g.edges, e)
	return &g.edges[at]
}

// mulDiv returns a*b/c rounded down, and the remainder, without overflow; all are
// not below zero and a*b/c fits.
func mulDiv(a, b, c int64) (q, r int64) {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	quo, rem := bits.Div64(hi, lo, uint64(c))
	return int64(quo), int64(rem)
}
