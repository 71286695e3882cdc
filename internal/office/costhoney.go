package office

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A costLine is a part of a cost with how it was worked out.
type costLine struct {
	cost.Part
	Name answer.Cell // what it is of
	How  answer.Line
}

// honeyLines is what a mass of honey cost that was drawn from contents: each origin at
// its own price, in the share that it has of them all.
func (v *View) honeyLines(p *prices, from []trace.Node, mass quantity.Gram) (all []costLine) {
	type priced struct {
		name  string
		money cost.Money
		ok    bool
		grams quantity.Gram
	}
	var kinds []priced
	for _, n := range from {
		for _, l := range v.State.ByOrigin(n) {
			if l.Grams <= 0 {
				continue
			}
			o := v.State.OriginOf(l.Origin)
			name, m, ok := p.honeyPrice(v.State.Code(o.Of), v.State.KindOf(o.Of) == record.Delivery)
			i := slices.IndexFunc(kinds, func(k priced) bool { return k.name == name })
			if i < 0 {
				i = len(kinds)
				kinds = append(kinds, priced{name: name, money: m, ok: ok})
			}
			kinds[i].grams += l.Grams
		}
	}
	parts := make([]quantity.Gram, len(kinds))
	for i, k := range kinds {
		parts[i] = k.grams
	}
	shares, err := quantity.Apportion(int64(mass), parts)
	if len(kinds) == 0 || err != nil {
		return []costLine{{Part: cost.Part{Kind: cost.Honey}, How: answer.Line{Key: "cost.how.no-origin", Args: answer.Args{"mass": mass}}}}
	}
	for i, k := range kinds {
		m := quantity.Gram(shares[i])
		l := costLine{Part: cost.Part{Kind: cost.Honey, Of: k.name}, Name: honeyRule(k.name)}
		if k.ok {
			l.Basis, l.Amount = cost.Set, k.money.Kilograms(m)
			l.How = answer.Line{Key: "cost.how.honey", Args: answer.Args{"mass": m, "price": tidyPrice(k.money)}}
		} else {
			l.How = unset(k.name)
		}
		all = append(all, l)
	}
	return all
}

// honeyRule is whose honey a price is for.
func honeyRule(name string) answer.Cell {
	switch name {
	case priceOwn:
		return answer.Key("cost.own-honey")
	case priceBought:
		return answer.Key("cost.bought-honey")
	}
	return record.Code(name[len(priceHoney):])
}

// unset says which rule is missing.
func unset(rule string) answer.Line {
	return answer.Line{Key: "cost.how.not-set-yet", Args: answer.Args{"rule": rule, "what": ruleName(rule)}, Mark: answer.Care}
}

// ruleName is a price in words: those for one thing end in its code.
func ruleName(rule string) answer.Line {
	for _, head := range []string{priceHoney, priceMaterial, shareBroken, priceOther, priceSale} {
		if of, ok := strings.CutPrefix(rule, head); ok {
			return answer.Line{Key: "page.price." + strings.TrimSuffix(head, "."), Args: answer.Args{"of": of}}
		}
	}
	return answer.Line{Key: "page.price." + rule, Args: answer.Args{}}
}

// tidyPrice is a price with the decimals that it needs, at least two.
func tidyPrice(m cost.Money) quantity.Figure {
	for d := uint8(2); d < 5; d++ {
		if m.Printed(d).Cmp(m) == 0 {
			return m.Rounded(d)
		}
	}
	return m.Rounded(4)
}

// drumCost answers what a kilogram cost of the honey that a code stands for.
func (v *View) drumCost(a *answer.Answer, c house.Content, minute int64) {
	p := v.pricesAt(minute)
	mass := c.Grams
	if t, ok := v.State.Find(a.Of); ok && c.Kind == house.LotNode {
		if b, ok := v.State.LotBalance(t); ok { // what was weighed off it, not what is between
			mass = outOf(b, "balance.clean")
		}
	}
	if mass <= 0 {
		mass = c.Made
	}
	lines := v.honeyLines(p, []trace.Node{c.Node}, mass)
	sheet := sheetOf(lines)
	sum, whole := sheet.Sum()
	each, ok := sum.PerKg(mass)
	v.costTable(a, lines, 0)
	switch {
	case whole && ok:
		a.Lines = append(a.Lines, answer.Line{Key: "cost.kg", Mark: answer.Good, Args: answer.Args{"of": a.Of, "each": each.Rounded(2), "total": sum.Rounded(2), "mass": mass}})
	case sum.Cmp(cost.Money{}) == 0:
		a.Warn("cost.drum-none", answer.Args{"of": a.Of, "mass": mass})
		a.Then("next.set-cost", answer.Args{"rule": rulesMissing(lines)})
	default:
		a.Warn("cost.drum-not", answer.Args{"of": a.Of, "mass": mass, "total": sum.Rounded(2)})
		a.Then("next.set-cost", answer.Args{"rule": rulesMissing(lines)})
	}
	p.say(a)
}

func sheetOf(lines []costLine) (s cost.Sheet) {
	for _, l := range lines {
		s = append(s, l.Part)
	}
	return s
}

// rulesMissing are the rules that nobody set, by name.
func rulesMissing(lines []costLine) string {
	var names []string
	for _, l := range lines {
		if rule, ok := l.How.Args["rule"].(string); ok && l.Basis == cost.NotKnown && !slices.Contains(names, rule) {
			names = append(names, rule)
		}
	}
	slices.Sort(names)
	return joined(names)
}

func joined(names []string) (text string) {
	for i, n := range names {
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}

// costTable is the parts of a cost, each with how it was worked out; per unit where
// there are units.
func (v *View) costTable(a *answer.Answer, lines []costLine, units int64) *answer.Table {
	columns := []string{"part", "of", "how", "cost", "each_cost"}
	if units <= 0 {
		columns = columns[:4]
	}
	t := a.Table("cost", columns...)
	for _, l := range lines {
		var total, each any
		mark, name := answer.Plain, l.Name
		if name == nil {
			name = ""
		}
		if l.Basis == cost.NotSet {
			total, each = answer.Key("cost.left-out"), ""
		}
		if l.Known() {
			total = l.Amount.Rounded(2)
			if e, ok := l.Amount.Over(units); ok {
				each = e.Rounded(3)
			}
		} else if l.Basis == cost.NotKnown {
			mark = answer.Care
		}
		t.Row(mark, []any{answer.Key("cost.part." + l.Kind.String()), name, l.How, total, each}[:len(columns)]...)
	}
	return t
}
