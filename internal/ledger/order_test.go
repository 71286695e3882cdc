//go:build linux

package ledger

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"combline/internal/chain"
)

// No acknowledgement may leave the process while a write to the log is not yet
// on the disk: that is what a fact's survival of a power loss rests on. The
// trace shows it, and a child that does not sync shows that the check can fail.
func TestOrderOfSystemCalls(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	o := traced(t, dir, "write", 1500) // more than one checkpoint
	for _, v := range o.violations {
		t.Error(v)
	}
	if o.acks != 1500 || o.logWrites < o.acks || o.syncs < o.acks || o.notes < o.acks {
		t.Errorf("%d acknowledgements, %d log writes, %d syncs, %d witness writes: want 1500 and at least as many", o.acks, o.logWrites, o.syncs, o.notes)
	}
	if o.pages == 0 {
		t.Error("no checkpoint was seen: its order is not shown")
	}
	t.Logf("synced: %d acknowledgements, %d log writes, %d syncs, %d pages moved, none out of order", o.acks, o.logWrites, o.syncs, o.pages)
}

func TestOrderCheckFindsUnsynced(t *testing.T) {
	t.Parallel()
	o := traced(t, t.TempDir(), "unsynced", 100)
	if o.acks != 100 || len(o.violations) < 50 {
		t.Errorf("an unsynced writer: %d acknowledgements, %d found out of order, want most", o.acks, len(o.violations))
	}
}

func needStrace(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("strace"); err != nil {
		t.Skip("strace is not installed, so that the order of system calls can't be seen")
	}
}

