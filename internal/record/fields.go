package record

import (
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"combline/internal/quantity"
)

// need and may say whether a fact makes sense without the field.
const (
	need = true
	may  = false
)

// A Field is one field of a fact as [Visit] and [Schema] show it.
type Field struct {
	Name    string // with the names of the lists that it stands in: "stacks.1.gross"
	Type    FieldType
	Need    bool
	Given   bool
	Of      []Entity         // for codes: what the code may name
	Unit    quantity.Unit    // for figures and weights: the unit when none is typed
	Choices []string         // for choices
	Codes   []*Code          // for codes: where they stand in the fact
	Weight  *quantity.Figure // for figures and weights
	Text    string
}

// A FieldType says what a field holds.
type FieldType string

const (
	TypeRef    FieldType = "code"     // names something that exists
	TypeNew    FieldType = "new code" // names something from now on
	TypeText   FieldType = "text"
	TypeWeight FieldType = "weight"
	TypeFigure FieldType = "figure"
	TypeCount  FieldType = "count"
	TypeDay    FieldType = "day"
	TypeChoice FieldType = "choice"
	TypeTruth  FieldType = "yes/no"
	TypeBytes  FieldType = "bytes"
)

// A Weight is a mass with how it is known.
type Weight struct {
	Figure quantity.Figure
	How    quantity.How
}

// Given reports whether there is a weight at all.
func (w Weight) Given() bool { return w.Figure.Given() }

// Grams is the weight to the gram; 0 when it is not given.
func (w Weight) Grams() quantity.Gram {
	if !w.Given() {
		return 0
	}
	g, _ := w.Figure.Grams() // a weight in another dimension does not decode
	return g
}

// Grams is a weight read by an instrument, to the gram.
func Grams(m quantity.Gram) Weight { return Weight{quantity.OfGrams(m), quantity.Weighed} }

// A Day is a calendar day, in days since 1970-01-01; 0 is not given.
type Day int32

// DayOf is the calendar day of t in its own zone.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Time is the day's midnight, UTC.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

func (d Day) String() string { return d.Time().Format(time.DateOnly) }

// Truth is yes, no, or not known: not known is never no.
type Truth uint8

const (
	NotKnown Truth = iota
	Yes
	No
)

var truthNames = []string{"", "yes", "no"}

func (t Truth) String() string {
	if t == NotKnown {
		return "not known"
	}
	return truthNames[t]
}

// ref is a code that names something of one of the kinds.
func (f *form) ref(n int, name string, c *Code, need bool, of []Entity) {
	f.code(n, name, c, need, TypeRef, of)
}

// names is a code that names something from this fact on.
func (f *form) names(n int, name string, c *Code, need bool, of Entity) {
	f.code(n, name, c, need, TypeNew, only[of])
}

func (f *form) code(n int, name string, c *Code, need bool, t FieldType, of []Entity) {
	switch f.mode {
	case writing:
		if *c != "" {
			f.put(n)
			f.out = putString(f.out, string(*c))
		}
	case reading:
		if f.take(n) {
			*c = Code(f.string())
			f.absent(n, *c != "")
			f.checkCode(*c)
		}
	case listing:
		if *c != "" {
			f.obj.set(name, string(*c))
		}
	case filling:
		*c = Code(strings.TrimSpace(f.row.cell(f.path + name)))
	case naming:
		if *c != "" {
			f.name(*c, t == TypeNew, of)
		}
	case seeing:
		f.see(Field{Name: f.path + name, Type: t, Need: need, Given: *c != "", Of: of, Codes: []*Code{c}})
	}
}

// refs is a list of codes.
func (f *form) refs(n int, name string, cs *[]Code, need bool, of []Entity) {
	switch f.mode {
	case writing:
		if len(*cs) > 0 {
			f.put(n)
			f.out = putUvarint(f.out, uint64(len(*cs)))
			for _, c := range *cs {
				f.out = putString(f.out, string(c))
			}
		}
	case reading:
		if f.take(n) {
			k := int(f.uvarintMax(maxList))
			f.absent(n, k > 0)
			for i := 0; i < k && f.err == nil; i++ {
				c := Code(f.string())
				f.checkCode(c)
				*cs = append(*cs, c)
			}
		}
	case listing:
		if len(*cs) > 0 {
			f.obj.set(name, *cs)
		}
	case filling:
		*cs = f.row.codes(f.path + name)
	case naming:
		for _, c := range *cs {
			f.name(c, false, of)
		}
	case seeing:
		s := Field{Name: f.path + name, Type: TypeRef, Need: need, Given: len(*cs) > 0, Of: of}
		for i := range *cs {
			s.Codes = append(s.Codes, &(*cs)[i])
		}
		f.see(s)
	}
}

func (f *form) checkCode(c Code) {
	if f.err == nil {
		if err := c.Valid(); err != nil {
			f.fail("%v", err)
		}
	}
}

