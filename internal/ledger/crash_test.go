//go:build unix

package ledger

import (
	"bufio"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"combline/internal/chain"
)

// kills is how often a writing child is killed; COMBLINE_KILLS asks for more.
func kills(t *testing.T) int {
	s := os.Getenv("COMBLINE_KILLS")
	if s == "" {
		return 12
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 {
		t.Fatalf("COMBLINE_KILLS=%s, want a number of kills", s)
	}
	return n
}

// A kill can't tell synchronous=FULL from OFF: this is about errors of logic.
// What power loss would leave is shown by the order of system calls.
func TestKilledWriterLosesNothing(t *testing.T) {
	t.Parallel()
	dir, r := t.TempDir(), rand.New(rand.NewPCG(8, 15))
	last, total := chain.Head{}, 0
	for n := range kills(t) {
		acked := killed(t, dir, n%4 == 3, time.Duration(r.IntN(120))*time.Millisecond)
		total += len(acked)
		if len(acked) > 0 {
			last = acked[len(acked)-1]
		}
		hashes := whole(t, dir)
		for _, a := range acked {
			if a.Seq > uint64(len(hashes)) || hashes[a.Seq-1] != a.Hash {
				t.Fatalf("kill %d: fact %d was acknowledged and is lost", n, a.Seq)
			}
		}
		if uint64(len(hashes)) < last.Seq {
			t.Fatalf("kill %d: %d facts are left of %d", n, len(hashes), last.Seq)
		}
	}
	if total < kills(t)/2 {
		t.Fatalf("only %d acknowledgements in %d runs: the test saw next to nothing", total, kills(t))
	}
	t.Logf("%d kills, %d acknowledgements, none lost", kills(t), total)
}

// killed runs a writing child and kills it a while after its start, or after its
// first acknowledgement. It returns what was acknowledged.
func killed(t *testing.T, dir string, fromStart bool, after time.Duration) []chain.Head {
	t.Helper()
	c := command(t, nil, "write", dir, 1_000_000)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	kill := func() { time.AfterFunc(after, func() { _ = c.Process.Kill() }) }
	if fromStart {
		kill()
	}
	in := bufio.NewReader(out)
	if _, err := in.Peek(1); err == nil && !fromStart {
		kill()
	}
	all, others := acks(in)
	if err := c.Wait(); err == nil || len(others) > 0 {
		t.Fatalf("the child ended by itself: %v %v", err, others)
	}
	return all
}

// whole opens the house, which must be in order, and returns its hashes.
func whole(t *testing.T, dir string) (hashes []chain.Hash) {
	t.Helper()
	l, err := Open(ctx, dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if err := l.Refusal(); err != nil {
		t.Fatal(err)
	}
	for s, err := range l.Links(ctx, 0) {
		if err != nil {
			t.Fatal(err)
		}
		hashes = append(hashes, s.Hash)
	}
	return hashes
}
