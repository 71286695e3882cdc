package words

import (
	"math"
	"strconv"
	"strings"

	"combline/internal/quantity"
)

// The decimal sign goes by the person. Thousands are parted by a narrow no-break
// space in every language, so that no figure can be misread by someone used to
// another sign (SI Brochure, 9th edition, 5.4.4: groups of three digits with a
// space, neither points nor commas).
const (
	thin    = "\u202f" // between thousands
	noBreak = "\u00a0" // between number and unit
	minus   = "−"
)

// local writes a number with a decimal point the person's way.
func (c *Catalogue) local(s string) string {
	s, negative := strings.CutPrefix(s, "-")
	whole, frac, hasFrac := strings.Cut(s, ".")
	s = group(whole)
	if hasFrac {
		s += map[bool]string{true: ",", false: "."}[c.style.Decimal == quantity.DecimalComma] + frac
	}
	if negative && strings.Trim(whole+frac, "0") != "" { // no minus on a rounded 0
		s = minus + s
	}
	return c.plain(s)
}

func group(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + thin + digits[i:]
	}
	return digits
}

// plain takes out what a terminal may not show, where the style asks for it.
func (c *Catalogue) plain(s string) string {
	if !c.style.Plain {
		return s
	}
	return plainSigns.Replace(s)
}

var plainSigns = strings.NewReplacer(thin, " ", noBreak, " ", minus, "-", "–", "-")

// Count prints a whole number.
func (c *Catalogue) Count(n int64) string { return c.local(strconv.FormatInt(n, 10)) }

// Number prints v with so many decimals, halves away from zero as the books
// round; what is not a number is not known.
func (c *Catalogue) Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return c.Say("unknown")
	}
	if p := math.Pow10(decimals); math.Abs(v)*p < 1<<52 {
		v = math.Round(v*p) / p
	}
	return c.local(strconv.FormatFloat(v, 'f', decimals, 64))
}

// Band prints "17.1–17.5"; a band that goes below 0 has a word between.
func (c *Catalogue) Band(low, high float64, decimals int) string {
	l, h := c.Number(low, decimals), c.Number(high, decimals)
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return c.Say("unknown")
	case low < 0 || high < 0:
		return c.Say("band.signed", "low", l, "high", h)
	}
	return c.plain(l + "–" + h)
}

// Doubt prints a value with its 9 in 10 band: "17.3 % (17.1–17.5)".
func (c *Catalogue) Doubt(u quantity.Uncertain, decimals int, unit quantity.Unit) string {
	if !u.Known() {
		return c.Say("unknown")
	}
	low, high := u.Band9in10()
	return c.With(u.Value, decimals, unit) + " (" + c.Band(low, high, decimals) + ")"
}

// Shares prints each part's percentage of the whole, rounded by largest
// remainder so that they add up to 100.
func (c *Catalogue) Shares(parts []quantity.Gram, decimals uint8) ([]string, error) {
	whole := int64(math.Pow10(int(decimals))) * 100
	rounded, err := quantity.Apportion(whole, parts)
	if err != nil {
		return nil, err
	}
	out := make([]string, len(rounded))
	for i, n := range rounded {
		out[i] = c.Figure(quantity.Figure{Mantissa: n, Decimals: decimals, Unit: quantity.Pct})
	}
	return out, nil
}
