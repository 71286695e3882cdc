package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"combline/internal/chain"
)

// backedUp makes a back-up of a house and returns its path.
func backedUp(t *testing.T, dir string) string {
	t.Helper()
	l, err := Open(ctx, dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "back-up.db")
	if _, err := l.Backup(ctx, to, nil); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	return to
}

func TestBackupAndRestore(t *testing.T) {
	dir := kept(t)
	l := open(t, dir)
	facts, to := collect(t, l, 0), filepath.Join(t.TempDir(), "back-up.db")
	steps := 0
	r, err := l.Backup(ctx, to, func(done, total int) { steps++ })
	if err != nil || r.Head != l.Head() || r.Blocks != 1 || len(r.Losses) != 1 || steps == 0 {
		t.Fatalf("gave %+v, %v, %d steps", r, err, steps)
	}
	if _, err := l.Backup(ctx, to, nil); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second back-up to the same file gave %v", err)
	}
	if left, _ := filepath.Glob(to + "?*"); len(left) > 0 {
		t.Errorf("more than one file: %v", left)
	}
	house := filepath.Join(t.TempDir(), "new", "house")
	got, err := Restore(ctx, to, house, RestoreOptions{})
	if err != nil || got.Lost || got.Head != r.Head || got.Blocks != 1 {
		t.Fatalf("restore gave %+v, %v", got, err)
	}
	back := open(t, house)
	if !same(collect(t, back, 0), facts) || back.Refusal() != nil || !back.Witnessed() {
		t.Errorf("the restored ledger differs: %v", back.Refusal())
	}
	if b, err := back.Block(ctx, "T1/1"); err != nil || string(b.Bytes) != "20.5" {
		t.Errorf("block came back as %v, %v", b, err)
	}
	mustAppend(t, back, "and on")
}

// A back-up is made while appends go on: they don't fail, and it is one moment.
func TestBackupWhileRunning(t *testing.T) {
	dir, _ := filledHouse(t, 3000)
	l := open(t, dir)
	stop, done := make(chan struct{}), sync.WaitGroup{}
	done.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
				mustAppend(t, l, "meanwhile")
			}
		}
	})
	var last Report
	for n := range 4 {
		before := l.Head()
		r, err := l.Backup(ctx, filepath.Join(dir, fmt.Sprint("b", n)), nil)
		if err != nil || r.Head.Seq < before.Seq || r.Head.Seq < last.Head.Seq {
			t.Errorf("back-up %d ends at %d, the ledger stood at %d; %v", n, r.Head.Seq, before.Seq, err)
		}
		last = r
	}
	close(stop)
	done.Wait()
	if last.Head.Seq <= 3000 {
		t.Error("nothing was appended meanwhile")
	}
}

func TestRestoreIsCareful(t *testing.T) {
	dir := kept(t)
	backup := backedUp(t, dir)
	if _, err := Restore(ctx, backup, dir, RestoreOptions{}); !errors.Is(err, ErrHouse) {
		t.Errorf("restore onto a house gave %v", err)
	}
	before := readFile(t, filepath.Join(dir, dbFile))
	if _, err := Restore(ctx, filepath.Join(dir, "none"), dir, RestoreOptions{Overwrite: true}); !errors.Is(err, ErrBackUp) {
		t.Errorf("restore of no file gave %v", err)
	}
	if _, err := Restore(ctx, filepath.Join(dir, dbFile), t.TempDir(), RestoreOptions{}); !errors.Is(err, ErrBackUp) {
		t.Errorf("restore of a bare copy gave %v", err)
	}
	other := t.TempDir()
	l := open(t, other)
	mustAppend(t, l, "another house", "b", "c", "d")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, backup, other, RestoreOptions{Overwrite: true}); !errors.Is(err, ErrOther) {
		t.Errorf("restore of another house's back-up gave %v", err)
	}
	if !bytes.Equal(readFile(t, filepath.Join(dir, dbFile)), before) {
		t.Error("a refused restore changed the house")
	}
}

