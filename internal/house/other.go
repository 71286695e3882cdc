package house

import (
	"slices"
	"strings"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// standing is where a thing stands.
type standing struct {
	at    Thing
	since record.When
	seen  record.When // when it was last read there
	fact  uint64

	before uint32 // where it stood before, in stays; 0 for nowhere
}

func (s *State) placed(e *record.Entry, f *record.Placed) {
	at, ok := s.Find(f.Place)
	if !ok {
		return
	}
	for _, c := range f.What {
		t, ok := s.steelOf(c)
		if !ok {
			continue
		}
		was := s.places[t]
		if f.Seen == record.Yes && was.at == at {
			was.seen = e.When
			s.places[t] = was
			continue
		}
		if f.Seen == record.Yes && was.at != 0 {
			s.flag(e, "odd.seen-elsewhere", c, s.things[was.at].code)
		}
		s.moved(t, standing{at: at, since: e.When, seen: e.When, fact: e.Seq})
	}
}

func (s *State) stand(t Thing, place record.Code, e *record.Entry) {
	if at, ok := s.Find(place); ok {
		s.moved(t, standing{at: at, since: e.When, fact: e.Seq})
	}
}

// steelOf is the thing that stands somewhere: of a filling its vessel, if it is in
// one of the house's.
func (s *State) steelOf(c record.Code) (Thing, bool) {
	t, ok := s.Find(c)
	if !ok {
		return 0, false
	}
	if s.things[t].kind == record.Filling {
		if n := s.things[t].node; n != 0 && s.nodes[n].vessel != 0 {
			return s.nodes[n].vessel, true
		}
	}
	return t, true
}

// PlaceOf is where a thing stands and since when.
func (s *State) PlaceOf(c record.Code) (place record.Code, since, seen record.When, ok bool) {
	t, ok := s.steelOf(c)
	if !ok {
		return "", record.When{}, record.When{}, false
	}
	p, ok := s.places[t]
	if !ok {
		return "", record.When{}, record.When{}, false
	}
	return s.things[p.at].code, p.since, p.seen, true
}

// A Reading is one sheet or one look at a refractometer, and the content that it is of.
type Reading struct {
	Fact record.ResultRead
	Node trace.Node
	When record.When
	Seq  uint64
}

func (s *State) resultRead(e *record.Entry, f *record.ResultRead) {
	r := Reading{Fact: *f, When: e.When, Seq: e.Seq}
	nodes := s.RootsOf(f.Of)
	if len(nodes) == 0 {
		s.flag(e, "odd.from-nothing", f.Of, "")
	}
	for _, n := range nodes {
		r.Node = n
		s.readAt[n] = append(s.readAt[n], int32(len(s.readings)))
		s.readings = append(s.readings, r)
	}
	if t, ok := s.Find(f.Of); ok && f.Lab != "" {
		s.sheetBack(t, f)
	}
}

// ReadingsOf lists what was read of a content itself, oldest first.
func (s *State) ReadingsOf(n trace.Node) []Reading {
	var all []Reading
	for _, at := range s.readAt[n] {
		all = append(all, s.readings[at])
	}
	return all
}

// Awaited is a laboratory's sheet that has not come back.
type Awaited struct {
	Of    record.Code
	Lab   string
	Tests string
	Sent  record.When
	Due   record.Day
	Fact  uint64
	of    Thing
}

func (s *State) sampleSent(e *record.Entry, f *record.SampleSent) {
	for _, c := range f.Of {
		if t, ok := s.Find(c); ok {
			s.sentAway = append(s.sentAway, Awaited{c, f.Lab, f.Tests, e.When, f.Due, e.Seq, t})
		}
	}
}

// sheetBack takes off what a laboratory's sheet answers: the sample that was sent for
// a residue test waits until a residue is on the sheet; any other for any sheet of
// that laboratory.
func (s *State) sheetBack(t Thing, f *record.ResultRead) {
	residue := slices.ContainsFunc(f.Results, func(r record.Result) bool { return r.Property == record.Residue })
	answered := func(a Awaited) bool {
		return a.of == t && a.Lab == f.Lab && residue == strings.Contains(strings.ToLower(a.Tests), record.Residue.String())
	}
	if slices.ContainsFunc(s.sentAway, answered) {
		s.sentAway = slices.DeleteFunc(slices.Clone(s.sentAway), answered)
	}
}

// AwaitedSheets lists the sheets that have not come back, by code.
func (s *State) AwaitedSheets() []Awaited {
	all := slices.Clone(s.sentAway)
	sortBy(all, func(a Awaited) string { return a.Of.Fold() })
	return all
}

// Temperature is the last reading of a room, vessel or content.
type Temperature struct {
	Fact record.TemperatureRead
	When record.When
	Seq  uint64
}

// TemperatureOf is the last reading of a room, vessel or content.
func (s *State) TemperatureOf(t Thing) (Temperature, bool) {
	x, ok := s.temps[t]
	return x, ok
}

// SetTo is what a room, bath or jacket was last set to.
func (s *State) SetTo(t Thing) (quantity.Figure, bool) {
	h, ok := s.heats[t]
	return h.Temp, ok
}

// A Paper is something printed.
type Paper struct {
	Fact record.Printed
	When record.When
	Seq  uint64
}

// Papers lists what was printed about a thing; with no code, everything.
func (s *State) Papers(about record.Code) []Paper {
	var all []Paper
	for _, p := range s.papers {
		if about == "" || p.Fact.About.Fold() == about.Fold() {
			all = append(all, p)
		}
	}
	return all
}

// A Correction is an amendment or a strike.
type Correction struct {
	Of, By uint64
	Struck bool
	Reason string
	Person record.Code
	When   record.When
}

// Corrections lists every correction, in the order of writing.
func (s *State) Corrections() []Correction { return s.amends }

// A Problem is something that was not as it should be.
type Problem struct {
	Code   record.Code
	About  []record.Code
	What   string
	Action string
	Over   bool
	Fact   uint64
	When   record.When
}

// Problems lists every problem written down, in order.
func (s *State) Problems() []Problem { return s.problems }

// An InstrumentCheck is one check of an instrument.
type InstrumentCheck struct {
	Fact record.InstrumentChecked
	When record.When
	Seq  uint64
}

func (s *State) instrumentChecked(e *record.Entry, f *record.InstrumentChecked) {
	s.checks = append(s.checks, InstrumentCheck{*f, e.When, e.Seq})
	if f.InOrder == record.No {
		s.flag(e, "odd.instrument-off", f.Instrument, "")
	}
}

// InstrumentChecks lists every check of an instrument, in order.
func (s *State) InstrumentChecks() []InstrumentCheck { return s.checks }

// LostRanges lists the facts that a restore lost.
func (s *State) LostRanges() []record.LedgerRestored { return s.lost }

// SealsOf lists the seals put on a content.
func (s *State) SealsOf(n trace.Node) []string { return s.seals[n] }

// SealedWith lists the contents that bear a seal.
func (s *State) SealedWith(seal string) (all []trace.Node) {
	for n, seals := range s.seals {
		if slices.ContainsFunc(seals, func(x string) bool { return strings.EqualFold(x, seal) }) {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	return all
}

// seal adds a seal to a content, once.
func (s *State) seal(n trace.Node, seal string) {
	was := s.seals[n]
	if seal != "" && !slices.Contains(was, seal) {
		s.seals[n] = append(was[:len(was):len(was)], seal)
	}
}
