package office

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A FillBook follows the filling of a run: jars of a stream, or checks of a few jars
// written down, setting by setting. Its memory does not grow with the jars.
type FillBook struct {
	Spec        FillSpec
	line        *fill.Line
	nozzles     []nozzleBook // by number, from 1
	pooled      ring         // all nozzles together: distances from their own centres
	round       int64        // of pooled points
	slots       []FillSlot
	early       earlier // slots that are no longer kept
	jars        int64   // of the stream, that count
	flagged     int64
	last        Jar // the newest one that counts
	odd         []FillOdd
	cuts        []FillCut
	cutCount    int64
	cutFrom     int64 // the line was cut then, and no jar came since; 0: it was not
	high        int64 // greatest running number
	weighedEach bool
	latest      int64 // milliseconds of the newest jar or check
	checkNo     int64
}

// A FillOdd is a weight that is shown and does not count.
type FillOdd struct {
	AtMS   int64
	Nozzle int
	Net    quantity.Milligram
	Flag   Flag
	Check  int64 // of checks written down
}

// A FillCut is a time in which the line to the scale was cut.
type FillCut struct {
	FromMS, ToMS int64
	Missing      int64 // jars that had not come when it was there again; -1: they bear no number
}

// Seconds is how long it was cut, a part of a second as a whole one.
func (c FillCut) Seconds() int64 { return (c.ToMS - c.FromMS + 999) / 1000 }

// A FillPoint is one point of a nozzle's charts, with how many jars there were by then.
type FillPoint struct {
	fill.Point
	AtMS int64
	Slot int   // from 0
	All  int64 // jars of all nozzles so far, in a stream
	Own  int64
}

const (
	mostPoints = 160 // kept of each nozzle: more than a chart shows
	mostSlots  = 96  // two days of half-hours
	mostOdd    = 50
	halfHourMS = 30 * 60_000
)

// A ring keeps the newest points.
type ring struct {
	at  int
	all []FillPoint
}

func (r *ring) add(p FillPoint) {
	if len(r.all) < mostPoints {
		r.all = append(r.all, p)
		return
	}
	r.all[r.at] = p
	r.at = (r.at + 1) % mostPoints
}

// list is the points in order.
func (r *ring) list() []FillPoint {
	return append(append([]FillPoint(nil), r.all[r.at:]...), r.all[:r.at]...)
}

// find is the point of a check of the nozzle.
func (r *ring) find(check int64) (FillPoint, bool) {
	for _, p := range r.all {
		if p.Check == check {
			return p, true
		}
	}
	return FillPoint{}, false
}

type nozzleBook struct {
	points ring
	count  fill.Count // of a stream
	jars   int64      // of checks
	sumG   float64
	mean   float64 // of its newest check
	n      int
	caught *caught
	set    float64 // by how much it was set otherwise so far
	dry    int     // odd weights one after the other
}

// caught is what was known when a nozzle's alarm began.
type caught struct {
	point    FillPoint
	lastGood int64 // check of the nozzle; 0: none
	known    bool
}

// A FillSlot is what was filled between two checks, or in one half-hour of a stream.
type FillSlot struct {
	FromMS, ToMS int64
	Check        int64      // number of the check that ends it; 0: none
	Count        fill.Count // jars weighed one by one, in a stream
	Low          fill.Count // of these, the ones below T1
	Own          []int64    // the same by nozzle
	Checks       []nozzleMean
	Jars         int64 // filled
	Counted      bool  // Jars was counted or booked; otherwise it is by the clock
	Marks        []record.Code
	Out          sortedOut
}

type nozzleMean struct {
	nozzle int
	mean   float64
	n      int
	carry  bool // of an earlier check
}

// sortedOut is what was taken out of a slot after it was filled.
type sortedOut struct {
	units, short int64
	grams        quantity.Gram
}

// earlier is what slots that are no longer kept came to.
type earlier struct {
	slots int
	count fill.Count
	worst *FillVerdict
}

// A JarWeighing is how a run's jars are weighed.
type JarWeighing uint8

const (
	MeansOnly JarWeighing = iota // a few jars by hand, of which the mean is written down
	JarByJar                     // a few jars by hand, each written down: their spread is learned
	EveryJar                     // a stream
)

// streamDesign watches a nozzle all of whose jars are weighed: ten jars make a check, and
// the lines stand further out than for a check each half-hour, since there are many more
// checks. A steady filler of four nozzles and 1,100 jars an hour then raises an alarm in
// about one of thirty runs of nine hours; a nozzle that moves by a gram at a spread of
// 1.7 g is found after some 80 of its jars (both measured by the tests).
func streamDesign() fill.Design {
	d := fill.Usual()
	d.Group, d.Learn, d.Line, d.K, d.H = 10, 20, 5, 1, 6
	return d
}

