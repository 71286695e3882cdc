package assay

import (
	"hash/fnv"
	"math"
)

// Scenarios is how many equally likely ones a forecast is made of: a band's end is then
// good to about 3 % of the band's width.
const Scenarios = 256

// A draw is one unknown in every scenario.
type draw [Scenarios]float64

// normalQuantile is the value below which a share of the standard normal law lies.
func normalQuantile(share float64) float64 { return math.Sqrt2 * math.Erfinv(2*share-1) }

// shuffled gives the numbers 0 … Scenarios−1 in an order that the key alone decides:
// what has one key is the same unknown, what has another is independent of it. With
// the numbers as strata of its law (Latin hypercube sampling: McKay, Beckman and
// Conover, Technometrics 21, 1979, 239–245) every unknown has its exact spread.
func shuffled(key string) (order [Scenarios]int) {
	h := fnv.New64a()
	h.Write([]byte(key)) // a hash takes all bytes
	state := h.Sum64()
	for i := range order {
		order[i] = i
	}
	for i := Scenarios - 1; i > 0; i-- {
		j := int(splitMix(&state) % uint64(i+1))
		order[i], order[j] = order[j], order[i]
	}
	return order
}

// splitMix is the generator SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
func splitMix(state *uint64) uint64 {
	*state += 0x9e3779b97f4a7c15
	z := *state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// standard are the middles of the strata of the standard normal law, scaled so that
// their variance is 1.
var standard = func() (z draw) {
	var ss float64
	for i := range z {
		z[i] = normalQuantile((float64(i) + 0.5) / Scenarios)
		ss += z[i] * z[i]
	}
	k := math.Sqrt(Scenarios / ss)
	for i := range z {
		z[i] *= k
	}
	return z
}()

// A Sampler hands out unknowns by key. It keeps what it made: one goroutine at a time.
type Sampler struct{ made map[string]*draw }

func (s *Sampler) normal(key string) *draw {
	if d := s.made[key]; d != nil {
		return d
	}
	if s.made == nil {
		s.made = map[string]*draw{}
	}
	d := new(draw)
	for i, at := range shuffled(key) {
		d[i] = standard[at]
	}
	s.made[key] = d
	return d
}
