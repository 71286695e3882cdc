package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// Published average run lengths, each as reprinted in the manual of a statistics
// library for control charts (read there). The figures have three digits or two
// decimals; the oldest come from coarser methods than ours.
var (
	// Lucas and Crosier, Technometrics 24 (1982) table 1: two sums, k 0.5, h 4, without
	// and with a head start of h/2.
	lucasCrosier = [][3]float64{{0, 168, 149}, {0.25, 74.2, 62.7}, {0.5, 26.6, 20.1}, {0.75, 13.3, 8.97}, {1, 8.38, 5.29},
		{1.5, 4.75, 2.86}, {2, 3.34, 2.01}, {2.5, 2.62, 1.59}, {3, 2.19, 1.32}, {4, 1.71, 1.07}, {5, 1.31, 1.01}}
	// Vance, Journal of Quality Technology 18 (1986) table 1: one sum, k 0, h 10.
	vance = [][2]float64{{-0.25, 2071.51}, {-0.125, 400.28}, {0, 124.66}, {0.125, 59.30}, {0.25, 36.71}, {0.5, 20.37}, {0.75, 14.06}, {1, 10.75}}
	// Crowder, Technometrics 29 (1987) table 1: moving average, lines at 2, λ 0.5 and
	// 0.05. The entry of 1.25 at 0.5 is left out: a misprint by the manual's own note.
	crowder = [][3]float64{{0, 26.45, 127.53}, {0.25, 20.12, 43.94}, {0.5, 11.89, 18.97}, {0.75, 7.29, 11.64}, {1, 4.91, 8.38},
		{1.5, 2.80, 5.41}, {1.75, 2.29, 4.62}, {2, 1.94, 4.04}, {2.5, 1.51, 3.26}, {3, 1.26, 2.76}, {3.5, 1.12, 2.39}, {4, 1.05, 2.15}}
	// Lucas and Saccucci, Technometrics 32 (1990) table 3: λ 0.5 at 3.071, 0.03 at 2.437.
	lucasSaccucci = [][3]float64{{0, 500, 500}, {0.25, 255, 76.7}, {0.5, 88.8, 29.3}, {0.75, 35.9, 17.6}, {1, 17.5, 12.6},
		{1.5, 6.53, 8.07}, {2, 3.63, 5.99}, {2.5, 2.50, 4.80}, {3, 1.93, 4.03}, {4, 1.34, 3.11}, {5, 1.07, 2.55}}
)

// half is half a unit of the third digit, and of the second decimal where that is
// less: how the tables are printed.
func half(x float64) float64 {
	return max(0.005, math.Pow(10, math.Floor(math.Log10(x))-2)/2)
}

func TestSumRunLengths(t *testing.T) {
	for _, r := range lucasCrosier {
		plain, err := SumRunLength(0.5, 4, r[0], 0)
		head, err2 := SumRunLength(0.5, 4, r[0], 0.5)
		// One unit more: their own values come from an approximate method.
		if err != nil || err2 != nil || !close(plain, r[1], 2*half(r[1])) || !close(head, r[2], 2*half(r[2])) {
			t.Errorf("shift %g: %.3f and %.3f with a head start, %v %v; published %g and %g", r[0], plain, head, err, err2, r[1], r[2])
		}
	}
	for _, r := range vance {
		// 24 nodes there, 64 here
		if l, _ := oneSum(0, 10, r[0], 0); !close(l, r[1], 0.00501+3e-5*r[1]) {
			t.Errorf("shift %g: %.4f; published %g (Vance)", r[0], l, r[1])
		}
	}
	// Brook and Evans, Biometrika 59 (1972) 4.3: 117.59 and 3.75 by a coarse chain;
	// Waldmann, Technometrics 28 (1986): 117.4, 1963, 17.35; two-sided k 0.6: 65.4.
	for _, c := range []struct{ k, h, shift, want, tol float64 }{{0.5, 3, 0, 117.59, 0.05}, {0.5, 3, 1.5, 3.75, 0.005}, {0.5, 3, -0.5, 1963, 0.5}, {0.5, 3, 0.5, 17.35, 0.005}} {
		if l, _ := oneSum(c.k, c.h, c.shift, 0); !close(l, c.want, c.tol) {
			t.Errorf("%+v: %.3f", c, l)
		}
	}
	if l, err := SumRunLength(0.6, 3, -0.2, 0); err != nil || !close(l, 65.4, 0.1) {
		t.Errorf("Waldmann's two-sided: %.3f, %v", l, err)
	}
	// The usual design: 465 (Montgomery, Introduction to Statistical Quality Control, memory).
	if l, err := SumRunLength(0.5, 5, 0, 0); err != nil || !close(l, 465, 0.6) {
		t.Errorf("usual: %.2f, %v", l, err)
	}
}

