package fill

import (
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
)

// R's nested analysis of variance of 4 nozzles of 12 checks of 5 jars
// (testdata/reference.R): the mean squares give each part. Double precision on weights
// to a centigram: 1e-9.
func TestSpreadAgainstR(t *testing.T) {
	all := rows(t, own("parts"))
	d := Usual()
	l := line(t, d, 4)
	var net []quantity.Milligram
	for _, r := range all {
		if net = append(net, milligrams(t, r, "net")); len(net) == 5 {
			if _, err := l.Check(int(num(t, r, "nozzle")), must(CheckOf(net))); err != nil {
				t.Fatal(err)
			}
			net = nil
		}
	}
	w, c, n := num(t, all[0], "ms_within"), num(t, all[0], "ms_check"), num(t, all[0], "ms_nozzle")
	s, err := l.Spread()
	moving, nozzles := (c-w)/5, 0.75*(n-c)/60
	if err != nil || !close(s.WithinG, math.Sqrt(w), 1e-9) || !close(s.MovingG, math.Sqrt(moving), 1e-9) || !close(s.NozzlesG, math.Sqrt(nozzles), 1e-9) ||
		!close(s.TotalG, math.Sqrt(w+moving+nozzles), 1e-9) || s.Jars != 240 || s.Checks != 48 || s.Nozzles != 4 {
		t.Errorf("%+v, %v; R has mean squares %g, %g, %g", s, err, w, c, n)
	}
	// Satterthwaite by hand: a·W + b·C + c·N with a = 1 − 1/5, b = 1/5 − 0.75/60, c = 0.75/60.
	parts := [3]float64{0.8 * w, (0.2 - 0.0125) * c, 0.0125 * n}
	df := math.Pow(parts[0]+parts[1]+parts[2], 2) / (parts[0]*parts[0]/192 + parts[1]*parts[1]/44 + parts[2]*parts[2]/3)
	if !close(s.Degrees, df, 1e-6) {
		t.Errorf("degrees %.3f, want %.3f", s.Degrees, df)
	}
	one, err := l.NozzleSpread(1)
	if err != nil || one.Nozzles != 1 || one.NozzlesG != 0 || !(one.TotalG > 1 && one.TotalG < 3) {
		t.Errorf("nozzle 1: %+v, %v", one, err)
	}
}

// The parts come out right on average and the band holds the true total nine times in
// ten: 4 nozzles, checks that wander by 0.6 g, jars by 1.7 g; 600 periods. A share of
// 0.9 of 600 has a standard error of 0.012; Satterthwaite's degrees are themselves an
// approximation, so 0.04. Means of 600 have a standard error of about 0.005 g.
func TestSpreadBands(t *testing.T) {
	random := rand.New(rand.NewPCG(23, 24))
	offsets := [4]float64{0.5, -0.5, 0.2, -0.2}
	truth := math.Sqrt(1.7*1.7 + 0.6*0.6 + (0.25+0.25+0.04+0.04)/4)
	held, n := 0, 600
	var within, moving, total float64
	for range n {
		l := line(t, Usual(), 4)
		for range 16 {
			for k := 1; k <= 4; k++ {
				mean := 341 + offsets[k-1] + 0.6*random.NormFloat64()
				var net []quantity.Milligram
				for range 5 {
					net = append(net, netOf(random, mean))
				}
				if _, err := l.Check(k, must(CheckOf(net))); err != nil {
					t.Fatal(err)
				}
			}
		}
		s, err := l.Spread()
		if err != nil {
			t.Fatal(err)
		}
		within += s.WithinG / float64(n)
		moving += s.MovingG * s.MovingG / float64(n)
		total += s.TotalG * s.TotalG / float64(n)
		if s.LowG <= truth && truth <= s.HighG {
			held++
		}
	}
	if !close(within, 1.7, 0.02) || !close(moving, 0.36, 0.04) || !close(math.Sqrt(total), truth, 0.02) {
		t.Errorf("within %.3f g, moving² %.3f, total %.3f g; want 1.7, 0.36, %.3f", within, moving, math.Sqrt(total), truth)
	}
	if share := float64(held) / float64(n); !close(share, 0.9, 0.04) {
		t.Errorf("band holds %.3f", share)
	}
}

// A period with no movement and equal nozzles has no such parts, never negative ones,
// and a run known only by means uses the spread that is set for the jars.
func TestSpreadWithoutMovement(t *testing.T) {
	l := line(t, Usual(), 2)
	for range 10 {
		for k := 1; k <= 2; k++ {
			if _, err := l.CheckJars(k, []quantity.Milligram{340_000, 341_000, 342_000}); err != nil {
				t.Fatal(err)
			}
		}
	}
	s, err := l.Spread()
	if err != nil || s.MovingG != 0 || s.NozzlesG != 0 || s.TotalG != s.WithinG || !(s.TotalG < 1) {
		t.Errorf("%+v, %v", s, err)
	}
	d := Usual()
	d.SDG = 1.7
	l = line(t, d, 4)
	for _, row := range drifting {
		for k, mean := range row {
			if _, err := l.Check(k+1, must(CheckMean(5, mean))); err != nil {
				t.Fatal(err)
			}
		}
	}
	if s, err = l.Spread(); err != nil || s.WithinG != 1.7 || !(s.MovingG > 1) || !(s.TotalG > 2) || math.IsNaN(s.LowG) || !(s.LowG <= s.TotalG && s.TotalG <= s.HighG) {
		t.Errorf("%+v, %v", s, err)
	}
}

// The scale's rounding is the least spread, found or set.
func TestSpreadOfRounding(t *testing.T) {
	for _, sd := range []float64{0, 0.01} {
		d := Usual()
		d.DivisionG, d.SDG = 1, sd
		l := line(t, d, 1)
		for range 4 {
			var err error
			if sd > 0 {
				_, err = l.Check(1, must(CheckMean(5, 341)))
			} else {
				_, err = l.CheckJars(1, []quantity.Milligram{341_000, 341_000})
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if s, err := l.Spread(); err != nil || !close(s.WithinG, 1/math.Sqrt(12), 1e-12) {
			t.Errorf("%+v, %v", s, err)
		}
	}
}