// NewFillBook begins a run.
func NewFillBook(s FillSpec, how JarWeighing) (*FillBook, error) {
	d := fill.Usual()
	switch how {
	case MeansOnly:
		d.SDG = s.AssumedG
	case EveryJar:
		d = streamDesign()
	}
	d.LabelG = fill.Grams(s.Label)
	if s.HasDivision {
		d.DivisionG = s.Weighing.Division.Grams()
	}
	n := s.Nozzles
	if n == 0 {
		n = MaxNozzles
	}
	line, err := fill.NewLine(d, n)
	if err != nil {
		return nil, err
	}
	return &FillBook{Spec: s, line: line, nozzles: make([]nozzleBook, n+1), weighedEach: how != MeansOnly}, nil
}

// Jar takes a jar of a stream.
func (b *FillBook) Jar(j Jar) error {
	if j.Flag == Cut {
		b.cutFrom = j.AtMS
		return nil
	}
	b.closeCut(j)
	b.latest = max(b.latest, j.AtMS)
	n := max(j.Nozzle, 1) // where nozzles are not told apart all are one
	if n >= len(b.nozzles) {
		j.Flag, n = OddNozzle, 0
	}
	x := &b.nozzles[n]
	if j.Flag != NoFlag {
		b.flagged++
		x.dry++
		b.note(FillOdd{AtMS: j.AtMS, Nozzle: j.Nozzle, Net: j.Net, Flag: j.Flag})
		return nil
	}
	x.dry = 0
	if err := x.count.Add(&b.Spec.Tolerance, j.Net); err != nil {
		return err
	}
	slot := b.slotAt(j.AtMS)
	if err := slot.Count.Add(&b.Spec.Tolerance, j.Net); err != nil {
		return err
	}
	if j.Net < b.Spec.Tolerance.T1 {
		if err := slot.Low.Add(&b.Spec.Tolerance, j.Net); err != nil {
			return err
		}
	}
	slot.Own[n]++
	slot.Jars++
	b.jars++
	b.last = j
	p, done, err := b.line.Weigh(n, j.Net)
	if err != nil || !done {
		return err
	}
	b.point(n, FillPoint{Point: p, AtMS: j.AtMS, Slot: b.early.slots + len(b.slots) - 1, All: b.jars, Own: x.count.Jars})
	return nil
}

// closeCut notes a cut with the first jar after it.
func (b *FillBook) closeCut(j Jar) {
	if b.cutFrom != 0 {
		c := FillCut{FromMS: b.cutFrom, ToMS: max(j.AtMS, b.cutFrom), Missing: -1}
		if j.Seq > 0 && b.high > 0 {
			c.Missing = max(0, j.Seq-b.high-1)
		}
		if len(b.cuts) == mostOdd {
			copy(b.cuts, b.cuts[1:])
			b.cuts = b.cuts[:mostOdd-1]
		}
		b.cuts, b.cutCount, b.cutFrom = append(b.cuts, c), b.cutCount+1, 0
	}
	b.high = max(b.high, j.Seq)
}

func (b *FillBook) note(o FillOdd) {
	if len(b.odd) == mostOdd {
		copy(b.odd, b.odd[1:])
		b.odd = b.odd[:mostOdd-1]
	}
	b.odd = append(b.odd, o)
}

// slotAt is the half-hour of a moment; a jar that comes late counts in the newest.
func (b *FillBook) slotAt(ms int64) *FillSlot {
	if n := len(b.slots); n > 0 && ms < b.slots[n-1].ToMS {
		for i := n - 1; i >= 0 && i > n-4; i-- {
			if ms >= b.slots[i].FromMS {
				return &b.slots[i]
			}
		}
		return &b.slots[n-1]
	}
	from := b.Spec.StartMS
	if ms < from {
		from = ms
	}
	from += (ms - from) / halfHourMS * halfHourMS
	b.newSlot(FillSlot{FromMS: from, ToMS: from + halfHourMS, Own: make([]int64, len(b.nozzles)), Counted: true})
	return &b.slots[len(b.slots)-1]
}

func (b *FillBook) newSlot(s FillSlot) {
	if len(b.slots) == mostSlots {
		if w := b.verdictOf(0, min(2, len(b.slots))); w != nil && (b.early.worst == nil || worse(w, b.early.worst)) {
			b.early.worst = w
		}
		b.early.count = b.early.count.And(b.slots[0].Count)
		b.early.slots++
		copy(b.slots, b.slots[1:])
		b.slots = b.slots[:mostSlots-1]
	}
	b.slots = append(b.slots, s)
}

// point keeps a point, and what an alarm that begins with it makes known.
func (b *FillBook) point(n int, p FillPoint) {
	x := &b.nozzles[n]
	x.points.add(p)
	if all := b.line.Pooled().Last(); all.Check > b.round {
		b.round = all.Check
		b.pooled.add(FillPoint{Point: all, AtMS: p.AtMS, Slot: p.Slot, All: p.All})
	}
	w, err := b.line.Nozzle(n)
	if err != nil || x.caught != nil || w.Alarm().Check == 0 {
		return
	}
	good, err := w.LastGood(false)
	x.caught = &caught{point: p, lastGood: good, known: err == nil}
}

