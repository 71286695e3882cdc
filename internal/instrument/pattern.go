package instrument

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"combline/internal/quantity"
)

// A Frame is what one line says.
type Frame struct {
	Weight   quantity.Milligram
	Tare     quantity.Milligram // of this jar, where the line has it
	Seq      int64
	TimeMS   int64 // since 1970, or since midnight when it is a time of day
	Nozzle   int
	HasTare  bool
	HasSeq   bool
	HasTime  bool
	OfDay    bool // TimeMS is since midnight
	NoZone   bool // TimeMS is in the time of the place
	Unstable bool
}

// A Pattern says what stands in a line. It is text as the line has it, with fields in
// braces:
//
//	{weight}      the weight; {weight:kg} gives its unit where the line has none (else g)
//	{unit}        its unit: g, kg, mg, lb, oz
//	{tare}        the empty jar's weight, in the same unit
//	{nozzle}      which nozzle, from 1
//	{seq}         the instrument's running number
//	{time}        when: 14:05:09, 2026-09-30 14:05:09, RFC 3339, or seconds or
//	              milliseconds since 1970
//	{stable:ST}   ST when the weight had settled; {stable:S|OK} for either word
//	{text}        anything, up to what follows
//
// What stands in [ ] may be missing. Blanks in the pattern stand for any number of
// blanks, none too; letters match in either case. {{ [[ ]] stand for the signs.
type Pattern struct {
	text  string
	parts []part
	unit  unit
	tare  bool
}

type partKind uint8

const (
	nothing partKind = iota
	literal
	blanks
	fieldWeight
	fieldUnit
	fieldTare
	fieldNozzle
	fieldSeq
	fieldTime
	fieldStable
	fieldText
	optional
)

type part struct {
	kind  partKind
	text  []byte   // of a literal, in small letters
	words [][]byte // of stable
	parts []part   // of optional
	stop  byte     // the sign that follows a number, so that it is no decimal sign
}

var fieldNames = map[string]partKind{"weight": fieldWeight, "unit": fieldUnit, "tare": fieldTare, "nozzle": fieldNozzle, "seq": fieldSeq,
	"time": fieldTime, "stable": fieldStable, "text": fieldText}

// Plain is the pattern of a line with a weight and perhaps its unit.
const Plain = "{weight}[ {unit}]"

// A PatternError says where a pattern is wrong: its key in package words is
// fill.pattern.KEY.
type PatternError struct {
	Pattern string
	At      int // in letters, from 1
	Key     string
	What    string
}

func (e *PatternError) Error() string {
	return fmt.Sprintf("pattern %q, letter %d: %s %s", e.Pattern, e.At, e.Key, e.What)
}

const (
	maxPattern   = 300 // longer than any frame
	mostOptional = 6   // each doubles the ways to read a line
)

// ParsePattern reads a pattern.
func ParsePattern(text string) (*Pattern, error) {
	p := &Pattern{text: text, unit: grams}
	c := compiler{p: p, in: text, seen: map[partKind]bool{}}
	if len(text) > maxPattern || !utf8.ValidString(text) {
		return nil, c.wrong("long", fmt.Sprint(maxPattern))
	}
	parts, err := c.list(false)
	if err == nil && !c.seen[fieldWeight] {
		err = c.wrong("no-weight", "{weight}")
	}
	if err == nil {
		err = c.apart(parts, part{})
	}
	p.parts, p.tare = parts, c.seen[fieldTare]
	if err != nil {
		return nil, err
	}
	return p, nil
}

// String is the pattern as it was written.
func (p *Pattern) String() string { return p.text }

// Tares reports whether lines carry each jar's empty weight.
func (p *Pattern) Tares() bool { return p.tare }

