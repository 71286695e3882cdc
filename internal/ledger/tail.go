package ledger

import (
	"database/sql/driver"
	"errors"
	"os"

	"combline/internal/chain"
)

// end reads where the ledger ends, and why nothing may be appended there: the
// last fact was altered, or acknowledged facts are missing.
func end(c *conn, witness chain.Head) (head chain.Head, refusal, err error) {
	head, err = tail(c)
	var broken *chain.BrokenError
	if errors.As(err, &broken) {
		return head, err, nil // the rest can still be read
	}
	if err != nil {
		return head, nil, err
	}
	if witness.Seq <= head.Seq {
		h, err := hashOf(c, witness.Seq)
		if err != nil || h == witness.Hash {
			return head, nil, err
		}
	}
	return head, &BehindError{Tail: head, Witness: witness}, nil
}

// tail reads the last fact and checks that it is as it was written.
func tail(c *conn) (h chain.Head, err error) {
	err = c.query(func(row []driver.Value) error {
		l, err := packed(row)
		if err != nil {
			return err
		}
		h = chain.Head{Seq: l.Seq, Hash: l.Hash}
		return (&chain.Hasher{}).Check(chain.Head{Seq: l.Seq - 1, Hash: l.Prev}, l)
	}, "SELECT "+packedColumns+" FROM link ORDER BY seq DESC LIMIT 1")
	return h, err
}

// hashOf is the stored hash of one fact; all zero before the first.
func hashOf(c *conn, seq uint64) (h chain.Hash, err error) {
	if seq == 0 {
		return h, nil
	}
	missing := error(&chain.BrokenError{Seq: seq, What: "is missing"})
	err = c.query(func(row []driver.Value) error {
		missing = nil
		b, ok := row[0].([]byte)
		if !ok || len(b) != len(h) {
			return &chain.BrokenError{Seq: seq, What: "has a hash of a wrong length"}
		}
		h = chain.Hash(b)
		return nil
	}, "SELECT hash FROM link WHERE seq = ?", int64(seq))
	return h, errors.Join(err, missing)
}

// checkpointPages is how long the write-ahead log grows before its pages are
// moved into the database: 4 MB.
const checkpointPages = 1000

// makeRoom gives the write-ahead log its full size at once: a commit that
// needn't grow its file takes about half the time. SQLite reads a log up to the
// first frame that does not check, so that zeros at the end mean nothing to it.
// A disk without that room is no reason to stop.
func makeRoom(log string) {
	const room = (checkpointPages + 100) * (4096 + 24)
	f, err := os.OpenFile(log, os.O_WRONLY, 0)
	if err != nil {
		return
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || info.Size() >= room {
		return
	}
	if _, err := f.WriteAt(make([]byte, room-info.Size()), info.Size()); err == nil {
		_ = f.Sync()
	}
}
