package quantity

import (
	"fmt"
	"math"
	"math/big"
)

// A Figure is a number exactly as a person typed it or an instrument gave it:
// Mantissa / 10^Decimals in Unit. "17.30 %" is {1730, 2, Pct}: the digits that
// were written are kept, so a page can show them again and a model can see how
// finely they were read. The zero Figure is "not given", never the number 0
// (the number 0 has a unit).
type Figure struct {
	Mantissa int64
	Decimals uint8
	Unit     Unit
}

// MaxDecimals is the finest figure the books take.
const MaxDecimals = 9

const maxMantissa = math.MaxInt64

// Check refuses a figure that no parser makes: for decoders of stored bytes.
func (f Figure) Check() error {
	switch {
	case f == Figure{}:
		return nil
	case !f.Unit.Known():
		return fmt.Errorf("figure has unit number %d, which is not known", f.Unit)
	case f.Decimals > MaxDecimals:
		return fmt.Errorf("figure has %d decimals, more than %d", f.Decimals, MaxDecimals)
	case f.Mantissa == math.MinInt64:
		return fmt.Errorf("figure is below %d", -math.MaxInt64)
	}
	return nil
}

// Given reports whether there is a figure at all.
func (f Figure) Given() bool { return f.Unit != NoUnit }

// Float returns the figure's number in its own unit.
func (f Figure) Float() float64 { return float64(f.Mantissa) / pow10f[f.Decimals] }

var pow10f = [MaxDecimals + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}
var pow10i = [MaxDecimals + 1]int64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}

// Grams returns a mass to the whole gram, halves away from zero, in integer
// arithmetic only. The error names a figure that is not a mass or is too large.
func (f Figure) Grams() (Gram, error) {
	n, err := f.scaled(Mass, 1)
	return Gram(n), err
}

// Milligrams returns a mass to the whole milligram, halves away from zero.
func (f Figure) Milligrams() (Milligram, error) {
	n, err := f.scaled(Mass, 1000)
	return Milligram(n), err
}

// scaled returns the figure in the base unit of dim times per, rounded.
func (f Figure) scaled(dim Dimension, per int64) (int64, error) {
	d := f.Unit.def()
	if d.dim != dim {
		return 0, fmt.Errorf("%v is not a %v", f, dim)
	}
	if err := f.Check(); err != nil {
		return 0, err
	}
	// f × num/den × per / 10^decimals, fast where it fits in 63 bits
	num, den := d.num*per, d.den*pow10i[f.Decimals]
	if hi := abs(f.Mantissa); num == 1 || hi <= math.MaxInt64/num {
		return divRound(f.Mantissa*num, den), nil
	}
	p := roundQuo(new(big.Int).Mul(big.NewInt(f.Mantissa), big.NewInt(num)), big.NewInt(den))
	if !p.IsInt64() {
		return 0, fmt.Errorf("%v is more than the books can hold", f)
	}
	return p.Int64(), nil
}

// divRound divides with halves away from zero; d is positive.
func divRound(n, d int64) int64 {
	q, r := n/d, n%d
	if abs(r) >= d-abs(r) {
		if n < 0 {
			return q - 1
		}
		return q + 1
	}
	return q
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

// Celsius returns a temperature for a model.
func (f Figure) Celsius() (Celsius, error) {
	switch f.Unit {
	case DegC:
		return Celsius(f.Float()), nil
	case DegF:
		return Celsius((f.Float() - 32) / 1.8), nil
	case KelvinUnit:
		return Kelvin(f.Float()).Celsius(), nil
	}
	return 0, fmt.Errorf("%v is not a temperature", f)
}

// OfGrams is the figure of a mass known to the gram.
func OfGrams(m Gram) Figure { return Figure{Mantissa: int64(m), Unit: G} }