// apart tells each number where it ends, and refuses two that nothing parts.
func (c *compiler) apart(all []part, after part) error {
	for i := range all {
		next := after
		if i+1 < len(all) {
			next = all[i+1]
		}
		first := next
		if next.kind == optional && len(next.parts) > 0 {
			first = next.parts[0]
		}
		p := &all[i]
		switch {
		case p.kind == optional:
			if err := c.apart(p.parts, first); err != nil {
				return err
			}
		case !isNumber(p.kind):
		case isNumber(first.kind):
			return c.wrong("apart", p.kind.name()+" "+first.kind.name())
		case first.kind == literal:
			p.stop = first.text[0]
		}
	}
	return nil
}

func isNumber(k partKind) bool {
	return k == fieldWeight || k == fieldTare || k == fieldNozzle || k == fieldSeq || k == fieldTime
}

func (k partKind) name() string {
	for name, kind := range fieldNames {
		if kind == k {
			return "{" + name + "}"
		}
	}
	return ""
}

type compiler struct {
	p    *Pattern
	in   string
	at   int
	seen map[partKind]bool

	optional int
}

func (c *compiler) wrong(key, what string) error {
	return &PatternError{Pattern: c.in, At: utf8.RuneCountInString(c.in[:min(c.at, len(c.in))]) + 1, Key: key, What: what}
}

func (c *compiler) list(inside bool) (all []part, err error) {
	for c.at < len(c.in) {
		switch r := c.in[c.at]; {
		case strings.HasPrefix(c.in[c.at:], "{{") || strings.HasPrefix(c.in[c.at:], "[[") || strings.HasPrefix(c.in[c.at:], "]]") && !inside:
			c.at += 2
			all = addLiteral(all, r)
		case r == ']' && inside:
			return all, nil
		case r == ']':
			return nil, c.wrong("bracket", "]")
		case r == '[':
			from := c.at
			c.at++
			if inside {
				return nil, c.wrong("nested", "[")
			}
			if c.optional++; c.optional > mostOptional {
				return nil, c.wrong("many", fmt.Sprint(mostOptional))
			}
			parts, err := c.list(true)
			if err != nil {
				return nil, err
			}
			if c.at == len(c.in) {
				c.at = from
				return nil, c.wrong("bracket", "[")
			}
			c.at++
			all = append(all, part{kind: optional, parts: parts})
		case r == '{':
			f, err := c.field()
			if err != nil {
				return nil, err
			}
			all = append(all, f)
		case r == ' ' || r == '\t':
			for c.at < len(c.in) && (c.in[c.at] == ' ' || c.in[c.at] == '\t') {
				c.at++
			}
			all = append(all, part{kind: blanks})
		default:
			c.at++
			all = addLiteral(all, r)
		}
	}
	return all, nil
}

func addLiteral(all []part, c byte) []part {
	if 'A' <= c && c <= 'Z' {
		c += 'a' - 'A'
	}
	if n := len(all); n > 0 && all[n-1].kind == literal {
		all[n-1].text = append(all[n-1].text, c)
		return all
	}
	return append(all, part{kind: literal, text: []byte{c}})
}

func (c *compiler) field() (part, error) {
	end := strings.IndexByte(c.in[c.at:], '}')
	if end < 0 {
		return part{}, c.wrong("brace", "{")
	}
	name, option, _ := strings.Cut(c.in[c.at+1:c.at+end], ":")
	kind, ok := fieldNames[strings.ToLower(strings.TrimSpace(name))]
	switch {
	case !ok:
		return part{}, c.wrong("field", name)
	case c.seen[kind] && kind != fieldText:
		return part{}, c.wrong("twice", name)
	}
	f := part{kind: kind}
	switch {
	case kind == fieldStable:
		for w := range strings.SplitSeq(option, "|") {
			if w = strings.ToLower(strings.TrimSpace(w)); w != "" {
				f.words = append(f.words, []byte(w))
			}
		}
		if len(f.words) == 0 {
			return part{}, c.wrong("stable", "{stable:ST}")
		}
	case kind == fieldWeight && option != "":
		u, ok := unitOf([]byte(strings.TrimSpace(option)))
		if !ok {
			return part{}, c.wrong("unit", option)
		}
		c.p.unit = u
	case option != "":
		return part{}, c.wrong("option", option)
	}
	c.seen[kind] = true
	c.at += end + 1
	return f, nil
}

