package office

import (
	"encoding/json"
	"strconv"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/yard"
)

// History lists every fact that bears a code, in the order of folding, with what
// each says and its corrections.
func (o *Office) History(code record.Code) (a answer.Answer) {
	o.Read(func(v *View) { a = v.History(code) })
	return a
}

// History is [Office.History] on a view.
func (v *View) History(code record.Code) answer.Answer {
	a, _ := v.HistoryPart(code, func(n int) (int, int) { return 0, n })
	return a
}

// HistoryPart is a history of which only some facts are written out: part is given how
// many there are, and says the first and the one after the last.
func (v *View) HistoryPart(code record.Code, part func(n int) (int, int)) (a answer.Answer, n int) {
	a = answer.Answer{Question: "history", Of: v.properCode(code)}
	t, ok := v.State.Find(code)
	if !ok {
		return v.notTraced(a, code), 0
	}
	table := a.Table("facts", "fact", "when", "kind", "says", "person", "corrected_by")
	corrected := map[uint64]uint64{}
	for _, c := range v.State.Corrections() {
		corrected[c.Of] = c.By
	}
	mentions := v.State.Mentions(t)
	from, to := part(len(mentions))
	for _, seq := range mentions[from:to] {
		e, err := v.Fact(uint64(seq))
		if err != nil {
			continue
		}
		var by any
		mark := answer.Plain
		if c := corrected[e.Seq]; c != 0 {
			by, mark = int64(c), answer.Care
		}
		table.Row(mark, int64(e.Seq), e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), e.Person, by)
	}
	return a, len(mentions)
}

// Says is a fact's fields in one line, for lists.
func Says(f record.Fact) json.RawMessage { return record.JSON(f) }

// machinesAfter lists the machines that touched lots went through and what ran
// through them since.
func (t *tracer) machinesAfter(lots []yard.TouchedLot) {
	v := t.v
	table := t.a.Table("machines", "machine", "what", "lot", "when", "fact")
	certain := map[string]bool{}
	for _, l := range lots {
		certain[l.Lot.Fold()] = l.Certain
	}
	ran := map[uint32]runThrough{} // one fact names all machines of a line
	if k := v.memo; k != nil {
		k.ranMu.Lock()
		defer k.ranMu.Unlock()
		if k.ran == nil {
			k.ran = ran
		}
		ran = k.ran
	}
	for _, m := range v.State.OfKind(record.Machine) {
		named, _ := v.State.Named(m).(*record.MachineNamed)
		on := false
		for _, seq := range v.State.Mentions(m) {
			e, known := ran[seq]
			if !known {
				e = v.runThrough(uint64(seq))
				ran[seq] = e
			}
			lot := e.lot
			if lot == "" {
				continue
			}
			sure, is := certain[lot.Fold()]
			on = on || is
			if !on || t.isFull(table) { // from the first touched lot on, everything that ran
				continue
			}
			mark := answer.Care
			if sure {
				mark = answer.Bad
			}
			table.Row(mark, v.State.Code(m), textOrNil(named.What), lot, e.when, int64(seq))
		}
	}
}

// A runThrough is when a lot ran through a machine; no lot: the fact says nothing of it.
type runThrough struct {
	lot  record.Code
	when record.When
}

func (v *View) runThrough(seq uint64) (r runThrough) {
	if e, err := v.Fact(seq); err == nil {
		r = runThrough{lotOf(e.Fact), e.When}
	}
	return r
}

// lotOf is the lot that a fact about a machine is for.
func lotOf(f record.Fact) record.Code {
	switch f := f.(type) {
	case *record.SupersSpun:
		return f.Lot
	case *record.CappingsSpun:
		return f.Lot
	case *record.WaxCast:
		return f.Lot
	case *record.MelterHoneyDrawn:
		return f.Lot
	case *record.LotRanInto:
		return f.Lot
	}
	return ""
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
