package office

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The house's rule: a gap beyond it is flagged. Common practice; a house sets its own
// with the settings gap.lot and gap.run.
var (
	lotRule = quantity.Figure{Mantissa: 10, Decimals: 1, Unit: quantity.Pct}
	runRule = quantity.Figure{Mantissa: 15, Decimals: 1, Unit: quantity.Pct}
)

// Balance answers what was lost: of a lot or run, or with no code of the season and
// of every lot and run in it.
func (o *Office) Balance(code record.Code) (a answer.Answer) {
	o.Read(func(v *View) { a = v.Balance(code) })
	return a
}

// Balance is [Office.Balance] on a view.
func (v *View) Balance(code record.Code) answer.Answer {
	a := answer.Answer{Question: "balance", Of: v.properCode(code)}
	if code == "" {
		v.seasonBalance(&a)
		v.restsOnRecord(&a)
		followsScales(&a)
		return a
	}
	t, ok := v.State.Find(code)
	if !ok {
		return v.notTraced(a, code)
	}
	if b, ok := v.State.LotBalance(t); ok {
		v.oneBalance(&a, b, v.State.Setting("gap.lot", lotRule))
		v.boxCounts(&a, code)
		l, _ := v.State.Lot(t)
		a.RestsOn("rests.weighings", answer.Args{"in": int64(l.StacksIn), "out": int64(l.StacksOut), "drums": int64(b.Drums)})
		v.restsOnRecord(&a)
		followsScales(&a)
		return a
	}
	if b, ok := v.State.RunBalance(t); ok {
		v.oneBalance(&a, b, v.State.Setting("gap.run", runRule))
		v.restsOnRecord(&a)
		return a
	}
	a.Cannot = &answer.Line{Key: "balance.not-of", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
	return a
}

// followsScales says how the doubt of a gap is worked out.
func followsScales(a *answer.Answer) { a.Follows("follows.scales", nil) }

func (v *View) oneBalance(a *answer.Answer, b house.Balance, rule quantity.Figure) {
	bookings(a, b)
	key, mark := verdict(b, rule)
	args := answer.Args{"of": b.Of, "gap": b.Gap, "percent": b.GapPercent(), "rule": rule, "doubt": doubt(b)}
	a.Lines = append(a.Lines, answer.Line{Key: key, Args: args, Mark: mark})
	if b.Reason != "" {
		a.Say("balance.reason", answer.Args{"reason": b.Reason})
	}
	for _, m := range b.Missing {
		a.Warn("balance."+m, answer.Args{"of": b.Of})
	}
	if mark == answer.Bad {
		a.Then("next.find-the-gap", answer.Args{"of": b.Of})
	}
}

func bookings(a *answer.Answer, b house.Balance) {
	table := a.Table("balance", "side", "what", "mass_g", "of")
	for _, x := range b.In {
		table.Row(answer.Plain, answer.Key("balance.in"), answer.Key(x.Key), x.Grams, listOrNil(x.Of))
	}
	for _, x := range b.Out {
		table.Row(answer.Plain, answer.Key("balance.out"), answer.Key(x.Key), x.Grams, listOrNil(x.Of))
	}
	table.Row(answer.Plain, answer.Key("balance.between"), answer.Key("balance.gap"), b.Gap, nil)
}

func listOrNil(of []record.Code) any {
	if len(of) == 0 {
		return nil
	}
	return of
}

// verdict judges a gap by the house's rule. A gap that was not weighed on both sides
// says nothing, and one in work may still close.
func verdict(b house.Balance, rule quantity.Figure) (key string, mark answer.Mark) {
	most := quantity.Percent(rule.Float())
	p := b.GapPercent()
	switch {
	case unweighed(b):
		return "balance.cannot-say", answer.Care
	case p > most && b.Open:
		return "balance.open-beyond", answer.Care
	case p > most:
		return "balance.beyond", answer.Bad
	case p < -most:
		return "balance.more-than-came", answer.Bad
	case b.Open:
		return "balance.open-within", answer.Plain
	}
	return "balance.within", answer.Good
}

func unweighed(b house.Balance) bool {
	for _, m := range b.Missing {
		if m != "missing.before-hot-room" && m != "missing.boxes" {
			return true
		}
	}
	return false
}

// doubt is the half width of the gap's 9-in-10 band, nil when it is not known.
func doubt(b house.Balance) any {
	if !b.Doubt.Known() {
		return nil
	}
	low, high := b.Doubt.Band9in10()
	return quantity.Gram((high - low) / 2)
}

// seasonBalance is everything that ever came in and where it is, and the gap of
// each lot and run beside its own doubt.
func (v *View) seasonBalance(a *answer.Answer) {
	b := v.State.SeasonBalance()
	bookings(a, b)
	a.Say("balance.season", answer.Args{"in": b.Base, "gap": b.Gap, "percent": b.GapPercent()})
	lots := a.Table("lots", "lot", "site", "gross_in_g", "wet_out_g", "removed_g", "clean_g", "gap_g", "gap_pct", "doubt_g", "verdict")
	rule := v.State.Setting("gap.lot", lotRule)
	balances := once(v, "lots", v.lotBalances)
	for i, t := range v.State.OfKind(record.Lot) {
		b := balances[i]
		l, ok := v.State.Lot(t)
		if !ok {
			continue
		}
		key, mark := verdict(b, rule)
		lots.Row(mark, b.Of, l.Opened.Site, l.GrossIn, l.WetOut, b.Base, outOf(b, "balance.clean"), b.Gap, b.GapPercent(), doubt(b), answer.Key(key+".short"))
		if mark == answer.Bad {
			a.Lines = append(a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": b.Of, "gap": b.Gap, "percent": b.GapPercent(), "rule": rule, "doubt": doubt(b)}})
			a.Then("next.find-the-gap", answer.Args{"of": b.Of})
		}
	}
	runs := a.Table("runs", "run", "product", "in_g", "filled_g", "remainder_g", "lost_g", "gap_g", "gap_pct", "verdict")
	rule = v.State.Setting("gap.run", runRule)
	for _, t := range v.State.OfKind(record.Run) {
		b, ok := v.State.RunBalance(t)
		if !ok {
			continue
		}
		r, _ := v.State.Run(t)
		key, mark := verdict(b, rule)
		runs.Row(mark, b.Of, r.Started.Product, b.Base, outOf(b, "balance.filled")+outOf(b, "balance.products"), outOf(b, "balance.remainder"), outOf(b, "balance.lost"), b.Gap, b.GapPercent(), answer.Key(key+".short"))
		if mark == answer.Bad {
			a.Lines = append(a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": b.Of, "gap": b.Gap, "percent": b.GapPercent(), "rule": rule, "doubt": doubt(b)}})
		}
	}
}

func outOf(b house.Balance, key string) quantity.Gram {
	for _, x := range b.Out {
		if x.Key == key {
			return x.Grams
		}
	}
	return 0
}

// boxCounts are the boxes of a lot at each step.
func (v *View) boxCounts(a *answer.Answer, lot record.Code) {
	l, ok := v.State.Yard.Lot(lot)
	if !ok {
		return
	}
	table := a.Table("boxes", "step", "boxes", "site")
	row := func(key string, n int64, site any) { table.Row(answer.Plain, answer.Key(key), n, site) }
	row("boxes.pulled", l.Pulled, l.Site)
	row("boxes.received", l.Received, nil)
	row("boxes.spun", l.Spun, nil)
	row("boxes.wet", l.Wet, nil)
	for _, b := range l.BackTo {
		mark := answer.Plain
		if b.Site.Fold() != l.Site.Fold() {
			mark = answer.Care
		}
		table.Row(mark, answer.Key("boxes.back"), b.Boxes, b.Site)
	}
	row("boxes.stored", l.Stored, nil)
	row("boxes.in-house", l.InHouse, nil)
}
