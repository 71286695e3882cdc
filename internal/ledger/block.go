package ledger

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"unicode/utf8"

	"combline/internal/chain"
)

// PutBlock keeps a block of readings; it is on the disk when PutBlock returns.
// The same block again changes nothing; other readings under the same id are
// refused by an error that wraps [chain.ErrBlockTaken].
func (l *Ledger) PutBlock(ctx context.Context, b chain.Block) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if err := refuseBlock(ctx, b); err != nil {
		return err
	}
	if err := l.writable(ctx); err != nil {
		return err
	}
	kept, err := readBlock(l.w, b.ID)
	if err == nil {
		return sameBlock(kept, b)
	}
	if !errors.Is(err, chain.ErrNoBlock) {
		return err
	}
	return l.commit(func() error { return insertBlock(l.w, b) })
}

// Block returns a kept block, whose readings were checked against its digest;
// the error wraps [chain.ErrNoBlock] if there is none.
func (l *Ledger) Block(ctx context.Context, id string) (chain.Block, error) {
	if err := ctx.Err(); err != nil {
		return chain.Block{}, err
	}
	c, err := l.reader()
	if err != nil {
		return chain.Block{}, err
	}
	defer l.takeBack(c)
	return readBlock(c, id)
}

func refuseBlock(ctx context.Context, b chain.Block) error {
	if b.ID == "" || !utf8.ValidString(b.ID) || !utf8.ValidString(b.Instrument) {
		return fmt.Errorf("block %q of instrument %q: a name is empty or no text", b.ID, b.Instrument)
	}
	if err := b.Check(); err != nil {
		return fmt.Errorf("block %s: %w", b.ID, err)
	}
	return ctx.Err()
}

func sameBlock(kept, b chain.Block) error {
	if !kept.Equal(b) {
		return fmt.Errorf("block %s: %w", b.ID, chain.ErrBlockTaken)
	}
	return nil
}

func noBlock(id string) error { return fmt.Errorf("block %s: %w", id, chain.ErrNoBlock) }

func insertBlock(c *conn, b chain.Block) error {
	readings := b.Bytes
	if readings == nil {
		readings = []byte{} // nil would be NULL
	}
	_, err := c.exec(`INSERT INTO block (n, id, instrument, hour, digest, bytes)
		VALUES (coalesce((SELECT max(n) FROM block), 0) + 1, ?, ?, ?, ?, ?)`,
		b.ID, b.Instrument, b.Hour, b.Digest[:], readings)
	return err
}

func readBlock(c *conn, id string) (b chain.Block, err error) {
	missing := noBlock(id)
	err = c.query(func(row []driver.Value) error {
		missing = nil
		b, err = blockOf(row)
		return err
	}, "SELECT id, instrument, hour, digest, bytes FROM block WHERE id = ?", id)
	return b, errors.Join(err, missing)
}

// blockOf reads a row of id, instrument, hour, digest, bytes and checks it.
func blockOf(row []driver.Value) (b chain.Block, err error) {
	id, okID := row[0].(string)
	instrument, okInstrument := row[1].(string)
	hour, okHour := row[2].(int64)
	digest, okDigest := row[3].([]byte)
	readings, okBytes := row[4].([]byte)
	okBytes = okBytes || row[4] == nil // the driver's form of no bytes
	if !okID || !okInstrument || !okHour || !okDigest || !okBytes || len(digest) != len(b.Digest) {
		return b, fmt.Errorf("block %s: a field has a wrong type: %w", id, chain.ErrBlockAltered)
	}
	b = chain.Block{ID: id, Instrument: instrument, Hour: hour, Bytes: readings, Digest: chain.Hash(digest)}
	if err := b.Check(); err != nil {
		return b, fmt.Errorf("block %s: %w", id, err)
	}
	return b, nil
}

func insertLoss(c *conn, l chain.Loss) error {
	_, err := c.exec(`INSERT INTO loss (n, after_seq, after_hash, to_seq, to_hash)
		VALUES (coalesce((SELECT max(n) FROM loss), 0) + 1, ?, ?, ?, ?)`,
		int64(l.After.Seq), l.After.Hash[:], int64(l.To.Seq), l.To.Hash[:])
	return err
}

// Losses are the ranges of acknowledged facts that were given up, oldest first.
func (l *Ledger) Losses(ctx context.Context) ([]chain.Loss, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c, err := l.reader()
	if err != nil {
		return nil, err
	}
	defer l.takeBack(c)
	return losses(c)
}

func losses(c *conn) (all []chain.Loss, err error) {
	err = c.query(func(row []driver.Value) error {
		after, okAfter := headOf(row[0], row[1])
		to, okTo := headOf(row[2], row[3])
		if !okAfter || !okTo {
			return ErrAltered
		}
		all = append(all, chain.Loss{After: after, To: to})
		return nil
	}, "SELECT after_seq, after_hash, to_seq, to_hash FROM loss ORDER BY n")
	return all, err
}

func headOf(seq, hash driver.Value) (h chain.Head, ok bool) {
	n, okSeq := seq.(int64)
	b, okHash := hash.([]byte)
	if !okSeq || !okHash || n < 0 || len(b) != len(h.Hash) {
		return h, false
	}
	return chain.Head{Seq: uint64(n), Hash: chain.Hash(b)}, true
}
