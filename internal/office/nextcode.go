package office

import (
	"fmt"
	"strconv"
	"strings"

	"combline/internal/record"
)

// NextCode proposes a number for a new thing of a kind: the one after the last that
// was given in the house's usual manner, or first when none was; one that nothing
// bears yet.
func (v *View) NextCode(kind record.Entity, first record.Code) record.Code {
	code := first
	if last, ok := v.lastUsual(kind); ok {
		code = after(last)
	}
	for {
		if _, used := v.State.Find(code); !used {
			return code
		}
		code = after(code)
	}
}

// lastUsual is the last number of a kind that begins as most of the last thirty do.
func (v *View) lastUsual(kind record.Entity) (code record.Code, ok bool) {
	const recent = 30
	things := v.State.OfKind(kind)
	things = things[max(0, len(things)-recent):]
	heads := map[string]int{}
	for _, t := range things {
		heads[head(v.State.Code(t))]++
	}
	best := 0
	for _, t := range things {
		if n := heads[head(v.State.Code(t))]; n >= best {
			best, code, ok = n, v.State.Code(t), true
		}
	}
	return code, ok
}

// head is a code without the digits at its end.
func head(c record.Code) string { return strings.TrimRight(string(c), "0123456789") }

// after counts the digits at a code's end up by one: H-09 is followed by H-10.
func after(c record.Code) record.Code {
	s := string(c)
	front := head(c)
	digits := s[len(front):]
	const most = 15 // digits that are a count
	n, err := strconv.ParseInt(digits, 10, 64)
	if err != nil || len(digits) > most {
		return c + "-2"
	}
	return record.Code(fmt.Sprintf("%s%0*d", front, len(digits), n+1))
}

// FreeCode is the first number from one on that nothing bears yet.
func (v *View) FreeCode(from record.Code) record.Code {
	for {
		if _, used := v.State.Find(from); !used {
			return from
		}
		from = after(from)
	}
}

// CodesFrom lists the numbers from the first to the last, both in it: S-001 to S-073.
// It is not ok when they do not count up to each other, or are more than most.
func CodesFrom(first, last record.Code, most int) (all []record.Code, ok bool) {
	for c := first; len(all) < most; c = after(c) {
		all = append(all, c)
		if c.Fold() == last.Fold() {
			return all, true
		}
		if len(c) > len(last) {
			break
		}
	}
	return nil, false
}
