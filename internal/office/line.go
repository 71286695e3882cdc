package office

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"combline/internal/answer"
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

// lineStations are the machines of the line with what each can do.
func (v *View) lineStations(n *LineNow, ask LineAsk) {
	frames := v.State.Setting("frames.super", superFrames).Float()
	if !(frames >= 1 && frames <= 20) {
		frames = superFrames.Float()
	}
	n.KgSuper, n.KgLots = v.superKg(DayOf(ask.At))
	supers := func(t TypedStation) float64 {
		if t.Kg > 0 {
			return t.Kg / n.KgSuper
		}
		return t.Frames / frames
	}
	for _, t := range ask.Rates {
		n.Stations = append(n.Stations, LineStation{Name: t.Machine, Supers: supers(t), How: "line.how.typed", Kg: t.Kg})
	}
	set, _ := ParseLineRates(v.State.SettingText(house.SettingLineRates))
	for _, t := range set {
		if !named(n.Stations, t.Machine) {
			n.Stations = append(n.Stations, LineStation{Name: t.Machine, Supers: supers(t), How: "line.how.rule", Kg: t.Kg})
		}
	}
	for _, t := range v.State.OfKind(record.Machine) {
		m, ok := v.State.Named(t).(*record.MachineNamed)
		if !ok || m.Nozzles > 0 || named(n.Stations, m.Machine) || !v.onLine(m.Machine) {
			continue
		}
		if !(m.Rate.Float() > 0) || m.Rate.Unit != quantity.Each {
			n.Unrated = append(n.Unrated, m.Machine)
			continue
		}
		n.Stations = append(n.Stations, LineStation{Name: m.Machine, Supers: m.Rate.Float() / frames, How: "line.how.named"})
	}
	n.Book, n.BookSet = v.State.Setting("pull.rate", pullRate).Float()/lineUsual, true
	all := make([]flow.Station, 0, len(n.Stations))
	for _, s := range v.together(n.Stations) {
		all = append(all, flow.Station{Name: string(s.Name), PerHour: s.Supers, Goes: 1})
	}
	n.Stations = v.together(n.Stations)
	if r, at, err := flow.Bottleneck(all); err == nil {
		n.Book, n.Slowest, n.BookSet = r, at, false
	}
	for i := range n.Stations {
		if n.Live > 0 && n.Stations[i].Supers > 0 {
			n.Stations[i].Used = n.Live / n.Stations[i].Supers
		}
	}
}

func named(all []LineStation, m record.Code) bool {
	return slices.ContainsFunc(all, func(s LineStation) bool { return s.Name.Fold() == m.Fold() })
}

// together adds up machines that do the same work side by side: those whose kind begins
// with the same word.
func (v *View) together(all []LineStation) (out []LineStation) {
	at := map[string]int{}
	for _, s := range all {
		key := s.Name.Fold()
		if t, ok := v.State.Find(s.Name); ok {
			if m, is := v.State.Named(t).(*record.MachineNamed); is && firstWord(m.What) != "" {
				key = firstWord(m.What)
			}
		}
		if i, ok := at[key]; ok {
			out[i].Supers += s.Supers
			out[i].Name += " + " + s.Name
			continue
		}
		at[key] = len(out)
		out = append(out, s)
	}
	return out
}

// firstWord is the first word of a machine's kind: extractor, uncapper, pump.
func firstWord(what string) string {
	first, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(what)), " ")
	return strings.Trim(first, ",;:")
}

// ParseLineRates reads "uncapper 480; extractor A 257; sump pump 900 kg": the frames, or
// the kg of honey, an hour of machines.
func ParseLineRates(text string) ([]TypedStation, error) {
	all, bad := house.LineRates(text)
	if bad != "" {
		return nil, lineRates(bad)
	}
	return all, nil
}

// superKgUsual is the honey of a medium super, 13 to 17 kg (common practice, no source).
const superKgUsual = 15.0

// superKg is the honey of a super by the house's own lots of the last two years that were
// weighed both ways, or what is usual.
func (v *View) superKg(day record.Day) (kg float64, lots int) {
	var grams, boxes float64
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || !l.Closed || l.Opened.Pulled < day-800 || l.Opened.Pulled > day || l.Boxes <= 0 || l.WetOut <= 0 || !(l.GrossIn > l.WetOut) {
			continue
		}
		grams, boxes, lots = grams+float64(l.GrossIn-l.WetOut), boxes+float64(l.Boxes), lots+1
	}
	if kg = grams / 1000 / max(boxes, 1); !(kg >= 1 && kg <= 60) {
		return superKgUsual, 0
	}
	return kg, lots
}

