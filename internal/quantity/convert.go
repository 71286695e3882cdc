package quantity

import (
	"fmt"
	"math/big"
)

// In returns the figure's number in unit u of the same dimension, for a model.
// A litre is not a kilogram here: that needs a density.
func (f Figure) In(u Unit) (float64, error) {
	if err := f.Check(); err != nil || !f.Given() || f.Unit.Dimension() != u.Dimension() {
		return 0, fmt.Errorf("%v is not a figure in %v", f, u)
	}
	if u == f.Unit {
		return f.Float(), nil
	}
	if u.Dimension() == Temperature {
		return f.temperature(u)
	}
	return f.step(u)
}

func (f Figure) temperature(u Unit) (float64, error) {
	t, err := f.Celsius()
	switch u {
	case DegF:
		return t.Fahrenheit(), err
	case KelvinUnit:
		return float64(t.Kelvin()), err
	}
	return float64(t), err
}

// step converts a difference: 2 °F of doubt are 1.11 °C.
func (f Figure) step(u Unit) (float64, error) {
	from, to := f.Unit.def(), u.def()
	if from.dim != to.dim {
		return 0, fmt.Errorf("%v is not a figure in %v", f, u)
	}
	if from.dim == Temperature {
		return f.Float() * degree(f.Unit) / degree(u), nil
	}
	return f.Float() * float64(from.num) * float64(to.den) / (float64(from.den) * float64(to.num)), nil
}

// degree is the size of a unit's degree in kelvin.
func degree(u Unit) float64 {
	if u == DegF {
		return 1 / 1.8
	}
	return 1
}

// In gives m in a unit of mass with so many decimals, halves away from zero, in
// integer arithmetic. It is for printing: the books keep m.
func (m Gram) In(u Unit, decimals uint8) Figure { return massIn(int64(m), 1, u, decimals) }

// In gives m in a unit of mass with so many decimals, halves away from zero.
func (m Milligram) In(u Unit, decimals uint8) Figure { return massIn(int64(m), 1000, u, decimals) }

// massIn rounds n/per grams to a figure in u. A unit that is no mass, or a
// number past 63 bits, gives no figure.
func massIn(n, per int64, u Unit, decimals uint8) Figure {
	d := u.def()
	if d.dim != Mass || decimals > MaxDecimals {
		return Figure{}
	}
	num := new(big.Int).Mul(big.NewInt(n), big.NewInt(d.den))
	num.Mul(num, big.NewInt(pow10i[decimals]))
	den := new(big.Int).Mul(big.NewInt(d.num), big.NewInt(per))
	q := roundQuo(num, den)
	f := Figure{Mantissa: q.Int64(), Decimals: decimals, Unit: u}
	if !q.IsInt64() || f.Check() != nil {
		return Figure{}
	}
	return f
}

// roundQuo divides with halves away from zero; den is positive.
func roundQuo(num, den *big.Int) *big.Int {
	n := new(big.Int).Lsh(num, 1)
	if n.Sign() < 0 {
		n.Sub(n, den)
	} else {
		n.Add(n, den)
	}
	return n.Quo(n, new(big.Int).Lsh(den, 1))
}
