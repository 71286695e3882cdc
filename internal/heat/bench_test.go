package heat

import (
	"math"
	"runtime"
	"sync"
	"testing"

	"combline/internal/quantity"
)

// BenchmarkDrum warms the liquid 300 kg drum for 96 h, on one core.
func BenchmarkDrum(b *testing.B) {
	c := published("S2_drum_liquid")
	c.ReportH = []float64{6, 12, 24, 48, 72, 96}
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
	var kelvin, hmf float64
	for _, want := range table(b, "transient.csv") {
		for _, got := range res.Rows {
			if want["case"] == "S2_drum_liquid" && num(b, want["t_h"]) == got.Hour {
				f := figures(got)
				for _, k := range []string{"T_centre", "T_mean", "T_side_mid", "T_top_axis", "T_top_rim"} {
					kelvin = max(kelvin, math.Abs(f[k]-num(b, want[k])))
				}
				for _, k := range []string{"HMF_add_mean_mgkg", "HMF_add_max_mgkg"} {
					hmf = max(hmf, 100*math.Abs(f[k]/num(b, want[k])-1))
				}
			}
		}
	}
	b.ReportMetric(spent, "cpu-ms")
	b.ReportMetric(kelvin, "K-off")
	b.ReportMetric(hmf, "%-HMF-off")
}

// BenchmarkSetDrum warms the granulated one.
func BenchmarkSetDrum(b *testing.B) {
	c := published("S3_drum_granulated")
	c.ReportH = []float64{6, 12, 24, 48, 72, 96}
	for b.Loop() {
		if _, err := Run(c); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e6, "ms")
}

// BenchmarkBestSchedule plans a set drum in full doubt with one, two and three set points.
func BenchmarkBestSchedule(b *testing.B) {
	for name, changes := range map[string]int{"1": 1, "2": 2, "3": 3} {
		b.Run(name, func(b *testing.B) {
			p := setDrum(b)
			p.Changes = changes
			for b.Loop() {
				if _, err := Best(p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s")
		})
	}
}

// BenchmarkThousandDrums forecasts a thousand set drums for 96 h on every core.
func BenchmarkThousandDrums(b *testing.B) {
	for b.Loop() {
		var wait sync.WaitGroup
		for core := range runtime.NumCPU() {
			wait.Add(1)
			go func() {
				defer wait.Done()
				for i := core; i < 1000; i += runtime.NumCPU() {
					c := published("S3_drum_granulated")
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
}
