package cost

import (
	"fmt"
	"math"
	"math/big"

	"combline/internal/quantity"
)

// A Basis is what a part of a cost rests on.
type Basis uint8

const (
	NotKnown Basis = iota // no amount; the whole can't be said
	Set                   // a price or a rate of the house times what was recorded or set
	Reckoned              // a model's figure is in it
	NotSet                // optional, and the house set nothing: the sum is without it
)

// A Kind is a part of what something cost.
type Kind uint8

const (
	Honey Kind = iota + 1
	Material
	Other // what no recipe names, such as a tamper strip
	Labour
	Energy
	Lab
	Overhead
)

var kindNames = []string{"", "honey", "material", "other", "labour", "energy", "lab", "overhead"}

func (k Kind) String() string { return kindNames[k] }

// A Part is one part of what something cost, with what it was worked out from. Amount
// counts only where Basis is [Set] or [Reckoned].
type Part struct {
	Kind   Kind
	Of     string // which material, delivery or lot
	Amount Money
	Basis  Basis
}

// Known reports whether the part has an amount.
func (p Part) Known() bool { return p.Basis == Set || p.Basis == Reckoned }

// A Sheet is the parts of what one thing cost.
type Sheet []Part

// Sum is the known parts together; whole is false when a part is not known, and then
// the sum is only what is known so far.
func (s Sheet) Sum() (sum Money, whole bool) {
	whole = len(s) > 0
	for _, p := range s {
		if p.Known() {
			sum = sum.Plus(p.Amount)
		}
		if p.Basis == NotKnown {
			whole = false
		}
	}
	return sum, whole
}

// Missing are the parts that are not known.
func (s Sheet) Missing() (all []Part) {
	for _, p := range s {
		if p.Basis == NotKnown {
			all = append(all, p)
		}
	}
	return all
}

// Of is the known parts of a kind together.
func (s Sheet) Of(k Kind) (sum Money) {
	for _, p := range s {
		if p.Kind == k && p.Known() {
			sum = sum.Plus(p.Amount)
		}
	}
	return sum
}

// Pieces is what n good pieces cost at a price each, with breakage on top:
//
//	n × price × (1 + breakage/100)
//
// Breakage is per cent of the good ones, as a house knows it from its runs. Exact.
func Pieces(n int64, each Money, breakage quantity.Figure) (Money, error) {
	if n < 0 {
		return Money{}, fmt.Errorf("%d pieces, want 0 or more: %w", n, ErrNotUsable)
	}
	sum := each.Times(n)
	if !breakage.Given() {
		return sum, nil
	}
	more, err := sum.Share(breakage)
	return sum.Plus(more), err
}

// Hours is people × (hours + setting up and cleaning), in person-hours. Exact.
func Hours(people int64, run, setUp quantity.Figure) (*big.Rat, error) {
	if people < 0 {
		return nil, fmt.Errorf("%d people, want 0 or more: %w", people, ErrNotUsable)
	}
	h, err := hours(run)
	if err != nil {
		return nil, err
	}
	if setUp.Given() {
		s, err := hours(setUp)
		if err != nil {
			return nil, err
		}
		h.Add(h, s)
	}
	return h.Mul(h, new(big.Rat).SetInt64(people)), nil
}

// Wages is what person-hours cost at a wage an hour. Exact.
func Wages(personHours *big.Rat, wage Money) Money { return wage.by(personHours) }

// Warming is what it cost to warm drums:
//
//	drums × kWh into each ÷ share of the heater's energy that ends in the honey × price of a kWh
//
// The share must be above 0 and at most 100 %. Exact.
func Warming(drums int64, each, gain quantity.Figure, price Money) (Money, error) {
	kwh, err := exact(each, quantity.KWh)
	if err != nil {
		return Money{}, err
	}
	share, err := percent(gain)
	if err != nil {
		return Money{}, err
	}
	if share.Sign() <= 0 || share.Cmp(big.NewRat(1, 1)) > 0 || drums < 0 || kwh.Sign() < 0 {
		return Money{}, fmt.Errorf("%d drums of %s at %s, want none below 0 and a share above 0 to 100 %%: %w", drums, each, gain, ErrNotUsable)
	}
	kwh.Mul(kwh, new(big.Rat).SetInt64(drums)).Quo(kwh, share)
	return price.by(kwh), nil
}

// Spread is a year's sum shared by kilograms:
//
//	sum × mass ÷ all the mass of the year
//
// false where there is no mass to share it by. Exact.
func Spread(year Money, mass, all quantity.Gram) (Money, bool) {
	if all <= 0 || mass < 0 {
		return Money{}, false
	}
	return year.by(big.NewRat(int64(mass), int64(all))), true
}

// An Overfill is honey above the label, or below it: then it is negative.
type Overfill struct {
	Each  quantity.Milligram // a unit, as it is printed
	Mass  quantity.Milligram
	Worth Money
}

// Above is what units hold above their label, and what that honey is worth. It works on
// from the mean as it is printed, to 0.1 g, under a label of 100 g to 0.01 g, so that a
// person can multiply it out by hand:
//
//	(mean − label) × units × price of a kilogram
func Above(label quantity.Milligram, filled quantity.Gram, units int64, perKg Money) (Overfill, error) {
	if label <= 0 || filled < 0 || units <= 0 {
		return Overfill{}, fmt.Errorf("label %d mg, %d g in %d units, want all above 0: %w", label, filled, units, ErrNotUsable)
	}
	step := int64(100)
	if label < 100_000 {
		step = 10
	}
	whole := new(big.Int).Mul(big.NewInt(int64(filled)), big.NewInt(1000))
	mean := roundQuo(whole, new(big.Int).Mul(big.NewInt(units), big.NewInt(step)))
	if mean.BitLen() > 50 {
		return Overfill{}, fmt.Errorf("%d g in %d units is no filling: %w", filled, units, ErrNotUsable)
	}
	each := mean.Int64()*step - int64(label)
	return overfilled(quantity.Milligram(each), units, perKg), nil
}

// OneGram is what one gram more in each of so many units comes to.
func OneGram(units int64, perKg Money) Overfill { return overfilled(1000, units, perKg) }

func overfilled(each quantity.Milligram, units int64, perKg Money) Overfill {
	mass := new(big.Int).Mul(big.NewInt(int64(each)), big.NewInt(units))
	total := quantity.Milligram(math.MaxInt64)
	if mass.IsInt64() {
		total = quantity.Milligram(mass.Int64())
	}
	return Overfill{each, total, perKg.by(new(big.Rat).SetFrac(mass, big.NewInt(1_000_000)))}
}
