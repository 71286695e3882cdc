package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The extraction line: what it did so far today, whether it will be done in time, and
// what holds it up.

// LineAsk asks about a day's extraction.
type LineAsk struct {
	At     record.When
	Supers int64          // to do in all today; 0: what is in the house and not spun
	By     int64          // minutes after midnight; 0: 17:00
	Rates  []TypedStation // typed with the question, before what is written down
}

// A TypedStation is the rate of a machine as a person says it.
type TypedStation = house.LineRate

// lineBy is when a day ends, unless said otherwise (common practice, no source).
const lineBy = 17 * 60

// superFrames is how many frames a super has, for rates given in frames (common practice:
// 9 in a box for 10; the house's rule frames.super says otherwise).
var superFrames = quantity.Figure{Mantissa: 9, Unit: quantity.Each}

// A LineNow is the line as it stands.
type LineNow struct {
	Lots      []record.Code
	In        int64 // over the scale on the way to the uncapper today
	Done      int64 // spun, or weighed out wet
	Left      int64 // still to be done today
	First     record.When
	Last      record.When // last thing done
	Worked    float64     // hours from the first to the last, stops in it
	Stops     []Stop
	Live      float64 // boxes an hour so far; 0: too little to tell
	Going     float64 // the same without the stops
	Own       flow.Factor
	Book      float64             // supers an hour of the slowest station, or the rule
	BookSet   bool                // it is the rule: no station has a rate
	KgSuper   float64             // honey of a super
	KgLots    int                 // lots that it is from; 0: common practice
	Unrated   []record.Code       // machines of the line of which nobody wrote down what they can do
	Rate      quantity.Uncertain  // for the rest of the day
	Needed    float64             // boxes an hour to be done in time
	Hours     honey.Band[float64] // until all is done
	Chance    float64             // of being done in time
	By        record.When
	Stations  []LineStation
	Slowest   int     // of Stations; -1: not known
	LoadBoxes float64 // of a load, on average
	LoadMin   float64 // from one load of an extractor to its next, the middle of them
	LoadsSeen int
	lastIn    int64 // boxes of the last stack in
	Queue     int64 // boxes between the scale and the wet combs
}

// A Stop is a gap in the day's weighings that is longer than the usual ones.
type Stop struct {
	From, To record.When
	Minutes  int64
}

// A LineStation is one step of the line in supers an hour.
type LineStation struct {
	Name   record.Code
	Supers float64
	How    string // key: where the rate is from
	Used   float64
	Kg     float64 // as it was said, kg an hour; 0: in frames
}

// Begun reports whether anything went through the line today.
func (n LineNow) Begun() bool { return n.In > 0 || n.Done > 0 }

// LineNow looks at a day's line.
func (v *View) LineNow(ask LineAsk) LineNow {
	n := LineNow{Slowest: -1}
	day := DayOf(ask.At)
	v.lineDone(&n, ask.At)
	v.lineLeft(&n, ask)
	n.Stops = stops(v.lineMoments(ask.At))
	if n.Worked >= 0.5 && n.doneSoFar() > 0 {
		n.Live = n.doneSoFar() / n.Worked
		lost := 0.0
		for _, s := range n.Stops {
			lost += float64(s.Minutes) / 60
		}
		n.Going = n.doneSoFar() / max(n.Worked-lost, 0.25)
	}
	v.lineStations(&n, ask)
	n.Own = v.lineOwn(day, n.Book)
	n.rate()
	v.lineLoads(&n, day)
	by := ask.By
	if by <= 0 {
		by = lineBy
	}
	n.By = atMinute(ask.At, by)
	n.forecast(ask.At)
	return n
}

// doneSoFar is what the rate is reckoned from: boxes over the scale, less the last stack,
// which is still to be spun; where the line weighs none on the way, what was spun.
func (n *LineNow) doneSoFar() float64 {
	if n.In == 0 {
		return float64(n.Done)
	}
	return float64(n.In - n.lastIn)
}

