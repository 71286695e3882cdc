package fill

import "math"

// round gathers the pooled point: each nozzle once.
type round struct {
	seen    uint64
	n       int
	off     float64 // Σ n·(mean − its centre)
	squares float64
	df      int
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
