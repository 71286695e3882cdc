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

// A stride is one accepted step: the temperatures at five of its stages, joined by the
// polynomial through them. (Slopes would not do: heat flow over capacity magnifies what
// the solver leaves by as much as the equation is stiff.)
type stride struct {
	from, h float64 // s
	y       [5][]float64
}

// The stages that a stride keeps, and their barycentric weights.
var (
	strideStage = [5]int{0, 2, 3, 4, 5}
	strideAt    = [5]float64{methodC[0], methodC[2], methodC[3], methodC[4], methodC[5]}
	strideB     = barycentric(strideAt[:])
)

// at fills out with the field a share of the way along.
func (s *stride) at(x float64, out []float64) {
	var w [5]float64
	sum := 0.0
	for j, c := range strideAt {
		if x == c {
			copy(out, s.y[j])
			return
		}
		w[j] = strideB[j] / (x - c)
		sum += w[j]
	}
	for j := range w {
		w[j] /= sum
	}
	y0, y1, y2, y3, y4 := s.y[0], s.y[1], s.y[2], s.y[3], s.y[4]
	for i := range out {
		out[i] = w[0]*y0[i] + w[1]*y1[i] + w[2]*y2[i] + w[3]*y3[i] + w[4]*y4[i]
	}
}
