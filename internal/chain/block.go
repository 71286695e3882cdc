package chain

import (
	"bytes"
	"crypto/sha256"
	"errors"
)

// A Block is one instrument's raw readings of one hour, kept beside the chain:
// the fact that sums it up carries its digest. A block never changes; late
// readings make a new one.
type Block struct {
	ID         string // names the block; one namespace for all instruments
	Instrument string // the instrument's code
	Hour       int64  // whole hours since 1970-01-01 00:00 UTC
	Bytes      []byte // the readings, opaque here
	Digest     Hash   // SHA-256 of Bytes
}

var (
	// ErrNoBlock means that no block of that id is kept.
	ErrNoBlock = errors.New("no such block of readings")
	// ErrBlockTaken means that a block's id is in use for other readings.
	ErrBlockTaken = errors.New("a block of that id is already kept and differs")
	// ErrBlockAltered means that a block's fields do not give its digests.
	ErrBlockAltered = errors.New("the block of readings was altered after it was written")
)

// NewBlock returns the block with its digest.
func NewBlock(id, instrument string, hour int64, readings []byte) Block {
	return Block{ID: id, Instrument: instrument, Hour: hour, Bytes: readings, Digest: sha256.Sum256(readings)}
}

// Check reports whether b's bytes give its digest.
func (b Block) Check() error {
	if sha256.Sum256(b.Bytes) != b.Digest {
		return ErrBlockAltered
	}
	return nil
}

// Equal reports whether b and c are the same block, byte for byte.
func (b Block) Equal(c Block) bool {
	return b.ID == c.ID && b.Instrument == c.Instrument && b.Hour == c.Hour &&
		b.Digest == c.Digest && bytes.Equal(b.Bytes, c.Bytes)
}
