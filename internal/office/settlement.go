package office

import (
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Terms of a settlement, as rules of the house: settle.PRICE for everybody, and before
// that settle.WHO.PRICE for one supplier or owner. A price of honey may end in its kind:
// settle.price.summer; a step of the moisture table ends in the water that it goes up to:
// settle.moisture.18.5.
const (
	settleRules   = "settle."
	settlePrice   = "price"
	settleCooking = "cooking"
	settleFee     = "fee"       // a kilogram spun
	settleSuper   = "fee-super" // a super spun
	settleWax     = "wax"       // a kilogram of wax
	settleKept    = "wax-kept"  // the house's share of the wax, per cent
	settleGap     = "gap"       // what the supplier carries of what is unaccounted, per cent of what was removed
	settleStep    = "moisture."
)

// A SettleAsk asks what a supplier is owed. Of is a lot or delivery, a supplier's code, or
// an owner as he stands with his lots. Terms that are given go before the house's rules.
type SettleAsk struct {
	Of    string
	Terms map[string]quantity.Figure // by their names above
	Steps []cost.Step
	Back  bool // his honey goes back to him: contract extracting
}

// A settled lot is one lot or delivery of a statement.
type settledLot struct {
	code    record.Code
	lot     bool
	pulled  record.Day
	honey   string
	water   quantity.Figure
	brought cost.Brought
	wet     int64 // supers weighed out again
	back    int64 // supers sent back
	backTo  int   // places that they went to
	signed  string
	missing []string
	state   cost.Statement
	terms   cost.Terms
	prices  map[string]quantity.Figure // as they were used
	noPrice bool                       // no step of the table for its water
	minute  int64                      // that its terms are of
}

// Settlement answers what is owed to whoever honey came from, lot by lot and line by
// line, with his boxes.
func (v *View) Settlement(ask SettleAsk) (answer.Answer, error) {
	a := answer.Answer{Question: "settlement"}
	who, lots := v.broughtBy(ask.Of)
	if len(lots) == 0 {
		a.Of = record.Code(ask.Of)
		a.Cannot = &answer.Line{Key: "settle.none", Args: answer.Args{"of": ask.Of}}
		if t, ok := v.State.Find(record.Code(ask.Of)); ok {
			a.Cannot = &answer.Line{Key: "settle.not-of", Args: answer.Args{"of": v.State.Code(t), "kind": answer.Key(v.State.KindOf(t).Key())}}
		}
		return a, nil
	}
	var sum cost.Money
	whole := true
	later := &prices{v: v}
	for i := range lots {
		l := &lots[i]
		p := v.pricesAt(l.minute)
		if err := v.agree(p, who, l, ask); err != nil {
			return a, err
		}
		var err error
		if l.state, err = cost.Settle(l.brought, l.terms); err != nil {
			return a, warmRefusal("settle.not-usable", answer.Args{"of": l.code, "detail": err.Error()})
		}
		later.minute = max(later.minute, l.minute)
		for _, name := range p.later {
			if !slices.Contains(later.later, name) {
				later.later = append(later.later, name)
			}
		}
		s, all := l.state.Sum()
		sum, whole = sum.Plus(s), whole && (all || ask.Back && len(l.state.Lines) == 0) && len(l.lacks()) == 0
	}
	v.settleLines(&a, who, lots, sum, whole, ask)
	v.settleTables(&a, lots, sum)
	later.say(&a)
	v.signatures(&a)
	a.Follows("settle.follows", nil)
	v.restsOnRecord(&a)
	return a, nil
}

// lacks is what keeps a lot's sum from being the whole, beside prices.
func (l *settledLot) lacks() (all []answer.Key) {
	for _, m := range l.missing {
		switch m {
		case "missing.gross-in", "missing.wet-out", "missing.boxes", "settle.no-drums":
			if !slices.Contains(all, "settle.lacks.weights") {
				all = append(all, "settle.lacks.weights")
			}
		case "settle.open":
			all = append(all, "settle.lacks.end")
		}
	}
	return all
}

// SettleNames are whom a statement can be made for: owners of lots, and suppliers.
func (v *View) SettleNames() (all []string) {
	for _, t := range v.State.OfKind(record.Lot) {
		if l, ok := v.State.Lot(t); ok && l.Opened.Owner != "" && !slices.Contains(all, l.Opened.Owner) {
			all = append(all, l.Opened.Owner)
		}
	}
	for _, t := range v.State.OfKind(record.Delivery) {
		if f, ok := v.State.Named(t).(*record.HoneyBought); ok && f.Supplier != "" && !slices.Contains(all, string(f.Supplier)) {
			all = append(all, string(f.Supplier))
		}
	}
	return all
}

// broughtBy is who is meant, and the lots and deliveries that he brought.
func (v *View) broughtBy(of string) (who string, all []settledLot) {
	of = strings.TrimSpace(of)
	one, named := v.State.Find(record.Code(of))
	same := func(name string) bool { return name != "" && strings.EqualFold(strings.TrimSpace(name), of) }
	who = of
	for _, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok || !(named && t == one) && !same(l.Opened.Owner) {
			continue
		}
		if named && t == one {
			who = l.Opened.Owner
		}
		all = append(all, v.settledLot(v.State.Code(t)))
	}
	for _, t := range v.State.OfKind(record.Delivery) {
		f, ok := v.State.Named(t).(*record.HoneyBought)
		if !ok || !(named && t == one) && !same(string(f.Supplier)) && !same(f.Owner) && !same(v.supplierName(f.Supplier)) {
			continue
		}
		who = string(f.Supplier)
		n := v.contentNamed(v.State.Code(t))
		x := settledLot{code: v.State.Code(t), honey: f.Honey, brought: cost.Brought{Clean: v.State.Graph().Made(n)}, minute: v.State.MadeAt(n).Minute}
		if r, ok := v.reading(n, record.Water); ok {
			x.water = r.Value
		}
		if x.brought.Clean == 0 {
			x.missing = append(x.missing, "settle.no-drums")
		}
		all = append(all, x)
	}
	return who, all
}

