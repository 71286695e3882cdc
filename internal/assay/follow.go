package assay

import (
	"math"

	"combline/internal/quantity"
)

// A Drum is what says how slowly a vessel's honey follows the air or water around it:
// its mass, and the film in W/(m²·K).
type Drum struct {
	Mass quantity.Kg
	Film float64
}

// Lag is the hours in which the honey's mean comes within 1/e of the step:
//
//	τ = m·cp/(U·A),  1/U = 1/h + D/(8k),  A = 2πD²,  D = (8V/(3π))^⅓
//
// for a cylinder half as high again as wide, with cp 2.3 kJ/(kg·K), k 0.44 W/(m·K)
// between the two schools, 1420 kg/m³. Half the radius through k/2 stands for the way
// of the warmth inside. Within 15 % of the HMF that package heat reckons for a 290 kg
// drum in fan air (see the tests). Range 0.1 to 10 000 kg.
func (d Drum) Lag() float64 {
	m := min(max(float64(d.Mass), 0.1), 1e4)
	wide := math.Cbrt(4 * (m / 1420) / (1.5 * math.Pi))
	u := 1 / (1/max(d.Film, 1) + wide/8/0.44)
	return m * 2300 / (u * 2 * math.Pi * wide * wide) / 3600
}

// Follow is the mean temperature of honey that stands in air of a course, from a
// temperature on: the exact solution of
//
//	dT/dt = (T_air − T)/τ
//
// along straight lines of air, at the air's own points and often enough between them
// that straight lines stay within 0.6 K of it. Two points of one hour are a jump.
func Follow(air []Point, start quantity.Celsius, lag float64) []Point {
	if len(air) == 0 {
		return nil
	}
	all := []Point{{air[0].Hour, start}}
	for i := 1; i < len(air); i++ {
		p, q := air[i-1], air[i]
		long := q.Hour - p.Hour
		if long <= 0 {
			continue
		}
		t0 := float64(all[len(all)-1].C)
		slope := float64(q.C-p.C) / long
		gap := t0 - float64(p.C) + slope*lag
		at := func(h float64) quantity.Celsius {
			return quantity.Celsius(float64(p.C) + slope*(h-lag) + gap*math.Exp(-h/lag))
		}
		for _, share := range curve {
			if h := share * lag; math.Abs(gap)*math.Exp(-share) > 0.3 && h < long {
				all = append(all, Point{p.Hour + h, at(h)})
			}
		}
		all = append(all, Point{q.Hour, at(long)})
	}
	return all
}

// curve are the times, in lags, at which an exponential is cut into straight lines.
var curve = [...]float64{0.15, 0.3, 0.5, 0.75, 1, 1.35, 1.75, 2.25, 3, 4, 5.5}

// AirFor is by how much air along all of a stretch must have been warmer, evenly, so that
// the honey ends at what was read: the honey's lag and the stretch's hours decide how
// much of it arrives. ok is false when the stretch is so short that hardly any does.
func AirFor(reckoned, read quantity.Celsius, hours, lag float64) (warmer float64, ok bool) {
	arrives := -math.Expm1(-hours / lag)
	return float64(read-reckoned) / arrives, arrives > 0.15
}
