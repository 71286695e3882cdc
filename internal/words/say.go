package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"

	"combline/internal/quantity"
)

// Marker opens what stands in place of a text or an argument that is missing. A
// page that has it is wrong.
const Marker = "⟦"

// A Key as an argument stands for the text of that key.
type Key string

// Say gives the text for key. Arguments are pairs of a name and a value, or one
// map[string]any: Say("tank.overdrawn", "tank", id, "mass", m). Values print as
// [Catalogue.Text] has them.
func (c *Catalogue) Say(key string, args ...any) string {
	m, ok := c.messages[key]
	if !ok {
		return Marker + key + "⟧"
	}
	return c.fill(m, named(args))
}

// named gives the arguments by name.
func named(args []any) map[string]any {
	if len(args) == 1 {
		if byName, ok := args[0].(map[string]any); ok {
			return byName
		}
	}
	byName := make(map[string]any, len(args)/2)
	for i := 0; i+1 < len(args); i += 2 {
		byName[fmt.Sprint(args[i])] = args[i+1]
	}
	return byName
}

func (c *Catalogue) fill(m message, args map[string]any) string {
	var b strings.Builder
	for _, p := range m {
		v, given := args[p.arg]
		switch {
		case p.arg == "":
			b.WriteString(p.text)
		case !given:
			b.WriteString(Marker + p.arg + "⟧")
		case p.choices == nil:
			b.WriteString(c.Text(v))
		default:
			b.WriteString(c.fill(c.choose(p.choices, v), args))
		}
	}
	return b.String()
}

// choose takes the choice for v's word or plural form, else the last, other.
func (c *Catalogue) choose(choices []choice, v any) message {
	when := fmt.Sprint(v)
	switch v := v.(type) {
	case bool:
		when = map[bool]string{true: "yes", false: "no"}[v]
	default:
		if f, ok := number(v); ok {
			when = c.form(f)
		}
	}
	if i := slices.IndexFunc(choices, func(ch choice) bool { return ch.when == when }); i >= 0 {
		return choices[i].text
	}
	return choices[len(choices)-1].text
}

// form is the plural form of a number, by the Unicode CLDR plural rules. It goes
// by the digits as they are shown: 1 drum, but 1.0 litres.
func (c *Catalogue) form(f quantity.Figure) string {
	whole, frac, _ := strings.Cut(strings.TrimPrefix(f.Digits(), "-"), ".")
	short := strings.TrimRight(frac, "0")
	names := map[plural.Form]string{plural.One: "one", plural.Few: "few", plural.Many: "many"}
	if name, ok := names[plural.Cardinal.MatchPlural(c.tag, tail(whole), len(frac), len(short), tail(frac), tail(short))]; ok {
		return name
	}
	return "other"
}

// tail is the number of the last seven digits, which is all that rules look at;
// a longer one keeps a million, so that it is not taken for a small number.
func tail(digits string) int {
	const most = 7
	add := 0
	if len(digits) > most {
		digits, add = digits[len(digits)-most:], 10_000_000
	}
	n, _ := strconv.Atoi(digits) // nothing is 0
	return n + add
}

// number gives a count or figure that a plural can go by.
func number(v any) (quantity.Figure, bool) {
	switch v := v.(type) {
	case int:
		return quantity.Figure{Mantissa: int64(v), Unit: quantity.Each}, true
	case int64:
		return quantity.Figure{Mantissa: v, Unit: quantity.Each}, true
	case quantity.Figure:
		return v, v.Given()
	}
	return quantity.Figure{}, false
}

// Text prints a value in the language and style of c. Typed quantities bring
// their units and usual decimals; a bare number is a count.
func (c *Catalogue) Text(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case Key:
		return c.Say(string(v))
	case bool:
		return c.Say(map[bool]string{true: "yes", false: "no"}[v])
	case int:
		return c.Count(int64(v))
	case int64:
		return c.Count(v)
	case float64:
		return c.Number(v, 2)
	case []string:
		return c.List(v)
	case time.Time:
		return c.Date(v)
	case quantity.How:
		return c.How(v)
	case quantity.Verdict:
		return c.Verdict(v)
	}
	if s, ok := c.quantity(v); ok {
		return s
	}
	return fmt.Sprint(v) // names and codes
}

// quantity prints the types of package quantity.
func (c *Catalogue) quantity(v any) (string, bool) {
	switch v := v.(type) {
	case quantity.Figure:
		return c.Figure(v), true
	case quantity.Gram:
		return c.Mass(v), true
	case quantity.Milligram:
		return c.JarMass(v), true
	case quantity.Celsius:
		return c.Temp(v, 1), true
	case quantity.Kelvin:
		return c.Temp(v.Celsius(), 1), true
	case quantity.WaterPct:
		return c.Percent(quantity.Percent(v), 1), true
	case quantity.Percent:
		return c.Percent(v, 1), true
	case quantity.MgKg:
		return c.With(float64(v), 1, quantity.MgPerKg), true
	case quantity.DN:
		return c.With(float64(v), 1, quantity.Schade), true
	case quantity.PfundMM:
		return c.With(float64(v), 0, quantity.MM), true
	case quantity.MilliSCm:
		return c.With(float64(v), 2, quantity.MSPerCM), true
	case quantity.YeastPerG:
		return c.With(float64(v), 0, quantity.PerGram), true
	case quantity.Minutes:
		return c.Duration(v), true
	case quantity.Days:
		return c.Days(v), true
	case quantity.MoneyCents:
		return c.Money(v), true
	}
	return "", false
}
