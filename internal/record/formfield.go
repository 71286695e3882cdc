package record

import (
	"encoding/hex"
	"fmt"
	"strings"

	"combline/internal/quantity"
)

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
		f.see(Field{Name: f.path + name, Type: TypeWeight, Need: need, Given: w.Given(), Unit: unit, Weight: &w.Figure, Text: w.How.String()})
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
