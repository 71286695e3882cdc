package office

import (
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A NozzleState is how one nozzle stands.
type NozzleState struct {
	Nozzle  int
	Points  []FillPoint
	Last    FillPoint
	Jars    int64
	MeanG   float64
	SpreadG float64    // of its single jars over the run; NaN: not known
	Alarm   fill.Point // that stands; Check is 0: none
	AlarmMS int64
	Advice  fill.Advice
	Advised bool
	OffSet  bool // its mean is off the set weight by more than chance makes
	Dry     bool // three weights in a row that no jar can have
	SetByG  float64
}

// A FillTarget is what to set the filler to, and what it costs.
type FillTarget struct {
	fill.Target
	Known    bool
	Weighed  bool // the spread was weighed; otherwise the house's rule stands for it
	Spread   fill.Spread
	Mended   bool // the spread is that of jar to jar only, for a nozzle wanders
	Checked  int
	OverNow  fill.Giveaway // of what was filled
	HasOver  bool
	YearJars int64 // filled in the last year under this label
	GramYear fill.Giveaway
}

// A FillState is all that can be said of a run's filling now.
type FillState struct {
	Spec       FillSpec
	Jars       int64 // filled so far
	Counted    bool
	Weighed    int64 // of a stream, that count
	Flagged    int64
	Odd        []FillOdd
	Cuts       []FillCut // the latest
	CutCount   int64
	DownMS     int64 // the line to the scale is cut since then; 0: it is there, or there is none
	Last       Jar
	LatestMS   int64
	Checks     int64
	Stream     bool
	Learning   bool // no nozzle's centre is known yet
	SigmaG     float64
	SigmaKnown bool // weighed, not the house's rule
	Nozzles    []NozzleState
	Pooled     []FillPoint // all nozzles together: grams from what each usually gives
	Risks      []FillRisk
	Whole      *FillVerdict
	LastHour   *FillVerdict
	WorstHour  *FillVerdict
	Pulled     *FillVerdict // the worst hour if its short jars were pulled
	KeepG      float64      // the worst hour passes when all below this are kept back
	Kept       *FillVerdict
	Sorted     []FillVerdict // hours again after jars were taken out
	Slots      []FillSlot
	Gross      bool // the weights look like jars with their glass
	Target     FillTarget
	WouldDo    []record.Code // scales of the house that are fine enough
}

// usualChecked is how many jars of a nozzle are weighed for a setting where nobody says
// (common practice).
const usualChecked = 20

// State works out all that can be said now. It takes a time that does not depend on how
// many jars there were.
func (b *FillBook) State() FillState {
	s := FillState{Spec: b.Spec, Weighed: b.jars, Flagged: b.flagged, Odd: append([]FillOdd(nil), b.odd...), Cuts: append([]FillCut(nil), b.cuts...), CutCount: b.cutCount, Last: b.last, LatestMS: b.latest,
		Checks: b.checkNo, Stream: b.jars > 0, Counted: true, Learning: true, Slots: append([]FillSlot(nil), b.slots...)}
	s.Jars = b.early.count.Jars
	for i := range b.slots {
		s.Jars += b.slots[i].Jars
		s.Counted = s.Counted && b.slots[i].Counted
	}
	s.SigmaG, s.SigmaKnown = b.sigma()
	for n := 1; n < len(b.nozzles); n++ {
		if x := &b.nozzles[n]; x.count.Jars > 0 || x.jars > 0 || x.dry > 0 || n <= b.Spec.Nozzles {
			s.Nozzles = append(s.Nozzles, b.nozzleState(n))
		}
	}
	for i := range s.Nozzles {
		s.Learning = s.Learning && (s.Nozzles[i].Last.Check == 0 || s.Nozzles[i].Last.Signals.Has(fill.Learning))
	}
	s.Pooled = b.pooled.list()
	if b.weighed() == nil {
		b.verdicts(&s)
	}
	s.Risks = b.risks()
	s.Target = b.target(&s)
	return s
}

func (b *FillBook) nozzleState(n int) NozzleState {
	x := &b.nozzles[n]
	s := NozzleState{Nozzle: n, Points: x.points.list(), Jars: x.count.Jars + x.jars, SpreadG: math.NaN(), SetByG: x.set, Dry: x.dry >= 3}
	switch {
	case x.count.Jars > 0:
		s.MeanG = x.count.MeanG()
	case x.jars > 0:
		s.MeanG = x.sumG / float64(x.jars)
	}
	if k := len(s.Points); k > 0 {
		s.Last = s.Points[k-1]
	}
	w, err := b.line.Nozzle(n)
	if err != nil {
		return s
	}
	if b.weighedEach {
		if sp, err := b.line.NozzleSpread(n); err == nil {
			s.SpreadG = sp.TotalG
		}
	}
	if x.caught != nil {
		s.Alarm, s.AlarmMS = w.Alarm(), x.caught.point.AtMS
	}
	target := b.aim()
	if a, err := w.Advise(target, fill.Grams(stepOf(fillStep))); err == nil {
		s.Advice, s.Advised = a, true
	}
	sigma, _ := b.sigma()
	if b.Spec.HasSet && s.Jars > 0 && s.Alarm.Check == 0 {
		s.OffSet = math.Abs(s.MeanG-b.Spec.SetG) > 3*sigma/math.Sqrt(float64(s.Jars))+fill.Grams(b.Spec.Tolerance.T)/10
	}
	return s
}

// aim is what a nozzle should give: the set weight, or what the rules ask for.
func (b *FillBook) aim() float64 {
	if b.Spec.HasSet {
		return b.Spec.SetG
	}
	sigma, _ := b.sigma()
	if t, err := fill.TargetFor(fill.Goal{Rules: b.Spec.Rules, Minimum: b.Spec.Minimum, Label: b.Spec.Label, SDG: sigma, Checked: usualChecked}); err == nil {
		return t.Target.Target
	}
	return fill.Grams(b.Spec.Label)
}

func stepOf(f quantity.Figure) quantity.Milligram {
	m, _ := f.Milligrams()
	return m
}

// grossShare is how far above its label a run's mean can't be by overfilling alone.
const grossShare = 1.2

func (b *FillBook) verdicts(s *FillState) {
	s.Whole = b.whole(false)
	first, last := b.lastHour()
	s.LastHour = b.verdictOf(first, last)
	first, last, s.WorstHour = b.worstHour(false)
	if b.early.worst != nil && s.WorstHour != nil && worse(b.early.worst, s.WorstHour) {
		s.WorstHour = b.early.worst
	}
	s.Gross = s.Whole != nil && s.Whole.MeanG > grossShare*fill.Grams(b.Spec.Label)
	sorted := false
	for i := range b.slots {
		sorted = sorted || b.slots[i].Out.units > 0
	}
	if sorted {
		b.sortedHours(s)
	}
	if s.WorstHour == nil || s.WorstHour.Pass() || s.WorstHour == b.early.worst {
		return
	}
	s.Pulled = b.judge(first, last, false, fill.Grams(b.Spec.Tolerance.T1))
	if s.WorstHour.Exact { // which jars to keep back is their own weights' to say
		return
	}
	s.KeepG, s.Kept, _ = b.keepBack(first, last)
}

// sortedHours are the hours in which jars were taken out, judged again: the latest hour
// first, each half-hour once.
func (b *FillBook) sortedHours(s *FillState) {
	if v := b.whole(true); v != nil {
		s.Sorted = append(s.Sorted, *v)
	}
	for last := len(b.slots); last > 0; {
		first := last - 1
		for first > 0 && b.slots[last-1].ToMS-b.slots[first-1].FromMS <= hourMS {
			first--
		}
		out := int64(0)
		for i := first; i < last; i++ {
			out += b.slots[i].Out.units
		}
		if v := b.judge(first, last, true, 0); v != nil && out > 0 {
			s.Sorted = append(s.Sorted, *v)
		}
		last = first
	}
}

// target is what to set the filler to for the spread of this run.
func (b *FillBook) target(s *FillState) FillTarget {
	t := FillTarget{Weighed: s.SigmaKnown, Checked: b.Spec.Checked}
	if t.Checked < 2 {
		t.Checked = usualChecked
	}
	g := fill.Goal{Rules: b.Spec.Rules, Minimum: b.Spec.Minimum, Label: b.Spec.Label, SDG: s.SigmaG, Checked: t.Checked, Dose: b.Spec.Dose}
	if sp, err := b.line.Spread(); err == nil {
		t.Spread = sp
		switch {
		case len(s.Risks) > 0: // a nozzle that wanders is to be mended, not filled over
			t.Mended = true
		case s.SigmaKnown:
			g.SDG, g.Degrees = sp.TotalG, sp.Degrees
			if math.IsInf(g.Degrees, 0) {
				g.Degrees = 0
			}
		default:
			g.SDG = math.Hypot(s.SigmaG, math.Hypot(sp.MovingG, sp.NozzlesG))
		}
	}
	a, err := fill.TargetFor(g)
	if err != nil {
		return t
	}
	t.Target, t.Known = a, true
	if s.Whole != nil && s.Jars > 0 {
		o, err := fill.Above(b.Spec.Label, s.Whole.MeanG, s.Whole.Jars, b.Spec.PricePerKg)
		t.OverNow, t.HasOver = o, err == nil
	}
	return t
}
