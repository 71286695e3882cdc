package office

import (
	"combline/internal/answer"
	"combline/internal/flow"
	"combline/internal/quantity"
	"combline/internal/record"
)

// ReadyStack answers whether a lot's supers are dry enough to spin, and how long they must
// still stay in the hot room.
func (v *View) ReadyStack(ask StackAsk) answer.Answer {
	a := answer.Answer{Question: "ready", Of: ask.Lot}
	s, ok := v.Stack(ask)
	if !ok {
		return v.notTraced(a, ask.Lot)
	}
	a.Of = s.Lot
	v.stackVerdict(&a, s)
	v.stackHours(&a, s, ask.At)
	v.stackRoom(&a, s, ask.At)
	v.combTable(&a, s)
	v.hotRoomTable(&a, ask.At)
	a.Follows("follows.comb-drying", answer.Args{"target": tenth(s.Target, quantity.Pct), "shift": v.State.Setting("comb.fresh", combFresh)})
	v.restsOnRecord(&a)
	return a
}

func (v *View) stackVerdict(a *answer.Answer, s Stack) {
	target := tenth(s.Target, quantity.Pct)
	done := s.Boxes > 0 && max(s.Spun, s.Wet) >= s.Boxes
	if done {
		a.Say("ready.spun", answer.Args{"lot": s.Lot, "boxes": s.Boxes, "when": whenOrNil(s.Left)})
	}
	if !s.Known {
		if !done {
			a.Cannot = &answer.Line{Key: "ready.unread", Args: answer.Args{"lot": s.Lot}}
			a.Then("next.ready.read", answer.Args{"lot": s.Lot, "combs": int64(fewCombs)})
		}
		return
	}
	args := banded(answer.Args{"lot": s.Lot, "target": target}, s.Now, quantity.Pct)
	switch s.Verdict {
	case quantity.Pass:
		a.Lines = append(a.Lines, answer.Line{Key: "ready.dry", Args: args, Mark: answer.Good})
		if !done {
			a.Then("next.ready.spin", answer.Args{"lot": s.Lot})
		}
	case quantity.Fail:
		a.Lines = append(a.Lines, answer.Line{Key: "ready.wet", Args: args, Mark: answer.Bad})
	default:
		a.Warn("ready.close", args)
		a.Then("next.ready.more", answer.Args{"lot": s.Lot})
	}
	if s.Combs < fewCombs && !done {
		a.Warn("ready.few", answer.Args{"n": int64(s.Combs), "least": int64(fewCombs)})
	}
	if s.Worst.What == "ready.read.site" {
		a.Warn("ready.at-site", answer.Args{"site": s.Site, "when": s.Worst.When})
	}
}

