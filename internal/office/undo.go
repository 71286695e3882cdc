package office

import (
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
