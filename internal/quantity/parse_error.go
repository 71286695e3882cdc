package quantity

import (
	"errors"
	"fmt"
)

// ErrEmpty reports that nothing was typed: not given, which is not zero.
var ErrEmpty = errors.New("nothing was typed")

const keyEmpty = "figure.empty"

// Keys of a [ParseError]. Package words has a sentence for each.
const (
	KeyJunk        = "figure.junk"         // not a number
	KeyGrouping    = "figure.grouping"     // points, commas or spaces in odd places
	KeyAmbiguous   = "figure.ambiguous"    // 1,234: thousands or decimals
	KeyDecimals    = "figure.decimals"     // more than [MaxDecimals]
	KeySize        = "figure.size"         // more digits than the books hold
	KeyExponent    = "figure.exponent"     // 1e3
	KeySeveral     = "figure.several"      // more than one number
	KeyUnitUnknown = "figure.unit-unknown" // no such unit
	KeyUnitMissing = "figure.unit-missing" // a unit must be typed
	KeyUnitWrong   = "figure.unit-wrong"   // a unit of another kind
	KeyParts       = "figure.parts"        // 12.5 lb 3 oz, 12 lb 20 oz
	KeyDoubt       = "figure.doubt"        // what stands after ± is no doubt
)

// ParseErrorKeys lists every key that a [ParseError] can have.
func ParseErrorKeys() []string {
	return []string{KeyJunk, KeyGrouping, KeyAmbiguous, KeyDecimals, KeySize, KeyExponent, KeySeveral,
		KeyUnitUnknown, KeyUnitMissing, KeyUnitWrong, KeyParts, KeyDoubt}
}

// A ParseError says why a typed figure was refused. Its text is for developers;
// package words makes the sentence that people read.
type ParseError struct {
	Key      string    // stable
	Typed    string    // what was typed, shortened for showing
	Detail   string    // the unit or part that was not understood, if one was
	Want     Dimension // what was asked for; NoDimension: anything
	Readings [2]Figure // of [KeyAmbiguous]: with decimals, with thousands
	Example  Figure    // one that would be taken
}

func (e *ParseError) Error() string {
	s := fmt.Sprintf("%q: %s", e.Typed, reasons[e.Key])
	if e.Detail != "" {
		s += fmt.Sprintf(" (%q)", e.Detail)
	}
	if e.Key == KeyAmbiguous {
		s += fmt.Sprintf(": %v or %v", e.Readings[0], e.Readings[1])
	}
	return s + fmt.Sprintf("; type for example %v", e.Example)
}

var reasons = map[string]string{
	KeyJunk:        "not a number",
	KeyGrouping:    "the points, commas or spaces do not make a number",
	KeyAmbiguous:   "could be decimals or thousands",
	KeyDecimals:    fmt.Sprintf("more than %d decimals", MaxDecimals),
	KeySize:        "more digits than the books hold",
	KeyExponent:    "an exponent; write the number out",
	KeySeveral:     "more than one number",
	KeyUnitUnknown: "unknown unit",
	KeyUnitMissing: "a unit is needed",
	KeyUnitWrong:   "a unit of another kind than asked for",
	KeyParts:       "the second number must be less than one of the first, and the first whole",
	KeyDoubt:       "what stands after ± must be a number above 0",
}

// example is a figure that the field would take.
func example(w Want) Figure {
	u := w.Unit
	if !u.Known() {
		u = typical[w.dimension()]
	}
	switch u.Dimension() {
	case Count:
		return Figure{Mantissa: 12, Unit: u}
	case Index:
		return Figure{Mantissa: 14915, Decimals: 4, Unit: u}
	case Conductivity, Optical, Activity:
		return Figure{Mantissa: 55, Decimals: 2, Unit: u}
	}
	return Figure{Mantissa: 125, Decimals: 1, Unit: u}
}

var typical = [...]Unit{NoDimension: KgUnit, Mass: KgUnit, Temperature: DegC, Fraction: Pct, Concentration: MgPerKg,
	Conductivity: MSPerCM, Length: MM, Enzyme: Schade, Count: Each, CountPerMass: PerGram, Volume: Litre,
	Duration: Hour, Acidity: MeqPerKg, Index: RefIndex, Sugar: Brix, Optical: Absorbance, Energy: KWh,
	Currency: Money, Power: KW, Rotation: RPM, Torque: NewtonMetre, Activity: WaterActivity, PH: PHUnit}
