package fill

import (
	"math"
	"slices"
	"testing"

	"combline/internal/quantity"
)

// jarsOf reads x1 to x5 of a row as net masses.
func jarsOf(t *testing.T, r map[string]string) []quantity.Milligram {
	t.Helper()
	var net []quantity.Milligram
	for _, c := range []string{"x1", "x2", "x3", "x4", "x5"} {
		net = append(net, milligrams(t, r, c))
	}
	return net
}

// plain is a design without learning, clipping or rounding: the textbook charts.
func plain(centre, sd float64) Design {
	d := Usual()
	d.CentreG, d.SDG, d.Clip = centre, sd, 0
	return d
}

func watch(t *testing.T, d Design) *Watch {
	t.Helper()
	w, err := NewWatch(d)
	if err != nil {
		t.Fatal(err)
	}
	return &w
}

func add(t *testing.T, w *Watch, c Check) Point {
	t.Helper()
	p, err := w.Add(c)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// SP2: moving average of daily means of five ("SAS/QC user guide, MACONTROL EWMACHART
// example", read): series published to four decimals, day 7 above the limit.
func TestMovingAverageOfClips(t *testing.T) {
	d := plain(14.95, 0.21108)
	d.Lambda, d.L = 0.3, 3
	w := watch(t, d)
	unit := 0.21108 / math.Sqrt(5)
	for i, r := range rows(t, own("spc_ewma_clips")) {
		p := add(t, w, must(CheckMean(5, num(t, r, "subgroup_mean_n5"))))
		// Half of the last printed digit of the series, and as much for that of the means.
		if got := 14.95 + p.Average*unit; !close(got, num(t, r, "ewma_published_lambda_0.3"), 0.0001) {
			t.Errorf("day %d: %.5f, published %s", i+1, got, r["ewma_published_lambda_0.3"])
		}
		if i == 0 && (!close(14.95-p.Line*unit, 14.8650, 0.0001) || !close(14.95+p.Line*unit, 15.0350, 0.0001)) {
			t.Errorf("first limits ±%.4f", p.Line*unit)
		}
		if i == 6 && !close(14.95+p.Line*unit, 15.0686, 0.0001) {
			t.Errorf("limit of day 7: %.4f", 14.95+p.Line*unit)
		}
		if out := p.Signals.Has(WanderHigh | WanderLow); out != (i == 6) {
			t.Errorf("day %d: out %t", i+1, out)
		}
	}
}

// SP8: single values, points 29 and 30 outside (Montgomery, Introduction to
// Statistical Quality Control, data as reprinted in a numerical library manual, read).
// SP6: its steady half-width is √(λ/(2−λ)).
func TestMovingAverageOfSingles(t *testing.T) {
	d := plain(10, 1)
	d.Lambda, d.L = 0.1, 2.7
	w := watch(t, d)
	for i, r := range rows(t, own("spc_ewma_montgomery")) {
		p := add(t, w, must(CheckMean(1, num(t, r, "x"))))
		if !close(10+p.Average, num(t, r, "ewma"), 0.00005+1e-9) || !close(10-p.Line, num(t, r, "lcl"), 0.00005+1e-9) || !close(10+p.Line, num(t, r, "ucl"), 0.00005+1e-9) {
			t.Errorf("%d: %.4f in %.4f to %.4f, want %v", i+1, 10+p.Average, 10-p.Line, 10+p.Line, r)
		}
		if out := p.Signals.Has(WanderHigh); out != (r["out"] == "out") {
			t.Errorf("%d: out %t, want %q", i+1, out, r["out"])
		}
	}
	d.Lambda, d.L = 0.3, 1
	w = watch(t, d)
	var p Point
	for range 100 {
		p = add(t, w, must(CheckMean(1, 10)))
	}
	if !close(p.Line, 0.4201, 0.00005) { // NIST/SEMATECH e-Handbook 6.3.2.4 (read)
		t.Errorf("steady line %.5f", p.Line)
	}
}

// SP3: two sums about 325 with k 0.3175 and h 4.1959 in data units (NIST/SEMATECH
// e-Handbook 6.3.2.3, data from memory, sums recomputed there).
func TestCumulativeSums(t *testing.T) {
	d := plain(325, 1)
	d.K, d.H = 0.3175, 4.1959
	w := watch(t, d)
	for i, r := range rows(t, own("spc_cusum_nist")) {
		p := add(t, w, must(CheckMean(1, num(t, r, "mean"))))
		// the table prints four decimals
		if !close(p.Up, num(t, r, "S_hi"), 0.00005+1e-9) || !close(p.Down, num(t, r, "S_lo"), 0.00005+1e-9) {
			t.Errorf("group %d: %.4f and %.4f, want %s and %s", i+1, p.Up, p.Down, r["S_hi"], r["S_lo"])
		}
		if p.Signals.Has(DriftHigh) != (r["signal"] == "signal") || p.Signals.Has(DriftLow) {
			t.Errorf("group %d: %v, want %q", i+1, p.Signals.Names(), r["signal"])
		}
	}
}

// SP5: the plain sum of deviations from 99 (Montgomery and Runger, Applied Statistics
// and Probability for Engineers, table 16-7, read) is what two sums without slack
// differ by as long as neither has touched 0.
func TestPlainSum(t *testing.T) {
	x := []float64{102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0}
	want := []float64{3.0, -1.2, -1.9, -2.5, 0.5, 0.0, 0.0, -1.3, -0.3, -1.2, 1.1, 0.8, 2.9, 2.3, 0.3, -2.0, -0.7, 1.7, -0.1, 1.9}
	d := plain(99, 1)
	d.K, d.Head, d.H = 0, 1, 1000
	w := watch(t, d)
	for i := range x {
		p := add(t, w, must(CheckMean(1, x[i])))
		if got := (p.Up - p.Down) / 2; !close(got, want[i], 0.05) { // one decimal printed
			t.Errorf("%d: %.2f, printed %g", i+1, got, want[i])
		}
	}
}

// R's filter, Reduce, apply(sd) and least squares on sixty checks of five
// (testdata/reference.R). Both are double precision: 1e-9.
func TestChartsAgainstR(t *testing.T) {
	w := watch(t, plain(341.3, 1.7))
	all := rows(t, own("charts"))
	for i, r := range all {
		c, err := CheckOf(jarsOf(t, r))
		if err != nil {
			t.Fatal(err)
		}
		p := add(t, w, c)
		for column, got := range map[string]float64{"mean": p.MeanG, "sd": p.SDG, "z": p.Z, "average": p.Average, "line": p.Line, "up": p.Up, "down": p.Down} {
			if !close(got, num(t, r, column), 1e-9) {
				t.Errorf("check %d: %s %.12f, R has %s", i+1, column, got, r[column])
			}
		}
	}
	h := w.past
	jump, drift := Change{Gain: -1}, Change{Gain: -1}
	var sums moments
	for i := h.n - 1; i >= 0; i-- {
		sums.add(&h.told[i])
		if c := sums.jump(h.told[i].first - 1); c.Gain > jump.Gain {
			jump = c
		}
		if c := sums.drift(h.told[i].first-1, h.told[i].when()); c.Gain > drift.Gain {
			drift = c
		}
	}
	if jump.After != int64(num(t, all[0], "jump")) {
		t.Errorf("jump after check %d, R has %s", jump.After, all[0]["jump"])
	}
	// R looks on a grid of hundredths of a check, so its optimum is that near.
	if !close(drift.At, num(t, all[0], "drift"), 0.0051) {
		t.Errorf("drift from %.3f, R has %s", drift.At, all[0]["drift"])
	}
	var total float64
	for _, p := range h.told[:h.n] {
		total += p.weight * p.off * p.off
	}
	if rss := num(t, all[1], "drift"); !close(total-drift.Gain, rss, 1e-3*rss) {
		t.Errorf("residual %.5f, R has %g", total-drift.Gain, rss)
	}
}

// Each pattern by itself, and just not.
func TestRunRules(t *testing.T) {
	up, down := 0.5, -0.5
	alternate := func(n int) (z []float64) {
		for i := range n {
			z = append(z, 1.5*float64(1-2*(i%2)))
		}
		return z
	}
	for _, c := range []struct {
		name string
		z    []float64
		want Signal
	}{
		{"two of three", []float64{2.1, 0, 2.1}, NearLimit},
		{"two of four", []float64{2.1, 0, 0, 2.1}, 0},
		{"two of three on both sides", []float64{2.1, 0, -2.1}, 0},
		{"the third is not the far one", []float64{2.1, 2.1, 0}, 0},
		{"exactly on 2 sd", []float64{2, 0, 2}, 0},
		{"four of five", []float64{-1.1, -1.1, 0, -1.1, -1.1}, OffCentre},
		{"three of five", []float64{-1.1, -1.1, 0, 0, -1.1}, 0},
		{"eight above", slices.Repeat([]float64{up, 1.2}, 4), OneSide},
		{"seven above", append(slices.Repeat([]float64{up, 1.2}, 3), up), 0},
		{"eight with one at the centre", []float64{up, 1.2, up, 1.2, 0, 1.2, up, 1.2}, 0},
		{"six rising", []float64{down, -0.3, -0.1, 0.1, 0.3, up}, Trend},
		{"five rising", []float64{down, -0.3, -0.1, 0.1, 0.3}, 0},
		{"six with a tie", []float64{down, -0.3, -0.3, 0.1, 0.3, up}, 0},
		{"six falling", []float64{up, 0.3, 0.1, -0.1, -0.3, down}, Trend},
		{"fourteen up and down", alternate(14), SeeSaw},
		{"thirteen up and down", alternate(13), 0},
		{"fifteen within", slices.Repeat([]float64{up, up, down}, 5), TooQuiet},
		{"fourteen within", slices.Repeat([]float64{up, up, down}, 5)[:14], 0},
	} {
		var r runs
		var got Signal
		for _, z := range c.z {
			got = r.add(z)
		}
		if got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got.Names(), c.want.Names())
		}
	}
}
