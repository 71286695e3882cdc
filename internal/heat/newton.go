package heat

import "math"

// A solver finds the temperatures of one stage.
type solver struct {
	*system
	rest, delta, search, image, pre []float64
	solves                          int
	pace                            float64 // by how much a correction shrank from one to the next
}

func newSolver(s *system) *solver {
	v := &solver{system: s, pace: 0.1}
	for _, p := range []*[]float64{&v.rest, &v.delta, &v.search, &v.image, &v.pre} {
		*p = make([]float64, s.g.n)
	}
	return v
}

const mostCorrections = 25

// stage solves heat(t) = known + hγ·flow(t) for t by Newton's method, from the
// guess in t, until the next correction would be below small (K, root mean square).
// It leaves heat and capacity for t, as flow what the equation says that it is, and as
// inflow what the faces say; false: it does not converge.
func (v *solver) stage(t, known []float64, hGamma, second, small float64) bool {
	last := math.Inf(1)
	pace := v.pace
	for n := range mostCorrections {
		v.eval(t, second)
		for i := range t {
			v.rest[i] = known[i] + hGamma*v.flow[i] - v.heat[i]
		}
		v.correct(hGamma)
		size := v.size(v.delta)
		if !(size < 1e4) || size > 2*last {
			return false
		}
		for i := range t {
			t[i] += v.delta[i]
		}
		if n > 0 && size > 0 {
			pace = max(size/last, 0.3*pace)
			v.pace = min(pace, 0.5)
		}
		last = size
		if size*pace/(1-min(pace, 0.9)) <= small || size <= 1e-3*small {
			v.settle(t, known, hGamma, second)
			return true
		}
	}
	return false
}

// settle takes the flow from the stage's equation: the conduction would only magnify what
// is left in t by as much as the equation is stiff. What then lacks of the heat that came
// in, the solver's rest, is spread over the body, so that none is lost.
func (v *solver) settle(t, known []float64, hGamma, second float64) {
	v.bodyOf(t)
	v.atFaces(t, second, false)
	lacks := v.inflow
	for i := range t {
		v.flow[i] = (v.heat[i] - known[i]) / hGamma
		lacks -= v.flow[i]
	}
	for i, w := range v.g.volume {
		v.flow[i] += lacks * w / v.g.total
	}
}

// correct solves jacobian·delta = rest: by the preconditioner alone where
// properties hardly differ, else by conjugate gradients with it.
func (v *solver) correct(hGamma float64) {
	v.solves++
	if v.even {
		v.precondition(v.rest, v.delta)
		return
	}
	v.precondition(v.rest, v.pre)
	copy(v.search, v.pre)
	clear(v.delta)
	rho := dot(v.rest, v.pre)
	enough := 1e-4 * rho // a hundredth in the residual's own norm
	for range 60 {
		if !(rho > enough) || rho == 0 {
			return
		}
		v.solves++
		v.jacobian(hGamma, v.search, v.image)
		along := rho / dot(v.search, v.image)
		for i := range v.delta {
			v.delta[i] += along * v.search[i]
			v.rest[i] -= along * v.image[i]
		}
		v.precondition(v.rest, v.pre)
		next := dot(v.rest, v.pre)
		beta := next / rho
		for i := range v.search {
			v.search[i] = v.pre[i] + beta*v.search[i]
		}
		rho = next
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// size is the root mean square over the volume.
func (v *solver) size(x []float64) float64 {
	sum := 0.0
	for i, w := range v.g.volume {
		sum += w * x[i] * x[i]
	}
	return math.Sqrt(sum / v.g.total)
}
