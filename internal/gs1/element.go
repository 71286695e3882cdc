package gs1

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Separator ends a value of variable length where another follows: FNC1, which a
// reader sends as the control character 29.
const Separator = "\x1d"

// An Element is one identifier with its value, checked.
type Element struct {
	Code, Value string
}

// Elements are what one code carries, in its order.
type Elements []Element

// prefixes are what a reader may send before the data: the symbology's own name.
var prefixes = []string{"]C1", "]d2", "]Q3", "]e0", "]J1"}

// Parse reads an element string as a reader sends it (FNC1 as character 29, or as
// <GS>), or as it is printed, with each identifier in round brackets, and checks it.
func Parse(s string) (Elements, error) {
	for _, p := range prefixes {
		s = strings.TrimPrefix(s, p)
	}
	s = strings.ReplaceAll(s, "<GS>", Separator)
	if s = strings.TrimPrefix(s, Separator); s == "" {
		return nil, fmt.Errorf("the code is empty")
	}
	if len(s) > 400 {
		return nil, fmt.Errorf("the code has %d characters; a label's has at most some 90", len(s))
	}
	read := plain
	if s[0] == '(' {
		read = bracketed
	}
	es, err := read(s)
	if err != nil {
		return nil, err
	}
	return es, es.Check()
}

func plain(s string) (es Elements, err error) {
	for s != "" {
		id, rest, err := identify(s)
		if err != nil {
			return es, err
		}
		value, after, ended := strings.Cut(rest, Separator)
		if !id.fixed() {
			es, s = append(es, Element{id.Code, value}), after
			continue
		}
		n := 0
		for _, p := range id.parts {
			n += p.max
		}
		if len(value) < n {
			return es, fmt.Errorf("%s %s: %q ends too early, want %d characters", id.Code, id.Title, value, n)
		}
		es, s = append(es, Element{id.Code, value[:n]}), rest[n:]
		if ended {
			s = strings.TrimPrefix(s, Separator) // allowed where it is not needed
		}
	}
	return es, nil
}

func bracketed(s string) (es Elements, err error) {
	for s != "" {
		code, rest, ok := strings.Cut(strings.TrimPrefix(s, "("), ")")
		if s[0] != '(' || !ok {
			return es, fmt.Errorf("%q: an identifier must stand in round brackets", clip(s, 8))
		}
		id, left, err := identify(code)
		if err != nil {
			return es, err
		}
		if left != "" {
			return es, fmt.Errorf("%q is no identifier that is known here", code)
		}
		end := nextBracket(rest)
		es, s = append(es, Element{id.Code, rest[:end]}), rest[end:]
	}
	return es, nil
}

// nextBracket finds where a known identifier in brackets begins; a lone bracket may be
// part of a lot.
func nextBracket(s string) int {
	for i := range len(s) {
		if s[i] != '(' {
			continue
		}
		code, _, ok := strings.Cut(s[i+1:], ")")
		if _, rest, err := identify(code); ok && err == nil && rest == "" {
			return i
		}
	}
	return len(s)
}

// Check holds every value to its form, and the elements to each other.
func (es Elements) Check() error {
	if len(es) == 0 {
		return fmt.Errorf("the code is empty")
	}
	for i, e := range es {
		id, rest, err := identify(e.Code)
		if err != nil {
			return err
		}
		if rest != "" {
			return fmt.Errorf("%q is no identifier that is known here", e.Code)
		}
		if err := id.verify(e.Value); err != nil {
			return err
		}
		if j := slices.IndexFunc(es[:i], func(o Element) bool { return family(o.Code) == family(e.Code) }); j >= 0 && es[j] != e {
			return fmt.Errorf("%s stands twice, as %q and %q", e.Code, es[j].Value, e.Value)
		}
		for _, bar := range id.bars {
			if es.has(bar) {
				return fmt.Errorf("%s and %s exclude each other", e.Code, bar)
			}
		}
	}
	return es.complete()
}

