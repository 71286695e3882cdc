package honey

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// ErrOutOfRange is wrapped by every refusal of a figure that a model was not
// made for.
var ErrOutOfRange = errors.New("out of range")

// An Input names the figure that was refused.
type Input string

const (
	InputIndex       Input = "refractive index at 20 °C"
	InputBrix        Input = "Brix"
	InputWater       Input = "water %"
	InputTemperature Input = "temperature °C"
	InputHumidity    Input = "air humidity %"
	InputDays        Input = "days"
	InputMinutes     Input = "minutes"
	InputFactor      Input = "factor"
	InputHMF         Input = "HMF mg/kg"
	InputViscosity   Input = "viscosity Pa·s"
	InputDensity     Input = "density kg/m³"
	InputYeast       Input = "yeast count per g"
	InputCrystals    Input = "crystals %"
	InputPfund       Input = "colour mm Pfund"
	InputOD          Input = "optical density at 560 nm"
	InputA635        Input = "absorbance at 635 nm"
	InputGlucose     Input = "glucose %"
	InputFructose    Input = "fructose %"
	InputMaltose     Input = "maltose %"
	InputMass        Input = "mass kg"
	InputDoubt       Input = "standard uncertainty"
	InputGrams       Input = "g per 100 g"
	InputConductor   Input = "thermal conductivity W/(m·K)"
)

// A Hint guesses what slip made a figure fall outside its range.
type Hint string

const (
	NoHint             Hint = ""
	LooksLikeFraction  Hint = "a fraction"             // 0.18 for 18 %
	LooksLikeSolids    Hint = "solids, not water"      // 82 for 18 %
	LooksFahrenheit    Hint = "degrees Fahrenheit"     // 95 for 35 °C
	LooksKelvin        Hint = "kelvin"                 // 308 for 35 °C
	LooksWithoutPoint  Hint = "a missing point"        // 14915 for 1.4915
	LooksWithoutTheOne Hint = "a missing 1 in front"   // 0.4915 for 1.4915
	LooksLikePoise     Hint = "poise or millipascal-s" // 2500 for 2.5 Pa·s
)

// A RangeError says which figure lies outside which range, both ends included.
// Meant is the figure that Hint suggests.
type RangeError struct {
	Input            Input
	Value, Low, High float64
	Hint             Hint
	Meant            float64
}

func (e *RangeError) Unwrap() error { return ErrOutOfRange }

func (e *RangeError) Error() string {
	if math.IsNaN(e.Value) {
		return fmt.Sprintf("%s is not a number; the range is %s to %s", e.Input, digits(e.Low), digits(e.High))
	}
	value := digits(e.Value)
	if value == digits(e.Low) || value == digits(e.High) {
		value = strconv.FormatFloat(e.Value, 'g', -1, 64) // just outside: 60.0000001, not 60
	}
	s := fmt.Sprintf("%s %s is outside %s to %s", e.Input, value, digits(e.Low), digits(e.High))
	if e.Hint != NoHint {
		s += fmt.Sprintf("; %s looks like %s: %s?", value, e.Hint, digits(e.Meant))
	}
	return s
}

func digits(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// within is written so that NaN fails.
func within(x, low, high float64) bool { return low <= x && x <= high }

// outside makes the error; it is kept out of the models so that a figure in
// range costs no more than two comparisons.
func outside(in Input, x, low, high float64) error {
	e := &RangeError{Input: in, Value: x, Low: low, High: high}
	for _, g := range guesses(in, x) {
		if within(g.meant, low, high) {
			e.Hint, e.Meant = g.hint, g.meant
			break
		}
	}
	return e
}

type guess struct {
	hint  Hint
	meant float64
}

// guesses lists the usual slips of each input, the likeliest first.
func guesses(in Input, x float64) []guess {
	switch in {
	case InputWater:
		return []guess{{LooksLikeFraction, tidy(100 * x)}, {LooksLikeSolids, tidy(100 - x)}}
	case InputHumidity, InputCrystals, InputGlucose, InputFructose:
		if 0 < x && x < 1 {
			return []guess{{LooksLikeFraction, tidy(100 * x)}}
		}
	case InputTemperature:
		return []guess{{LooksFahrenheit, tidy((x - 32) / 1.8)}, {LooksKelvin, tidy(x - 273.15)}}
	case InputIndex:
		return []guess{{LooksWithoutPoint, tidy(x / 1e4)}, {LooksWithoutTheOne, tidy(x + 1)}}
	case InputViscosity:
		return []guess{{LooksLikePoise, tidy(x / 10)}, {LooksLikePoise, tidy(x / 1000)}}
	}
	return nil
}

// tidy drops the last bits that a unit conversion leaves, so 0.18 means 18.
func tidy(x float64) float64 { return math.Round(x*1e6) / 1e6 }
