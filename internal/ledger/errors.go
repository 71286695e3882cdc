package ledger

import (
	"errors"
	"fmt"
	"io/fs"

	"combline/internal/chain"
)

// What can be wrong with a ledger and has no figures of its own. The words are
// for logs; [Key] names an error for the catalogues and the exit codes.
var (
	ErrFull      = errors.New("the disk is full: free some space, then do it again; nothing was written")
	ErrReadOnly  = errors.New("the house's folder can't be written: check its permissions, or whether the disk is write-protected")
	ErrDamaged   = errors.New("the ledger's file is damaged or cut short: restore it from a back-up")
	ErrNotLedger = errors.New("the file is not a ledger of combline")
	ErrNoHouse   = errors.New("no house in this folder")
	ErrHouse     = errors.New("there is a house in this folder already")
	ErrAltered   = errors.New("the ledger's protections were altered: restore it from a back-up, or export it and bring it into a new folder")
	ErrDisk      = errors.New("the disk did not do what was asked: check its cable and its health, then do it again")
	ErrBusy      = errors.New("another program keeps the ledger's file locked: close it, then do it again")
	ErrNoLog     = errors.New("this folder can't keep a write-ahead log, as on a network drive: put the house on a disk of this computer")
	ErrOlder     = errors.New("the house is of an older form: open it once to bring it up to date")
	ErrReader    = errors.New("the house is open for reading only")
	ErrClosed    = errors.New("the ledger is closed")
	ErrBackUp    = errors.New("the back-up is not whole: make or choose another one")
	ErrOther     = errors.New("the back-up belongs to another house: restore it into an empty folder")
)

// A NewerError means that a newer version of combline wrote this house.
type NewerError struct{ Have, Know int }

func (e *NewerError) Error() string {
	return fmt.Sprintf("the house is of form %d, this program knows forms up to %d: use the newer program", e.Have, e.Know)
}

// A LockedError names the process that has the house open.
type LockedError struct {
	Program string // "" where it is not known
	PID     int    // 0 where it is not known
}

func (e *LockedError) Error() string {
	if e.PID == 0 {
		return "another process has the house open: close it first"
	}
	return fmt.Sprintf("%s (process %d) has the house open: close it first", e.Program, e.PID)
}

// A BehindError means that facts which were acknowledged are not in the file:
// its tail is behind the witness, or another fact stands in the witness's place.
type BehindError struct {
	Tail    chain.Head // the last fact in the file
	Witness chain.Head // the last fact that was acknowledged
}

func (e *BehindError) Error() string {
	const next = "restore the newest back-up, or accept the loss"
	if e.Tail.Seq >= e.Witness.Seq {
		return fmt.Sprintf("fact %d is not the one that was acknowledged: %s", e.Witness.Seq, next)
	}
	return fmt.Sprintf("the ledger ends at fact %d, but fact %d was acknowledged: %s", e.Tail.Seq, e.Witness.Seq, next)
}

// A LineError says which line of an export can't be taken, and why.
type LineError struct {
	Line int
	What string
}

func (e *LineError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.What) }

// Key is a stable name for what is wrong, such as "ledger.full"; "" for an
// error that is none of this package's or chain's.
func Key(err error) string {
	var newer *NewerError
	var locked *LockedError
	var behind *BehindError
	var broken *chain.BrokenError
	var line *LineError
	switch {
	case errors.As(err, &newer):
		return "ledger.newer"
	case errors.As(err, &locked):
		return "ledger.locked"
	case errors.As(err, &behind):
		return "ledger.behind"
	case errors.As(err, &broken):
		return "ledger.broken"
	case errors.As(err, &line):
		return "ledger.line"
	}
	for _, k := range sentinels {
		if errors.Is(err, k.err) {
			return k.key
		}
	}
	return ""
}

var sentinels = []struct {
	err error
	key string
}{
	{chain.ErrHeadMoved, "ledger.moved"},
	{chain.ErrNoBlock, "ledger.no-block"},
	{chain.ErrBlockTaken, "ledger.block-taken"},
	{chain.ErrBlockAltered, "ledger.block-altered"},
	{ErrFull, "ledger.full"},
	{ErrReadOnly, "ledger.read-only"},
	{ErrBackUp, "ledger.back-up"},
	{ErrOther, "ledger.other-house"},
	{ErrDamaged, "ledger.damaged"},
	{ErrNotLedger, "ledger.not-ledger"},
	{ErrNoHouse, "ledger.no-house"},
	{ErrHouse, "ledger.house"},
	{ErrAltered, "ledger.altered"},
	{ErrDisk, "ledger.disk"},
	{ErrBusy, "ledger.busy"},
	{ErrNoLog, "ledger.no-log"},
	{ErrOlder, "ledger.older"},
	{ErrReader, "ledger.reader"},
	{ErrClosed, "ledger.closed"},
}

// onFile words an error of the file system.
func onFile(err error) error {
	switch {
	case err == nil:
		return nil
	case isFull(err):
		return &wrapped{ErrFull, err.Error()}
	case errors.Is(err, fs.ErrPermission) || isReadOnly(err):
		return &wrapped{ErrReadOnly, err.Error()}
	}
	return err
}
