package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// settleLines says what is owed in all, what it lacks, and what stands of his boxes.
func (v *View) settleLines(a *answer.Answer, who string, lots []settledLot, sum cost.Money, whole bool, ask SettleAsk) {
	name := answer.Cell(cmp.Or(v.supplierName(record.Code(who)), who))
	if who == "" {
		name = answer.Key("settle.nobody")
		a.Warn("settle.own-lot", answer.Args{"of": lots[0].code})
	}
	in, wet, back := boxesOf(lots)
	args := answer.Args{"who": name, "sum": sum.Rounded(2), "lots": int64(len(lots)), "supers": in}
	key, mark := "settle.owed", answer.Good
	if sum.Cmp(cost.Money{}) < 0 {
		key, args["sum"] = "settle.owes", cost.Money{}.Minus(sum).Rounded(2)
	}
	if !whole {
		key, mark = key+"-so-far", answer.Care
		missing, rules := settleMissing(lots)
		args["missing"] = listed(missing)
		if rules != nil {
			a.Then("next.settle-terms", answer.Args{"rule": strings.Join(rules, ", ")})
		}
	}
	a.Lines = append([]answer.Line{{Key: key, Mark: mark, Args: args}}, a.Lines...)
	for _, l := range lots {
		for _, m := range l.missing {
			key := "balance." + m
			if len(m) > 7 && m[:7] == "settle." {
				key = m
			}
			a.Warn(key, answer.Args{"of": l.code})
		}
		if l.noPrice {
			a.Warn("settle.no-step", answer.Args{"of": l.code, "water": l.water})
		}
		if l.signed != "" {
			a.RestsOn("settle.signed", answer.Args{"of": l.code, "who": l.signed})
		}
	}
	if in > 0 {
		v.boxLine(a, in, wet, back)
	}
	if ask.Back {
		a.Say("settle.goes-back", nil)
	}
}

func (v *View) boxLine(a *answer.Answer, in, wet, back int64) {
	args := answer.Args{"in": in, "wet": wet, "back": back, "here": in - back}
	switch {
	case back >= in:
		a.Say("settle.boxes-back", args)
	default:
		a.Warn("settle.boxes-here", args)
	}
}

// settleMissing are what keeps the sum from being whole, and the terms of it that can be
// given or set.
func settleMissing(lots []settledLot) (all []answer.Key, rules []string) {
	want := func(rule string, missing bool) {
		if missing && !slices.Contains(rules, settleRules+rule) {
			rules = append(rules, settleRules+rule)
		}
	}
	for _, l := range lots {
		for _, k := range l.lacks() {
			if !slices.Contains(all, k) {
				all = append(all, k)
			}
		}
		for _, x := range l.state.Lines {
			if x.Amount.Known || x.Goods {
				continue
			}
			if k := answer.Key("settle.price." + x.Kind.String()); !slices.Contains(all, k) {
				all = append(all, k)
			}
			switch x.Kind {
			case cost.LineHoney, cost.LineGap:
				want(settlePrice, !l.terms.Honey.Known)
				want(settleStep+"…", l.noPrice)
			case cost.LineCooking:
				want(settleCooking, true)
			case cost.LineWax:
				want(settleWax, !l.terms.Wax.Known)
				want(settleKept, !l.terms.WaxKept.Given())
			case cost.LineFeeKg:
				want(settleFee, true)
			}
		}
	}
	return all, rules
}

// settleTables are the weights in and out, the lines with their sums, and his boxes.
func (v *View) settleTables(a *answer.Answer, lots []settledLot, sum cost.Money) {
	v.settleWeights(a, lots)
	t := a.Table("settle-lines", "line", "lot", "what", "how", "amount")
	for i, l := range lots {
		for j, x := range l.state.Lines {
			var amount answer.Cell
			mark := answer.Plain
			switch {
			case x.Amount.Known:
				amount = x.Amount.Money.Rounded(2)
			case x.Goods:
				amount = answer.Key("settle.in-kind")
			default:
				mark = answer.Care
			}
			t.Row(mark, numbered(i, j), l.code, answer.Key("settle.line."+x.Kind.String()), settleHow(l, x), amount)
		}
	}
	t.Row(answer.Plain, "", "", answer.Key("settle.line.all"), "", sum.Rounded(2))
	boxes := a.Table("settle-boxes", "lot", "boxes_in", "boxes_wet", "boxes_back")
	for _, l := range lots {
		if l.lot {
			mark := answer.Plain
			if l.back < l.brought.Supers {
				mark = answer.Care
			}
			boxes.Row(mark, l.code, l.brought.Supers, l.wet, l.back)
		}
	}
}

