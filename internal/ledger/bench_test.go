package ledger

import (
	"bytes"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

var fact = bytes.Repeat([]byte("honey fact "), 27)[:289]

func rawLoop(b *testing.B, n int) float64 {
	f, err := os.Create(filepath.Join(b.TempDir(), "raw"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	start := time.Now()
	for range n {
		f.Write(fact)
		f.Sync()
	}
	return float64(n) / time.Since(start).Seconds()
}

func BenchmarkQuick(b *testing.B) {
	l := open(b, b.TempDir())
	run := func() {
		for range 4 {
			raw := rawLoop(b, 1000)
			start := time.Now()
			for range 1000 {
				if _, err := l.Append(ctx, l.Head(), fact); err != nil {
					b.Fatal(err)
				}
			}
			own := 1000 / time.Since(start).Seconds()
			g := newGroup(l)
			start = time.Now()
			var wg sync.WaitGroup
			for range 64 {
				wg.Go(func() {
					for range 200 {
						g.append(fact)
					}
				})
			}
			wg.Wait()
			many := 64 * 200 / time.Since(start).Seconds()
			g.stop()
			b.Logf("raw %.0f own %.0f ratio %.2f many %.0f ratio %.2f", raw, own, own/raw, many, many/own)
		}
	}
	run()
	var bodies [][]byte
	for range 1000 {
		bodies = append(bodies, fact)
	}
	start := time.Now()
	for range 200 {
		l.Append(ctx, l.Head(), bodies...)
	}
	b.Logf("200k in %v", time.Since(start))
	run()
	for range 3 {
		start = time.Now()
		n := 0
		for range l.Links(ctx, 0) {
			n++
		}
		b.Logf("%d links in %v", n, time.Since(start))
	}
}
func BenchmarkRead(b *testing.B) {
	l := open(b, b.TempDir())
	var bodies [][]byte
	for range 1000 {
		bodies = append(bodies, fact)
	}
	for range 500 {
		l.Append(ctx, l.Head(), bodies...)
	}
	for range 4 {
		start := time.Now()
		for range l.Links(ctx, 0) {
		}
		b.Logf("links %v", time.Since(start))
	}
}
