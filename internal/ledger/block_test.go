package ledger

import (
	"bytes"
	"errors"
	"path/filepath"
	"slices"
	"testing"

	"combline/internal/chain"
)

// A bit flipped in any field of a block is found when it is read or verified.
func TestFlippedBitInBlock(t *testing.T) {
	t.Parallel()
	b := chain.NewBlock("TANK-7/495123/1", "TANK-7", 495_123, []byte("31.25 31.30"))
	dir := t.TempDir()
	l := open(t, dir)
	if err := l.PutBlock(ctx, b); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, dbFile)
	sound := readFile(t, path)
	seal := sealOf(b)
	row := slices.Concat([]byte(b.ID+b.Instrument), []byte{0x07, 0x8e, 0x13}, b.Digest[:], seal[:], b.Bytes) // 495123 in 3 bytes
	at := bytes.Index(sound, row)
	if at < 0 {
		t.Fatal("the block is not in the file in one piece")
	}
	for i := range row {
		bad := bytes.Clone(sound)
		bad[at+i] ^= 1 << (i % 8)
		writeFile(t, path, bad)
		ro, err := OpenReadOnly(ctx, dir)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := ro.Verify(ctx, nil); !errors.Is(err, chain.ErrBlockAltered) {
			t.Errorf("byte %d of the block was changed, and verify gave %v", i, err)
		}
		// A block whose id was changed is still found by the index, as what it was.
		got, err := ro.Block(ctx, b.ID)
		if asItWas := i < len(b.ID) && err == nil && got.Equal(b); !asItWas && !errors.Is(err, chain.ErrBlockAltered) {
			t.Errorf("byte %d of the block was changed, and reading it gave %v", i, err)
		}
		if err := ro.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// What Key says of each error is what the catalogues and exit codes go by.
func TestKeys(t *testing.T) {
	seen := map[string]bool{"": true}
	errs := []error{&NewerError{}, &LockedError{}, &BehindError{}, &chain.BrokenError{}, &LineError{}}
	for _, s := range sentinels {
		errs = append(errs, s.err)
	}
	for _, err := range errs {
		for _, e := range []error{err, errors.Join(errors.New("more"), err), &wrapped{err, "detail"}} {
			if Key(e) != Key(err) {
				t.Errorf("%v has the key %q, alone %q", e, Key(e), Key(err))
			}
		}
		if seen[Key(err)] {
			t.Errorf("%v has the key %q, which another one has", err, Key(err))
		}
		seen[Key(err)] = true
	}
	if k := Key(errors.New("else")); k != "" {
		t.Errorf("another error has the key %q", k)
	}
}
