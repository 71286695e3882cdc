package reckon

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"combline/internal/quantity"
	"combline/internal/words"
)

// set reads what was typed for an input: an empty cell is not given.
func (q *Query) set(i int, typed []byte, style quantity.NumberStyle) error {
	typed = bytes.TrimSpace(typed)
	in := &q.subject.Inputs[i]
	q.in[i] = value{column: true}
	if len(typed) == 0 {
		return nil
	}
	v, err := in.read(typed, style)
	if err != nil {
		return &cellError{in.Name, err}
	}
	v.column, v.given = true, true
	q.in[i] = v
	return nil
}

// A cellError says what is wrong with what was typed for an input. It is worded only
// when it is shown: a table may have a million of them.
type cellError struct {
	name string
	err  error
}

func (e *cellError) Error() string { return e.name + ": " + e.err.Error() }

func (e *cellError) Unwrap() error { return e.err }

func (i *Input) read(typed []byte, style quantity.NumberStyle) (value, error) {
	switch i.Kind {
	case Word, Truth:
		for _, w := range i.Words {
			if w == string(typed) || strings.EqualFold(w, string(typed)) {
				return value{word: w}, nil
			}
		}
		return value{}, fmt.Errorf("%s is none of %s", quoted(string(typed)), strings.Join(i.Words, ", "))
	case Text, File:
		return value{word: string(typed)}, nil
	}
	x, err := i.figure(typed, style)
	if err == nil && i.Kind == Count && (x != math.Trunc(x) || math.Abs(x) > 1e9) {
		return value{}, fmt.Errorf("%s is not a whole number up to a thousand million", quoted(string(typed)))
	}
	return value{number: x}, err
}

// figure reads a number, with or without a unit of the input's kind.
func (i *Input) figure(typed []byte, style quantity.NumberStyle) (float64, error) {
	if x, ok := bare(typed, style); ok {
		return x, nil
	}
	if style == quantity.DecimalComma && bytes.IndexByte(typed, ',') < 0 {
		style = quantity.EitherSign // "1.4915" in such a table: a slip, but a clear one
	}
	f, err := quantity.ParseFigure(string(typed), quantity.Want{Unit: i.Unit, Style: style})
	if err != nil {
		return 0, err
	}
	return f.In(i.Unit)
}

// bare reads the usual case fast: digits with the table's decimal sign, no unit.
// It is stricter than strconv, which would take NaN, Inf and hexadecimals.
func bare(typed []byte, style quantity.NumberStyle) (float64, bool) {
	var room [32]byte
	if len(typed) > len(room) {
		return 0, false
	}
	s := room[:copy(room[:], typed)]
	for k, c := range s {
		switch {
		case '0' <= c && c <= '9', c == '-', c == '+', c == 'e', c == 'E':
		case c == ',' && style == quantity.DecimalComma:
			s[k] = '.'
		case c == '.' && style != quantity.DecimalComma:
		default:
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(string(s), 64)
	return x, err == nil && !math.IsInf(x, 0)
}

// sentence words an error for people. English is the language of the commands; its
// texts are read once, for a table may have a million bad rows.
func (q *Query) sentence(err error) string {
	var cell *cellError
	var p *quantity.ParseError
	if !errors.As(err, &cell) || !errors.As(cell.err, &p) {
		return plain(err)
	}
	if q.words == nil {
		c, cerr := english()
		if cerr != nil {
			return plain(err)
		}
		q.words = c
	}
	s, ok := q.words.Refusal(p)
	if !ok {
		return plain(err)
	}
	return cell.name + ": " + strings.TrimSuffix(s, ".")
}

func english() (*words.Catalogue, error) {
	c, err := words.For(words.English)
	if err != nil {
		return nil, err
	}
	s := c.Style()
	s.Plain = true
	return c.In(s), nil
}

func quoted(s string) string {
	const longest = 40
	if r := []rune(s); len(r) > longest {
		s = string(r[:longest]) + "…"
	}
	return "“" + s + "”"
}
