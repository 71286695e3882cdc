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
			l.refuse(err)
			yield(chain.Stored{}, err)
		}
	}
}

// refuse stops appending to a chain that was found broken.
func (l *Ledger) refuse(err error) {
	var broken *chain.BrokenError
	if !errors.As(err, &broken) {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.refusal == nil {
		l.refusal = err
	}
}

// maxIdle is how many readers' connections are kept open between two uses.
const maxIdle = 4

// reader lends a connection that only reads, beside the writer's.
func (l *Ledger) reader() (*conn, error) {
	if l.closed.Load() {
		return nil, ErrClosed
	}
	select {
	case c := <-l.idle:
		return c, nil
	default:
		return dialReader(filepath.Join(l.dir, dbFile))
	}
}

// dialReader opens a house's file for reading. SQLite wants to make a file
// beside it, for readers to agree with a writer; on a disk that can't be
// written there is no writer, unless it left a log behind.
func dialReader(path string) (*conn, error) {
	c, err := dial(path, readOnly, careful()...)
	if err != nil {
		return nil, err
	}
	_, err = c.int("PRAGMA schema_version") // the first read is what opens the file
	if err == nil {
		return c, nil
	}
	err = errors.Join(err, c.close())
	if code(err) != codeCantOpen || exists(path+"-wal") || !exists(path) {
		return nil, err
	}
	return dial(path, frozen, careful()...)
}

// takeBack takes a reader's connection back. Close may have come in between.
func (l *Ledger) takeBack(c *conn) {
	select {
	case l.idle <- c:
	default:
		_ = c.close()
	}
	if l.closed.Load() {
		select {
		case c := <-l.idle:
			_ = c.close()
		default:
		}
	}
}

func (l *Ledger) walk(ctx context.Context, after uint64, yield func(chain.Stored) bool) error {
	c, err := l.reader()
	if err != nil {
		return err
	}
	defer l.takeBack(c)
	end := l.Head() // as of before the walk, which sees at least as much
	if l.readOnly {
		if end, err = tail(c); end.Seq == 0 {
			return err
		}
	}
	if after >= end.Seq {
		return nil
	}
	last, whole, err := walk(ctx, c, after, yield)
	if err == nil && whole && last.Seq < end.Seq {
		err = &chain.BrokenError{Seq: last.Seq + 1, What: "is missing, and so is all behind it"}
	}
	return err
}

// A batch is what goes from one stage of a walk to the next; the last one may
// carry an error behind its links.
type batch struct {
	links []chain.Stored
	err   error
}

const batchLinks = 256

// walk reads and checks the links after seq. Reading, hashing and what yield
// does take about as long as one another, so each has a goroutine of its own.
// whole is false where yield ended the walk.
func walk(ctx context.Context, c *conn, after uint64, yield func(chain.Stored) bool) (last chain.Head, whole bool, err error) {
	last.Seq = after
	if last.Hash, err = hashOf(c, after); err != nil {
		return last, false, err
	}
	ctx, stop := context.WithCancel(ctx)
	read, checked := make(chan batch, 4), make(chan batch, 4)
	go readLinks(ctx, c, after, read)
	go checkLinks(last, read, checked)
	defer func() { // the connection is the caller's again when all have ended
		stop()
		for range checked {
		}
	}()
	for b := range checked {
		for _, l := range b.links {
			if err := ctx.Err(); err != nil {
				return last, false, err
			}
			last = chain.Head{Seq: l.Seq, Hash: l.Hash}
			if !yield(l) {
				return last, false, nil
			}
		}
		if errors.Is(b.err, ErrDamaged) {
			return last, false, errors.Join(&chain.BrokenError{Seq: last.Seq + 1, What: "can't be read"}, b.err)
		}
		if b.err != nil {
			return last, false, b.err
		}
	}
	return last, true, nil
}

// readLinks sends the links after seq until they end or ctx does.
func readLinks(ctx context.Context, c *conn, after uint64, out chan<- batch) {
	defer close(out)
	links := make([]chain.Stored, 0, batchLinks)
	err := c.query(func(row []driver.Value) error {
		l, err := packed(row)
		if err != nil {
			return err
		}
		if links = append(links, l); len(links) == batchLinks {
			out <- batch{links: links}
			links = make([]chain.Stored, 0, batchLinks)
			return ctx.Err()
		}
		return nil
	}, "SELECT "+packedColumns+" FROM link WHERE seq > ? ORDER BY seq", int64(after))
	out <- batch{links, err}
}

// packedColumns are seq, and prev, hash and body in one piece: the driver
// copies each column by itself, and one takes less time than three.
const packedColumns = "seq, CAST(prev || hash || body AS BLOB)"

// packed reads a row of packedColumns.
func packed(row []driver.Value) (l chain.Stored, err error) {
	const size = len(chain.Hash{})
	seq, okSeq := row[0].(int64)
	b, okBytes := row[1].([]byte)
	if !okSeq || seq < 1 || !okBytes || len(b) < 2*size {
		return l, &chain.BrokenError{Seq: uint64(max(seq, 0)), What: "has a field of a wrong length or type"}
	}
	l.Seq, l.Prev, l.Hash, l.Body = uint64(seq), chain.Hash(b[:size]), chain.Hash(b[size:2*size]), b[2*size:]
	return l, nil
}

// checkLinks passes on what follows from last, and an error behind it.
func checkLinks(last chain.Head, in <-chan batch, out chan<- batch) {
	defer close(out)
	var h chain.Hasher
	for b := range in {
		for i, l := range b.links {
			if err := h.Check(last, l); err != nil {
				b = batch{b.links[:i], err}
				break
			}
			last = chain.Head{Seq: l.Seq, Hash: l.Hash}
		}
		out <- b
		if b.err != nil {
			for range in { // let the reader end
			}
			return
		}
	}
}
