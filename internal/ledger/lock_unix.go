//go:build unix

package ledger

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// tryLock takes f for this process alone; the system lets go of it when the
// process ends, however it ends.
func tryLock(f *os.File) (taken bool, err error) {
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

func isFull(err error) bool     { return errors.Is(err, unix.ENOSPC) || errors.Is(err, unix.EDQUOT) }
func isReadOnly(err error) bool { return errors.Is(err, unix.EROFS) }

// syncDir makes a new or renamed file's name durable.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = d.Sync()
	return errors.Join(err, d.Close())
}
