package heat

import (
	"fmt"
	"math"
	"slices"

	"combline/internal/quantity"
)

const (
	usualTolerance = 0.001 // K a step
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
	report int
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
	}
	film := c.Body.Shape == Stirred && c.Body.JacketHi > 0
	r := &runner{c: c, p: newStepper(newSolver(s), tolerance), hist: newHistory(c.Honey, g.n, film)}
	n := len(r.hist.hmf)
	r.field = make([]float64, n)
	r.stride = stride{t0: make([]float64, n), t1: make([]float64, n), s0: make([]float64, n), s1: make([]float64, n)}
	r.met = make([]float64, len(c.Watch))
	for i := range r.met {
		r.met[i] = math.NaN()
	}
	return r
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
	r.hist.rates(r.withFilm(p.t), &r.hist.rate)
	r.look(0)
	if r.c.ReportH[0] == 0 {
		r.result.Rows = append(r.result.Rows, r.result.Path[0])
		r.report = 1
	}
	return nil
}

// stretch steps from one stop to the next. Where no ambient turns, the step goes on.
func (r *runner) stretch(from, to float64) error {
	p := r.p
	if from > 0 && r.turns(from) || p.lastH == 0 {
		p.enter(from, (to-from)*3600)
		r.hist.rates(r.withFilm(p.t), &r.hist.rate)
	}
	end := to * 3600
	for p.second < end {
		h := p.h
		if left := end - p.second; h >= left*(1-1e-9) {
			h = left
		} else if h > left/2 {
			h = left / 2
		}
		if err := r.step(h, end); err != nil {
			return err
		}
	}
	r.look(to)
	if r.report < len(r.c.ReportH) && r.c.ReportH[r.report] == to {
		r.result.Rows = append(r.result.Rows, r.result.Path[len(r.result.Path)-1])
		r.report++
	}
	return r.inRange(to)
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
	if p.second < end {
		r.look(p.second / 3600)
		return r.inRange(p.second / 3600)
	}
	return nil
}

// carry accepts the step and adds up what it did.
func (r *runner) carry(h float64) {
	p, s := r.p, &r.stride
	s.from, s.h = p.second, h
	copy(s.t0, r.withFilm(p.T[0]))
	copy(s.s0, p.slope)
	in, heater := p.accept(h)
	r.in += in
	r.heater += heater
	p.begin()
	copy(s.t1, r.withFilm(p.t))
	copy(s.s1, p.slope)
	if r.hist.film >= 0 { // the wall's film follows in a straight line
		f := r.hist.film
		s.s0[f] = (s.t1[f] - s.t0[f]) / h
		s.s1[f] = s.s0[f]
	}
	r.lose(h)
	r.watch()
	r.remember()
}

// lose integrates the rates along the step in every cell.
func (r *runner) lose(h float64) {
	k := r.hist
	k.add(h*lobattoW[0], &k.rate)
	for i, x := range lobattoAt {
		r.stride.at(x, r.field)
		k.rates(r.field, &k.next)
		k.add(h*lobattoW[1+i], &k.next)
	}
	k.rates(r.stride.t1, &k.rate)
	k.add(h*lobattoW[3], &k.rate)
}

// remember keeps the most that has melted in each node.
func (r *runner) remember() {
	for i, t := range r.p.t {
		r.p.molten[i] = max(r.p.molten[i], r.c.Melt.Share(quantity.Celsius(t)))
	}
}

// withFilm adds the cell at a jacket's wall to a field.
func (r *runner) withFilm(t []float64) []float64 {
	if r.hist.film < 0 {
		return t
	}
	f := r.c.Faces.Side
	jacket := float64(r.p.ramps[sideFace].at(r.p.second))
	r.field[0] = t[0]
	r.field[1] = t[0] + (jacket-t[0])*f.Film/r.c.Body.JacketHi
	return r.field
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