// A back-up that was changed or cut anywhere restores nothing, or the very facts.
func TestSpoiltBackup(t *testing.T) {
	t.Parallel()
	dir, facts := filledHouse(t, 100)
	backup := backedUp(t, dir)
	sound := readFile(t, backup)
	r := rand.New(rand.NewPCG(2, 2))
	found := 0
	for n := range 60 {
		bad := bytes.Clone(sound)
		if n%4 == 0 {
			bad = bad[:r.IntN(len(bad))]
		} else {
			bad[r.IntN(len(bad))] ^= byte(1 + r.IntN(255))
		}
		writeFile(t, backup, bad)
		house := filepath.Join(t.TempDir(), "house")
		_, err := Restore(ctx, backup, house, RestoreOptions{})
		if err != nil {
			found++
			if !errors.Is(err, ErrBackUp) || exists(filepath.Join(house, dbFile)) {
				t.Fatalf("restore gave %v, and a house: %v", err, exists(filepath.Join(house, dbFile)))
			}
			continue
		}
		if got, err := readAll(house); err != nil || !same(got, facts) {
			t.Fatalf("a spoilt back-up was restored as other facts, %v", err)
		}
	}
	if found < 30 {
		t.Errorf("only %d of 60 found", found)
	}
}

// What a folder knows of and the back-up lacks is lost, and on record.
func TestRestoreRecordsTheLoss(t *testing.T) {
	t.Parallel()
	for name, spoil := range map[string]func(t *testing.T, dir string){
		"the ledger is whole": func(*testing.T, string) {},
		"the ledger is gone": func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, dbFile)); err != nil {
				t.Fatal(err)
			}
		},
		"the ledger is noise": func(t *testing.T, dir string) {
			writeFile(t, filepath.Join(dir, dbFile), bytes.Repeat([]byte("x"), 9000))
		},
		"the witness is gone": func(t *testing.T, dir string) {
			if err := os.Remove(filepath.Join(dir, witnessFile)); err != nil {
				t.Fatal(err)
			}
		},
	} {
		dir := kept(t)
		backup := backedUp(t, dir)
		l, err := Open(ctx, dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		end := mustAppend(t, l, "four", "five")
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
		spoil(t, dir)
		r, err := Restore(ctx, backup, dir, RestoreOptions{Overwrite: true})
		if err != nil || !r.Lost || r.Loss.From() != 4 || r.Loss.To != end {
			t.Errorf("%s: gave %+v, %v; want facts 4 to 5 lost", name, r, err)
			continue
		}
		for _, old := range r.Aside {
			if !exists(old) {
				t.Errorf("%s: %s is gone", name, old)
			}
		}
		got := open(t, dir)
		all, err := got.Losses(ctx)
		if err != nil || len(all) != 2 || all[1] != r.Loss || got.Refusal() != nil || got.Head().Seq != 3 {
			t.Errorf("%s: on record are %v, %v, %v", name, all, err, got.Refusal())
		}
		mustAppend(t, got, "what was lost")
	}
}

// A restore that was interrupted between its steps can be done again.
func TestRestoreAgain(t *testing.T) {
	dir := kept(t)
	backup := backedUp(t, dir)
	writeFile(t, filepath.Join(dir, dbFile+".part"), []byte("half a copy"))
	writeFile(t, filepath.Join(dir, dbFile+"-wal"), []byte("the log of a file that was put aside"))
	if _, err := putAside(filepath.Join(dir, dbFile)); err != nil {
		t.Fatal(err)
	}
	var b *BehindError
	if _, err := Open(ctx, dir, Options{Create: true}); !errors.As(err, &b) {
		t.Errorf("open in between gave %v", err)
	}
	if _, err := Restore(ctx, backup, dir, RestoreOptions{}); err != nil {
		t.Fatal(err)
	}
	if got, err := readAll(dir); err != nil || len(got) != 3 {
		t.Errorf("%d facts, %v", len(got), err)
	}
}

func TestBackupOfBrokenChain(t *testing.T) {
	dir, facts := filledHouse(t, 50)
	flip(t, filepath.Join(dir, dbFile), facts[20].Body[:20], 3, facts[20].Body[3]^1)
	l := open(t, dir)
	var broken *chain.BrokenError
	to := filepath.Join(t.TempDir(), "b")
	if _, err := l.Backup(ctx, to, nil); !errors.As(err, &broken) || broken.Seq != 21 || exists(to) {
		t.Errorf("gave %v", err)
	}
}
