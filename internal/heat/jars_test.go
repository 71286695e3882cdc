package heat

import (
	"math"
	"testing"
)

// Jars that touch everywhere, without glass or air, are honey.
func TestStackOfNothingBetween(t *testing.T) {
	side := 0.07
	j := Jars{DiameterM: side / squareOfTheRound, HeightM: 0.1, PitchM: side / squareOfTheRound, LayerM: 0.1, GapFilm: 1000}
	body, p, err := j.Stack(4, 3, 2, Fixed())
	if err != nil {
		t.Fatal(err)
	}
	// The pattern of rounds leaves 1 − π/4 empty whatever the pitch.
	if want := 1420 * math.Pi / 4; math.Abs(p.DensityKgM3-want) > 1e-9*want || math.Abs(body.LengthM-4*j.PitchM) > 1e-12 {
		t.Errorf("density %.2f, want %.2f; %+v", p.DensityKgM3, want, body)
	}
	if k, most := p.Conductivity.At(20), Fixed().Conductivity.At(20); !(0.7*most < k && k < most) {
		t.Errorf("conductivity %.3f, honey has %.3f", k, most)
	}
}

// A jar cools faster alone than in its case, and there faster than inside a pallet; what
// heat it gives is honey's and glass's. The hours are this model's own; that jars on a
// pallet keep warm for days is common practice, without a published source.
func TestJarsCool(t *testing.T) {
	j := Jars{DiameterM: 0.08, HeightM: 0.075, PitchM: 0.088, LayerM: 0.1, GlassM: 0.003}
	body, film, err := j.One(StillAir)
	if err != nil {
		t.Fatal(err)
	}
	hours := func(c Case) float64 {
		c.Start = Even(45)
		low, high := 0.0, 600.0
		for range 14 { // the hour at which the hottest is at 26.25: three quarters of the way
			middle := (low + high) / 2
			c.ReportH = []float64{middle}
			if float64(mustRun(t, c).Hottest) > 26.25 {
				low = middle
			} else {
				high = middle
			}
		}
		return high
	}
	alone := hours(Case{Body: body, Honey: Fixed(), Faces: All(film, Steady(20))})
	in := func(along, across, high int) float64 {
		box, p, err := j.Stack(along, across, high, Fixed())
		if err != nil {
			t.Fatal(err)
		}
		carton, err := Through(StillAir, Layer{0.004, 0.06})
		if err != nil {
			t.Fatal(err)
		}
		return hours(Case{Body: box, Honey: p, Faces: All(carton, Steady(20))})
	}
	box, pallet := in(4, 3, 1), in(12, 9, 10)
	t.Logf("from 45 to 26 °C in a room of 20: %.1f h alone, %.1f h in a case of 12, %.0f h in a pallet of 1080", alone, box, pallet)
	if !(alone < box && 3*box < pallet && pallet > 48) {
		t.Errorf("%.1f h alone, %.1f h in a case, %.0f h in a pallet", alone, box, pallet)
	}
}
