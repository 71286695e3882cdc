package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"combline/internal/chain"
)

// flip finds what in a file, which must be there once, and sets the byte at an
// offset from it; it fails where the byte is that already.
func flip(t *testing.T, path string, what []byte, offset int, to byte) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(b, what)
	if at < 0 || bytes.Contains(b[at+1:], what) {
		t.Fatalf("%q is not in the file once", what)
	}
	if b[at+offset] == to {
		t.Fatal("the byte is that already")
	}
	b[at+offset] = to
	writeFile(t, path, b)
}

func readFile(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func writeFile(t testing.TB, path string, b []byte) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// filledHouse is a closed house with n facts of noise, and those facts.
func filledHouse(t testing.TB, n int) (dir string, facts []chain.Stored) {
	t.Helper()
	dir = t.TempDir()
	l, err := Open(ctx, dir, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 4))
	bodies := make([][]byte, n)
	for i := range bodies {
		bodies[i] = make([]byte, 40+r.IntN(400))
		for j := range bodies[i] {
			bodies[i][j] = byte(r.Uint32())
		}
	}
	if _, err := l.Append(ctx, l.Head(), bodies...); err != nil {
		t.Fatal(err)
	}
	facts = collect(t, l, 0)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, facts
}

// A bit flipped in any fact's body, prev or hash is found, and the fact named.
func TestFlippedBitIsNamed(t *testing.T) {
	t.Parallel()
	dir, facts := filledHouse(t, 300)
	path := filepath.Join(dir, dbFile)
	sound := readFile(t, path)
	r := rand.New(rand.NewPCG(5, 6))
	for n := range 60 {
		f := facts[r.IntN(len(facts))]
		if n == 0 {
			f = facts[len(facts)-1] // the last one has no successor to show it
		}
		// A row holds prev, hash and body one after the other. A page that was
		// split may still hold an old copy of a row in its unused part.
		row := slices.Concat(f.Prev[:], f.Hash[:], f.Body)
		offset, bit := r.IntN(len(row)), byte(1)<<r.IntN(8)
		bad, copies := bytes.Clone(sound), 0
		for at := bytes.Index(sound, row); at >= 0; at = next(sound, row, at) {
			bad[at+offset] ^= bit
			copies++
		}
		if copies == 0 {
			t.Fatalf("fact %d is not in the file in one piece", f.Seq)
		}
		writeFile(t, path, bad)
		if got := firstBad(t, dir); got != f.Seq {
			t.Fatalf("a bit of fact %d was flipped, and fact %d is named", f.Seq, got)
		}
	}
}

// next is where what comes again behind at; -1 where it does not.
func next(in, what []byte, at int) int {
	i := bytes.Index(in[at+1:], what)
	if i < 0 {
		return -1
	}
	return at + 1 + i
}

// firstBad reads a house both ways and returns the fact that is named as the
// first bad one. Nothing may be appended to such a house.
func firstBad(t *testing.T, dir string) uint64 {
	t.Helper()
	l, err := Open(ctx, dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	var byLinks, byVerify *chain.BrokenError
	_, err = chain.Verify(chain.Head{}, l.Links(ctx, 0))
	if !errors.As(err, &byLinks) {
		t.Fatalf("reading gave %v", err)
	}
	if _, err = l.Verify(ctx, nil); !errors.As(err, &byVerify) || byVerify.Seq != byLinks.Seq {
		t.Fatalf("verify gave %v, reading named fact %d", err, byLinks.Seq)
	}
	if _, err := l.Append(ctx, l.Head(), []byte("more")); !errors.As(err, &byVerify) {
		t.Fatalf("append to a broken chain gave %v", err)
	}
	return byLinks.Seq
}

// A byte changed anywhere in the file, structures included, is either found or
// of no effect: the facts never read differently without an error.
func TestFlippedByteAnywhere(t *testing.T) {
	t.Parallel()
	dir, facts := filledHouse(t, 120)
	path := filepath.Join(dir, dbFile)
	sound := readFile(t, path)
	r := rand.New(rand.NewPCG(7, 8))
	found, harmless := 0, 0
	for range 120 {
		at := r.IntN(len(sound))
		bad := bytes.Clone(sound)
		bad[at] ^= byte(1 + r.IntN(255))
		writeFile(t, path, bad)
		got, err := readAll(dir)
		switch {
		case err != nil:
			found++
		case same(got, facts):
			harmless++
		default:
			t.Fatalf("byte %d was changed and the facts read differently without an error", at)
		}
	}
	t.Logf("%d changed bytes: %d found, %d in unused places", 120, found, harmless)
	if found < 60 {
		t.Errorf("only %d of 120 found; most of the file is facts", found)
	}
}

// readAll opens a house for reading and reads it; whatever is wrong is err.
func readAll(dir string) (all []chain.Stored, err error) {
	l, err := OpenReadOnly(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	for s, err := range l.Links(ctx, 0) {
		if err != nil {
			return all, err
		}
		all = append(all, s)
	}
	if err := l.Refusal(); err != ErrReader {
		return all, err
	}
	return all, nil
}

func same(a, b []chain.Stored) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Seq != b[i].Seq || a[i].Prev != b[i].Prev || a[i].Hash != b[i].Hash || !bytes.Equal(a[i].Body, b[i].Body) {
			return false
		}
	}
	return true
}

