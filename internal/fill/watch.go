package fill

import (
	"fmt"
	"math"
)

// A Watch keeps the charts of one nozzle: means, spreads, moving average,
// cumulative sums, runs, and a history in which the start of a drift can be looked
// for. Its memory is fixed. It is a value: a copy is a what-if.
type Watch struct {
	d      Design
	pooled bool // points are distances from the nozzles' own centres
	base   centre
	within pool // what its checks say of the spread
	runs   runs
	past   history

	checks   int64
	jars     int64
	ewma     float64 // of z
	fade     float64 // (1 − λ)^(2t)
	up, down float64 // cumulative sums of z
	last     Point
	first    Point // of the alarm that stands; Check is 0 if none does
}

// A Point is what one check made of the charts. Z and what follows are in standard
// deviations of a check's mean; they are NaN while Learning.
type Point struct {
	Check    int64 // from 1
	N        int
	MeanG    float64
	SDG      float64 // of the check; only if HasSD
	HasSD    bool
	CentreG  float64 // what the mean is held against
	SigmaG   float64 // of single jars, what the lines are made with
	OffG     float64 // standard deviation of the check's mean about the centre: Z is (MeanG − CentreG)/OffG
	Z        float64
	Average  float64 // moving average of Z
	Line     float64 // of the moving average, either side of 0
	Up, Down float64 // cumulative sums: both count upwards from 0
	Signals  Signal
}

// NewWatch begins the watch of one nozzle.
func NewWatch(d Design) (Watch, error) {
	if err := d.valid(); err != nil {
		return Watch{}, err
	}
	w := Watch{d: d}
	w.begin()
	return w, nil
}

// begin sets the charts to their start.
func (w *Watch) begin() {
	w.base = centre{given: w.d.CentreG}
	w.runs, w.past = runs{}, history{}
	w.ewma, w.fade = 0, 1
	w.up, w.down = w.d.Head*w.d.H, w.d.Head*w.d.H
	w.first = Point{}
}

// Add takes the nozzle's next check. With no spread set, the watch learns it from
// its own checks; a [Line] lends it that of all nozzles. A check that is refused
// changes nothing.
func (w *Watch) Add(c Check) (Point, error) {
	if err := w.d.plausible(c); err != nil {
		return Point{}, err
	}
	w.within.add(c)
	return w.add(c, w.d.sigma(&w.within)), nil
}

// plausible refuses a mean that no jars of the label can have.
func (d *Design) plausible(c Check) error {
	if err := c.valid(); err != nil {
		return err
	}
	if d.LabelG > 0 && c.MeanG > 2*d.LabelG {
		return fmt.Errorf("mean %g g under a label of %g g: no jar holds twice its label, weigh again: %w", c.MeanG, d.LabelG, ErrOutOfRange)
	}
	if d.LabelG > 0 && c.HasSD && c.SDG > d.LabelG/2 {
		return fmt.Errorf("spread %g g under a label of %g g: jars do not differ by half their label, weigh again: %w", c.SDG, d.LabelG, ErrOutOfRange)
	}
	return nil
}

// sigma is the spread of single jars: set, or learned; NaN if neither yet.
func (d *Design) sigma(p *pool) float64 {
	s := d.SDG
	if s == 0 {
		if p.df < float64(d.LeastDF) {
			return math.NaN()
		}
		s = p.sd()
	}
	if s = max(s, d.rounding()); !(s > 0) {
		return math.NaN() // all jars the same to the milligram: no spread to judge by
	}
	return s
}

func (w *Watch) add(c Check, sigma float64) Point {
	w.checks++
	w.jars += int64(c.N)
	p := Point{Check: w.checks, N: c.N, MeanG: c.MeanG, SDG: c.SDG, HasSD: c.HasSD, SigmaG: sigma}
	at, off, known := w.base.at(c.N, sigma)
	p.CentreG = at
	if !known {
		p.Z, p.Average, p.Line, p.Up, p.Down, p.Signals = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), Learning
	} else {
		p.OffG = off
		w.chart(&p, (c.MeanG-at)/off)
		w.past.add(w.checks, c.MeanG-at, 1/(off*off))
	}
	if w.base.learning(w.d.Learn) && !p.Signals.Alarm() {
		w.base.learn(c)
	}
	w.last = p
	if p.Signals.Alarm() && w.first.Check == 0 {
		w.first = p
	}
	return p
}

// chart moves the charts on by one mean, z standard deviations from the centre.
func (w *Watch) chart(p *Point, z float64) {
	d := &w.d
	p.Z = z
	if d.Clip > 0 {
		z = min(max(z, -d.Clip), d.Clip)
	}
	w.ewma += d.Lambda * (z - w.ewma)
	w.fade *= (1 - d.Lambda) * (1 - d.Lambda)
	w.up, w.down = max(0, w.up+z-d.K), max(0, w.down-z-d.K)
	p.Average, p.Up, p.Down = w.ewma, w.up, w.down
	p.Line = d.L * math.Sqrt(d.Lambda/(2-d.Lambda)*(1-w.fade))
	p.Signals = w.runs.add(z) | side(z, d.Line, MeanLow, MeanHigh) | side(w.ewma, p.Line, WanderLow, WanderHigh) | spreadSignal(p)
	if w.up > d.H {
		p.Signals |= DriftHigh
	}
	if w.down > d.H {
		p.Signals |= DriftLow
	}
}

func side(x, line float64, low, high Signal) Signal {
	switch {
	case x < -line:
		return low
	case x > line:
		return high
	}
	return 0
}

// spreadSignal holds a check's spread against B5·σ and B6·σ.
func spreadSignal(p *Point) Signal {
	if !p.HasSD {
		return 0
	}
	c := c4(p.N)
	off := 3 * math.Sqrt(max(0, 1-c*c))
	switch {
	case p.SDG > (c+off)*p.SigmaG:
		return SpreadHigh
	case p.SDG < (c-off)*p.SigmaG:
		return SpreadLow
	}
	return 0
}

// Last is the newest point; Check is 0 before the first.
func (w *Watch) Last() Point { return w.last }

// Alarm is the point at which the alarm that stands began; Check is 0 if none does.
// An alarm stands until the nozzle is adjusted or the alarm is found false.
func (w *Watch) Alarm() Point { return w.first }

// Checks and Jars are how many the watch has seen.
func (w *Watch) Checks() int64 { return w.checks }
func (w *Watch) Jars() int64   { return w.jars }

// Within is what its checks say of the spread of single jars; unknown is false.
func (w *Watch) Within() (sdG, degrees float64, known bool) {
	return w.within.sd(), w.within.df, w.within.df > 0
}

// Adjusted begins the charts anew after the nozzle was set otherwise: what was
// learned of its centre is forgotten, what was learned of its spread is kept.
func (w *Watch) Adjusted() { w.begin() }

// FalseAlarm begins sums, averages and runs anew but keeps the centre: the nozzle
// was weighed again and found in order.
func (w *Watch) FalseAlarm() {
	base := w.base
	w.begin()
	w.base = base
}
