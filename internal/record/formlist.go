package record

import "fmt"

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
