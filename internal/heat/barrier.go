package heat

import (
	"math"

	"combline/internal/quantity"

	"gonum.org/v1/gonum/mat"
)

// barrier finds the best control: the harm plus a wall of logarithms before every
// bound, which falls back as weight grows.
func (r *response) barrier(o *Optimum) []float64 {
	m := r.c.Intervals
	low, high := float64(r.c.Low), float64(r.c.High)
	spare := r.centreAt(constant(high, m)) - float64(r.c.Centre)
	u := constant(high-min(0.05*(high-low), 0.5*spare), m)
	gradient, hessian := make([]float64, m), make([]float64, m*m)
	const most = 1e8 // leaves (2m+1)/most mg/kg on the table
	for weight := 100.0; weight <= most; weight *= 100 {
		for range 50 {
			clear(gradient)
			clear(hessian)
			r.harm(u, gradient, hessian)
			step := r.newton(u, gradient, hessian, weight)
			if !r.advance(u, step, gradient, weight) {
				break
			}
		}
	}
	clear(gradient)
	r.harm(u, gradient, hessian)
	r.judge(o, u, gradient, most)
	return u
}

// newton is the step that solves the barrier's quadratic model; gradient and hessian
// become the barrier's own.
func (r *response) newton(u, gradient, hessian []float64, weight float64) []float64 {
	m := len(u)
	low, high := float64(r.c.Low), float64(r.c.High)
	over := r.centreAt(u) - float64(r.c.Centre)
	h := mat.NewSymDense(m, nil)
	for j := range m {
		down, up := u[j]-low, high-u[j]
		gradient[j] = weight*gradient[j] - r.pull(j)/over - 1/down + 1/up
		for l := j; l < m; l++ {
			x := weight*hessian[j*m+l] + r.pull(j)*r.pull(l)/(over*over)
			if l == j {
				x += 1/(down*down) + 1/(up*up)
			}
			h.SetSym(j, l, x)
		}
	}
	var c mat.Cholesky
	if !c.Factorize(h) {
		panic("heat: the barrier's Hessian is positive: the harm is convex")
	}
	step := mat.NewVecDense(m, nil)
	if err := c.SolveVecTo(step, mat.NewVecDense(m, gradient)); err != nil {
		return make([]float64, m) // too ill-conditioned to go on: the bounds are met to rounding
	}
	step.ScaleVec(-1, step)
	return step.RawVector().Data
}

// advance goes along a step as far as it helps; false: no further.
func (r *response) advance(u, step, gradient []float64, weight float64) bool {
	fall := dot(gradient, step)
	if !(fall < -1e-3) { // so near, Newton's own step squares what is left
		r.nudge(u, step)
		return fall < -1e-12
	}
	here, next := r.wall(u, weight), make([]float64, len(u))
	for part := 1.0; part > 1e-8; part /= 2 {
		for j := range u {
			next[j] = u[j] + part*step[j]
		}
		if r.wall(next, weight) <= here+1e-4*part*fall {
			copy(u, next)
			return true
		}
	}
	return false
}

// nudge goes a whole step if that stays within the bounds.
func (r *response) nudge(u, step []float64) {
	next := make([]float64, len(u))
	for j := range u {
		next[j] = u[j] + step[j]
	}
	if !math.IsInf(r.wall(next, 1), 1) {
		copy(u, next)
	}
}

// wall is the harm with its barrier, +∞ behind it.
func (r *response) wall(u []float64, weight float64) float64 {
	over := r.centreAt(u) - float64(r.c.Centre)
	if !(over > 0) {
		return math.Inf(1)
	}
	sum := -math.Log(over)
	for _, x := range u {
		down, up := x-float64(r.c.Low), float64(r.c.High)-x
		if !(down > 0 && up > 0) {
			return math.Inf(1)
		}
		sum -= math.Log(down) + math.Log(up)
	}
	return weight*r.harm(u, nil, nil) + sum
}

// judge gives the multiplier and how far the conditions of an optimum are missed.
func (r *response) judge(o *Optimum, u, gradient []float64, weight float64) {
	o.Multiplier = 1 / (weight * (r.centreAt(u) - float64(r.c.Centre)))
	size := 0.0
	for j, x := range u {
		down, up := 1/(weight*(x-float64(r.c.Low))), 1/(weight*(float64(r.c.High)-x))
		o.Residual = max(o.Residual, math.Abs(gradient[j]-o.Multiplier*r.pull(j)-down+up))
		size = max(size, math.Abs(gradient[j]))
	}
	o.Residual /= size
}

// steady finds the constant room that just brings the centre there: linear in it.
func (r *response) steady(o *Optimum) {
	all := 0.0
	for j := range r.c.Intervals {
		all += r.pull(j)
	}
	u := r.start + (float64(r.c.Centre)-r.start)/all
	o.Steady = quantity.Celsius(u)
	o.SteadyHMF = quantity.MgKg(r.harm(constant(u, r.c.Intervals), nil, nil))
}

func constant(x float64, n int) []float64 {
	u := make([]float64, n)
	for i := range u {
		u[i] = x
	}
	return u
}
