package ledger

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql/driver"
	"encoding/binary"
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
	seal := sealOf(b)
	_, err := c.exec(`INSERT INTO block (n, id, instrument, hour, digest, seal, bytes)
		VALUES (coalesce((SELECT max(n) FROM block), 0) + 1, ?, ?, ?, ?, ?, ?)`,
		b.ID, b.Instrument, b.Hour, b.Digest[:], seal[:], readings)
	return err
}

// sealOf covers what the digest does not: whose readings they are, and when.
//
//	SHA-256("combline block 1\n" || len(ID) || ID || len(Instrument) || Instrument || Hour || Digest)
//
// with lengths and hour as 8 bytes big-endian.
func sealOf(b chain.Block) chain.Hash {
	s := []byte("combline block 1\n")
	for _, name := range []string{b.ID, b.Instrument} {
		s = binary.BigEndian.AppendUint64(s, uint64(len(name)))
		s = append(s, name...)
	}
	s = binary.BigEndian.AppendUint64(s, uint64(b.Hour))
	return sha256.Sum256(append(s, b.Digest[:]...))
}

// blockColumns are what blockOf reads.
const blockColumns = "id, instrument, hour, digest, seal, bytes"

func readBlock(c *conn, id string) (b chain.Block, err error) {
	missing := noBlock(id)
	err = c.query(func(row []driver.Value) error {
		missing = nil
		b, err = blockOf(row)
		return err
	}, "SELECT "+blockColumns+" FROM block WHERE id = ?", id)
	return b, errors.Join(err, missing)
}

// blockOf reads a row of blockColumns and checks it.
func blockOf(row []driver.Value) (b chain.Block, err error) {
	id, okID := row[0].(string)
	instrument, okInstrument := row[1].(string)
	hour, okHour := row[2].(int64)
	digest, okDigest := row[3].([]byte)
	seal, okSeal := row[4].([]byte)
	readings, okBytes := row[5].([]byte)
	okBytes = okBytes || row[5] == nil // the driver's form of no bytes
	if !okID || !okInstrument || !okHour || !okDigest || !okSeal || !okBytes || len(digest) != len(b.Digest) {
		return b, fmt.Errorf("block %s: a field has a wrong type: %w", id, chain.ErrBlockAltered)
	}
	b = chain.Block{ID: id, Instrument: instrument, Hour: hour, Bytes: readings, Digest: chain.Hash(digest)}
	if want := sealOf(b); b.Check() != nil || !bytes.Equal(seal, want[:]) {
		return b, fmt.Errorf("block %s: %w", id, chain.ErrBlockAltered)
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
