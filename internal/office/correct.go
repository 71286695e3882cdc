package office

import (
	"context"
	"fmt"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// A Correction puts something in the place of an earlier fact.
type Correction struct {
	Fact   uint64
	With   record.Fact // nil: the fact did not happen
	When   record.When // zero: as the earlier fact says
	Reason string
}

// Draft makes the facts of a correction.
func (c Correction) draft() (record.Fact, error) {
	if c.With == nil {
		return &record.Struck{Fact: int64(c.Fact), Reason: c.Reason}, nil
	}
	b, err := record.Marshal(c.With)
	return &record.Amended{Fact: int64(c.Fact), With: b, When: c.When, Reason: c.Reason}, err
}

// CorrectionDraft is the draft that records a correction; Preview shows what it
// would move, Submit records it.
func (o *Office) CorrectionDraft(c Correction) (house.Draft, error) {
	var err error
	o.Read(func(v *View) { err = v.checkCorrection(c) })
	if err != nil {
		return house.Draft{}, err
	}
	f, err := c.draft()
	return house.Draft{When: record.At(o.now()), Facts: []record.Fact{f}}, err
}

// checkCorrection refuses what a correction can't be.
func (v *View) checkCorrection(c Correction) error {
	e, err := v.Fact(c.Fact)
	if err != nil {
		return &house.Refusal{Key: "refused.no-such-fact", Args: answer.Args{"fact": int64(c.Fact), "last": int64(v.Facts())}, Next: "next.type-again"}
	}
	switch e.Fact.(type) {
	case *record.Amended, *record.Struck: // the first fact is corrected again instead
		return &house.Refusal{Key: "refused.correct-a-correction", Args: answer.Args{"fact": int64(c.Fact), "of": int64(corrects(e.Fact))}, Next: "next.type-again"}
	}
	if c.With == nil {
		return v.stillNeeded(e)
	}
	if c.With.Kind() != e.Fact.Kind() {
		return &house.Refusal{Key: "refused.other-kind", Args: answer.Args{"fact": int64(c.Fact), "kind": answer.Key(e.Fact.Kind().Key()), "with": answer.Key(c.With.Kind().Key())}, Next: "next.strike-and-write"}
	}
	if !slices.Equal(newCodes(e.Fact), newCodes(c.With)) {
		return &house.Refusal{Key: "refused.renamed", Args: answer.Args{"fact": int64(c.Fact)}, Next: "next.strike-and-write"}
	}
	return nil
}

func corrects(f record.Fact) uint64 {
	switch f := f.(type) {
	case *record.Amended:
		return uint64(f.Fact)
	case *record.Struck:
		return uint64(f.Fact)
	}
	return 0
}

func newCodes(f record.Fact) (all []string) {
	record.Names(f, func(c record.Code, fresh bool, _ []record.Entity) {
		if fresh {
			all = append(all, c.Fold())
		}
	})
	return all
}

// stillNeeded refuses to strike a fact that named something which others speak of.
func (v *View) stillNeeded(e record.Entry) error {
	var err error
	record.Names(e.Fact, func(c record.Code, fresh bool, _ []record.Entity) {
		t, ok := v.State.Find(c)
		if !fresh || !ok || err != nil {
			return
		}
		for _, seq := range v.State.Mentions(t) {
			if uint64(seq) != e.Seq {
				err = &house.Refusal{Key: "refused.still-needed", Args: answer.Args{"fact": int64(e.Seq), "code": c, "by": int64(seq)}, Next: "next.strike-later-first"}
				return
			}
		}
	})
	return err
}

// Preview shows what a draft would move, without recording anything: contents whose
// grams or shares change, holds that reach further, papers that would now differ.
func (o *Office) Preview(_ context.Context, d house.Draft) (answer.Answer, error) {
	return o.own().Preview(d, record.At(o.now()))
}

// Preview is [Office.Preview] on a view.
func (v *View) Preview(d house.Draft, now record.When) (answer.Answer, error) {
	a := answer.Answer{Question: "preview"}
	if err := v.State.Check(&d, now); err != nil {
		var asks house.Asks
		if !isAsks(err, &asks) {
			return a, err
		}
		for _, q := range asks {
			a.Warn(q.Key, q.Args)
		}
	}
	line := v.line.Clone()
	var more [][]byte
	for i, f := range d.Facts {
		e := record.Entry{Seq: v.Facts() + uint64(i) + 1, Batch: d.Key, Part: uint32(i), Parts: uint32(len(d.Facts)),
			WrittenMS: now.Minute * 60000, When: d.Stamp(i).When, Person: d.Stamp(i).Person, Device: d.Device, Fact: f}
		b, err := record.Encode(e)
		if err != nil {
			return a, &house.Refusal{Key: "refused.malformed", Args: answer.Args{"why": err.Error()}, Next: "next.type-again"}
		}
		more = append(more, b)
		line.Add(&e)
	}
	after, err := refold(line, func(seq uint64) (record.Entry, error) { return v.readWith(more, seq) })
	if err != nil {
		return a, err
	}
	v.original(&a, d)
	changes(&a, v.State, after)
	papersAfter(&a, v.State, after)
	return a, nil
}

func isAsks(err error, asks *house.Asks) bool {
	a, ok := err.(house.Asks)
	*asks = a
	return ok
}

// original shows the fact that a correction is about, as it was written and as it would
// stand.
func (v *View) original(a *answer.Answer, d house.Draft) {
	was := a.Table("original", "fact", "when", "kind", "says", "person")
	would := a.Table("amended", "fact", "when", "kind", "says")
	for _, f := range d.Facts {
		e, err := v.Fact(corrects(f))
		if err != nil {
			continue
		}
		was.Row(answer.Plain, int64(e.Seq), e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), e.Person)
		if x, ok := f.(*record.Amended); ok {
			if with, err := record.Unmarshal(string(x.With)); err == nil {
				when := e.When
				if x.When != (record.When{}) {
					when = x.When
				}
				would.Row(answer.Plain, int64(e.Seq), when, answer.Key(with.Kind().Key()), Says(with))
			}
		}
	}
}

