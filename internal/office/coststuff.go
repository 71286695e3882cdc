package office

import (
	"math/big"
	"slices"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A stuffUsed is what a run took of one material: pieces, or grams where it is weighed.
type stuffUsed struct {
	material record.Code
	need     *big.Rat // pieces by the recipe for the units filled; nil: not in it
	n, per   int64    // the same as it is shown: n ÷ per
	used     int64    // written down
	spoilt   int64
	counted  bool // the spoilt ones were written down
	grams    quantity.Gram
}

// materialLines is what the packing stuff and the ingredients cost:
//
//	pieces = what the recipe takes for the units filled, and the spoilt ones that were
//	         counted, else the house's per cent of breakage; or what was written down as
//	         used, where that is more
//
// A case half full is paid for in the share that the units take of it.
func (v *View) materialLines(c *RunCost) {
	all := v.stuffOf(c)
	if len(all) == 0 && v.packedUnits(c.Product) {
		c.add(costLine{Part: cost.Part{Kind: cost.Material}, How: answer.Line{Key: "cost.how.no-recipe", Args: answer.Args{"product": c.Product}, Mark: answer.Care}})
	}
	for _, s := range all {
		c.add(v.stuffLine(c, s))
	}
}

// packedUnits reports whether a product is packed in something that costs.
func (v *View) packedUnits(product record.Code) bool {
	p, ok := v.State.Goods.Product(product)
	return !ok || p.What != record.BulkDrum
}

// stuffOf gathers recipe and use, in the order of the recipe.
func (v *View) stuffOf(c *RunCost) (all []*stuffUsed) {
	of := func(m record.Code) *stuffUsed {
		i := slices.IndexFunc(all, func(s *stuffUsed) bool { return s.material.Fold() == m.Fold() })
		if i < 0 {
			i = len(all)
			all = append(all, &stuffUsed{material: m})
		}
		return all[i]
	}
	_, made, isMade := v.madeOf(c.Of)
	if r, ok := v.recipeFor(c); ok {
		for _, l := range r.Lines {
			if l.Material == "" || l.Each <= 0 && isMade {
				continue
			}
			s := of(l.Material)
			if l.Each > 0 {
				s.per = max(1, l.ForUnits)
				s.n = l.Each * c.Units
				s.need = big.NewRat(s.n, s.per)
			}
		}
	}
	for _, u := range v.State.Goods.UsedBy(c.Of) {
		m := u.Material
		if m == "" {
			m = u.Lot
		}
		s := of(m)
		s.grams += u.Amount.Mass.Grams()
		s.used += int64(u.Amount.Pieces.Float())
		if u.Spoilt.Given() {
			s.counted, s.spoilt = true, s.spoilt+int64(u.Spoilt.Float())
		}
	}
	if isMade && len(v.State.Goods.UsedBy(c.Of)) == 0 {
		for _, in := range made.Inputs {
			if l, ok := v.State.Goods.MaterialLot(in.From); ok {
				of(l.Material).grams += in.Mass.Grams()
			}
		}
	}
	return all
}

func (v *View) stuffLine(c *RunCost, s *stuffUsed) costLine {
	l := costLine{Part: cost.Part{Kind: cost.Material, Of: string(s.material)}, Name: s.material}
	rule := c.prices.codeNamed(priceMaterial, s.material)
	price, ok := c.prices.money(rule)
	if !ok {
		l.How = unset(rule)
		return l
	}
	if s.need == nil && s.used == 0 {
		if s.grams > 0 {
			l.Basis, l.Amount = cost.Set, price.Kilograms(s.grams)
			l.How = answer.Line{Key: "cost.how.weighed", Args: answer.Args{"mass": s.grams, "price": tidyPrice(price)}}
			return l
		}
		l.How = answer.Line{Key: "cost.how.not-counted", Args: answer.Args{"material": s.material}, Mark: answer.Care}
		return l
	}
	v.piecesLine(c, s, price, &l)
	return l
}

func (v *View) piecesLine(c *RunCost, s *stuffUsed, price cost.Money, l *costLine) {
	broken, _ := c.prices.Setting(c.prices.codeNamed(shareBroken, s.material))
	if s.counted {
		broken = quantity.Figure{}
	}
	base, args := price.Times(s.used), answer.Args{"n": s.used, "price": tidyPrice(price)}
	l.How = answer.Line{Key: "cost.how.pieces", Args: args}
	if s.need != nil && s.need.Cmp(big.NewRat(s.used, 1)) >= 0 {
		base, args["n"] = price.Pieces(s.need), s.n
		if s.per > 1 {
			l.How.Key, args["per"] = "cost.how.pieces-per", s.per
		}
	}
	l.Basis, l.Amount = cost.Set, base
	switch {
	case s.counted && s.spoilt > 0:
		l.Amount = base.Plus(price.Times(s.spoilt))
		l.How.Key, args["spoilt"] = l.How.Key+"-spoilt", s.spoilt
	case broken.Given() && broken.Mantissa > 0:
		more, err := base.Share(broken)
		if err != nil {
			l.Basis, l.How = cost.NotKnown, answer.Line{Key: "cost.how.bad-hours", Args: answer.Args{"detail": err.Error()}, Mark: answer.Care}
			return
		}
		l.Amount = base.Plus(more)
		l.How.Key, args["broken"] = l.How.Key+"-broken", broken
	}
}
