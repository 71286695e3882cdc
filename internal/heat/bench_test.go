//go:build unix

package heat

import (
	"encoding/json"
	"math"
	"os/exec"
	"runtime"
	"sync"
	"testing"

	"combline/internal/quantity"
)

// BenchmarkDrum warms the liquid 300 kg drum for 96 h, on one core, and has SciPy do the
// same (bench/drum.py), at the fastest setting of either that keeps within 0.01 K and 0.3 %
// of HMF. Both are timed by what they have of the processor.
func BenchmarkDrum(b *testing.B) {
	c := reference("S2_drum_liquid")
	c.ReportH, c.Tolerance = []float64{6, 12, 24, 48, 72, 96}, 0.005
	var res Result
	before := cpuTime()
	for b.Loop() {
		r, err := Run(c)
		if err != nil {
			b.Fatal(err)
		}
		res = r
	}
	spent := float64((cpuTime() - before).Nanoseconds()) / float64(b.N) / 1e6
	kelvin, percent := drumErrors(b, res)
	b.ReportMetric(spent, "cpu-ms")
	b.ReportMetric(kelvin, "K-off")
	b.ReportMetric(percent, "%-HMF-off")
	if s, ok := scipyDrum(b); ok {
		b.ReportMetric(s.MS/spent, "x-faster-than-scipy")
		b.ReportMetric(s.Kelvin, "scipy-K-off")
		b.ReportMetric(s.Percent, "scipy-%-HMF-off")
	}
}

// drumErrors is how far a run is from the published drum.
func drumErrors(b *testing.B, res Result) (kelvin, percent float64) {
	for _, want := range table(b, "transient.csv") {
		for _, got := range res.Rows {
			if want["case"] != "S2_drum_liquid" || num(b, want["t_h"]) != got.Hour {
				continue
			}
			f := figures(got)
			for _, k := range []string{"T_centre", "T_mean", "T_side_mid", "T_top_axis", "T_top_rim"} {
				kelvin = max(kelvin, math.Abs(f[k]-num(b, want[k])))
			}
			for _, k := range []string{"HMF_add_mean_mgkg", "HMF_add_max_mgkg"} {
				percent = max(percent, 100*math.Abs(f[k]/num(b, want[k])-1))
			}
		}
	}
	return kelvin, percent
}

type scipy struct {
	MS, Kelvin, Percent float64
	Setting             string
}

// scipyDrum runs the reference, where Debian's python3-scipy is installed.
func scipyDrum(b *testing.B) (scipy, bool) {
	out, err := exec.Command("/usr/bin/python3", "../../bench/drum.py", "testdata/transient.csv").Output()
	if err != nil {
		b.Logf("no SciPy to compare with: %v", err)
		return scipy{}, false
	}
	var s scipy
	if err := json.Unmarshal(out, &s); err != nil {
		b.Fatal(err)
	}
	b.Logf("SciPy's best: %s, %.1f ms", s.Setting, s.MS)
	return s, true
}

// BenchmarkSetDrum warms the granulated one.
func BenchmarkSetDrum(b *testing.B) {
	before := cpuTime()
	c := reference("S3_drum_granulated")
	c.ReportH = []float64{6, 12, 24, 48, 72, 96}
	for b.Loop() {
		if _, err := Run(c); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((cpuTime()-before).Nanoseconds())/float64(b.N)/1e6, "cpu-ms")
}

// BenchmarkBestSchedule plans a set drum in full doubt with one, two and three set points.
func BenchmarkBestSchedule(b *testing.B) {
	for name, changes := range map[string]int{"1": 1, "2": 2, "3": 3} {
		b.Run(name, func(b *testing.B) {
			p := setDrum(b)
			p.Changes = changes
			before := cpuTime()
			for b.Loop() {
				if _, err := Best(p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s")
			b.ReportMetric((cpuTime()-before).Seconds()/float64(b.N), "cpu-s")
		})
	}
}

// BenchmarkThousandDrums forecasts a thousand set drums for 96 h on every core.
func BenchmarkThousandDrums(b *testing.B) {
	before := cpuTime()
	for b.Loop() {
		var wait sync.WaitGroup
		for core := range runtime.NumCPU() {
			wait.Add(1)
			go func() {
				defer wait.Done()
				for i := core; i < 1000; i += runtime.NumCPU() {
					c := reference("S3_drum_granulated")
					c.Start = Even(c.Start.Core + quantity.Celsius(i)/200)
					c.ReportH = []float64{6, 24, 48, 72, 96}
					if _, err := Run(c); err != nil {
						b.Error(err)
					}
				}
			}()
		}
		wait.Wait()
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s")
	b.ReportMetric((cpuTime()-before).Seconds()/float64(b.N), "cpu-s")
}