func traced(t *testing.T, dir, job string, n int) *order {
	t.Helper()
	needStrace(t)
	trace := filepath.Join(t.TempDir(), "trace")
	c := command(t, []string{"strace", "-f", "-y", "-s", "16", "-o", trace,
		"-e", "trace=pwrite64,pwritev,pwritev2,write,writev,fsync,fdatasync"}, job, dir, n)
	if out, err := c.Output(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	f, err := os.Open(trace)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	o := newOrder()
	for s := bufio.NewScanner(f); s.Scan(); {
		o.line(s.Text())
	}
	return o
}

// An order follows a trace. A sync counts for the writes that had ended when it began.
type order struct {
	open map[string]call // by thread: begun, not ended
	dirty,
	written map[string]int // by file: writes not yet synced; writes begun

	acks, logWrites, syncs, notes, pages int
	violations                           []string
}

type call struct {
	name, file string
	begun      int // writes to the file when the call began
}

func newOrder() *order {
	return &order{open: map[string]call{}, dirty: map[string]int{}, written: map[string]int{}}
}

var (
	whatCall = regexp.MustCompile(`^(\d+) +(\w+)\(\d+<([^>]*)>(.*)`)
	resumed  = regexp.MustCompile(`^(\d+) +<\.\.\. (\w+) resumed>`)
)

func (o *order) line(s string) {
	if m := resumed.FindStringSubmatch(s); m != nil {
		o.end(o.open[m[1]])
		delete(o.open, m[1])
		return
	}
	m := whatCall.FindStringSubmatch(s)
	if m == nil {
		return // an exit, a signal
	}
	c := call{name: m[2], file: filepath.Base(m[3])}
	c.begun = o.begin(c, m[4], s)
	if strings.HasSuffix(s, "<unfinished ...>") {
		o.open[m[1]] = c
		return
	}
	o.end(c)
}

func (o *order) begin(c call, rest, line string) int {
	const log = dbFile + "-wal"
	sync := strings.HasSuffix(c.name, "sync")
	early := ""
	switch {
	case sync:
	case c.file == log:
		o.logWrites++
	case c.file == dbFile:
		o.pages++
		early = "a page is moved into the database"
	case c.file == witnessFile:
		o.notes++
		early = "the witness is written"
	case strings.HasPrefix(c.file, "pipe:") && strings.Contains(rest, `"ack `):
		o.acks++
		early = "an acknowledgement leaves"
	}
	if early != "" && o.dirty[log] > 0 {
		o.violations = append(o.violations, early+" before the log is synced: "+line)
	}
	if !sync {
		o.written[c.file]++
		o.dirty[c.file]++
	}
	return o.written[c.file]
}

func (o *order) end(c call) {
	if strings.HasSuffix(c.name, "sync") {
		o.syncs++
		o.dirty[c.file] = o.written[c.file] - c.begun // those begun since
	}
}

// The check itself, on traces made by hand.
func TestOrderCheck(t *testing.T) {
	const (
		wal  = `7 pwrite64(5</h/combline.db-wal>, "x", 4096, 32) = 4096`
		sync = `7 fdatasync(5</h/combline.db-wal>) = 0`
		ack  = `9 write(1<pipe:[77]>, "ack 1 aa"..., 70) = 70`
	)
	for name, c := range map[string]struct {
		trace []string
		want  int
	}{
		"in order":              {[]string{wal, sync, ack}, 0},
		"no sync":               {[]string{wal, ack}, 1},
		"sync too early":        {[]string{sync, wal, ack}, 1},
		"other file synced":     {[]string{wal, `7 fsync(6</h/combline.db>) = 0`, ack}, 1},
		"sync not ended":        {[]string{wal, `7 fdatasync(5</h/combline.db-wal> <unfinished ...>`, ack, `7 <... fdatasync resumed>) = 0`}, 1},
		"sync ended":            {[]string{wal, `7 fdatasync(5</h/combline.db-wal> <unfinished ...>`, `7 <... fdatasync resumed>) = 0`, ack}, 0},
		"written while syncing": {[]string{wal, `7 fdatasync(5</h/combline.db-wal> <unfinished ...>`, wal, `7 <... fdatasync resumed>) = 0`, ack}, 1},
		"witness too early":     {[]string{wal, `7 pwrite64(8</h/witness>, "c", 180, 0) = 180`, sync}, 1},
		"page moved too early":  {[]string{wal, `7 pwrite64(4</h/combline.db>, "x", 4096, 0) = 4096`, sync}, 1},
	} {
		o := newOrder()
		for _, l := range c.trace {
			o.line(l)
		}
		if len(o.violations) != c.want {
			t.Errorf("%s: %d found out of order, want %d: %v", name, len(o.violations), c.want, o.violations)
		}
	}
}

// Syncs and writes that the disk refuses now and then: what failed is not
// there, what was acknowledged is, and memory and disk agree all the time.
func TestRefusedByTheDisk(t *testing.T) {
	t.Parallel()
	needStrace(t)
	for name, inject := range map[string]string{
		"sync":  "fdatasync:error=EIO:when=30+17",
		"write": "pwrite64:error=EIO:when=60+23",
		"full":  "pwrite64:error=ENOSPC:when=60+23",
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			c := command(t, []string{"strace", "-f", "-o", os.DevNull, "-e", "trace=pwrite64,fdatasync", "-e", "inject=" + inject}, "stubborn", dir, 300)
			out, err := c.Output()
			if err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			acked, failed := acks(strings.NewReader(string(out)))
			if len(failed) == 0 || len(acked) == 0 {
				t.Fatalf("%d appends went well, %d failed: want some of both", len(acked), len(failed))
			}
			hashes := whole(t, dir)
			for _, a := range acked {
				if a.Seq > uint64(len(hashes)) || hashes[a.Seq-1] != a.Hash {
					t.Fatalf("fact %d was acknowledged and is lost", a.Seq)
				}
			}
			if end := acked[len(acked)-1]; end != (chain.Head{Seq: uint64(len(hashes)), Hash: hashes[len(hashes)-1]}) {
				t.Errorf("the ledger ends at %d, the last acknowledged is %d: a failed append left a trace", len(hashes), end.Seq)
			}
			t.Logf("%d appends went well, %d failed: %s", len(acked), len(failed), failed[0])
		})
	}
}
