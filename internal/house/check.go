package house

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Draft is a batch of facts as somebody wants to write them down.
type Draft struct {
	Key       record.Key
	Person    record.Code
	Device    record.Code
	When      record.When
	Facts     []record.Fact
	Confirmed []string // the questions answered with yes, by their ID
	Shown     []Shown  // what the form showed, to ask again when it changed
	Stamps    []Stamp  // by fact, where they differ from When and Person: rows of a table
}

// A Stamp is when a fact of a draft happened and who wrote it down.
type Stamp struct {
	When   record.When
	Person record.Code
}

// Stamp is that of the draft's i-th fact.
func (d *Draft) Stamp(i int) Stamp {
	if i >= len(d.Stamps) {
		return Stamp{d.When, d.Person}
	}
	return d.Stamps[i]
}

// Shown is a content as a form showed it when somebody began to type.
type Shown struct {
	Code    record.Code
	Content record.Code
}

// Check decides whether the house takes the facts of a draft, now being the house's
// clock. It changes nothing. The error is a [*Refusal], or [Asks] that are open.
//
// What happened is not refused. Refused are only: a number used before, a thing that
// is not there, what can't be meant (a weight below zero, a day to come), a missing
// reason, and pouring honey on hold without role and reason.
func (s *State) Check(d *Draft, now record.When) error {
	if len(d.Facts) == 0 {
		return &Refusal{Key: "refused.nothing", Next: "next.type-again"}
	}
	c := &check{s: s, d: d, now: now, fresh: map[string]record.Entity{}}
	c.shown()
	for i, f := range d.Facts {
		c.time(d.Stamp(i).When)
		if c.fact(f); c.err != nil {
			return c.err
		}
	}
	if len(c.asks) > 0 {
		return c.asks
	}
	return nil
}

// CheckEach is [State.Check] fact by fact: what is wrong with each, nil where nothing
// is. A fact sees what those before it name.
func (s *State) CheckEach(d *Draft, now record.When) []error {
	errs := make([]error, len(d.Facts))
	c := &check{s: s, d: d, now: now, fresh: map[string]record.Entity{}}
	for i, f := range d.Facts {
		c.err, c.asks = nil, nil
		c.time(d.Stamp(i).When)
		c.fact(f)
		if errs[i] = c.err; c.err == nil && len(c.asks) > 0 {
			errs[i] = c.asks
		}
	}
	return errs
}

const (
	toCome   = 2          // minutes that two clocks may differ
	earliest = 10_519_200 // 1990-01-01, in minutes since 1970: before that it is a slip
)

type check struct {
	s     *State
	d     *Draft
	now   record.When
	fresh map[string]record.Entity // named by earlier facts of the draft
	asks  Asks
	err   error
	held  Held
	at    record.When // when the fact that is checked happened
	past  bool        // what is checked happened before what vessels hold now
}

func (c *check) refuse(key, next string, args answer.Args) {
	if c.err == nil {
		c.err = &Refusal{Key: key, Args: args, Next: next}
	}
}

// inField are the arguments of a refusal that is about one field: its label, and its
// column in a table.
func inField(name string, args answer.Args) answer.Args {
	args["field"], args["column"] = answer.Key(record.FieldKey(name)), name
	return args
}

// ask puts a question, unless it was answered with yes.
func (c *check) ask(key string, args answer.Args) {
	id := key + argText(args)
	if !slices.Contains(c.d.Confirmed, id) {
		c.asks = append(c.asks, Ask{ID: id, Key: key, Args: args})
	}
}

// time refuses what is yet to come, and what is too long ago to be meant.
func (c *check) time(when record.When) {
	c.at = when
	switch {
	case when.Minute > c.now.Minute+toCome || when.Precision == 0:
		c.refuse("refused.time-to-come", "next.check-date", answer.Args{"when": when, "now": c.now})
	case when.Minute < earliest:
		c.refuse("refused.time-too-old", "next.check-date", answer.Args{"when": when})
	}
}

// shown asks again when a content changed since a form showed it.
func (c *check) shown() {
	for _, sh := range c.d.Shown {
		n, _, ok := c.s.contentOf(sh.Code)
		now := record.Code("")
		if ok {
			now = c.s.ContentID(n)
		}
		if now != sh.Content {
			c.ask("ask.changed-meanwhile", answer.Args{"what": sh.Code, "was": sh.Content, "now": now})
		}
	}
}

// ContentID names a content and what has happened to it: a form sends back the one
// that it showed.
func (s *State) ContentID(n trace.Node) record.Code {
	if n == 0 {
		return ""
	}
	return record.Code(fmt.Sprintf("%s@%d", s.NodeCode(n), n))
}

func (c *check) fact(f record.Fact) {
	if c.complete(f); c.err != nil {
		return
	}
	record.Visit(f, func(x record.Field) { c.field(f, x) })
	if c.err == nil {
		c.rules(f)
	}
}