func atMinute(w record.When, minuteOfDay int64) record.When {
	local := w.Minute + int64(w.Offset)
	w.Minute += minuteOfDay - ((local%minutesADay)+minutesADay)%minutesADay
	return w
}

// lineMoments are the minutes at which stacks went over the scale on their way in today,
// or loads were spun or stacks came out wet where none did.
func (v *View) lineMoments(now record.When) (all []record.When) {
	var in, spun, wet []record.When
	for _, e := range v.OfDay(DayOf(now)) {
		if e.When.Minute > now.Minute || e.When.Precision == record.ToDay {
			continue
		}
		switch f := e.Fact.(type) {
		case *record.SupersReceived:
			if f.Side != record.BeforeHotRoom {
				in = append(in, e.When)
			}
		case *record.SupersSpun:
			spun = append(spun, e.When)
		case *record.WetSupersWeighed:
			wet = append(wet, e.When)
		}
	}
	all = in
	for _, x := range [][]record.When{wet, spun} {
		if len(all) < 2 {
			all = x
		}
	}
	slices.SortFunc(all, func(a, b record.When) int { return cmp.Compare(a.Minute, b.Minute) })
	return all
}

// A gap counts as a stop when it is over twice the usual one and over a quarter of an
// hour: shorter ones are the line's own rhythm.
const stopTimes, stopMinutes = 2, 15

func stops(at []record.When) (all []Stop) {
	var gaps []int64
	for i := 1; i < len(at); i++ {
		gaps = append(gaps, at[i].Minute-at[i-1].Minute)
	}
	if len(gaps) < 3 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(gaps))
	usual := sorted[len(sorted)/2]
	for i, g := range gaps {
		if g > stopTimes*usual && g >= stopMinutes+usual {
			all = append(all, Stop{From: at[i], To: at[i+1], Minutes: g - usual})
		}
	}
	return all
}

// lineDone counts what went in and came out today, and the lots that it was of.
func (v *View) lineDone(n *LineNow, now record.When) {
	var spun, wet, lastIn, inTo int64
	see := func(lot record.Code, at record.When) {
		n.Lots = withCode(n.Lots, lot)
		if n.First == (record.When{}) || at.Minute < n.First.Minute {
			n.First = at
		}
		if at.Minute > n.Last.Minute {
			n.Last = at
		}
	}
	boxes := func(all []record.Stack) (b int64) {
		for _, s := range all {
			b += s.Boxes
		}
		return b
	}
	for _, e := range v.OfDay(DayOf(now)) {
		if e.When.Minute > now.Minute {
			continue
		}
		switch f := e.Fact.(type) {
		case *record.SupersReceived:
			if f.Side != record.BeforeHotRoom {
				see(f.Lot, e.When)
				lastIn, inTo = boxes(f.Stacks), e.When.Minute
				n.In += lastIn
			}
		case *record.SupersSpun:
			see(f.Lot, e.When)
			spun += f.Boxes
		case *record.WetSupersWeighed:
			see(f.Lot, e.When)
			wet += boxes(f.Stacks)
		}
	}
	n.Done = max(spun, wet)
	n.Queue = max(0, n.In-max(spun, wet))
	if n.In > 0 && n.Done == 0 {
		n.Done = max(0, n.In-lastIn)
	}
	n.Worked, n.lastIn = float64(n.Last.Minute-n.First.Minute)/60, lastIn
	if n.In > 0 {
		n.Worked = float64(inTo-n.First.Minute) / 60
	}
}

// lineLeft is what is still to be done today: as typed, or what stands in the house.
func (v *View) lineLeft(n *LineNow, ask LineAsk) {
	if ask.Supers > 0 {
		n.Left = max(0, ask.Supers-n.Done)
		return
	}
	for _, s := range v.LoadSheets(DayOf(ask.At)) {
		y, ok := v.State.Yard.Lot(s.Lot)
		if !ok {
			continue
		}
		left := max(0, y.Pulled-max(y.Spun, y.Wet))
		if left > 0 && !s.Closed {
			n.Left += left
			n.Lots = withCode(n.Lots, s.Lot)
		}
	}
}

