package quantity

import (
	"errors"
	"math"
	"strings"
)

// A Reading is a figure with its doubt as typed: "17.3 ± 0.2 %". Both keep their
// digits. Without a doubt PlusMinus is not given.
type Reading struct {
	Figure    Figure
	PlusMinus Figure // in a unit of the figure's dimension; % of another figure: relative
	Coverage  Figure // how many standard uncertainties PlusMinus is, a count; not given: two
}

// ParseReading reads a figure with or without a doubt, as [ParseFigure] does.
// "17.3 ± 0.2 %" and "17.3 % ± 0.2" are the same; "0.52 mS/cm ± 3 %" is relative;
// a doubt is two standard uncertainties unless "(k=1)" or another k from 1 to 4
// follows, as on many lab sheets.
func ParseReading(text string, w Want) (Reading, error) {
	value, doubt, found := splitDoubt(text)
	if !found {
		f, err := ParseFigure(text, w)
		return Reading{Figure: f}, err
	}
	doubt, k, hasK := strings.Cut(strings.TrimSuffix(strings.TrimSpace(doubt), ")"), "(")
	r := Reading{}
	var err error
	if r.Figure, err = ParseFigure(value, w.orUnitOf(value, doubt)); err == nil {
		r.PlusMinus, err = parseDoubt(doubt, r.Figure.Unit, w.Style)
	}
	if err == nil && hasK {
		r.Coverage, err = parseCoverage(k, w.Style)
	}
	var refused *ParseError
	switch {
	case errors.As(err, &refused):
		refused.Typed = clip(text)
		return Reading{}, refused
	case err != nil || !r.fits():
		return Reading{}, &ParseError{Key: KeyDoubt, Typed: clip(text), Want: w.dimension(),
			Detail: clip(doubt), Example: example(w)}
	}
	return r, nil
}

// splitDoubt parts a reading at its ±, in any way that it is typed.
func splitDoubt(text string) (value, doubt string, found bool) {
	for _, sign := range []string{"±", "+/-", "+/−", "+-"} {
		if value, doubt, found = strings.Cut(text, sign); found {
			return value, doubt, true
		}
	}
	return text, "", false
}

// orUnitOf takes the doubt's unit for a value that was typed without one.
func (w Want) orUnitOf(value, doubt string) Want {
	_, own := cut(strings.TrimSpace(value))
	_, name := cut(strings.TrimSpace(doubt))
	if u, key := unitNamed(name, w); own == "" && key == "" {
		w.Unit = u
	}
	return w
}

// parseDoubt reads what follows the ± of a value in unit u.
func parseDoubt(doubt string, u Unit, style NumberStyle) (Figure, error) {
	f, err := ParseFigure(doubt, Want{Unit: u, Style: style})
	var refused *ParseError
	if errors.As(err, &refused) && refused.Key == KeyUnitWrong {
		if rel, e := ParseFigure(doubt, Want{Unit: Pct, Style: style}); e == nil {
			return rel, nil
		}
	}
	return f, err
}

func parseCoverage(k string, style NumberStyle) (Figure, error) {
	k = strings.ToLower(strings.ReplaceAll(k, " ", ""))
	return ParseFigure(strings.TrimPrefix(k, "k="), Want{Unit: Each, Style: style})
}

// fits reports whether the doubt is above 0 and its coverage between 1 and 4.
func (r Reading) fits() bool {
	c := r.coverage()
	return r.PlusMinus.Mantissa > 0 && 1 <= c && c <= 4
}

func (r Reading) coverage() float64 {
	if !r.Coverage.Given() {
		return 2
	}
	return r.Coverage.Float()
}

// In returns the reading in unit u with its own doubt, for a model. A reading
// typed without a doubt has none here: the instrument's is the model's to add.
func (r Reading) In(u Unit) (Uncertain, error) {
	v, err := r.Figure.In(u)
	if err != nil || !r.PlusMinus.Given() {
		return Uncertain{Value: v}, err
	}
	pm := r.PlusMinus
	if pm.Unit == Pct && r.Figure.Unit != Pct {
		return Uncertain{Value: v, Own: math.Abs(v) * pm.Float() / 100 / r.coverage()}, nil
	}
	width, err := pm.step(u)
	return Uncertain{Value: v, Own: width / r.coverage()}, err
}
