package ledger

import (
	"context"
	"database/sql/driver"
	"errors"
	"iter"
	"path/filepath"

	"combline/internal/chain"
)

// Links yields the stored links after seq, in order, as they stand when the
// walk begins. It checks each on the way, and the end against the head, so that
// whoever reads the whole ledger has verified it; it stops at the first error,
// a [*chain.BrokenError] for a bad fact. After one, nothing more is appended.
// A body is the caller's own.
func (l *Ledger) Links(ctx context.Context, after uint64) iter.Seq2[chain.Stored, error] {
	return func(yield func(chain.Stored, error) bool) {
		more := true
		err := l.walk(ctx, after, func(s chain.Stored) bool {
			more = yield(s, nil)
			return more
		})
		if err != nil && more {
			l.note(err)
			yield(chain.Stored{}, err)
		}
	}
}

// note refuses to append to a chain that was found broken.
func (l *Ledger) note(err error) {
	var broken *chain.BrokenError
	if errors.As(err, &broken) {
		l.mu.Lock()
		defer l.mu.Unlock()
		if l.refusal == nil {
			l.refusal = err
		}
	}
}

// reader opens a connection that only reads, beside the writer's.
func (l *Ledger) reader() (*conn, error) {
	if errors.Is(l.Refusal(), ErrClosed) {
		return nil, ErrClosed
	}
	return dial(filepath.Join(l.dir, dbFile), readOnly, careful()...)
}

func (l *Ledger) walk(ctx context.Context, after uint64, yield func(chain.Stored) bool) error {
	end := l.Head() // read before the walk, whose picture is at least as new
	if after >= end.Seq {
		return nil
	}
	c, err := l.reader()
	if err != nil {
		return err
	}
	defer c.close()
	last, whole, err := walk(ctx, c, after, yield)
	if err == nil && whole && last.Seq < end.Seq {
		err = &chain.BrokenError{Seq: last.Seq + 1, What: "is missing, and so is all behind it"}
	}
	return err
}

var errEnough = errors.New("enough")

// walk reads and checks the links after seq. whole is false where yield ended it.
func walk(ctx context.Context, c *conn, after uint64, yield func(chain.Stored) bool) (last chain.Head, whole bool, err error) {
	last.Seq = after
	if last.Hash, err = hashOf(c, after); err != nil {
		return last, false, err
	}
	var h chain.Hasher
	err = c.query(func(row []driver.Value) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		l, err := stored(row)
		if err != nil {
			return err
		}
		if err := h.Check(last, l); err != nil {
			return err
		}
		last = chain.Head{Seq: l.Seq, Hash: l.Hash}
		if !yield(l) {
			return errEnough
		}
		return nil
	}, "SELECT seq, prev, hash, body FROM link WHERE seq > ? ORDER BY seq", int64(after))
	if err == errEnough {
		return last, false, nil
	}
	return last, err == nil, err
}
