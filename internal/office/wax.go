package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Wax answers whose wax a block is and how much wax there should be, by the honey of each
// lot and the house's own share; of one block or lot, or of all.
func (v *View) Wax(code record.Code) answer.Answer {
	a := answer.Answer{Question: "wax", Of: v.properCode(code)}
	lots := v.waxLots()
	var casts []cost.Cast
	for _, l := range lots {
		if l.closed {
			casts = append(casts, cost.Cast{Wax: l.wax, Honey: l.honey})
		}
	}
	share := cost.LearnWax(casts)
	only := v.waxOf(code)
	if code != "" && only == "" {
		return v.notWax(a, code)
	}
	t := a.Table("wax", "lot", "site", "owner", "honey_g", "wax_g", "wax_share", "wax_low_g", "wax_high_g", "wax_blocks", "verdict")
	var wax, honey quantity.Gram
	for _, l := range lots {
		if only != "" && l.lot.Fold() != only.Fold() {
			continue
		}
		wax, honey = wax+l.wax, honey+l.honey
		v.waxRow(&a, t, l, share)
	}
	if len(t.Rows) == 0 {
		a.Cannot = &answer.Line{Key: "wax.none", Args: answer.Args{}}
		return a
	}
	low, high := share.Of(honey)
	said := answer.Line{Key: "wax.sum", Args: answer.Args{"wax": wax, "honey": honey, "low": low, "high": high}}
	if only != "" {
		said = v.whoseWax(lots, only, code, low, high)
	}
	a.Lines = append([]answer.Line{said}, a.Lines...)
	if share.Own {
		a.RestsOn("wax.own", answer.Args{"lots": int64(share.Lots), "mean": waxPct(share.Middle), "low": waxPct(share.Low), "high": waxPct(share.High)})
	} else {
		a.RestsOn("wax.common", answer.Args{"lots": int64(share.Lots), "least": int64(cost.LeastLots)})
	}
	a.Follows("wax.follows", nil)
	v.restsOnRecord(&a)
	return a
}

// A waxLot is a lot's honey, and the blocks that were cast of its cappings.
type waxLot struct {
	lot, site  record.Code
	owner      string
	honey, wax quantity.Gram
	blocks     []record.Code
	closed     bool
}

// waxLots are the lots that gave honey, in order.
func (v *View) waxLots() (all []waxLot) {
	balances := once(v, "lots", v.lotBalances)
	for i, t := range v.State.OfKind(record.Lot) {
		l, ok := v.State.Lot(t)
		if !ok {
			continue
		}
		b := balances[i]
		x := waxLot{lot: v.State.Code(t), site: l.Opened.Site, owner: l.Opened.Owner, closed: l.Closed}
		for _, o := range b.Out {
			switch o.Key {
			case "balance.clean", "balance.melter-honey", "balance.skim", "balance.samples":
				x.honey += o.Grams
			case "balance.wax":
				x.wax, x.blocks = o.Grams, o.Of
			}
		}
		if x.honey > 0 || x.wax > 0 {
			all = append(all, x)
		}
	}
	return all
}

// waxOf is the lot that a code asks for: itself, or that of its block.
func (v *View) waxOf(code record.Code) record.Code {
	t, ok := v.State.Find(code)
	if code == "" || !ok {
		return ""
	}
	switch v.State.KindOf(t) {
	case record.Lot:
		return v.State.Code(t)
	case record.WaxBlock:
		for _, e := range v.Mentions(code) {
			if f, ok := e.Fact.(*record.WaxCast); ok {
				return f.Lot
			}
		}
	}
	return ""
}

func (v *View) notWax(a answer.Answer, code record.Code) answer.Answer {
	t, ok := v.State.Find(code)
	if !ok {
		return v.notTraced(a, code)
	}
	a.Cannot = &answer.Line{Key: "wax.not-of", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
	return a
}

func (v *View) waxRow(a *answer.Answer, t *answer.Table, l waxLot, share cost.WaxShare) {
	low, high := share.Of(l.honey)
	var pct answer.Cell
	if l.honey > 0 {
		pct = waxPct(100 * float64(l.wax) / float64(l.honey))
	}
	var verdict answer.Key = "wax.as-expected"
	mark := answer.Good
	switch {
	case l.wax == 0:
		verdict, mark = "wax.none-cast", answer.Care
	case l.wax < low:
		verdict, mark = "wax.little", answer.Care
	case l.wax > high:
		verdict, mark = "wax.much", answer.Care
	}
	if mark == answer.Care && (l.closed || l.wax > high) {
		a.Warn(string(verdict)+"-line", answer.Args{"lot": l.lot, "wax": l.wax, "low": low, "high": high})
	}
	owner := answer.Cell(answer.Key("wax.house"))
	if l.owner != "" {
		owner = l.owner
	}
	t.Row(mark, l.lot, l.site, owner, l.honey, l.wax, pct, low, high, listOrText(l.blocks), verdict)
}

// waxPct is a share of wax to a hundredth of a per cent: they lie within some tenths.
func waxPct(p float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(100 * p)), Decimals: 2, Unit: quantity.Pct}
}

func listOrText(codes []record.Code) answer.Cell {
	if len(codes) == 0 {
		return ""
	}
	slices.SortFunc(codes, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
	return codes
}

// whoseWax says of one lot or block whose it is and what it should weigh.
func (v *View) whoseWax(lots []waxLot, lot, asked record.Code, low, high quantity.Gram) answer.Line {
	for _, l := range lots {
		if l.lot.Fold() != lot.Fold() {
			continue
		}
		args := answer.Args{"of": v.properCode(asked), "lot": l.lot, "site": l.site, "wax": l.wax, "honey": l.honey, "low": low, "high": high}
		if l.owner != "" {
			args["owner"] = l.owner
			return answer.Line{Key: "wax.whose-owner", Args: args}
		}
		return answer.Line{Key: "wax.whose", Args: args}
	}
	return answer.Line{Key: "wax.none", Args: answer.Args{}}
}
