package office

import (
	"bytes"
	"context"
	"errors"
	"slices"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/record"
)

// A Receipt says what became of a draft.
type Receipt struct {
	First, Last uint64        // the facts' numbers
	Repeated    bool          // the same batch was recorded before: these are its numbers
	Late        bool          // the facts folded in their own place, not at the end
	Flags       []answer.Line // what is odd about them now
}

// ErrKeyReused means that a batch's key was used before for other facts.
var ErrKeyReused = errors.New("this entry was recorded before with other figures")

// mostAtOnce is how many batches share one commit at most.
const mostAtOnce = 512

type request struct {
	ctx   context.Context
	draft house.Draft
	reply chan reply
}

type reply struct {
	receipt Receipt
	err     error
}

// Submit records a draft: all its facts or none, durable when it returns. The error
// is a [*house.Refusal], [house.Asks] that nobody has answered, [ErrKeyReused], or
// what the ledger says; then nothing was recorded. The same draft again gives the
// first receipt.
func (o *Office) Submit(ctx context.Context, d house.Draft) (Receipt, error) {
	r := &request{ctx: ctx, draft: d, reply: make(chan reply, 1)}
	select {
	case o.in <- r:
	case <-o.quit:
		return Receipt{}, ErrClosed
	case <-ctx.Done():
		return Receipt{}, ctx.Err()
	}
	// once it is taken, the answer is waited for: giving up would not undo it
	got := <-r.reply
	return got.receipt, got.err
}

// write is the one writer. It decides against a state of its own that runs ahead of
// the disk, and publishes what is committed.
func (o *Office) write() {
	defer close(o.done)
	w := &writer{o: o}
	for {
		var first *request
		select {
		case first = <-o.in:
		case <-o.quit:
			return
		}
		w.group(o.gather(first))
	}
}

// gather takes what waits, up to [mostAtOnce]: they share one commit.
func (o *Office) gather(first *request) []*request {
	all := []*request{first}
	for len(all) < mostAtOnce {
		select {
		case r := <-o.in:
			all = append(all, r)
		default:
			return all
		}
	}
	return all
}

// A writer has the state that runs ahead of what is published.
type writer struct {
	o     *Office
	state *house.State    // nil: make it again from what is published
	line  *house.Timeline // with state
	near  nearly
	// of the group at work
	bodies  [][]byte
	entries []record.Entry
	keys    map[record.Key]uint32
	refold  bool // the state was folded again, so it is published whole
}

type decided struct {
	r       *request
	receipt Receipt
}

func (w *writer) group(requests []*request) {
	pub := w.o.pub // only this goroutine changes it
	if w.state == nil {
		w.state, w.line = pub.State.Clone(), pub.line.Clone()
	}
	w.bodies, w.entries, w.keys, w.refold = nil, nil, map[record.Key]uint32{}, false
	var taken []decided
	for _, r := range requests {
		receipt, err := w.decide(pub, &r.draft)
		if err != nil {
			r.reply <- reply{err: err}
			continue
		}
		taken = append(taken, decided{r, receipt})
	}
	if len(w.bodies) == 0 {
		for _, d := range taken {
			d.r.reply <- reply{receipt: d.receipt}
		}
		return
	}
	// a commit is not tied to one caller's patience: the others' facts are in it too
	head, err := w.o.book.Append(context.Background(), pub.log.head, w.bodies...)
	if err != nil { // memory is as the disk: forget what was decided
		w.state, w.near = nil, nearly{}
		for _, d := range taken {
			if d.receipt.Repeated && d.receipt.Last <= pub.log.head.Seq {
				d.r.reply <- reply{receipt: d.receipt}
				continue
			}
			d.r.reply <- reply{err: err}
		}
		return
	}
	w.publish(pub, head)
	for _, d := range taken {
		d.r.reply <- reply{receipt: d.receipt}
	}
	w.o.tell(head.Seq)
}

// publish folds what was committed into the published view.
func (w *writer) publish(pub *View, head chain.Head) {
	var whole *house.State
	if w.refold {
		whole = w.state.Clone() // made before the lock: readers do not wait for it
	}
	w.o.mu.Lock()
	defer w.o.mu.Unlock()
	pub.log.head = head
	for i := range w.entries {
		e := &w.entries[i]
		pub.log.bodies = append(pub.log.bodies, string(w.bodies[i]))
		pub.line.Add(e)
		if whole == nil {
			pub.State.Fold(e)
		}
	}
	for k, seq := range w.keys {
		pub.keys[k] = seq
	}
	if whole != nil {
		pub.State = whole
	}
}