// stackHours says how long it must stay, by the textbook and by the house's own past.
func (v *View) stackHours(a *answer.Answer, s Stack, now record.When) {
	if s.Since != (record.When{}) && s.InRoom > 0 {
		in := float64(now.Minute-s.Since.Minute) / 60
		a.Say("ready.in-room", answer.Args{"boxes": s.InRoom, "room": s.Room, "since": s.Since, "hours": tenth(in, quantity.Hour)})
		if warm := inHours(v.State.Setting("pull.warm", pullWarm)); in < warm {
			a.Warn("ready.not-warm", answer.Args{"hours": tenth(warm-in, quantity.Hour), "warm": v.State.Setting("pull.warm", pullWarm)})
		}
	}
	if !s.Known || s.Verdict == quantity.Pass {
		return
	}
	switch {
	case s.Wets:
		a.Lines = append(a.Lines, answer.Line{Key: "ready.wets", Args: answer.Args{"humidity": s.Air.Humidity, "water": tenth(s.Now.Value, quantity.Pct)}, Mark: answer.Bad})
		a.Then("next.ready.drier", nil)
	case !s.Reckoned:
		a.Warn("ready.no-humidity", answer.Args{"room": orNil(s.Room)})
		a.Then("next.ready.humidity", answer.Args{"room": orNil(s.Room)})
	case s.Never:
		a.Lines = append(a.Lines, answer.Line{Key: "ready.never", Args: answer.Args{"best": tenth(s.Best, quantity.Pct), "target": tenth(s.Target, quantity.Pct), "humidity": s.Air.Humidity}, Mark: answer.Bad})
		a.Then("next.ready.drier", nil)
	case s.Hours.Likely < 0.05:
		a.Say("ready.by-now", answer.Args{"target": tenth(s.Target, quantity.Pct), "when": s.Worst.When, "read": tenth(s.Worst.Water.Value, quantity.Pct)})
		v.ownDrying(a, s, now)
		a.Then("next.ready.read-again", nil)
	default:
		a.Say("ready.hours", answer.Args{"low": tenth(s.Hours.Low, quantity.Hour), "likely": tenth(s.Hours.Likely, quantity.Hour), "high": tenth(s.Hours.High, quantity.Hour),
			"when": later2(now, s.Hours.Likely), "target": tenth(s.Target, quantity.Pct)})
		v.ownDrying(a, s, now)
		a.Then("next.ready.read-again", nil)
		v.waterOff(a, s)
	}
}

// later2 is a moment some hours on.
func later2(now record.When, hours float64) any {
	if !(hours >= 0 && hours < 24*365) {
		return nil
	}
	now.Minute += int64(hours*60 + 0.5)
	return now
}

// ownDrying says what the house's own lots changed about the textbook.
func (v *View) ownDrying(a *answer.Answer, s Stack, now record.When) {
	f := s.Drying
	if f.Seen == 0 {
		a.RestsOn("ready.textbook", nil)
		return
	}
	since := 0.0
	if s.InRoom > 0 {
		since = float64(now.Minute-s.Worst.When.Minute) / 60
	}
	cell := flow.Cell{Start: quantity.WaterPct(s.Worst.Water.Value), Room: quantity.WaterPct(s.Best), DepthM: flow.CellDepthM, M2S: flow.OpenCellM2S}
	if h, err := cell.HoursTo(quantity.WaterPct(s.Target)); err == nil {
		a.RestsOn("ready.own", answer.Args{"lots": int64(f.Seen), "times": tenth(f.Likely, quantity.Each), "book": tenth(max(0, h-since), quantity.Hour)})
	}
}

// waterOff says what weight the drying takes, where the lot was weighed before it.
func (v *View) waterOff(a *answer.Answer, s Stack) {
	t, ok := v.State.Find(s.Lot)
	l, is := v.State.Lot(t)
	if !ok || !is || l.Side != record.BeforeHotRoom || s.GrossIn <= 0 || s.Wet > 0 {
		return
	}
	// about two thirds of a full super is honey (common practice, no source)
	kg, err := flow.WaterToRemove(float64(s.GrossIn)/1000*2/3, quantity.WaterPct(s.Now.Value), quantity.WaterPct(min(s.Target, s.Now.Value)))
	if err == nil && kg >= 0.5 {
		a.Say("ready.loses", answer.Args{"kg": tenth(kg, quantity.KgUnit)})
	}
}

