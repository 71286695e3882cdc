package ledger

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// tryLock takes f for this process alone; the system lets go of it when the
// process ends, however it ends. A lock on Windows also stops others from
// reading the bytes under it, so it lies far behind the file's end: the name
// of the process inside stays readable.
func tryLock(f *os.File) (taken bool, err error) {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

func isFull(err error) bool {
	return errors.Is(err, windows.ERROR_DISK_FULL) || errors.Is(err, windows.ERROR_HANDLE_DISK_FULL)
}

func isReadOnly(err error) bool { return errors.Is(err, windows.ERROR_WRITE_PROTECT) }

// syncDir does nothing: Windows writes a folder's entries by itself.
func syncDir(string) error { return nil }
