//go:build linux

package ledger

import (
	"bytes"
	"crypto/sha256"
	"database/sql/driver"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// Each benchmark runs its reference between its own rounds, on the same disk,
// and reports the ratio: a busy machine slows both. A ratio beyond its bound
// fails.

// fact is as long as those of the measurements that chose the driver.
var fact = bytes.Repeat([]byte("honey fact "), 27)[:289]

// A rawFile is the reference for an append: the bytes, and a sync.
type rawFile struct {
	f    *os.File
	sync func(*os.File) error
}

func newRaw(b *testing.B, sync func(*os.File) error) rawFile {
	f, err := os.Create(filepath.Join(b.TempDir(), "raw"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { f.Close() })
	return rawFile{f, sync}
}

func (r rawFile) append() error {
	_, err := r.f.Write(fact)
	if err == nil {
		err = r.sync(r.f)
	}
	return err
}

// timed adds what do takes to sum.
func timed(b *testing.B, sum *time.Duration, do func() error) {
	start := time.Now()
	err := do()
	*sum += time.Since(start)
	if err != nil {
		b.Fatal(err)
	}
}

// One fact a commit, against a raw append and fsync: bound at least 0.8.
func BenchmarkAppendOne(b *testing.B) {
	l := open(b, b.TempDir())
	raw := newRaw(b, (*os.File).Sync)
	data := newRaw(b, func(f *os.File) error { return unix.Fdatasync(int(f.Fd())) })
	var own, byRaw, byData time.Duration
	n := 0
	for b.Loop() {
		timed(b, &byRaw, raw.append)
		timed(b, &own, func() error { _, err := l.Append(ctx, l.Head(), fact); return err })
		timed(b, &byData, data.append)
		n++
	}
	ratio := byRaw.Seconds() / own.Seconds()
	b.ReportMetric(float64(n)/own.Seconds(), "facts/s")
	b.ReportMetric(ratio, "x-raw-fsync")
	b.ReportMetric(byData.Seconds()/own.Seconds(), "x-raw-fdatasync")
	if n >= 1000 && ratio < 0.8 {
		b.Errorf("%.2f of a raw append + fsync, want at least 0.8", ratio)
	}
}

// 64 appenders that share commits, against one: bound at least 8.
func BenchmarkAppendTogether(b *testing.B) {
	const many, each, alone = 64, 20, 200
	l := open(b, b.TempDir())
	var together, one time.Duration
	n := 0
	for b.Loop() {
		g := newGroup(l)
		timed(b, &one, func() error { return appendAll(g, 1, alone) })
		timed(b, &together, func() error { return appendAll(g, many, each) })
		g.stop()
		n++
	}
	rate, rateOne := float64(n*many*each)/together.Seconds(), float64(n*alone)/one.Seconds()
	b.ReportMetric(rate, "facts/s")
	b.ReportMetric(rate/rateOne, "x-one")
	if rate < 8*rateOne {
		b.Errorf("64 together are %.1f times as fast as one, want at least 8", rate/rateOne)
	}
}

func appendAll(g *group, writers, each int) error {
	var all sync.WaitGroup
	failed := make(chan error, writers)
	for range writers {
		all.Go(func() {
			for range each {
				if err := g.append(fact); err != nil {
					failed <- err
					return
				}
			}
		})
	}
	all.Wait()
	close(failed)
	return <-failed
}

// manyFacts is an open house with n facts.
func manyFacts(b *testing.B, n int) *Ledger {
	l := open(b, b.TempDir())
	bodies := make([][]byte, 1000)
	for i := range bodies {
		bodies[i] = fact
	}
	for range n / len(bodies) {
		if _, err := l.Append(ctx, l.Head(), bodies...); err != nil {
			b.Fatal(err)
		}
	}
	return l
}

// A million links read and verified, against reading the same rows and SHA-256
// alone, and against a flat file's bytes and SHA-256.
func BenchmarkRead(b *testing.B) {
	l := manyFacts(b, 1_000_000)
	c, err := l.reader()
	if err != nil {
		b.Fatal(err)
	}
	defer l.takeBack(c)
	flat := filepath.Join(b.TempDir(), "flat")
	if err := os.WriteFile(flat, bytes.Repeat(append(fact, make([]byte, 64)...), 1_000_000), 0o644); err != nil {
		b.Fatal(err)
	}
	var own, rows, file time.Duration
	n := 0
	for b.Loop() {
		timed(b, &rows, func() error { return readRows(c) })
		timed(b, &own, func() error { return readLedger(l) })
		timed(b, &file, func() error { return readFlat(flat) })
		n++
	}
	ratio := own.Seconds() / rows.Seconds()
	b.ReportMetric(own.Seconds()/float64(n), "s/million")
	b.ReportMetric(ratio, "x-rows-sha256")
	b.ReportMetric(own.Seconds()/file.Seconds(), "x-flat-sha256")
	if ratio > 2 {
		b.Errorf("%.2f times the time of reading and SHA-256 alone, want at most 2", ratio)
	}
}

func readLedger(l *Ledger) error {
	for _, err := range l.Links(ctx, 0) {
		if err != nil {
			return err
		}
	}
	return nil
}

func readRows(c *conn) error {
	return c.query(func(row []driver.Value) error {
		sha256.Sum256(row[1].([]byte))
		return nil
	}, "SELECT "+packedColumns+" FROM link ORDER BY seq")
}

func readFlat(path string) error {
	all, err := os.ReadFile(path)
	for ; len(all) > 0; all = all[len(fact)+64:] {
		sha256.Sum256(all[:len(fact)+64])
	}
	return err
}

// Opening a house of five seasons and reading all its facts, verified: this is
// the ledger's part of a start, which may take 1 s in all.
func BenchmarkStart(b *testing.B) {
	l := manyFacts(b, 250_000)
	if err := l.Close(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		again, err := Open(ctx, l.dir, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if err := readLedger(again); err != nil {
			b.Fatal(err)
		}
		if err := again.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

// A back-up of the same house, verified.
func BenchmarkBackup(b *testing.B) {
	l := manyFacts(b, 250_000)
	to := filepath.Join(b.TempDir(), "back-up")
	for b.Loop() {
		if _, err := l.Backup(ctx, to, nil); err != nil {
			b.Fatal(err)
		}
		if err := os.Remove(to); err != nil {
			b.Fatal(err)
		}
	}
}
