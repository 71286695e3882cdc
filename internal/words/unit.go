package words

import (
	"math"

	"combline/internal/quantity"
)

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
