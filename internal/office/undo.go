package office

import (
	"slices"

	"combline/internal/house"
	"combline/internal/record"
)

// UndoFacts are the facts that take back facts first to last, the last one first.
// What others already speak of can't be taken back: that is a refusal.
func (o *Office) UndoFacts(first, last uint64, reason string) (facts []record.Fact, err error) {
	o.Read(func(v *View) { facts, err = v.undoFacts(first, last, reason) })
	return facts, err
}

func (v *View) undoFacts(first, last uint64, reason string) ([]record.Fact, error) {
	var facts []record.Fact
	for seq := last; seq >= first && seq > 0; seq-- {
		if err := v.checkCorrection(Correction{Fact: seq}); err != nil && !v.onlyWithin(err, first, last) {
			return nil, err
		}
		facts = append(facts, &record.Struck{Fact: int64(seq), Reason: reason})
	}
	return facts, nil
}

// onlyWithin reports whether a fact is still needed by no other than those that are
// taken back with it.
func (v *View) onlyWithin(err error, first, last uint64) bool {
	no, ok := err.(*house.Refusal)
	if !ok || no.Key != "refused.still-needed" {
		return false
	}
	code, _ := no.Args["code"].(record.Code)
	t, ok := v.State.Find(code)
	if !ok {
		return false
	}
	for _, seq := range v.State.Mentions(t) {
		if uint64(seq) < first || uint64(seq) > last {
			return false
		}
	}
	return true
}

// OnlyTheirs reports whether a question about what a late entry moves can be answered
// with yes at once: nothing comes on hold by it, and no entry after one speaks of
// what it moves. So it is with the undo of what was just written.
func (v *View) OnlyTheirs(ask house.Ask, after uint64) bool {
	held, _ := ask.Args["held"].(int64)
	moved, _ := ask.Args["moved"].(int64)
	which, _ := ask.Args["which"].([]record.Code)
	if ask.Key != "ask.late" || held > 0 || moved != int64(len(which)) {
		return false
	}
	for _, code := range which {
		if v.spokenOf(code, after) {
			return false
		}
	}
	return true
}

// spokenOf reports whether an entry after one bears a content's code or its vessel's.
func (v *View) spokenOf(code record.Code, after uint64) bool {
	codes := []record.Code{code}
	for _, n := range v.State.RootsOf(code) {
		if c := v.State.Content(n); c.Vessel != "" {
			codes = append(codes, c.Vessel)
		}
	}
	for _, c := range codes {
		t, ok := v.State.Find(c)
		if !ok {
			continue
		}
		if m := v.State.Mentions(t); len(m) > 0 && uint64(slices.Max(m)) > after {
			return true
		}
	}
	return false
}
