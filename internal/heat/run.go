package heat

import (
	"fmt"
	"math"
	"slices"

	"combline/internal/quantity"
)

const (
	usualTolerance = 0.001 // K a step
	watchTolerance = 2e-5  // between two steps a field is known to a lower order
	mostSteps      = 200000
)

// A runner works one case off.
type runner struct {
	c      *Case
	p      *stepper
	hist   *history
	stride stride
	field  []float64 // a field between two steps, and the film's cell
	start  float64   // J stored at hour 0
	in     float64   // J since then
	heater float64
	met    []float64
	result Result
}

func run(c Case) (Result, error) {
	r := newRunner(&c)
	if err := r.begin(); err != nil {
		return Result{}, err
	}
	stops := c.stops()
	for i, from := range stops[:len(stops)-1] {
		if err := r.stretch(from, stops[i+1]); err != nil {
			return Result{}, err
		}
	}
	r.result.End = r.end()
	r.result.MetH = r.met
	r.result.Work.Nodes = r.p.g.n
	r.result.Work.Solves = r.p.solves
	return r.result, nil
}

func newRunner(c *Case) *runner {
	g := c.grid()
	s := newSystem(c, g)
	tolerance := c.Tolerance
	if tolerance == 0 {
		tolerance = usualTolerance
		if len(c.Watch) > 0 {
			tolerance = watchTolerance
		}
	}
	low, high := c.span()
	film := c.Body.Shape == Stirred && c.Body.JacketHi > 0
	r := &runner{c: c, p: newStepper(newSolver(s), tolerance), hist: newHistory(newRateTable(c.Honey, low, high), g.n, film)}
	n := len(r.hist.hmf)
	r.field = make([]float64, n)
	for j, i := range strideStage {
		if r.stride.y[j] = r.p.T[i]; film {
			r.stride.y[j] = make([]float64, n)
		}
	}
	r.met = make([]float64, len(c.Watch))
	for i := range r.met {
		r.met[i] = math.NaN()
	}
	return r
}

// span is from the coldest to the hottest that stands around the honey or in it.
func (c *Case) span() (low, high float64) {
	low, high = float64(min(c.Start.Core, c.Start.Skin)), float64(max(c.Start.Core, c.Start.Skin))
	for _, f := range c.faces() {
		if f.Film > 0 {
			for _, x := range f.Ambient {
				low, high = min(low, float64(x.C)), max(high, float64(x.C))
			}
		}
	}
	return low, high
}

// stops are the hours between which every ambient follows a straight line.
func (c *Case) stops() []float64 {
	last := c.ReportH[len(c.ReportH)-1]
	hours := append([]float64{0, last}, c.ReportH...)
	add := func(p Program) {
		for _, x := range p {
			if x.Hour > 0 && x.Hour < last {
				hours = append(hours, x.Hour)
			}
		}
	}
	for _, f := range c.faces() {
		if f.Film > 0 {
			add(f.Ambient)
		}
	}
	if c.Heater != nil {
		add(c.Heater.Outside)
	}
	slices.Sort(hours)
	return slices.Compact(hours)
}

func (r *runner) begin() error {
	p := r.p
	if err := r.fill(); err != nil {
		return err
	}
	p.bodyOf(p.t)
	copy(p.stored, p.system.heat)
	r.start = sum(p.stored)
	p.enter(0, 0)
	r.rateNow()
	r.lookAt(0)
	return nil
}

// stretch steps from one stop to the next. Where no ambient turns, the step goes on.
func (r *runner) stretch(from, to float64) error {
	p := r.p
	if from > 0 && r.turns(from) || p.lastH == 0 {
		p.enter(from, (to-from)*3600)
		r.rateNow()
	}
	end := to * 3600
	for p.second < end {
		h := p.h
		if left := end - p.second; h >= left*(1-1e-9) {
			h = left
		} else if h > left/2 {
			h = left / 2
		}
		p.reported = p.second+h >= end*(1-1e-9)
		if err := r.step(h, end); err != nil {
			return err
		}
	}
	r.lookAt(to)
	return nil
}

// lookAt adds a row if the hour is to be reported.
func (r *runner) lookAt(hour float64) {
	if n := len(r.result.Rows); n < len(r.c.ReportH) && r.c.ReportH[n] == hour {
		r.result.Rows = append(r.result.Rows, r.look(hour))
	}
}

