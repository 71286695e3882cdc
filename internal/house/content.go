package house

import (
	"cmp"
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Content is honey in a vessel, a batch of goods, or any other node, as it is now.
type Content struct {
	Node    trace.Node
	Code    record.Code
	Vessel  record.Code
	Kind    NodeKind
	Purpose record.Purpose
	Grams   quantity.Gram // now; below zero while a discrepancy is open
	Made    quantity.Gram
	Fact    uint64 // that made it
	When    record.When
	Place   record.Code
	Since   record.When
	Units   int64         // of goods: still here
	InLots  []record.Code // lots that run in unweighed
}

// Content returns what is known of a node.
func (s *State) Content(n trace.Node) Content {
	i := &s.nodes[n]
	c := Content{Node: n, Code: s.NodeCode(n), Kind: i.kind, Purpose: i.purpose, Grams: s.graph.Left(n), Made: s.graph.Made(n),
		Fact: uint64(i.fact), When: i.when, Units: i.units}
	if i.vessel != 0 {
		c.Vessel = s.things[i.vessel].code
	}
	if b := s.batches[i.of]; i.kind == BatchNode && b != nil {
		c.Units = b.left
	}
	for _, lot := range s.graph.Feeds(n) {
		c.InLots = append(c.InLots, s.NodeCode(lot))
	}
	at := c.Code
	if c.Vessel != "" {
		at = c.Vessel
	}
	c.Place, c.Since, _, _ = s.PlaceOf(at)
	return c
}

// Numbered reports whether a content bears a number of its own: a drum's, a lot mark.
func (s *State) Numbered(n trace.Node) bool { return s.nodes[n].of != 0 }

// Contents lists the honey in vessels and loose fillings that is there now or whose
// account is open, by the code of the vessel; a mix in several vessels once.
func (s *State) Contents() []Content {
	seen := map[trace.Node]bool{}
	var all []Content
	add := func(n trace.Node) {
		if n != 0 && !seen[n] && (s.graph.Left(n) != 0 || len(s.graph.Feeds(n)) > 0) {
			seen[n] = true
			all = append(all, s.Content(n))
		}
	}
	for _, t := range s.OfKind(record.Vessel) {
		if v := s.vessels[t]; v != nil && !v.Gone {
			add(v.Node)
		}
	}
	for _, t := range s.OfKind(record.Filling) {
		if n := s.things[t].node; n != 0 && s.nodes[n].vessel == 0 {
			add(n)
		}
	}
	sortBy(all, func(c Content) string { return cmp.Or(c.Vessel, c.Code).Fold() })
	return all
}

// RanIn reports whether lots ran into a content unweighed: it settles until it is
// drawn off.
func (s *State) RanIn(n trace.Node) bool { return s.nodes[n].fed }

// Feeding is the run that a content is being packed in, if one is.
func (s *State) Feeding(n trace.Node) (run record.Code, ok bool) {
	for _, t := range s.OfKind(record.Run) {
		r := s.runs[t]
		if r == nil || r.Ended {
			continue
		}
		for _, from := range r.Started.From {
			if at, _, here := s.contentOf(from); here && at == n {
				return s.things[t].code, true
			}
		}
	}
	return "", false
}

// Batches lists the goods that are here, by lot mark.
func (s *State) Batches() []Content {
	var all []Content
	for _, t := range s.OfKind(record.Batch) {
		if n := s.things[t].node; n != 0 && s.batches[t] != nil && (s.batches[t].left != 0 || s.graph.Left(n) != 0) {
			all = append(all, s.Content(n))
		}
	}
	return all
}

// UnitsMade is how many units were filled under a lot mark.
func (s *State) UnitsMade(mark record.Code) int64 {
	if t, ok := s.Find(mark); ok && s.batches[t] != nil {
		return s.batches[t].units
	}
	return 0
}

// RunOf is the run that a batch belongs to.
func (s *State) RunOf(mark record.Code) (record.Code, bool) {
	t, ok := s.Find(mark)
	if !ok || s.batches[t] == nil || s.batches[t].run == 0 {
		return "", false
	}
	return s.things[s.batches[t].run].code, true
}

// ByOrigin lists what a content has of each origin, most first; with all, also the
// origins of which nothing is left but which it could still hold.
func (s *State) ByOrigin(n trace.Node) []Line {
	var all []Line
	for _, p := range s.graph.Parts(n) {
		all = append(all, Line{p.Origin, p.Made})
	}
	slices.SortStableFunc(all, func(a, b Line) int { return cmp.Compare(b.Grams, a.Grams) })
	return all
}

// A Group is grams of a content under one name: a site, a country, a kind of honey.
type Group struct {
	Name  string
	Grams quantity.Gram
}

// GroupBy adds up a content's origins by name, most first. An empty name is unknown.
func (s *State) GroupBy(n trace.Node, name func(Origin) string) []Group {
	sums := map[string]quantity.Gram{}
	for _, p := range s.graph.Parts(n) {
		sums[name(s.origins[p.Origin])] += p.Made
	}
	var all []Group
	for k, v := range sums {
		all = append(all, Group{k, v})
	}
	slices.SortFunc(all, func(a, b Group) int {
		return cmp.Or(cmp.Compare(b.Grams, a.Grams), cmp.Compare(a.Name, b.Name))
	})
	return all
}

// Country, Site and Honey name an origin for [State.GroupBy].
func (s *State) Country(o Origin) string { return o.Country }
func (s *State) Site(o Origin) string    { return string(s.things[o.Site].code) }
func (s *State) Honey(o Origin) string   { return o.Honey }
