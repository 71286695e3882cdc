package house

import (
	"strconv"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A NodeKind is what a content of the graph stands for.
type NodeKind uint8

const (
	SiteNode     NodeKind = iota + 1 // a site from one arrival of boxes to the next
	LotNode                          // a lot's account in process: boxes, wax and honey
	DeliveryNode                     // honey bought in, on the dock
	ContentNode                      // honey in a vessel
	BatchNode                        // packed goods
	RunNode                          // a run: what its material leads to
	MaterialNode                     // a lot of material
	WaxNode
	SampleNode
	CombsOutNode   // wet combs, weighed out
	LossNode       // lost in a known way
	GapNode        // a gap booked with its reason
	DifferenceNode // found by a stock check
	DestroyedNode
	RetainedNode
	SentNode // left the house
)

// Account reports whether grams end there: they are no stock any more.
func (k NodeKind) Account() bool { return k >= CombsOutNode && k != RetainedNode }

type nodeInfo struct {
	kind    NodeKind
	purpose record.Purpose
	of      Thing // whose it is: the lot, filling, batch, dispatch, ...
	vessel  Thing // the steel that it was made in
	no      uint32
	by      record.Kind // what made it
	fed     bool        // lots ran into it unweighed
	fact    uint32
	also    Thing // the run, customer or lot that it is booked to
	units   int64
	when    record.When
}

// note records what a node stands for. Nodes are noted in the order in which the
// graph makes them.
func (s *State) note(n trace.Node, i nodeInfo) trace.Node {
	for len(s.nodes) <= int(n) {
		s.nodes = append(s.nodes, nodeInfo{})
	}
	s.nodes[n] = i
	if i.kind == SiteNode || i.kind == SentNode {
		s.several[i.of] = append(s.several[i.of], n)
	}
	return n
}

// NodeCode is the code of a content: its own number, or its vessel's and which
// filling of it.
func (s *State) NodeCode(n trace.Node) record.Code {
	i := &s.nodes[n]
	switch {
	case i.kind == ContentNode && i.of == 0:
		return s.fillingCode(i.vessel, i.no)
	case i.of != 0:
		return s.things[i.of].code
	}
	return ""
}

func (s *State) fillingCode(vessel Thing, no uint32) record.Code {
	return s.things[vessel].code + "/" + record.Code(strconv.FormatUint(uint64(no), 10))
}

// NodeKind is what n stands for.
func (s *State) NodeKind(n trace.Node) NodeKind { return s.nodes[n].kind }

// Purpose is what the honey of n is for.
func (s *State) Purpose(n trace.Node) record.Purpose { return s.nodes[n].purpose }

// Graph is the contents and what led from one to another, to be read only.
func (s *State) Graph() *trace.Graph { return s.graph }

// An Origin is where grams came into the house.
type Origin struct {
	Of      Thing // lot, delivery or filling of opening stock
	Site    Thing // for a lot
	Country string
	Honey   string
	Day     record.Day
}

// OriginOf returns what is known of an origin.
func (s *State) OriginOf(o trace.Origin) Origin { return s.origins[o] }

func (s *State) newOrigin(o Origin) trace.Origin {
	id := s.graph.NewOrigin()
	s.origins = append(s.origins, o)
	return id
}

// A Vessel is steel with a number that it keeps.
type Vessel struct {
	Node     trace.Node   // its content now, 0 when it never had one
	Contents []trace.Node // all it ever had, in order
	Gone     bool
	Cleaned  uint16 // causes that a cleaning ended since the content left
}

// Vessel returns the state of a vessel.
func (s *State) Vessel(t Thing) (Vessel, bool) {
	v, ok := s.vessels[t]
	if !ok {
		return Vessel{}, false
	}
	return *v, true
}

// Empty reports whether the vessel holds nothing that is known of.
func (s *State) Empty(v Vessel) bool {
	return v.Node == 0 || s.graph.Left(v.Node) == 0 && len(s.graph.Feeds(v.Node)) == 0
}

// contentOf returns the content that a code stands for: of a vessel the present
// filling, of a lot its account.
func (s *State) contentOf(c record.Code) (trace.Node, Thing, bool) {
	t, ok := s.Find(c)
	if !ok {
		return 0, 0, false
	}
	if v, ok := s.vessels[t]; ok {
		return v.Node, t, v.Node != 0
	}
	n := s.things[t].node
	return n, t, n != 0
}

// Lines is a content by origin.
type Line struct {
	Origin trace.Origin
	Grams  quantity.Gram
}

var nodeKindNames = [...]string{"", "site", "lot", "delivery", "content", "batch", "run", "material", "wax", "sample", "wet-combs",
	"lost", "gap", "stock-check", "thrown-away", "retained", "sent"}

func (k NodeKind) String() string { return nodeKindNames[k] }

// SentTo is who got what a sent node stands for.
type SentTo struct {
	Dispatch record.Code
	Customer record.Code
	ShipTo   string
	Units    int64
	Grams    quantity.Gram
	When     record.When
	Fact     uint64
}

// SentTo returns who got a node that left the house; nobody, of any other node.
func (s *State) SentTo(n trace.Node) SentTo {
	i := &s.nodes[n]
	if i.kind != SentNode {
		return SentTo{}
	}
	x := SentTo{Dispatch: s.things[i.of].code, ShipTo: s.texts[n], Units: i.units, Grams: s.graph.Made(n), Fact: uint64(i.fact), When: i.when}
	if i.also != 0 {
		x.Customer = s.things[i.also].code
	}
	return x
}

// Hold returns the hold with a code's thing.
func (s *State) Hold(t Thing) *Hold {
	for _, h := range s.holds {
		if h.Thing == t {
			return h
		}
	}
	return nil
}
