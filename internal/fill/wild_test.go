package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

// One wild jar (a tenth of a jar, a spilt or doubled one) raises its flag but neither
// blinds nor poisons the charts: the spread learned stays, and the nozzle is quiet
// again a few checks later. Ten times a jar is refused and changes nothing.
func TestOneWildJarDoesNotPoison(t *testing.T) {
	for _, wild := range []quantity.Milligram{34_000, 200_000, 679_000} {
		random := rand.New(rand.NewPCG(15, 16))
		d := Usual()
		d.LabelG = 340
		l := line(t, d, 2)
		quiet := 0
		for check := 1; check <= 60; check++ {
			for k := 1; k <= 2; k++ {
				var net []quantity.Milligram
				for range 5 {
					net = append(net, netOf(random, 341.3))
				}
				if check == 20 && k == 1 {
					net[2] = wild
				}
				p, err := l.CheckJars(k, net)
				if err != nil {
					t.Fatal(err)
				}
				if p.Signals.Has(Wild) != (check == 20 && k == 1) {
					t.Errorf("%d mg: wild at check %d, nozzle %d: %v", wild, check, k, p.Signals.Names())
				}
				if k == 1 && check > 20 && quiet == 0 && !p.Signals.Alarm() {
					quiet = check
				}
			}
		}
		s, known := l.Sigma()
		if !known || !close(s, jarSD, 0.2) || quiet > 30 || l.Wild() != 1 {
			t.Errorf("%d mg: spread %.3f g, quiet again at check %d, %d wild", wild, s, quiet, l.Wild())
		}
		before := *l
		if _, _, err := l.Weigh(1, 3_413_000); !errors.Is(err, ErrOutOfRange) || !strings.Contains(err.Error(), "3413 g") {
			t.Errorf("ten times a jar: %v", err)
		}
		if _, err := l.CheckJars(1, []quantity.Milligram{341_000, 3_413_000, 341_000}); !errors.Is(err, ErrOutOfRange) || !strings.Contains(err.Error(), "jar 2") {
			t.Errorf("ten times a jar in a check: %v", err)
		}
		if before.within != l.within || before.wild != l.wild {
			t.Error("a refused jar left its trace")
		}
	}
}

// A nozzle that is stuck gives half jars from then on: its every check is an alarm,
// however wild.
func TestStuckNozzle(t *testing.T) {
	random := rand.New(rand.NewPCG(17, 18))
	d := Usual()
	d.LabelG = 340
	l := line(t, d, 2)
	for check := 1; check <= 20; check++ {
		for k := 1; k <= 2; k++ {
			mean := 341.0
			if k == 2 && check > 10 {
				mean = 170
			}
			var net []quantity.Milligram
			for range 5 {
				net = append(net, netOf(random, mean))
			}
			p, err := l.CheckJars(k, net)
			if err != nil {
				t.Fatal(err)
			}
			if k == 2 && check > 10 && !(p.Signals.Has(MeanLow) && p.Signals.Has(Wild)) {
				t.Errorf("check %d: %v", check, p.Signals.Names())
			}
		}
	}
	w, _ := l.Nozzle(2)
	if good, err := w.LastGood(false); err != nil || good != 10 {
		t.Errorf("last good check %d, %v; want 10", good, err)
	}
}

