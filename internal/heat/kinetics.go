package heat

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A history is what the warmth did to each cell so far.
type history struct {
	rate                     rateTable
	hmf, gone, invert, yeast []float64
	now, next                [4][]float64 // rates at the beginning, and at the point looked at
	film                     int          // the stirred vessel's cell at its wall, or −1
}

// A law is a + b/TK, the logarithm of a rate per second.
type law struct{ a, b float64 }

func logLaw(l honey.Arrhenius) law {
	return law{math.Log(l.At50/86400) + l.Energy/honey.R/(50+quantity.ZeroC), -l.Energy / honey.R}
}

// at is the rate at a temperature, and its slope over a width of the table.
func (l law) at(c float64) (rate, slope float64) {
	u := 1 / (c + quantity.ZeroC)
	rate = math.Exp(l.a + l.b*u)
	return rate, -l.b * u * u * rate / tablePerK
}

// A rateTable has the three rates as cubics, each a quarter of a kelvin wide, that meet
// with their slopes: within 3e-8 of the laws, and three times as fast as they. Outside
// it the laws themselves are asked.
type rateTable struct {
	laws      [3]law
	low, high float64
	cubics    [][3][4]float64
}

const tablePerK = 4

func newRateTable(p Properties, low, high float64) rateTable {
	t := rateTable{laws: [3]law{logLaw(p.HMF), logLaw(p.Diastase), logLaw(p.Invertase)}, low: math.Floor(low) - 1, high: math.Ceil(high) + 1}
	t.cubics = make([][3][4]float64, int((t.high-t.low)*tablePerK))
	for k, l := range t.laws {
		f0, s0 := l.at(t.low)
		for i := range t.cubics {
			f1, s1 := l.at(t.low + float64(i+1)/tablePerK)
			t.cubics[i][k] = [4]float64{f0, s0, 3*(f1-f0) - 2*s0 - s1, s0 + s1 - 2*(f1-f0)}
			f0, s0 = f1, s1
		}
	}
	return t
}

func (t *rateTable) at(c float64) (hmf, diastase, invertase float64) {
	if !(t.low <= c && c < t.high) {
		hmf, _ = t.laws[0].at(c)
		diastase, _ = t.laws[1].at(c)
		invertase, _ = t.laws[2].at(c)
		return hmf, diastase, invertase
	}
	x := (c - t.low) * tablePerK
	i := int(x)
	u := x - float64(i)
	q := &t.cubics[i]
	return q[0][0] + u*(q[0][1]+u*(q[0][2]+u*q[0][3])), q[1][0] + u*(q[1][1]+u*(q[1][2]+u*q[1][3])), q[2][0] + u*(q[2][1]+u*(q[2][2]+u*q[2][3]))
}

func newHistory(rate rateTable, n int, film bool) *history {
	h := &history{rate: rate, film: -1}
	if film {
		h.film = n
		n++
	}
	for _, x := range []*[]float64{&h.hmf, &h.gone, &h.invert, &h.yeast} {
		*x = make([]float64, n)
	}
	for i := range h.now {
		h.now[i], h.next[i] = make([]float64, n), make([]float64, n)
	}
	return h
}

// rates finds how fast each cell loses at its temperature.
func (h *history) rates(t []float64, out *[4][]float64) {
	o0, o1, o2, o3 := out[0][:len(t)], out[1][:len(t)], out[2][:len(t)], out[3][:len(t)]
	for i, c := range t {
		o0[i], o1[i], o2[i] = h.rate.at(c)
		o3[i] = 0
		if c > 51 {
			o3[i] = honey.YeastLethality(quantity.Celsius(c)) / 60
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
