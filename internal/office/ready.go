package office

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// ReadyAsk asks whether something is ready for its next step: supers to spin, a tank to
// draw, a soft-set tank to jar.
type ReadyAsk struct {
	Of    record.Code
	At    record.When
	Stack StackAsk
	Draw  DrawAsk
}

// Ready answers by what the code is: a lot's supers, or a tank.
func (v *View) Ready(ask ReadyAsk) answer.Answer {
	t, ok := v.State.Find(ask.Of)
	if !ok {
		return v.notTraced(answer.Answer{Question: "ready", Of: ask.Of}, ask.Of)
	}
	code := v.State.Code(t)
	if odd := ask.odd(); odd != nil {
		return answer.Answer{Question: "ready", Of: code, Cannot: odd}
	}
	if v.State.KindOf(t) == record.Lot {
		ask.Stack.Lot, ask.Stack.At = code, ask.At
		return v.ReadyStack(ask.Stack)
	}
	st, ok := v.StandOf(code)
	if !ok {
		a := answer.Answer{Question: "ready", Of: code}
		a.Cannot = &answer.Line{Key: "ready.not-of", Args: answer.Args{"of": code, "kind": answer.Key(v.State.KindOf(t).Key())}}
		return a
	}
	if s, ok := v.SoftTank(SeedAsk{Tank: st.Code, At: ask.At}); ok && s.Seeded != nil {
		a := v.Seed(SeedAsk{Tank: st.Code, At: ask.At})
		a.Question = "ready"
		return a
	}
	ask.Draw.Tank, ask.Draw.At = code, ask.At
	return v.ReadyTank(ask.Draw)
}

// ReadyAll answers for all that waits: the lots in the hot rooms and the tanks in which
// honey settles or sets.
func (v *View) ReadyAll(now record.When) answer.Answer {
	a := answer.Answer{Question: "ready"}
	v.hotRoomTable(&a, now)
	var tanks *answer.Table
	for _, st := range v.Waits(now) {
		if tanks == nil {
			tanks = a.Table("tanks-ready", "tank", "lots", "filled", "ready_at", "state")
		}
		v.tankRow(tanks, st, now)
	}
	if len(a.Tables) == 0 {
		a.Say("ready.nothing", nil)
	}
	v.restsOnRecord(&a)
	return a
}

func (v *View) softNow(st Stand, now record.When) bool {
	s, ok := v.SoftTank(SeedAsk{Tank: st.Code, At: now})
	return ok && s.Seeded != nil
}

func (v *View) tankRow(t *answer.Table, st Stand, now record.When) {
	if s, ok := v.SoftTank(SeedAsk{Tank: st.Code, At: now}); ok && s.Seeded != nil {
		key, mark := "ready.state.sets", answer.Care
		if s.Cooled != (record.When{}) && now.Minute >= s.SetFrom.Minute {
			key, mark = "ready.state.jar", answer.Good
		}
		t.Row(mark, st.Code, v.originsIn(st.Content), whenOrNil(s.SeededAt), whenOrNil(s.SetFrom), answer.Key(key))
		return
	}
	s, _ := v.Settling(DrawAsk{Tank: st.Code, At: now})
	key, mark, when := "ready.state.cannot", answer.Care, any(nil)
	if s.Reckoned {
		when = later2(s.Filled, s.Clear.Likely)
		key = "ready.state.settles"
		if stood := float64(now.Minute-s.Filled.Minute) / 60; stood >= s.Clear.High {
			key, mark = "ready.state.draw", answer.Good
		}
	}
	t.Row(mark, st.Code, v.originsIn(st.Content), s.Filled, when, answer.Key(key))
}

// originsIn are the lots and deliveries that a content is from.
func (v *View) originsIn(c house.Content) any {
	var all []record.Code
	for _, p := range v.State.Graph().Parts(c.Node) {
		all = withCode(all, v.State.Code(v.State.OriginOf(p.Origin).Of))
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

// Waits lists the tanks in which honey settles or sets.
func (v *View) Waits(now record.When) (all []Stand) {
	for _, st := range v.Floor() {
		if !st.Empty && st.Shape == record.Tank && (v.State.RanIn(st.Content.Node) || v.softNow(st, now)) {
			all = append(all, st)
		}
	}
	return all
}
