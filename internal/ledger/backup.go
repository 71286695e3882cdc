package ledger

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup copies the ledger, as it is at one moment, to the new file to, while
// appends go on; then it reads the copy back and verifies all of it. The file
// appears under its name when it is whole and on the disk.
func (l *Ledger) Backup(ctx context.Context, to string, p Progress) (Report, error) {
	if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
		return Report{}, fmt.Errorf("back-up %s: %w", to, errors.Join(fs.ErrExist, err))
	}
	part := to + ".part"
	if err := remove(part, part+"-journal"); err != nil {
		return Report{}, err
	}
	r, err := l.backup(ctx, part, p.quiet())
	if err == nil {
		err = onFile(os.Rename(part, to))
	}
	if err == nil {
		err = onFile(syncDir(filepath.Dir(to)))
	}
	if err != nil {
		return r, errors.Join(err, remove(part, part+"-journal"))
	}
	return r, nil
}

func (l *Ledger) backup(ctx context.Context, part string, p Progress) (Report, error) {
	c, err := l.reader()
	if err != nil {
		return Report{}, err
	}
	defer l.takeBack(c)
	if err := copyNow(ctx, c, part, p); err != nil {
		return Report{}, err
	}
	if err := seal(part); err != nil {
		return Report{}, err
	}
	if err := syncFile(part); err != nil {
		return Report{}, err
	}
	return VerifyBackup(ctx, part, nil)
}

// copyNow holds one picture of the ledger while it is copied.
func copyNow(ctx context.Context, c *conn, part string, p Progress) error {
	if _, err := c.exec("BEGIN DEFERRED"); err != nil {
		return err
	}
	defer func() { _, _ = c.exec("ROLLBACK") }()                     // nothing was written
	if _, err := c.int("SELECT count(*) FROM back_up"); err != nil { // the picture is taken at the first read
		return err
	}
	return c.copyTo(ctx, part, p)
}

// seal makes one self-contained file of the copy and notes inside where it
// ends: the witness that a back-up carries.
func seal(part string) error {
	c, err := dial(part, readOld, append(careful(), "journal_mode(DELETE)", "synchronous(FULL)")...)
	if err != nil {
		return err
	}
	end, err := tail(c)
	if err == nil {
		_, err = c.exec("DELETE FROM back_up")
	}
	if err == nil {
		_, err = c.exec("INSERT INTO back_up (seq, hash) VALUES (?, ?)", int64(end.Seq), end.Hash[:])
	}
	return errors.Join(err, c.close())
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return onFile(err)
	}
	return errors.Join(onFile(f.Sync()), f.Close())
}

func remove(paths ...string) (err error) {
	for _, p := range paths {
		if e := os.Remove(p); !errors.Is(e, fs.ErrNotExist) {
			err = errors.Join(err, onFile(e))
		}
	}
	return err
}
