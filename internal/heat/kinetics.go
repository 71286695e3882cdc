package heat

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A history is what the warmth did to each cell so far.
type history struct {
	laws                     [3]law
	hmf, gone, invert, yeast []float64
	rate, next               [4][]float64 // at the beginning, and at the point looked at
	film                     int          // the stirred vessel's cell at its wall, or −1
}

// A law is a + b/TK, the logarithm of a rate per second.
type law struct{ a, b float64 }

func logLaw(l honey.Arrhenius) law {
	return law{math.Log(l.At50/86400) + l.Energy/honey.R/(50+quantity.ZeroC), -l.Energy / honey.R}
}

func newHistory(p Properties, n int, film bool) *history {
	h := &history{laws: [3]law{logLaw(p.HMF), logLaw(p.Diastase), logLaw(p.Invertase)}, film: -1}
	if film {
		h.film = n
		n++
	}
	for _, x := range []*[]float64{&h.hmf, &h.gone, &h.invert, &h.yeast} {
		*x = make([]float64, n)
	}
	for i := range h.rate {
		h.rate[i], h.next[i] = make([]float64, n), make([]float64, n)
	}
	return h
}

// rates finds how fast each cell loses at its temperature.
func (h *history) rates(t []float64, out *[4][]float64) {
	for i, c := range t {
		u := 1 / (c + quantity.ZeroC)
		out[0][i] = math.Exp(h.laws[0].a + h.laws[0].b*u)
		out[1][i] = math.Exp(h.laws[1].a + h.laws[1].b*u)
		out[2][i] = math.Exp(h.laws[2].a + h.laws[2].b*u)
		out[3][i] = 0
		if c > 51 {
			out[3][i] = honey.YeastLethality(quantity.Celsius(c)) / 60
		}
	}
}

// add takes seconds of a rate into account.
func (h *history) add(seconds float64, rate *[4][]float64) {
	for k, sum := range [...][]float64{h.hmf, h.gone, h.invert, h.yeast} {
		r := rate[k]
		for i := range sum {
			sum[i] += seconds * r[i]
		}
	}
}

// The inner points and the weights of Lobatto's rule with four points on [0, 1].
var (
	lobattoAt = [2]float64{0.5 - 0.5/math.Sqrt(5), 0.5 + 0.5/math.Sqrt(5)}
	lobattoW  = [4]float64{1.0 / 12, 5.0 / 12, 5.0 / 12, 1.0 / 12}
)

// A stride is one accepted step: temperatures and slopes at both ends, joined by
// Hermite's cubic.
type stride struct {
	from, h float64 // s
	t0, t1  []float64
	s0, s1  []float64 // K/s
	room    float64
}

// at fills out with the field a share of the way along.
func (s *stride) at(x float64, out []float64) {
	a, b := (1+2*x)*(1-x)*(1-x), x*(1-x)*(1-x)*s.h
	c, d := x*x*(3-2*x), x*x*(x-1)*s.h
	for i := range s.t0 {
		out[i] = a*s.t0[i] + b*s.s0[i] + c*s.t1[i] + d*s.s1[i]
	}
}
