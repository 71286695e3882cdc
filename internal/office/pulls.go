package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/yard"
)

// What a round of pulls is planned with, where the house set nothing (common practice, no
// source: houses pull at 75 to 90 % capped and under 18 % of water, and warm a stack
// through for 24 to 48 hours).
var (
	pullCapped = quantity.Figure{Mantissa: 80, Unit: quantity.Pct}
	pullWater  = quantity.Figure{Mantissa: 180, Decimals: 1, Unit: quantity.Pct}
	pullFresh  = quantity.Figure{Mantissa: 5, Unit: quantity.Day}   // a look at the combs that is older says little
	pullWarm   = quantity.Figure{Mantissa: 36, Unit: quantity.Hour} // in the hot room
	pullHours  = quantity.Figure{Mantissa: 8, Unit: quantity.Hour}  // of spinning a day
	pullRate   = quantity.Figure{Mantissa: 35, Unit: quantity.Each} // boxes an hour, where the house has not spun yet
	pullFar    = quantity.Figure{Mantissa: 60, Unit: quantity.Minute}
)

// A Turn is one site in the order of pulls.
type Turn struct {
	yard.Site
	Pull  yard.Pull
	Ripe  record.Truth
	SetBy record.Day // the crop sets in the comb from then on; 0: not known
	Free  record.Day // when nothing written down forbids it any more; 0: can't be said
	Why   answer.Line
	Order int // group: 0 first
	On    record.Day
	Spin  record.Day // its last boxes are spun
	Loads int64      // of the hot room
	Hours float64    // of spinning
}

// The groups in which sites come.
const (
	turnReady  = iota // may be pulled, and is ripe
	turnLook          // somebody must ask or look first
	turnUnripe        // not ripe by its last reading
	turnStop          // may not be pulled
	turnEmpty         // no boxes on
)

// A Round is the sites in the order in which they are best pulled.
type Round struct {
	Turns  []Turn
	Day    record.Day
	Room   int64 // boxes that the hot rooms take; 0: nobody wrote it down
	InRoom int64 // boxes in the house that are not spun yet
	Rate   float64
	Lots   int // of the house's own, that the rate is from
	Free   record.Day
}

// Round puts the sites in order: what may be pulled and is ripe before what somebody must
// ask about or look at first; within that, crops that set in the comb soon before others,
// the riper before the less ripe, the nearer before the farther. Then each gets its day:
// the hot room holds one lot at a time, and the next comes when it is spun.
func (v *View) Round(day record.Day) Round {
	r := Round{Day: day, Rate: v.State.Setting("pull.rate", pullRate).Float()}
	if own, lots := v.spinRate(day); lots > 0 {
		r.Rate, r.Lots = own, lots
	}
	for _, t := range v.State.OfKind(record.Place) {
		if p, ok := v.State.Named(t).(*record.PlaceNamed); ok && p.For == record.HotRoom {
			r.Room += p.Capacity
		}
	}
	for _, s := range v.LoadSheets(day) {
		if l, ok := v.State.Yard.Lot(s.Lot); ok {
			r.InRoom += max(0, l.Pulled-max(l.Spun, l.Wet))
		}
	}
	for _, p := range v.State.Yard.Pulls(day) {
		s, _ := v.State.Yard.Site(p.Site)
		r.Turns = append(r.Turns, v.turn(Turn{Site: s, Pull: p}, day))
	}
	slices.SortStableFunc(r.Turns, before)
	v.days(&r)
	return r
}

// turn judges one site.
func (v *View) turn(t Turn, day record.Day) Turn {
	t.Ripe = v.ripe(t.Site, day)
	if n := t.About.SetsAfter; n.Given() && t.Ripe != record.NotKnown {
		t.SetBy = t.RipeAt.Day() + record.Day(inDays(n))
	}
	args := answer.Args{"site": t.Code, "capped": figureOrNil(t.Capped), "water": figureOrNil(t.Water), "when": whenOrNil(t.RipeAt.When),
		"least": v.State.Setting("pull.capped", pullCapped), "most": v.State.Setting("pull.water", pullWater), "day": dayOrNil(t.SetBy)}
	switch {
	case t.Known == record.Yes && t.OnHives == 0:
		t.Order, t.Why = turnEmpty, answer.Line{Key: "pulls.empty", Args: args}
	case t.Pull.Allowed == record.No:
		t.Free = v.FreeFrom(t.Code, day)
		t.Order, t.Why = turnStop, answer.Line{Key: t.firstNo(), Args: args}
	case t.Ripe == record.No:
		t.Order, t.Why = turnUnripe, answer.Line{Key: "pulls.unripe", Args: args}
	case t.Pull.Allowed == record.NotKnown:
		t.Order, t.Why = turnLook, answer.Line{Key: t.firstNo(), Args: args}
	case t.Ripe == record.NotKnown:
		t.Order, t.Why = turnLook, answer.Line{Key: "pulls.look", Args: args}
	case t.SetBy != 0:
		t.Why = answer.Line{Key: "pulls.sets", Args: args}
	default:
		t.Why = answer.Line{Key: "pulls.ripe", Args: args}
	}
	return t
}

