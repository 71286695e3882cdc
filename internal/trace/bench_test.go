package trace

import (
	"database/sql"
	"path/filepath"
	"sync"
	"testing"
	"time"

	_ "modernc.org/sqlite"
)

// A season as a cluster of contents: drums are tipped to mixes, mixes to one blend,
// the blend is filled to batches, batches go into cases, each case to somebody. 1,024
// clusters go on in a season, so that what belongs together is spread over the
// season's two million contents; there are five seasons.
const (
	drums, mixes, batches, cases = 500, 25, 60, 720
	clusterSize                  = drums + mixes + 1 + batches + 2*cases
	together                     = 1024
)

// clusters makes about n nodes and returns the blends.
func clusters(n int, link func(from, to Node), node func() Node) (blends []Node) {
	for made := 0; made < n; made += together * clusterSize {
		layer := func(size int, from [][]Node, each int) [][]Node {
			to := make([][]Node, together)
			for i := range size {
				for c := range together {
					x := node()
					to[c] = append(to[c], x)
					if from != nil && len(from[c]) > size { // several into one
						for _, y := range from[c][i*each : (i+1)*each] {
							link(y, x)
						}
					} else if from != nil { // one into several
						link(from[c][i/each], x)
					}
				}
			}
			return to
		}
		m := layer(mixes, layer(drums, nil, 0), drums/mixes)
		blend := layer(1, m, mixes)
		filled := layer(batches, blend, batches)
		layer(cases, layer(cases, filled, cases/batches), 1)
		for c := range together {
			blends = append(blends, blend[c][0])
		}
	}
	return blends
}

// Bound: in 10,000,000 nodes a reach of 2,000 both ways in at most 1 ms with appends
// going on, at least 100 × SQLite's recursive query on the same graph.
func BenchmarkReach(b *testing.B) {
	const nodes = 10_000_000
	db, err := sql.Open("sqlite", filepath.Join(b.TempDir(), "graph.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	exec := func(q string) {
		if _, err := db.Exec(q); err != nil {
			b.Fatal(err)
		}
	}
	exec("PRAGMA journal_mode=OFF")
	exec("PRAGMA synchronous=OFF")
	exec("CREATE TABLE edge (a INTEGER NOT NULL, b INTEGER NOT NULL)")
	tx, err := db.Begin()
	if err != nil {
		b.Fatal(err)
	}
	insert, err := tx.Prepare("INSERT INTO edge VALUES (?, ?), (?, ?), (?, ?), (?, ?), (?, ?), (?, ?), (?, ?), (?, ?)")
	if err != nil {
		b.Fatal(err)
	}
	g := &Graph{}
	var row []any
	blends := clusters(nodes, func(from, to Node) {
		g.Link(from, to)
		if row = append(row, int64(from), int64(to)); len(row) == 16 {
			if _, err := insert.Exec(row...); err != nil {
				b.Fatal(err)
			}
			row = row[:0]
		}
	}, func() Node { return g.NewNode() })
	if len(row) > 0 {
		b.Fatal("edges are no multiple of 8")
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
	exec("CREATE INDEX edge_a ON edge (a, b)")
	exec("CREATE INDEX edge_b ON edge (b, a)")

	ours := func(n Node) (int, time.Duration) {
		start := time.Now()
		found := len(g.Reach([]Node{n}, Back, Every, nil)) + len(g.Reach([]Node{n}, Forward, Every, nil)) - 1
		return found, time.Since(start)
	}
	theirs := func(n Node) (int, time.Duration) {
		start := time.Now()
		var back, forward int
		for q, into := range map[string]*int{
			"WITH RECURSIVE r(n) AS (VALUES (?) UNION SELECT a FROM edge JOIN r ON b = n) SELECT count(*) FROM r": &back,
			"WITH RECURSIVE r(n) AS (VALUES (?) UNION SELECT b FROM edge JOIN r ON a = n) SELECT count(*) FROM r": &forward} {
			if err := db.QueryRow(q, int64(n)).Scan(into); err != nil {
				b.Fatal(err)
			}
		}
		return back + forward - 1, time.Since(start)
	}

	var mu sync.RWMutex // as the office has it: a writer folds between two readers
	stop := make(chan struct{})
	var writer sync.WaitGroup
	writer.Go(func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			case <-time.After(200 * time.Microsecond):
			}
			mu.Lock()
			g.Link(blends[i%len(blends)], g.NewNode())
			mu.Unlock()
		}
	})
	var best, sumOurs, sumTheirs time.Duration
	n := 0
	for b.Loop() {
		blend := blends[(n*7919)%len(blends)]
		mu.RLock()
		found, took := ours(blend)
		mu.RUnlock()
		if n < 40 { // the reference is slow
			same, slow := theirs(blend)
			if same > found || same < clusterSize {
				b.Fatalf("reached %d, SQLite %d, want %d", found, same, clusterSize)
			}
			sumTheirs += slow
			sumOurs += took
		}
		best = max(best, took)
		n++
	}
	close(stop)
	writer.Wait()
	m := float64(min(n, 40))
	b.ReportMetric(sumOurs.Seconds()*1000/m, "ms-reach-both-ways")
	b.ReportMetric(best.Seconds()*1000, "ms-slowest")
	b.ReportMetric(sumTheirs.Seconds()/sumOurs.Seconds(), "x-faster-than-sqlite")
	b.ReportMetric(float64(g.Nodes()), "nodes")
}
