package record

import (
	"encoding/json"
	"fmt"
	"unicode/utf8"

	"combline/internal/quantity"
)

// A form goes through a fact's fields in order. Each fact describes its fields
// once; the form's mode decides what is done with them: written to bytes, read
// from bytes, listed as JSON, filled from text, or looked at by [Visit].
type form struct {
	mode mode
	out  []byte
	in   string
	at   int // next byte of in
	end  int // end of the member being read; 0 means len(in)
	next uint64
	peek bool // next holds a field number already read
	last uint64
	err  error

	obj    *object                               // listing: the JSON object being filled
	row    *textRow                              // filling: the cells at hand
	see    func(Field)                           // seeing: who looks
	name   func(c Code, fresh bool, of []Entity) // naming: who listens
	schema bool                                  // seeing: show the fields of lists that are empty
	path   string                                // filling and seeing: the lists that the field stands in
}

type mode uint8

const (
	writing mode = iota
	reading
	listing // to readable JSON
	filling // from the cells of a CSV row or a web form
	seeing  // for Visit
	naming  // for Names
)

// limits of a single fact: what a person or an instrument could mean
const (
	maxText = 4000
	maxList = 5000
)

func (f *form) fail(format string, args ...any) {
	if f.err == nil {
		f.err = fmt.Errorf("byte %d: "+format, append([]any{f.at}, args...)...)
	}
}

// putFact writes kind, version and fields.
func (f *form) putFact(fact Fact) {
	f.out = putUvarint(f.out, uint64(fact.Kind()))
	f.out = putUvarint(f.out, 1)
	fact.fields(f)
}

// getFact reads kind, version and fields.
func (f *form) getFact() Fact {
	k, v := Kind(f.uvarintMax(1<<16)), f.uvarintMax(1<<16)
	if f.err != nil {
		return nil
	}
	fact := New(k)
	if fact == nil || v != 1 {
		f.fail("fact of kind %d version %d is not known to this program", k, v)
		return nil
	}
	f.body(func() { fact.fields(f) })
	return fact
}

// body reads fields up to the end of the bytes at hand and refuses what is left.
func (f *form) body(fields func()) {
	peek, next, last := f.peek, f.next, f.last
	f.peek, f.last = false, 0
	fields()
	if f.err == nil && f.more() {
		f.fail("field %d is not known, or out of order", f.field())
	}
	f.peek, f.next, f.last = peek, next, last
}

func (f *form) limit() int {
	if f.end > 0 {
		return f.end
	}
	return len(f.in)
}

func (f *form) more() bool { return f.peek || f.at < f.limit() }

// field returns the number of the field that comes next.
func (f *form) field() uint64 {
	if !f.peek {
		f.next, f.peek = f.uvarintMax(1<<16), true
	}
	return f.next
}

// take reports whether field n comes next, and passes its number.
func (f *form) take(n int) bool {
	if f.err != nil || !f.more() || f.field() != uint64(n) {
		return false
	}
	f.peek = false
	return f.err == nil
}

// put writes the number of field n.
func (f *form) put(n int) { f.out = putUvarint(f.out, uint64(n)) }

// absent refuses a field that was written although it is not given: a fact has one body.
func (f *form) absent(n int, given bool) {
	if f.err == nil && !given {
		f.fail("field %d is written and empty", n)
	}
}

func (f *form) byte() byte {
	if f.err != nil {
		return 0
	}
	if f.at >= f.limit() {
		f.fail("ends too soon")
		return 0
	}
	f.at++
	return f.in[f.at-1]
}

func (f *form) bytes(n int) string {
	if f.err != nil {
		return ""
	}
	if n > f.limit()-f.at {
		f.fail("ends too soon")
		return ""
	}
	f.at += n
	return f.in[f.at-n : f.at]
}

func (f *form) uvarint() uint64 {
	var n uint64
	for shift := 0; ; shift += 7 {
		b := f.byte()
		if f.err != nil {
			return 0
		}
		if shift == 63 && b > 1 {
			f.fail("number too large")
			return 0
		}
		n |= uint64(b&0x7f) << shift
		if b < 0x80 {
			if b == 0 && shift > 0 {
				f.fail("number not in its shortest form")
			}
			return n
		}
	}
}

func (f *form) uvarintMax(most uint64) uint64 {
	n := f.uvarint()
	if f.err == nil && n > most {
		f.fail("number %d, at most %d", n, most)
	}
	return n
}

func (f *form) varint() int64 {
	u := f.uvarint()
	return int64(u>>1) ^ -int64(u&1)
}

func (f *form) string() string {
	n := f.uvarintMax(maxText * 4)
	s := f.bytes(int(n))
	if f.err == nil && !utf8.ValidString(s) {
		f.fail("text is not UTF-8")
	}
	return s
}

func (f *form) figure() quantity.Figure {
	u, d := quantity.Unit(f.byte()), f.byte()
	m := f.varint()
	if f.err == nil && (!u.Known() || d > quantity.MaxDecimals) {
		f.fail("unit %d with %d decimals is not known to this program", u, d)
	}
	return quantity.Figure{Mantissa: m, Decimals: d, Unit: u}
}

func putUvarint(b []byte, n uint64) []byte {
	for n >= 0x80 {
		b = append(b, byte(n)|0x80)
		n >>= 7
	}
	return append(b, byte(n))
}

func putVarint(b []byte, n int64) []byte { return putUvarint(b, uint64(n)<<1^uint64(n>>63)) }

func putString(b []byte, s string) []byte { return append(putUvarint(b, uint64(len(s))), s...) }

func putFigure(b []byte, g quantity.Figure) []byte {
	return putVarint(append(b, byte(g.Unit), g.Decimals), g.Mantissa)
}

// object keeps the order of its members.
type object struct{ b []byte }

func (o *object) set(name string, v any) {
	j, err := json.Marshal(v)
	if err != nil {
		j, _ = json.Marshal(fmt.Sprint(v))
	}
	o.raw(name, j)
}

func (o *object) raw(name string, j []byte) {
	if len(o.b) > 0 {
		o.b = append(o.b, ',')
	}
	k, _ := json.Marshal(name)
	o.b = append(append(append(o.b, k...), ':'), j...)
}

func (o *object) bytes() []byte { return append(append([]byte{'{'}, o.b...), '}') }
