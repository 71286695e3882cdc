package ledger

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"combline/internal/chain"
)

// RestoreOptions are what a restore may do.
type RestoreOptions struct {
	Overwrite bool // put the ledger that is in the folder aside
	Progress  Progress
}

// A Restored says what a restore brought back and what it could not.
type Restored struct {
	Report
	Lost  bool       // acknowledged facts are gone
	Loss  chain.Loss // which; the ledger has it on record
	Aside []string   // the files that were in the folder, under their new names
}

// Restore makes the house in dir from a back-up, after verifying all of it. A
// house that is open is never touched; one that is there is put aside only with
// Overwrite. Where the folder's witness or its old ledger knows of facts behind
// the back-up's end, they are lost: the ledger records it, and the caller
// appends a fact that says so.
func Restore(ctx context.Context, from, dir string, o RestoreOptions) (Restored, error) {
	report, err := VerifyBackup(ctx, from, o.Progress)
	if err != nil {
		return Restored{}, err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return Restored{}, onFile(err)
	}
	lk, err := takeLock(dir)
	if err != nil {
		return Restored{}, err
	}
	r, err := restore(from, dir, report, o)
	return r, errors.Join(err, lk.release())
}

func restore(from, dir string, report Report, o RestoreOptions) (r Restored, err error) {
	r.Report = report
	db := filepath.Join(dir, dbFile)
	_, err = os.Stat(db)
	if err == nil && !o.Overwrite {
		return r, ErrHouse
	}
	known, err := lastKnown(from, dir, report.Head)
	if err != nil {
		return r, err
	}
	if known.Seq > report.Head.Seq {
		r.Lost, r.Loss = true, chain.Loss{After: report.Head, To: known}
		r.Losses = append(r.Losses, r.Loss)
	}
	part := db + ".part"
	if err = errors.Join(remove(part, part+"-journal"), copyFile(from, part)); err == nil {
		err = unseal(part, r)
	}
	if err == nil {
		err = syncFile(part)
	}
	if err != nil {
		return r, errors.Join(err, remove(part, part+"-journal"))
	}
	if r.Aside, err = putAside(db); err != nil {
		return r, err
	}
	if err = os.Rename(part, db); err == nil {
		err = syncDir(dir)
	}
	if err != nil {
		return r, onFile(err)
	}
	return r, restartWitness(dir, report.Head)
}

// lastKnown is the newest fact that the folder knows to have been acknowledged,
// by its witness or by what can still be read of its ledger. The error wraps
// ErrOther if the back-up and the folder disagree about a fact.
func lastKnown(from, dir string, end chain.Head) (known chain.Head, err error) {
	witness, _, err := readWitness(filepath.Join(dir, witnessFile))
	if err != nil {
		return known, err
	}
	heads := []chain.Head{witness}
	if db := filepath.Join(dir, dbFile); exists(db) {
		if c, err := dial(db, readOnly, careful()...); err == nil {
			heads = append(heads, readable(c, end.Seq)...)
			_ = c.close()
		}
	}
	back, err := dial(from, readOnly, careful()...)
	if err != nil {
		return known, err
	}
	defer back.close()
	for _, h := range heads {
		if h.Seq <= end.Seq {
			if hash, err := hashOf(back, h.Seq); err != nil || hash != h.Hash {
				return known, errors.Join(ErrOther, err)
			}
		}
		if h.Seq > known.Seq {
			known = h
		}
	}
	return known, nil
}

// readable is what a ledger that may be damaged still tells: its last fact, and
// the one at seq.
func readable(c *conn, seq uint64) (heads []chain.Head) {
	if h, err := tail(c); err == nil {
		heads = append(heads, h)
	}
	if hash, err := hashOf(c, seq); err == nil {
		heads = append(heads, chain.Head{Seq: seq, Hash: hash})
	}
	return heads
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// unseal makes a house's file of a copy of a back-up.
func unseal(part string, r Restored) error {
	c, err := dial(part, readOld, append(careful(), "synchronous(FULL)")...)
	if err != nil {
		return err
	}
	_, err = c.exec("DELETE FROM back_up")
	if err == nil && r.Lost {
		err = insertLoss(c, r.Loss)
	}
	return errors.Join(err, c.close())
}

func copyFile(from, to string) error {
	src, err := os.Open(from)
	if err != nil {
		return onFile(err)
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return onFile(err)
	}
	_, err = io.Copy(dst, src)
	return onFile(errors.Join(err, dst.Close()))
}

// putAside renames a ledger's files. The database and its log belong together:
// a log that stayed would be taken for the restored file's.
func putAside(db string) (aside []string, err error) {
	n := 1
	for taken(db, n) {
		n++
	}
	for _, suffix := range []string{"", "-wal", "-shm"} {
		to := fmt.Sprintf("%s.old-%d%s", db, n, suffix)
		err := os.Rename(db+suffix, to)
		if err == nil {
			aside = append(aside, to)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return aside, onFile(err)
		}
	}
	return aside, nil
}

func taken(db string, n int) bool {
	old := fmt.Sprintf("%s.old-%d", db, n)
	return exists(old) || exists(old+"-wal")
}

func restartWitness(dir string, h chain.Head) error {
	w, err := openWitness(filepath.Join(dir, witnessFile))
	if err != nil {
		return err
	}
	return errors.Join(w.reset(h), w.f.Close())
}