func TestAverageRunLengths(t *testing.T) {
	for _, r := range crowder {
		a, err := AverageRunLength(0.5, 2, r[0])
		b, err2 := AverageRunLength(0.05, 2, r[0])
		if err != nil || err2 != nil || !close(a, r[1], 0.0101) || !close(b, r[2], 0.0101) { // a unit of the second decimal: some are cut, not rounded
			t.Errorf("shift %g: %.4f and %.4f, %v %v; published %g and %g (Crowder)", r[0], a, b, err, err2, r[1], r[2])
		}
	}
	for _, r := range lucasSaccucci {
		a, err := AverageRunLength(0.5, 3.071, r[0])
		b, err2 := AverageRunLength(0.03, 2.437, r[0])
		// Their lines are rounded to three decimals, which moves 500 by 0.5 %; and their
		// values come from a chain.
		tol := func(x float64) float64 { return 2*half(x) + 0.005*x }
		if err != nil || err2 != nil || !close(a, r[1], tol(r[1])) || !close(b, r[2], tol(r[2])) {
			t.Errorf("shift %g: %.3f and %.3f, %v %v; published %g and %g (Lucas and Saccucci)", r[0], a, b, err, err2, r[1], r[2])
		}
	}
	if l, err := AverageRunLength(0.2, 2.962, 0); err != nil || !close(l, 500, 2) {
		t.Errorf("usual: %.2f, %v", l, err)
	}
}

// runLength counts checks of five until one of the signals, on a nozzle that has
// moved by shift standard deviations of a mean.
func runLength(t testing.TB, d Design, random *rand.Rand, shift float64, until Signal) int {
	w, err := NewWatch(d)
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; ; n++ {
		p, err := w.Add(Check{N: 5, MeanG: d.CentreG + (shift+random.NormFloat64())*d.SDG/math.Sqrt(5)})
		if err != nil {
			t.Fatal(err)
		}
		if p.Signals.Has(until) {
			return n
		}
	}
}

// The charts as they run give the published averages: sums and moving average, by
// simulation. A mean of m run lengths, which are nearly geometric, has a standard
// error of about itself over √m; four of those, and the published figure's half digit.
func TestRunLengthsOfTheCharts(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	sum := plain(341.3, 1.7)
	sum.H = 4
	head := sum
	head.Head = 0.5
	average := plain(341.3, 1.7)
	average.Lambda, average.L = 0.5, 3.071 // where the first lines matter least: they are narrower than the table's
	for _, c := range []struct {
		name  string
		d     Design
		shift float64
		want  float64
		until Signal
		m     int
		more  float64
	}{
		{"sum", sum, 0, 168, DriftLow | DriftHigh, 1500, 0}, {"sum", sum, -1, 8.38, DriftLow, 8000, 0}, {"sum", sum, 2, 3.34, DriftHigh, 8000, 0},
		{"head start", head, 0, 149, DriftLow | DriftHigh, 1500, 0}, {"head start", head, 1, 5.29, DriftHigh, 8000, 0},
		{"average", average, 0, 500, WanderLow | WanderHigh, 600, 5}, {"average", average, 1, 17.5, WanderHigh, 4000, 0.3}, {"average", average, 2, 3.63, WanderHigh, 8000, 0.2},
	} {
		var total int
		for range c.m {
			total += runLength(t, c.d, random, c.shift, c.until)
		}
		got := float64(total) / float64(c.m)
		if tol := 4*c.want/math.Sqrt(float64(c.m)) + half(c.want) + c.more; !close(got, c.want, tol) {
			t.Errorf("%s, shift %g: %.3f, published %g, tolerance %.3f", c.name, c.shift, got, c.want, tol)
		}
	}
}

