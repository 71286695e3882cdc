package ledger

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"combline/internal/chain"
)

// The tests about kills, locks and system calls run this binary again as a
// child with its own house to write to.
const childEnv = "COMBLINE_LEDGER_CHILD"

func TestMain(m *testing.M) {
	if job := os.Getenv(childEnv); job != "" {
		if err := child(job, os.Args[1:]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

func child(job string, args []string) error {
	l, err := Open(ctx, args[0], Options{Create: true, unsynced: job == "unsynced"})
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(args[1])
	if err != nil {
		return err
	}
	if job == "hold" {
		fmt.Println("open")
		_, _ = io.Copy(io.Discard, os.Stdin)
		return l.Close()
	}
	return write(l, n, job == "stubborn")
}

// write appends n times one to four facts and acknowledges each batch by one
// line. A stubborn writer goes on after an error, once it has seen that memory
// and disk agree.
func write(l *Ledger, n int, stubborn bool) error {
	r := rand.New(rand.NewPCG(uint64(os.Getpid()), 1))
	for range n {
		bodies := make([][]byte, 1+r.IntN(4))
		for i := range bodies {
			bodies[i] = fmt.Appendf(nil, "%x %*d", r.Uint64(), r.IntN(600), 0)
		}
		before := l.Head()
		h, err := l.Append(ctx, before, bodies...)
		if err != nil && stubborn {
			if err := agree(l, before); err != nil {
				return err
			}
			fmt.Println("failed", Key(err))
			continue
		}
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(os.Stdout, "ack %d %x\n", h.Seq, h.Hash); err != nil {
			return err
		}
	}
	return l.Close()
}

// agree reports whether memory and disk both end at want.
func agree(l *Ledger, want chain.Head) error {
	end, err := chain.Verify(chain.Head{}, l.Links(context.Background(), 0))
	if err != nil || end != want || l.Head() != want {
		return fmt.Errorf("disk ends at %d, memory at %d, want %d: %v", end.Seq, l.Head().Seq, want.Seq, err)
	}
	return nil
}

// command is a child at job, behind the words of prefix.
func command(t testing.TB, prefix []string, job, dir string, n int) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	args := append(append([]string{}, prefix...), self, dir, strconv.Itoa(n))
	c := exec.Command(args[0], args[1:]...)
	c.Env = append(os.Environ(), childEnv+"="+job)
	c.Stderr = os.Stderr
	return c
}

// An ack is what a child acknowledged: that the ledger ends at head.
func parseAck(line string) (h chain.Head, ok bool) {
	var hash []byte
	n, _ := fmt.Sscanf(line, "ack %d %x", &h.Seq, &hash)
	if n != 2 || len(hash) != len(h.Hash) {
		return h, false
	}
	h.Hash = chain.Hash(hash)
	return h, true
}

// acks reads acknowledgements until r ends; a line that a kill cut is none.
func acks(r io.Reader) (all []chain.Head, others []string) {
	in := bufio.NewReader(r)
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return all, others
		}
		if h, ok := parseAck(line); ok {
			all = append(all, h)
		} else {
			others = append(others, strings.TrimSpace(line))
		}
	}
}
