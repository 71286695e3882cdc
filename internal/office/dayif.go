package office

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/record"
)

// An IfKind is something that is supposed and not recorded.
type IfKind string

// What may be supposed.
const (
	IfOrder    IfKind = "order"  // another order: "5000 summer 340 2026-09-25"
	IfSold     IfKind = "sold"   // drums sold: "D020,D021"
	IfFailed   IfKind = "failed" // drums whose result failed
	IfBroken   IfKind = "broken" // a machine, tank or room out of use: "jar filler 2026-09-21..2026-09-23"
	IfPowerOff IfKind = "off"    // no power: "2026-09-15T13:00..2026-09-15T17:00"
	IfPeople   IfKind = "people" // so many people for packing: "6"
	IfLate     IfKind = "late"   // a material comes later: "JAR340 2026-11-05"
)

// MostUnits is how many of a product can be asked for at once.
const MostUnits = 100_000_000

// An If is one thing supposed.
type If struct {
	Kind     IfKind
	Text     string // as it was typed
	Codes    []record.Code
	Of       record.Code // product, machine, material
	Units    int64
	From, To time.Time
	Day      record.Day
	Soon     bool // an order that is packed as soon as it can be
}

// ParseIf reads what is supposed as people type it: kind and what, with = between.
func ParseIf(text string, at time.Time) (i If, err error) {
	kind, rest, ok := strings.Cut(text, "=")
	i = If{Kind: IfKind(strings.ToLower(strings.TrimSpace(kind))), Text: strings.TrimSpace(text)}
	rest = strings.TrimSpace(rest)
	wrong := func() (If, error) {
		return i, &BlendWrong{Key: "plan.if-wrong", Args: answer.Args{"typed": text}, Next: "next.type-again"}
	}
	if !ok || rest == "" {
		return wrong()
	}
	words := strings.Fields(rest)
	last := words[len(words)-1]
	head := strings.TrimSpace(strings.TrimSuffix(rest, last))
	switch i.Kind {
	case IfSold, IfFailed:
		for _, c := range ParseCodes(rest) {
			if !slices.ContainsFunc(i.Codes, func(k record.Code) bool { return k.Fold() == c.Fold() }) {
				i.Codes = append(i.Codes, c)
			}
		}
		ok = len(i.Codes) > 0
	case IfOrder:
		number, product, two := strings.Cut(head, " ")
		i.Units, err = strconv.ParseInt(number, 10, 64)
		i.Of = record.Code(strings.TrimSpace(product))
		i.Day, ok = dayTyped(last)
		ok = ok && two && err == nil && i.Units > 0 && i.Units <= MostUnits && i.Of != ""
	case IfBroken:
		i.Of = record.Code(head)
		i.From, i.To, ok = spanTyped(last, at)
		ok = ok && head != ""
	case IfPowerOff:
		i.From, i.To, ok = spanTyped(last, at)
		ok = ok && head == ""
	case IfPeople:
		i.Units, err = strconv.ParseInt(rest, 10, 64)
		ok = err == nil && i.Units >= 0 && i.Units <= 1000
	case IfLate:
		i.Of = record.Code(head)
		i.Day, ok = dayTyped(last)
		ok = ok && head != ""
	default:
		ok = false
	}
	if !ok {
		return wrong()
	}
	return i, nil
}

func dayTyped(text string) (record.Day, bool) {
	t, err := time.Parse(time.DateOnly, text)
	return record.DayOf(t), err == nil
}

// spanTyped reads "2026-09-21..2026-09-23", days from their start to their end, or times
// as "2026-09-15T13:00..2026-09-15T17:00"; one day alone is that day.
func spanTyped(text string, at time.Time) (from, to time.Time, ok bool) {
	a, b, two := strings.Cut(text, "..")
	if !two {
		b = a
	}
	one := func(s string, end bool) (time.Time, bool) {
		if t, err := time.ParseInLocation("2006-01-02T15:04", s, at.Location()); err == nil {
			return t, true
		}
		t, err := time.ParseInLocation(time.DateOnly, s, at.Location())
		if end {
			t = t.AddDate(0, 0, 1)
		}
		return t, err == nil
	}
	from, ok1 := one(a, false)
	to, ok2 := one(b, true)
	return from, to, ok1 && ok2 && to.After(from) && to.Sub(from) <= 60*24*time.Hour
}

// supposing is the house with what is supposed folded into a copy, so that nothing is
// recorded. Codes are written as the house has them.
func (v *View) supposing(ifs []If, at time.Time) (*View, []If, error) {
	if len(ifs) == 0 {
		return v, nil, nil
	}
	all := make([]If, len(ifs))
	for n, i := range ifs {
		switch i.Kind {
		case IfSold, IfFailed:
			w, err := v.without(i.Codes)
			if err != nil {
				return nil, nil, err
			}
			v = w
		case IfOrder:
			p, ok := v.State.Goods.Product(i.Of)
			if !ok {
				return nil, nil, notKnown("product", i.Of)
			}
			i.Of = p.Product
			code := v.FreeCode("IF-1")
			i.Codes = []record.Code{code}
			w := &View{State: v.State.Clone(), line: v.line, log: v.log}
			w.State.Fold(&record.Entry{Seq: v.Facts() + 1, Parts: 1, When: record.When{Minute: v.State.Latest, Precision: record.ToMinute},
				Fact: &record.OrderTaken{Order: code, Customer: "?", Due: i.Day, Lines: []record.OrderLine{{Product: i.Of, Units: i.Units}}}})
			v = w
			if i.Day < record.DayOf(at) {
				return nil, nil, &BlendWrong{Key: "plan.if-past", Args: answer.Args{"day": i.Day, "today": record.DayOf(at)}, Next: "next.check-date"}
			}
		case IfBroken, IfLate:
			field, kinds := "machine", []record.Entity{record.Machine, record.Vessel, record.Place}
			if i.Kind == IfLate {
				field, kinds = "material", []record.Entity{record.Material}
			}
			t, ok := v.State.Find(i.Of)
			if !ok || !slices.Contains(kinds, v.State.KindOf(t)) {
				return nil, nil, notKnown(field, i.Of)
			}
			i.Of = v.State.Code(t)
		}
		all[n] = i
	}
	return v, all, nil
}

// Line says what is supposed.
func (i If) Line() answer.Line {
	args := answer.Args{}
	switch i.Kind {
	case IfSold, IfFailed:
		args["of"] = i.Codes
	case IfOrder:
		args["n"], args["product"], args["due"], args["order"] = i.Units, i.Of, i.Day, orNil(one(i.Codes))
	case IfBroken:
		args["of"], args["from"], args["to"] = i.Of, record.At(i.From), record.At(i.To)
	case IfPowerOff:
		args["from"], args["to"] = record.At(i.From), record.At(i.To)
	case IfPeople:
		args["n"] = i.Units
	case IfLate:
		args["of"], args["day"] = i.Of, i.Day
	}
	return answer.Line{Key: fmt.Sprintf("plan.if.%s", i.Kind), Args: args, Mark: answer.Care}
}

func one(all []record.Code) record.Code {
	if len(all) == 0 {
		return ""
	}
	return all[0]
}