// Check takes a check as it was written down. Weights that no jar can have are told and
// left out; the others count.
func (b *FillBook) Check(f *record.NozzlesChecked, atMS int64) {
	b.latest = max(b.latest, atMS)
	b.checkNo++
	no := f.Check
	if no == 0 {
		no = b.checkNo
	}
	from := b.Spec.StartMS
	if n := len(b.slots); n > 0 {
		from = b.slots[n-1].ToMS
	}
	b.newSlot(FillSlot{FromMS: min(from, atMS), ToMS: atMS, Check: no})
	s := &b.slots[len(b.slots)-1]
	for i := range f.Nozzles {
		b.nozzleCheck(&f.Nozzles[i], s, atMS)
	}
	b.carry(s)
}

func (b *FillBook) nozzleCheck(f *record.NozzleCheck, s *FillSlot, atMS int64) {
	n := int(f.Nozzle)
	odd := func(m quantity.Milligram, flag Flag) {
		b.note(FillOdd{AtMS: atMS, Nozzle: n, Net: m, Flag: flag, Check: s.Check})
		b.flagged++
	}
	if n < 1 || n >= len(b.nozzles) {
		odd(0, OddNozzle)
		return
	}
	var net []quantity.Milligram
	for _, w := range f.Weights {
		m, err := w.Figure.Milligrams()
		if flag := FlagOf(m, b.Spec.Label); err != nil || flag != NoFlag {
			odd(m, flag)
			continue
		}
		net = append(net, m)
	}
	var p fill.Point
	var err error
	jars := int(min(max(f.Jars, 1), 100_000))
	switch {
	case len(net) > 0:
		jars = len(net)
		p, err = b.line.CheckJars(n, net)
	case f.Mean.Given() && len(f.Weights) == 0:
		m, bad := f.Mean.Figure.Milligrams()
		if flag := FlagOf(m, b.Spec.Label); bad != nil || flag != NoFlag {
			odd(m, flag)
			return
		}
		var c fill.Check
		if c, err = fill.CheckMean(jars, fill.Grams(m)); err == nil {
			p, err = b.line.Check(n, c)
		}
	default:
		return
	}
	if err != nil {
		odd(0, FarOff)
		return
	}
	x := &b.nozzles[n]
	x.mean, x.n = p.MeanG, jars
	x.jars += int64(jars)
	x.sumG += p.MeanG * float64(jars)
	s.Checks = append(s.Checks, nozzleMean{nozzle: n, mean: p.MeanG, n: jars})
	b.point(n, FillPoint{Point: p, AtMS: atMS, Slot: b.early.slots + len(b.slots) - 1})
}

// carry lets a nozzle that was not weighed this time stand as it was weighed last.
func (b *FillBook) carry(s *FillSlot) {
	for n := 1; n < len(b.nozzles); n++ {
		x := &b.nozzles[n]
		here := false
		for _, c := range s.Checks {
			here = here || c.nozzle == n
		}
		if !here && x.n > 0 {
			s.Checks = append(s.Checks, nozzleMean{nozzle: n, mean: x.mean, n: x.n, carry: true})
		}
	}
}

// Adjusted takes in that a nozzle was set otherwise; 0 is all of them.
func (b *FillBook) Adjusted(nozzle int, byG float64) error {
	if err := b.line.Adjusted(nozzle); err != nil {
		return err
	}
	for n := range b.nozzles {
		if n == nozzle || nozzle == 0 {
			b.nozzles[n].caught = nil
			b.nozzles[n].set += byG
		}
	}
	return nil
}

// used is how many nozzles the filler has, as far as was seen.
func (b *FillBook) used() int {
	if b.Spec.Nozzles > 0 {
		return b.Spec.Nozzles
	}
	most := 0
	for n := range b.nozzles {
		if x := &b.nozzles[n]; x.count.Jars > 0 || x.jars > 0 {
			most = n
		}
	}
	return most
}

// sigma is the spread of single jars: as weighed, or as the house takes it to be.
func (b *FillBook) sigma() (g float64, weighed bool) {
	g, known := b.line.Sigma()
	if !known || math.IsNaN(g) {
		return b.Spec.AssumedG, false
	}
	return g, b.weighedEach
}

// errNoJars means that nothing was weighed yet.
var errNoJars = errors.New("no jar weighed yet")

func (b *FillBook) weighed() error {
	if b.jars == 0 && len(b.slots) == 0 {
		return fmt.Errorf("run %s: %w", b.Spec.Run, errNoJars)
	}
	return nil
}