// complete refuses a fact that lacks what it can't be without.
func (c *check) complete(f record.Fact) {
	if miss := record.Missing(f); len(miss) > 0 {
		var cell *record.CellError
		errors.As(miss[0], &cell)
		c.refuse("refused.missing", "next.type-again", inField(cell.Column, answer.Args{"kind": answer.Key(f.Kind().Key())}))
	}
}

// field checks one field for what can't be meant.
func (c *check) field(f record.Fact, x record.Field) {
	if !x.Given {
		return
	}
	switch x.Type {
	case record.TypeNew:
		c.newCode(*x.Codes[0], x.Of[0])
	case record.TypeRef:
		for _, code := range x.Codes {
			c.refCode(*code, x)
		}
	case record.TypeWeight, record.TypeFigure:
		negative := x.Weight.Mantissa < 0
		if negative && (x.Type == record.TypeWeight || x.Weight.Unit.Dimension() != quantity.Temperature) && f.Kind() != record.KindFillerAdjusted && f.Kind() != record.KindSettingChanged {
			c.refuse("refused.below-zero", "next.type-again", inField(x.Name, answer.Args{"figure": *x.Weight}))
		}
		c.inRange(x)
	case record.TypeCount:
		if strings.HasPrefix(x.Text, "-") {
			c.refuse("refused.below-zero", "next.type-again", inField(x.Name, answer.Args{"figure": x.Text}))
		}
	}
}

// what a figure of a kind can be at all, to catch a slipped point or a wrong field
func (c *check) inRange(x record.Field) {
	v := x.Weight.Float()
	bad := false
	switch x.Weight.Unit {
	case quantity.Pct:
		bad = v > 100
	case quantity.DegC:
		bad = v < -60 || v > 300
	case quantity.DegF:
		bad = v < -80 || v > 600
	}
	if x.Type == record.TypeWeight {
		g, err := x.Weight.Grams()
		bad = err != nil || g > 100_000_000 // 100 t
	}
	if bad {
		c.refuse("refused.out-of-range", "next.type-again", inField(x.Name, answer.Args{"figure": *x.Weight}))
	}
}

func (c *check) newCode(code record.Code, kind record.Entity) {
	if err := code.Valid(); err != nil {
		c.refuse("refused.code", "next.other-number", answer.Args{"code": string(code)})
		return
	}
	if t, ok := c.s.Find(code); ok {
		x := &c.s.things[t]
		c.refuse("refused.number-used", "next.other-number", answer.Args{"code": code, "kind": answer.Key(x.kind.Key()), "fact": int64(x.born)})
		return
	}
	if _, ok := c.s.byFillingNumber(code); ok {
		c.refuse("refused.number-used", "next.other-number", answer.Args{"code": code, "kind": answer.Key(record.Filling.Key()), "fact": int64(0)})
		return
	}
	if _, ok := c.fresh[code.Fold()]; ok {
		c.refuse("refused.number-twice", "next.other-number", answer.Args{"code": code})
		return
	}
	c.fresh[code.Fold()] = kind
}

func (c *check) refCode(code record.Code, x record.Field) {
	kind, ok := c.fresh[code.Fold()]
	if !ok {
		var t Thing
		if _, isFilling := c.s.byFillingNumber(code); isFilling {
			kind, ok = record.Filling, true
		} else if t, ok = c.s.Find(code); ok {
			kind = c.s.things[t].kind
			if c.s.things[t].retired {
				c.refuse("refused.number-struck", "next.other-number", answer.Args{"code": code})
				return
			}
		}
	}
	if !ok {
		if near := c.s.Near(code, x.Of); len(near) > 0 {
			c.refuse("refused.not-there", "next.name-it-first", inField(x.Name, answer.Args{"code": code, "near": near}))
			return
		}
		c.refuse("refused.not-known", "next.name-it-first", inField(x.Name, answer.Args{"code": code}))
		return
	}
	if !slices.Contains(x.Of, kind) {
		c.refuse("refused.wrong-kind", "next.type-again", inField(x.Name, answer.Args{"code": code, "kind": answer.Key(kind.Key())}))
	}
}

// Near lists codes of the kinds that end with what was typed: "41" may be D041.
// No code at all gives none.
func (s *State) Near(typed record.Code, of []record.Entity) []record.Code {
	key := typed.Fold()
	if key == "" {
		return nil
	}
	var all []record.Code
	for t := 1; t < len(s.things) && len(all) < 8; t++ {
		x := &s.things[t]
		if !x.retired && (len(of) == 0 || slices.Contains(of, x.kind)) && strings.HasSuffix(x.code.Fold(), key) {
			all = append(all, x.code)
		}
	}
	return all
}

func argText(args answer.Args) string {
	var b strings.Builder
	for _, k := range slices.Sorted(maps.Keys(args)) {
		fmt.Fprintf(&b, "/%s=%v", k, args[k])
	}
	return b.String()
}
