package house

import (
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A WarmthKind is what a temperature is of.
type WarmthKind uint8

const (
	AirRead   WarmthKind = iota + 1 // of a place
	HoneyRead                       // of the honey in a vessel, at its core or anywhere
	SkinRead                        // of the honey at the wall
	HeatWasSet
	Logged // the mean of an hour of a logger
)

// A Warmth is one temperature that was read, logged or set.
type Warmth struct {
	Minute int64 // since 1970
	Temp   quantity.Figure
	How    WarmthKind
	Seq    uint32 // the fact
}

// warmth is a row of all temperatures, each with the one before of the same thing.
type warmth struct {
	Warmth
	before uint32
}

func (s *State) warm(e *record.Entry, of record.Code, temp quantity.Figure, how WarmthKind) {
	t, ok := s.Find(of)
	if !ok || !temp.Given() {
		return
	}
	if len(s.warmths) == 0 {
		s.warmths = make([]warmth, 1)
	}
	x := warmth{Warmth{e.When.Minute, temp, how, uint32(e.Seq)}, s.warmAt[t]}
	s.warmAt[t] = uint32(len(s.warmths))
	s.warmths = append(s.warmths, x)
}

// howRead tells the honey's own temperature from that of the air.
func (s *State) howRead(f *record.TemperatureRead) WarmthKind {
	t, _ := s.Find(f.Of)
	switch kind := s.things[t].kind; {
	case kind == record.Place || kind == record.Machine:
		return AirRead
	case strings.Contains(strings.ToLower(f.Depth), "air"):
		return AirRead
	case strings.Contains(strings.ToLower(f.Depth), "skin"):
		return SkinRead
	}
	return HoneyRead
}

// WarmthOf lists the temperatures of a place, vessel, machine or content, in the order
// of time.
func (s *State) WarmthOf(t Thing) []Warmth {
	var all []Warmth
	for at := s.warmAt[t]; at != 0; at = s.warmths[at].before {
		all = append(all, s.warmths[at].Warmth)
	}
	slices.Reverse(all)
	return all
}

// A Stay is a thing standing at a place from a minute on; an empty place is not known.
type Stay struct {
	Place  record.Code
	Minute int64
}

// moved keeps where a thing stood before it stands elsewhere.
func (s *State) moved(t Thing, to standing) {
	if was, ok := s.places[t]; ok {
		if len(s.stays) == 0 {
			s.stays = make([]stay, 1)
		}
		to.before = uint32(len(s.stays))
		s.stays = append(s.stays, stay{was.at, was.since.Minute, was.before})
	}
	s.places[t] = to
}

type stay struct {
	at     Thing
	minute int64
	before uint32
}

// StaysOf lists where a thing has stood, in the order of time; of a filling, its vessel.
func (s *State) StaysOf(c record.Code) []Stay {
	t, ok := s.steelOf(c)
	now, stands := s.places[t]
	if !ok || !stands {
		return nil
	}
	all := []Stay{{s.things[now.at].code, now.since.Minute}}
	for at := now.before; at != 0; at = s.stays[at].before {
		all = append(all, Stay{s.things[s.stays[at].at].code, s.stays[at].minute})
	}
	slices.Reverse(all)
	return all
}

// A Wanted is contents that somebody wants warm by a time.
type Wanted struct {
	record.WarmingWanted
	Seq    uint64
	When   record.When
	Person record.Code
	By     time.Time // the time of the wish, in the zone in which it was written
	Nodes  []trace.Node
}

func (s *State) warmingWanted(e *record.Entry, f *record.WarmingWanted) {
	w := Wanted{WarmingWanted: *f, Seq: e.Seq, When: e.When, Person: e.Person, By: readyAt(f, e.When)}
	for _, c := range f.What {
		if n := s.fillingOrContent(c); n != 0 {
			w.Nodes = append(w.Nodes, n)
		}
	}
	s.wanted = append(s.wanted, w)
}

// fillingOrContent is the content that a code stands for, an earlier filling too.
func (s *State) fillingOrContent(c record.Code) trace.Node {
	if n, ok := s.byFillingNumber(c); ok {
		return n
	}
	n, _, _ := s.contentOf(c)
	return n
}

// readyAt is when a wish is to be fulfilled: at its hour, or at the start of the day.
func readyAt(f *record.WarmingWanted, said record.When) time.Time {
	hour, _ := clockOf(f.Clock)
	y, m, d := f.Ready.Time().Date()
	return time.Date(y, m, d, 0, 0, 0, 0, said.Time().Location()).Add(hour)
}

// clockOf reads an hour of the day as 07:00; none is midnight.
func clockOf(text string) (time.Duration, bool) {
	if text == "" {
		return 0, true
	}
	t, err := time.Parse("15:04", text)
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute, err == nil
}

func (s *State) warmingDropped(f *record.WarmingDropped) {
	for _, c := range f.What {
		n := s.fillingOrContent(c)
		for i := range s.wanted {
			s.wanted[i].Nodes = slices.DeleteFunc(slices.Clone(s.wanted[i].Nodes), func(x trace.Node) bool { return x == n })
		}
	}
}

// WarmingsWanted lists the wishes of which something is still in its vessel, by the
// time at which it is wanted.
func (s *State) WarmingsWanted() (all []Wanted) {
	for _, w := range s.wanted {
		w.Nodes = slices.DeleteFunc(slices.Clone(w.Nodes), func(n trace.Node) bool { return s.graph.Left(n) <= 0 })
		if len(w.Nodes) > 0 {
			all = append(all, w)
		}
	}
	slices.SortStableFunc(all, func(a, b Wanted) int { return a.By.Compare(b.By) })
	return all
}

// warming refuses a wish whose hour is none, and one for a time gone by.
func (c *check) warming(f *record.WarmingWanted, said record.When) {
	if len(f.What) == 0 {
		c.missing("what", f)
	}
	if _, ok := clockOf(f.Clock); !ok {
		c.refuse("refused.clock", "next.type-again", inField("clock", answer.Args{"typed": f.Clock}))
		return
	}
	if by := readyAt(f, said); f.Ready != 0 && by.Before(said.Time()) {
		c.refuse("refused.wanted-past", "next.check-date", inField("ready", answer.Args{"when": record.At(by), "now": said}))
	}
}

// MadeAt is when a content was made.
func (s *State) MadeAt(n trace.Node) record.When { return s.nodes[n].when }

// Read lists everything that was read of any content, in order.
func (s *State) Read() []Reading { return s.readings }

// A WarmthMark is the same for as long as no reading, temperature or move was folded.
type WarmthMark struct {
	of                               *State
	readings, warmths, stays, amends int
}

// WarmthMark is the state's mark of now. A state that was folded again has another.
func (s *State) WarmthMark() WarmthMark {
	return WarmthMark{s, len(s.readings), len(s.warmths), len(s.stays), len(s.amends)}
}
