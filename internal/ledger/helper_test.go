package ledger

import (
	"context"
	"os"
	"testing"

	"combline/internal/chain"
)

var ctx = context.Background()

// open opens the house in dir, or makes it, and closes it with the test.
func open(t testing.TB, dir string) *Ledger {
	t.Helper()
	l, err := Open(ctx, dir, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Error(err)
		}
	})
	return l
}

func mustAppend(t testing.TB, s store, bodies ...string) chain.Head {
	t.Helper()
	raw := make([][]byte, len(bodies))
	for i, b := range bodies {
		raw[i] = []byte(b)
	}
	h, err := s.Append(ctx, s.Head(), raw...)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func collect(t testing.TB, s store, after uint64) (all []chain.Stored) {
	t.Helper()
	for l, err := range s.Links(ctx, after) {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, l)
	}
	return all
}

// A group shares commits between writers, as office does.
type group struct {
	in   chan pending
	done chan struct{}
}

type pending struct {
	body []byte
	out  chan error
}

func newGroup(s store) *group {
	g := &group{in: make(chan pending, 512), done: make(chan struct{})}
	go func() {
		defer close(g.done)
		head := s.Head()
		for p := range g.in {
			batch, bodies := []pending{p}, [][]byte{p.body}
			for more := true; more && len(batch) < 512; {
				select {
				case q, ok := <-g.in:
					if more = ok; ok {
						batch, bodies = append(batch, q), append(bodies, q.body)
					}
				default:
					more = false
				}
			}
			var err error
			head, err = s.Append(ctx, head, bodies...)
			for _, p := range batch {
				p.out <- err
			}
		}
	}()
	return g
}

func (g *group) append(body []byte) error {
	p := pending{body, make(chan error, 1)}
	g.in <- p
	return <-p.out
}

func (g *group) stop() {
	close(g.in)
	<-g.done
}

// newFolder and dropFolder are for property tests, which need one per try.
func newFolder() (string, error) { return os.MkdirTemp("", "combline-test-") }

func dropFolder(dir string) { _ = os.RemoveAll(dir) }
