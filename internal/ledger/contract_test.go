package ledger

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"iter"
	"sync"
	"testing"

	"combline/internal/chain"
)

// A store is what office asks of a ledger; both stores must keep its contract.
type store interface {
	Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error)
	Links(ctx context.Context, after uint64) iter.Seq2[chain.Stored, error]
	Head() chain.Head
	PutBlock(ctx context.Context, b chain.Block) error
	Block(ctx context.Context, id string) (chain.Block, error)
}

var (
	_ store = (*Ledger)(nil)
	_ store = (*Memory)(nil)
)

func TestContract(t *testing.T) {
	stores := map[string]func(t *testing.T) store{
		"sqlite": func(t *testing.T) store { return open(t, t.TempDir()) },
		"memory": func(t *testing.T) store { return &Memory{} },
	}
	for name, fresh := range stores {
		t.Run(name, func(t *testing.T) { contract(t, fresh) })
	}
}

func contract(t *testing.T, fresh func(t *testing.T) store) {
	for name, check := range map[string]func(t *testing.T, s store){
		"empty": emptyContract, "append": appendContract, "head": headContract, "links": linksContract,
		"blocks": blockContract, "cancelled": cancelContract, "together": togetherContract,
	} {
		t.Run(name, func(t *testing.T) { check(t, fresh(t)) })
	}
}

func emptyContract(t *testing.T, s store) {
	if h := s.Head(); h != (chain.Head{}) {
		t.Errorf("a new ledger ends at %v", h)
	}
	if got := collect(t, s, 0); len(got) != 0 {
		t.Errorf("a new ledger has %d facts", len(got))
	}
	if h, err := s.Append(ctx, chain.Head{}); err != nil || h.Seq != 0 {
		t.Errorf("append of nothing gave %v, %v", h, err)
	}
}

func appendContract(t *testing.T, s store) {
	bodies := [][]byte{[]byte("one"), {}, nil, {0, 1, 2, 255}, bytes.Repeat([]byte("long "), 40_000)}
	h, err := s.Append(ctx, s.Head(), bodies...)
	if err != nil || h.Seq != 5 || h != s.Head() {
		t.Fatalf("append gave %v, %v; the head is %v", h, err, s.Head())
	}
	links := collect(t, s, 0)
	for i, l := range links {
		if l.Seq != uint64(i+1) || !bytes.Equal(l.Body, bodies[i]) || l.Link.Hash() != l.Hash {
			t.Errorf("fact %d came back as fact %d with other bytes or hash", i+1, l.Seq)
		}
	}
	if end, err := chain.Verify(chain.Head{}, s.Links(ctx, 0)); err != nil || end != h {
		t.Errorf("verify gave %v, %v; want %v", end, err, h)
	}
}

func headContract(t *testing.T, s store) {
	first := mustAppend(t, s, "a")
	mustAppend(t, s, "b")
	for _, stale := range []chain.Head{{}, first, {Seq: 2}, {Seq: 3, Hash: s.Head().Hash}} {
		if h, err := s.Append(ctx, stale, []byte("late")); !errors.Is(err, chain.ErrHeadMoved) || h != s.Head() {
			t.Errorf("append after %v gave %v, %v; want ErrHeadMoved and the head", stale.Seq, h, err)
		}
	}
	if n := len(collect(t, s, 0)); n != 2 {
		t.Errorf("%d facts, want 2", n)
	}
	mustAppend(t, s, "c")
}

func linksContract(t *testing.T, s store) {
	for i := range 10 {
		mustAppend(t, s, fmt.Sprint("fact ", i+1))
	}
	for _, after := range []uint64{0, 1, 5, 9, 10, 11, 1 << 62} {
		got := collect(t, s, after)
		if want := 10 - min(int(after), 10); len(got) != want {
			t.Errorf("after %d came %d facts, want %d", after, len(got), want)
		}
	}
	for l, err := range s.Links(ctx, 0) { // a body belongs to whoever took it
		if err != nil {
			t.Fatal(err)
		}
		clear(l.Body[:cap(l.Body)])
		if l.Seq == 7 {
			break
		}
	}
	if got := collect(t, s, 6)[0]; string(got.Body) != "fact 7" {
		t.Errorf("fact 7 became %q", got.Body)
	}
}

func blockContract(t *testing.T, s store) {
	b := chain.NewBlock("T1/495000/1", "T1", 495_000, []byte("31.2 31.3"))
	for range 2 { // the same again changes nothing
		if err := s.PutBlock(ctx, b); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.Block(ctx, b.ID)
	if err != nil || !got.Equal(b) {
		t.Errorf("block came back as %v, %v", got, err)
	}
	for _, other := range []chain.Block{
		chain.NewBlock(b.ID, "T1", 495_000, []byte("31.2 31.4")), chain.NewBlock(b.ID, "T2", 495_000, b.Bytes),
		chain.NewBlock(b.ID, "T1", 495_001, b.Bytes),
	} {
		if err := s.PutBlock(ctx, other); !errors.Is(err, chain.ErrBlockTaken) {
			t.Errorf("other readings under the same id gave %v", err)
		}
	}
	b.ID, b.Digest[0] = "T1/495000/2", b.Digest[0]^1
	if err := s.PutBlock(ctx, b); !errors.Is(err, chain.ErrBlockAltered) {
		t.Errorf("a wrong digest gave %v", err)
	}
	if _, err := s.Block(ctx, "T9"); !errors.Is(err, chain.ErrNoBlock) {
		t.Errorf("a block that is not there gave %v", err)
	}
	if err := s.PutBlock(ctx, chain.NewBlock("", "T1", 1, nil)); err == nil {
		t.Error("a block without an id was taken")
	}
	empty := chain.NewBlock("none", "T1", 495_000, nil)
	if err := s.PutBlock(ctx, empty); err != nil {
		t.Error(err)
	}
	if got, err := s.Block(ctx, "none"); err != nil || !got.Equal(empty) {
		t.Errorf("an empty block came back as %v, %v", got, err)
	}
}

func cancelContract(t *testing.T, s store) {
	mustAppend(t, s, "a")
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := s.Append(gone, s.Head(), []byte("b")); !errors.Is(err, context.Canceled) {
		t.Errorf("append gave %v", err)
	}
	if err := s.PutBlock(gone, chain.NewBlock("b", "T1", 1, nil)); !errors.Is(err, context.Canceled) {
		t.Errorf("block gave %v", err)
	}
	for _, err := range s.Links(gone, 0) {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("links gave %v", err)
		}
	}
	if s.Head().Seq != 1 {
		t.Errorf("the head is at %d", s.Head().Seq)
	}
}

// togetherContract has 50 writers share commits as office does, and readers
// beside them: every fact is kept once, in the order of each writer.
func togetherContract(t *testing.T, s store) {
	const writers, each = 50, 8
	g := newGroup(s)
	var all, readers sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range each {
				if err := g.append(fmt.Appendf(nil, "%d %d", w, i)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for range 4 {
		readers.Go(func() {
			for range 5 {
				if _, err := chain.Verify(chain.Head{}, s.Links(ctx, 0)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	readers.Wait()
	g.stop()
	next := make([]int, writers)
	for _, l := range collect(t, s, 0) {
		var w, i int
		if _, err := fmt.Sscanf(string(l.Body), "%d %d", &w, &i); err != nil || next[w] != i {
			t.Fatalf("fact %d is %q; writer %d is at %d", l.Seq, l.Body, w, next[w])
		}
		next[w]++
	}
	for w, n := range next {
		if n != each {
			t.Errorf("writer %d has %d facts, want %d", w, n, each)
		}
	}
}
