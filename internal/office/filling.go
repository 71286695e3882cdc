package office

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"sync"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A JarJournal keeps jars safe until they are in a block of the record.
type JarJournal interface {
	Append(record []byte) error
	Sync() error
	// Begin empties it: what it held is in the record, what comes belongs to a block of
	// that number.
	Begin(block uint64) error
	Block() uint64
}

// A Filling is a run that is being filled under a scale that sends each weight. Its jars
// are safe once [Filling.Settle] has returned; every half-hour they go to the record as
// a block with a summary.
type Filling struct {
	o          *Office
	readings   Readings
	journal    JarJournal
	run        record.Code
	instrument record.Code
	person     record.Code
	device     record.Code

	mu      sync.Mutex
	book    *FillBook
	pending []Jar // in the journal, not yet in a block
	fresh   []Jar // not yet in the journal
	block   uint64
	until   int64  // the pending block ends here
	saved   int64  // jars in blocks
	recent  []Jar  // the last jars, to go on after a restart
	down    int64  // the line is cut since then; 0: it is there
	seen    uint64 // facts up to this one are taken in
}

// FillingOptions say whose scale weighs which run.
type FillingOptions struct {
	Run, Instrument record.Code
	Person, Device  record.Code
	Nozzles         int // of the filler; 0: as the record has it
	Journal         JarJournal
	Kept            [][]byte // what the journal holds
}

// ErrNoReadings means that the book keeps no blocks of readings.
var ErrNoReadings = errors.New("this record keeps no blocks of readings")

// A FillingRefusal says why a run can't be filled under a scale.
type FillingRefusal struct{ answer.Line }

func (e *FillingRefusal) Error() string { return fmt.Sprint(e.Key, " ", e.Args) }

const (
	mostPending = 1 << 16 // jars of a block at the most
	mostRecent  = 1024    // jars that a restart knows of
)

// StartFilling takes a run up: what is in the record, what the journal kept when the
// program was killed, and from now on what the scale sends.
func (o *Office) StartFilling(ctx context.Context, p FillingOptions) (*Filling, error) {
	readings, ok := o.book.(Readings)
	if !ok {
		return nil, ErrNoReadings
	}
	f := &Filling{o: o, readings: readings, journal: p.Journal, run: p.Run, instrument: p.Instrument, person: p.Person, device: p.Device}
	var why *answer.Line
	var done RunFilling
	blocks := o.blocks(ctx)
	o.Read(func(v *View) {
		done, why = v.fillBook(p.Run, blocks)
		if why == nil && done.Spec.Ended {
			why = &answer.Line{Key: "fill.ended", Args: answer.Args{"of": done.Spec.Run, "at": done.Spec.Moment(done.Spec.EndMS)}}
		}
		if t, ok := v.State.Find(p.Instrument); why == nil && (!ok || v.State.KindOf(t) != record.Instrument) {
			why = &answer.Line{Key: "fill.no-instrument", Args: answer.Args{"of": p.Instrument, "near": v.State.Near("", []record.Entity{record.Instrument})}}
		}
	})
	if why != nil {
		return nil, &FillingRefusal{*why}
	}
	f.run = done.Spec.Run
	if err := f.takeUp(ctx, done, p); err != nil {
		return nil, err
	}
	o.keepFilling(f)
	return f, nil
}

