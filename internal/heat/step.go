package heat

import "math"

// A stepper carries a field of temperatures through time.
type stepper struct {
	*solver
	second, h  float64 // h is the step that the error control would take next
	t          []float64
	stored     []float64 // J of each node, by what came in: the solver's rest in t does not add up
	T, F       [stages][]float64
	in, heat   [stages]float64 // W through the faces; of the heater
	before     [2][]float64    // the step before: its beginning and middle
	lastH      float64         // its length; 0: none on this stretch
	known, err []float64
	tolerance  float64
	reported   bool // the step ends at an hour that is looked at
}

func newStepper(v *solver, tolerance float64) *stepper {
	p := &stepper{solver: v, tolerance: tolerance}
	all := []*[]float64{&p.t, &p.stored, &p.known, &p.err, &p.before[0], &p.before[1]}
	for i := range p.T {
		all = append(all, &p.T[i], &p.F[i])
	}
	for _, x := range all {
		*x = make([]float64, v.g.n)
	}
	return p
}

// enter begins a stretch, on which every ambient follows a straight line. The first
// step is so short that the mean moves by a hundredth of a kelvin.
func (p *stepper) enter(hour, longest float64) {
	p.stretch(hour)
	p.second = hour * 3600
	p.lastH = 0
	p.eval(p.t, p.second)
	p.begin()
	moves, heat := 0.0, 0.0
	for i := range p.flow {
		moves += math.Abs(p.flow[i])
		heat += p.capacity[i]
	}
	p.h = min(longest, 3600)
	if moves > 0 {
		p.h = min(p.h, 0.01*heat/moves)
	}
}

// begin takes eval's figures as those of the step's beginning.
func (p *stepper) begin() {
	copy(p.F[0], p.flow)
	copy(p.T[0], p.t)
	p.in[0], p.heat[0] = p.inflow, p.heater
}

// try makes one step of h seconds; the error is in K, +∞ if a stage did not converge.
// After it T holds the stages and eval's figures are those of the end.
func (p *stepper) try(h float64) float64 {
	p.prepare(h * gamma)
	for i := 1; i < stages; i++ {
		copy(p.known, p.stored)
		for j := range i {
			if a := h * methodA[i][j]; a != 0 {
				for n, f := range p.F[j] {
					p.known[n] += a * f
				}
			}
		}
		p.guess(i, h)
		small := 0.1 * p.tolerance
		if i == stages-1 && p.reported {
			small *= 0.05 // what is left in t shows in the row's account of heat
		}
		if !p.stage(p.T[i], p.known, h*gamma, p.second+h*methodC[i], small) {
			return math.Inf(1)
		}
		copy(p.F[i], p.flow)
		p.in[i], p.heat[i] = p.inflow, p.heater
	}
	clear(p.known)
	for j := range stages {
		e := h * (methodA[stages-1][j] - methodB3[j])
		for n, f := range p.F[j] {
			p.known[n] += e * f
		}
	}
	p.precondition(p.known, p.err)
	return p.size(p.err)
}

// guess extrapolates earlier stages to stage i, by the parabola through three.
func (p *stepper) guess(i int, h float64) {
	back := p.lastH / h
	c := methodC
	switch {
	case i == 1 && back > 0:
		parabola(p.T[1], c[1], [3]float64{-back, -back / 2, 0}, p.before[0], p.before[1], p.T[0])
	case i == 1:
		copy(p.T[1], p.T[0])
	case i == 2 && back > 0:
		parabola(p.T[2], c[2], [3]float64{-back / 2, 0, c[1]}, p.before[1], p.T[0], p.T[1])
	case i == 2:
		for n := range p.T[2] {
			p.T[2][n] = p.T[0][n] + c[2]/c[1]*(p.T[1][n]-p.T[0][n])
		}
	case i == 3:
		parabola(p.T[3], c[3], [3]float64{0, c[2], c[1]}, p.T[0], p.T[2], p.T[1])
	case i == 4:
		parabola(p.T[4], c[4], [3]float64{0, c[2], c[3]}, p.T[0], p.T[2], p.T[3])
	default:
		parabola(p.T[5], 1, [3]float64{c[2], c[3], c[4]}, p.T[2], p.T[3], p.T[4])
	}
}

func parabola(out []float64, x float64, at [3]float64, y0, y1, y2 []float64) {
	w0 := (x - at[1]) * (x - at[2]) / ((at[0] - at[1]) * (at[0] - at[2]))
	w1 := (x - at[0]) * (x - at[2]) / ((at[1] - at[0]) * (at[1] - at[2]))
	w2 := (x - at[0]) * (x - at[1]) / ((at[2] - at[0]) * (at[2] - at[1]))
	for i := range out {
		out[i] = w0*y0[i] + w1*y1[i] + w2*y2[i]
	}
}

// accept moves on to the end of a step of h seconds; it gives the heat that came in
// through the faces and from the heater, J.
func (p *stepper) accept(h float64) (in, heater float64) {
	for j := range stages {
		b := h * methodA[stages-1][j]
		for n, f := range p.F[j] {
			p.stored[n] += b * f
		}
		in += b * p.in[j]
		heater += b * p.heat[j]
	}
	copy(p.before[0], p.T[0])
	copy(p.before[1], p.T[1])
	copy(p.t, p.T[stages-1])
	p.lastH = h
	p.second += h
	return in, heater
}

// pace gives the next step from the error of one of h seconds.
func (p *stepper) paceOf(h, err float64) float64 {
	if math.IsInf(err, 1) || math.IsNaN(err) {
		return h / 4
	}
	return h * min(max(0.9*math.Pow(p.tolerance/max(err, 1e-12), 0.25), 0.2), 4)
}