func (v *View) settleWeights(a *answer.Answer, lots []settledLot) {
	t := a.Table("settle-weights", "lot", "what", "mass_g")
	for _, l := range lots {
		b := l.brought
		row := func(key answer.Key, m quantity.Gram) {
			if m != 0 {
				t.Row(answer.Plain, l.code, key, m)
			}
		}
		if !l.lot {
			row("settle.weight.drums", b.Clean)
			continue
		}
		row("settle.weight.in", b.GrossIn)
		row("settle.weight.out", -b.WetOut)
		row("settle.weight.removed", b.Removed())
		row("settle.weight.wax", b.Wax)
		row("settle.weight.cooking", b.Cooking)
		row("settle.weight.samples", b.Samples)
		row("settle.weight.in-tank", b.InTank)
		row("settle.weight.other", b.Other)
		row("settle.weight.clean", b.Clean)
		row("settle.weight.gap", l.state.Gap)
		row("settle.weight.carried", l.state.Carry)
	}
}

// settleHow is a line's arithmetic.
func settleHow(l settledLot, x cost.Line) answer.Line {
	args := answer.Args{"mass": x.Mass}
	if x.Goods {
		return answer.Line{Key: "settle.how.goods", Args: args}
	}
	if !x.Rate.Known {
		return answer.Line{Key: "settle.how.no-price", Args: args, Mark: answer.Care}
	}
	if !x.Amount.Known { // a share that was not agreed
		return answer.Line{Key: "settle.how.no-share", Args: args, Mark: answer.Care}
	}
	rate := x.Rate.Money
	switch x.Kind {
	case cost.LineHoney, cost.LineGap:
		args["price"] = tidyPrice(l.terms.Honey.Money)
		key := "settle.how.price"
		if add := l.terms.Moisture.Money; add.Cmp(cost.Money{}) != 0 && l.water.Given() {
			key, args["add"], args["water"] = "settle.how.moist", tidyPrice(add), l.water
		}
		if x.Kind == cost.LineGap {
			args["carried"], args["rule"] = l.state.Carry, l.terms.GapCarried
			return answer.Line{Key: key + "-gap", Args: args}
		}
		return answer.Line{Key: key, Args: args}
	case cost.LineWax:
		args["price"], args["all"], args["kept"] = tidyPrice(rate), l.brought.Wax, l.terms.WaxKept
		return answer.Line{Key: "settle.how.wax", Args: args}
	case cost.LineFeeSuper:
		return answer.Line{Key: "settle.how.supers", Args: answer.Args{"n": x.Count, "price": tidyPrice(l.terms.FeeSuper.Money)}}
	case cost.LineFeeKg:
		args["price"] = tidyPrice(l.terms.FeeKg.Money)
		return answer.Line{Key: "settle.how.fee", Args: args}
	}
	args["price"] = tidyPrice(rate)
	return answer.Line{Key: "settle.how.price", Args: args}
}

// signatures leaves room for both to sign.
func (v *View) signatures(a *answer.Answer) {
	t := a.Table("settle-sign", "for_whom", "name", "signed_on")
	const name, sign = "____________________", "______________________________"
	t.Row(answer.Plain, answer.Key("settle.sign.house"), name, sign)
	t.Row(answer.Plain, answer.Key("settle.sign.supplier"), name, sign)
}

// SettleOf is whom a lot is settled with, for its page; empty for the house's own.
func (v *View) SettleOf(lot record.Code) string {
	t, ok := v.State.Find(lot)
	l, is := v.State.Lot(t)
	if !ok || !is {
		return ""
	}
	return l.Opened.Owner
}
