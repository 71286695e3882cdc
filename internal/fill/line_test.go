package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
)

func line(t testing.TB, d Design, nozzles int) *Line {
	t.Helper()
	l, err := NewLine(d, nozzles)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// netOf is a jar of a nozzle, to the milligram.
func netOf(random *rand.Rand, mean float64) quantity.Milligram {
	return quantity.Milligram(math.Round(1000 * (mean + jarSD*random.NormFloat64())))
}

// With nothing set but the label a house can begin at once: five jars a nozzle, typed
// by hand. Nothing is said at the first check; from the second on the charts speak, by
// spread and centres learned, and a nozzle that falls by 3 g is found in three checks.
func TestBeginWithNothingKnown(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	found, wrong := 0, 0
	const runs = 300
	for range runs {
		d := Usual()
		d.LabelG = 340
		l := line(t, d, 4)
		for check := 1; check <= 13; check++ {
			for k := 1; k <= 4; k++ {
				mean := 341.3
				if k == 2 && check > 10 {
					mean -= 3
				}
				var net []quantity.Milligram
				for range 5 {
					net = append(net, netOf(random, mean))
				}
				p, err := l.CheckJars(k, net)
				if err != nil {
					t.Fatal(err)
				}
				if learning := p.Signals.Has(Learning); learning != (check == 1) {
					t.Fatalf("check %d, nozzle %d: learning %t", check, k, learning)
				}
				if p.Signals.Has(Learning) && (p.Signals != Learning || !math.IsNaN(p.Z)) {
					t.Fatalf("while learning: %+v", p)
				}
			}
			if check == 10 {
				for k := 1; k <= 4; k++ {
					if w, _ := l.Nozzle(k); w.Alarm().Check > 0 {
						wrong++
					}
				}
			}
		}
		if w, _ := l.Nozzle(2); w.Last().Signals.Has(DriftLow | MeanLow) {
			found++
		}
	}
	// 3 g is 3.9 standard deviations of a mean of five: but its centre is learned from 25 jars
	// and is off itself, so three checks find all but few. False alarms: nine charted checks of 1200 nozzles at one in
	// 220 would be 49; centres and spread learned from few jars make it some more.
	if found < runs*97/100 || wrong > 130 {
		t.Errorf("found in %d runs of %d; %d false alarms among %d nozzles", found, runs, wrong, 4*runs)
	}
	t.Logf("found in %d runs of %d; %d false alarms among %d nozzles in ten checks", found, runs, wrong, 4*runs)
}

// A stream says the same as the same jars in groups of five.
func TestStreamEqualsChecks(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 14))
	d := Usual()
	d.LabelG = 340
	stream, hand := line(t, d, 3), line(t, d, 3)
	groups := map[int][]quantity.Milligram{}
	for range 3000 {
		k := 1 + random.IntN(3)
		m := netOf(random, 341)
		groups[k] = append(groups[k], m)
		p, done, err := stream.Weigh(k, m)
		if err != nil {
			t.Fatal(err)
		}
		if done != (len(groups[k]) == 5) {
			t.Fatalf("done %t after %d jars", done, len(groups[k]))
		}
		if !done {
			continue
		}
		q, err := hand.CheckJars(k, groups[k])
		if err != nil || q.MeanG != p.MeanG || q.SDG != p.SDG || q.Signals != p.Signals || q.Up != p.Up && !math.IsNaN(q.Up) {
			t.Fatalf("stream %+v, hand %+v, %v", p, q, err)
		}
		groups[k] = nil
	}
}