// firstNo is the reason that decides against.
func (t Turn) firstNo() string {
	for _, r := range t.Pull.Reasons {
		if r.Allowed == t.Pull.Allowed {
			return r.Key
		}
	}
	return yard.PullSiteUnknown
}

// ripe says whether a site is ripe by what was read there: not known without a fresh
// look, no where any figure breaks its line, yes where one keeps it.
func (v *View) ripe(s yard.Site, day record.Day) record.Truth {
	fresh := record.Day(v.State.Setting("pull.fresh", pullFresh).Float())
	if s.RipeAt == (yard.Stamp{}) || s.RipeAt.Day() < day-fresh || s.RipeAt.Day() > day {
		return record.NotKnown
	}
	is := record.NotKnown
	if s.Capped.Given() {
		is = truth(s.Capped.Float() >= v.State.Setting("pull.capped", pullCapped).Float())
	}
	if s.Water.Given() && is != record.No {
		is = truth(s.Water.Float() <= v.State.Setting("pull.water", pullWater).Float())
	}
	return is
}

func truth(b bool) record.Truth {
	if b {
		return record.Yes
	}
	return record.No
}

// before orders two turns.
func before(a, b Turn) int {
	return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(soonest(a.SetBy), soonest(b.SetBy)), cmp.Compare(soonest(a.Free), soonest(b.Free)),
		-cmp.Compare(a.Capped.Float(), b.Capped.Float()), cmp.Compare(drive(a.Site), drive(b.Site)), cmp.Compare(natural(a.Code), natural(b.Code)))
}

// soonest puts a day that is not known behind all others.
func soonest(d record.Day) record.Day {
	if d == 0 {
		return math.MaxInt32
	}
	return d
}

func drive(s yard.Site) float64 {
	if m, err := s.About.Drive.In(quantity.Minute); err == nil && s.About.Drive.Given() {
		return m
	}
	return math.MaxFloat64
}

func inDays(f quantity.Figure) float64 {
	d, err := f.In(quantity.Day)
	if err != nil {
		return 0
	}
	return d
}

func inHours(f quantity.Figure) float64 {
	h, err := f.In(quantity.Hour)
	if err != nil {
		return 0
	}
	return h
}

// days gives each site that could be pulled its day. What stands in the house is spun
// first; a lot that is more than the hot room takes goes through in loads.
func (v *View) days(r *Round) {
	warm := min(max(0, inHours(v.State.Setting("pull.warm", pullWarm))), 240)
	work := min(inHours(v.State.Setting("pull.hours", pullHours)), 24)
	if !(r.Rate >= 1) || !(work >= 0.5) { // no house is so slow
		return
	}
	at := r.Day // the hot room is free
	if r.InRoom > 0 {
		at += record.Day(math.Ceil(float64(r.InRoom)/r.Rate/work)) - 1
	}
	r.Free = at
	for i := range r.Turns {
		t := &r.Turns[i]
		if t.Order > turnLook || t.Known != record.Yes || t.OnHives <= 0 {
			continue
		}
		t.Loads, t.Hours, t.On = 1, float64(t.OnHives)/r.Rate, at
		if r.Room > 0 {
			t.Loads = (t.OnHives + r.Room - 1) / r.Room
		}
		for range t.Loads { // each load is warmed through, then spun; the room empties meanwhile
			at += record.Day(math.Ceil(warm/24) + math.Ceil(t.Hours/float64(t.Loads)/work) - 1)
		}
		t.Spin = at
	}
}

// mostRates is how many lots, the latest, a house's own rate is from.
const mostRates = 40

// spinRate is the house's own boxes an hour: over the lots of the last two years, how
// many went over the scale on their way to the extractor between the first and the last
// weighing, the middle lot of them. A lot of fewer than four weighings says nothing.
func (v *View) spinRate(today record.Day) (rate float64, lots int) {
	type own struct {
		rate float64
		n    int
	}
	o := once(v, "spin rate "+itoa(int64(today)), func() own {
		var rates []float64
		for _, t := range slices.Backward(v.State.OfKind(record.Lot)) {
			l, ok := v.State.Lot(t)
			if !ok || l.Opened.Pulled < today-2*yard.RecordDays {
				continue
			}
			if len(rates) == mostRates {
				break
			}
			if r := v.lotRate(v.State.Code(t)); r > 0 {
				rates = append(rates, r)
			}
		}
		slices.Sort(rates)
		if len(rates) == 0 {
			return own{}
		}
		return own{rates[len(rates)/2], len(rates)}
	})
	return o.rate, o.n
}

