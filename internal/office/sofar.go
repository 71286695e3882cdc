package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// What the record holds of each step so far, latest first.

// LotsIn lists the lots with their weights in and out.
func (v *View) LotsIn() answer.Answer {
	a := answer.Answer{Question: "lots"}
	table := a.Table("lots", "lot", "site", "gross_in_g", "wet_out_g", "clean_g", "gap_g", "verdict")
	rule := v.State.Setting("gap.lot", lotRule)
	things := v.State.OfKind(record.Lot)
	slices.Reverse(things)
	for _, t := range things {
		b, ok := v.State.LotBalance(t)
		if !ok {
			continue
		}
		l, _ := v.State.Lot(t)
		key, mark := verdict(b, rule)
		table.Row(mark, b.Of, orNil(l.Opened.Site), l.GrossIn, l.WetOut, outOf(b, "balance.clean"), b.Gap, answer.Key(key+".short"))
	}
	return a
}

// MixesMade lists contents that were poured together from several.
func (v *View) MixesMade() answer.Answer {
	a := answer.Answer{Question: "mixes"}
	table := a.Table("contents", "content", "vessel", "in_all_g", "left_g", "when")
	seen := map[trace.Node]bool{} // one mix may stand in several vessels
	for _, t := range v.State.OfKind(record.Vessel) {
		x, _ := v.State.Vessel(t)
		named, ok := v.State.Named(t).(*record.VesselNamed)
		if !ok || named.Shape != record.Tank {
			continue
		}
		for _, n := range x.Contents {
			if lines := v.State.ByOrigin(n); len(lines) > 1 && !seen[n] {
				seen[n] = true
				c := v.State.Content(n)
				table.Row(answer.Plain, c.Code, orNil(c.Vessel), c.Made, c.Grams, c.When)
			}
		}
	}
	slices.SortStableFunc(table.Rows, func(a, b answer.Row) int { return latest(a.Cells[4], b.Cells[4]) })
	return a
}

func latest(a, b any) int {
	x, _ := a.(record.When)
	y, _ := b.(record.When)
	return int(min(1, max(-1, y.Minute-x.Minute)))
}

// RunsMade lists the packing runs with what went in and came out.
func (v *View) RunsMade() answer.Answer {
	a := answer.Answer{Question: "runs"}
	table := a.Table("runs", "run", "product", "when", "in_g", "filled_g", "gap_g", "verdict")
	rule := v.State.Setting("gap.run", runRule)
	things := v.State.OfKind(record.Run)
	slices.Reverse(things)
	for _, t := range things {
		b, ok := v.State.RunBalance(t)
		if !ok {
			continue
		}
		r, _ := v.State.Run(t)
		key, mark := verdict(b, rule)
		var when any
		if e, err := v.Fact(firstOf(v.State.Mentions(t))); err == nil {
			when = e.When
		}
		table.Row(mark, b.Of, orNil(r.Started.Product), when, b.Base, outOf(b, "balance.filled")+outOf(b, "balance.products"), b.Gap, answer.Key(key+".short"))
	}
	return a
}

func firstOf(seqs []uint32) uint64 {
	if len(seqs) == 0 {
		return 0
	}
	return uint64(seqs[0])
}

// OrdersAndSent lists orders with what is still to go, and what was sent.
func (v *View) OrdersAndSent() answer.Answer {
	a := answer.Answer{Question: "orders"}
	due := a.Table("due", "code", "customer", "due", "left")
	orders := v.State.Goods.Orders()
	slices.Reverse(orders)
	for _, o := range orders {
		due.Row(answer.Plain, o.Code, orNil(o.Customer), dayOrNil(o.Due), leftOf(o))
	}
	sent := a.Table("sent", "dispatch", "customer", "when", "units", "mass_g")
	things := v.State.OfKind(record.Dispatch)
	slices.Reverse(things)
	for _, t := range things {
		row := answer.Row{Cells: []any{v.State.Code(t), nil, nil, int64(0), v.sentMass(t)}}
		for _, n := range v.State.RootsOf(v.State.Code(t)) {
			to := v.State.SentTo(n)
			row.Cells[1], row.Cells[2] = orNil(to.Customer), whenOrNil(to.When)
			row.Cells[3] = row.Cells[3].(int64) + to.Units
		}
		sent.Rows = append(sent.Rows, row)
	}
	return a
}

func (v *View) sentMass(dispatch house.Thing) (sum quantity.Gram) {
	for _, n := range v.State.RootsOf(v.State.Code(dispatch)) {
		sum += v.State.Graph().Made(n)
	}
	return sum
}

func dayOrNil(d record.Day) any {
	if d == 0 {
		return nil
	}
	return d
}
