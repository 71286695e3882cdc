package office_test

import (
	"database/sql"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"context"

	"combline/internal/chain"
	"combline/internal/demo"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"

	_ "modernc.org/sqlite"
)

// years writes a ledger of n facts at dir, five to a fill of a day's work as the demo
// house has them, and returns how many.
func years(b testing.TB, dir string, n int) {
	b.Helper()
	l, err := ledger.Open(b.Context(), dir, ledger.Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	var bodies [][]byte
	head := l.Head()
	flush := func() {
		if head, err = l.Append(context.Background(), head, bodies...); err != nil {
			b.Fatal(err)
		}
		bodies = bodies[:0]
	}
	left := n
	demo.Years(n/1000+1, func(e record.Entry) bool {
		body, err := record.Encode(e)
		if err != nil {
			b.Fatal(err)
		}
		if bodies = append(bodies, body); len(bodies) == 5000 {
			flush()
		}
		left--
		return left > 0
	})
	flush()
}

// readAndHash is the reference: every link read with its number and hashes, by the
// standard library's database/sql, its SHA-256 made again, and nothing else.
func readAndHash(b *testing.B, dir string) (n int) {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, "combline.db")+"?mode=ro")
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	rows, err := db.Query("SELECT seq, prev, hash, body FROM link ORDER BY seq")
	if err != nil {
		b.Fatal(err)
	}
	defer rows.Close()
	var hasher chain.Hasher
	var l chain.Link
	for rows.Next() {
		var prev, hash, body sql.RawBytes
		if err := rows.Scan(&l.Seq, &prev, &hash, &body); err != nil {
			b.Fatal(err)
		}
		l.Prev, l.Body = chain.Hash(prev), body
		if sum := hasher.Sum(l); sum != chain.Hash(hash) {
			b.Fatalf("fact %d: another hash", l.Seq)
		}
		n++
	}
	return n
}

// Bound: 1,000,000 facts read, verified and folded in at most 2 × the time of reading
// and SHA-256 alone, with under 400 bytes of memory a fact.
func BenchmarkReplayMillion(b *testing.B) {
	const facts = 1_000_000
	dir := b.TempDir()
	years(b, dir, facts)
	l, err := ledger.Open(b.Context(), dir, ledger.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	for b.Loop() {
		start := time.Now()
		if n := readAndHash(b, dir); n != facts {
			b.Fatal(n)
		}
		reference := time.Since(start)
		before := heap()
		start = time.Now()
		o, err := office.Open(b.Context(), l, time.Now, nil)
		if err != nil {
			b.Fatal(err)
		}
		took := time.Since(start)
		after := heap()
		b.ReportMetric(took.Seconds()/reference.Seconds(), "x-of-read-and-sha256")
		b.ReportMetric(float64(after-before)/facts, "B/fact")
		b.ReportMetric(facts/took.Seconds(), "facts/s")
		b.ReportMetric(reference.Seconds(), "s-reference")
		o.Close()
		runtime.KeepAlive(o)
	}
}

func heap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// Bound: a house of five seasons, 250,000 facts, is open in at most 1 s.
func BenchmarkStart(b *testing.B) {
	dir := b.TempDir()
	years(b, dir, 250_000)
	for b.Loop() {
		start := time.Now()
		l, err := ledger.Open(b.Context(), dir, ledger.Options{})
		if err != nil {
			b.Fatal(err)
		}
		o, err := office.Open(b.Context(), l, time.Now, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(time.Since(start).Seconds(), "s-to-open")
		o.Close()
		l.Close()
	}
}