func lineRates(part string) error {
	return &house.Refusal{Key: "refused.line-rates", Args: answer.Args{"typed": part}, Next: "next.line.rates"}
}

// onLine reports whether combs or raw honey go through a machine: a load was written for
// it, or a lot ran through it.
func (v *View) onLine(m record.Code) bool {
	line := once(v, "line machines", func() map[string]bool {
		is := map[string]bool{}
		for _, t := range v.State.OfKind(record.Lot) {
			for _, e := range v.Mentions(v.State.Code(t)) {
				switch f := e.Fact.(type) {
				case *record.SupersSpun:
					for _, c := range f.Machines {
						is[c.Fold()] = true
					}
				case *record.LotRanInto:
					for _, c := range f.Via {
						is[c.Fold()] = true
					}
				}
			}
		}
		return is
	})
	return line[m.Fold()]
}

// Line answers whether today's supers will be done in time, and what holds the line up.
func (v *View) Line(ask LineAsk) answer.Answer {
	a := answer.Answer{Question: "line"}
	n := v.LineNow(ask)
	if n.Left == 0 && n.Done == 0 && n.In == 0 {
		a.Say("line.nothing", answer.Args{"day": DayOf(ask.At)})
		v.lineTable(&a, n)
		v.restsOnRecord(&a)
		return a
	}
	v.lineFinish(&a, n, ask.At)
	v.lineHolds(&a, n)
	v.lineTable(&a, n)
	v.stopTable(&a, n)
	a.Follows("follows.line", answer.Args{"by": clockOf(n.By, ask.At)})
	v.restsOnRecord(&a)
	return a
}

func (v *View) lineFinish(a *answer.Answer, n LineNow, now record.When) {
	so := answer.Line{Key: "line.so-far", Args: answer.Args{"done": n.Done, "left": n.Left, "lots": n.Lots}}
	if len(n.Lots) == 0 {
		so.Key = "line.so-far-typed"
	}
	a.Say(so.Key, so.Args)
	if n.Left == 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "line.done", Args: answer.Args{"when": clockOf(whenOrNil(n.Last), now)}, Mark: answer.Good})
		return
	}
	if n.LoadBoxes >= 0.5 {
		a.Say("line.loads", answer.Args{"loads": int64(math.Ceil(float64(n.Left) / n.LoadBoxes)), "boxes": tenth(n.LoadBoxes, quantity.Each)})
	}
	if n.LoadsSeen > 0 {
		a.RestsOn("line.load-minutes", answer.Args{"minutes": tenth(n.LoadMin, quantity.Minute), "n": int64(n.LoadsSeen)})
	}
	if !n.Rate.Known() {
		a.Cannot = &answer.Line{Key: "line.no-rate"}
		a.Then("next.line.rate", nil)
		return
	}
	args := banded(answer.Args{"by": clockOf(n.By, now), "left": n.Left, "when": clockOf(later2(now, n.Hours.Likely), now), "early": clockOf(later2(now, n.Hours.Low), now),
		"late": clockOf(later2(now, n.Hours.High), now), "chance": inTen(n.Chance)}, n.Rate, quantity.Each)
	line := answer.Line{Key: "line.close", Args: args, Mark: answer.Care}
	switch {
	case n.Chance >= 0.9:
		line.Key, line.Mark = "line.in-time", answer.Good
	case n.Chance <= 0.1:
		line.Key, line.Mark = "line.too-late", answer.Bad
	}
	a.Lines = append(a.Lines, line)
	if n.Chance < 0.9 && !math.IsInf(n.Needed, 0) {
		a.Then("next.line.faster", answer.Args{"rate": tenth(n.Needed, quantity.Each), "boxes": int64(math.Max(0, math.Floor(float64(n.Left)-n.Rate.Value*float64(n.By.Minute-now.Minute)/60)))})
	}
	if n.Live > 0 {
		a.RestsOn("line.rate-today", answer.Args{"rate": tenth(n.Live, quantity.Each), "going": tenth(n.Going, quantity.Each), "hours": tenth(n.Worked, quantity.Hour)})
	}
	switch {
	case n.Own.Seen > 0:
		a.RestsOn("line.rate-own", answer.Args{"rate": tenth(n.Book*lineUsual*n.Own.OwnOnly, quantity.Each), "lots": int64(n.Own.Seen)})
	case n.BookSet:
		a.RestsOn("line.rate-rule", answer.Args{"rate": tenth(n.Book*lineUsual, quantity.Each)})
	default:
		a.RestsOn("line.rate-book", answer.Args{"rate": tenth(n.Book*lineUsual, quantity.Each)})
	}
}

