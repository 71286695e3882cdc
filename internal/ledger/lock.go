package ledger

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// A lock keeps a house for one process. The file stays when the lock is let
// go; what counts is the system's lock on it, which no dead process holds.
type lock struct{ f *os.File }

// takeLock takes the house in dir, or says by a [*LockedError] who has it.
func takeLock(dir string) (*lock, error) {
	f, err := os.OpenFile(filepath.Join(dir, lockFile), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, onFile(err)
	}
	taken, err := tryLock(f)
	if err == nil && !taken {
		err = holder(f)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return &lock{f}, sign(f)
}

// sign writes who holds the lock. Should it not get onto the disk, the lock
// still holds; whoever is refused only doesn't learn the name.
func sign(f *os.File) error {
	name, err := os.Executable()
	if err != nil {
		name = os.Args[0]
	}
	if err := f.Truncate(0); err != nil {
		return onFile(err)
	}
	_, _ = f.WriteAt(fmt.Appendf(nil, "%d %s\n", os.Getpid(), filepath.Base(name)), 0)
	return nil
}

func holder(f *os.File) *LockedError {
	b := make([]byte, 512)
	n, _ := f.ReadAt(b, 0)
	pid, program, ok := strings.Cut(strings.TrimSpace(string(b[:n])), " ")
	p, err := strconv.Atoi(pid)
	if !ok || err != nil {
		return &LockedError{}
	}
	return &LockedError{Program: program, PID: p}
}

func (l *lock) release() error {
	_ = l.f.Truncate(0)
	return l.f.Close()
}
