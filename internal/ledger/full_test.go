package ledger

import (
	"bytes"
	"errors"
	"testing"

	"combline/internal/chain"
)

// An append that the disk has no room for leaves memory and disk as they were;
// smaller ones, and all once there is room again, are as good as ever.
func TestFullFile(t *testing.T) {
	dir := t.TempDir()
	l, err := Open(ctx, dir, Options{Create: true, MaxPages: 40})
	if err != nil {
		t.Fatal(err)
	}
	fill(t, l)
	if err := l.PutBlock(ctx, chain.NewBlock("b", "T1", 1, make([]byte, 100_000))); !errors.Is(err, ErrFull) {
		t.Errorf("block gave %v", err)
	}
	if _, err := l.Block(ctx, "b"); !errors.Is(err, chain.ErrNoBlock) {
		t.Errorf("half a block is there: %v", err)
	}
	end := l.Head()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	roomy := open(t, dir)
	if roomy.Head() != end || roomy.Refusal() != nil {
		t.Fatalf("opened again it ends at %d, want %d; %v", roomy.Head().Seq, end.Seq, roomy.Refusal())
	}
	mustAppend(t, roomy, string(big))
	if _, err := roomy.Verify(ctx, nil); err != nil {
		t.Error(err)
	}
}

var big = bytes.Repeat([]byte("honey"), 2000)

// fill appends until the disk is full and checks what that leaves.
func fill(t *testing.T, l *Ledger) {
	t.Helper()
	for n := 0; ; n++ {
		if n > 10_000 {
			t.Fatal("the disk never got full")
		}
		before := l.Head()
		h, err := l.Append(ctx, before, big, []byte("and one more"))
		if err == nil {
			continue
		}
		if !errors.Is(err, ErrFull) || h != before || Key(err) != "ledger.full" {
			t.Fatalf("after %d appends it gave %v, head %d", n, err, h.Seq)
		}
		if err := agree(l, before); err != nil {
			t.Fatal(err)
		}
		return
	}
}