// When all nozzles move by little together, as with warmer honey, the pooled chart
// finds it first: four nozzles halve its noise.
func TestPooledMovesFirst(t *testing.T) {
	random := rand.New(rand.NewPCG(19, 20))
	pooledFirst, both := 0, 0
	for range 200 {
		d := Usual()
		d.LabelG, d.SDG, d.CentreG = 340, jarSD, 341.3
		l := line(t, d, 4)
		for check := 1; check <= 60; check++ {
			for k := 1; k <= 4; k++ {
				mean := 341.3
				if check > 20 {
					mean -= 0.6
				}
				if _, err := l.Check(k, must(CheckMean(5, mean+jarSD/math.Sqrt(5)*random.NormFloat64()))); err != nil {
					t.Fatal(err)
				}
			}
		}
		p := l.Pooled().Alarm().Check
		if p <= 20 {
			continue // a false alarm before, or none
		}
		first := int64(math.MaxInt64)
		for k := 1; k <= 4; k++ {
			if w, _ := l.Nozzle(k); w.Alarm().Check > 0 {
				first = min(first, w.Alarm().Check)
			}
		}
		if both++; p <= first {
			pooledFirst++
		}
	}
	if both < 120 || pooledFirst*2 < both {
		t.Errorf("pooled first in %d of %d runs", pooledFirst, both)
	}
	t.Logf("pooled first in %d of %d runs", pooledFirst, both)
}

// The pooled point is the mean distance of all nozzles from their own centres, over
// the standard deviation of so many jars.
func TestPooledPoint(t *testing.T) {
	d := plain(341.3, 1.7)
	l := line(t, d, 4)
	for k, mean := range []float64{341.4, 341.1, 339.5, 341.6} {
		if _, err := l.Check(k+1, must(CheckMean(5, mean))); err != nil {
			t.Fatal(err)
		}
	}
	p := l.Pooled().Last()
	if off := (0.1 - 0.2 - 1.8 + 0.3) / 4; p.N != 20 || !close(p.MeanG, off, 1e-9) || !close(p.Z, off/(1.7/math.Sqrt(20)), 1e-9) {
		t.Errorf("%+v", p)
	}
	if _, err := l.Pooled().Advise(341.3, 0.1); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("advice on all together: %v", err)
	}
	// A nozzle that comes again before the others ends the round.
	for _, k := range []int{1, 1} {
		if _, err := l.Check(k, must(CheckMean(5, 341.3))); err != nil {
			t.Fatal(err)
		}
	}
	if p := l.Pooled().Last(); p.Check != 2 || p.N != 5 || p.MeanG != 0 {
		t.Errorf("%+v", p)
	}
}

// After an adjustment the charts begin anew, with a head start if the design has one;
// the spread stays known. A false alarm keeps the centre.
func TestAdjusted(t *testing.T) {
	d := Usual()
	d.LabelG, d.SDG, d.Head = 340, jarSD, 0.5
	l := line(t, d, 2)
	feed := func(k int, mean float64) Point {
		p, err := l.Check(k, must(CheckMean(5, mean)))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for range 6 {
		feed(1, 341.3)
		feed(2, 341.3)
	}
	if p := feed(1, 336); !p.Signals.Has(MeanLow) {
		t.Errorf("%+v", p)
	}
	w, _ := l.Nozzle(1)
	if w.Alarm().Check != 7 {
		t.Errorf("alarm %+v", w.Alarm())
	}
	if err := l.Adjusted(1); err != nil || w.Alarm().Check != 0 {
		t.Errorf("%v, alarm %+v", err, w.Alarm())
	}
	if p := feed(1, 343); !p.Signals.Has(Learning) || p.Check != 8 {
		t.Errorf("first check after: %+v", p)
	}
	if p := feed(1, 343); p.CentreG != 343 || p.Signals.Alarm() {
		t.Errorf("second check after: %+v", p)
	}
	w2, _ := l.Nozzle(2)
	w2.FalseAlarm()
	if p := feed(2, 341.3); p.Signals.Has(Learning) || p.CentreG != 341.3 || !close(p.Down, 2.5-0.5, 1e-9) {
		t.Errorf("after a false alarm: %+v", p)
	}
	if err := l.Adjusted(0); err != nil {
		t.Error(err)
	}
	if err := l.Adjusted(3); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("nozzle 3 of 2: %v", err)
	}
}