// note is free text as typed.
func (f *form) note(n int, name string, s *string, need bool) {
	switch f.mode {
	case writing:
		if *s != "" {
			f.put(n)
			f.out = putString(f.out, *s)
		}
	case reading:
		if f.take(n) {
			*s = f.string()
			f.absent(n, *s != "")
			if len(*s) > maxText {
				f.fail("text of %d bytes, at most %d", len(*s), maxText)
			}
		}
	case listing:
		if *s != "" {
			f.obj.set(name, *s)
		}
	case filling:
		*s = f.row.cell(f.path + name)
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeText, Need: need, Given: *s != "", Text: *s})
	}
}

// weight is a mass with how it is known; typed without a unit it is in unit.
func (f *form) weight(n int, name string, w *Weight, need bool, unit quantity.Unit) {
	switch f.mode {
	case writing:
		if w.Given() {
			f.put(n)
			f.out = putFigure(append(f.out, byte(w.How)), w.Figure)
		}
	case reading:
		if f.take(n) {
			w.How = quantity.How(f.byte())
			w.Figure = f.figure()
			if f.err == nil && w.How > quantity.Calculated {
				f.fail("%d is not a way to know a weight", w.How)
			}
			if f.err == nil {
				if _, err := w.Figure.Grams(); err != nil {
					f.fail("%v", err)
				}
			}
		}
	case listing:
		if w.Given() {
			f.obj.set(name, w.Figure.String())
			f.obj.set(name+"_known", w.How.String())
		}
	case filling:
		w.Figure = f.row.figure(f.path+name, unit)
		if w.Given() {
			w.How = f.row.how(f.path + name + "_known")
		}
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeWeight, Need: need, Given: w.Given(), Unit: unit, Weight: &w.Figure})
	}
}

// figure is a number with a unit of unit's dimension.
func (f *form) fig(n int, name string, g *quantity.Figure, need bool, unit quantity.Unit) {
	switch f.mode {
	case writing:
		if g.Given() {
			f.put(n)
			f.out = putFigure(f.out, *g)
		}
	case reading:
		if f.take(n) {
			*g = f.figure()
			if f.err == nil && unit != quantity.NoUnit && g.Unit.Dimension() != unit.Dimension() {
				f.fail("%v is not a %v", *g, unit.Dimension())
			}
		}
	case listing:
		if g.Given() {
			f.obj.set(name, g.String())
		}
	case filling:
		*g = f.row.figure(f.path+name, unit)
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeFigure, Need: need, Given: g.Given(), Unit: unit, Weight: g})
	}
}

// count is a number of things. Whether it is given shows only where 0 makes no
// sense, so a count that may be 0 is a figure in [quantity.Each].
func (f *form) count(n int, name string, v *int64, need bool) {
	switch f.mode {
	case writing:
		if *v != 0 {
			f.put(n)
			f.out = putVarint(f.out, *v)
		}
	case reading:
		if f.take(n) {
			*v = f.varint()
			f.absent(n, *v != 0)
		}
	case listing:
		if *v != 0 {
			f.obj.set(name, *v)
		}
	case filling:
		*v = f.row.count(f.path + name)
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeCount, Need: need, Given: *v != 0, Text: fmt.Sprint(*v)})
	}
}

// day is a calendar day.
func (f *form) day(n int, name string, d *Day, need bool) {
	switch f.mode {
	case writing:
		if *d != 0 {
			f.put(n)
			f.out = putVarint(f.out, int64(*d))
		}
	case reading:
		if f.take(n) {
			v := f.varint()
			if f.err == nil && (v == 0 || v < -40000 || v > 80000) {
				f.fail("day %d", v)
			}
			*d = Day(v)
		}
	case listing:
		if *d != 0 {
			f.obj.set(name, d.String())
		}
	case filling:
		*d = f.row.day(f.path + name)
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeDay, Need: need, Given: *d != 0, Text: d.String()})
	}
}

// choice is one of a closed list; names[0] is "" for not given.
func choice[T ~uint8](f *form, n int, name string, v *T, need bool, names []string) {
	b := uint8(*v)
	f.choose(n, name, &b, need, TypeChoice, names)
	if f.mode == reading || f.mode == filling { // a fact that is only looked at may be shared
		*v = T(b)
	}
}

func (f *form) truth(n int, name string, v *Truth, need bool) {
	b := uint8(*v)
	f.choose(n, name, &b, need, TypeTruth, truthNames)
	if f.mode == reading || f.mode == filling {
		*v = Truth(b)
	}
}

func (f *form) choose(n int, name string, v *uint8, need bool, t FieldType, names []string) {
	switch f.mode {
	case writing:
		if *v != 0 {
			f.put(n)
			f.out = append(f.out, *v)
		}
	case reading:
		if f.take(n) {
			*v = f.byte()
			f.absent(n, *v != 0)
			if f.err == nil && int(*v) >= len(names) {
				f.fail("choice %d of field %d is not known to this program", *v, n)
			}
		}
	case listing:
		if *v != 0 {
			f.obj.set(name, names[*v])
		}
	case filling:
		*v = f.row.choice(f.path+name, names)
	case seeing:
		s := Field{Name: f.path + name, Type: t, Need: need, Given: *v != 0, Choices: names[1:]}
		if int(*v) < len(names) {
			s.Text = names[*v]
		}
		f.see(s)
	}
}