// turns reports whether an ambient changes its slope or jumps at an hour.
func (r *runner) turns(hour float64) bool {
	turn := func(p Program) bool {
		return slices.ContainsFunc(p, func(x Point) bool { return x.Hour == hour })
	}
	for _, f := range r.c.faces() {
		if f.Film > 0 && turn(f.Ambient) {
			return true
		}
	}
	return r.c.Heater != nil && turn(r.c.Heater.Outside)
}

// step makes one step of at most h seconds.
func (r *runner) step(h, end float64) error {
	p := r.p
	for {
		if r.result.Work.Steps+r.result.Work.Rejected > mostSteps {
			return fmt.Errorf("more than %d steps by hour %.3g: the case is too stiff or too long", mostSteps, p.second/3600)
		}
		err := p.try(h)
		next := p.paceOf(h, err)
		if err <= p.tolerance || h < 1e-6 {
			if h >= p.h || next < p.h {
				p.h = next
			}
			break
		}
		r.result.Work.Rejected++
		h = next
		p.h = next
		p.eval(p.t, p.second)
	}
	r.result.Work.Steps++
	r.carry(h)
	if last := end - p.second; math.Abs(last) < 1e-6 {
		p.second = end
	}
	if len(r.met) > 0 {
		r.result.Path = append(r.result.Path, r.look(p.second/3600))
	}
	return r.inRange(p.second / 3600)
}

// carry accepts the step and adds up what it did.
func (r *runner) carry(h float64) {
	p, s := r.p, &r.stride
	s.from, s.h = p.second, h
	if r.hist.film >= 0 {
		for j, i := range strideStage {
			r.withFilm(p.T[i], p.second+h*strideAt[j], s.y[j])
		}
	}
	r.lose(h)
	r.watch()
	in, heater := p.accept(h)
	r.in += in
	r.heater += heater
	p.begin()
	r.remember()
}

// lose integrates the rates along the step in every cell: by the method's own weights,
// as if what is lost were a part of the equation, so that the stages' errors cancel. But
// a rate doubles every 4 to 5 K: where a cell moves by more than that, as in a vessel
// that follows its jacket at once, in parts over the polynomial through the stages.
func (r *runner) lose(h float64) {
	const mostK, mostPart = 2, 4
	moves := 0.0
	for i, t := range r.stride.y[0] {
		moves = max(moves, math.Abs(r.stride.y[4][i]-t))
	}
	k := r.hist
	if moves > mostK {
		r.loseInParts(h, math.Ceil(moves/mostPart))
		return
	}
	b := methodA[stages-1]
	k.add(h*b[0], &k.now)
	for j, i := range strideStage[1:] {
		k.rates(r.stride.y[j+1], &k.now)
		k.add(h*b[i], &k.now)
	}
}

func (r *runner) loseInParts(h, parts float64) {
	k := r.hist
	for part := range int(parts) {
		k.add(h/parts*lobattoW[0], &k.now)
		for i, x := range lobattoAt {
			r.stride.at((float64(part)+x)/parts, r.field)
			k.rates(r.field, &k.next)
			k.add(h/parts*lobattoW[1+i], &k.next)
		}
		r.stride.at(float64(part+1)/parts, r.field)
		k.rates(r.field, &k.now)
		k.add(h/parts*lobattoW[3], &k.now)
	}
}

// remember keeps the most that has melted in each node.
func (r *runner) remember() {
	for i, t := range r.p.t {
		r.p.molten[i] = max(r.p.molten[i], r.c.Melt.Share(quantity.Celsius(t)))
	}
}

// withFilm copies a field, with the cell at a jacket's wall behind it.
func (r *runner) withFilm(t []float64, second float64, out []float64) {
	copy(out, t)
	if f := r.hist.film; f >= 0 {
		jacket := float64(r.p.ramps[sideFace].at(second))
		out[f] = t[0] + (jacket-t[0])*r.c.Faces.Side.Film/r.c.Body.JacketHi
	}
}

// rateNow looks at the rates anew, where an ambient has jumped.
func (r *runner) rateNow() {
	r.withFilm(r.p.t, r.p.second, r.field)
	r.hist.rates(r.field, &r.hist.now)
}

func (r *runner) inRange(hour float64) error {
	low, high := float64(r.c.Honey.Low), float64(r.c.Honey.High)
	for _, t := range r.p.t {
		if !(low-1e-6 <= t && t <= high+1e-6) {
			return fmt.Errorf("the honey comes to %.1f °C after %.3g h; its figures hold from %g to %g °C", t, hour, low, high)
		}
	}
	return nil
}

func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
