// Package chain links opaque bodies by hash, so that a record shows when it was
// altered. It knows nothing of what a body means.
package chain

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"iter"
)

// A Hash is a SHA-256 digest.
type Hash [sha256.Size]byte

// A Link is one body at its place in the chain. Seq starts at 1; Prev is the
// hash of the link before, all zero for the first.
type Link struct {
	Seq  uint64
	Prev Hash
	Body []byte
}

// ErrHeadMoved means that another writer appended first; nothing was written.
var ErrHeadMoved = errors.New("the ledger has moved on")

// A BrokenError names the first link that does not follow from the one before.
type BrokenError struct {
	Seq  uint64 // the first bad link
	What string // what is wrong with it
}

func (e *BrokenError) Error() string { return fmt.Sprintf("fact %d: %s", e.Seq, e.What) }

// Hash returns SHA-256("combline ledger 1\n" || Seq, 8 bytes big-endian || Prev || Body).
func (l Link) Hash() Hash {
	h := Hasher{}
	return h.Sum(l)
}

// A Hasher sums many links with one buffer. The zero Hasher is ready.
type Hasher struct{ buf []byte }

// Sum returns l's hash.
func (h *Hasher) Sum(l Link) Hash {
	b := append(h.buf[:0], "combline ledger 1\n"...)
	b = binary.BigEndian.AppendUint64(b, l.Seq)
	b = append(b, l.Prev[:]...)
	b = append(b, l.Body...)
	h.buf = b
	return sha256.Sum256(b)
}

// A Head is the end of a chain: how many links, and the last one's hash.
type Head struct {
	Seq  uint64
	Hash Hash
}

// Next links body after h.
func (h Head) Next(body []byte) Link { return Link{Seq: h.Seq + 1, Prev: h.Hash, Body: body} }

// A Stored is a link with the hash that was stored beside it.
type Stored struct {
	Link
	Hash Hash
}

// Verify walks links from head on and returns the new head. The error is a
// [*BrokenError] for the first link out of order, with another predecessor than
// the link before it, or with a body that does not give its stored hash.
func Verify(head Head, links iter.Seq2[Stored, error]) (Head, error) {
	var h Hasher
	for l, err := range links {
		if err != nil {
			return head, err
		}
		if err := h.Check(head, l); err != nil {
			return head, err
		}
		head = Head{Seq: l.Seq, Hash: l.Hash}
	}
	return head, nil
}

// Check reports whether l follows head and is as it was written.
func (h *Hasher) Check(head Head, l Stored) error {
	switch {
	case l.Seq != head.Seq+1:
		return &BrokenError{head.Seq + 1, fmt.Sprintf("is missing; the next one stored is %d", l.Seq)}
	case l.Prev != head.Hash:
		return &BrokenError{l.Seq, "does not follow the fact before it"}
	case h.Sum(l.Link) != l.Hash:
		return &BrokenError{l.Seq, "was altered after it was written"}
	}
	return nil
}
