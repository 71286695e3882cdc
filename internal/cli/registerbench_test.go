package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"combline/internal/chain"
	"combline/internal/demo"
	"combline/internal/ledger"
	"combline/internal/record"
)

// BenchmarkRegister times the whole command, from opening the house on the disk to the
// written files: a month's register as sheets, as a spreadsheet with every field in a
// column, and as events; of the demo house and of one with five seasons of entries.
func BenchmarkRegister(b *testing.B) {
	for _, h := range []struct {
		name, month string
		write       func(yield func(record.Entry) bool)
	}{
		{"season", "2026-09", func(yield func(record.Entry) bool) { demo.Years(1, yield) }},
		{"five-seasons", demo.LargeEnd().AddDate(0, -4, 0).Format("2006-01"), func(yield func(record.Entry) bool) { demo.Large(40, 100, yield) }},
	} {
		dir := houseOnDisk(b, h.write)
		for _, as := range []struct {
			name string
			args []string
		}{{"pdf", []string{"--pdf"}}, {"xlsx", []string{"--fields", "--xlsx"}}, {"events", []string{"--events"}}} {
			b.Run(h.name+"/"+as.name, func(b *testing.B) {
				for b.Loop() {
					file := filepath.Join(b.TempDir(), "register")
					args := append([]string{"--house", dir, "register", h.month}, append(as.args, file)...)
					from := time.Now()
					if code := Run(context.Background(), args, Streams{In: nil, Out: io.Discard, Err: os.Stderr}); code != 0 {
						b.Fatalf("exit code %d", code)
					}
					b.ReportMetric(float64(time.Since(from).Microseconds())/1000, "ms/command")
				}
			})
		}
	}
}

// houseOnDisk is a house's folder with the entries that write yields.
func houseOnDisk(b *testing.B, write func(yield func(record.Entry) bool)) string {
	b.Helper()
	dir := b.TempDir()
	l, err := ledger.Open(context.Background(), dir, ledger.Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	var head chain.Head
	var bodies [][]byte
	n := 0
	flush := func() {
		if head, err = l.Append(context.Background(), head, bodies...); err != nil {
			b.Fatal(err)
		}
		bodies = bodies[:0]
	}
	write(func(e record.Entry) bool {
		body, err := record.Encode(e)
		if err != nil {
			b.Fatal(err)
		}
		n++
		if bodies = append(bodies, body); len(bodies) == 5000 {
			flush()
		}
		return true
	})
	flush()
	b.Logf("%d entries", n)
	if err := l.Close(); err != nil {
		b.Fatal(err)
	}
	return dir
}
