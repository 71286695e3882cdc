package assay

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Point is a temperature at an hour; the hour counts from any start that all
// courses of one content share.
type Point struct {
	Hour float64
	C    quantity.Celsius
}

// A Course is the temperature that honey had, or will have: straight lines between
// points. SD is one standard uncertainty of all of it together, in kelvin. What stood
// under one Key has one error: barn, room, shelf.
type Course struct {
	Key    string
	SD     float64
	Points []Point
}

const (
	coldest, hottest = -40.0, 100.0
	longestHours     = 100 * 8766.0
)

// Check refuses a course that can't be reckoned along.
func (c Course) Check() error {
	if !(c.SD >= 0 && c.SD <= 30) {
		return fmt.Errorf("doubt of a temperature is %g K, want 0 to 30", c.SD)
	}
	for i, p := range c.Points {
		if !(coldest <= p.C && p.C <= hottest) {
			return fmt.Errorf("temperature %g °C, want %g to %g", float64(p.C), coldest, hottest)
		}
		if !(math.Abs(p.Hour) <= longestHours*10) {
			return fmt.Errorf("hour %g of a temperature is out of reach", p.Hour)
		}
		if i > 0 && p.Hour < c.Points[i-1].Hour {
			return fmt.Errorf("hour %g follows %g: temperatures come in the order of time", p.Hour, c.Points[i-1].Hour)
		}
	}
	if n := len(c.Points); n > 0 && !(c.Points[n-1].Hour-c.Points[0].Hour <= longestHours) {
		return fmt.Errorf("%g hours are more than a hundred years", c.Points[n-1].Hour-c.Points[0].Hour)
	}
	return nil
}

// Hours is how long the course is.
func (c Course) Hours() float64 {
	if len(c.Points) == 0 {
		return 0
	}
	return c.Points[len(c.Points)-1].Hour - c.Points[0].Hour
}

// From is the course from an hour on, and To up to one.
func (c Course) From(hour float64) Course { return c.cut(hour, math.Inf(1)) }

// To is the course up to an hour.
func (c Course) To(hour float64) Course { return c.cut(math.Inf(-1), hour) }

func (c Course) cut(from, to float64) Course {
	var in []Point
	for i, p := range c.Points {
		if i > 0 {
			q := c.Points[i-1]
			for _, at := range [2]float64{from, to} {
				if q.Hour < at && at < p.Hour {
					in = append(in, Point{at, q.C + (p.C-q.C)*quantity.Celsius((at-q.Hour)/(p.Hour-q.Hour))})
				}
			}
		}
		if from <= p.Hour && p.Hour <= to {
			in = append(in, p)
		}
	}
	c.Points = in
	return c
}

// A heatSum is ∫ k dt of a law along a course, with what is needed to shift the law's
// energy and the course's temperature: moments of x = 1/TK − 1/323.15 and 1/TK² under
// the same weight.
type heatSum struct{ a, x, xx, q float64 }

func (s *heatSum) add(o heatSum) {
	s.a, s.x, s.xx, s.q = s.a+o.a, s.x+o.x, s.xx+o.xx, s.q+o.q
}

// sum integrates a law along a course, in the law's unit a day: 3-point
// Gauss–Legendre on pieces of at most 4 K, which is exact to 1e-7 there.
func sum(law honey.Arrhenius, c Course) (s heatSum) {
	for i := 1; i < len(c.Points); i++ {
		s.add(piece(law, c.Points[i-1], c.Points[i]))
	}
	return s
}

var (
	gaussAt = [3]float64{0.5 - 0.3872983346207417, 0.5, 0.5 + 0.3872983346207417}
	gaussBy = [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}
)

func piece(law honey.Arrhenius, p, q Point) (s heatSum) {
	days := (q.Hour - p.Hour) / 24
	if days <= 0 {
		return s
	}
	step := float64(q.C - p.C)
	n := max(1, int(math.Ceil(math.Abs(step)/4)))
	gauss := gaussAt[:]
	by := gaussBy[:]
	if step == 0 {
		gauss, by = gauss[1:2], []float64{1}
	}
	for k := range n {
		for j, g := range gauss {
			t := float64(p.C) + step*(float64(k)+g)/float64(n) + quantity.ZeroC
			w := by[j] * days / float64(n) * law.At(quantity.Kelvin(t))
			x := 1/t - 1/323.15
			s.add(heatSum{w, w * x, w * x * x, w / (t * t)})
		}
	}
	return s
}

// times is by how much the sum grows when the law's energy is off by energy (J/mol)
// and the temperature by kelvin: the cumulants of x to second order,
//
//	ln = −(δE/R)·x̄ + ½(δE/R)²·var(x) + ((E + δE)/R)·(1/T²)·δT
//
// within 1 % for 2 standard deviations of each along any store (see the tests).
func (s heatSum) times(law honey.Arrhenius, energy, kelvin float64) float64 {
	if s.a <= 0 {
		return 1
	}
	m := s.x / s.a
	v := max(0, s.xx/s.a-m*m)
	d := energy / honey.R
	return math.Exp(-d*m + d*d*v/2 + (law.Energy+energy)/honey.R*s.q/s.a*kelvin)
}

// perKelvin is how much the logarithm of the sum moves for one kelvin.
func (s heatSum) perKelvin(law honey.Arrhenius) float64 {
	if s.a <= 0 {
		return 0
	}
	return law.Energy / honey.R * s.q / s.a
}
