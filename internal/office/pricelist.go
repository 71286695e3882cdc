package office

import (
	"slices"
	"strings"

	"combline/internal/quantity"
	"combline/internal/record"
)

// A PriceRule is a price or a rate that the house may set, for one thing or for all.
type PriceRule struct {
	Name  string
	Head  string // of what sort it is: the name, or its part before a thing's code
	Of    string // the thing, when it is for one
	In    quantity.Unit
	Set   bool
	Value quantity.Figure
	Since record.When
}

// priceGroups are the prices as a page shows them: honey and packing, work and energy,
// what was agreed with suppliers.
func (v *View) priceGroups() (groups [3][]PriceRule) {
	money := func(g int, head, of string) { groups[g] = append(groups[g], v.priceRule(head, of, quantity.Money)) }
	money(0, priceOwn, "")
	money(0, priceBought, "")
	for _, t := range v.State.OfKind(record.Delivery) {
		money(0, priceHoney, string(v.State.Code(t)))
	}
	for _, m := range v.State.Goods.Materials() {
		money(0, priceMaterial, string(m.Material))
		if r := v.priceRule(shareBroken, string(m.Material), quantity.Pct); m.Unit == "pieces" || r.Set {
			groups[0] = append(groups[0], r)
		}
	}
	for _, p := range v.State.Goods.Products() {
		if p.What != record.BulkDrum {
			money(0, priceOther, string(p.Product))
		}
		money(0, priceSale, string(p.Product))
	}
	for _, r := range CostRules() {
		groups[1] = append(groups[1], v.priceRule(r.Name, "", r.Otherwise.Unit))
	}
	money(1, energyRule, "")
	for _, x := range []string{settlePrice, settleCooking, settleFee, settleSuper, settleWax} {
		money(2, settleRules+x, "")
	}
	for _, x := range []string{settleKept, settleGap} {
		groups[2] = append(groups[2], v.priceRule(settleRules+x, "", quantity.Pct))
	}
	for _, name := range v.State.SettingNames(settleRules) { // for one kind, one supplier or one step of moisture
		if strings.Count(name, ".") > 1 {
			r := v.priceRule(settleRules, name[len(settleRules):], quantity.Money)
			if r.Value.Given() {
				r.In = r.Value.Unit
			}
			groups[2] = append(groups[2], r)
		}
	}
	return groups
}

func (v *View) priceRule(head, of string, in quantity.Unit) PriceRule {
	name := head + of
	if of != "" {
		name = (&prices{v: v}).codeNamed(head, record.Code(of))
	}
	r := PriceRule{Name: name, Head: strings.TrimSuffix(head, "."), Of: of, In: in}
	if at, _, ok := v.State.SettingOn(name, v.State.Latest); ok && at.Value.Given() {
		r.Set, r.Value, r.Since = true, at.Value, at.When
	}
	return r
}

// PriceRules are the prices and rates of the house in three groups: honey and packing,
// work and energy, what was agreed with suppliers.
func (v *View) PriceRules() [3][]PriceRule { return v.priceGroups() }

// PriceRuleNamed is one of them; a new step or a supplier's own price too.
func (v *View) PriceRuleNamed(name string) (PriceRule, bool) {
	for _, g := range v.priceGroups() {
		for _, r := range g {
			if r.Name == name {
				return r, true
			}
		}
	}
	return v.newSettleRule(name)
}

// Steps of water that a table of prices may have, per cent: wetter is no table honey, and
// drier there is none (the range is common practice, no source).
const leastStep, mostStep = 10.0, 30.0

// newSettleRule is a price that nobody set yet: of one kind of honey, a step of water, or
// either of them and every other for one supplier alone.
func (v *View) newSettleRule(name string) (PriceRule, bool) {
	rest, ok := strings.CutPrefix(name, settleRules)
	if !ok {
		return PriceRule{}, false
	}
	for _, who := range v.SettleNames() {
		if x, his := cutFold(rest, who+"."); his {
			rest = x
			break
		}
	}
	r := PriceRule{Name: name, Head: strings.TrimSuffix(settleRules, "."), Of: name[len(settleRules):], In: quantity.Money}
	switch rest {
	case settlePrice, settleCooking, settleFee, settleSuper, settleWax:
		return r, true
	case settleKept, settleGap:
		r.In = quantity.Pct
		return r, true
	}
	if step, ok := strings.CutPrefix(rest, settleStep); ok {
		f, err := quantity.ParseFigure(step, quantity.Want{Unit: quantity.Pct, Style: quantity.DecimalPoint})
		return r, err == nil && f.Float() >= leastStep && f.Float() <= mostStep
	}
	kind, ok := strings.CutPrefix(rest, settlePrice+".")
	return r, ok && slices.Contains(v.HoneyBrought(), kind)
}

// HoneyBrought are the kinds of honey of all lots and deliveries, as they stand there.
func (v *View) HoneyBrought() (all []string) {
	for _, t := range v.State.OfKind(record.Lot) {
		if l, ok := v.State.Lot(t); ok && l.Opened.Honey != "" {
			all = append(all, l.Opened.Honey)
		}
	}
	for _, t := range v.State.OfKind(record.Delivery) {
		if f, ok := v.State.Named(t).(*record.HoneyBought); ok && f.Honey != "" {
			all = append(all, f.Honey)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// SettleTerms are the names of the terms that can be agreed with everybody or with one
// supplier, a step of the moisture table without its per cent.
func SettleTerms() []string {
	return []string{settlePrice, settleStep, settleCooking, settleFee, settleSuper, settleWax, settleKept, settleGap}
}

// MayBeNegative reports whether a rule may take something off: a step of a moisture table.
func MayBeNegative(name string) bool {
	return strings.HasPrefix(name, settleRules) && strings.Contains(name, "."+settleStep)
}