// decide takes one draft into the writer's own state, or says why not.
func (w *writer) decide(pub *View, d *house.Draft) (Receipt, error) {
	if first, ok := pub.keys[d.Key]; ok {
		return w.again(pub, uint64(first), d)
	}
	if first, ok := w.keys[d.Key]; ok {
		return w.again(pub, uint64(first), d)
	}
	now := w.o.now()
	if err := w.state.Check(d, record.At(now)); err != nil {
		return Receipt{}, err
	}
	if err := plansSound(w.state, d, record.DayOf(now)); err != nil {
		return Receipt{}, err
	}
	if err := promisesSound(w.state, d); err != nil {
		return Receipt{}, err
	}
	var entries []record.Entry
	var bodies [][]byte
	next := pub.log.head.Seq + uint64(len(w.bodies)) + 1
	for i, f := range d.Facts {
		e := record.Entry{Seq: next + uint64(i), Batch: d.Key, Part: uint32(i), Parts: uint32(len(d.Facts)),
			WrittenMS: now.UnixMilli(), When: d.Stamp(i).When, Person: d.Stamp(i).Person, Device: d.Device, Fact: f}
		body, err := record.Encode(e)
		if err != nil {
			return Receipt{}, &house.Refusal{Key: "refused.malformed", Args: answer.Args{"why": err.Error()}, Next: "next.type-again"}
		}
		entries, bodies = append(entries, e), append(bodies, body)
	}
	receipt := Receipt{First: next, Last: next + uint64(len(entries)) - 1, Late: w.late(entries)}
	before := len(w.state.Flags())
	if receipt.Late {
		if err := w.foldLate(pub, d, entries, bodies); err != nil {
			return Receipt{}, err
		}
		before = 0
	} else {
		for i := range entries {
			w.line.Add(&entries[i])
			w.state.Fold(&entries[i])
		}
	}
	receipt.Flags = flagsOf(w.state, before, entries)
	w.bodies, w.entries = append(w.bodies, bodies...), append(w.entries, entries...)
	w.keys[d.Key] = uint32(receipt.First)
	return receipt, nil
}

// late reports whether the facts fold anywhere but at the end.
func (w *writer) late(entries []record.Entry) bool {
	for i := range entries {
		switch entries[i].Fact.(type) {
		case *record.Amended, *record.Struck:
			return true
		}
		if entries[i].When.Minute < w.state.Latest {
			return true
		}
	}
	return false
}

// foldLate folds the house again with the facts in their own place. What moves, and
// which holds now reach further, is asked before it is taken.
func (w *writer) foldLate(pub *View, d *house.Draft, entries []record.Entry, bodies [][]byte) error {
	line := w.line.Clone()
	for i := range entries {
		line.Add(&entries[i])
	}
	all := append(slices.Clone(w.bodies), bodies...)
	state, err := w.near.refold(line, entries, func(seq uint64) (record.Entry, error) { return pub.readWith(all, seq) })
	if err != nil {
		return &house.Refusal{Key: "refused.malformed", Args: answer.Args{"why": err.Error()}, Next: "next.type-again"}
	}
	if ask, ok := lateAsk(w.state, state, d); ok {
		return house.Asks{ask}
	}
	w.state, w.line, w.refold = state, line, true
	return nil
}

// readWith reads a fact of the record or of those about to be written after it.
func (v *View) readWith(more [][]byte, seq uint64) (record.Entry, error) {
	if n := v.Facts(); seq > n {
		if seq-n > uint64(len(more)) {
			return v.log.read(seq)
		}
		e, err := record.Decode(string(more[seq-n-1]))
		e.Seq = seq
		return e, err
	}
	return v.log.read(seq)
}

// again answers a batch whose key was used before: the first receipt when it says
// the same.
func (w *writer) again(pub *View, first uint64, d *house.Draft) (Receipt, error) {
	for i, f := range d.Facts {
		e, err := pub.readWith(w.bodies, first+uint64(i))
		if err != nil || e.Batch != d.Key || int(e.Parts) != len(d.Facts) || (house.Stamp{When: e.When, Person: e.Person}) != d.Stamp(i) {
			return Receipt{}, ErrKeyReused
		}
		was, err1 := record.Marshal(e.Fact)
		is, err2 := record.Marshal(f)
		if err1 != nil || err2 != nil || !bytes.Equal(was, is) {
			return Receipt{}, ErrKeyReused
		}
	}
	if len(d.Facts) == 0 {
		return Receipt{}, ErrKeyReused
	}
	return Receipt{First: first, Last: first + uint64(len(d.Facts)) - 1, Repeated: true}, nil
}