func changes(a *answer.Answer, was, now *house.State) {
	table := a.Table("moves", "content", "kind", "was_g", "now_g", "shares", "more_holds", "fewer_holds")
	var held int64
	all := house.Compare(was, now)
	for _, c := range all {
		mark := answer.Plain
		if c.Now < 0 && c.Was >= 0 {
			mark = answer.Care // more would have been taken out than was put in
		}
		if len(c.HoldsMore) > 0 {
			mark = answer.Bad
			held++
		}
		table.Row(mark, c.Code, answer.Key("node."+c.Kind.String()), c.Was, c.Now, c.SharesMoved, ons(now, c.HoldsMore), ons(was, c.HoldsLess))
	}
	a.Say("preview.moves", answer.Args{"n": int64(len(all)), "held": held})
}

func ons(s *house.State, on []house.On) any {
	var all []record.Code
	for _, o := range on {
		code := s.Code(o.Hold)
		if !o.Share {
			code += "?"
		}
		all = append(all, code)
	}
	return listOrNil(all)
}

func papersAfter(a *answer.Answer, was, now *house.State) {
	table := a.Table("papers", "paper", "of", "printed_pct", "was_pct", "would_now_be_pct", "differs")
	before := map[string]house.WouldBe{}
	for _, p := range was.Papers("") {
		for _, w := range was.WouldNowBe(p) {
			before[fmt.Sprint(p.Seq, "/", w.Of)] = w
		}
	}
	for _, p := range now.Papers("") {
		for _, w := range now.WouldNowBe(p) {
			b := before[fmt.Sprint(p.Seq, "/", w.Of)]
			if b.Now != w.Now || b.Known != w.Known {
				mark := answer.Care
				if w.Differs {
					mark = answer.Bad
				}
				table.Row(mark, p.Fact.Paper, w.Of, w.Printed, b.Now, w.Now, w.Differs)
			}
		}
	}
}