// complete finds an element that says nothing without another.
func (es Elements) complete() error {
	for _, e := range es {
		id, _, err := identify(e.Code)
		if err != nil {
			return err
		}
		if len(id.needs) > 0 && !slices.ContainsFunc(id.needs, es.hasAll) {
			return fmt.Errorf("%s %s says nothing without %s", e.Code, id.Title, alternatives(id.needs))
		}
	}
	return nil
}

// family is what may stand once only: 3100 and 3103 both are the net weight.
func family(code string) string {
	if len(code) == 4 && (code[:3] == "310" || code[:3] == "320" || code[:3] == "330") {
		return code[:3]
	}
	return code
}

func (es Elements) has(code string) bool {
	return slices.ContainsFunc(es, func(e Element) bool { return e.Code == code })
}

func (es Elements) hasAll(codes []string) bool {
	return !slices.ContainsFunc(codes, func(c string) bool { return !es.has(c) })
}

func alternatives(sets [][]string) string {
	var words []string
	for _, s := range sets {
		words = append(words, strings.Join(s, " and "))
	}
	return strings.Join(words, " or ")
}

// Value gives the value of an identifier, or "".
func (es Elements) Value(code string) string {
	for _, e := range es {
		if e.Code == code {
			return e.Value
		}
	}
	return ""
}

// String writes the elements as a code carries them, with the separator only where one
// is needed.
func (es Elements) String() string {
	var b strings.Builder
	for i, e := range es {
		b.WriteString(e.Code + e.Value)
		if id, _, err := identify(e.Code); i < len(es)-1 && (err != nil || !id.fixed()) {
			b.WriteString(Separator)
		}
	}
	return b.String()
}

// Print writes the elements as they stand under a code.
func (es Elements) Print() string {
	var b strings.Builder
	for _, e := range es {
		b.WriteString("(" + e.Code + ")" + e.Value)
	}
	return b.String()
}

// Grams gives the net weight of 310n in grams; false if there is none or if it has
// parts of a gram.
func (es Elements) Grams() (int64, bool) {
	for _, e := range es {
		if len(e.Code) != 4 || e.Code[:3] != "310" {
			continue
		}
		var n int64
		for _, d := range e.Value {
			n = n*10 + int64(d-'0')
		}
		for decimals := int(e.Code[3] - '0'); decimals != 3; {
			if decimals > 3 {
				if n%10 != 0 {
					return 0, false
				}
				n, decimals = n/10, decimals-1
				continue
			}
			n, decimals = n*10, decimals+1
		}
		return n, true
	}
	return 0, false
}

// Kilograms makes the net weight of 310n, in grams exactly: at most 999,999 g.
func Kilograms(grams int64) (Element, error) {
	if grams <= 0 || grams > 999_999 {
		return Element{}, fmt.Errorf("%d g can't stand in a code as kilograms with three decimals: 1 to 999999", grams)
	}
	return Element{"3103", fmt.Sprintf("%06d", grams)}, nil
}

// Day reads YYMMDD beside a year that is known to be near: the century in which the
// year lies at most 49 years before and 50 after. Day 00 is the month's last.
// Source: GS1 General Specifications, section 7.12 (memory).
func Day(s string, year int) (time.Time, error) {
	if err := (part{min: 6, max: 6, check: dateOrEnd}).verify(s); err != nil {
		return time.Time{}, err
	}
	y := year - year%100 + int(s[0]-'0')*10 + int(s[1]-'0')
	switch {
	case y-year > 50:
		y -= 100
	case year-y > 49:
		y += 100
	}
	month, d := time.Month(int(s[2]-'0')*10+int(s[3]-'0')), int(s[4]-'0')*10+int(s[5]-'0')
	if d == 0 {
		month, d = month+1, 0 // the day before the first of the next
	}
	return time.Date(y, month, d, 0, 0, 0, 0, time.UTC), nil
}
