package ledger

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"

	"combline/internal/chain"
)

// A Report is what a verified ledger holds.
type Report struct {
	Head   chain.Head
	Blocks int
	Losses []chain.Loss
}

// A Progress is told how much of some work is done. It may be nil.
type Progress func(done, total int)

// quiet returns p, or what does nothing.
func (p Progress) quiet() Progress {
	if p == nil {
		return func(int, int) {}
	}
	return p
}

// Verify reads everything: each fact against the chain and the end against the
// head, each block against its digest, and SQLite's own check of the file.
func (l *Ledger) Verify(ctx context.Context, p Progress) (Report, error) {
	c, err := l.reader()
	if err != nil {
		return Report{}, err
	}
	defer l.takeBack(c)
	end := l.Head()
	r, err := verify(ctx, c, p.quiet())
	if err == nil && r.Head.Seq < end.Seq {
		err = &chain.BrokenError{Seq: r.Head.Seq + 1, What: "is missing, and so is all behind it"}
	}
	if err != nil {
		l.refuse(err)
	}
	return r, err
}

// verify checks one picture of the file, whatever is appended meanwhile.
func verify(ctx context.Context, c *conn, p Progress) (r Report, err error) {
	if _, err = c.exec("BEGIN DEFERRED"); err != nil {
		return r, err
	}
	defer func() { _, _ = c.exec("ROLLBACK") }() // nothing was written
	total, err := c.int("SELECT coalesce(max(seq), 0) FROM link")
	if err != nil {
		return r, err
	}
	r.Head, _, err = walk(ctx, c, 0, func(l chain.Stored) bool {
		if l.Seq%1000 == 0 {
			p(int(l.Seq), int(total))
		}
		return true
	})
	if err == nil {
		r.Blocks, err = verifyBlocks(ctx, c)
	}
	if err == nil {
		r.Losses, err = losses(c)
	}
	if err == nil {
		err = verifyFile(c)
	}
	p(int(total), int(total))
	return r, err
}

func verifyBlocks(ctx context.Context, c *conn) (n int, err error) {
	err = eachBlock(ctx, c, func(chain.Block) error { n++; return nil })
	return n, err
}

// eachBlock reads and checks all blocks in the order in which they came.
func eachBlock(ctx context.Context, c *conn, do func(chain.Block) error) error {
	return c.query(func(row []driver.Value) error {
		b, err := blockOf(row)
		if err == nil {
			err = ctx.Err()
		}
		if err == nil {
			err = do(b)
		}
		return err
	}, "SELECT "+blockColumns+" FROM block ORDER BY n")
}

// verifyFile is SQLite's check of its own structures. It sees next to nothing
// of what the chain sees, and the other way round.
func verifyFile(c *conn) error {
	return c.query(func(row []driver.Value) error {
		if s, _ := row[0].(string); s != "ok" {
			return fmt.Errorf("%w (%s)", ErrDamaged, s)
		}
		return nil
	}, "PRAGMA integrity_check(1)")
}

// VerifyBackup checks a back-up file: all of the chain and the blocks, and that
// it ends where it ended when it was made.
func VerifyBackup(ctx context.Context, path string, p Progress) (Report, error) {
	c, err := dial(path, readOnly, careful()...)
	if err != nil {
		return Report{}, errors.Join(ErrBackUp, err)
	}
	defer c.close()
	r, err := verifyBackup(ctx, c, p.quiet())
	if err != nil && ctx.Err() == nil {
		err = fmt.Errorf("%w: %w", ErrBackUp, err)
	}
	return r, err
}

func verifyBackup(ctx context.Context, c *conn, p Progress) (r Report, err error) {
	if err := current(c); err != nil {
		return r, err
	}
	sealed, rows := chain.Head{}, 0
	err = c.query(func(row []driver.Value) error {
		sealed, _ = headOf(row[0], row[1])
		rows++
		return nil
	}, "SELECT seq, hash FROM back_up")
	if err != nil {
		return r, err
	}
	if rows != 1 {
		return r, errors.New("the file was not made by a back-up")
	}
	if r, err = verify(ctx, c, p); err == nil && r.Head != sealed {
		err = fmt.Errorf("it was made at fact %d and ends at fact %d", sealed.Seq, r.Head.Seq)
	}
	return r, err
}