// takeUp replays what was there before.
func (f *Filling) takeUp(ctx context.Context, done RunFilling, p FillingOptions) error {
	spec := done.Spec
	if p.Nozzles > 0 {
		spec.Nozzles = p.Nozzles
	}
	f.o.Read(func(v *View) { v.weighedBy(&spec, p.Instrument) })
	book, err := NewFillBook(spec, EveryJar)
	if err != nil {
		return err
	}
	f.book = book
	again := RunFilling{FillBook: book, Events: done.Events}
	var jars []Jar
	own := uint64(0)
	for _, s := range done.Streams {
		b, err := f.readings.Block(ctx, s.Block)
		if err != nil {
			return fmt.Errorf("block %s: %w", s.Block, err)
		}
		some, err := DecodeJars(b.Bytes)
		if err != nil {
			return fmt.Errorf("block %s: %w", s.Block, err)
		}
		if s.Instrument.Fold() == f.instrument.Fold() {
			own++
		}
		jars = append(jars, some...)
	}
	again.replay(jars, true)
	for _, e := range done.Events {
		f.seen = max(f.seen, e.Seq)
	}
	f.saved = weights(jars)
	f.remember(jars)
	f.block = own + 1
	if f.journal == nil {
		return nil
	}
	if f.journal.Block() == f.block { // what was safe when the program ended, and in no block
		if err := f.kept(p.Kept); err != nil {
			return err
		}
	}
	if len(f.pending) == 0 {
		return f.journal.Begin(f.block)
	}
	return f.cut(ctx)
}

func (f *Filling) kept(records [][]byte) error {
	for i, r := range records {
		jars, err := DecodeJars(r)
		if err != nil {
			return fmt.Errorf("record %d of the journal: %w", i+1, err)
		}
		for _, j := range jars {
			if err := f.book.Jar(j); err != nil {
				return err
			}
		}
		f.pending = append(f.pending, jars...)
		f.remember(jars)
	}
	return nil
}

func (f *Filling) remember(jars []Jar) {
	for _, j := range jars {
		if j.Flag != Cut {
			f.recent = append(f.recent, j)
		}
	}
	if n := len(f.recent); n > 2*mostRecent {
		f.recent = append(f.recent[:0], f.recent[n-mostRecent:]...)
	}
}

// Recent are the last jars that are safe: a stream goes on from them.
func (f *Filling) Recent() []Jar {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]Jar(nil), f.recent[max(0, len(f.recent)-mostRecent):]...)
}

// Add takes a jar; it is safe once Settle has returned.
func (f *Filling) Add(j Jar) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.book.Jar(j); err != nil {
		return err
	}
	f.fresh = append(f.fresh, j)
	return nil
}

// Link tells that the line to the scale is there, or is cut.
func (f *Filling) Link(up bool, atMS int64) {
	f.mu.Lock()
	f.down = atMS
	if up {
		f.down = 0
	}
	f.mu.Unlock()
	f.Tell()
}

// Settle makes safe what was added, and puts a block into the record when its time or
// its room is over.
func (f *Filling) Settle(ctx context.Context) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.fresh) == 0 {
		return nil
	}
	if f.journal != nil {
		if err := f.journal.Append(EncodeJars(f.fresh)); err != nil {
			return err
		}
		if err := f.journal.Sync(); err != nil {
			return err
		}
	}
	if f.until == 0 {
		first := f.fresh[0]
		if first.Flag == Cut { // it began long before
			first = f.fresh[len(f.fresh)-1]
		}
		f.until = first.AtMS - first.AtMS%halfHourMS + halfHourMS
	}
	f.pending = append(f.pending, f.fresh...)
	f.remember(f.fresh)
	last := f.fresh[len(f.fresh)-1].AtMS
	f.fresh = f.fresh[:0]
	if len(f.pending) >= mostPending || last >= f.until {
		return f.cut(ctx)
	}
	return nil
}

// Close puts what is pending into the record and lets go of the run.
func (f *Filling) Close(ctx context.Context) error {
	err := f.Settle(ctx)
	f.mu.Lock()
	defer f.mu.Unlock()
	if err == nil && len(f.pending) > 0 {
		err = f.cut(ctx)
	}
	f.o.dropFilling(f)
	return err
}

