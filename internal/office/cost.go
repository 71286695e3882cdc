package office

import (
	"slices"
	"strconv"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Cost answers what something cost: a run or lot mark the jar, a drum or lot the
// kilogram, and with no code the season, run by run.
func (o *Office) Cost(code record.Code) (a answer.Answer) {
	o.Read(func(v *View) { a = v.Cost(code) })
	return a
}

// Cost is [Office.Cost] on a view.
func (v *View) Cost(code record.Code) answer.Answer {
	a := answer.Answer{Question: "cost", Of: v.properCode(code)}
	if year, ok := v.seasonOf(code); ok {
		v.seasonCost(&a, year)
		v.restsOnRecord(&a)
		a.Follows("cost.follows", nil)
		return a
	}
	if c, ok := v.costOfThing(code); ok {
		c.answer(v, &a)
	} else if n := v.contentNamed(code); n != 0 && v.State.NodeKind(n) != house.BatchNode {
		v.drumCost(&a, v.State.Content(n), v.State.MadeAt(n).Minute)
		a.RestsOn("cost.rests-on-prices", answer.Args{"when": v.State.MadeAt(n)})
	} else {
		if _, ok := v.State.Find(code); !ok {
			return v.notTraced(a, code)
		}
		t, _ := v.State.Find(code)
		a.Cannot = &answer.Line{Key: "cost.not-of", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
		return a
	}
	v.restsOnRecord(&a)
	a.Follows("cost.follows", nil)
	return a
}

// seasonOf is the year that is asked for: one that is typed, else that of the last entry.
func (v *View) seasonOf(code record.Code) (year int, ok bool) {
	if code == "" {
		return record.When{Minute: v.State.Latest}.Time().Year(), true
	}
	_, named := v.State.Find(code)
	year, err := strconv.Atoi(string(code))
	return year, err == nil && !named && len(code) == 4 && year >= 1900
}

// costOfThing is the cost of a run, of the run of a lot mark, or of a batch made.
func (v *View) costOfThing(code record.Code) (RunCost, bool) {
	type found struct {
		c  RunCost
		ok bool
	}
	f := once(v, "cost of "+code.Fold(), func() (f found) {
		f.c, f.ok = v.workCost(code)
		return f
	})
	return f.c, f.ok
}

func (v *View) workCost(code record.Code) (RunCost, bool) {
	if c, ok := v.RunCost(code); ok {
		return c, true
	}
	if run, ok := v.State.RunOf(code); ok {
		return v.RunCost(run)
	}
	return v.BatchCost(code)
}

// answer puts a run's cost on an answer: a jar's, the run's, and of that the giveaway.
func (c *RunCost) answer(v *View, a *answer.Answer) {
	a.Of = c.Of
	sum, whole := c.Sum()
	t := v.costTable(a, c.Lines, c.Units)
	args := answer.Args{"of": c.Of, "product": c.Product, "total": sum.Rounded(2), "units": c.Units}
	each, some := sum.Over(c.Units)
	if some {
		args["each"] = each.Rounded(3)
	}
	mark, all := answer.Plain, answer.Key("cost.part.all")
	if !whole {
		mark, all = answer.Care, "cost.part.so-far"
	}
	t.Row(mark, []any{all, "", "", sum.Rounded(2), args["each"]}[:len(t.Columns)]...)
	switch {
	case c.Units <= 0:
		a.Warn("cost.no-units", answer.Args{"of": c.Of, "total": sum.Rounded(2)})
	case whole:
		a.Lines = append(a.Lines, answer.Line{Key: "cost.unit", Mark: answer.Good, Args: args})
	default:
		args["missing"] = missingParts(c.Lines)
		a.Lines = append(a.Lines, answer.Line{Key: "cost.unit-so-far", Mark: answer.Care, Args: args})
		a.Then("next.set-cost", answer.Args{"rule": rulesMissing(c.Lines)})
	}
	if left := c.Left(); some && left > 0 && left < c.Units {
		over, _ := each.Printed(3).Times(c.Units).Over(left)
		a.Say("cost.left", answer.Args{"left": left, "thrown": c.Thrown, "kept": c.Retained, "each": over.Rounded(3)})
	}
	if kg, ok := sum.PerKg(c.Filled); ok {
		a.Say("cost.run-kg", answer.Args{"each": kg.Rounded(2), "mass": c.Filled})
	}
	if c.HasOver {
		key := "cost.overfill"
		if c.Over.Each < 0 {
			key = "cost.underfill"
		}
		decimals := uint8(1)
		if c.Label < 100_000 {
			decimals = 2
		}
		sign := int64(1)
		if c.Over.Each < 0 {
			sign = -1
		}
		a.Say(key, answer.Args{"each": (c.Over.Each * quantity.Milligram(sign)).In(quantity.G, decimals), "mass": (c.Over.Mass * quantity.Milligram(sign)).In(quantity.KgUnit, 1),
			"worth": c.Over.Worth.Times(sign).Rounded(2), "units": c.Units})
	}
	if c.withoutOverhead() {
		a.Say("cost.before", nil)
	}
	if c.Open {
		a.Warn("cost.open", answer.Args{"of": c.Of})
	}
	c.prices.say(a)
	a.RestsOn("cost.rests-on-prices", answer.Args{"when": c.When})
}

func (c *RunCost) withoutOverhead() bool {
	return slices.ContainsFunc(c.Lines, func(l costLine) bool { return l.Kind == cost.Overhead && l.Basis == cost.NotSet })
}

// listed are words as one text: a, b, c.
func listed(all []answer.Key) answer.Cell {
	if len(all) == 0 {
		return nil
	}
	var text answer.Cell = all[len(all)-1]
	for _, k := range slices.Backward(all[:len(all)-1]) {
		text = answer.Line{Key: "cost.parts", Args: answer.Args{"first": k, "rest": text}}
	}
	return text
}

// missingParts are the parts that are not known, once each.
func missingParts(lines []costLine) answer.Cell {
	var all []answer.Key
	for _, l := range lines {
		if k := answer.Key("cost.part." + l.Kind.String()); l.Basis == cost.NotKnown && !slices.Contains(all, k) {
			all = append(all, k)
		}
	}
	return listed(all)
}

// seasonCost is every run and batch of a product with honey in it of a year, and the sum
// of them.
func (v *View) seasonCost(a *answer.Answer, year int) {
	costs := v.costsOf(year)
	t := a.Table("cost-runs", "run", "product", "when", "units", "honey_g", "cost", "each_cost", "kg_cost", "missing")
	var all cost.Money
	var open, honey int64
	for _, c := range costs {
		sum, whole := c.Sum()
		all = all.Plus(sum)
		honey += int64(c.Honey)
		var each, kg, missing any
		mark := answer.Plain
		if e, ok := sum.Over(c.Units); ok {
			each = e.Rounded(3)
		}
		if e, ok := sum.PerKg(c.Honey); ok {
			kg = e.Rounded(2)
		}
		if !whole {
			open++
			mark, missing = answer.Care, missingParts(c.Lines)
		}
		t.Row(mark, c.Of, c.Product, c.When, c.Units, c.Honey, sum.Rounded(2), each, kg, missing)
		for _, name := range c.prices.later {
			a.Warn("cost.later-in", answer.Args{"rule": name, "of": c.Of})
		}
	}
	if len(costs) == 0 && v.State.Latest == 0 {
		a.Cannot = &answer.Line{Key: "cost.no-runs-yet", Args: answer.Args{}}
		return
	}
	if len(costs) == 0 {
		a.Cannot = &answer.Line{Key: "cost.no-runs", Args: answer.Args{"year": strconv.Itoa(year)}}
		return
	}
	args := answer.Args{"total": all.Rounded(2), "n": int64(len(costs)), "mass": quantity.Gram(honey), "open": open}
	if open > 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "cost.season-so-far", Mark: answer.Care, Args: args})
		a.Then("next.cost-run", answer.Args{"of": firstOpen(costs)})
	} else {
		a.Lines = append(a.Lines, answer.Line{Key: "cost.season", Mark: answer.Good, Args: args})
	}
	v.valueOfStock(a)
	if slices.ContainsFunc(costs, func(c RunCost) bool { return c.withoutOverhead() }) {
		a.Say("cost.before", nil)
	}
}