func (v *View) supplierName(code record.Code) string {
	if s, ok := v.State.Goods.Supplier(code); ok {
		return s.Name
	}
	return ""
}

// settledLot is what a lot gave, by its balance.
func (v *View) settledLot(code record.Code) settledLot {
	t, _ := v.State.Find(code)
	l, _ := v.State.Lot(t)
	b, _ := v.State.LotBalance(t)
	x := settledLot{code: code, lot: true, pulled: l.Opened.Pulled, honey: l.Opened.Honey, wet: l.BoxesWet, missing: b.Missing, minute: v.State.Latest,
		brought: cost.Brought{Supers: l.BoxesIn, GrossIn: l.GrossIn, WetOut: l.WetOut}}
	for _, o := range b.Out {
		switch o.Key {
		case "balance.clean":
			x.brought.Clean += o.Grams
		case "balance.melter-honey", "balance.skim":
			x.brought.Cooking += o.Grams
		case "balance.wax":
			x.brought.Wax += o.Grams
		case "balance.samples":
			x.brought.Samples += o.Grams
		case "balance.in-tank":
			x.brought.InTank += o.Grams
		case "balance.lost", "balance.thrown-away":
			x.brought.Other += o.Grams
		}
	}
	if y, ok := v.State.Yard.Lot(code); ok {
		for _, back := range y.BackTo {
			x.back += back.Boxes
		}
		x.backTo = len(y.BackTo)
	}
	for _, e := range v.Mentions(code) {
		if f, ok := e.Fact.(*record.SupersReceived); ok && f.Signed != "" {
			x.signed = f.Signed
		}
	}
	if n := v.contentNamed(code); n != 0 {
		if r, ok := v.reading(n, record.Water); ok {
			x.water = r.Value
		}
	}
	x.brought.NoGap = slices.ContainsFunc(x.missing, func(m string) bool { return m != "missing.run-in" })
	if l.Closed {
		x.minute = l.ClosedAt.Minute
	} else {
		x.missing = append(x.missing, "settle.open")
	}
	return x
}

