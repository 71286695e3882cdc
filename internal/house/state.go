// Package house is the whole state of a honey house, folded from its facts, and
// the rules by which it takes new ones. Deciding changes nothing; folding calls no
// model, asks no rule set and has no float. What happened is never refused: the
// fold takes it and what does not fit shows as an open discrepancy or a flag.
package house

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"combline/internal/goods"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
	"combline/internal/yard"
)

// A Thing is anything that bears a code. Its number is its place in the state.
type Thing uint32

// thing is what the state keeps of each code.
type thing struct {
	code    record.Code
	kind    record.Entity
	retired bool        // named by a fact that was struck: the code stays used
	born    uint32      // the fact that named it
	named   record.Fact // that fact, with what it says of the thing
	node    trace.Node  // its content: a lot's account, a filling, a batch, a site as it is now
	last    uint32      // the last mention of it, 0 for none
}

// mention is a fact that bears a thing's code.
type mention struct{ fact, before uint32 }

// State is the house as its facts make it. The zero State is not ready: see [New].
type State struct {
	graph *trace.Graph
	Yard  *yard.Yard
	Goods *goods.Goods

	byCode   map[string]Thing // by folded code, and by the code as it was first written
	things   []thing
	mentions []mention             // every fact that bears a code, each with the one before for the same thing
	nodes    []nodeInfo            // by node
	texts    map[trace.Node]string // reasons of what was booked, and where what was sent was shipped to
	origins  []Origin              // by origin

	vessels      map[Thing]*Vessel
	mixes        map[trace.Node][]Thing // vessels that hold one mix
	several      map[Thing][]trace.Node // the nodes of sites and dispatches, which have more than one
	lots         map[Thing]*Lot
	runs         map[Thing]*Run
	batches      map[Thing]*batch
	passing      map[Thing]*passing // by machine
	places       map[Thing]standing
	holds        []*Hold
	readings     []Reading
	readAt       map[trace.Node][]int32
	sentAway     []Awaited
	papers       []Paper
	proofs       []Proof
	labelPrints  []LabelPrint
	amends       []Correction
	flags        []Flag
	problems     []Problem
	safety       []SafetyPoint
	safetySigned []SafetySigned
	blends       []BlendPlan
	checks       []InstrumentCheck
	sieves       []SieveCheck
	temps        map[Thing]Temperature
	warmAt       map[Thing]uint32 // by thing: its last temperature, in warmths
	warmths      []warmth
	stays        []stay // where things stood before
	wanted       []Wanted
	dayPlans     []DayPlan
	ticks        []Tick
	heats        map[Thing]record.HeatSet
	settings     map[string]record.SettingChanged
	settingsWere map[string][]SettingAt // each in the order of its time
	house        record.HouseNamed
	lost         []record.LedgerRestored
	seals        map[trace.Node][]string

	stored    []trace.Node // lots whose combs were put away in the house
	yardApart bool

	Folded int   // how many facts
	Latest int64 // the latest minute that a folded fact happened
	Seq    uint64
}

// New is a house of which nothing is known yet.
func New() *State {
	return &State{graph: &trace.Graph{}, Yard: yard.New(), Goods: goods.New(),
		byCode: map[string]Thing{}, things: make([]thing, 1), mentions: make([]mention, 1),
		nodes: make([]nodeInfo, 1), texts: map[trace.Node]string{}, origins: make([]Origin, 1),
		vessels: map[Thing]*Vessel{}, mixes: map[trace.Node][]Thing{}, several: map[Thing][]trace.Node{}, lots: map[Thing]*Lot{}, runs: map[Thing]*Run{}, batches: map[Thing]*batch{},
		passing: map[Thing]*passing{}, places: map[Thing]standing{}, readAt: map[trace.Node][]int32{},
		temps: map[Thing]Temperature{}, warmAt: map[Thing]uint32{}, heats: map[Thing]record.HeatSet{},
		settings: map[string]record.SettingChanged{}, settingsWere: map[string][]SettingAt{}, seals: map[trace.Node][]string{}}
}

// NewFor is a new house with room for what so many facts usually make: two mentions of
// a code each, a thing for every third.
func NewFor(facts int) *State {
	s := New()
	s.mentions = append(make([]mention, 0, 2*facts), s.mentions...)
	s.things = append(make([]thing, 0, facts/3), s.things...)
	return s
}

// Trim gives back the room that was made for more than came.
func (s *State) Trim() {
	s.things, s.mentions, s.nodes = slices.Clone(s.things), slices.Clone(s.mentions), slices.Clone(s.nodes)
	s.graph.Trim()
}

