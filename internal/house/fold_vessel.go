package house

import (
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

func (s *State) vesselOf(e *record.Entry, c record.Code) *Vessel {
	t, ok := s.Find(c)
	if !ok {
		return nil
	}
	v := s.vessels[t]
	if v == nil {
		s.flag(e, "odd.no-vessel", c, "")
	}
	return v
}

func (s *State) vesselNamed(e *record.Entry, f *record.VesselNamed) {
	t, ok := s.Find(f.Vessel)
	if !ok || s.vessels[t] != nil {
		return
	}
	s.vessels[t] = &Vessel{}
	if at, ok := s.Find(f.Place); ok {
		s.moved(t, standing{at: at, since: e.When, fact: e.Seq})
	}
}

// fill pours draws on what the vessel holds. What comes out is a new content: its
// own when the vessel was empty, and from then on one with the heel when not.
func (s *State) fill(e *record.Entry, vessel, filling Thing, purpose record.Purpose, draws ...trace.Draw) trace.Node {
	v := s.vessels[vessel]
	if v == nil {
		s.flag(e, "odd.no-vessel", s.things[vessel].code, "")
		return s.book(e, LossNode, vessel, 0, "", draws...) // kept in the balance all the same
	}
	var lots []trace.Node
	for _, d := range draws {
		if d.All {
			lots = append(lots, s.graph.Feeds(d.From)...)
		}
	}
	heel := v.Node != 0 && !s.Empty(*v)
	if heel {
		draws = append([]trace.Draw{{From: v.Node, All: true}}, draws...)
		lots = append(lots, s.graph.Feeds(v.Node)...)
	}
	if v.Node != 0 && filling == 0 && (heel || s.graph.Made(v.Node) == 0) {
		if old := &s.nodes[v.Node]; old.kind == ContentNode && old.vessel == vessel {
			filling = old.of // topped up: the number painted on it still stands for it
		}
	}
	if purpose == 0 {
		purpose = s.commonPurpose(draws)
	}
	old := v.Node
	n := s.graph.Pour(draws...)
	for _, lot := range lots {
		s.graph.Feed(n, lot)
	}
	v.Contents = append(v.Contents, n)
	s.note(n, nodeInfo{kind: ContentNode, purpose: purpose, of: filling, vessel: vessel, fed: len(lots) > 0, no: uint32(len(v.Contents)), by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	if old != 0 && !heel && s.carriesOver(vessel) {
		s.graph.Possible(old, n, trace.Every&^v.Cleaned)
	}
	if heel {
		s.stillOneMix(old, n)
		s.graph.EndFeeds(old)
	}
	v.Node, v.Cleaned = n, 0
	if filling != 0 {
		s.things[filling].node = n
	}
	return n
}

// commonPurpose is the purpose of a mix: that of its parts when they agree. Honey
// for cooking makes a mix for cooking.
func (s *State) commonPurpose(draws []trace.Draw) record.Purpose {
	var p record.Purpose
	for _, d := range draws {
		switch q := s.nodes[d.From].purpose; {
		case q == record.CookingGrade || q == record.SkimHoney:
			return record.CookingGrade
		case q == record.Heel || q == record.SeedHoney || q == 0:
		case p == 0:
			p = q
		}
	}
	return p
}

// carriesOver reports whether what is left on a vessel's walls can come into the
// next filling. Drums and pails are lined or washed before they are filled again
// (common practice); tanks, totes and sumps carry over until a cleaning is recorded.
func (s *State) carriesOver(vessel Thing) bool {
	named, ok := s.things[vessel].named.(*record.VesselNamed)
	return !ok || named.Shape != record.Drum && named.Shape != record.Pail
}

// Net is the net weight that a fact gives, or gross less tare, the fact's own or
// the vessel's; false when the empty weight is not known.
func (s *State) Net(net, gross, tare record.Weight, vessel record.Code) (quantity.Gram, bool) {
	if net.Given() {
		return net.Grams(), true
	}
	if !gross.Given() {
		return 0, false
	}
	if !tare.Given() {
		if t, ok := s.Find(vessel); ok {
			if named, ok := s.things[t].named.(*record.VesselNamed); ok {
				tare = named.Tare
			}
		}
	}
	return gross.Grams() - tare.Grams(), tare.Given()
}

func (s *State) drumFilled(e *record.Entry, f *record.DrumFilled) {
	from, _, ok := s.contentOf(f.From)
	vessel, known := s.Find(f.Steel)
	if !ok || !known {
		s.flag(e, "odd.from-nothing", f.From, f.Steel)
		return
	}
	net, _ := s.Net(f.Net, f.Gross, f.Tare, f.Steel)
	filling, _ := s.Find(f.Filling)
	s.pass(e, from, f.Via)
	s.fill(e, vessel, filling, f.Purpose, trace.Draw{From: from, Mass: net})
}

func (s *State) drumReceived(e *record.Entry, f *record.DrumReceived) {
	delivery, ok := s.Find(f.Delivery)
	filling, named := s.Find(f.Filling)
	if !ok || !named || s.things[delivery].node == 0 {
		return
	}
	net, _ := s.Net(f.Net, f.Gross, f.Tare, f.Steel)
	from := s.things[delivery].node
	s.graph.Source(from, s.graph.Parts(from)[0].Origin, net)
	draw := trace.Draw{From: from, Mass: net}
	if vessel, ok := s.Find(f.Steel); ok {
		s.fill(e, vessel, filling, record.TableHoney, draw)
		return
	}
	s.loose(e, filling, record.TableHoney, draw)
}

// loose makes a content that stands in no steel of the house.
func (s *State) loose(e *record.Entry, filling Thing, purpose record.Purpose, draws ...trace.Draw) trace.Node {
	n := s.graph.Pour(draws...)
	s.note(n, nodeInfo{kind: ContentNode, purpose: purpose, of: filling, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	s.things[filling].node = n
	return n
}

func (s *State) honeyBought(e *record.Entry, f *record.HoneyBought) {
	t, ok := s.Find(f.Delivery)
	if !ok || s.things[t].node != 0 {
		return
	}
	o := s.newOrigin(Origin{Of: t, Country: f.Country, Honey: f.Honey, Day: f.FarmerDay})
	s.things[t].node = s.note(s.graph.NewNode(o), nodeInfo{kind: DeliveryNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
}

func (s *State) stockOpened(e *record.Entry, f *record.StockOpened) {
	t, ok := s.Find(f.Filling)
	if !ok || s.things[t].node != 0 {
		return
	}
	o := s.newOrigin(Origin{Of: t, Country: f.Country, Honey: f.Honey})
	in := s.note(s.graph.NewNode(o), nodeInfo{kind: DeliveryNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
	s.graph.Source(in, o, f.Mass.Grams())
	purpose := f.Purpose
	if purpose == 0 {
		purpose = record.TableHoney
	}
	if vessel, ok := s.Find(f.Steel); ok {
		s.fill(e, vessel, t, purpose, trace.Draw{From: in, All: true})
		return
	}
	s.loose(e, t, purpose, trace.Draw{From: in, All: true})
}

// draw is the draw that a pour of a fact stands for. Emptying one of several
// vessels that hold one mix takes the whole mix only with the last of them.
func (s *State) draw(e *record.Entry, from record.Code, all record.Truth, mass record.Weight, also map[Thing]bool) (trace.Draw, bool) {
	n, t, ok := s.contentOf(from)
	if !ok {
		s.flag(e, "odd.from-nothing", from, "")
		return trace.Draw{}, false
	}
	if mass.Given() {
		return trace.Draw{From: n, Mass: mass.Grams()}, true
	}
	if all != record.Yes {
		s.flag(e, "odd.no-mass", from, "")
		return trace.Draw{From: n}, true
	}
	if v := s.vessels[t]; v != nil {
		for _, other := range s.mixes[n] {
			if other != t && s.vessels[other].Node == n && !also[other] {
				s.flag(e, "odd.emptied-part-of-mix", from, s.things[other].code)
				v.Node = 0
				return trace.Draw{From: n}, true
			}
		}
	}
	return trace.Draw{From: n, All: true}, true
}

func (s *State) honeyMoved(e *record.Entry, f *record.HoneyMoved) {
	to, ok := s.Find(f.To)
	if !ok {
		return
	}
	filling, _ := s.Find(f.Filling)
	also := map[Thing]bool{}
	for i := range f.Pours {
		if t, ok := s.Find(f.Pours[i].From); ok {
			also[t] = true
		}
	}
	var draws []trace.Draw
	for i := range f.Pours {
		p := &f.Pours[i]
		d, ok := s.draw(e, p.From, p.All, p.Mass, also)
		if !ok {
			continue
		}
		s.pass(e, d.From, f.Via)
		if v := s.vessels[to]; v != nil && v.Node == d.From {
			continue // already there
		}
		draws = append(draws, d)
	}
	if len(draws) > 0 {
		s.fill(e, to, filling, f.Purpose, draws...)
	}
}

// mixed makes one content of what several vessels hold.
func (s *State) mixed(e *record.Entry, f *record.Mixed) {
	var draws []trace.Draw
	var in []Thing
	var lots []trace.Node
	seen := map[trace.Node]bool{}
	for _, c := range f.Vessels {
		t, ok := s.Find(c)
		v := s.vessels[t]
		if !ok || v == nil {
			continue
		}
		in = append(in, t)
		if v.Node != 0 && !seen[v.Node] {
			seen[v.Node] = true
			draws = append(draws, trace.Draw{From: v.Node, All: true})
			lots = append(lots, s.graph.Feeds(v.Node)...)
			s.pass(e, v.Node, f.Via)
		}
	}
	if len(draws) == 0 {
		return
	}
	purpose := s.commonPurpose(draws)
	n := s.graph.Pour(draws...)
	for _, lot := range lots {
		s.graph.Feed(n, lot)
	}
	s.mixes[n] = in
	for i, t := range in {
		v := s.vessels[t]
		v.Contents = append(v.Contents, n)
		v.Node, v.Cleaned = n, 0
		if i == 0 {
			s.note(n, nodeInfo{kind: ContentNode, purpose: purpose, vessel: t, no: uint32(len(v.Contents)), by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
		}
	}
}

// stillOneMix lets the vessels that were one mix hold what it became.
func (s *State) stillOneMix(old, n trace.Node) {
	in := s.mixes[old]
	for _, t := range in {
		if v := s.vessels[t]; v.Node == old {
			v.Node = n
		}
	}
	if len(in) > 0 {
		s.mixes[n] = in
	}
}

func (s *State) seeded(e *record.Entry, f *record.Seeded) {
	to, ok := s.Find(f.Vessel)
	d, from := s.draw(e, f.Seed, f.All, f.Mass, nil)
	if ok && from {
		s.fill(e, to, 0, record.TableHoney, d)
	}
}

// drained says that nothing is in a vessel any more but what clings to its walls.
func (s *State) drained(v *Vessel) {
	if v.Node != 0 && s.graph.Left(v.Node) == 0 {
		s.graph.EndFeeds(v.Node)
	}
}

func (s *State) skimmed(e *record.Entry, f *record.Skimmed) {
	from, t, ok := s.contentOf(f.From)
	if !ok {
		s.flag(e, "odd.from-nothing", f.From, "")
		return
	}
	d := trace.Draw{From: from, Mass: f.Mass.Grams()}
	if to, ok := s.Find(f.To); ok {
		s.fill(e, to, 0, record.SkimHoney, d)
		return
	}
	s.book(e, DestroyedNode, t, 0, "", d)
}

func (s *State) sampled(e *record.Entry, f *record.Sampled) {
	from, t, ok := s.contentOf(f.From)
	if !ok {
		s.flag(e, "odd.from-nothing", f.From, "")
		return
	}
	sample, named := s.Find(f.Sample)
	if !named {
		sample = t
	}
	of, _ := s.Find(f.Of)
	n := s.book(e, SampleNode, sample, of, "", trace.Draw{From: from, Mass: f.Mass.Grams()})
	if named {
		s.things[sample].node = n
	}
}

func (s *State) lostHoney(e *record.Entry, f *record.Lost) {
	from, t, ok := s.contentOf(f.From)
	if !ok {
		s.flag(e, "odd.from-nothing", f.From, "")
		return
	}
	of, _ := s.Find(f.Of)
	s.book(e, LossNode, t, of, f.Reason, trace.Draw{From: from, Mass: f.Mass.Grams()})
}

// stockChecked sets a content to what was found; the difference is booked.
func (s *State) stockChecked(e *record.Entry, f *record.StockChecked) {
	n, t, ok := s.contentOf(f.What)
	if !ok {
		s.flag(e, "odd.from-nothing", f.What, "")
		return
	}
	if len(s.graph.Feeds(n)) > 0 && f.Found.Grams() > 0 {
		return // in process: nothing was booked in, so nothing differs; the figure stands in the record
	}
	if d := s.graph.Left(n) - f.Found.Grams(); d != 0 {
		s.book(e, DifferenceNode, t, 0, f.Reason, trace.Draw{From: n, Mass: d})
	}
}