// agree finds the terms for a lot: as typed, as the house has them for him, or for all.
func (v *View) agree(p *prices, who string, l *settledLot, ask SettleAsk) error {
	l.prices = map[string]quantity.Figure{}
	of := func(names ...string) (quantity.Figure, bool) {
		for _, n := range names {
			if f, ok := ask.Terms[n]; ok {
				l.prices[names[len(names)-1]] = f
				return f, true
			}
		}
		for _, head := range []string{settleRules + who + ".", settleRules} {
			for _, n := range names {
				if f, ok := p.Setting(p.folded(head + n)); ok && (who != "" || head == settleRules) {
					l.prices[names[len(names)-1]] = f
					return f, true
				}
			}
		}
		return quantity.Figure{}, false
	}
	money := func(names ...string) (m cost.Maybe, err error) {
		if f, ok := of(names...); ok {
			var x cost.Money
			if x, err = cost.Price(f); err == nil {
				m = cost.Agreed(x)
			}
		}
		return m, err
	}
	t := &l.terms
	t.Back = ask.Back
	for _, x := range []struct {
		to    *cost.Maybe
		names []string
	}{{&t.Honey, []string{settlePrice + "." + l.honey, settlePrice}}, {&t.Cooking, []string{settleCooking}}, {&t.FeeKg, []string{settleFee}},
		{&t.FeeSuper, []string{settleSuper}}, {&t.Wax, []string{settleWax}}} {
		m, err := money(x.names...)
		if err != nil {
			return warmRefusal("settle.not-usable", answer.Args{"of": x.names[0], "detail": err.Error()})
		}
		*x.to = m
	}
	t.WaxKept, _ = of(settleKept)
	var ok bool
	if t.GapCarried, ok = of(settleGap); !ok {
		t.GapCarried = v.State.Setting("gap.lot", lotRule)
	}
	return v.moisture(p, who, l, ask)
}

// moisture is what the table adds for the lot's water. Without a table nothing is added;
// with one, and no reading, it is not known.
func (v *View) moisture(p *prices, who string, l *settledLot, ask SettleAsk) error {
	steps := ask.Steps
	for _, head := range []string{settleRules + who + "." + settleStep, settleRules + settleStep} {
		for _, name := range v.State.SettingNames("settle.") {
			bound, ok := cutFold(name, head)
			f, set := p.Setting(name)
			if !ok || !set || len(ask.Steps) > 0 {
				continue
			}
			if m, err := cost.Price(f); err == nil {
				if upTo, err := quantity.ParseFigure(bound, quantity.Want{Unit: quantity.Pct, Style: quantity.DecimalPoint}); err == nil {
					steps = append(steps, cost.Step{UpTo: upTo, Add: m})
				}
			}
		}
		if len(steps) > 0 {
			break
		}
	}
	if len(steps) > 0 && !l.water.Given() {
		l.terms.Moisture = cost.Maybe{}
		l.missing = append(l.missing, "settle.no-water")
		return nil
	}
	m, err := cost.Moisture(steps, l.water)
	if err != nil {
		return warmRefusal("settle.not-usable", answer.Args{"of": l.code, "detail": err.Error()})
	}
	l.terms.Moisture, l.noPrice = m, !m.Known
	return nil
}

// folded is a rule's name as it was set, however its letters are.
func (p *prices) folded(name string) string {
	for _, n := range p.v.State.SettingNames(settleRules) {
		if strings.EqualFold(n, name) {
			return n
		}
	}
	return name
}

func cutFold(name, head string) (string, bool) {
	if len(name) > len(head) && strings.EqualFold(name[:len(head)], head) {
		return name[len(head):], true
	}
	return "", false
}

// boxesOf are the supers of all lots: in, weighed out wet, sent back.
func boxesOf(lots []settledLot) (in, wet, back int64) {
	for _, l := range lots {
		in, wet, back = in+l.brought.Supers, wet+l.wet, back+l.back
	}
	return in, wet, back
}

// numbered names the lines of a statement by lot and line, so that they can be talked of.
func numbered(lot, line int) string { return strconv.Itoa(lot+1) + "." + strconv.Itoa(line+1) }
