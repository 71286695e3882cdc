package office

import (
	"math"
	"slices"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Below this water in the worst comb a stack is spun (common practice, no source); a comb
// read longer ago than a shift says little about now.
var (
	combTarget = quantity.Figure{Mantissa: 180, Decimals: 1, Unit: quantity.Pct}
	combFresh  = quantity.Figure{Mantissa: 12, Unit: quantity.Hour}
)

// fewCombs are too few to find the worst one by: three a site is usual (common practice,
// no source).
const fewCombs = 3

// A CombRead is the water of a comb as it was read, and what that is at 20 °C.
type CombRead struct {
	What  string // key: where it was written down
	When  record.When
	Seq   uint64
	Shown quantity.Figure
	Water quantity.Uncertain
}

// A TypedComb is a reading that is asked about, not written down.
type TypedComb struct {
	Water    quantity.Figure
	Temp     quantity.Figure // of the honey; none: the instrument corrects itself, or nobody knows
	Corrects record.Truth
}

// StackAsk asks whether a lot's supers are dry enough, and how long they must stay.
type StackAsk struct {
	Lot      record.Code
	At       record.When
	Typed    []TypedComb
	Humidity quantity.Figure // of the room's air; none: as it was read
	Target   quantity.Figure // none: the house's rule
}

// combReads lists what was read of a lot's combs while they were in comb, oldest first:
// typed as they went into or came out of the hot room, read of the lot before anything
// was spun, or at the site on the day of the pull or two days before.
func (v *View) combReads(s LoadSheet, until record.When) (all []CombRead) {
	spun := false
	for _, e := range v.Mentions(s.Lot) {
		if e.When.Minute > until.Minute {
			continue
		}
		switch f := e.Fact.(type) {
		case *record.HotRoomEntered:
			all = v.combTyped(all, "ready.read.entered", e, f.Water)
		case *record.HotRoomLeft:
			all = v.combTyped(all, "ready.read.left", e, f.Water)
		case *record.LotRanInto, *record.SupersSpun:
			spun = true
		case *record.ResultRead:
			if !spun && f.Lab == "" && f.Of.Fold() == s.Lot.Fold() {
				for _, r := range f.Results {
					if r.Property == record.Water {
						all = append(all, combOf("ready.read.combs", e, r.Value, f.HoneyTemp, f.SelfRights))
					}
				}
			}
		}
	}
	if len(all) == 0 {
		all = v.siteRead(s)
	}
	slices.SortStableFunc(all, func(a, b CombRead) int { return int(min(1, max(-1, a.When.Minute-b.When.Minute))) })
	return slices.DeleteFunc(all, func(c CombRead) bool { return !c.Water.Known() })
}

func (v *View) combTyped(all []CombRead, key string, e record.Entry, water quantity.Figure) []CombRead {
	if !water.Given() {
		return all
	}
	return append(all, combOf(key, e, water, quantity.Figure{}, record.NotKnown))
}

func combOf(key string, e record.Entry, shown, temp quantity.Figure, corrects record.Truth) CombRead {
	return CombRead{What: key, When: e.When, Seq: e.Seq, Shown: shown, Water: combWater(shown, temp, corrects)}
}

// combWater is what a shown figure is at 20 °C, with its doubt.
func combWater(shown, temp quantity.Figure, corrects record.Truth) quantity.Uncertain {
	w, err := shown.In(quantity.Pct)
	if err != nil || !(w >= 13 && w <= 25) {
		return quantity.Unknown()
	}
	r := Read{Fact: record.ResultRead{HoneyTemp: temp, SelfRights: corrects}}
	value, sd := correctedWater(r, w, honey.WaterGoodHandsSD)
	return quantity.Uncertain{Value: value, Own: sd}
}

// siteRead is the last look at the site's combs before the lot was pulled.
func (v *View) siteRead(s LoadSheet) (all []CombRead) {
	for _, e := range v.Mentions(s.Site) {
		f, ok := e.Fact.(*record.RipenessRead)
		if ok && f.Water.Given() && DayOf(e.When) >= s.Pulled-2 && DayOf(e.When) <= s.Pulled {
			all = append(all, combOf("ready.read.site", e, f.Water, quantity.Figure{}, record.NotKnown))
		}
	}
	return all
}

// worst is the wettest of the readings of the last round: those within a fresh span of the
// latest.
func worst(all []CombRead, fresh float64) (w CombRead, n int, ok bool) {
	if len(all) == 0 {
		return w, 0, false
	}
	last := all[len(all)-1].When.Minute
	for _, c := range all {
		if float64(last-c.When.Minute) > fresh*60 {
			continue
		}
		if n++; n == 1 || c.Water.Value > w.Water.Value {
			w = c
		}
	}
	return w, n, true
}

// A Stack is what is known of a lot in the hot room.
type Stack struct {
	LoadSheet
	Room     record.Code
	InRoom   int64 // boxes in the hot room; 0: none, or nobody wrote it down
	Since    record.When
	Left     record.When // when the last boxes came out, if they did
	Reads    []CombRead
	Worst    CombRead
	Combs    int // read in the last round
	Known    bool
	Now      quantity.Uncertain // the worst comb now
	Air      HotAir
	Target   float64
	Drying   flow.Factor
	Hours    honey.Band[float64] // until the worst comb is at the target
	Never    bool                // this air never brings it there
	Best     float64             // what this air brings it to
	Wets     bool
	Verdict  quantity.Verdict
	Reckoned bool // Hours, Never and Best are worked out
}

// HotAir is a hot room's air as it was last read.
type HotAir struct {
	Temp, Humidity quantity.Figure
	When           record.When
	Read           bool // at least one of them was read
	Typed          bool // the humidity was typed with the question
	Set            quantity.Figure
}

// Stack judges a lot's supers by their worst comb, now.
func (v *View) Stack(ask StackAsk) (s Stack, ok bool) {
	if s.LoadSheet, ok = v.LoadSheet(ask.Lot); !ok {
		return s, false
	}
	v.inHotRoom(&s, ask.At)
	s.Air = v.hotAir(s.Room, ask)
	s.Target = v.combTarget(ask)
	s.Reads = v.combReads(s.LoadSheet, ask.At)
	for _, t := range ask.Typed {
		s.Reads = append(s.Reads, CombRead{What: "ready.read.typed", When: ask.At, Shown: t.Water, Water: combWater(t.Water, t.Temp, t.Corrects)})
	}
	s.Reads = slices.DeleteFunc(s.Reads, func(c CombRead) bool { return !c.Water.Known() })
	fresh := inHours(v.State.Setting("comb.fresh", combFresh))
	if len(ask.Typed) > 0 {
		fresh = 0 // what was read now stands for now
	}
	s.Worst, s.Combs, s.Known = worst(s.Reads, fresh)
	s.Drying = v.drying(DayOf(ask.At))
	if s.Known {
		v.dries(&s, ask.At)
		s.Verdict = quantity.Limit{Value: s.Target}.Judge(s.Now, quantity.UsualRisk)
	}
	return s, true
}

func (v *View) combTarget(ask StackAsk) float64 {
	f := v.State.Setting("comb.target", combTarget)
	if ask.Target.Given() {
		f = ask.Target
	}
	x, err := f.In(quantity.Pct)
	if err != nil || !(x >= 14 && x <= 23) {
		return combTarget.Float()
	}
	return x
}

// inHotRoom finds since when and how many of a lot's boxes stand in the hot room.
func (v *View) inHotRoom(s *Stack, until record.When) {
	var left, over int64
	for _, e := range v.Mentions(s.Lot) {
		if e.When.Minute > until.Minute {
			continue
		}
		switch f := e.Fact.(type) {
		case *record.HotRoomEntered:
			if s.Room == "" {
				s.Room, s.Since = f.Room, e.When
			}
			s.InRoom += f.Boxes
		case *record.HotRoomLeft:
			left += f.Boxes
			s.Left = e.When
		case *record.SupersReceived: // over the scale on the way to the uncapper
			if f.Side != record.BeforeHotRoom && f.Lot.Fold() == s.Lot.Fold() {
				for _, x := range f.Stacks {
					over += x.Boxes
				}
			}
		}
	}
	s.InRoom = max(0, s.InRoom-max(left, over, s.Spun, s.Wet))
}

// hotAir is the last reading of a hot room's air.
func (v *View) hotAir(room record.Code, ask StackAsk) (a HotAir) {
	if t, ok := v.State.Find(room); ok && room != "" {
		for _, e := range v.Mentions(room) {
			f, is := e.Fact.(*record.TemperatureRead)
			if !is || f.Of.Fold() != room.Fold() || e.When.Minute > ask.At.Minute {
				continue
			}
			a.When, a.Read = e.When, true
			if f.Temp.Given() {
				a.Temp = f.Temp
			}
			if f.Humidity.Given() {
				a.Humidity = f.Humidity
			}
		}
		a.Set, _ = v.State.SetTo(t)
	}
	if ask.Humidity.Given() {
		a.Humidity, a.Typed = ask.Humidity, true
	}
	return a
}

// rh is the air's humidity as a share, and whether it is known.
func (a HotAir) rh() (float64, bool) {
	x, err := a.Humidity.In(quantity.Pct)
	return x / 100, err == nil && a.Humidity.Given() && x > 0 && x <= 100
}

// dries takes the worst comb from when it was read to now, and from now to the target, in
// open cells: sealed ones hardly dry.
func (v *View) dries(s *Stack, now record.When) {
	s.Now = s.Worst.Water
	rh, ok := s.Air.rh()
	if !ok {
		return
	}
	if wets, _, err := flow.Wets(quantity.WaterPct(s.Now.Value), rh); err == nil {
		s.Wets = wets
	}
	room, err := flow.EquilibriumWater(min(max(rh, 0.25), 0.80))
	if err != nil {
		return
	}
	s.Best, s.Reckoned = float64(room), true
	since := 0.0
	if s.InRoom > 0 && s.Worst.When.Minute < now.Minute {
		since = float64(now.Minute-s.Worst.When.Minute) / 60
	}
	cell := flow.Cell{Start: quantity.WaterPct(s.Worst.Water.Value), Room: room, DepthM: flow.CellDepthM}
	d := diffusivity(s.Drying)
	ends := [3]float64{d.Low, d.Likely, d.High}
	var then, hours [3]float64
	for i := range ends {
		cell.M2S = ends[i]
		w, err := cell.OpenCell(min(since, 2000))
		h, never := cell.HoursTo(quantity.WaterPct(s.Target))
		if err != nil {
			return
		}
		if s.Never = never != nil; s.Never {
			h = math.NaN()
		}
		then[i], hours[i] = float64(w), max(0, h-since)
	}
	wide := math.Abs(then[0]-then[2]) / 2 / honey.NineInTen
	s.Now = quantity.Uncertain{Value: then[1], Own: math.Hypot(s.Worst.Water.Own, wide)}
	s.Hours = honey.Band[float64]{Low: hours[2], Likely: hours[1], High: hours[0]}
}

// diffusivity is the textbook's, corrected by the house's own past: points of drying go
// with its square root.
func diffusivity(f flow.Factor) honey.Band[float64] {
	return honey.Band[float64]{Low: flow.OpenCellM2S * f.Low * f.Low, Likely: flow.OpenCellM2S * f.Likely * f.Likely, High: flow.OpenCellM2S * f.High * f.High}
}

// dryPrior is how far houses' drying differs from the textbook's, and one lot's from the
// next: with it the diffusivity's band is about that of [flow.Diffusivity].
var dryPrior = flow.Prior{House: 0.25, Each: 0.2}

// drying is what the house's own lots say: points that each lost between going into the
// hot room and coming out, over the textbook's for the same hours and air.
func (v *View) drying(today record.Day) flow.Factor {
	return once(v, "drying "+itoa(int64(today)), func() flow.Factor {
		var ratios []float64
		for _, t := range v.State.OfKind(record.Lot) {
			if r, ok := v.driedBy(v.State.Code(t), today); ok {
				ratios = append(ratios, r)
			}
		}
		f, err := flow.Learn(ratios, dryPrior)
		if err != nil {
			return flow.Factor{Band: honey.Band[float64]{Low: 1, Likely: 1, High: 1}}
		}
		return f
	})
}

// driedBy is one lot's drying over the textbook's. Less than half a point is within the
// readings' doubt, and says nothing.
func (v *View) driedBy(lot record.Code, today record.Day) (ratio float64, ok bool) {
	var in, out CombRead
	var room record.Code
	for _, e := range v.Mentions(lot) {
		switch f := e.Fact.(type) {
		case *record.HotRoomEntered:
			if f.Water.Given() && in.Seq == 0 {
				in, room = combOf("", e, f.Water, quantity.Figure{}, record.NotKnown), f.Room
			}
		case *record.HotRoomLeft:
			if f.Water.Given() {
				out = combOf("", e, f.Water, quantity.Figure{}, record.NotKnown)
			}
		}
	}
	hours := float64(out.When.Minute-in.When.Minute) / 60
	if in.Seq == 0 || out.Seq == 0 || !(hours >= 6 && hours <= 500) || DayOf(out.When) > today || !(in.Water.Value-out.Water.Value >= 0.5) {
		return 0, false
	}
	rh, ok := v.hotAir(room, StackAsk{At: out.When}).rh()
	if !ok {
		return 0, false
	}
	air, err := flow.EquilibriumWater(min(max(rh, 0.25), 0.80))
	if err != nil {
		return 0, false
	}
	book, err := flow.Cell{Start: quantity.WaterPct(in.Water.Value), Room: air, DepthM: flow.CellDepthM, M2S: flow.OpenCellM2S}.OpenCell(hours)
	if err != nil || !(in.Water.Value-float64(book) > 0.01) {
		return 0, false
	}
	return (in.Water.Value - out.Water.Value) / (in.Water.Value - float64(book)), true
}
