package words

import (
	"errors"
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
	return strings.NewReplacer(thin, " ", noBreak, " ", minus, "-", "–", "-").Replace(s)
}

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

// With prints v with so many decimals and its unit.
func (c *Catalogue) With(v float64, decimals int, u quantity.Unit) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return c.Say("unknown")
	}
	return c.joined(c.Number(v, decimals), u)
}

// joined puts a unit behind a number.
func (c *Catalogue) joined(number string, u quantity.Unit) string {
	switch symbol := c.Unit(u); {
	case symbol == "":
		return number
	case u == quantity.PerGram:
		return number + symbol
	default:
		return c.plain(number + noBreak + symbol)
	}
}

// Unit is the symbol of u as printed behind a number; a plain count and a
// refractive index have none.
func (c *Catalogue) Unit(u quantity.Unit) string {
	switch u {
	case quantity.NoUnit, quantity.Each, quantity.RefIndex, quantity.WaterActivity, quantity.PHUnit:
		return ""
	case quantity.Money:
		return c.style.Currency
	}
	key := "unit." + u.String()
	if u == quantity.GallonUK {
		key = "unit.gal-uk" // its sign has a space
	}
	if c.Has(key) {
		return c.Say(key)
	}
	return u.String()
}

// Figure prints a figure with the digits and the unit that were typed.
func (c *Catalogue) Figure(f quantity.Figure) string {
	switch f.Unit {
	case quantity.NoUnit:
		return c.Say("not-given")
	case quantity.Day:
		f.Unit = quantity.Each
		return c.Say("duration.days", "n", f)
	}
	return c.joined(c.local(f.Digits()), f.Unit)
}

// Mass prints a bookkept mass in the person's unit: 290.4 kg, or 640.2 lb; under
// one kilogram or pound in g or oz.
func (c *Catalogue) Mass(m quantity.Gram) string {
	whole, part, least := quantity.KgUnit, m.In(quantity.G, 0), quantity.Gram(1000)
	if c.massUnit() == quantity.Lb {
		whole, part, least = quantity.Lb, m.In(quantity.Oz, 1), 454
	}
	if m != 0 && -least < m && m < least {
		return c.Figure(part)
	}
	return c.Figure(m.In(whole, 1))
}

// MassTo prints a mass in kg or lb with so many decimals, for a column.
func (c *Catalogue) MassTo(m quantity.Gram, decimals uint8) string {
	return c.Figure(m.In(c.massUnit(), decimals))
}

func (c *Catalogue) massUnit() quantity.Unit {
	if c.style.Mass == quantity.Lb {
		return quantity.Lb
	}
	return quantity.KgUnit
}

// JarMass prints the mass of a jar: 340.9 g, or 12.02 oz.
func (c *Catalogue) JarMass(m quantity.Milligram) string {
	if c.style.Mass == quantity.Lb {
		return c.Figure(m.In(quantity.Oz, 2))
	}
	return c.Figure(m.In(quantity.G, 1))
}

// Temp prints a temperature in the person's degrees.
func (c *Catalogue) Temp(t quantity.Celsius, decimals int) string {
	if c.style.Temp == quantity.DegF {
		return c.With(t.Fahrenheit(), decimals, quantity.DegF)
	}
	return c.With(float64(t), decimals, quantity.DegC)
}

// TempStep prints a difference of temperatures in the person's degrees.
func (c *Catalogue) TempStep(d quantity.Celsius, decimals int) string {
	if c.style.Temp == quantity.DegF {
		return c.With(float64(d)*1.8, decimals, quantity.DegF)
	}
	return c.With(float64(d), decimals, quantity.DegC)
}

// Percent prints a share of 100.
func (c *Catalogue) Percent(p quantity.Percent, decimals int) string {
	return c.With(float64(p), decimals, quantity.Pct)
}

// Money prints a sum with the house's currency.
func (c *Catalogue) Money(m quantity.MoneyCents) string {
	return c.Figure(quantity.Figure{Mantissa: int64(m), Decimals: 2, Unit: quantity.Money})
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

// SlipQuestion asks back about a likely slip; m is what was typed.
func (c *Catalogue) SlipQuestion(s quantity.Slip, typed, meant quantity.Gram) string {
	return c.Say("slip."+s.String(), "typed", typed, "meant", meant)
}
