package words

import (
	"errors"
	"strings"

	"combline/internal/quantity"
)

// How says how a figure is known.
func (c *Catalogue) How(h quantity.How) string { return c.Say("how." + h.String()) }

// HowMark is the sign that stands beside a figure known in way h.
func (c *Catalogue) HowMark(h quantity.How) string { return c.Say("how.mark." + h.String()) }

// Verdict says whether a value keeps its limit.
func (c *Catalogue) Verdict(v quantity.Verdict) string {
	switch v {
	case quantity.Pass:
		return c.Say("verdict.pass")
	case quantity.Fail:
		return c.Say("verdict.fail")
	case quantity.TooClose:
		return c.Say("verdict.too-close")
	}
	return c.Say("verdict.unknown")
}

// List joins names: "D041, D042 and D043".
func (c *Catalogue) List(names []string) string {
	switch n := len(names); n {
	case 0:
		return c.Say("none")
	case 1:
		return names[0]
	default:
		return c.Say("list.last", "before", strings.Join(names[:n-1], ", "), "last", names[n-1])
	}
}

// Refusal makes the sentence for an error of [quantity.ParseFigure] or
// [quantity.ParseReading]; ok is false for any other error.
func (c *Catalogue) Refusal(err error) (text string, ok bool) {
	if errors.Is(err, quantity.ErrEmpty) {
		return c.Say("figure.empty"), true
	}
	var e *quantity.ParseError
	if !errors.As(err, &e) {
		return "", false
	}
	return c.Say(e.Key, "typed", e.Typed, "detail", e.Detail, "kind", Key(dimensionKey(e.Want)),
		"decimals", c.Figure(e.Readings[0]), "thousands", c.Figure(e.Readings[1]), "example", e.Example), true
}

// SlipQuestion asks back about a likely slip of [quantity.LikelySlip].
func (c *Catalogue) SlipQuestion(s quantity.Slip, typed, meant quantity.Gram) string {
	return c.Say("slip."+s.String(), "typed", typed, "meant", meant)
}