// cut puts the pending jars into the record: first the block, then the fact with its
// digest, then the journal begins anew. Broken off anywhere, it is done again with the
// same outcome: the block's name and the batch's key follow from its number.
func (f *Filling) cut(ctx context.Context) error {
	jars := f.pending
	id := fmt.Sprintf("%s/%s/%d", f.run, f.instrument, f.block)
	b := chain.NewBlock(id, string(f.instrument), jars[0].AtMS/3_600_000, EncodeJars(jars))
	if err := f.readings.PutBlock(ctx, b); err != nil {
		return err
	}
	fact := &record.StreamRead{Instrument: f.instrument, Of: f.run, Block: id, Digest: b.Digest[:], Readings: weights(jars)}
	summary(fact, jars)
	sum := sha256.Sum256([]byte("jars\n" + id))
	when := record.At(f.o.now())
	d := house.Draft{Key: record.Key(sum[:16]), Person: f.person, Device: f.device, When: when, Facts: []record.Fact{fact}}
	_, err := f.o.Submit(ctx, d)
	if errors.Is(err, ErrKeyReused) { // written before the program was killed, a moment ago
		f.o.Read(func(v *View) {
			if was, ok := v.Batch(d.Key); ok {
				d.When, d.Person = was.When, was.Person
			}
		})
		_, err = f.o.Submit(ctx, d)
	}
	if err != nil {
		return err
	}
	f.saved += weights(jars)
	f.pending, f.until = f.pending[:0], 0
	f.block++
	if f.journal == nil {
		return nil
	}
	return f.journal.Begin(f.block)
}

// summary is the least, mean and greatest weight of the jars that count.
func summary(f *record.StreamRead, jars []Jar) {
	var n int64
	var sum, least, most quantity.Milligram
	for _, j := range jars {
		if j.Flag != NoFlag {
			continue
		}
		if n == 0 {
			least, most = j.Net, j.Net
		}
		n, sum, least, most = n+1, sum+j.Net, min(least, j.Net), max(most, j.Net)
	}
	if n == 0 {
		return
	}
	f.Least, f.Most = least.In(quantity.G, 3), most.In(quantity.G, 3)
	f.Mean = ((sum + quantity.Milligram(n)/2) / quantity.Milligram(n)).In(quantity.G, 3)
}

// State is how the run stands now.
func (f *Filling) State() FillState {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.o.Read(f.catchUp)
	s := f.book.State()
	s.DownMS = f.down
	return s
}

// catchUp takes in what was written down about the run since: settings, lot marks.
func (f *Filling) catchUp(v *View) {
	var marks []FillEvent
	for _, e := range v.Mentions(f.run) {
		x := FillEvent{e.When.Minute * 60_000, e.Seq, e.Fact}
		if _, ok := e.Fact.(*record.JarsFilled); ok {
			marks = append(marks, x)
		}
		if e.Seq <= f.seen {
			continue
		}
		f.seen = e.Seq
		f.book.setting(e.Fact)
	}
	for i := range f.book.slots {
		f.book.slots[i].Marks, f.book.slots[i].Out = nil, sortedOut{}
	}
	v.booked(f.book, marks)
}

// Saved is how many jars are in the record, and how many only in the journal.
func (f *Filling) Saved() (inRecord, inJournal int64) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.saved, weights(f.pending)
}

// LiveNews is the number that [Office.Watch] gives when a weight came in and no fact: it is
// beyond every fact's, and a number that every browser holds exactly.
const LiveNews = 1<<53 - 1

// Tell lets everybody who watches know that something changed, without a fact.
func (f *Filling) Tell() { f.o.tell(LiveNews) }

func (o *Office) keepFilling(f *Filling) {
	o.watch.Lock()
	defer o.watch.Unlock()
	if o.live == nil {
		o.live = map[string]*Filling{}
	}
	o.live[f.run.Fold()] = f
}

func (o *Office) dropFilling(f *Filling) {
	o.watch.Lock()
	defer o.watch.Unlock()
	if o.live[f.run.Fold()] == f {
		delete(o.live, f.run.Fold())
	}
}

// filling is the run that is being filled under a scale now, or nil.
func (o *Office) filling(run record.Code) *Filling {
	o.watch.Lock()
	defer o.watch.Unlock()
	return o.live[run.Fold()]
}
