package cost

import (
	"fmt"
	"math/big"

	"combline/internal/quantity"
)

// A Maybe is money that may not be known: no price was agreed.
type Maybe struct {
	Money Money
	Known bool
}

// Agreed is a known price.
func Agreed(m Money) Maybe { return Maybe{m, true} }

// Plus is known when both are.
func (m Maybe) Plus(n Maybe) Maybe { return Maybe{m.Money.Plus(n.Money), m.Known && n.Known} }

// Brought is what a supplier's supers or drums gave, as it was weighed.
type Brought struct {
	Supers  int64
	GrossIn quantity.Gram // supers in
	WetOut  quantity.Gram // supers out again
	Clean   quantity.Gram // honey weighed off, or the drums that came
	Cooking quantity.Gram // melter honey and skim
	Wax     quantity.Gram
	Samples quantity.Gram
	InTank  quantity.Gram // not weighed off yet
	Other   quantity.Gram // weighed off as lost or thrown away
	NoGap   bool          // not all supers were weighed in and out: nothing can be said of what is unaccounted
}

// Removed is what the supers gave by their weights in and out.
func (b Brought) Removed() quantity.Gram { return b.GrossIn - b.WetOut }

// Unaccounted is what was removed and not found again.
func (b Brought) Unaccounted() quantity.Gram {
	return b.Removed() - b.Clean - b.Cooking - b.Wax - b.Samples - b.InTank - b.Other
}

// Terms are what was agreed with a supplier. Prices are for a kilogram unless they say
// otherwise.
type Terms struct {
	Honey      Maybe           // of the grade
	Moisture   Maybe           // more or less for the water read; known and nothing where no table was agreed
	Cooking    Maybe           // melter honey and skim
	FeeKg      Maybe           // for spinning
	FeeSuper   Maybe           // for each super spun
	Wax        Maybe           // what the house pays for his share of the wax
	WaxKept    quantity.Figure // the house's share of the wax, per cent; not given: not agreed
	GapCarried quantity.Figure // the supplier carries what is unaccounted up to this per cent of what was removed
	Back       bool            // his honey and his share of the wax go back to him: only the fee is owed
}

// A LineKind is a line of a statement.
type LineKind uint8

const (
	LineHoney    LineKind = iota + 1 // clean honey at the price of its grade and moisture
	LineGap                          // unaccounted beyond what the supplier carries, at the same price
	LineCooking                      // melter honey and skim
	LineWax                          // his share of the wax
	LineFeeKg                        // for spinning, a kilogram
	LineFeeSuper                     // for spinning, a super
)

var lineNames = []string{"", "honey", "gap", "cooking", "wax", "fee-kg", "fee-super"}

func (k LineKind) String() string { return lineNames[k] }

// A Line is one line of a statement: what, how much, at what, and what that makes. A fee
// is below zero: the supplier owes it.
type Line struct {
	Kind   LineKind
	Mass   quantity.Gram
	Count  int64 // supers
	Rate   Maybe
	Amount Maybe
	Goods  bool // goes back in kind; no money
}

// A Statement is what is owed for what a supplier brought, line by line.
type Statement struct {
	Lines []Line
	Gap   quantity.Gram // unaccounted
	Carry quantity.Gram // of it, what the supplier carries
}

// Settle works out a statement.
//
//	unaccounted = removed − clean − cooking − wax − samples − in tanks − lost
//	carried     = min(unaccounted, agreed per cent of removed), never below 0
//	to pay      = (clean + unaccounted − carried) × (price + moisture) + cooking × price
//	              + wax × (100 − kept) % × price − honey spun × fee − supers × fee
//
// Each line is rounded to hundredths of the currency, halves away from zero, and the sum
// is of the lines as they are printed, so that it can be added up by hand. A share of a mass
// is to 0.1 kg, as it is printed. What the parties agreed decides; no law is in it.
func Settle(b Brought, t Terms) (Statement, error) {
	for _, g := range []quantity.Gram{b.GrossIn, b.WetOut, b.Clean, b.Cooking, b.Wax, b.Samples, b.InTank, b.Other, quantity.Gram(b.Supers)} {
		if g < 0 {
			return Statement{}, fmt.Errorf("a weight or count of %d is below 0: %w", g, ErrNotUsable)
		}
	}
	s := Statement{}
	if b.GrossIn > 0 && !b.NoGap {
		s.Gap = b.Unaccounted()
		carried, err := shareOf(b.Removed(), t.GapCarried)
		if err != nil {
			return s, err
		}
		s.Carry = min(max(s.Gap, 0), carried)
	}
	honey := t.Honey.Plus(t.Moisture)
	s.line(LineHoney, b.Clean, honey, t.Back)
	s.line(LineGap, max(s.Gap, 0)-s.Carry, honey, t.Back && !honey.Known)
	s.line(LineCooking, b.Cooking, t.Cooking, t.Back)
	if b.Wax > 0 {
		his, err := theirs(b.Wax, t.WaxKept)
		if err != nil {
			return s, err
		}
		if !t.WaxKept.Given() && !t.Back {
			s.Lines = append(s.Lines, Line{Kind: LineWax, Mass: b.Wax, Rate: t.Wax})
		} else {
			s.line(LineWax, his, t.Wax, t.Back)
		}
	}
	if b.GrossIn > 0 {
		s.fees(b, t)
	}
	return s, nil
}

