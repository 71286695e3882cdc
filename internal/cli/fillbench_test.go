package cli

import (
	"context"
	"net"
	"runtime"
	"testing"
	"time"

	"combline/internal/instrument"
)

// BenchmarkFillerWeights sends weights through a socket of this computer, through pattern,
// order, odd weights, journal (synced), charts and counts, and works the verdict out after
// every chunk that is read, on one core, which sender and receiver share; blocks and their
// summaries go to a ledger on the disk. Memory is what is in use after a collection, with
// 1,000,000 weights and with 10,000,000.
func BenchmarkFillerWeights(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	const chunk, all = 10_000, 10_000_000
	for b.Loop() {
		h := fillHouse(b, b.TempDir())
		t, j := takingOf(b, h)
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			b.Fatal(err)
		}
		go func() {
			c, err := l.Accept()
			if err != nil {
				return
			}
			for first := 1; first <= all; first += chunk {
				if _, err := c.Write(lines(first, first+chunk-1)); err != nil {
					return
				}
			}
			c.Close()
		}()
		ctx, stop := context.WithCancel(context.Background())
		w := &watcher{taking: t, stop: stop, all: all}
		began := time.Now()
		f := &instrument.Follower{Source: instrument.Source{Kind: instrument.Dial, Address: l.Addr().String()}, Now: time.Now}
		_ = f.Follow(ctx, w)
		took := time.Since(began)
		l.Close()
		s := t.filling.State()
		if t.stream.Jars != all || t.stream.Lost != 0 || s.Whole == nil || s.Whole.Jars != all {
			b.Fatalf("%d jars of %d came, %d lost", t.stream.Jars, all, t.stream.Lost)
		}
		b.ReportMetric(all/took.Seconds(), "weights/s")
		b.ReportMetric(all/took.Seconds()/100_000, "x-bound")
		b.ReportMetric(float64(w.verdicts), "verdicts")
		b.ReportMetric(float64(w.most)/1e6-float64(w.early)/1e6, "MB-growth-1M-to-10M")
		if err := t.filling.Close(context.Background()); err != nil {
			b.Fatal(err)
		}
		if err := j.Close(); err != nil {
			b.Fatal(err)
		}
		if err := h.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

// A watcher works out the verdict after every chunk, and looks at the memory at times.
type watcher struct {
	*taking
	stop        func()
	all         int64
	verdicts    int
	early, most uint64
	next        int64
}

func (w *watcher) Settle() error {
	if err := w.taking.Settle(); err != nil {
		return err
	}
	w.filling.State()
	w.verdicts++
	if n := w.stream.Jars; n >= w.next {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		if w.next += 1_000_000; w.early == 0 && n >= 1_000_000 {
			w.early = m.HeapAlloc
		}
		w.most = max(w.most, m.HeapAlloc)
		if n == w.all {
			w.stop()
		}
	}
	if w.stream.Jars == w.all {
		w.stop()
	}
	return nil
}
