package office

import (
	"fmt"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/record"
)

// NextCode proposes a number for a new thing of a kind: the one after the highest that
// was ever given in the house's usual manner, or first when none was; one that nothing
// bears yet. After a restore it passes over as many as may be painted on drums
// without being in the record.
func (v *View) NextCode(kind record.Entity, first record.Code) record.Code {
	code, given := first, uint64(0)
	if usual, ok := v.lastUsual(kind); ok {
		code = after(usual)
		if last, fact, ok := v.State.LastNumber(head(usual)); ok {
			code, given = after(last), fact
		}
	}
	return v.FreeCode(v.pastLost(code, given))
}

// pastLost counts a number up by the facts that a restore lost after another fact:
// each may have given one.
func (v *View) pastLost(code record.Code, given uint64) record.Code {
	for _, l := range v.State.LostRanges() {
		if uint64(l.First) > given {
			for n := l.First; n <= l.Last && code != ""; n++ {
				code = after(code)
			}
		}
	}
	return code
}

// NextNumber answers which number comes next of those that begin alike, as D or S-:
// the one after the highest that was ever given, also to what was struck out.
func (o *Office) NextNumber(head string) (a answer.Answer) {
	o.Read(func(v *View) { a = v.NextNumber(head) })
	return a
}

// NextNumber is [Office.NextNumber] on a view.
func (v *View) NextNumber(head string) answer.Answer {
	a := answer.Answer{Question: "next", Of: record.Code(head)}
	last, fact, ok := v.State.LastNumber(head)
	if !ok {
		a.Cannot = &answer.Line{Key: "next-number.none", Args: answer.Args{"head": head}}
		return a
	}
	plain := after(last)
	code := v.FreeCode(v.pastLost(plain, fact))
	a.Say("next-number.is", answer.Args{"code": code})
	a.Say("next-number.last", answer.Args{"last": last, "fact": int64(fact)})
	if code != plain {
		a.Warn("next-number.lost", answer.Args{"from": plain, "code": code})
	}
	return a
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
