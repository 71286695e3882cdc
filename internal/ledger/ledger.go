// Package ledger keeps a house's chain of facts and its blocks of raw readings:
// in one SQLite file, or in memory. A fact is opaque bytes here.
//
// A house is a folder with combline.db (and, while it is open, combline.db-wal
// and combline.db-shm), the witness, and the lock. What protects the record
// against what, and what does not, stands in docs/ledger.md.
package ledger

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"

	"combline/internal/chain"
)

const (
	dbFile      = "combline.db"
	witnessFile = "witness"
	lockFile    = "lock"
)

// Options are what may differ between two openings of a house.
type Options struct {
	Create   bool // make a house where there is none
	MaxPages int  // stop growing at so many pages of the file; 0 is no bound
	unsynced bool // synchronous=OFF: for the test that must find it out
}

// A Ledger is an open house. Its methods may be called from several goroutines.
type Ledger struct {
	dir      string
	readOnly bool
	lock     *lock

	mu      sync.Mutex // the one writer
	w       *conn
	head    chain.Head
	witness *witness
	refusal error // why nothing may be appended

	idle   chan *conn // readers' connections between two uses
	closed atomic.Bool

	witnessed bool
	done      chan struct{} // closed to stop the witness's syncing
	synced    sync.WaitGroup
}

// Open opens the house in dir for this process alone.
//
// Where acknowledged facts are missing ([BehindError]) the ledger opens and can
// be read, but Append refuses until [Ledger.AcceptLoss].
func Open(ctx context.Context, dir string, o Options) (*Ledger, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := ready(dir, o.Create); err != nil {
		return nil, err
	}
	lk, err := takeLock(dir)
	if err != nil {
		return nil, err
	}
	l := &Ledger{dir: dir, lock: lk, idle: make(chan *conn, maxIdle), done: make(chan struct{})}
	if err := l.start(o); err != nil {
		return nil, errors.Join(err, l.shut())
	}
	l.synced.Go(l.keepWitness)
	return l, nil
}

// ready looks at the folder before anything in it is touched.
func ready(dir string, create bool) error {
	db, err := os.Stat(filepath.Join(dir, dbFile))
	switch {
	case err == nil && db.Size() > 1: // SQLite takes a file of one byte for an empty one
		return nil
	case err != nil && !errors.Is(err, os.ErrNotExist):
		return onFile(err)
	}
	// No database, or an empty one, which SQLite would fill as a new one.
	w, found, err := readWitness(filepath.Join(dir, witnessFile))
	switch {
	case err != nil:
		return err
	case found && w.Seq > 0:
		return &BehindError{Witness: w}
	case !create:
		return ErrNoHouse
	}
	return onFile(os.MkdirAll(dir, 0o755))
}

// start opens the files and compares the tail with its witness.
func (l *Ledger) start(o Options) (err error) {
	sync := "synchronous(FULL)"
	if o.unsynced {
		sync = "synchronous(OFF)"
	}
	if l.w, err = dial(filepath.Join(l.dir, dbFile), readNew, append(careful(), sync)...); err != nil {
		return err
	}
	if err := migrate(l.w); err != nil {
		return err
	}
	if o.MaxPages > 0 {
		if _, err := l.w.int(fmt.Sprintf("PRAGMA max_page_count = %d", o.MaxPages)); err != nil {
			return err
		}
	}
	if err := l.w.guard(); err != nil {
		return err
	}
	if l.witness, err = openWitness(filepath.Join(l.dir, witnessFile)); err != nil {
		return err
	}
	l.witnessed = l.witness.turn > 0
	if l.head, l.refusal, err = end(l.w, l.witness.head); err != nil {
		return err
	}
	makeRoom(filepath.Join(l.dir, dbFile+"-wal"))
	if l.refusal == nil && l.witness.head != l.head {
		return l.witness.reset(l.head) // committed but never acknowledged: normal after a crash
	}
	return nil
}

// careful are the pragmas of every connection. A plain fsync on macOS stops at
// the disk's own cache; fullfsync goes through, and means nothing elsewhere.
func careful() []string {
	return []string{"busy_timeout(5000)", "trusted_schema(OFF)", "cell_size_check(ON)", "recursive_triggers(ON)",
		"fullfsync(ON)", "checkpoint_fullfsync(ON)"}
}

// Head is the end of the chain.
func (l *Ledger) Head() chain.Head {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.head
}

// Refusal is why nothing can be appended; nil when all is well.
func (l *Ledger) Refusal() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.refusal
}

// Witnessed reports whether a readable witness was there when the house was
// opened. A new house has none; in an old one its absence means that nobody can
// say whether the end of the ledger is missing.
func (l *Ledger) Witnessed() bool { return l.witnessed }

// Close lets go of the house.
func (l *Ledger) Close() error {
	if l.closed.Swap(true) {
		return nil
	}
	l.mu.Lock()
	var missed error
	if l.refusal == nil {
		missed = l.catchUp()
	}
	l.refusal = ErrClosed
	l.mu.Unlock()
	close(l.done)
	l.synced.Wait()
	return errors.Join(missed, l.shut())
}

// shut closes what is open: readers before the writer, whose closing tidies
// the write-ahead log away, and the lock last.
func (l *Ledger) shut() (err error) {
	for len(l.idle) > 0 {
		err = errors.Join(err, (<-l.idle).close())
	}
	if l.w != nil {
		err = errors.Join(err, l.w.close())
	}
	if l.witness != nil {
		err = errors.Join(err, l.witness.f.Sync(), l.witness.f.Close())
	}
	if l.lock != nil {
		err = errors.Join(err, l.lock.release())
	}
	return err
}