// clockOf is a moment as its time alone where it is of the same day.
func clockOf(at any, now record.When) any {
	w, ok := at.(record.When)
	if !ok || DayOf(w) != DayOf(now) {
		return at
	}
	return w.Time().Format("15:04")
}

// inTen is a chance as so many in ten.
func inTen(p float64) any {
	if !(p >= 0 && p <= 1) {
		return nil
	}
	return min(9, max(1, int64(math.Round(10*p))))
}

// lineHolds says what holds the line up: a station that is used to the full, a queue that
// grows, stops, or nothing that is written down.
func (v *View) lineHolds(a *answer.Answer, n LineNow) {
	lost := int64(0)
	for _, s := range n.Stops {
		lost += s.Minutes
	}
	if lost > 0 {
		a.Warn("line.stops", answer.Args{"n": int64(len(n.Stops)), "minutes": lost})
	}
	if n.Queue > 0 {
		a.Say("line.queue", answer.Args{"boxes": n.Queue})
	}
	switch {
	case n.Slowest < 0:
		a.Warn("line.no-stations", nil)
		a.Then("next.line.stations", nil)
		return
	case n.Live > 0 && n.Going > 1.1*n.Stations[n.Slowest].Supers: // no machine does more than it can
		s := n.Stations[n.Slowest]
		a.Warn("line.rate-low", answer.Args{"machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "going": tenth(n.Going, quantity.Each)})
		a.Then("next.line.rate-low", answer.Args{"machine": s.Name})
	case n.Live > 0 && n.Going >= 0.9*n.Stations[n.Slowest].Supers:
		s := n.Stations[n.Slowest]
		a.Warn("line.holds", answer.Args{"machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "used": quantity.Percent(100 * n.Going / s.Supers)})
	case n.Live > 0:
		s := n.Stations[n.Slowest]
		a.Say(n.but("line.hands"), answer.Args{"unrated": n.Unrated, "machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "going": tenth(n.Going, quantity.Each), "used": quantity.Percent(100 * n.Going / s.Supers)})
		a.Then("next.line.hands", answer.Args{"machine": s.Name})
	default:
		s := n.Stations[n.Slowest]
		a.Say(n.but("line.slowest"), answer.Args{"unrated": n.Unrated, "machine": s.Name, "supers": tenth(s.Supers, quantity.Each)})
	}
	if len(n.Unrated) > 0 {
		a.Then("next.line.unrated", nil)
	}
}

// but is the key of a sentence that must not speak for machines that nobody rated.
func (n *LineNow) but(key string) string {
	if len(n.Unrated) > 0 {
		return key + "-but"
	}
	return key
}

func (v *View) lineTable(a *answer.Answer, n LineNow) {
	if len(n.Stations) == 0 {
		return
	}
	if slices.ContainsFunc(n.Stations, func(s LineStation) bool { return s.Kg > 0 }) {
		if n.KgLots > 0 {
			a.RestsOn("line.kg-own", answer.Args{"kg": tenth(n.KgSuper, quantity.KgUnit), "lots": int64(n.KgLots)})
		} else {
			a.RestsOn("line.kg-usual", answer.Args{"kg": tenth(n.KgSuper, quantity.KgUnit)})
		}
	}
	t := a.Table("stations", "machine", "supers_h", "used_pct", "rate_from")
	for i, s := range n.Stations {
		mark := answer.Plain
		if i == n.Slowest {
			mark = answer.Care
		}
		var used any
		if s.Used > 0 {
			used = quantity.Percent(100 * s.Used)
		}
		t.Row(mark, string(s.Name), tenth(s.Supers, quantity.Each), used, answer.Key(s.How))
	}
}

func (v *View) stopTable(a *answer.Answer, n LineNow) {
	if len(n.Stops) == 0 {
		return
	}
	t := a.Table("stops", "from", "to", "minutes")
	for _, s := range n.Stops {
		t.Row(answer.Care, s.From, s.To, s.Minutes)
	}
}