// A reading is a frame on the way.
type reading struct {
	line   []byte
	at     int
	weight decimal
	tare   decimal
	unit   unit
	fault  Fault
	f      Frame
}

// Read reads a line. With a fault, the frame is empty.
func (p *Pattern) Read(line []byte) (Frame, Fault) {
	r := reading{line: line, unit: p.unit}
	for _, c := range line {
		if c < ' ' && c != '\t' || c == 0x7f {
			return Frame{}, NotText
		}
	}
	if !r.all(p.parts, true) {
		if r.fault == NoFault {
			r.fault = NoMatch
			if !utf8.Valid(line) {
				r.fault = NotText
			}
		}
		return Frame{}, r.fault
	}
	var ok bool
	if r.f.Weight, ok = r.weight.milligrams(r.unit); !ok {
		return Frame{}, BadNumber
	}
	if r.f.HasTare {
		if r.f.Tare, ok = r.tare.milligrams(r.unit); !ok {
			return Frame{}, BadNumber
		}
	}
	return r.f, NoFault
}

func (r *reading) skip() {
	for r.at < len(r.line) && (r.line[r.at] == ' ' || r.line[r.at] == '\t') {
		r.at++
	}
}

// all reads parts; whole says that nothing but blanks may follow. What may be missing is
// tried first with it, then without.
func (r *reading) all(parts []part, whole bool) bool {
	for i := range parts {
		p := &parts[i]
		switch p.kind {
		case optional:
			was := *r
			if r.all(p.parts, false) && r.all(parts[i+1:], whole) {
				return true
			}
			was.fault = r.fault // told if it does not fit without it either
			*r = was
		case fieldText:
			if !r.until(parts[i+1:]) {
				return false
			}
		default:
			if !r.one(p) {
				return false
			}
		}
	}
	if whole {
		r.skip()
		return r.at == len(r.line)
	}
	return true
}

// until passes over text up to what follows it.
func (r *reading) until(next []part) bool {
	if len(next) == 0 {
		r.at = len(r.line)
		return true
	}
	from := r.at
	for at := from; at <= len(r.line); at++ {
		was := *r
		r.at = at
		if next[0].kind == optional || next[0].kind == blanks && at < len(r.line) && r.line[at] != ' ' && r.line[at] != '\t' {
			*r = was
			if next[0].kind == optional {
				return true
			}
			continue
		}
		ok := r.one(&next[0])
		*r = was
		if ok {
			r.at = at
			return true
		}
	}
	return false
}

func (r *reading) one(p *part) bool {
	rest := r.line[r.at:]
	switch p.kind {
	case blanks:
		r.skip()
		return true
	case literal:
		if len(rest) < len(p.text) || !sameLetters(rest[:len(p.text)], p.text) {
			return false
		}
		r.at += len(p.text)
		return true
	case fieldStable:
		return r.stable(p)
	case fieldUnit:
		return r.unitWord()
	case fieldTime:
		return r.time()
	}
	r.skip()
	if p.kind == fieldNozzle || p.kind == fieldSeq {
		return r.count(p.kind)
	}
	d, n, ok := number(r.line[r.at:], p.stop)
	if !ok {
		if n > 0 {
			r.fault = BadNumber
		}
		return false
	}
	switch p.kind {
	case fieldWeight:
		r.weight = d
	case fieldTare:
		r.tare, r.f.HasTare = d, true
	}
	r.at += n
	return true
}

