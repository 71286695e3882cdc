package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Line watches all nozzles of a filler through a run: each nozzle by itself, and
// pooled. It takes checks, or jars one by one. Its memory depends on the number of
// nozzles only.
type Line struct {
	d       Design
	nozzles []nozzle
	within  pool
	pooled  Watch
	round   round
	wild    int64
}

type nozzle struct {
	watch Watch
	parts parts
	open  open
}

// open gathers the jars of a check that a stream has not finished.
type open struct {
	n            int
	shift        float64 // the first jar, g
	sum, squares float64 // of distances from it
	least, most  float64
	low, high    float64 // a jar beyond counts as at the bound
	wild         bool
}

// round gathers the pooled point: each nozzle once.
type round struct {
	seen    uint64
	n       int
	off     float64 // Σ n·(mean − its centre)
	squares float64
	df      int
}

// mostNozzles bounds a filler.
const mostNozzles = 64

// NewLine begins the watch of a filler of so many nozzles, numbered from 1.
func NewLine(d Design, nozzles int) (*Line, error) {
	if nozzles < 1 || nozzles > mostNozzles {
		return nil, fmt.Errorf("%d nozzles, want 1 to %d: %w", nozzles, mostNozzles, ErrOutOfRange)
	}
	w, err := NewWatch(d)
	if err != nil {
		return nil, err
	}
	l := &Line{d: d, nozzles: make([]nozzle, nozzles)}
	for i := range l.nozzles {
		l.nozzles[i].watch = w
	}
	// Pooled points are distances from each nozzle's own centre: their centre is 0.
	l.pooled = w
	return l, nil
}

// Nozzles is how many the filler has.
func (l *Line) Nozzles() int { return len(l.nozzles) }

// Nozzle is the watch of one nozzle, from 1. It is the line's own: read it, or
// copy it for a what-if.
func (l *Line) Nozzle(k int) (*Watch, error) {
	if err := l.known(k); err != nil {
		return nil, err
	}
	return &l.nozzles[k-1].watch, nil
}

// Pooled is the watch of all nozzles together: its points are the mean distances
// from each nozzle's own centre, so their centre is 0 g. It moves when all nozzles
// move together, as with the honey's temperature.
func (l *Line) Pooled() *Watch { return &l.pooled }

func (l *Line) known(k int) error {
	if k < 1 || k > len(l.nozzles) {
		return fmt.Errorf("nozzle %d, the filler has 1 to %d: %w", k, len(l.nozzles), ErrOutOfRange)
	}
	return nil
}

// Check takes a check of one nozzle. One that is refused changes nothing. A spread that
// no filling explains is not believed: the point says Wild.
func (l *Line) Check(k int, c Check) (Point, error) {
	if err := l.known(k); err != nil {
		return Point{}, err
	}
	if err := l.d.plausible(c); err != nil {
		return Point{}, fmt.Errorf("nozzle %d: %w", k, err)
	}
	if s := l.d.sigma(&l.within); c.HasSD && c.SDG > wildSDs*s {
		c.HasSD = false // no filling explains it: what is known of the spread stays
		p := l.take(k, c)
		return l.markWild(k, p), nil
	}
	return l.take(k, c), nil
}

// CheckJars takes a check of jars each weighed. A jar that no filling explains
// counts as far off as a jar can be, so that one spilt jar raises the alarm but
// does not blind the charts after it; the point says Wild.
func (l *Line) CheckJars(k int, net []quantity.Milligram) (Point, error) {
	if err := l.known(k); err != nil {
		return Point{}, err
	}
	for i, m := range net {
		if err := l.d.jar(m); err != nil {
			return Point{}, fmt.Errorf("nozzle %d, jar %d: %w", k, i+1, err)
		}
	}
	if len(net) == 0 || len(net) > maxJars {
		return Point{}, fmt.Errorf("nozzle %d: %d jars in a check, want 1 to %d: %w", k, len(net), maxJars, ErrOutOfRange)
	}
	var o open
	o.low, o.high = l.bounds(k)
	for _, m := range net {
		o.add(Grams(m))
	}
	return l.close(k, &o), nil
}

// Weigh takes one jar of a stream. When the nozzle has enough for a check the point
// comes with done; before that it is empty.
func (l *Line) Weigh(k int, net quantity.Milligram) (p Point, done bool, err error) {
	if err := l.known(k); err != nil {
		return Point{}, false, err
	}
	if err := l.d.jar(net); err != nil {
		return Point{}, false, err
	}
	o := &l.nozzles[k-1].open
	if o.n == 0 {
		o.low, o.high = l.bounds(k)
	}
	o.add(Grams(net))
	if o.n < l.d.Group {
		return Point{}, false, nil
	}
	p = l.close(k, o)
	*o = open{}
	return p, true, nil
}

// jar refuses a weight that is no filled jar's.
func (d *Design) jar(net quantity.Milligram) error {
	if net <= 0 || net > maxMass {
		return fmt.Errorf("net %g g, want above 0 g to %.0f g; was the scale tared?: %w", Grams(net), maxMassG, ErrOutOfRange)
	}
	if d.LabelG > 0 && Grams(net) > 2*d.LabelG {
		return fmt.Errorf("net %g g under a label of %g g: no jar holds twice its label, weigh again: %w", Grams(net), d.LabelG, ErrOutOfRange)
	}
	return nil
}