// fees are for spinning. Where neither is known, one line says so.
func (s *Statement) fees(b Brought, t Terms) {
	if t.FeeKg.Known || !t.FeeSuper.Known {
		s.line(LineFeeKg, b.Clean+b.Cooking+b.Samples+b.InTank, t.FeeKg.negative(), false)
	}
	if t.FeeSuper.Known {
		l := Line{Kind: LineFeeSuper, Count: b.Supers, Rate: t.FeeSuper.negative()}
		l.Amount = Agreed(l.Rate.Money.Times(b.Supers).Printed(2))
		s.Lines = append(s.Lines, l)
	}
}

func (m Maybe) negative() Maybe { return Maybe{Money{}.Minus(m.Money), m.Known} }

func (s *Statement) line(kind LineKind, mass quantity.Gram, rate Maybe, goods bool) {
	if mass <= 0 {
		return
	}
	l := Line{Kind: kind, Mass: mass, Rate: rate, Goods: goods}
	if rate.Known && !goods {
		l.Amount = Agreed(rate.Money.Kilograms(mass).Printed(2))
	}
	s.Lines = append(s.Lines, l)
}

// Sum is what is owed; whole is false where a line has no price, and then it is only
// what is known so far.
func (s Statement) Sum() (sum Money, whole bool) {
	whole = len(s.Lines) > 0
	for _, l := range s.Lines {
		switch {
		case l.Amount.Known:
			sum = sum.Plus(l.Amount.Money)
		case !l.Goods:
			whole = false
		}
	}
	return sum, whole
}

// printedStep is how fine a mass is printed, in grams: a line is worked out from what it
// says, so that a person can multiply it out.
const printedStep = 100

// theirs is a mass less the house's per cent of it, to 0.1 kg.
func theirs(m quantity.Gram, kept quantity.Figure) (quantity.Gram, error) {
	k, err := shareOf(m, kept)
	if r, bad := percent(kept); kept.Given() && (bad != nil || r.Cmp(big.NewRat(1, 1)) > 0) {
		err = fmt.Errorf("share of %s, want 0 to 100 %%: %w", kept, ErrNotUsable)
	}
	return max(0, m-k), err
}

// shareOf is a per cent of a mass to 0.1 kg; nothing where none was agreed.
func shareOf(m quantity.Gram, f quantity.Figure) (quantity.Gram, error) {
	if !f.Given() || m <= 0 {
		return 0, nil
	}
	r, err := percent(f)
	if err != nil {
		return 0, err
	}
	if r.Sign() < 0 {
		return 0, fmt.Errorf("share of %s, want 0 or more: %w", f, ErrNotUsable)
	}
	r.Mul(r, new(big.Rat).SetInt64(int64(m)))
	n := roundQuo(r.Num(), new(big.Int).Mul(r.Denom(), big.NewInt(printedStep)))
	if n.BitLen() > 50 {
		return m, nil
	}
	return quantity.Gram(n.Int64() * printedStep), nil
}

// A Step is the part of a moisture table up to a water content.
type Step struct {
	UpTo quantity.Figure // per cent
	Add  Money           // a kilogram; below zero: taken off
}

// Moisture is what a table adds for a water content: the step with the lowest bound that
// the water does not pass. A table that ends below it knows no price. A table without
// steps adds nothing.
func Moisture(table []Step, water quantity.Figure) (Maybe, error) {
	if len(table) == 0 {
		return Agreed(Money{}), nil
	}
	w, err := percent(water)
	if err != nil {
		return Maybe{}, err
	}
	var best *big.Rat
	var add Maybe
	for _, s := range table {
		upTo, err := percent(s.UpTo)
		if err != nil {
			return Maybe{}, err
		}
		if w.Cmp(upTo) <= 0 && (best == nil || upTo.Cmp(best) < 0) {
			best, add = upTo, Agreed(s.Add)
		}
	}
	return add, nil
}
