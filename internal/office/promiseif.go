package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Questions that begin with "what if": answered on a copy of the house, so that
// nothing is recorded.

// IfSold answers what becomes of the open orders when drums are sold now.
func (v *View) IfSold(drums []record.Code, today record.Day) (answer.Answer, error) {
	a := answer.Answer{Question: "if-sold"}
	held := v.held()
	var all []record.Code
	var mass quantity.Gram
	for _, p := range v.runs(asParts(drums)) {
		c, ok := v.bulkOf(p.Code)
		if !ok {
			return a, v.notHere(p.Code)
		}
		if hold, on := v.blockedBy(held, c.Code); on {
			return a, &house.Refusal{Key: "refused.on-hold", Args: answer.Args{"what": c.Code, "hold": hold}, Next: "next.release-or-override"}
		}
		if by, taken := v.contentPutBy(c, ""); taken {
			a.Warn("if.put-by", answer.Args{"drum": c.Code, "order": by})
		}
		all, mass = append(all, c.Code), mass+c.Grams
	}
	then, err := v.without(all)
	if err != nil {
		return a, err
	}
	a.Lines = append([]answer.Line{{Key: "if.sold", Args: answer.Args{"n": int64(len(all)), "mass": mass, "drums": all}}}, a.Lines...)
	v.compare(&a, v.Covers(), then.Covers(), today)
	return a, nil
}

// compare lists the orders before and after, and says which can't be met any more.
func (v *View) compare(a *answer.Answer, was, now []Cover, today record.Day) {
	t := a.Table("if-orders", "order", "customer", "due", "product", "open_units", "short_units", "then_short_units", "short_g", "status")
	worse := int64(0)
	for _, c := range now {
		before := Cover{}
		for _, b := range was {
			if b.Order.Code == c.Order.Code && b.Product == c.Product {
				before = b
			}
		}
		st, mark := c.Status(today)
		if c.Short > before.Short || c.NoKind && !before.NoKind {
			worse++
			a.Lines = append(a.Lines, answer.Line{Key: "if.not-any-more", Mark: answer.Bad, Args: answer.Args{"order": c.Order.Code, "customer": v.customerName(c.Order.Customer),
				"due": dayOrNil(c.Order.Due), "n": c.Short, "mass": c.ShortG}})
		}
		t.Row(mark, c.Order.Code, orNil(c.Order.Customer), dayOrNil(c.Order.Due), c.Product, c.Open, before.Short, c.Short, c.ShortG, answer.Key(st))
	}
	if worse == 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "if.all-still", Args: answer.Args{"n": int64(len(now))}, Mark: answer.Good})
	}
	a.Say("if.nothing-recorded", nil)
	v.coverRests(a)
}

// CanPromise answers whether units of a product can be promised by a day: from goods,
// from honey of its kind that no earlier order needs, with the packing stuff that is
// there or can still come. The hours of the line are not looked at.
func (v *View) CanPromise(product record.Code, units int64, by, today record.Day) (answer.Answer, error) {
	a := answer.Answer{Question: "can-promise", Of: v.properCode(product)}
	p, ok := v.State.Goods.Product(product)
	if !ok {
		return a, notKnown("product", product)
	}
	if units <= 0 {
		return a, &house.Refusal{Key: "refused.below-zero", Args: answer.Args{"figure": units, "field": answer.Key(record.FieldKey("units")), "column": "units"}, Next: "next.type-again"}
	}
	order := v.FreeCode("what-if")
	then := &View{State: v.State.Clone(), line: v.line, log: v.log}
	then.State.Fold(&record.Entry{Seq: v.Facts() + 1, Parts: 1, When: record.When{Minute: v.State.Latest, Precision: record.ToMinute},
		Fact: &record.OrderTaken{Order: order, Customer: "?", Due: by, Lines: []record.OrderLine{{Product: p.Product, Units: units}}}})
	was, now := v.Covers(), then.Covers()
	i := slices.IndexFunc(now, func(c Cover) bool { return c.Order.Code == order })
	if i < 0 {
		return a, notKnown("product", product)
	}
	c := now[i]
	args := answer.Args{"n": units, "product": p.Product, "due": by, "goods": c.Goods, "pack": c.FromHoney, "needs": c.Honey, "kind": c.Kind, "short": c.Short, "mass": c.ShortG}
	yes := true
	say := func(key string, ok bool) {
		mark := answer.Good
		if !ok {
			mark, yes = answer.Bad, false
		}
		a.Lines = append(a.Lines, answer.Line{Key: key, Args: args, Mark: mark})
	}
	switch {
	case c.NoKind:
		say("can.no-kind", false)
	case c.Short > 0:
		say("can.honey-short", false)
	case c.Honey > 0:
		say("can.honey", true)
	default:
		say("can.goods", true)
	}
	then.stuffFor(&a, order, today, &yes)
	v.compare(&a, was, slices.Delete(slices.Clone(now), i, i+1), today)
	verdict := answer.Line{Key: "can.yes", Args: args, Mark: answer.Good}
	if !yes || slices.ContainsFunc(a.Lines, func(l answer.Line) bool { return l.Key == "if.not-any-more" }) {
		verdict = answer.Line{Key: "can.no", Args: args, Mark: answer.Bad}
	}
	a.Lines = append([]answer.Line{verdict}, a.Lines...)
	a.RestsOn("can.hours", nil)
	return a, nil
}

// stuffFor looks whether the packing stuff for a new order is there or can still come.
func (v *View) stuffFor(a *answer.Answer, order record.Code, today record.Day, yes *bool) {
	m := v.Materials(MaterialsAsk{Today: today})
	for _, n := range m.Needs {
		if n.Short <= 0 || !slices.ContainsFunc(n.Parts, func(p NeedPart) bool { return p.Order == order }) {
			continue
		}
		args := answer.Args{"material": n.Material, "short": n.cell(n.Short), "by": dayOrNil(n.OrderBy), "run": dayOrNil(n.FirstShort.Day)}
		if n.OrderBy != 0 && n.OrderBy < today {
			*yes = false
			a.Lines = append(a.Lines, answer.Line{Key: "can.stuff-late", Args: args, Mark: answer.Bad})
			continue
		}
		a.Lines = append(a.Lines, answer.Line{Key: "can.stuff-order", Args: args, Mark: answer.Care})
	}
}
