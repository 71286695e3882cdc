package fill

import (
	"math"
	"slices"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A run of 9,900 jars of 340 g: 18 half-hours of 550 from four nozzles, five jars of
// each weighed at the end of each half-hour, whose means stand for it; jar to jar
// 1.7 g. Nozzle 3 drifts after check 13. The figures, and what is to come of them,
// are the worked case of the trade behind questions 27 and 28 (invented, no source).
var drifting = func() [][4]float64 {
	all := slices.Repeat([][4]float64{{341.4, 341.1, 341.3, 341.6}}, 13)
	for _, n3 := range []float64{339.5, 337.0, 334.4, 331.8, 329.1} {
		all = append(all, [4]float64{341.4, 341.1, n3, 341.6})
	}
	return all
}()

const (
	halfHour  = 550
	perNozzle = 137.5
	jarSD     = 1.7
)

// run feeds the checks to a line; after each it may look.
func run(t *testing.T, d Design, look func(check int, l *Line)) {
	t.Helper()
	l, err := NewLine(d, 4)
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range drifting {
		for k, mean := range row {
			if _, err := l.Check(k+1, must(CheckMean(5, mean))); err != nil {
				t.Fatal(err)
			}
		}
		look(i+1, l)
	}
}

// designs are the ways a house may watch that run: the nozzles' own means learned, or
// all held against the set weight.
func designs() map[string]Design {
	learned := Usual()
	learned.SDG, learned.LabelG = jarSD, 340
	set := learned
	set.CentreG = 341.3
	return map[string]Design{"learned": learned, "set": set}
}

// Caught no later than the third check after the drift starts, and nobody else
// accused, then or ever.
func TestNozzle3IsCaught(t *testing.T) {
	for name, d := range designs() {
		caught := 0
		run(t, d, func(check int, l *Line) {
			for k := 1; k <= 4; k++ {
				w, _ := l.Nozzle(k)
				if w.Alarm().Check == 0 {
					continue
				}
				if k != 3 {
					t.Errorf("%s: nozzle %d has an alarm at check %d", name, k, check)
				} else if caught == 0 {
					caught = check
				}
			}
		})
		if caught < 14 || caught > 16 {
			t.Errorf("%s: caught at check %d, want 14 to 16", name, caught)
		}
		t.Logf("%s: caught at check %d", name, caught)
	}
}

// The line through checks 14 to 18 meets 341.3 at 13.3, so the drift starts after
// check 13: that is the last good check, from the first alarm on.
func TestNozzle3LastGoodCheck(t *testing.T) {
	for name, d := range designs() {
		run(t, d, func(check int, l *Line) {
			w, _ := l.Nozzle(3)
			if w.Alarm().Check == 0 {
				return
			}
			good, err := w.LastGood(false)
			c, err2 := w.ChangePoint()
			if err != nil || err2 != nil || good != 13 || c.Low > 13 || c.High < 13 {
				t.Errorf("%s, check %d: last good %d, %v; change %+v, %v", name, check, good, err, c, err2)
			}
			if check == 18 && (!c.Ramp || !close(c.At, 13.3, 0.05)) { // printed to a tenth
				t.Errorf("%s: change %+v, want a drift from 13.3", name, c)
			}
		})
	}
}

func slots() (all []Slot) {
	for range drifting {
		all = append(all, Slot{Jars: halfHour, Mark: "R3"})
	}
	return all
}

// No code tells the nozzles apart: at the end all 2,750 jars of half-hours 14 to 18
// are held, about 688 of them nozzle 3's. At check 15, where it is caught, 1,100 and
// 275.
func TestNozzle3JarsAtRisk(t *testing.T) {
	for _, c := range []struct {
		now       int
		all, own  int64
		shown     bool
		held      int64
		wholeRun  int64
		firstCase int64
		cases     int64
	}{{15, 1100, 275, false, 1100, 9900, 596, 93}, {18, 2750, 688, false, 2750, 9900, 596, 230}, {18, 2750, 688, true, 688, 9900, 596, 230}} {
		a, err := Risk(slots(), 3, 4, 13, c.now, c.shown)
		if err != nil || a.All != c.all || a.Own != c.own || a.Held != c.held || a.First != 14 || a.Last != c.now || a.Marked != c.wholeRun {
			t.Errorf("%+v: %+v, %v", c, a, err)
		}
		// Packed 12 to a case in order: jar 7151 is in case 596, the last in case 825.
		first, last := a.Range(slots())
		from, _, n, err := Holding(first, last, 12)
		if err != nil || first != 7151 || from != c.firstCase || n != c.cases {
			t.Errorf("jars %d to %d: from case %d, %d cases, %v; want %+v", first, last, from, n, err, c)
		}
	}
	// With a mark for each half-hour only those marks are looked for.
	marked := slots()
	for i := range marked {
		marked[i].Mark = "R3-" + string(rune('A'+i))
	}
	a, err := Risk(marked, 3, 4, 13, 18, false)
	if err != nil || a.Marked != 2750 || len(a.Marks) != 5 || a.Marks[0] != (MarkRange{"R3-N", 14, 14, 550}) {
		t.Errorf("%+v, %v", a, err)
	}
}

// made is half-hours first to last as estimated from their checks.
func made(first, last int) (all []Made) {
	for _, row := range drifting[first-1 : last] {
		for _, mean := range row {
			all = append(all, Made{Jars: perNozzle, MeanG: mean, SDG: jarSD, Checked: 5})
		}
	}
	return all
}

// As made, and after the short jars are pulled (cut at T1), and after the light ones
// are kept back too (cut at 333.53 g): the whole run passes, the last hour fails
// before and after pulling, and passes with both taken out. Counts of the worked case
// are rounded each half-hour, so ±1 for each; means to a hundredth where it prints
// them so, but 339.78 comes from 35.1 kg pulled, rounded to 0.1 kg: 0.05 g a jar.
func TestNozzle3Verdicts(t *testing.T) {
	const t1 = 329.8
	tol := tolerance(t, standard.EU, 340*gram)
	for _, c := range []struct {
		name        string
		first, last int
		cut         float64
		mean, off   float64
		jars, short float64
		pass        bool
	}{
		{"whole run", 1, 18, 0, 340.87, 0.005, 9900, 107, true},
		{"last hour", 17, 18, 0, 338.64, 0.006, 1100, 107, false},
		{"hour before", 15, 16, 0, 339.95, 0.006, 1100, 0, false},
		{"whole run pulled", 1, 18, t1, 341.0, 0.05, 9793, 0, true},
		{"last hour pulled", 17, 18, t1, 339.78, 0.05, 993, 0, false},
		{"hour before pulled", 15, 16, t1, 339.95, 0.02, 1100, 0, false},
		{"hour before kept back", 15, 16, 333.53, 340.3, 0.05, 1055, 0, true},
		{"last hour kept back", 17, 18, 333.53, 341.2, 0.05, 847, 0, true},
	} {
		e, err := Estimated(tol, made(c.first, c.last), c.cut)
		if err != nil {
			t.Fatal(err)
		}
		o, err := Expect(standard.EU, 340*gram, e)
		if err != nil || o.Pass() != c.pass || !close(e.MeanG, c.mean, c.off) || !close(e.Jars, c.jars, 1.1) || !close(e.Short, c.short, 1.1) {
			t.Errorf("%s: %+v, %v; want %+v", c.name, o, err, c)
		}
	}
	// The last hour's share is 9.7 %, four times what is allowed.
	e := must(Estimated(tol, made(17, 18), 0))
	if !close(100*e.Short/e.Jars, 9.7, 0.1) || must(Expect(standard.EU, 340*gram, e)).Sure != quantity.Fail {
		t.Errorf("last hour: %+v", e)
	}
	// Every hour before half-hour 14 passes for sure; the one that misses by 0.05 g
	// is too close to call from forty jars.
	for first := 1; first < 13; first += 2 {
		if o := must(Expect(standard.EU, 340*gram, must(Estimated(tol, made(first, first+1), 0)))); o.Sure != quantity.Pass {
			t.Errorf("half-hours %d and after: %+v", first, o)
		}
	}
	if o := must(Expect(standard.EU, 340*gram, must(Estimated(tol, made(15, 16), 0)))); o.Sure != quantity.TooClose {
		t.Errorf("hour before: %+v", o)
	}
}

// The same run with every jar: 9,900 weights at the normal law's even quantiles of
// each nozzle and half-hour, to the milligram. Reweighed, it gives the same verdicts
// in whole numbers, before and after pulling.
func TestNozzle3Reweighed(t *testing.T) {
	tol := tolerance(t, standard.EU, 340*gram)
	var counts, pulled []Count
	var hours [2][]quantity.Milligram
	for i, row := range drifting {
		var c, out Count
		for k, mean := range row {
			jars := 137 + (i+k)%2 // 550 a half-hour
			for j := range jars {
				m := quantity.Milligram(math.Round(1000 * (mean + jarSD*quantile((float64(j)+0.5)/float64(jars)))))
				if err := c.Add(tol, m); err != nil {
					t.Fatal(err)
				}
				if m < tol.T1 {
					if err := out.Add(tol, m); err != nil {
						t.Fatal(err)
					}
				}
				if i >= 14 {
					hours[(i-14)/2] = append(hours[(i-14)/2], m)
				}
			}
		}
		counts, pulled = append(counts, c), append(pulled, out)
	}
	whole := Count{}
	for _, c := range counts {
		whole = whole.And(c)
	}
	v, err := Judge(standard.EU, 340*gram, whole)
	if err != nil || !v.Pass() || whole.Jars != 9900 || !close(float64(whole.Short), 107, 2) || whole.Barred != 0 || !close(v.MeanG, 340.87, 0.01) {
		t.Errorf("whole run: %+v, %v", v, err)
	}
	for name, after := range map[string]bool{"before": false, "after": true} {
		left := slices.Clone(counts)
		for i := range left {
			if after {
				if left[i], err = counts[i].Without(pulled[i]); err != nil {
					t.Fatal(err)
				}
			}
		}
		windows, err := Windows(standard.EU, 340*gram, left, 2, 2)
		if err != nil || len(windows) != 9 {
			t.Fatal(len(windows), err)
		}
		if w := windows[Worst(windows)]; w.First != 16 || w.Verdict.Pass() || w.Verdict.MeanOK {
			t.Errorf("%s pulling the worst hour is %+v, want the last one failing its mean", name, w)
		}
		if w := windows[8].Verdict; w.ShareOK != after {
			t.Errorf("%s pulling: last hour's share %+v", name, w)
		}
		for i, w := range windows {
			if w.Verdict.Pass() != (i < 7) {
				t.Errorf("%s pulling: hour %d: %+v", name, i+1, w)
			}
		}
		// The strictest look, at any two half-hours in a row, fails from 15 and 16 on.
		any, err := Windows(standard.EU, 340*gram, left, 2, 1)
		if err != nil || len(any) != 17 || !any[13].Verdict.Pass() || any[14].Verdict.Pass() || any[15].Verdict.Pass() || any[16].Verdict.Pass() {
			t.Errorf("%s pulling, any hour: %d windows, %v", name, len(any), err)
		}
	}
	// Fewest jars kept back so that each hour passes: no more than the 45 and 146
	// more that the worked case keeps back to fill its order.
	for i, most := range []int64{45, 146} {
		k, err := KeepBack(standard.EU, 340*gram, hours[i])
		if err != nil || !k.Rest.Pass() || k.More.Jars > most+1 || k.Under > 333_530 {
			t.Errorf("hour %d: %+v, %v", i, k, err)
		}
		t.Logf("hour %d: %d pulled, %d more kept back, all under %g g; the rest has %.3f g", i, k.Pulled.Jars, k.More.Jars, Grams(k.Under), k.Rest.MeanG)
	}
}
