package fill

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// BenchmarkStream takes ten million jars of four nozzles one by one through charts,
// count and sample, ends with the verdicts, and tells how much the heap grew.
func BenchmarkStream(b *testing.B) {
	const jars = 10_000_000
	random := rand.New(rand.NewPCG(1, 1))
	net := make([]quantity.Milligram, 1<<16)
	for i := range net {
		net[i] = netOf(random, 341.3)
	}
	d := Usual()
	d.LabelG = 340
	tol, err := standard.ToleranceOf(standard.EU, 340*gram)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		l := line(b, d, 4)
		var c Count
		s := NewSampler(1)
		start := heap()
		begin := b.Elapsed()
		for i := range jars {
			m := net[i&(1<<16-1)]
			if _, _, err := l.Weigh(1+i&3, m); err != nil {
				b.Fatal(err)
			}
			if err := c.Add(&tol, m); err != nil {
				b.Fatal(err)
			}
			if err := s.Add(m); err != nil {
				b.Fatal(err)
			}
		}
		v, err := Judge(standard.EU, 340*gram, c)
		if err != nil || c.Jars != jars || !v.Pass() {
			b.Fatal(v, err)
		}
		if _, err := s.Judge(standard.EU, 340*gram, standard.Double); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(jars/(b.Elapsed()-begin).Seconds(), "weights/s")
		b.ReportMetric(float64(heap()-start)/1024, "KB-grown")
		runtime.KeepAlive(l)
	}
}

func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
