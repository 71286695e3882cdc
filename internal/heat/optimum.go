package heat

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Control asks for the room temperatures, one for each of equal intervals, that
// bring the centre to a temperature in time with the least mean HMF.
type Control struct {
	Case      Case // constant properties, no grains, no convection; the heated faces follow the control
	Hours     float64
	Intervals int
	Low, High quantity.Celsius
	Centre    quantity.Celsius // at the end, at least
}

// An Optimum is the only best answer to a [Control]: with constant properties the
// honey's temperature is linear in the room's, and the rate of HMF is convex in it.
type Optimum struct {
	Set        []Setpoint
	HMFMean    quantity.MgKg
	Multiplier float64          // d HMF / d Centre, mg/kg per K
	Residual   float64          // of the conditions of Karush, Kuhn and Tucker, relative to the gradient
	Steady     quantity.Celsius // the constant room that just reaches it
	SteadyHMF  quantity.MgKg
}

// Best solves a [Control] by step responses: every mode of the body decays by itself,
// so one step's response, shifted and added up, is the answer to every control. The
// convex problem in the room's temperatures is solved by Newton's method with a
// logarithmic barrier (Boyd and Vandenberghe, Convex Optimization, 2004, ch. 11).
func (c Control) Best() (Optimum, error) {
	if err := c.check(); err != nil {
		return Optimum{}, err
	}
	p := newResponse(&c)
	reach := p.centreAt(constant(float64(c.High), c.Intervals))
	if !(reach > float64(c.Centre)) {
		return Optimum{}, fmt.Errorf("the centre comes to %.1f °C in %g h with the room at %g °C, want %g °C: more time or a warmer room",
			reach, c.Hours, float64(c.High), float64(c.Centre))
	}
	o := Optimum{}
	u := p.barrier(&o)
	for j, x := range u {
		o.Set = append(o.Set, Setpoint{Hour: c.Hours / float64(c.Intervals) * float64(j), C: quantity.Celsius(x)})
	}
	o.HMFMean = quantity.MgKg(p.harm(u, nil, nil))
	p.steady(&o)
	return o, nil
}

func (c *Control) check() error {
	c.Case.ReportH = []float64{c.Hours}
	for _, f := range c.Case.faces() {
		if f.Heated {
			f.Ambient = Steady(c.High)
		}
	}
	if err := first(between("deadline", c.Hours, 0.1, 1000, "h"), between("lowest room", float64(c.Low), coldest, hottest, "°C"),
		between("warmest room", float64(c.High), coldest, hottest, "°C"), c.Case.check()); err != nil {
		return err
	}
	if c.Intervals < 1 || c.Intervals > 100 {
		return fmt.Errorf("%d intervals, want 1 to 100", c.Intervals)
	}
	p := c.Case.Honey
	if p.Conductivity.PerC != 0 || p.HeatCapacity.PerC != 0 || c.Case.Melt != nil || c.Case.Convection != 0 || c.Case.Heater != nil ||
		c.Case.Start.Field != nil || c.Case.Start.Core != c.Case.Start.Skin {
		return fmt.Errorf("the exact optimum wants constant properties, no grains or convection, unlimited power and an even start")
	}
	for _, f := range c.Case.faces() {
		if f.Film > 0 && !f.Heated {
			return fmt.Errorf("the exact optimum wants every face with a film heated; the %s is not", f.name)
		}
	}
	if !(c.Low < c.High && float64(c.High) > float64(c.Case.Start.Core)) {
		return fmt.Errorf("the room may have %g to %g °C, want a range that ends above the honey's %g °C", float64(c.Low), float64(c.High), float64(c.Case.Start.Core))
	}
	return nil
}

// A response holds the body's answer to a room that becomes one kelvin warmer at hour
// 0, at every lag that the quadrature looks at.
type response struct {
	c      *Control
	g      *grid
	centre []float64     // at the ends of 1, 2 … intervals
	at     [][][]float64 // [interval][point of the quadrature][node]
	weight []float64     // of a point, h
	a, b   float64       // ln of the HMF rate per hour: a + b/TK
	start  float64
}

