package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// open gathers the jars of a check that a stream has not finished.
type open struct {
	n            int
	shift        float64 // the first jar, g
	sum, squares float64 // of distances from it
	least, most  float64
	low, high    float64 // a jar beyond counts as at the bound
	wild         bool
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
