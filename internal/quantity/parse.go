package quantity

import (
	"strings"
	"unicode/utf8"
)

// A NumberStyle says which sign a person uses before the decimals.
type NumberStyle uint8

const (
	EitherSign   NumberStyle = iota // not known: "1,234" is asked back
	DecimalPoint                    // 1,234.5
	DecimalComma                    // 1.234,5
)

// A Want says what figure a field asks for. Its zero takes any figure that has
// a unit.
type Want struct {
	Dim      Dimension   // a unit of another dimension is refused; NoDimension: that of Unit
	Unit     Unit        // taken when none is typed; NoUnit: a unit must be typed
	Style    NumberStyle // the person's
	Currency string      // the house's sign for Money, such as "€"
}

// dimension is the dimension that the figure must have, if any.
func (w Want) dimension() Dimension {
	if w.Dim == NoDimension {
		return w.Unit.Dimension()
	}
	return w.Dim
}

// longest is the most that a typed figure may have, in bytes.
const longest = 80

// ParseFigure reads a figure as people type it: "290", "290,5kg", "1 234.5 g",
// "5 °C", "12 lb 5 oz". It keeps the digits as typed, trailing zeros too. A sign
// is taken; callers refuse what may not be negative. Nothing typed is
// [ErrEmpty], which is not given, never zero; anything else that is refused is
// a [*ParseError].
func ParseFigure(text string, w Want) (Figure, error) {
	f, key, detail := parse(text, w)
	switch key {
	case "":
		return f, nil
	case keyEmpty:
		return Figure{}, ErrEmpty
	}
	return Figure{}, &ParseError{Key: key, Typed: clip(text), Want: w.dimension(),
		Detail: clip(detail.text), Readings: detail.readings, Example: example(w)}
}

// detail is what a refusal has to say beside its key.
type detail struct {
	text     string
	readings [2]Figure
}

// parse returns the figure, or the key of a refusal and its detail.
func parse(text string, w Want) (Figure, string, detail) {
	s, negative, key := trim(text, w.Currency)
	if key != "" {
		return Figure{}, key, detail{}
	}
	number, name := cut(s)
	if number == "" {
		return Figure{}, KeyJunk, detail{}
	}
	if f, key, ok := compound(s, w); ok {
		return f.signed(negative), key, detail{}
	}
	if key := oneUnit(name); key != "" {
		return Figure{}, key, detail{text: name}
	}
	unit, key := unitNamed(name, w)
	if key != "" {
		return Figure{}, key, detail{text: name}
	}
	n := typedNumber{text: number, style: w.Style, small: unit.readsSmall()}
	f, other, key := n.figure(unit)
	d := detail{}
	if key == KeyAmbiguous {
		d.readings = [2]Figure{f.signed(negative), other.signed(negative)}
	}
	return f.signed(negative), key, d
}

// trim takes white space, the sign and the house's currency off a typed figure.
func trim(text, currency string) (s string, negative bool, key string) {
	s = strings.TrimSpace(text)
	switch {
	case s == "":
		return "", false, keyEmpty
	case len(s) > longest || !utf8.ValidString(s):
		return "", false, KeyJunk
	}
	for _, sign := range []string{"-", "−", "+"} {
		if rest, ok := strings.CutPrefix(s, sign); ok {
			s, negative = strings.TrimLeft(rest, " "), sign != "+"
			break
		}
	}
	if currency != "" {
		s = strings.TrimLeft(strings.TrimPrefix(s, currency), " ")
	}
	return s, negative, ""
}

// cut splits what was typed after the last digit of its first number.
func cut(s string) (number, rest string) {
	end := 0
	for i, r := range s {
		if isDigit(r) {
			end = i + 1
		} else if !isDecimalSign(r) && !isGroupSign(r) {
			break
		}
	}
	if end == 0 || isGroupSign(firstRune(s)) {
		return "", s
	}
	return s[:end], strings.TrimSpace(s[end:])
}

func firstRune(s string) rune { r, _ := utf8.DecodeRuneInString(s); return r }

func (f Figure) signed(negative bool) Figure {
	if negative {
		f.Mantissa = -f.Mantissa
	}
	return f
}

// clip shortens what was typed so that a message can show it.
func clip(s string) string {
	const most = 40
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			return '?'
		}
		return r
	}, strings.TrimSpace(s))
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
