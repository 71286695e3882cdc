package fill

import "fmt"

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
	l.pooled.pooled = true
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

func (l *Line) take(k int, c Check) Point {
	n := &l.nozzles[k-1]
	l.within.add(c)
	n.parts.add(c)
	n.watch.within.add(c)
	p := n.watch.add(c, l.d.sigma(&l.within))
	l.pool(k, c, p)
	return p
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
