package office

import (
	"encoding/binary"
	"fmt"

	"combline/internal/quantity"
)

// A Jar is one unit as a scale beside the filler weighed it.
type Jar struct {
	AtMS   int64              // milliseconds since 1970-01-01 UTC
	Nozzle int                // from 1; 0: the frame does not say
	Net    quantity.Milligram // of the contents
	Seq    int64              // the instrument's own number; 0: it gives none
	Flag   Flag               // NoFlag: it counts
}

// A Flag says why a weight is kept but does not count: it is shown and never eaten.
type Flag uint8

const (
	NoFlag       Flag = iota
	NotPositive       // zero or below: nothing stood there, or the scale was not at zero
	Thousandth        // kilograms in a stream of grams
	Thousandfold      // grams in a stream of kilograms
	Tenfold           // a slipped point, or ten jars at once
	Tenth             // a slipped point
	FarOff            // less than half or more than twice the label
	OddNozzle         // a nozzle that the filler does not have
	Cut               // no jar: the line was cut from here to the next jar
	flagCount
)

var flagNames = [flagCount]string{"", "not-positive", "kg-for-g", "g-for-kg", "tenfold", "tenth", "far-off", "odd-nozzle", "cut"}

// Key is the flag's key in package words.
func (f Flag) Key() string { return "fill.flag." + flagNames[min(f, flagCount-1)] }

// FlagOf is what is odd about a net weight under a label. A jar between half and twice
// its label counts: a really short one must (the bounds are common practice, no source).
func FlagOf(net, label quantity.Milligram) Flag {
	near := func(m, per quantity.Milligram) bool { return 2*m >= per*label && m <= 2*per*label }
	switch {
	case net <= 0:
		return NotPositive
	case label <= 0 || near(net, 1):
		return NoFlag
	case near(net, 10):
		return Tenfold
	case near(net*10, 1):
		return Tenth
	case near(net, 1000):
		return Thousandfold
	case net <= 1<<40 && near(net*1000, 1):
		return Thousandth
	}
	return FarOff
}

// jarsForm begins every block of jars:
//
//	"combline jars 1\n"
//	uvarint   jars
//	a jar     varint milliseconds since the one before (the first: since 1970),
//	          uvarint nozzle, varint net milligrams less the one before,
//	          varint number less the one before, byte flag (cut: no jar, the line was
//	          cut from this moment to the next jar's)
//
// varint and uvarint are those of package record.
const jarsForm = "combline jars 1\n"

// EncodeJars is the byte form of a block of jars.
func EncodeJars(jars []Jar) []byte {
	b := make([]byte, 0, len(jarsForm)+8+6*len(jars))
	b = append(b, jarsForm...)
	b = binary.AppendUvarint(b, uint64(len(jars)))
	var last Jar
	for _, j := range jars {
		b = binary.AppendVarint(b, j.AtMS-last.AtMS)
		b = binary.AppendUvarint(b, uint64(j.Nozzle))
		b = binary.AppendVarint(b, int64(j.Net-last.Net))
		b = binary.AppendVarint(b, j.Seq-last.Seq)
		b = append(b, byte(j.Flag))
		last = j
	}
	return b
}

// DecodeJars reads what [EncodeJars] wrote; anything else is an error.
func DecodeJars(b []byte) ([]Jar, error) {
	if len(b) < len(jarsForm) || string(b[:len(jarsForm)]) != jarsForm {
		return nil, fmt.Errorf("this is no block of jars")
	}
	r := jarReader{b: b, at: len(jarsForm)}
	n := r.uvarint()
	if n > uint64(len(b)) {
		return nil, fmt.Errorf("a block of %d bytes can't hold %d jars", len(b), n)
	}
	all := make([]Jar, 0, n)
	var j Jar
	for range n {
		j.AtMS += r.varint()
		nozzle := r.uvarint()
		j.Net += quantity.Milligram(r.varint())
		j.Seq += r.varint()
		j.Flag = Flag(r.byte())
		if r.bad || nozzle > MaxNozzles || j.Flag >= flagCount {
			return nil, fmt.Errorf("jar %d of the block is cut or altered", len(all)+1)
		}
		j.Nozzle = int(nozzle)
		all = append(all, j)
	}
	if r.at != len(b) {
		return nil, fmt.Errorf("%d bytes too many after %d jars", len(b)-r.at, n)
	}
	return all, nil
}

// weights counts the jars that were weighed: all but the cuts.
func weights(jars []Jar) (n int64) {
	for _, j := range jars {
		if j.Flag != Cut {
			n++
		}
	}
	return n
}

// MaxNozzles is more than any filler has.
const MaxNozzles = 64

type jarReader struct {
	b   []byte
	at  int
	bad bool
}

func (r *jarReader) uvarint() uint64 {
	v, n := binary.Uvarint(r.b[r.at:])
	r.step(n)
	return v
}

func (r *jarReader) varint() int64 {
	v, n := binary.Varint(r.b[r.at:])
	r.step(n)
	return v
}

func (r *jarReader) step(n int) {
	if n <= 0 {
		r.bad, n = true, 0
	}
	r.at += n
}

func (r *jarReader) byte() byte {
	if r.at >= len(r.b) {
		r.bad = true
		return 0
	}
	r.at++
	return r.b[r.at-1]
}