func TestLineRefuses(t *testing.T) {
	nan := math.NaN()
	for name, change := range map[string]func(*Design){
		"centre NaN": func(d *Design) { d.CentreG = nan }, "spread NaN": func(d *Design) { d.SDG = nan }, "spread negative": func(d *Design) { d.SDG = -1 },
		"weight 0": func(d *Design) { d.Lambda = 0 }, "line NaN": func(d *Design) { d.H = nan }, "head start 2": func(d *Design) { d.Head = 2 },
		"clip under the lines": func(d *Design) { d.Clip = 2 }, "no group": func(d *Design) { d.Group = 0 }, "no learning": func(d *Design) { d.Learn = 0 },
	} {
		d := Usual()
		change(&d)
		if _, err := NewLine(d, 4); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := NewLine(Usual(), 0); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("no nozzle: %v", err)
	}
	d := Usual()
	d.LabelG = 340
	l := line(t, d, 4)
	for _, net := range []quantity.Milligram{0, -1, -341_000, 680_001, math.MaxInt64, math.MinInt64} {
		if _, _, err := l.Weigh(1, net); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d mg: %v", net, err)
		}
		if _, err := l.CheckJars(1, []quantity.Milligram{341_000, net}); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d mg in a check: %v", net, err)
		}
	}
	for _, k := range []int{-1, 0, 5} {
		if _, _, err := l.Weigh(k, 341_000); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("nozzle %d: %v", k, err)
		}
	}
	for _, c := range []Check{{}, {N: 5, MeanG: nan}, {N: 5, MeanG: -1}, {N: 5, MeanG: 3400}, {N: 5, MeanG: 341, SDG: nan, HasSD: true}, {N: 5, MeanG: math.Inf(1)}} {
		if _, err := l.Check(1, c); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if _, err := l.CheckJars(1, nil); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("no jar: %v", err)
	}
	if w, _ := l.Nozzle(1); w.Checks() != 0 {
		t.Errorf("%d checks of refused jars", w.Checks())
	}
	if _, err := l.Spread(); !errors.Is(err, ErrUnknown) {
		t.Errorf("spread of nothing: %v", err)
	}
	w, _ := l.Nozzle(1)
	if _, err := w.ChangePoint(); !errors.Is(err, ErrUnknown) {
		t.Errorf("change of nothing: %v", err)
	}
	if _, err := w.Advise(341, 0.1); !errors.Is(err, ErrUnknown) {
		t.Errorf("advice on nothing: %v", err)
	}
}

// Jars all the same to the milligram have no spread to judge by: nothing is said, and
// it is no pass; with the scale's division known, its rounding is the least spread.
func TestNoSpread(t *testing.T) {
	d := Usual()
	d.LabelG = 340
	l := line(t, d, 1)
	for range 10 {
		p, err := l.CheckJars(1, []quantity.Milligram{341_000, 341_000, 341_000, 341_000, 341_000})
		if err != nil || p.Signals != Learning {
			t.Fatalf("%+v, %v", p, err)
		}
	}
	d.DivisionG = 1
	l = line(t, d, 1)
	var p Point
	for range 10 {
		var err error
		if p, err = l.CheckJars(1, []quantity.Milligram{341_000, 341_000, 341_000, 341_000, 341_000}); err != nil {
			t.Fatal(err)
		}
	}
	if p.Signals.Has(Learning) || p.Signals.Alarm() || !close(p.SigmaG, 1/math.Sqrt(12), 1e-12) {
		t.Errorf("%+v %v", p, p.Signals.Names())
	}
}

// Whatever comes, refused or taken, the charts' state stays made of numbers, and
// the spread stays near the jars' own.
func TestNothingPoisonsALine(t *testing.T) {
	random := rand.New(rand.NewPCG(35, 36))
	rapid.Check(t, func(rt *rapid.T) {
		d := Usual()
		d.LabelG = 340
		l := line(t, d, 3)
		sound := func(checks int) {
			for range checks {
				for k := 1; k <= 3; k++ {
					var net []quantity.Milligram
					for range 5 {
						net = append(net, netOf(random, 341))
					}
					if _, err := l.CheckJars(k, net); err != nil {
						rt.Fatal(err)
					}
				}
			}
		}
		sound(4)
		for range rapid.IntRange(0, 30).Draw(rt, "odd") {
			k := rapid.IntRange(-1, 5).Draw(rt, "nozzle")
			if rapid.Bool().Draw(rt, "jar") {
				_, _, _ = l.Weigh(k, quantity.Milligram(rapid.Int64().Draw(rt, "mg")))
				_, _, _ = l.Weigh(k, quantity.Milligram(rapid.Int64Range(-1000, 700_000).Draw(rt, "mg near")))
			} else {
				_, _ = l.Check(k, Check{N: rapid.IntRange(-2, 9).Draw(rt, "n"), MeanG: rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 700)).Draw(rt, "mean"), SDG: rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 200)).Draw(rt, "sd"), HasSD: rapid.Bool().Draw(rt, "has")})
			}
		}
		for k := 1; k <= 3; k++ {
			if err := l.Adjusted(k); err != nil {
				rt.Fatal(err)
			}
		}
		sound(50)
		for k := 1; k <= 3; k++ {
			w, _ := l.Nozzle(k)
			for _, x := range []float64{w.Last().Z, w.Last().Average, w.Last().Up, w.Last().Down, l.Pooled().Last().Z, must(w.ChangePoint()).SizeG} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					rt.Fatalf("nozzle %d: %+v, pooled %+v", k, w.Last(), l.Pooled().Last())
				}
			}
		}
		if s, known := l.Sigma(); !known || !(s > 1 && s < 10) {
			rt.Fatalf("spread %g g", s)
		}
	})
}