// lineLoads is how large a load is and how long an extractor takes from one to the next,
// by what was written down load by load over the last two seasons.
func (v *View) lineLoads(n *LineNow, day record.Day) {
	var boxes, loads int64
	var gaps []int64
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || l.Opened.Pulled < day-800 || l.Opened.Pulled > day {
			continue
		}
		last := map[string]record.When{}
		for _, e := range v.Mentions(v.State.Code(t)) {
			f, is := e.Fact.(*record.SupersSpun)
			if !is {
				continue
			}
			boxes, loads = boxes+f.Boxes, loads+max(1, f.Loads)
			if f.Loads > 1 || len(f.Machines) == 0 || e.When.Precision == record.ToDay {
				continue
			}
			m := f.Machines[len(f.Machines)-1].Fold()
			if was, ok := last[m]; ok && DayOf(was) == DayOf(e.When) && e.When.Minute > was.Minute {
				gaps = append(gaps, e.When.Minute-was.Minute)
			}
			last[m] = e.When
		}
	}
	if loads > 0 {
		n.LoadBoxes = float64(boxes) / float64(loads)
	}
	if len(gaps) > 0 {
		slices.Sort(gaps)
		n.LoadMin, n.LoadsSeen = float64(gaps[len(gaps)/2]), len(gaps)
	}
}

// linePrior is how far houses differ from their machines' own rates (they do not reach
// them: 35 of 50 in a usual house, common practice, no source), and one day from the next.
var linePrior = flow.Prior{House: 0.4, Each: 0.15}

// lineUsual is what lines reach of their slowest machine's rate.
const lineUsual = 0.7

// lineOwn is what the house's own lots reached of the line's rate.
func (v *View) lineOwn(day record.Day, book float64) flow.Factor {
	var ratios []float64
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || l.Opened.Pulled < day-800 || l.Opened.Pulled > day {
			continue
		}
		if r := v.lotRate(v.State.Code(t)); r > 0 && book > 0 {
			ratios = append(ratios, r/(book*lineUsual))
		}
	}
	f, err := flow.Learn(ratios, linePrior)
	if err != nil {
		return flow.Factor{Band: honey.Band[float64]{Low: 1, Likely: 1, High: 1}, Spread: linePrior.House}
	}
	return f
}

// rate joins what the house usually does with what it did today: the more of the day has
// gone, the more today counts. Both are lognormal.
func (n *LineNow) rate() {
	n.Rate = quantity.Uncertain{Value: n.Book * lineUsual * n.Own.Likely, Own: n.Own.Spread, Log: true}
	if !(n.Live > 0) {
		return
	}
	const first = 0.35 // of the first hour's rate, against the rest of the day
	now := first / math.Sqrt(max(n.Worked, 0.5))
	a, b := 1/(n.Own.Spread*n.Own.Spread), 1/(now*now)
	if !(n.Rate.Value > 0) {
		n.Rate = quantity.Uncertain{Value: n.Live, Own: now, Log: true}
		return
	}
	mean := (a*math.Log(n.Rate.Value) + b*math.Log(n.Live)) / (a + b)
	n.Rate = quantity.Uncertain{Value: math.Exp(mean), Own: 1 / math.Sqrt(a+b), Log: true}
}

// forecast says when all is done and how likely that is in time.
func (n *LineNow) forecast(now record.When) {
	if !n.Rate.Known() {
		n.Chance = math.NaN()
		return
	}
	low, high := n.Rate.Band9in10()
	left := float64(n.Left)
	n.Hours = honey.Band[float64]{Low: left / high, Likely: left / n.Rate.Value, High: left / low}
	open := float64(n.By.Minute-now.Minute) / 60
	switch {
	case n.Left == 0:
		n.Chance = 1
	case open <= 0:
		n.Chance = 0
		n.Needed = math.Inf(1)
	default:
		n.Needed = left / open
		n.Chance = n.Rate.ChanceAbove(n.Needed)
	}
}
