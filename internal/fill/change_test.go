package fill

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A watch's and a line's state do not grow with the jars: all is fixed room.
func TestHistoryKeepsItsRoom(t *testing.T) {
	w := watch(t, plain(341.3, 1.7))
	for i := range 100_000 {
		mean := 341.3
		if i >= 99_990 {
			mean = 338
		}
		add(t, w, must(CheckMean(5, mean)))
	}
	h := &w.past
	var checks int64
	for i := range h.n {
		p := h.told[i]
		if i > 0 && p.first != h.told[i-1].last+1 {
			t.Fatalf("piece %d begins at %d after %d", i, p.first, h.told[i-1].last)
		}
		checks += p.last - p.first + 1
	}
	if h.n > historyRoom || checks != 100_000 || h.told[0].first != 1 {
		t.Errorf("%d pieces of %d checks from %d", h.n, checks, h.told[0].first)
	}
	if c, err := w.ChangePoint(); err != nil || c.After != 99_990 || c.Ramp || !close(c.SizeG, -3.3, 1e-9) {
		t.Errorf("%+v, %v", c, err)
	}
	if size := testing.AllocsPerRun(1000, func() { add(t, w, Check{N: 5, MeanG: 341}) }); size != 0 {
		t.Errorf("%g allocations a check", size)
	}
}

// How often the interval of the change point holds the true start, and how far off the
// estimate is: a jump of 2 g (2.6 standard deviations of a mean of five), and a drift
// of 0.8 g a check, asked when the alarm comes.
func TestChangePointCoverage(t *testing.T) {
	random := rand.New(rand.NewPCG(21, 22))
	for _, c := range moves {
		if held, within := coverage(t, random, c.jump, c.drift); held < 0.88 || within < 0.8 {
			t.Errorf("%s: interval holds the start in %.3f, estimate within one check in %.3f", c.name, held, within)
		}
	}
}

var moves = []struct {
	name        string
	jump, drift float64
}{{"a jump of 2 g", -2, 0}, {"a drift of 0.8 g a check", 0, -0.8}}

// coverage is how often the interval holds the true start, check 20, and how often the
// estimate is within a check of it, asked at the first alarm after the start.
func coverage(t *testing.T, random *rand.Rand, jump, drift float64) (held, within float64) {
	const start = 20
	n := 0.0
	for range 3000 {
		w := watch(t, plain(341.3, jarSD))
		for check := 1; check < 60; check++ {
			mean := 341.3
			if check > start {
				mean += jump + drift*float64(check-start)
			}
			p := add(t, w, must(CheckMean(5, mean+jarSD/math.Sqrt(5)*random.NormFloat64())))
			if check <= start && p.Signals.Alarm() {
				break // a false alarm: not asked here
			}
			if !p.Signals.Has(DriftLow | MeanLow) {
				continue
			}
			got := must(w.ChangePoint())
			n++
			if got.Low <= start && start <= got.High {
				held++
			}
			if got.After >= start-1 && got.After <= start+1 {
				within++
			}
			break
		}
	}
	return held / n, within / n
}
