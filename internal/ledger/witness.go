package ledger

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"strconv"

	"combline/internal/chain"
)

// A witness remembers the last acknowledged fact outside the database file, so
// that a cut or deleted write-ahead log, which shortens a ledger with no trace
// inside it, is noticed.
//
// The file has two slots, each in a disk sector of its own, written in turn: a
// write that power loss tears spoils one slot and leaves the other. A slot is
// one line of text,
//
//	combline witness 1 TURN SEQ HASH SUM\n
//
// with TURN and SEQ as 20 decimal digits, HASH as 64 hex digits, and SUM the
// first 16 hex digits of SHA-256 over the line up to the space before SUM. The
// whole slot with the highest turn counts.
type witness struct {
	f     *os.File
	turn  uint64
	head  chain.Head
	dirty bool // written since the last sync
}

const (
	slotSize  = 4096
	slotStart = "combline witness 1 "
	slotLen   = len(slotStart) + 20 + 1 + 20 + 1 + 64 + 1 + 16 + 1
)

func slot(turn uint64, h chain.Head) []byte {
	line := fmt.Appendf(nil, "%s%020d %020d %x", slotStart, turn, h.Seq, h.Hash)
	return fmt.Appendf(line, " %x\n", slotSum(line))
}

func slotSum(line []byte) []byte {
	sum := sha256.Sum256(line)
	return sum[:8]
}

// parseSlot takes what slot printed and nothing else.
func parseSlot(b []byte) (turn uint64, h chain.Head, ok bool) {
	if len(b) < slotLen {
		return 0, h, false
	}
	b = b[:slotLen]
	fields := bytes.Fields(b)
	if len(fields) != 7 || hex.DecodedLen(len(fields[5])) != len(h.Hash) {
		return 0, h, false
	}
	turn, errTurn := strconv.ParseUint(string(fields[3]), 10, 64)
	seq, errSeq := strconv.ParseUint(string(fields[4]), 10, 64)
	_, errHash := hex.Decode(h.Hash[:], fields[5])
	h.Seq = seq
	if errors.Join(errTurn, errSeq, errHash) != nil || !bytes.Equal(slot(turn, h), b) {
		return 0, chain.Head{}, false
	}
	return turn, h, true
}

// newestSlot reads a witness file; ok is false where no slot is whole.
func newestSlot(b []byte) (turn uint64, h chain.Head, ok bool) {
	for at := 0; at < 2*slotSize && at < len(b); at += slotSize {
		if t, got, whole := parseSlot(b[at:]); whole && (!ok || t > turn) {
			turn, h, ok = t, got, true
		}
	}
	return turn, h, ok
}

// readWitness returns the last acknowledged fact; found is false where there
// is no witness, or none that can be read.
func readWitness(path string) (h chain.Head, found bool, err error) {
	b, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return h, false, nil
	}
	_, h, found = newestSlot(b)
	return h, found, onFile(err)
}

// openWitness opens the file for writing and makes room for both slots at
// once, so that a full disk does not stop a later write.
func openWitness(path string) (*witness, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, onFile(err)
	}
	b := make([]byte, 2*slotSize)
	n, _ := f.ReadAt(b, 0)
	w := &witness{f: f}
	w.turn, w.head, _ = newestSlot(b[:n])
	if n < len(b) {
		if _, err = f.WriteAt(b[n:], int64(n)); err == nil {
			err = f.Sync()
		}
	}
	if err != nil {
		f.Close()
		return nil, onFile(err)
	}
	return w, nil
}

// note records that h was acknowledged. The operating system has it when note
// returns: it outlives this process, and sync makes it outlive the power.
func (w *witness) note(h chain.Head) error {
	turn := w.turn + 1
	if _, err := w.f.WriteAt(slot(turn, h), int64(turn%2)*slotSize); err != nil {
		return onFile(err)
	}
	w.turn, w.head, w.dirty = turn, h, true
	return nil
}

// reset puts h in both slots, so that no older turn can come back.
func (w *witness) reset(h chain.Head) error {
	for range 2 {
		if err := w.note(h); err != nil {
			return err
		}
		if err := w.f.Sync(); err != nil {
			return onFile(err)
		}
	}
	w.dirty = false
	return nil
}