const smoothNodes = 9 // HMF to 2e-4 of the reference optimum

func newResponse(c *Control) *response {
	if c.Case.Nodes == 0 {
		c.Case.Nodes = smoothNodes
	}
	s := newSystem(&c.Case, c.Case.grid())
	l := logLaw(c.Case.Honey.HMF)
	r := &response{c: c, g: s.g, a: l.a + math.Log(3600), b: l.b, start: float64(c.Case.Start.Core)}
	s.solveAxes(c.Case.Honey.Conductivity.At0)
	hours, weights := graded(c.Hours / float64(c.Intervals))
	r.weight = weights
	centre := s.g.places().centre
	for m := range c.Intervals {
		var points [][]float64
		from := c.Hours / float64(c.Intervals) * float64(m)
		for _, h := range hours {
			points = append(points, s.step(from+h))
		}
		r.at = append(r.at, points)
		r.centre = append(r.centre, s.step(from + c.Hours/float64(c.Intervals))[centre])
	}
	return r
}

// step is the field some hours after the ambient of a body at 0 became 1.
func (s *system) step(hours float64) []float64 {
	modes, out := make([]float64, s.g.n), make([]float64, s.g.n)
	s.g.transform(true, s.g.volume, modes) // of a field of ones
	rhoCp := s.c.Honey.DensityKgM3 * s.c.Honey.HeatCapacity.At0
	for i := range modes {
		lambda := 0.0
		for a, ax := range s.g.axes {
			lambda += ax.lambda[s.g.place(i, a)]
		}
		modes[i] *= -math.Expm1(-lambda / rhoCp * hours * 3600)
	}
	s.g.transform(false, modes, out)
	return out
}

// graded gives Gauss points on an interval cut ever finer towards its beginning,
// where a field moves with the root of time.
func graded(length float64) (at, weight []float64) {
	edges := []float64{0}
	for e := length / 64; e < length*1.01; e *= 2 {
		edges = append(edges, e)
	}
	x := [3]float64{0.5 - math.Sqrt(0.15), 0.5, 0.5 + math.Sqrt(0.15)}
	w := [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}
	for i := range edges[1:] {
		h := edges[i+1] - edges[i]
		for k := range x {
			at = append(at, edges[i]+h*x[k])
			weight = append(weight, h*w[k])
		}
	}
	return at, weight
}

// centreAt is the centre at the end.
func (r *response) centreAt(u []float64) float64 {
	t := r.start
	for j, x := range u {
		t += (x - r.start) * r.pull(j)
	}
	return t
}

// pull is how much the centre's end follows interval j's room.
func (r *response) pull(j int) float64 {
	last := len(r.centre) - 1 - j
	if last == 0 {
		return r.centre[0]
	}
	return r.centre[last] - r.centre[last-1]
}

// harm is the mean HMF that a control adds; it adds up its gradient and Hessian (by
// rows) where they are wanted.
func (r *response) harm(u, gradient, hessian []float64) float64 {
	m, total := len(u), 0.0
	follow := make([]float64, m) // dT/du of one node at one time
	for p := range m {
		for q, w := range r.weight {
			for i, v := range r.g.volume {
				tk := r.follow(u, p, q, i, follow) + quantity.ZeroC
				rate := w * v / r.g.total * math.Exp(r.a+r.b/tk)
				total += rate
				if gradient == nil {
					continue
				}
				slope := -r.b / (tk * tk)
				bend := rate * (slope*slope + 2*r.b/(tk*tk*tk))
				for j, f := range follow[:p+1] {
					gradient[j] += rate * slope * f
					row := hessian[j*m : j*m+p+1]
					for l, g := range follow[:p+1] {
						row[l] += bend * f * g
					}
				}
			}
		}
	}
	return total
}

// follow is node i's temperature at point q of interval p, and how it follows each
// interval's room so far.
func (r *response) follow(u []float64, p, q, i int, out []float64) float64 {
	t := r.start
	for j := range p + 1 {
		out[j] = r.at[p-j][q][i]
		if j < p {
			out[j] -= r.at[p-j-1][q][i]
		}
		t += (u[j] - r.start) * out[j]
	}
	return t
}