// usualLengths are what the usual design's comment says of all its alarms together.
var usualLengths = []struct {
	shift, want, tol float64
	m                int
}{{0, 220, 20, 3000}, {1, 10, 0.6, 4000}, {2, 3.5, 0.2, 4000}}

func TestUsualAlarms(t *testing.T) {
	for _, c := range usualLengths {
		if got := usualLength(t, c.shift, c.m); !close(got, c.want, c.tol) {
			t.Errorf("shift %g: alarm after %.2f checks, the comment says %g", c.shift, got, c.want)
		}
	}
}

// usualLength is the mean of m run lengths of the usual design.
func usualLength(t *testing.T, shift float64, m int) float64 {
	random := rand.New(rand.NewPCG(3, 4))
	d := Usual()
	d.CentreG, d.SDG = 341.3, 1.7
	var total int
	for range m {
		total += runLength(t, d, random, shift, Alarms)
	}
	return float64(total) / float64(m)
}

// The chances that runrule.go states, by simulation of a steady nozzle.
func TestRunRuleChances(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	const n = 1_000_000
	count := map[Signal]int{}
	any := 0
	var r runs
	for range n {
		s := r.add(random.NormFloat64())
		for _, k := range []Signal{NearLimit, OffCentre, OneSide, Trend, SeeSaw, TooQuiet} {
			if s.Has(k) {
				count[k]++
			}
		}
		if s != 0 {
			any++
		}
	}
	for k, want := range map[Signal]float64{NearLimit: 0.0020, OffCentre: 0.0045, OneSide: 0.0078, Trend: 0.0028, SeeSaw: 0.0046, TooQuiet: 0.0033} {
		// Patterns come in clumps, so counts vary some three times as much as single ones.
		if got := float64(count[k]) / n; !close(got, want, 0.0002) {
			t.Errorf("%v: %.5f, the comment says %.4f", k.Names(), got, want)
		}
	}
	if once := n / float64(any); !close(once, 40, 2) {
		t.Errorf("some pattern once in %.1f checks, the comment says forty", once)
	}
}

// A line for a stream gives the run length asked for.
func TestSumLine(t *testing.T) {
	for _, every := range []float64{100, 465.44, 10_000} {
		h, err := SumLine(0.5, every)
		l, err2 := SumRunLength(0.5, h, 0, 0)
		if err != nil || err2 != nil || !close(l, every, 1e-4*every) {
			t.Errorf("every %g: h %.4f gives %.3f, %v %v", every, h, l, err, err2)
		}
	}
	if h, err := SumLine(0.5, 168); err != nil || !close(h, 4, 0.01) { // Lucas and Crosier's 168
		t.Errorf("h %.4f, %v", h, err)
	}
}

// A design made quieter for a stream speaks as seldom as asked: sums once in 2,000
// checks, means no more often, so together between once in 1,000 and once in 2,000.
func TestQuieter(t *testing.T) {
	d := Usual()
	d.CentreG, d.SDG = 341.3, 1.7
	q, err := d.Quieter(2000)
	if err != nil || !close(must(SumRunLength(q.K, q.H, 0, 0)), 2000, 1) || !close(q.Line, 3.4808, 0.0005) { // z of 1 in 4,000, normal table
		t.Fatalf("%+v, %v", q, err)
	}
	random := rand.New(rand.NewPCG(33, 34))
	var total int
	const m = 300
	for range m {
		total += runLength(t, q, random, 0, Alarms)
	}
	if got := float64(total) / m; got < 800 || got > 2200 {
		t.Errorf("alarm once in %.0f checks", got)
	}
}

func TestRunLengthsRefuse(t *testing.T) {
	nan := math.NaN()
	for _, f := range []func() (float64, error){
		func() (float64, error) { return SumRunLength(nan, 5, 0, 0) }, func() (float64, error) { return SumRunLength(0.5, nan, 0, 0) },
		func() (float64, error) { return SumRunLength(0.5, 5, nan, 0) }, func() (float64, error) { return SumRunLength(0.5, 5, 0, 1.1) },
		func() (float64, error) { return AverageRunLength(0, 3, 0) }, func() (float64, error) { return AverageRunLength(0.2, nan, 0) },
		func() (float64, error) { return SumLine(0.5, 1) }, func() (float64, error) { return SumLine(0, 1e6) },
	} {
		if l, err := f(); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%g, %v: want a refusal", l, err)
		}
	}
}
