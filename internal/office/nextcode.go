package office

import (
	"fmt"
	"strconv"
	"strings"

	"combline/internal/record"
)

// NextCode proposes a number for a new thing of a kind: the one after the last that
// was given, or first when none was; one that nothing bears yet.
func (v *View) NextCode(kind record.Entity, first record.Code) record.Code {
	code := first
	if things := v.State.OfKind(kind); len(things) > 0 {
		code = after(v.State.Code(things[len(things)-1]))
	}
	for {
		if _, used := v.State.Find(code); !used {
			return code
		}
		code = after(code)
	}
}

// after counts the digits at a code's end up by one: H-09 is followed by H-10.
func after(c record.Code) record.Code {
	s := string(c)
	head := strings.TrimRight(s, "0123456789")
	digits := s[len(head):]
	const most = 15 // digits that are a count
	n, err := strconv.ParseInt(digits, 10, 64)
	if err != nil || len(digits) > most {
		return c + "-2"
	}
	return record.Code(fmt.Sprintf("%s%0*d", head, len(digits), n+1))
}
