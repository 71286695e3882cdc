// Package cost says what a kilogram, jar, run or season cost, what is over when it is
// sold, and what a supplier is owed. Sums are exact: quantities are the books' own
// integers, prices the figures as they were typed, and nothing is rounded but what is
// printed. What is not known is never taken as nothing: a sum without it says so.
package cost

import (
	"errors"
	"fmt"
	"math/big"

	"combline/internal/quantity"
)

// ErrNotUsable is wrapped by every figure that can't be reckoned with.
var ErrNotUsable = errors.New("not usable")

// Money is an exact sum of the house's currency. The zero Money is nothing at all owed;
// what is not known is not Money.
type Money struct{ r *big.Rat }

// Price is a typed sum as money.
func Price(f quantity.Figure) (Money, error) {
	r, err := exact(f, quantity.Money)
	return Money{r}, err
}

// Crowns is whole units of the currency.
func Crowns(n int64) Money { return Money{new(big.Rat).SetInt64(n)} }

func (m Money) rat() *big.Rat {
	if m.r == nil {
		return new(big.Rat)
	}
	return m.r
}

// Plus is m and n together.
func (m Money) Plus(n Money) Money { return Money{new(big.Rat).Add(m.rat(), n.rat())} }

// Minus is what is over of m without n.
func (m Money) Minus(n Money) Money { return Money{new(big.Rat).Sub(m.rat(), n.rat())} }

// Times is n times m.
func (m Money) Times(n int64) Money { return m.by(new(big.Rat).SetInt64(n)) }

// Pieces is what so many cost, part of one too.
func (m Money) Pieces(n *big.Rat) Money { return m.by(n) }

// Kilograms is what a mass costs at m a kilogram.
func (m Money) Kilograms(g quantity.Gram) Money { return m.by(big.NewRat(int64(g), 1000)) }

// Share is m's per cent as f says, 60 % of it.
func (m Money) Share(f quantity.Figure) (Money, error) {
	r, err := percent(f)
	if err != nil {
		return Money{}, err
	}
	return m.by(r), nil
}

// Over is m for each of n; false where n is nothing.
func (m Money) Over(n int64) (Money, bool) {
	if n <= 0 {
		return Money{}, false
	}
	return m.by(big.NewRat(1, n)), true
}

// PerKg is m for each kilogram of a mass; false where there is none.
func (m Money) PerKg(g quantity.Gram) (Money, bool) {
	if g <= 0 {
		return Money{}, false
	}
	return m.by(big.NewRat(1000, int64(g))), true
}

// PerHour is m for each of so many hours; false where there are none.
func (m Money) PerHour(hours *big.Rat) (Money, bool) {
	if hours == nil || hours.Sign() <= 0 {
		return Money{}, false
	}
	return m.by(new(big.Rat).Inv(hours)), true
}

func (m Money) by(r *big.Rat) Money { return Money{new(big.Rat).Mul(m.rat(), r)} }

// Cmp is -1, 0 or 1 as m is less than n, the same or more.
func (m Money) Cmp(n Money) int { return m.rat().Cmp(n.rat()) }

// Float is for doubts and charts, never for the books.
func (m Money) Float() float64 {
	f, _ := m.rat().Float64()
	return f
}

// Rounded is m with so many decimals, halves away from zero; with fewer where the sum
// has more digits than a figure holds.
func (m Money) Rounded(decimals uint8) quantity.Figure {
	for d := int(decimals); d >= 0; d-- {
		ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(d)), nil)
		n := roundQuo(new(big.Int).Mul(m.rat().Num(), ten), m.rat().Denom())
		if n.IsInt64() {
			return quantity.Figure{Mantissa: n.Int64(), Decimals: uint8(d), Unit: quantity.Money}
		}
	}
	return quantity.Figure{}
}

// Printed is m as it stands on paper with so many decimals, to work on from: a sheet of
// which a person checks the lines by hand goes on from what it says.
func (m Money) Printed(decimals uint8) Money {
	p, err := Price(m.Rounded(decimals))
	if err != nil {
		return m
	}
	return p
}

// roundQuo is num/den to the next whole number, halves away from zero; den is above 0.
func roundQuo(num, den *big.Int) *big.Int {
	q := new(big.Int).Abs(num)
	q.Lsh(q, 1).Add(q, den).Quo(q, new(big.Int).Lsh(den, 1))
	if num.Sign() < 0 {
		q.Neg(q)
	}
	return q
}

// exact is a figure as the number that was typed, refused in another unit.
func exact(f quantity.Figure, want quantity.Unit) (*big.Rat, error) {
	if err := f.Check(); err != nil || f.Unit != want {
		return nil, fmt.Errorf("figure %s, want one in %s: %w", f, want, ErrNotUsable)
	}
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(f.Decimals)), nil)
	return new(big.Rat).SetFrac(big.NewInt(f.Mantissa), ten), nil
}

// percent is a figure's share of one; a count stands for per cent where no sign was typed.
func percent(f quantity.Figure) (*big.Rat, error) {
	if f.Unit == quantity.Each {
		f.Unit = quantity.Pct
	}
	r, err := exact(f, quantity.Pct)
	if err != nil {
		return nil, err
	}
	return r.Mul(r, big.NewRat(1, 100)), nil
}

// hours is a duration in hours, exactly.
func hours(f quantity.Figure) (*big.Rat, error) {
	per := map[quantity.Unit]*big.Rat{quantity.Minute: big.NewRat(1, 60), quantity.Hour: big.NewRat(1, 1), quantity.Day: big.NewRat(24, 1), quantity.Each: big.NewRat(1, 1)}[f.Unit]
	if per == nil {
		return nil, fmt.Errorf("figure %s, want hours: %w", f, ErrNotUsable)
	}
	r, err := exact(f, f.Unit)
	if err != nil {
		return nil, err
	}
	return r.Mul(r, per), nil
}