// stackRoom says what the room's warmth does to the combs and how old its reading is.
func (v *View) stackRoom(a *answer.Answer, s Stack, now record.When) {
	air := s.Air
	if air.Typed {
		a.RestsOn("ready.air-typed", answer.Args{"humidity": air.Humidity})
	}
	temp := air.Temp
	if days := (now.Minute - air.When.Minute) / minutesADay; air.Read && !air.Typed && days >= 1 && s.InRoom > 0 {
		a.Warn("ready.air-old", answer.Args{"days": days})
		a.Then("next.ready.humidity", answer.Args{"room": orNil(s.Room)})
	}
	switch {
	case air.Read:
		a.RestsOn("ready.air", answer.Args{"room": s.Room, "temp": figureOrNil(air.Temp), "humidity": figureOrNil(air.Humidity), "when": air.When})
	case air.Set.Given():
		temp = air.Set
		a.RestsOn("ready.air-set", answer.Args{"room": s.Room, "temp": air.Set})
	}
	c, err := temp.Celsius()
	if err != nil || !temp.Given() {
		return
	}
	switch heat, _ := flow.CombSafety(c); heat {
	case flow.CombOver:
		a.Lines = append(a.Lines, answer.Line{Key: "ready.comb-over", Args: answer.Args{"temp": temp}, Mark: answer.Bad})
	case flow.CombAlarm:
		a.Warn("ready.comb-alarm", answer.Args{"temp": temp})
	case flow.CombCool:
		a.Warn("ready.comb-cool", answer.Args{"temp": temp})
	}
}

func (v *View) combTable(a *answer.Answer, s Stack) {
	if len(s.Reads) == 0 {
		return
	}
	t := a.Table("combs", "when", "what", "comb_read", "water", "low", "high")
	for _, c := range s.Reads {
		mark := answer.Plain
		if s.Known && c.When == s.Worst.When && c.Seq == s.Worst.Seq && c.Water.Value == s.Worst.Water.Value {
			mark = answer.Care
		}
		low, high := c.Water.Band9in10()
		t.Row(mark, c.When, answer.Key(c.What), c.Shown, tenth(c.Water.Value, quantity.Pct), tenth(low, quantity.Pct), tenth(high, quantity.Pct))
	}
}

// hotRoomTable lists what stands in the hot rooms now: who waits for whom.
func (v *View) hotRoomTable(a *answer.Answer, now record.When) {
	all := v.HotRoom(now)
	if len(all) == 0 {
		return
	}
	t := a.Table("hot-room", "lot", "place", "boxes", "since", "water", "ready_in", "state")
	var in, room int64
	for _, s := range all {
		var water, ready any
		if s.Known {
			water = tenth(s.Now.Value, quantity.Pct)
		}
		if s.Reckoned && !s.Never {
			ready = tenth(s.Hours.Likely, quantity.Hour)
		}
		in += s.InRoom
		key, mark := stackState(s)
		t.Row(mark, s.Lot, s.Room, s.InRoom, s.Since, water, ready, answer.Key(key))
	}
	if room = v.hotRoomHolds(); room > 0 {
		a.RestsOn("ready.places", answer.Args{"in": in, "room": room, "free": max(0, room-in)})
	}
}

func stackState(s Stack) (string, answer.Mark) {
	switch {
	case !s.Known:
		return "ready.state.unread", answer.Care
	case s.Verdict == quantity.Pass:
		return "ready.state.dry", answer.Good
	case s.Verdict == quantity.Fail:
		return "ready.state.wet", answer.Bad
	}
	return "ready.state.close", answer.Care
}

func (v *View) hotRoomHolds() (holds int64) {
	for _, t := range v.State.OfKind(record.Place) {
		if p, ok := v.State.Named(t).(*record.PlaceNamed); ok && p.For == record.HotRoom {
			holds += p.Capacity
		}
	}
	return holds
}

// HotRoom lists the lots whose supers stand in a hot room, the earliest in first.
func (v *View) HotRoom(now record.When) (all []Stack) {
	sheets := v.LoadSheets(DayOf(now))
	for i := len(sheets) - 1; i >= 0; i-- {
		if s, ok := v.Stack(StackAsk{Lot: sheets[i].Lot, At: now}); ok && s.InRoom > 0 {
			all = append(all, s)
		}
	}
	return all
}

// banded adds a figure with its 9 in 10 band.
func banded(args answer.Args, u quantity.Uncertain, unit quantity.Unit) answer.Args {
	low, high := u.Band9in10()
	args["likely"], args["low"], args["high"] = tenth(u.Value, unit), tenth(low, unit), tenth(high, unit)
	return args
}
