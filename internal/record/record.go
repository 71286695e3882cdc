// Package record is what can be written down in a honey house: the facts, their
// names, their identities and their byte form. A fact says what was observed, in
// the past tense; what follows from it is worked out elsewhere by folding.
//
// # Byte form
//
// A body is, in this order and nothing else:
//
//	byte      form: 1
//	16 bytes  key of the batch that the fact came in
//	uvarint   part: place in the batch, from 0
//	uvarint   parts: facts in the batch, part < parts
//	uvarint   written: milliseconds since 1970-01-01 UTC by the house's clock
//	varint    happened: minutes since 1970-01-01 UTC
//	varint    offset of local time from UTC in minutes
//	byte      precision: 1 minute, 2 half-hour, 3 day
//	string    person
//	string    device
//	uvarint   kind
//	uvarint   version of the kind
//	fields    of the kind and version
//
// A field is its number (uvarint, rising within the fact) and its value; a field
// that is not given is left out. uvarint is LEB128 in its shortest form; varint is
// zig-zag uvarint; a string is its length in bytes (uvarint) and UTF-8; a figure is
// unit (byte), decimals (byte), mantissa (varint); a weight is how it is known
// (byte) and a figure; a list is its length (uvarint) and its members; a member
// with fields of its own is the length of its bytes (uvarint) and its fields.
// Reading is strict: any other byte is an error, so that every body has one reading
// and every fact one body. The hash covers the stored bytes; nothing is re-encoded.
package record

import (
	"fmt"
	"time"
)

// A Code names one thing of the house: a site, a lot, a drum, a case. All codes
// share one namespace and none is used twice. Codes are compared by [Code.Fold].
type Code string

// A Key makes a batch unique, so that a repeated tap makes no second fact.
type Key [16]byte

// A Precision says how finely a time is known.
type Precision uint8

const (
	ToMinute   Precision = 1
	ToHalfHour Precision = 2
	ToDay      Precision = 3
)

// A When is the moment something happened: a minute, with the local time's offset
// from UTC, and how finely it is known. With a day or half-hour, Minute is its start.
type When struct {
	Minute    int64 // since 1970-01-01 UTC
	Offset    int16 // minutes east of UTC
	Precision Precision
}

// At is t to the minute, in t's own zone.
func At(t time.Time) When { return when(t, ToMinute) }

// OnDay is the day of t, in t's own zone.
func OnDay(t time.Time) When {
	y, m, d := t.Date()
	return when(time.Date(y, m, d, 0, 0, 0, 0, t.Location()), ToDay)
}

func when(t time.Time, p Precision) When {
	_, off := t.Zone()
	sec := t.Unix()
	return When{Minute: floorDiv(sec, 60), Offset: int16(off / 60), Precision: p}
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// Time returns the moment in its own local time.
func (w When) Time() time.Time {
	return time.Unix(w.Minute*60, 0).In(time.FixedZone("", int(w.Offset)*60))
}

// A Fact is one thing that happened. The list of facts is closed: see [New].
type Fact interface {
	Kind() Kind
	fields(*form)
}

// An Entry is a fact with who wrote it down, when, and when it happened.
type Entry struct {
	Seq         uint64 // its place in the ledger; not in the bytes
	Batch       Key
	Part, Parts uint32
	WrittenMS   int64 // milliseconds since 1970 by the house's clock
	When        When
	Person      Code
	Device      Code
	Fact        Fact
}

// Written returns the moment of writing, UTC.
func (e Entry) Written() time.Time { return time.UnixMilli(e.WrittenMS).UTC() }

// Encode returns the body of e.
func Encode(e Entry) ([]byte, error) {
	f := form{mode: writing}
	f.out = append(f.out, 1)
	f.out = append(f.out, e.Batch[:]...)
	f.out = putUvarint(f.out, uint64(e.Part))
	f.out = putUvarint(f.out, uint64(e.Parts))
	f.out = putUvarint(f.out, uint64(e.WrittenMS))
	f.out = putVarint(f.out, e.When.Minute)
	f.out = putVarint(f.out, int64(e.When.Offset))
	f.out = append(f.out, byte(e.When.Precision))
	f.out = putString(f.out, string(e.Person))
	f.out = putString(f.out, string(e.Device))
	f.putFact(e.Fact)
	if f.err != nil {
		return nil, f.err
	}
	if _, err := Decode(string(f.out)); err != nil { // what can't be read back may not be written
		return nil, fmt.Errorf("%s: %w", e.Fact.Kind(), err)
	}
	return f.out, nil
}

// Decode reads a body of any version ever written. Strings of the fact share
// body's memory. The error says at which byte the reading stopped and why.
func Decode(body string) (Entry, error) {
	f := form{mode: reading, in: body}
	var e Entry
	if b := f.byte(); f.err == nil && b != 1 {
		return e, fmt.Errorf("byte form %d is not known to this program", b)
	}
	copy(e.Batch[:], f.bytes(len(e.Batch)))
	e.Part, e.Parts = uint32(f.uvarintMax(1<<20)), uint32(f.uvarintMax(1<<20))
	e.WrittenMS = int64(f.uvarintMax(1 << 50))
	e.When.Minute = f.varint()
	off := f.varint()
	e.When.Offset, e.When.Precision = int16(off), Precision(f.byte())
	e.Person, e.Device = Code(f.string()), Code(f.string())
	if f.err == nil {
		switch {
		case e.Part >= e.Parts:
			f.fail("part %d of %d", e.Part, e.Parts)
		case off < -24*60 || off > 24*60:
			f.fail("local time %d minutes from UTC", off)
		case e.When.Precision < ToMinute || e.When.Precision > ToDay:
			f.fail("precision %d", e.When.Precision)
		case e.When.Minute < -1<<40 || e.When.Minute > 1<<40:
			f.fail("minute %d", e.When.Minute)
		}
	}
	e.Fact = f.getFact()
	if f.err == nil && len(f.in) != f.at {
		f.fail("%d bytes too many", len(f.in)-f.at)
	}
	return e, f.err
}

// Marshal returns a fact's kind, version and fields without who and when: the
// form in which a correction carries the fact that it puts in place.
func Marshal(fact Fact) ([]byte, error) {
	f := form{mode: writing}
	f.putFact(fact)
	return f.out, f.err
}

// Unmarshal reads what [Marshal] wrote.
func Unmarshal(b string) (Fact, error) {
	f := form{mode: reading, in: b}
	fact := f.getFact()
	if f.err == nil && len(f.in) != f.at {
		f.fail("%d bytes too many", len(f.in)-f.at)
	}
	return fact, f.err
}