func TestCutFile(t *testing.T) {
	dir, facts := filledHouse(t, 200)
	path := filepath.Join(dir, dbFile)
	sound := readFile(t, path)
	for _, size := range []int{0, 1, 100, 512, 4095, 4096, 4097, len(sound) / 2, len(sound) - 4096, len(sound) - 1} {
		writeFile(t, path, sound[:size])
		for name, open := range map[string]func() (*Ledger, error){
			"open": func() (*Ledger, error) { return Open(ctx, dir, Options{Create: true}) },
			"read": func() (*Ledger, error) { return OpenReadOnly(ctx, dir) },
		} {
			l, err := open()
			if err == nil {
				_, err = l.Verify(ctx, nil)
				_ = l.Close()
			}
			var behind *BehindError
			var broken *chain.BrokenError
			empty := size <= 1 && errors.As(err, &behind)
			atRow := size == len(sound)-1 && errors.As(err, &broken)
			if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNotLedger) && !empty && !atRow {
				t.Errorf("cut to %d bytes, %s gave %v", size, name, err)
			}
		}
	}
	writeFile(t, path, sound)
	if got, err := readAll(dir); err != nil || !same(got, facts) {
		t.Errorf("the whole file gave %v", err)
	}
}

func TestOtherFiles(t *testing.T) {
	for name, make := range map[string]func(path string){
		"text": func(path string) { writeFile(t, path, bytes.Repeat([]byte("a list of drums\n"), 500)) },
		"another program's database": func(path string) {
			c, err := dial(path, readNew)
			if err != nil {
				t.Fatal(err)
			}
			if err := errors.Join(c.script("CREATE TABLE drum (n)"), c.close()); err != nil {
				t.Fatal(err)
			}
		},
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, dbFile)
		make(path)
		before := readFile(t, path)
		if _, err := Open(ctx, dir, Options{Create: true}); !errors.Is(err, ErrNotLedger) {
			t.Errorf("%s: open gave %v", name, err)
		}
		if _, err := OpenReadOnly(ctx, dir); !errors.Is(err, ErrNotLedger) {
			t.Errorf("%s: read gave %v", name, err)
		}
		if !bytes.Equal(readFile(t, path), before) {
			t.Errorf("%s was changed", name)
		}
	}
}

func TestNoHouse(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "none")
	if _, err := Open(ctx, dir, Options{}); !errors.Is(err, ErrNoHouse) {
		t.Errorf("open gave %v", err)
	}
	if _, err := OpenReadOnly(ctx, dir); !errors.Is(err, ErrNoHouse) {
		t.Errorf("read gave %v", err)
	}
	if exists(dir) {
		t.Error("a folder was made")
	}
}

func TestNewerForm(t *testing.T) {
	dir := kept(t)
	know := len(migrationNames())
	c := raw(t, dir)
	if err := errors.Join(c.script(fmt.Sprintf("PRAGMA user_version = %d", know+1)), c.close()); err != nil {
		t.Fatal(err)
	}
	var newer *NewerError
	if _, err := Open(ctx, dir, Options{}); !errors.As(err, &newer) || newer.Have != know+1 || newer.Know != know {
		t.Errorf("open gave %v", err)
	}
	if _, err := OpenReadOnly(ctx, dir); !errors.As(err, &newer) {
		t.Errorf("read gave %v", err)
	}
}
