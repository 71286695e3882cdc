package fill

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// Nozzle 3 of the worked run: left alone while it is steady; at check 15 it is to be
// set up by what it has lost, and a steady neighbour is never touched.
func TestAdviceOnNozzle3(t *testing.T) {
	run(t, designs()["learned"], func(check int, l *Line) {
		for k := 1; k <= 4; k++ {
			w, _ := l.Nozzle(k)
			a, err := w.Advise(341.3, 0.1)
			switch {
			case check == 1:
				if !errors.Is(err, ErrUnknown) {
					t.Errorf("check 1, nozzle %d: %+v, %v", k, a, err)
				}
			case k != 3 || check < 15:
				if err != nil || a.Do != Leave || a.ByG != 0 {
					t.Errorf("check %d, nozzle %d: %+v, %v", check, k, a, err)
				}
			default:
				off := 341.3 - drifting[check-1][2] // what the newest check has lost
				if err != nil || a.Do != SetIt || !close(a.ByG, off, 0.3) || !close(a.OffG, -off, 0.3) {
					t.Errorf("check %d: %+v, %v; want to set up by %.1f g", check, a, err, off)
				}
			}
		}
	})
}

// One mean out alone asks to weigh again; the next one decides.
func TestAdviceWeighAgain(t *testing.T) {
	for _, c := range []struct {
		out, next float64
		want      Do
	}{{338.6, 341.3, WeighAgain}, {338.6, 338.6, SetIt}, {330, 341.3, WeighAgain}, {330, 330, SetIt}} {
		w := watch(t, plain(341.3, 1.7))
		for range 10 {
			add(t, w, must(CheckMean(5, 341.3)))
		}
		add(t, w, must(CheckMean(5, c.out))) // 3.6 standard deviations down, or 15
		if a, err := w.Advise(341.3, 0.1); err != nil || a.Do != WeighAgain || a.ByG != 0 {
			t.Errorf("%+v, %v", a, err)
		}
		add(t, w, must(CheckMean(5, c.next)))
		if a, err := w.Advise(341.3, 0.1); err != nil || a.Do != c.want {
			t.Errorf("%g g, then %g g: %v %+v, %v", c.out, c.next, a.Do, a, err)
		}
	}
}

// One slip of the scale, and then means that are near the centre, never end in a setting.
func TestAdviceAfterOneSlip(t *testing.T) {
	d := Usual()
	d.CentreG, d.SDG = 341.3, 1.7
	w := watch(t, d)
	for i, mean := range []float64{341.3, 341.5, 341.1, 341.3, 320, 341.0, 340.9, 341.1, 340.8, 341.2, 340.9, 341.3} {
		add(t, w, must(CheckMean(5, mean)))
		if a, err := w.Advise(341.3, 0.1); err != nil || a.Do == SetIt || (a.Do == WeighAgain) != (i >= 4) {
			t.Errorf("check %d: %v %+v, %v", i+1, a.Do, a, err)
		}
	}
}

// A steady nozzle that was set wrong from the start is told so, not left: its own mean
// is no excuse. One within its learned mean's doubt is left.
func TestAdviceOnAWrongSetting(t *testing.T) {
	d := Usual()
	d.SDG = 1.7
	for _, c := range []struct {
		mean float64
		want Do
		by   float64
	}{{338.3, SetIt, 3}, {343.52, SetIt, -2.2}, {341.6, Leave, 0}} { // three of 1.7/√25 are 1.02 g
		w := watch(t, d)
		for range 6 {
			add(t, w, must(CheckMean(5, c.mean)))
		}
		if a, err := w.Advise(341.3, 0.1); err != nil || a.Do != c.want || !close(a.ByG, c.by, 1e-9) {
			t.Errorf("mean %g g: %v %+v, %v", c.mean, a.Do, a, err)
		}
	}
}

// Noise is not chased: on steady nozzles a setting is advised no more often than the
// charts give false alarms.
func TestAdviceLeavesNoiseAlone(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 32))
	set, n := 0, 20_000
	w := watch(t, plain(341.3, jarSD))
	for range n {
		add(t, w, must(CheckMean(5, 341.3+0.76*random.NormFloat64())))
		a, err := w.Advise(341.3, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		if a.Do == SetIt {
			set++
			w.Adjusted()
		} else if a.Do == WeighAgain {
			w.FalseAlarm()
		}
	}
	if set > n/350 { // the sums alone speak once in 465
		t.Errorf("%d settings advised in %d checks", set, n)
	}
}

func TestRiskRefuses(t *testing.T) {
	for i, f := range []func() (AtRisk, error){
		func() (AtRisk, error) { return Risk(slots(), 5, 4, 13, 18, false) }, func() (AtRisk, error) { return Risk(slots(), 3, 0, 13, 18, false) },
		func() (AtRisk, error) { return Risk(slots(), 3, 4, 18, 18, false) }, func() (AtRisk, error) { return Risk(slots(), 3, 4, -1, 18, false) },
		func() (AtRisk, error) { return Risk(slots(), 3, 4, 13, 19, false) }, func() (AtRisk, error) { return Risk([]Slot{{Jars: -1}}, 1, 1, 0, 1, false) },
		func() (AtRisk, error) { return Risk([]Slot{{Jars: 5, Nozzles: []int64{5}}}, 1, 2, 0, 1, false) },
	} {
		if a, err := f(); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d: %+v, %v", i, a, err)
		}
	}
	for _, c := range [][3]int64{{0, 1, 12}, {5, 4, 12}, {1, 1, 0}} {
		if _, _, _, err := Holding(c[0], c[1], c[2]); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// Jars counted by nozzle are counted so; marks shared with earlier and later slots
// widen a recall to them, with the gap between shown.
func TestRiskByNozzleAndMark(t *testing.T) {
	all := []Slot{{Jars: 100, Mark: "A"}, {Jars: 100, Mark: "B"}, {Jars: 100, Nozzles: []int64{30, 70}, Mark: "A"}, {Jars: 101, Mark: "C"}, {Jars: 100, Mark: "C"}}
	a, err := Risk(all, 2, 2, 2, 4, true)
	if err != nil || a.Own != 70+51 || a.All != 201 || a.Held != 121 || a.Marked != 401 {
		t.Errorf("%+v, %v", a, err)
	}
	want := []MarkRange{{"A", 1, 1, 100}, {"A", 3, 3, 100}, {"C", 4, 5, 201}}
	if len(a.Marks) != 3 || a.Marks[0] != want[0] || a.Marks[1] != want[1] || a.Marks[2] != want[2] {
		t.Errorf("%+v", a.Marks)
	}
	if first, last := a.Range(all); first != 201 || last != 401 {
		t.Errorf("jars %d to %d", first, last)
	}
	for _, c := range []struct{ first, last, size, from, to, n int64 }{{1, 12, 12, 1, 1, 1}, {12, 13, 12, 1, 2, 2}, {13, 24, 12, 2, 2, 1}, {1, 1, 1, 1, 1, 1}} {
		if from, to, n, err := Holding(c.first, c.last, c.size); err != nil || from != c.from || to != c.to || n != c.n {
			t.Errorf("%+v: %d %d %d %v", c, from, to, n, err)
		}
	}
}
