package web

import (
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

// A receipt says on the page after a form what was written down, what is odd about it,
// and offers to take it back.
type receipt struct {
	Text    string
	Lines   []answerLine
	Undo    string // address of the undo; empty when it was taken back or is one itself
	Undone  bool
	History string
	Key     string
	Last    string
}

// An answerLine is a sentence with how it is to be seen.
type answerLine struct {
	Class, Icon, Text string
}

func (v *visit) line(l answer.Line) answerLine {
	class := markClass(l.Mark)
	return answerLine{Class: class, Icon: chipIcons[class], Text: v.sentence(l)}
}

// markClass is the class in the stylesheet for a mark.
func markClass(m answer.Mark) string {
	switch m {
	case answer.Good:
		return "ok"
	case answer.Care:
		return "watch"
	case answer.Bad:
		return "stop"
	}
	return ""
}

// receipt is what the page before just recorded, if it did.
func (v *visit) receipt() *receipt {
	first, last, ok := firstLast(v.r.URL.Query().Get("saved"))
	if !ok {
		return nil
	}
	var r *receipt
	var flags []answer.Line
	v.s.office.Read(func(h *office.View) {
		if last > h.Facts() {
			return
		}
		var said []kindOften
		r = &receipt{Key: newKey(), Last: strconv.FormatUint(last, 10)}
		for seq := first; seq <= last; seq++ {
			e, err := h.Fact(seq)
			if err != nil {
				continue
			}
			if n := len(said); n > 0 && said[n-1].kind == e.Fact.Kind() {
				said[n-1].n++
			} else {
				said = append(said, kindOften{e.Fact.Kind(), 1})
			}
			switch e.Fact.(type) {
			case *record.Struck, *record.Amended:
				r.Undone = true
			}
			if _, corrected := h.Corrected(seq); corrected {
				r.Undone = true
			}
		}
		r.Text = v.kindsText(said)
		flags = h.FlagsOf(first, last)
	})
	if r == nil {
		return nil
	}
	r.Text = v.say("page.receipt.saved", "what", r.Text, "n", int64(first))
	for _, l := range flags {
		r.Lines = append(r.Lines, v.line(l))
	}
	if !r.Undone {
		r.Undo = link("/undo", "facts", v.r.URL.Query().Get("saved"), "back", v.r.URL.Path+"?of="+v.r.URL.Query().Get("of"))
	}
	return r
}

// A kindOften is a kind of entry, so many times in a row.
type kindOften struct {
	kind record.Kind
	n    int
}

func (v *visit) kindsText(said []kindOften) string {
	var all []string
	for _, k := range said {
		text := v.say(k.kind.Key())
		if k.n > 1 {
			text = v.c.Number(float64(k.n), 0) + " × " + text
		}
		all = append(all, text)
	}
	return strings.Join(all, " · ")
}
