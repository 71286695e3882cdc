package quantity

import "strings"

// spellings are the names of units that people type beside the printed symbols,
// in small letters. Where a name has two units the field's dimension decides;
// the first is taken where any will do.
var spellings = map[string][]Unit{
	"gram": {G}, "grams": {G}, "kilo": {KgUnit}, "kilos": {KgUnit}, "kgs": {KgUnit},
	"tonne": {T}, "tonnes": {T}, "lbs": {Lb}, "pound": {Lb}, "pounds": {Lb}, "ounce": {Oz}, "ounces": {Oz},
	"c": {DegC}, "f": {DegF}, "degc": {DegC}, "degf": {DegF},
	"pct": {Pct}, "g/100g": {Pct}, "ppm": {MgPerKg}, "us/cm": {MicroSPerCM}, "um": {Micrometre},
	"m": {Metre, Minute}, "mins": {Minute}, "hr": {Hour}, "hrs": {Hour}, "hour": {Hour}, "hours": {Hour},
	"day": {Day}, "days": {Day}, "sec": {Second}, "bx": {Brix}, "brix": {Brix}, "°brix": {Brix},
	"pcs": {Each}, "x": {Each}, "in": {Inch}, "gal us": {GallonUS}, "us gal": {GallonUS}, "uk gal": {GallonUK}, "gal uk": {GallonUK},
	"gramo": {G}, "gramos": {G}, "libra": {Lb}, "libras": {Lb}, "onza": {Oz}, "onzas": {Oz}, "hora": {Hour}, "horas": {Hour},
	"día": {Day}, "días": {Day}, "dia": {Day}, "dias": {Day}, "ud": {Each}, "uds": {Each}, "litro": {Litre}, "litros": {Litre},
	"gramy": {G}, "gramów": {G}, "funt": {Lb}, "funty": {Lb}, "funtów": {Lb}, "godz": {Hour}, "dzień": {Day}, "dni": {Day},
	"szt": {Each}, "litry": {Litre}, "litrów": {Litre}, "obr/min": {RPM},
	"liter": {Litre}, "liters": {Litre}, "litre": {Litre}, "litres": {Litre},
}

// alike writes the look-alikes on keyboards as the printed symbols have them.
var alike = strings.NewReplacer("º", "°", "˚", "°", "℃", "°C", "℉", "°F", "μ", "µ",
	"\u00a0", " ", "\u2007", " ", "\u2009", " ", "\u202f", " ")

// unitNamed finds the unit typed after a number, or the one to take when none
// was; the key says why there is none.
func unitNamed(name string, w Want) (Unit, string) {
	dim := w.dimension()
	name = tidy(name)
	switch {
	case name == "" && !w.Unit.Known():
		return NoUnit, KeyUnitMissing
	case name == "", name == "°" && dim == Temperature && w.Unit.Known():
		return w.Unit, ""
	case w.Currency != "" && name == w.Currency:
		name = Money.String()
	}
	named := unitsNamed(name)
	for _, u := range named {
		if dim == NoDimension || u.Dimension() == dim {
			return u, ""
		}
	}
	if len(named) > 0 {
		return NoUnit, KeyUnitWrong
	}
	return NoUnit, KeyUnitUnknown
}

func tidy(name string) string {
	name = strings.TrimSpace(alike.Replace(name))
	name = strings.TrimSpace(strings.TrimSuffix(name, ".")) // "5 min."
	for _, sign := range []string{"/", "°"} {
		name = strings.ReplaceAll(strings.ReplaceAll(name, " "+sign, sign), sign+" ", sign)
	}
	return strings.ReplaceAll(name, "100 g", "100g")
}

// unitsNamed finds units by symbol, by symbol in any letter case, then by
// spelling. A small k alone is not kelvin: it is as often meant as kilo.
func unitsNamed(name string) []Unit {
	low := strings.ToLower(name)
	for u := NoUnit + 1; u < unitCount; u++ {
		if name == u.String() && len(spellings[low]) == 0 {
			return []Unit{u}
		}
	}
	if named := spellings[low]; len(named) > 0 {
		return named
	}
	for u := NoUnit + 1; u < unitCount; u++ {
		if low == strings.ToLower(u.String()) && low != "k" {
			return []Unit{u}
		}
	}
	return nil
}

// oneUnit refuses a second number or an exponent where the unit stands.
func oneUnit(name string) string {
	if isDecimalSign(firstRune(name)) {
		return KeyGrouping // "5.": a digit is missing, or the point is too many
	}
	name = tidy(name)
	switch {
	case !strings.ContainsAny(name, "0123456789"), strings.EqualFold(name, "g/100g"):
		return ""
	case (name[0] == 'e' || name[0] == 'E') && strings.Trim(name[1:], "+-−0123456789") == "":
		return KeyExponent
	}
	return KeySeveral
}

// readsSmall reports whether readings in u stay far under a thousand, so that a
// single point or comma can only stand before decimals: 1,4915 or 1,491 is a
// refractive index either way.
func (u Unit) readsSmall() bool {
	if u == MicroSPerCM {
		return false
	}
	switch u.Dimension() {
	case Temperature, Fraction, Conductivity, Enzyme, Acidity, Index, Sugar, Optical, Activity, PH:
		return true
	}
	return false
}

// pairs are units that people type one after the other. The figure is kept in
// the smaller one, which is exact.
var pairs = [...]struct {
	large, small Unit
	each         int64
}{{Lb, Oz, 16}, {KgUnit, G, 1000}, {Day, Hour, 24}, {Hour, Minute, 60}}

// compound reads "12 lb 5 oz"; ok is false when the text has no such form.
func compound(s string, w Want) (f Figure, key string, ok bool) {
	first, rest := cut(s)
	at := strings.IndexFunc(rest, isDigit)
	if at <= 0 {
		return Figure{}, "", false
	}
	second, name := cut(rest[at:])
	for _, p := range pairs {
		if hasUnit(rest[:at], p.large) && hasUnit(name, p.small) {
			if d := w.dimension(); d != NoDimension && d != p.small.Dimension() {
				return Figure{}, KeyUnitWrong, true
			}
			f, key = join(first, second, p.small, p.each, w.Style)
			return f, key, true
		}
	}
	return Figure{}, "", false
}

func hasUnit(name string, u Unit) bool {
	for _, n := range unitsNamed(tidy(name)) {
		if n == u {
			return true
		}
	}
	return false
}

// join adds a whole count of the larger unit to a part of it.
func join(large, small string, u Unit, each int64, style NumberStyle) (Figure, string) {
	l, _, key := typedNumber{text: large, style: style}.figure(u)
	if key != "" {
		return Figure{}, key
	}
	s, _, key := typedNumber{text: small, style: style, small: true}.figure(u)
	if key != "" {
		return Figure{}, key
	}
	per := each * pow10i[s.Decimals]
	if l.Decimals != 0 || s.Mantissa >= per {
		return Figure{}, KeyParts
	}
	if l.Mantissa > (maxMantissa-s.Mantissa)/per {
		return Figure{}, KeySize
	}
	s.Mantissa += l.Mantissa * per
	return s, ""
}
