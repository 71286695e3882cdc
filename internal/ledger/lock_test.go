package ledger

import (
	"bufio"
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"combline/internal/chain"
)

// A second process is refused with the name of the one that has the house; a
// dead one's lock holds nobody up; readers work beside it.
func TestSecondProcessIsRefused(t *testing.T) {
	dir := t.TempDir()
	c := command(t, nil, "hold", dir, 0)
	if _, err := c.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(out).ReadString('\n'); line != "open\n" {
		t.Fatalf("the child said %q, %v", line, err)
	}
	_, err = Open(ctx, dir, Options{})
	var locked *LockedError
	if !errors.As(err, &locked) || locked.PID != c.Process.Pid || locked.Program != filepath.Base(os.Args[0]) {
		t.Errorf("open gave %v, want process %d named", err, c.Process.Pid)
	}
	if _, err := Restore(ctx, backedUp(t, kept(t)), dir, RestoreOptions{Overwrite: true}); !errors.As(err, &locked) {
		t.Errorf("restore onto an open house gave %v", err)
	}
	ro, err := OpenReadOnly(ctx, dir)
	if err != nil {
		t.Fatalf("reading beside an open house: %v", err)
	}
	if err := errors.Join(ro.Close(), c.Process.Kill()); err != nil {
		t.Fatal(err)
	}
	_ = c.Wait() // it was killed
	mustAppend(t, open(t, dir), "the lock of a dead process holds nobody up")
}

func TestSecondOpeningIsRefused(t *testing.T) {
	dir := t.TempDir()
	l := open(t, dir)
	var locked *LockedError
	if _, err := Open(ctx, dir, Options{}); !errors.As(err, &locked) || locked.PID != os.Getpid() {
		t.Errorf("open gave %v", err)
	}
	mustAppend(t, l, "the first goes on")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, open(t, dir), "closed, it is free")
}

func TestSpoiltLockFile(t *testing.T) {
	for _, s := range []string{"", "x", "12", "12 ", " combline", "\x00\x00"} {
		dir := t.TempDir()
		l := open(t, dir)
		writeFile(t, filepath.Join(dir, lockFile), []byte(s))
		var locked *LockedError
		if _, err := Open(ctx, dir, Options{}); !errors.As(err, &locked) || locked.PID != 0 {
			t.Errorf("lock file %q gave %v", s, err)
		}
		_ = l
	}
}

// A reader sees what is appended while it is open, and can write nothing.
func TestReadBeside(t *testing.T) {
	dir := kept(t)
	l := open(t, dir)
	ro, err := OpenReadOnly(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	before := len(collect(t, ro, 0))
	mustAppend(t, l, "meanwhile")
	if after := len(collect(t, ro, 0)); after != before+1 {
		t.Errorf("the reader sees %d facts, want %d", after, before+1)
	}
	readsOnly(t, ro)
}

// A house that nobody has open can be read too, and is left as it was.
func TestReadClosedHouse(t *testing.T) {
	dir := kept(t)
	before := readFile(t, filepath.Join(dir, dbFile))
	ro, err := OpenReadOnly(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(collect(t, ro, 0)); n != 3 {
		t.Errorf("%d facts, want 3", n)
	}
	readsOnly(t, ro)
	if !bytes.Equal(readFile(t, filepath.Join(dir, dbFile)), before) {
		t.Error("reading changed the file")
	}
}

func readsOnly(t *testing.T, ro *Ledger) {
	t.Helper()
	if _, err := ro.Append(ctx, ro.Head(), []byte("x")); !errors.Is(err, ErrReader) {
		t.Errorf("append gave %v", err)
	}
	if err := ro.PutBlock(ctx, chain.NewBlock("b", "T1", 1, nil)); !errors.Is(err, ErrReader) {
		t.Errorf("block gave %v", err)
	}
	if b, err := ro.Block(ctx, "T1/1"); err != nil || string(b.Bytes) != "20.5" {
		t.Errorf("block came back as %v, %v", b, err)
	}
	if _, err := ro.Verify(ctx, nil); err != nil {
		t.Error(err)
	}
	if err := ro.Close(); err != nil {
		t.Error(err)
	}
}

func TestClosed(t *testing.T) {
	l := open(t, kept(t))
	h := l.Head()
	for range 2 {
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := l.Append(ctx, h, []byte("x")); !errors.Is(err, ErrClosed) {
		t.Errorf("append gave %v", err)
	}
	if _, err := l.Block(ctx, "T1/1"); !errors.Is(err, ErrClosed) {
		t.Errorf("block gave %v", err)
	}
	for _, err := range l.Links(ctx, 0) {
		if !errors.Is(err, ErrClosed) {
			t.Errorf("links gave %v", err)
		}
	}
}
