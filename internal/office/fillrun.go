package office

import (
	"cmp"
	"context"
	"slices"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Readings are blocks of an instrument's readings beside the record.
type Readings interface {
	PutBlock(ctx context.Context, b chain.Block) error
	// Block returns a kept block; the error wraps [chain.ErrNoBlock] if there is none.
	Block(ctx context.Context, id string) (chain.Block, error)
}

// A RunFilling is a run's filling as the record has it, ready to be judged.
type RunFilling struct {
	*FillBook
	Events  []FillEvent
	Streams []record.StreamRead
	Lost    int // blocks that the record names and that are not there
}

// A FillEvent is something that was written down during a run.
type FillEvent struct {
	AtMS int64
	Seq  uint64
	Fact record.Fact
}

// fillBook replays what the record says of a run's filling: settings, checks, jars of
// streams, what was booked and what was sorted out. blocks gives the jars of a stream.
func (v *View) fillBook(run record.Code, blocks func(id string) ([]Jar, error)) (f RunFilling, why *answer.Line) {
	spec, why := v.fillSpec(run)
	if why != nil {
		return f, why
	}
	var marks []FillEvent
	weighed := 0
	for _, e := range v.Mentions(spec.Run) {
		x := FillEvent{e.When.Minute * 60_000, e.Seq, e.Fact}
		switch fact := e.Fact.(type) {
		case *record.JarsFilled:
			marks = append(marks, x)
			continue
		case *record.NozzlesChecked:
			v.weighedBy(&spec, fact.Scale)
			for _, n := range fact.Nozzles {
				weighed += max(0, len(n.Weights)-1)
			}
		case *record.StreamRead:
			weighed += int(fact.Readings)
			f.Streams = append(f.Streams, *fact)
			v.weighedBy(&spec, fact.Instrument)
			continue
		case *record.FillerSet:
			spec.Checked = int(fact.Checked)
			if fact.Filler != "" {
				spec.Filler = fact.Filler
			}
			if fact.Nozzle == 0 && fact.Target.Given() {
				spec.setTo(fact.Target.Figure)
			}
			if c, err := fact.Temp.In(quantity.DegC); err == nil && fact.Temp.Given() && spec.Dose.ByVolume {
				spec.setAt(quantity.Celsius(c))
			}
		}
		f.Events = append(f.Events, x)
	}
	if spec.Nozzles = max(spec.Nozzles, mostNozzle(f.Events)); spec.Nozzles == 0 {
		spec.Nozzles = v.nozzlesOf(spec.Filler)
	}
	if spec.Nozzles > 0 {
		spec.Checked /= spec.Nozzles
	}
	how := MeansOnly
	if weighed >= fill.Usual().LeastDF {
		how = JarByJar
	}
	if len(f.Streams) > 0 {
		how = EveryJar
	}
	book, err := NewFillBook(spec, how)
	if err != nil {
		return f, &answer.Line{Key: "fill.no-label", Args: answer.Args{"of": spec.Run, "product": spec.Product}}
	}
	f.FillBook = book
	jars := v.jarsOf(&f, blocks)
	f.replay(jars, len(jars) > 0)
	v.booked(book, marks)
	return f, nil
}

// nozzlesOf is how many nozzles a filler had in its last run that was checked.
func (v *View) nozzlesOf(filler record.Code) int {
	const runs = 8 // looked back
	all := v.State.OfKind(record.Run)
	for i, seen := len(all)-1, 0; i >= 0 && seen < runs && filler != ""; i-- {
		r, ok := v.State.Run(all[i])
		if !ok || !slices.ContainsFunc(r.Started.Machines, func(m record.Code) bool { return m.Fold() == filler.Fold() }) {
			continue
		}
		seen++
		var checks []FillEvent
		for _, e := range v.Mentions(v.State.Code(all[i])) {
			checks = append(checks, FillEvent{Fact: e.Fact})
		}
		if n := mostNozzle(checks); n > 0 {
			return n
		}
	}
	return 0
}

// jarsOf reads the jars of a run's streams in the order of their blocks.
func (v *View) jarsOf(f *RunFilling, blocks func(id string) ([]Jar, error)) (jars []Jar) {
	for i := range f.Streams {
		var some []Jar
		var err error
		if blocks != nil {
			some, err = blocks(f.Streams[i].Block)
		}
		if blocks == nil || err != nil {
			f.Lost++
			continue
		}
		jars = append(jars, some...)
	}
	return jars
}

func mostNozzle(all []FillEvent) (most int) {
	for _, e := range all {
		if f, ok := e.Fact.(*record.NozzlesChecked); ok {
			for _, n := range f.Nozzles {
				most = max(most, int(min(n.Nozzle, MaxNozzles)))
			}
		}
	}
	return most
}

// replay takes settings and checks, or the jars of a stream, in the order of time. Where
// a stream weighed every jar, checks by hand are a control and make no chart.
func (f *RunFilling) replay(jars []Jar, streamed bool) {
	at := 0
	for _, e := range f.Events {
		for ; at < len(jars) && jars[at].AtMS < e.AtMS; at++ {
			_ = f.Jar(jars[at]) // it was taken once, so it is taken again
		}
		if fact, ok := e.Fact.(*record.NozzlesChecked); ok && !streamed {
			f.Check(fact, e.AtMS)
		}
		f.setting(e.Fact)
	}
	for ; at < len(jars); at++ {
		_ = f.Jar(jars[at])
	}
}

// setting takes in that nozzles were set otherwise during the run.
func (b *FillBook) setting(fact record.Fact) {
	switch fact := fact.(type) {
	case *record.FillerAdjusted:
		g, _ := fact.By.Figure.Milligrams()
		_ = b.Adjusted(int(fact.Nozzle), fill.Grams(g)) // a nozzle that is not there has no chart
	case *record.FillerSet:
		if b.latest > 0 { // in the run, not before it
			_ = b.Adjusted(int(fact.Nozzle), 0)
		}
		if fact.Nozzle == 0 && fact.Target.Given() {
			b.Spec.setTo(fact.Target.Figure)
		}
	}
}

// booked puts the jars that were booked, and what was sorted out of them, to the
// half-hours in which they were filled.
func (v *View) booked(b *FillBook, marks []FillEvent) {
	slices.SortStableFunc(marks, func(x, y FillEvent) int { return cmp.Compare(x.AtMS, y.AtMS) })
	b.endSlot(marks)
	from := b.Spec.StartMS
	stream := b.jars > 0
	for i, m := range marks {
		f := m.Fact.(*record.JarsFilled)
		if i > 0 && m.AtMS > marks[i-1].AtMS {
			from = marks[i-1].AtMS
		}
		slots, parts := b.overlap(from, m.AtMS)
		if len(slots) == 0 {
			continue
		}
		units, err := quantity.Apportion(f.Units, parts)
		out := v.outOf(f.Batch, b)
		if err != nil {
			continue
		}
		outUnits, _ := quantity.Apportion(out.units, parts)
		outShort, _ := quantity.Apportion(out.short, parts)
		outGrams, _ := quantity.Apportion(int64(out.grams), parts)
		for j, s := range slots {
			s.Marks = append(s.Marks, f.Batch)
			if !stream {
				s.Jars, s.Counted = s.Jars+units[j], true
			}
			s.Out.units, s.Out.short, s.Out.grams = s.Out.units+outUnits[j], s.Out.short+outShort[j], s.Out.grams+quantity.Gram(outGrams[j])
		}
	}
	if !stream {
		b.byClock(len(marks) > 0)
	}
}

// endSlot adds a last slot for jars that were booked after the last check: they stand as
// they were weighed last.
func (b *FillBook) endSlot(marks []FillEvent) {
	n := len(b.slots)
	if n == 0 || b.jars > 0 || len(marks) == 0 || marks[len(marks)-1].AtMS <= b.slots[n-1].ToMS {
		return
	}
	s := FillSlot{FromMS: b.slots[n-1].ToMS, ToMS: marks[len(marks)-1].AtMS}
	b.carry(&s)
	b.newSlot(s)
}

// overlap is the slots in which something was filled from one moment to another, with
// how long of each.
func (b *FillBook) overlap(from, to int64) (slots []*FillSlot, parts []quantity.Gram) {
	for i := range b.slots {
		s := &b.slots[i]
		if d := min(to, s.ToMS) - max(from, s.FromMS); d > 0 {
			slots, parts = append(slots, s), append(parts, quantity.Gram(d))
		}
	}
	if len(slots) == 0 { // booked at the very moment of the slot's end, as the one before
		for i := range b.slots {
			if s := &b.slots[i]; to > s.FromMS && to <= s.ToMS {
				return []*FillSlot{s}, []quantity.Gram{1}
			}
		}
	}
	return slots, parts
}

// byClock stands for jars of half-hours that nobody counted: as many an hour as the house
// says, or equal numbers a minute; they are never told as counted.
func (b *FillBook) byClock(some bool) {
	for i := range b.slots {
		s := &b.slots[i]
		if s.Counted || some && s.Jars > 0 {
			continue
		}
		rate := b.Spec.PerHour
		if rate == 0 {
			rate = 60 // one a minute: only their share of the run is used
		}
		s.Jars = max(1, int64(float64(s.ToMS-s.FromMS)*rate/3_600_000+0.5))
	}
}

// outOf is what was regraded, thrown away or tipped back of a batch. Units that together
// weigh less than T1 each were short ones.
func (v *View) outOf(mark record.Code, b *FillBook) (out sortedOut) {
	take := func(units int64, mass record.Weight) {
		g := mass.Grams()
		if !mass.Given() {
			return // what they weighed is not known, so the mean of the rest is not touched
		}
		out.units, out.grams = out.units+units, out.grams+g
		if units > 0 && quantity.Milligram(g)*1000/quantity.Milligram(units) < b.Spec.Tolerance.T1 {
			out.short += units
		}
	}
	for _, e := range v.Mentions(mark) {
		if f, ok := e.Fact.(*record.Regraded); ok {
			for _, x := range f.From() {
				if x.Batch.Fold() == mark.Fold() {
					take(x.Units, x.Mass)
				}
			}
		}
	}
	return out
}

// Filling is a run's filling: charts, verdicts, jars at risk. why says why there is none.
func (o *Office) Filling(ctx context.Context, run record.Code) (f RunFilling, why *answer.Line) {
	blocks := o.blocks(ctx)
	o.Read(func(v *View) {
		f, why = v.fillBook(run, blocks)
	})
	return f, why
}

// blocks reads jars beside the record, where the book keeps any.
func (o *Office) blocks(ctx context.Context) func(id string) ([]Jar, error) {
	r, ok := o.book.(Readings)
	if !ok {
		return nil
	}
	return func(id string) ([]Jar, error) {
		b, err := r.Block(ctx, id)
		if err != nil {
			return nil, err
		}
		return DecodeJars(b.Bytes)
	}
}