// count takes a whole number.
func (r *reading) count(kind partKind) bool {
	v, n := int64(0), 0
	for rest := r.line[r.at:]; n < len(rest) && '0' <= rest[n] && rest[n] <= '9'; n++ {
		if v > 1<<50 {
			r.fault = BadNumber
			return false
		}
		v = v*10 + int64(rest[n]-'0')
	}
	if n == 0 {
		return false
	}
	r.at += n
	if kind == fieldSeq {
		r.f.Seq, r.f.HasSeq = v, true
		return true
	}
	if v < 1 || v > 1000 {
		r.fault = BadNumber
		return false
	}
	r.f.Nozzle = int(v)
	return true
}

// sameLetters compares bytes with small letters.
func sameLetters(b, small []byte) bool {
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if c != small[i] {
			return false
		}
	}
	return true
}

// stable takes one word of letters; any but the pattern's own says that it had not settled.
func (r *reading) stable(p *part) bool {
	r.skip()
	for _, w := range p.words {
		if rest := r.line[r.at:]; len(rest) >= len(w) && sameLetters(rest[:len(w)], w) && (len(rest) == len(w) || !isLetter(rest[len(w)])) {
			r.at += len(w)
			return true
		}
	}
	n := 0
	for rest := r.line[r.at:]; n < len(rest) && (isLetter(rest[n]) || rest[n] == '?' || rest[n] == '*' || rest[n] == '~'); n++ {
	}
	r.at += n
	r.f.Unstable = true
	return true
}

func isLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }

func (r *reading) unitWord() bool {
	r.skip()
	n := 0
	for rest := r.line[r.at:]; n < len(rest) && isLetter(rest[n]); n++ {
	}
	if n == 0 {
		return false
	}
	u, ok := unitOf(r.line[r.at : r.at+n])
	if !ok {
		r.fault = BadUnit
		return false
	}
	r.unit = u
	r.at += n
	return true
}

// time takes what looks like a time: digits, and the signs between them.
func (r *reading) time() bool {
	r.skip()
	rest := r.line[r.at:]
	n := 0
	for n < len(rest) && ('0' <= rest[n] && rest[n] <= '9' || bytes.IndexByte([]byte(":.-+TZ"), rest[n]) >= 0 ||
		rest[n] == ' ' && n == 10 && len(rest) > 13 && rest[13] == ':') {
		n++
	}
	if n == 0 {
		return false
	}
	if !r.timeOf(string(rest[:n])) {
		r.fault = BadTime
		return false
	}
	r.at += n
	return true
}

func (r *reading) timeOf(s string) bool {
	r.f.HasTime = true
	if d, n, ok := number([]byte(s), 0); ok && n == len(s) && s[0] != '+' && s[0] != '-' {
		return r.sinceEpoch(d)
	}
	if t, err := time.Parse("15:04:05.999", s); err == nil {
		h, m, sec := t.Clock()
		r.f.OfDay, r.f.TimeMS = true, int64(h*3600+m*60+sec)*1000+int64(t.Nanosecond()/1e6)
		return true
	}
	if t, err := time.Parse("2006-01-02T15:04:05.999Z07:00", s); err == nil {
		r.f.TimeMS = t.UnixMilli()
		return true
	}
	for _, layout := range []string{"2006-01-02 15:04:05.999", "2006-01-02T15:04:05.999", "2006-01-02 15:04"} {
		if t, err := time.Parse(layout, s); err == nil {
			r.f.NoZone, r.f.TimeMS = true, t.UnixMilli()
			return true
		}
	}
	return false
}

// sinceEpoch takes seconds, or milliseconds where seconds would be past the year 5000.
func (r *reading) sinceEpoch(d decimal) bool {
	const year5000 = 95_617_584_000
	ms, den := d.mantissa, int64(1)
	for range d.decimals {
		if den > 1e12 {
			return false
		}
		den *= 10
	}
	switch {
	case d.mantissa/den > year5000:
		r.f.TimeMS = ms / den
	case ms > (1<<62)/1000:
		return false
	default:
		r.f.TimeMS = ms * 1000 / den
	}
	return r.f.TimeMS < year5000*1000
}
