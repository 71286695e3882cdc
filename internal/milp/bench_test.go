package milp

import (
	"context"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"combline/internal/linear"
)

// alone is a model of one order on the whole stock.
func alone(seed uint64, lots int) linear.Model {
	ls, orders := drawInstance(seed, lots, 1)
	m, _ := build(ls, orders, []int{0}, stockOf(ls))
	return m
}

// together is a model of several orders on one stock.
func together(seed uint64, lots, orders int) linear.Model {
	ls, os := drawInstance(seed, lots, orders)
	which := make([]int, orders)
	for i := range which {
		which[i] = i
	}
	m, _ := build(ls, os, which, stockOf(ls))
	return m
}

// One order proven to 0.1 %, against CBC on the same model in the same run. CBC's time
// is its own, without starting and reading; what it calls 0.00 s counts as 0.005.
func BenchmarkOneOrder(b *testing.B) {
	const gap, instances = 1e-3, 8
	for _, lots := range []int{40, 80, 120, 160, 200} {
		b.Run(fmt.Sprintf("%d_lots", lots), func(b *testing.B) {
			s := solver(b)
			if err := s.Ready(context.Background()); err != nil {
				b.Fatal(err)
			}
			var ours, theirs, worst float64
			for range b.N {
				ours, theirs, worst = 0, 0, 0
				for seed := range uint64(instances) {
					m := alone(seed+1, lots)
					t0 := time.Now()
					got, err := s.Solve(context.Background(), []linear.Model{m}, linear.Options{Gap: gap})
					took := time.Since(t0).Seconds()
					if err != nil || got[0].Status != linear.Proven || got[0].Gap() > gap*(1+1e-6) {
						b.Fatalf("instance %d: %v, gap %g, %v", seed+1, got[0].Status, got[0].Gap(), err)
					}
					objective, reference := cbc(b, &m, gap, 2*time.Minute)
					if math.Abs(objective-got[0].Objective) > 2*gap*math.Abs(objective) {
						b.Fatalf("instance %d: %g, CBC %g", seed+1, got[0].Objective, objective)
					}
					ours += math.Log(took)
					theirs += math.Log(max(reference.Seconds(), 0.005))
					worst = max(worst, took)
				}
			}
			b.ReportMetric(math.Exp((ours-theirs)/instances), "x-time-of-CBC")
			b.ReportMetric(1000*math.Exp(ours/instances), "ms-geometric-mean")
			b.ReportMetric(1000*math.Exp(theirs/instances), "ms-CBC")
			b.ReportMetric(1000*worst, "ms-slowest")
		})
	}
}

// Twelve orders on two hundred lots, and forty on a thousand, six instances of each,
// 60 s at most; CBC has each whole for as long.
func BenchmarkTwelveOrders(b *testing.B) { benchTogether(b, 200, 12) }

func BenchmarkFortyOrders(b *testing.B) { benchTogether(b, 1000, 40) }

func benchTogether(b *testing.B, lots, orders int) {
	s := solver(b)
	const limit = 60.0
	for seed := range uint64(6) {
		b.Run(fmt.Sprintf("instance_%d", seed+1), func(b *testing.B) {
			m := together(seed+1, lots, orders)
			for range b.N {
				g, took := timed(b, s, &m, 1e-3, limit)
				b.ReportMetric(100*g.Gap(), "%-gap")
				b.ReportMetric(took, "s")
				b.ReportMetric(peakMB(), "MB-peak")
				if objective, _ := cbc(b, &m, 1e-3, limit*time.Second); !math.IsNaN(objective) { // it may find no plan
					b.ReportMetric(100*(objective-g.Bound)/objective, "%-gap-of-CBC's-plan")
				}
			}
		})
	}
}

// At the tank: one order of ten lots, by all solvers and by HiGHS alone.
func BenchmarkTankQuestion(b *testing.B) {
	s := solver(b)
	m := readMPS(b, "testdata/ex1.mps") // fifteen lots, ten of which fit
	if err := s.Ready(context.Background()); err != nil {
		b.Fatal(err)
	}
	var whole, highs time.Duration
	for range b.N {
		t0 := time.Now()
		if _, err := s.Solve(context.Background(), []linear.Model{m}, linear.Options{}); err != nil {
			b.Fatal(err)
		}
		t1 := time.Now()
		if _, err := s.highs(context.Background(), &m, 0, soon()); err != nil {
			b.Fatal(err)
		}
		whole, highs = whole+t1.Sub(t0), highs+time.Since(t1)
	}
	b.ReportMetric(whole.Seconds()*1000/float64(b.N), "ms")
	b.ReportMetric(highs.Seconds()*1000/float64(b.N), "ms-HiGHS-alone")
}

func timed(b *testing.B, s *Solver, m *linear.Model, gap, limit float64) (linear.Solution, float64) {
	b.Helper()
	t0 := time.Now()
	got, err := s.Solve(context.Background(), []linear.Model{*m}, linear.Options{Gap: gap, Seconds: limit})
	took := time.Since(t0).Seconds()
	if err != nil {
		b.Fatal(err)
	}
	if err := m.Breaks(got[0].Values, near); err != nil {
		b.Fatal(err)
	}
	return got[0], took
}

// peakMB is the most memory that the process has had, by Linux's count.
func peakMB() float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return math.NaN()
	}
	for line := range strings.Lines(string(text)) {
		if f := strings.Fields(line); len(f) > 1 && f[0] == "VmHWM:" {
			kb, _ := strconv.ParseFloat(f[1], 64)
			return kb / 1024
		}
	}
	return math.NaN()
}
