package instrument

import (
	"time"

	"combline/internal/office"
	"combline/internal/quantity"
)

// A Config says how an instrument's lines are understood.
type Config struct {
	Pattern *Pattern
	Label   quantity.Milligram // of a jar; 0: not known, then no weight is odd but one of zero or below
	Tare    quantity.Milligram // of an empty jar, where the instrument shows the full one
	Nozzles int                // of the filler; 0: not known
	InTurn  bool               // nozzles fill in turn, so the running number tells the nozzle
	Live    bool               // lines come as jars are weighed: their clock is held against the house's
	Zone    *time.Location     // of times that bear none; nil: UTC
	EveryMS int64              // between jars whose lines bear no time; 0: the time of arrival
}

// An Event is something that the person at the filler should see.
type Event struct {
	AtMS  int64
	Fault Fault       // of a line or the link
	Flag  office.Flag // or of a weight
	Seq   int64
	N     int64 // frames lost, or milliseconds by which the clock went back
	Text  string
}

// A Gap is a time without a line to the instrument.
type Gap struct {
	FromMS, ToMS int64
	Missing      int64 // frames that never came; -1: the instrument does not number them
}

const (
	window     = 1024    // running numbers that are looked back
	mostEvents = 100     // kept to be shown
	mostGaps   = 100     // kept to be shown
	jump       = 100_000 // numbers that can be lost; beyond, the instrument counts anew
	slackMS    = 2000    // that a clock may go back without a word
	awryMS     = 60_000  // that an instrument's clock may differ from the house's
	shownText  = 60      // letters of a line that is shown
)

// A Stream makes jars of lines. It needs the same memory however many come.
type Stream struct {
	cfg    Config
	Jars   int64 // that count
	Faults [faultCount]int64
	Flags  [16]int64
	Events []Event // the latest
	Gaps   []Gap   // the latest
	Lost   int64   // numbers that have not come

	any    bool
	low    int64
	high   int64
	seen   [window]bool
	net    [window]quantity.Milligram
	last   int64 // time of the latest jar
	offset int64 // of the instrument's clock to ours
	timed  bool
	down   bool
	downAt int64
	gap    bool // the next frame ends a gap
	ended  bool // a gap ended, and nobody was told
	came   int64
	prev   Frame
	twin   bool // prev is there
}

// NewStream starts a stream.
func NewStream(c Config) *Stream {
	if c.Zone == nil {
		c.Zone = time.UTC
	}
	return &Stream{cfg: c}
}

// Tare sets what an empty jar weighs from now on.
func (s *Stream) Tare(m quantity.Milligram) { s.cfg.Tare = m }

// Resume goes on where a run was broken off: jars are the last ones that were kept.
func (s *Stream) Resume(jars []office.Jar) {
	for _, j := range jars[max(0, len(jars)-window):] {
		if j.Seq > 0 {
			s.order(j.Seq, j.Net)
		}
		s.last = max(s.last, j.AtMS)
	}
	if n := len(jars); n > 0 && (s.cfg.Live || jars[n-1].Seq > 0) { // a file is read again from its start
		s.down, s.downAt, s.gap = true, s.last, true
	}
	s.Lost, s.Faults, s.Events = 0, [faultCount]int64{}, nil
}

// Link tells that the line to the instrument is there, or is cut.
func (s *Stream) Link(up bool, atMS int64) {
	switch {
	case !up && !s.down:
		s.down, s.downAt, s.gap = true, atMS, s.any || s.came > 0
		s.fault(LinkDown, Event{AtMS: atMS})
	case up && s.down:
		s.down = false
		s.fault(LinkUp, Event{AtMS: atMS})
	}
}

// Broken tells of bytes that made no line.
func (s *Stream) Broken(f Fault, atMS int64) { s.fault(f, Event{AtMS: atMS}) }

// Take reads a line that came at a moment. ok is false when it makes no jar.
func (s *Stream) Take(line []byte, atMS int64) (j office.Jar, ok bool) {
	f, fault := s.cfg.Pattern.Read(line)
	if fault != NoFault {
		s.fault(fault, Event{AtMS: atMS, Text: excerpt(line)})
		return j, false
	}
	net := f.Weight - s.cfg.Tare
	if f.HasTare {
		net = f.Weight - f.Tare
	}
	lost := s.Lost
	late := false
	if f.HasSeq {
		fresh, isLate := s.orderAt(f.Seq, net, atMS)
		if late = isLate; !fresh {
			s.fault(Doubled, Event{AtMS: atMS, Seq: f.Seq})
			return j, false
		}
	} else if f.HasTime && s.twin && f == s.prev { // the same weight at the very moment
		s.fault(Doubled, Event{AtMS: atMS})
		return j, false
	}
	s.prev, s.twin = f, true
	s.came++
	j = office.Jar{Seq: f.Seq, Nozzle: f.Nozzle, Net: net, AtMS: s.when(f, atMS, late)}
	s.closeGap(f.HasSeq, s.Lost-lost, j.AtMS)
	if f.Unstable {
		s.fault(Unstable, Event{AtMS: atMS, Seq: f.Seq})
		return j, false
	}
	if s.cfg.InTurn && f.Nozzle == 0 && f.HasSeq && s.cfg.Nozzles > 0 {
		j.Nozzle = int((f.Seq+int64(s.cfg.Nozzles)-1)%int64(s.cfg.Nozzles)) + 1
	}
	j.Flag = office.FlagOf(net, s.cfg.Label)
	if s.cfg.Nozzles > 0 && j.Nozzle > s.cfg.Nozzles || j.Nozzle > office.MaxNozzles {
		j.Flag, j.Nozzle = office.OddNozzle, min(j.Nozzle, office.MaxNozzles)
	}
	if j.Flag != office.NoFlag {
		s.Flags[j.Flag]++
		s.event(Event{AtMS: j.AtMS, Flag: j.Flag, Seq: f.Seq, Text: excerpt(line)})
		return j, true
	}
	s.Jars++
	return j, true
}

