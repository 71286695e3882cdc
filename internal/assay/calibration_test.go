package assay

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
)

// A hidden house is one whose rates, energies, temperatures and laboratory are off by
// what the model's own doubt says; only the test knows by how much.
type hidden struct {
	*rand.Rand
	rate, energy map[string]float64 // by marker and type
	off          map[string]float64 // of temperatures, by key
	lab          map[Marker]float64
}

func newHidden(seed uint64) *hidden {
	h := &hidden{Rand: rand.New(rand.NewPCG(seed, 7)), rate: map[string]float64{}, energy: map[string]float64{},
		off: map[string]float64{}, lab: map[Marker]float64{}}
	for _, m := range Markers() {
		k := m.kinetics()
		h.lab[m] = h.NormFloat64()
		for _, t := range []string{"spring", "summer"} {
			h.rate[m.String()+t] = math.Exp(k.factorSD() * h.NormFloat64())
			h.energy[m.String()+t] = k.energySD * h.NormFloat64()
		}
	}
	return h
}

// grows is a marker's true growth along courses, integrated apart from the package: in
// steps of an hour by the midpoint rule, at the true temperature.
func (h *hidden) grows(m Marker, honeyType string, lot float64, courses ...Course) (y float64) {
	law := m.kinetics().law
	law.Energy += h.energy[m.String()+honeyType]
	for _, c := range courses {
		if _, ok := h.off[c.Key]; !ok {
			h.off[c.Key] = c.SD * h.NormFloat64()
		}
		for i := 1; i < len(c.Points); i++ {
			p, q := c.Points[i-1], c.Points[i]
			n := max(1, int((q.Hour-p.Hour)/6))
			for k := range n {
				at := p.C + (q.C-p.C)*quantity.Celsius((float64(k)+0.5)/float64(n))
				y += law.AtC(at+quantity.Celsius(h.off[c.Key])) * (q.Hour - p.Hour) / 24 / float64(n)
			}
		}
	}
	y *= h.rate[m.String()+honeyType] * lot
	if m.kinetics().log {
		return -y
	}
	return y
}

// read is what the laboratory says of a true value.
func (h *hidden) read(m Marker, truth float64) Reading {
	sd := m.UsualDoubt(truth)
	v := truth + sd*(math.Sqrt(labShare)*h.lab[m]+math.Sqrt(1-labShare)*h.NormFloat64())
	return Reading{Value: max(v, 0.05), SD: sd, Lab: "outside"}
}

// barn is a year's course of an unheated store, seen to 1.5 K, from day to day.
func barn(from, to float64) Course {
	return Store{Key: "barn", Mean: 13, Swing: 8, SD: 1.5}.Courses(24*from, 200+from, quantity.Days(to-from))[0]
}

// warmed is four days in a warming room.
func warmed(day float64) Course {
	return Course{Key: "warming room", SD: 0.5, Points: []Point{{24 * day, 15}, {24*day + 30, 42}, {24*day + 96, 45}}}
}

// A drum's life: read as a lot on day 0, read again after some months as often as said,
// warmed on day 300, then two years on the shelf.
type life struct {
	lot, y0 float64
	seen    []Seen
}

func (h *hidden) live(house *House, m Marker, honeyType string, rereadings int) (l life, history []Course) {
	l.lot = 1 + withinType*h.NormFloat64()
	l.y0 = 2 + 4*h.Float64()
	if m != HMF {
		l.y0 = 14 + 10*h.Float64()
	}
	truth := func(courses ...Course) float64 {
		if g := h.grows(m, honeyType, l.lot, courses...); m != HMF {
			return l.y0 * math.Exp(g)
		} else {
			return l.y0 + g
		}
	}
	l.seen = []Seen{{Reading: h.read(m, l.y0)}}
	day := 0.0
	var so []Course
	for range rereadings {
		so = append(so, barn(day, day+150))
		day += 150
		l.seen = append(l.seen, Seen{h.read(m, truth(so...)), append([]Course(nil), so...)})
	}
	if day < 300 {
		so = append(so, barn(day, 300))
		day = 300
	}
	so = append(so, warmed(day))
	return l, so
}

// outcome is one forecast of two years on the shelf, and what then came.
func (h *hidden) outcome(m Marker, rereadings, drums int) (truth float64, f Forecast) {
	const honeyType = "summer"
	var families []Family
	for range drums {
		other, _ := h.live(nil, m, honeyType, rereadings)
		families = append(families, Family{Type: honeyType, Seen: other.seen})
	}
	mine, history := h.live(nil, m, honeyType, rereadings)
	families = append(families, Family{Type: honeyType, Seen: mine.seen})
	house := New(Learn(m, honeyType, families))
	c := house.Unread(honeyType, "D001")
	passed := 0
	for _, s := range mine.seen {
		for _, course := range s.Courses[passed:] {
			c = must(house.Pass(c, course))
		}
		passed = len(s.Courses)
		var err error
		if c, _, err = house.Read(c, m, s.Reading); err != nil {
			panic(err)
		}
	}
	for _, course := range history[passed:] {
		c = must(house.Pass(c, course))
	}
	shelf := Store{Key: "shelf", Mean: 20, Swing: 3, SD: 1.5}
	day := history[len(history)-1].Points[2].Hour / 24
	c = must(house.Kept(c, shelf, 200+day, 730))
	y := h.grows(m, honeyType, mine.lot, append(history, shelf.Courses(0, 200+day, 730)...)...)
	if m != HMF {
		return mine.y0 * math.Exp(y), c.Forecast(m)
	}
	return mine.y0 + y, c.Forecast(m)
}

func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

const hiddenHouses = 200

// calibrated are how often each drum is read again, and how many others are read as well.
var calibrated = []struct{ again, drums int }{{0, 0}, {1, 1}, {2, 4}}

type count struct {
	in    int
	width float64
}

var counted = map[string]count{} // the chapter and the test count once

// calibrate counts the houses whose outcome lies in the band, and gives the mean of the
// band's width, ln(high/low).
func calibrate(m Marker, again, drums int) (in int, width float64) {
	key := fmt.Sprint(m, again, drums)
	if c, ok := counted[key]; ok {
		return c.in, c.width
	}
	defer func() { counted[key] = count{in, width} }()
	for n := range hiddenHouses {
		truth, f := newHidden(uint64(n)).outcome(m, again, drums)
		b := f.Band()
		if b.Low <= truth && truth <= b.High {
			in++
		}
		width += math.Log(b.High/b.Low) / hiddenHouses
	}
	return in, width
}

// On 200 houses whose rates nobody knows, 9-in-10 bands hold 86 to 94 outcomes in a
// hundred: 90 less and more two standard deviations of such a count, √(200·0.9·0.1) =
// 4.2 houses. And they narrow with readings.
func TestBandsHoldWhatTheySay(t *testing.T) {
	for _, m := range []Marker{HMF, Diastase} {
		before := math.Inf(1)
		for _, r := range calibrated {
			in, width := calibrate(m, r.again, r.drums)
			if in < hiddenHouses*86/100 || in > hiddenHouses*94/100 {
				t.Errorf("%s, read again %d times: %d of %d outcomes in the band of 9 in 10", m, r.again, in, hiddenHouses)
			}
			if !(width < before) {
				t.Errorf("%s, read again %d times: the band is ×/÷ %.3f, was ×/÷ %.3f with fewer", m, r.again, math.Exp(width/2), math.Exp(before/2))
			}
			before = width
		}
	}
}