func firstOpen(costs []RunCost) record.Code {
	for _, c := range costs {
		if _, whole := c.Sum(); !whole {
			return c.Of
		}
	}
	return ""
}

// costsOf are the costs of a year's runs and batches made, in their order.
func (v *View) costsOf(year int) []RunCost {
	return once(v, "costs of "+strconv.Itoa(year), func() []RunCost { return v.workCosts(year) })
}

func (v *View) workCosts(year int) (all []RunCost) {
	for _, t := range v.State.OfKind(record.Run) {
		r, ok := v.State.Run(t)
		if !ok || r.When.Time().Year() != year {
			continue
		}
		if c, ok := v.RunCost(v.State.Code(t)); ok {
			all = append(all, c)
		}
	}
	for _, b := range v.State.Goods.Batches() {
		if b.Run != "" || b.Of != "" || b.At.When.Time().Year() != year {
			continue
		}
		if c, ok := v.BatchCost(b.Code); ok {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b RunCost) int { return int(a.When.Minute - b.When.Minute) })
	return all
}

// valueOfStock is what the honey in bulk that is here cost, at today's prices.
func (v *View) valueOfStock(a *answer.Answer) {
	p := v.pricesAt(v.State.Latest)
	var sum cost.Money
	var known, unknown quantity.Gram
	for _, c := range v.State.Contents() {
		if c.Grams <= 0 {
			continue
		}
		s, whole := honeyOnly(v.honeyLines(p, []trace.Node{c.Node}, c.Grams))
		if !whole {
			unknown += c.Grams
			continue
		}
		sum, known = sum.Plus(s), known+c.Grams
	}
	if known > 0 {
		a.Say("cost.stock", answer.Args{"mass": known, "total": sum.Rounded(2)})
	}
	if unknown > 0 {
		a.Warn("cost.stock-not", answer.Args{"mass": unknown})
	}
}
