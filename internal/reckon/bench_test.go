package reckon

import (
	"bytes"
	"context"
	"encoding/csv"
	"io"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A rowsOf gives the same rows again and again, so that no table stands in memory.
type rowsOf struct {
	head []byte
	rows []byte
	left int // rows that are still to come, in blocks of len(rows)
	at   []byte
}

const blockRows = 100

func tableSource(s *Subject, t testing.TB, rows int) *rowsOf {
	q, err := askQuery(s)
	if err != nil {
		t.Fatal(err)
	}
	var head, row []string
	for i, in := range s.Inputs {
		if q.in[i].given {
			head = append(head, in.Name)
			cell := q.in[i].word
			if cell == "" {
				cell = strconv.FormatFloat(q.in[i].number, 'g', -1, 64)
			}
			row = append(row, string(appendCell(nil, cell, ',')))
		}
	}
	line := "D0041," + strings.Join(row, ",") + "\n"
	return &rowsOf{head: []byte("drum," + strings.Join(head, ",") + "\n"), rows: []byte(strings.Repeat(line, blockRows)), left: rows / blockRows}
}

func askQuery(s *Subject) (*Query, error) {
	o, err := readOptions(append([]string{s.Name}, parted(s.Example)...))
	if err != nil {
		return nil, err
	}
	q := newQuery(s)
	return q, q.read(o.flags)
}

func (r *rowsOf) Read(p []byte) (int, error) {
	if len(r.head) > 0 {
		r.at, r.head = r.head, nil
	}
	if len(r.at) == 0 {
		if r.left == 0 {
			return 0, io.EOF
		}
		r.at, r.left = r.rows, r.left-1
	}
	n := copy(p, r.at)
	r.at = r.at[n:]
	return n, nil
}

const million = 1_000_000

// BenchmarkTable answers a table of a million rows of each subject, and reads and
// writes the same table with encoding/csv alone in the same run: times-csv is how many
// times as long the answers take. The promise is 200,000 rows a second for the algebraic
// ones, which are all but these: swatch and inspection integrate for each row, and
// batch, run-verdict and spread read twenty or thirty weights.
func BenchmarkTable(b *testing.B) {
	for _, s := range Subjects() {
		if s.rows() >= 0 || s.Name == "run-length" || s.Name == "shelf-life" {
			continue // it answers with a table of its own; or solves an integral equation a row
		}
		b.Run(s.Name, func(b *testing.B) {
			alone := csvAlone(b, tableSource(&s, b, million))
			before := peakKB()
			for b.Loop() {
				if _, err := Table(context.Background(), &s, tableSource(&s, b, million), io.Discard); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)*million/b.Elapsed().Seconds(), "rows/s")
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/alone.Seconds(), "times-csv")
			if after := peakKB(); after > 0 {
				b.ReportMetric(float64(after-before), "KB-peak-growth")
			}
		})
	}
}

// csvAlone is how long the standard library takes to read a table and write it again.
func csvAlone(b *testing.B, in io.Reader) time.Duration {
	start := time.Now()
	r, w := csv.NewReader(in), csv.NewWriter(io.Discard)
	r.ReuseRecord = true
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err == nil {
			err = w.Write(row)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	w.Flush()
	return time.Since(start)
}

// BenchmarkBadRows: a table of which no row can be read costs its sentences, no more.
func BenchmarkBadRows(b *testing.B) {
	s, err := Find("density")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		in := &rowsOf{head: []byte("water_pct,temp_c\n"), rows: []byte(strings.Repeat("17 mm,20\n", blockRows)), left: million / blockRows / 10}
		tally, err := Table(context.Background(), s, in, io.Discard)
		if err != nil || tally.Unanswered != tally.Rows {
			b.Fatal(tally, err)
		}
	}
	b.ReportMetric(float64(b.N)*million/10/b.Elapsed().Seconds(), "rows/s")
}

// peakKB is the most memory that the process ever held, where the system tells.
func peakKB() int {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, rest, _ := bytes.Cut(status, []byte("VmHWM:"))
	fields := bytes.Fields(rest)
	if len(fields) == 0 {
		return 0
	}
	kb, err := strconv.Atoi(string(fields[0]))
	if err != nil {
		return 0
	}
	return kb
}

// A hundred times the rows take no more memory: what is allocated in all, freed or
// not, does not depend on the rows. The slack of 64 KiB is for what the test itself
// and the runtime allocate meanwhile.
func TestMemoryDoesNotGrow(t *testing.T) {
	for _, name := range []string{"density", "water", "tolerance", "ferment"} {
		s, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		allocated := func(rows int) uint64 {
			in := tableSource(s, t, rows)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			if _, err := Table(context.Background(), s, in, io.Discard); err != nil {
				t.Fatal(err)
			}
			runtime.ReadMemStats(&after)
			return after.TotalAlloc - before.TotalAlloc
		}
		few, many := allocated(1000), allocated(100_000)
		if many > few+64<<10 {
			t.Errorf("%s: 1000 rows allocate %d bytes, 100000 rows %d", name, few, many)
		}
	}
}