// raw is opaque bytes: a digest, or a fact inside a correction.
func (f *form) raw(n int, name string, b *[]byte, need bool) {
	switch f.mode {
	case writing:
		if len(*b) > 0 {
			f.put(n)
			f.out = putString(f.out, string(*b))
		}
	case reading:
		if f.take(n) {
			k := f.uvarintMax(1 << 16)
			*b = []byte(f.bytes(int(k)))
			f.absent(n, len(*b) > 0)
		}
	case listing:
		if len(*b) > 0 {
			f.obj.set(name, hex.EncodeToString(*b))
		}
	case filling: // no form and no table carries bytes
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeBytes, Need: need, Given: len(*b) > 0, Text: hex.EncodeToString(*b)})
	}
}

// each is a list whose members have fields of their own.
func each[T any](f *form, n int, name string, list *[]T, fields func(*form, *T)) {
	switch f.mode {
	case writing:
		if len(*list) > 0 {
			f.put(n)
			f.out = putUvarint(f.out, uint64(len(*list)))
			for i := range *list {
				at := len(f.out)
				fields(f, &(*list)[i])
				member := string(f.out[at:])
				f.out = putString(f.out[:at], member)
			}
		}
	case reading:
		if !f.take(n) {
			return
		}
		k := int(f.uvarintMax(maxList))
		f.absent(n, k > 0)
		for i := 0; i < k && f.err == nil; i++ {
			size := int(f.uvarintMax(1 << 20))
			if f.err == nil && size > f.limit()-f.at {
				f.fail("ends too soon")
			}
			if f.err != nil {
				return
			}
			end := f.end
			f.end = f.at + size
			var v T
			if size > 0 { // an end of 0 would mean the whole input
				f.body(func() { fields(f, &v) })
			}
			f.end = end
			*list = append(*list, v)
		}
	case listing:
		if len(*list) == 0 {
			return
		}
		obj := f.obj
		var all []byte
		for i := range *list {
			f.obj = &object{}
			fields(f, &(*list)[i])
			if i > 0 {
				all = append(all, ',')
			}
			all = append(all, f.obj.bytes()...)
		}
		f.obj = obj
		f.obj.raw(name, append(append([]byte{'['}, all...), ']'))
	case naming:
		for i := range *list {
			fields(f, &(*list)[i])
		}
	case filling:
		fillEach(f, name, list, fields)
	case seeing:
		path := f.path
		for i := range *list {
			f.path = fmt.Sprintf("%s%s.%d.", path, name, i+1)
			fields(f, &(*list)[i])
		}
		if len(*list) == 0 && f.schema { // show what a member would have
			var v T
			f.path = path + name + "."
			fields(f, &v)
		}
		f.path = path
	}
}

// each1 is a part of a fact with fields of its own, given or not as a whole.
func each1[T comparable](f *form, n int, name string, v *T, fields func(*form, *T)) {
	var zero T
	var list []T
	if *v != zero && f.mode != reading && f.mode != filling {
		list = []T{*v}
	}
	switch f.mode {
	case naming:
		fields(f, v)
	case reading, writing:
		each(f, n, name, &list, fields)
		if f.mode == reading && len(list) > 0 {
			*v = list[0]
			f.absent(n, len(list) == 1 && *v != zero)
		}
	default: // shown and typed without a number
		if f.mode == listing {
			if len(list) == 0 {
				return
			}
			obj := f.obj
			f.obj = &object{}
			fields(f, v)
			part := f.obj.bytes()
			f.obj = obj
			f.obj.raw(name, part)
			return
		}
		if f.mode == seeing && len(list) == 0 && !f.schema {
			return // its fields are needed only where it is given
		}
		path := f.path
		f.path = path + name + "."
		fields(f, v)
		f.path = path
	}
}

// when is a moment, for a correction that moves a fact in time.
func (f *form) when(n int, name string, w *When) {
	switch f.mode {
	case writing:
		if *w != (When{}) {
			f.put(n)
			f.out = putVarint(f.out, w.Minute)
			f.out = putVarint(f.out, int64(w.Offset))
			f.out = append(f.out, byte(w.Precision))
		}
	case reading:
		if f.take(n) {
			w.Minute = f.varint()
			off := f.varint()
			w.Offset, w.Precision = int16(off), Precision(f.byte())
			if f.err == nil && (off < -1440 || off > 1440 || w.Precision < ToMinute || w.Precision > ToDay) {
				f.fail("a time that can't be")
			}
		}
	case listing:
		if *w != (When{}) {
			f.obj.set(name, w.Time().Format("2006-01-02T15:04-07:00"))
		}
	case filling: // corrections do not come from tables
	case seeing:
		f.see(Field{Name: f.path + name, Type: TypeText, Given: *w != (When{}), Text: w.Time().Format("2006-01-02T15:04-07:00")})
	}
}