func (s *Stream) orderAt(seq int64, net quantity.Milligram, atMS int64) (fresh, late bool) {
	was := s.high
	lost := s.Lost
	switch fault := s.order(seq, net); fault {
	case Doubled:
		return false, false
	case Late:
		s.fault(Late, Event{AtMS: atMS, Seq: seq})
		return true, true
	case Restarted:
		s.fault(Restarted, Event{AtMS: atMS, Seq: seq, N: was})
	case Lost:
		s.Faults[Lost] += s.Lost - lost
		s.event(Event{AtMS: atMS, Fault: Lost, Seq: seq, N: s.Lost - lost})
	}
	return true, false
}

// order takes a running number in: NoFault, Lost, Late, Doubled or Restarted. A number
// that was there with another weight, or far back, means that the instrument was
// switched off and counts anew; but the last number again is the last frame again.
func (s *Stream) order(seq int64, net quantity.Milligram) Fault {
	at := seq & (window - 1)
	switch {
	case !s.any, seq < s.low, seq <= s.high-window, seq > s.high+jump, seq < s.high && s.seen[at] && s.net[at] != net:
		restarted := s.any
		s.any, s.low, s.high = true, seq, seq
		s.seen = [window]bool{}
		s.seen[at], s.net[at] = true, net
		if restarted {
			return Restarted
		}
		return NoFault
	case seq <= s.high && s.seen[at]:
		return Doubled
	case seq <= s.high:
		s.seen[at], s.net[at] = true, net
		s.Lost--
		return Late
	}
	missing := seq - s.high - 1
	for n := max(s.high+1, seq-window+1); n < seq; n++ {
		s.seen[n&(window-1)] = false
	}
	s.seen[at], s.net[at], s.high = true, net, seq
	s.Lost += missing
	if missing > 0 {
		return Lost
	}
	return NoFault
}

// when is a jar's moment by the house's clock: time never runs back.
func (s *Stream) when(f Frame, atMS int64, late bool) int64 {
	if !f.HasTime {
		at := atMS
		if s.cfg.EveryMS > 0 && s.last > 0 {
			at = s.last + s.cfg.EveryMS
		}
		s.last = max(s.last, at)
		return s.last
	}
	t := s.moment(f, atMS)
	if !s.timed && s.cfg.Live && (t-atMS > awryMS || atMS-t > awryMS) {
		s.offset = atMS - t
	}
	at := t + s.offset
	if s.timed && !late && at < s.last-slackMS {
		s.fault(ClockBack, Event{AtMS: atMS, Seq: f.Seq, N: s.last - at})
		s.offset += s.last - at
		if s.cfg.Live && atMS > s.last {
			s.offset = atMS - t
		}
		at = t + s.offset
	}
	s.timed = true
	s.last = max(s.last, at)
	return at
}

const dayMS = 24 * 3600 * 1000

// moment is a frame's own time in milliseconds since 1970: one of the day on the day
// that is nearest.
func (s *Stream) moment(f Frame, atMS int64) int64 {
	switch {
	case f.OfDay:
		near := atMS
		if !s.cfg.Live && s.last > 0 {
			near = s.last
		}
		_, offset := time.UnixMilli(near).In(s.cfg.Zone).Zone()
		local := near + int64(offset)*1000
		t := local - local%dayMS + f.TimeMS
		for t-local > dayMS/2 {
			t -= dayMS
		}
		for local-t > dayMS/2 {
			t += dayMS
		}
		return t - int64(offset)*1000
	case f.NoZone:
		_, offset := time.UnixMilli(f.TimeMS).In(s.cfg.Zone).Zone()
		return f.TimeMS - int64(offset)*1000
	}
	return f.TimeMS
}

// closeGap notes what a cut link cost, with the first frame after it.
func (s *Stream) closeGap(numbered bool, missing, atMS int64) {
	if !s.gap {
		return
	}
	s.gap = false
	s.ended = true
	if !numbered {
		missing = -1
	}
	if len(s.Gaps) == mostGaps {
		s.Gaps = append(s.Gaps[:0], s.Gaps[1:]...)
	}
	s.Gaps = append(s.Gaps, Gap{FromMS: s.downAt, ToMS: max(atMS, s.downAt), Missing: max(missing, -1)})
	s.down = false
}

// Ended gives the gap that ended since it was asked last.
func (s *Stream) Ended() (g Gap, ok bool) {
	if !s.ended {
		return g, false
	}
	s.ended = false
	return s.Gaps[len(s.Gaps)-1], true
}

func (s *Stream) fault(f Fault, e Event) {
	s.Faults[f]++
	e.Fault = f
	s.event(e)
}

func (s *Stream) event(e Event) {
	if len(s.Events) == mostEvents {
		copy(s.Events, s.Events[1:])
		s.Events = s.Events[:mostEvents-1]
	}
	s.Events = append(s.Events, e)
}

// excerpt is the start of a line that can be shown.
func excerpt(line []byte) string {
	b := make([]byte, 0, shownText)
	for _, c := range line[:min(len(line), shownText)] {
		if c < ' ' || c > '~' {
			c = '?'
		}
		b = append(b, c)
	}
	return string(b)
}