func (v *View) lotRate(lot record.Code) float64 {
	type dayOf struct{ first, last, boxes, lastBoxes, n int64 }
	days := map[record.Day]*dayOf{}
	for _, e := range v.Mentions(lot) {
		f, ok := e.Fact.(*record.SupersReceived)
		if !ok || f.Side == record.BeforeHotRoom || f.Lot.Fold() != lot.Fold() || e.When.Precision == record.ToDay {
			continue
		}
		d := days[DayOf(e.When)]
		if d == nil {
			d = &dayOf{first: e.When.Minute}
			days[DayOf(e.When)] = d
		}
		var n int64
		for _, s := range f.Stacks {
			n += s.Boxes
		}
		d.last, d.boxes, d.lastBoxes, d.n = max(d.last, e.When.Minute), d.boxes+n, n, d.n+1
	}
	var boxes, minutes int64
	for _, d := range days {
		if d.n >= 4 && d.last > d.first { // the last stack is still to be spun when it is weighed
			boxes, minutes = boxes+d.boxes-d.lastBoxes, minutes+d.last-d.first
		}
	}
	if minutes < 60 {
		return 0
	}
	return float64(boxes) / float64(minutes) * 60
}

// Pulls answers which sites are pulled first.
func (v *View) Pulls(day record.Day) answer.Answer {
	a := answer.Answer{Question: "pulls"}
	r := v.Round(day)
	if len(r.Turns) == 0 {
		a.Cannot = &answer.Line{Key: "pulls.no-site"}
		return a
	}
	v.pullsSaid(&a, r)
	t := a.Table("pulls", "turn", "site", "answer", "because", "boxes", "capped", "water", "looked_at", "sets_by", "drive", "pull_on", "spun_by", "spin_h", "loads")
	n := int64(0)
	for _, x := range r.Turns {
		var turn, on, spin, h, loads, boxes any
		mark := pullMarks[x.Pull.Allowed]
		if x.Order <= turnLook {
			n++
			turn = n
		}
		if x.Order == turnUnripe || x.Order == turnLook {
			mark = answer.Care
		}
		if x.On != 0 {
			on, spin, h, loads = x.On, x.Spin, tenth(x.Hours, quantity.Hour), x.Loads
		}
		if x.Known == record.Yes {
			boxes = x.OnHives
		}
		if x.Order == turnEmpty {
			mark = answer.Plain
		}
		t.Row(mark, turn, x.Code, pullKeys[x.Pull.Allowed], x.Why, boxes, figureOrNil(x.Capped), figureOrNil(x.Water), whenOrNil(x.RipeAt.When), dayOrNil(x.SetBy), figureOrNil(x.About.Drive), on, spin, h, loads)
	}
	for _, x := range r.Turns {
		switch {
		case x.Order == turnStop && x.Free != 0:
			a.Then("next.pull.from", answer.Args{"site": x.Code, "day": x.Free})
		case x.Order == turnStop:
			a.Then("next.pull.see", answer.Args{"site": x.Code})
		}
	}
	v.farTogether(&a, r)
	a.Follows("follows.pulls", answer.Args{"capped": v.State.Setting("pull.capped", pullCapped), "water": v.State.Setting("pull.water", pullWater),
		"fresh": v.State.Setting("pull.fresh", pullFresh), "warm": v.State.Setting("pull.warm", pullWarm), "hours": v.State.Setting("pull.hours", pullHours)})
	v.restsOnRecord(&a)
	return a
}

func (v *View) pullsSaid(a *answer.Answer, r Round) {
	counts := map[int]int64{}
	for _, t := range r.Turns {
		counts[t.Order]++
	}
	a.Say("pulls.count", answer.Args{"day": r.Day, "ready": counts[turnReady], "look": counts[turnLook], "unripe": counts[turnUnripe], "stop": counts[turnStop]})
	if counts[turnReady] > 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "pulls.first", Args: answer.Args{"site": r.Turns[0].Code}, Mark: answer.Good})
	} else if counts[turnLook] > 0 {
		a.Warn("pulls.look-first", answer.Args{"site": r.Turns[0].Code})
	}
	if r.InRoom > 0 {
		a.Warn("pulls.in-room", answer.Args{"boxes": r.InRoom, "day": r.Free})
	}
	if r.Room == 0 {
		a.Warn("pulls.no-room", nil)
	} else {
		a.RestsOn("pulls.room", answer.Args{"boxes": r.Room})
	}
	if r.Lots > 0 {
		a.RestsOn("pulls.rate-own", answer.Args{"rate": tenth(r.Rate, quantity.Each), "lots": int64(r.Lots)})
	} else {
		a.RestsOn("pulls.rate-set", answer.Args{"rate": tenth(r.Rate, quantity.Each)})
	}
}

// farTogether names sites that are far and could go on one trip.
func (v *View) farTogether(a *answer.Answer, r Round) {
	far := drive(yard.Site{About: yard.Description{Drive: v.State.Setting("pull.far", pullFar)}})
	var all []record.Code
	for _, t := range r.Turns {
		if t.Order <= turnLook && t.About.Drive.Given() && drive(t.Site) >= far {
			all = append(all, t.Code)
		}
	}
	if len(all) > 1 {
		a.Then("next.pulls.far", answer.Args{"sites": all, "far": v.State.Setting("pull.far", pullFar)})
	}
}

func figureOrNil(f quantity.Figure) any {
	if !f.Given() {
		return nil
	}
	return f
}

// tenth is a reckoned figure to one decimal.
func tenth(x float64, u quantity.Unit) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10 * x)), Decimals: 1, Unit: u}
}