// Clone returns an independent copy, for what-if and for the writer's own state.
func (s *State) Clone() *State {
	c := *s
	c.graph, c.Yard, c.Goods = s.graph.Clone(), s.Yard.Clone(), s.Goods.Clone()
	c.byCode = maps.Clone(s.byCode)
	c.things = slices.Clone(s.things)
	c.mentions = slices.Clone(s.mentions)
	c.texts = maps.Clone(s.texts)
	c.nodes, c.origins = slices.Clone(s.nodes), slices.Clone(s.origins)
	c.vessels = cloneEach(s.vessels, func(v Vessel) Vessel { v.Contents = slices.Clip(v.Contents); return v })
	c.lots = cloneEach(s.lots, func(l Lot) Lot { return l })
	c.runs = cloneEach(s.runs, func(r Run) Run { r.Batches = slices.Clip(r.Batches); return r })
	c.batches = cloneEach(s.batches, func(b batch) batch { return b })
	c.passing = cloneEach(s.passing, func(p passing) passing { p.since = slices.Clone(p.since); return p })
	c.places, c.mixes, c.several = maps.Clone(s.places), maps.Clone(s.mixes), maps.Clone(s.several)
	for t, nodes := range c.several {
		c.several[t] = slices.Clip(nodes)
	}
	c.holds = make([]*Hold, len(s.holds))
	for i, h := range s.holds {
		k := *h
		k.released, k.ruled = maps.Clone(h.released), maps.Clone(h.ruled)
		c.holds[i] = &k
	}
	c.readAt = maps.Clone(s.readAt)
	for n, at := range c.readAt {
		c.readAt[n] = slices.Clip(at)
	}
	c.temps, c.heats, c.settings = maps.Clone(s.temps), maps.Clone(s.heats), maps.Clone(s.settings)
	c.warmAt, c.warmths, c.stays, c.wanted = maps.Clone(s.warmAt), slices.Clip(s.warmths), slices.Clip(s.stays), slices.Clone(s.wanted)
	c.seals, c.settingsWere = maps.Clone(s.seals), maps.Clone(s.settingsWere)
	for name, all := range c.settingsWere {
		c.settingsWere[name] = slices.Clip(all)
	}
	c.readings, c.papers, c.amends = slices.Clip(s.readings), slices.Clip(s.papers), slices.Clip(s.amends)
	c.proofs, c.labelPrints = slices.Clip(s.proofs), slices.Clip(s.labelPrints)
	c.flags, c.checks, c.sieves = slices.Clip(s.flags), slices.Clip(s.checks), slices.Clip(s.sieves)
	c.safetySigned = slices.Clip(s.safetySigned) // safety is never changed in place
	c.problems, c.blends = slices.Clone(s.problems), slices.Clone(s.blends)
	c.lost, c.sentAway = slices.Clip(s.lost), slices.Clip(s.sentAway)
	c.dayPlans, c.ticks = slices.Clip(s.dayPlans), slices.Clip(s.ticks)
	return &c
}

func cloneEach[V any](m map[Thing]*V, clone func(V) V) map[Thing]*V {
	c := make(map[Thing]*V, len(m))
	for k, v := range m {
		w := clone(*v)
		c[k] = &w
	}
	return c
}

// Find returns the thing with a code.
func (s *State) Find(c record.Code) (Thing, bool) {
	if t, ok := s.byCode[string(c)]; ok { // as it was first written: no need to fold it
		return t, true
	}
	t, ok := s.byCode[c.Fold()]
	return t, ok
}

// Code is the code of t as it was first written.
func (s *State) Code(t Thing) record.Code { return s.things[t].code }

// KindOf is what t is.
func (s *State) KindOf(t Thing) record.Entity { return s.things[t].kind }

// Named is the fact that named t; nil for what is filled, cast or drawn.
func (s *State) Named(t Thing) record.Fact { return s.things[t].named }

// Mentions lists the facts that bear t's code, in the order of folding.
func (s *State) Mentions(t Thing) []uint32 {
	var all []uint32
	for at := s.things[t].last; at != 0; at = s.mentions[at].before {
		all = append(all, s.mentions[at].fact)
	}
	slices.Reverse(all)
	return all
}

// OfKind lists the things of a kind in the order in which they were named.
func (s *State) OfKind(k record.Entity) []Thing {
	var all []Thing
	for t := 1; t < len(s.things); t++ {
		if s.things[t].kind == k && !s.things[t].retired {
			all = append(all, Thing(t))
		}
	}
	return all
}

// LastNumber is the code with the highest number of those that begin alike and go on
// with digits only, and the fact that gave it. A number that was struck out counts.
func (s *State) LastNumber(head string) (code record.Code, fact uint64, ok bool) {
	head = record.Code(head).Fold()
	var most uint64
	for t := 1; t < len(s.things); t++ {
		x := &s.things[t]
		digits, begins := strings.CutPrefix(x.code.Fold(), head)
		n, err := strconv.ParseUint(digits, 10, 63)
		if begins && err == nil && (!ok || n > most) {
			most, code, fact, ok = n, x.code, uint64(x.born), true
		}
	}
	return code, fact, ok
}

// House is what the house says of itself.
func (s *State) House() record.HouseNamed { return s.house }

// Setting returns one of the house's own rules, or what holds where it has none.
func (s *State) Setting(name string, otherwise quantity.Figure) quantity.Figure {
	if v, ok := s.settings[name]; ok && v.Value.Given() {
		return v.Value
	}
	return otherwise
}

// SettingText returns one of the house's own rules that is a text; empty where it has none.
func (s *State) SettingText(name string) string { return s.settings[name].Text }

// A Flag is something odd that the fold saw. It refuses nothing.
type Flag struct {
	Key  string // of package words
	Of   record.Code
	Also record.Code
	Fact uint64
	When record.When
}

func (s *State) flag(e *record.Entry, key string, of, also record.Code) {
	s.flags = append(s.flags, Flag{Key: key, Of: of, Also: also, Fact: e.Seq, When: e.When})
}

// Flags lists what the fold found odd, in order.
func (s *State) Flags() []Flag { return s.flags }

func sortBy[T any](all []T, key func(T) string) {
	slices.SortStableFunc(all, func(a, b T) int { return cmp.Compare(key(a), key(b)) })
}