// wildSDs is how far off a jar may count, in standard deviations of single jars.
const wildSDs = 8

// bounds are the weights beyond which a jar of this nozzle counts as at the bound.
// With no centre or spread known there are none but a quarter either side of the
// label.
func (l *Line) bounds(k int) (low, high float64) {
	sigma := l.d.sigma(&l.within)
	if at, _, known := l.nozzles[k-1].watch.base.at(1, sigma); known {
		return at - wildSDs*sigma, at + wildSDs*sigma
	}
	if l.d.LabelG > 0 {
		return 0.75 * l.d.LabelG, 1.25 * l.d.LabelG
	}
	return 0, maxMassG
}

func (o *open) add(x float64) {
	if x < o.low || x > o.high {
		o.wild = true
		x = min(max(x, o.low), o.high)
	}
	if o.n == 0 {
		o.shift, o.least, o.most = x, x, x
	}
	d := x - o.shift
	o.n++
	o.sum += d
	o.squares += d * d
	o.least, o.most = min(o.least, x), max(o.most, x)
}

func (o *open) check() Check {
	n := float64(o.n)
	c := Check{N: o.n, MeanG: o.shift + o.sum/n, RangeG: o.most - o.least, HasSD: o.n > 1}
	if c.HasSD {
		c.SDG = math.Sqrt(max(0, o.squares-o.sum*o.sum/n) / (n - 1))
	}
	return c
}

func (l *Line) close(k int, o *open) Point {
	wild := o.wild
	p := l.take(k, o.check())
	if wild {
		p = l.markWild(k, p)
	}
	return p
}

func (l *Line) markWild(k int, p Point) Point {
	l.wild++
	p.Signals |= Wild
	l.nozzles[k-1].watch.last.Signals |= Wild
	return p
}

func (l *Line) take(k int, c Check) Point {
	n := &l.nozzles[k-1]
	l.within.add(c)
	n.parts.add(c)
	n.watch.within.add(c)
	p := n.watch.add(c, l.d.sigma(&l.within))
	l.pool(k, c, p)
	return p
}

// pool adds a nozzle's point to the round. A round ends when every nozzle has been
// checked, or when one comes again before the others.
func (l *Line) pool(k int, c Check, p Point) {
	if p.Signals.Has(Learning) {
		return
	}
	bit := uint64(1) << (k - 1)
	if l.round.seen&bit != 0 {
		l.endRound(p.SigmaG)
	}
	r := &l.round
	r.seen |= bit
	r.n += c.N
	r.off += float64(c.N) * (c.MeanG - p.CentreG)
	if c.HasSD {
		r.df += c.N - 1
		r.squares += float64(c.N-1) * c.SDG * c.SDG
	}
	if r.seen == 1<<len(l.nozzles)-1 {
		l.endRound(p.SigmaG)
	}
}

func (l *Line) endRound(sigma float64) {
	r, w := l.round, &l.pooled
	l.round = round{}
	w.checks++
	w.jars += int64(r.n)
	p := Point{Check: w.checks, N: r.n, MeanG: r.off / float64(r.n), SigmaG: sigma}
	if r.df > 0 {
		// told as of df + 1 jars, whose spread has so many degrees of freedom
		p.HasSD, p.SDG = true, math.Sqrt(r.squares/float64(r.df))
	}
	off := sigma * l.pooledOff(r)
	p.OffG = off
	at := p
	at.N = r.df + 1
	w.chart(&at, p.MeanG/off)
	at.N = p.N
	w.past.add(w.checks, p.MeanG, 1/(off*off))
	w.last = at
	if at.Signals.Alarm() && w.first.Check == 0 {
		w.first = at
	}
}

// pooledOff is the standard deviation of a pooled point in units of σ: that of its
// jars, and that of each learned centre.
func (l *Line) pooledOff(r round) float64 {
	v := 1 / float64(r.n)
	share := 1 / float64(of64(r.seen))
	for i := range l.nozzles {
		if b := &l.nozzles[i].watch.base; r.seen>>i&1 != 0 && b.given == 0 && b.jars > 0 {
			v += share * share / b.jars
		}
	}
	return math.Sqrt(v)
}

func of64(marks uint64) (n int) {
	for ; marks != 0; marks &= marks - 1 {
		n++
	}
	return n
}

// Wild is how many checks had a jar that no filling explains.
func (l *Line) Wild() int64 { return l.wild }

// Sigma is the spread of single jars that the lines are made with; known is false
// until enough jars were weighed.
func (l *Line) Sigma() (g float64, known bool) {
	g = l.d.sigma(&l.within)
	return g, g > 0
}

// Adjusted begins a nozzle's charts anew after it was set otherwise; 0 is all.
func (l *Line) Adjusted(k int) error {
	if k == 0 {
		for i := range l.nozzles {
			l.nozzles[i].watch.Adjusted()
		}
		l.pooled.Adjusted()
		l.round = round{}
		return nil
	}
	if err := l.known(k); err != nil {
		return err
	}
	l.nozzles[k-1].watch.Adjusted()
	return nil
}
