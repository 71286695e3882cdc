//go:build linux

package ledger

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// mounted is a small disk of its own; the test is skipped where none may be made.
func mounted(t *testing.T, options string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "combline-test", dir).CombinedOutput(); err != nil {
		t.Skipf("no disk can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// A disk that is really full, with a file on it that can make room.
func TestFullDisk(t *testing.T) {
	disk := mounted(t, "size=6m")
	dir, ballast := filepath.Join(disk, "house"), filepath.Join(disk, "ballast")
	writeFile(t, ballast, make([]byte, 1<<20))
	l, err := Open(ctx, dir, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	fill(t, l)
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	end := mustAppend(t, l, "there is room again")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	again := open(t, dir)
	if again.Head() != end || again.Refusal() != nil {
		t.Errorf("opened again it ends at %d, want %d; %v", again.Head().Seq, end.Seq, again.Refusal())
	}
	if _, err := again.Verify(ctx, nil); err != nil {
		t.Error(err)
	}
}

// With no byte left, opening a house, new or old, says so; it loses nothing.
func TestOpenOnFullDisk(t *testing.T) {
	disk := mounted(t, "size=1m")
	dir, ballast := filepath.Join(disk, "house"), filepath.Join(disk, "ballast")
	l := open(t, dir)
	end := mustAppend(t, l, "one")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	f.Close()
	if _, err := Open(ctx, filepath.Join(disk, "second"), Options{Create: true}); !errors.Is(err, ErrFull) {
		t.Errorf("a new house gave %v", err)
	}
	old, err := Open(ctx, dir, Options{})
	if err == nil { // what room SQLite had left is enough for a little
		fill(t, old)
		end = old.Head()
		_ = old.Close()
	} else if !errors.Is(err, ErrFull) {
		t.Errorf("the old house gave %v", err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if again := open(t, dir); again.Head() != end || again.Refusal() != nil {
		t.Errorf("afterwards the ledger ends at %d, want %d; %v", again.Head().Seq, end.Seq, again.Refusal())
	}
}

// A back-up to a full disk fails with nothing left behind.
func TestBackupToFullDisk(t *testing.T) {
	disk := mounted(t, "size=64k")
	dir, _ := filledHouse(t, 1000)
	to := filepath.Join(disk, "back-up")
	if _, err := open(t, dir).Backup(ctx, to, nil); !errors.Is(err, ErrFull) {
		t.Errorf("gave %v", err)
	}
	if left, err := os.ReadDir(disk); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestReadOnlyFolder(t *testing.T) {
	disk := mounted(t, "size=8m")
	dir := filepath.Join(disk, "house")
	l := open(t, dir)
	mustAppend(t, l, "one")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-o", "remount,ro", disk).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	if _, err := Open(ctx, dir, Options{}); !errors.Is(err, ErrReadOnly) {
		t.Errorf("open gave %v", err)
	}
	if _, err := Open(ctx, filepath.Join(disk, "new"), Options{Create: true}); !errors.Is(err, ErrReadOnly) {
		t.Errorf("a new house gave %v", err)
	}
	if got, err := readAll(dir); err != nil || len(got) != 1 {
		t.Errorf("reading gave %d facts, %v", len(got), err)
	}
}
