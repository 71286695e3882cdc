package office

import (
	"fmt"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/record"
)

// journal is the facts as they stand in the ledger, kept as their bytes: they are
// small, and reading one again is quick.
type journal struct {
	bodies []string
	head   chain.Head
}

// read returns the fact with a number.
func (j *journal) read(seq uint64) (record.Entry, error) {
	if seq == 0 || seq > uint64(len(j.bodies)) {
		return record.Entry{}, fmt.Errorf("fact %d is not in the record", seq)
	}
	e, err := record.Decode(j.bodies[seq-1])
	if err != nil {
		return e, fmt.Errorf("fact %d: %w", seq, err)
	}
	e.Seq = seq
	return e, nil
}

// A View is the house as it is published: state, record, order. It may be read, not
// changed, and only while it is lent.
type View struct {
	State *house.State
	line  *house.Timeline
	log   *journal
	keys  map[record.Key]uint32 // by batch: its first fact
	memo  *memo                 // nil: works everything out anew
}

// own is a view of the caller's own, for what takes long: nobody waits for it.
func (o *Office) own() *View {
	o.mu.RLock()
	defer o.mu.RUnlock()
	log := *o.pub.log // its bodies are only ever added to
	return &View{State: o.pub.State.Clone(), line: o.pub.line.Clone(), log: &log}
}

// Fact returns a fact by its number, as it was first written.
func (v *View) Fact(seq uint64) (record.Entry, error) { return v.log.read(seq) }

// Facts is how many facts the record holds.
func (v *View) Facts() uint64 { return uint64(len(v.log.bodies)) }

// restsOnRecord says how far the record reaches that an answer rests on.
func (v *View) restsOnRecord(a *answer.Answer) {
	if e, err := v.Fact(v.Facts()); err == nil {
		a.RestsOn("rests.record", answer.Args{"facts": int64(v.Facts()), "when": record.When{Minute: e.WrittenMS / 60_000, Offset: e.When.Offset, Precision: record.ToMinute}})
	}
}

// Head is the end of the record.
func (v *View) Head() chain.Head { return v.log.head }

// Folded returns the facts in the order of folding, as they are now said to have been.
func (v *View) Folded(each func(house.Step) bool) error {
	for step, err := range v.line.Each(v.log.read) {
		if err != nil {
			return err
		}
		if !each(step) {
			return nil
		}
	}
	return nil
}

// refold makes the state again from the order of the timeline.
func refold(line *house.Timeline, read func(uint64) (record.Entry, error)) (*house.State, error) {
	s := house.New()
	for step, err := range line.Each(read) {
		if err != nil {
			return nil, err
		}
		s.FoldStep(step)
	}
	return s, nil
}
