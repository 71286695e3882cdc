package goods

import (
	"cmp"
	"slices"

	"combline/internal/record"
)

// Keys of [Flag].
const (
	FlagMoreSent        = "goods.more_sent"          // units of a batch than there ever were
	FlagMoreCased       = "goods.more_cased"         // than there ever were
	FlagMoreOut         = "goods.more_out"           // left in all ways together than there were
	FlagFromCases       = "goods.taken_from_cases"   // no loose units were left: some closed case is short
	FlagMoreReturned    = "goods.more_returned"      // than were sent
	FlagPromisedMore    = "goods.promised_more"      // than is on hand
	FlagSentPromised    = "goods.sent_promised"      // a drum went that was put by for another order
	FlagNoOrder         = "goods.sent_without_order" // a dispatch names no order, and the customer waits for one
	FlagOrderUnknown    = "goods.order_unknown"      // something went for an order that nobody took
	FlagOrderDropped    = "goods.sent_dropped_order" // something went for an order that was dropped
	FlagNotOrdered      = "goods.not_ordered"        // something went that no line of the order asks for
	FlagOverSent        = "goods.over_sent"          // more went than the order asks for
	FlagCasesOdd        = "goods.cases_odd"          // numbers of cases that can't be; left out
	FlagCasesDontFit    = "goods.cases_dont_fit"     // units and cases don't agree
	FlagCaseTwice       = "goods.case_twice"         // a case number was used before
	FlagCasesUnknown    = "goods.cases_unknown"      // a pallet names cases that are not in the house
	FlagCasesNotHere    = "goods.cases_not_here"     // a dispatch names cases that are not in the house
	FlagPalletEmpty     = "goods.pallet_empty"       // a dispatch names a pallet with no case on it
	FlagUnitsDiffer     = "goods.units_differ"       // the units of a line are not those of its cases
	FlagMaterialBelow   = "goods.material_below"     // zero: more was used than came
	FlagMaterialUnknown = "goods.material_unknown"   // used, and nobody wrote down that it came
	FlagMaterialTwice   = "goods.material_twice"     // used by a batch, and written down as its input too
	FlagCountOdd        = "goods.count_odd"          // a number of units that can't be; left out
	FlagAnswerUnknown   = "goods.complaint_unknown"  // an answer to no complaint
	FlagRecallUnknown   = "goods.recall_unknown"     // the end of no recall
)

// A Flag is something that was recorded and can't be, or should not have been.
type Flag struct {
	Key      string
	Batch    record.Code
	Of       record.Code // pallet, drum, material lot, product, complaint or recall
	Order    record.Code
	Dispatch record.Code
	Cases    record.Cases
	Units    int64 // what was written down
	Most     int64 // what could be at most, where that is the point
	Stamp
}

// Flags lists what is odd, in order of time.
func (g *Goods) Flags() []Flag {
	all := slices.Clone(g.odd)
	for _, b := range g.batches {
		all = g.batchFlags(all, b)
	}
	for _, o := range g.orders {
		all = g.orderFlags(all, o)
	}
	open := g.Open(0)
	for _, d := range g.dispatches {
		if order := forgotten(open, d); order != "" {
			all = append(all, Flag{Key: FlagNoOrder, Dispatch: d.Dispatch, Order: order, Stamp: d.Stamp})
		}
	}
	for _, l := range g.lots {
		all = lotFlags(all, l)
	}
	slices.SortStableFunc(all, func(a, b Flag) int {
		return cmp.Or(cmp.Compare(a.When.Minute, b.When.Minute), cmp.Compare(a.Fact, b.Fact), cmp.Compare(a.Key, b.Key),
			cmp.Compare(a.Batch, b.Batch), cmp.Compare(a.Of, b.Of), cmp.Compare(a.Order, b.Order), cmp.Compare(a.Cases.First, b.Cases.First))
	})
	return all
}

// forgotten is the open order that a dispatch without one was perhaps for. A sale over
// the counter, to whoever comes, has none.
func forgotten(open []Order, d Dispatch) record.Code {
	if d.Order != "" {
		return ""
	}
	for _, o := range open {
		if o.Customer.Fold() == d.Customer.Fold() && o.Taken.When.Minute <= d.When.Minute {
			return o.Code
		}
	}
	return ""
}

func (g *Goods) batchFlags(all []Flag, b *batch) []Flag {
	in := b.made + b.cameIn
	f := Flag{Batch: b.code, Most: in, Stamp: b.outAt}
	switch {
	case b.sent > in:
		f.Key, f.Units = FlagMoreSent, b.sent
	case b.casedEver > in:
		f.Key, f.Units = FlagMoreCased, b.casedEver
	case b.onHand() < 0:
		f.Key, f.Units = FlagMoreOut, in-b.onHand()
	case b.onHand() < b.inCases:
		f.Key, f.Units, f.Most = FlagFromCases, b.inCases-b.onHand(), b.inCases
	}
	if f.Key != "" {
		all = append(all, f)
	}
	if b.back > b.sent {
		for _, r := range g.ReturnsOf(b.code) {
			f.Stamp = r.Stamp
		}
		all = append(all, Flag{Key: FlagMoreReturned, Batch: b.code, Units: b.back, Most: b.sent, Stamp: f.Stamp})
	}
	if free, _ := g.Free(b.code); free < 0 && f.Key == "" {
		list := g.promises[b.code.Fold()]
		all = append(all, Flag{Key: FlagPromisedMore, Batch: b.code, Order: list[len(list)-1].Order, Units: b.onHand() - free,
			Most: b.onHand(), Stamp: list[len(list)-1].Stamp})
	}
	return all
}

func (g *Goods) orderFlags(all []Flag, o *order) []Flag {
	v := g.view(o)
	for _, s := range o.sent {
		f := Flag{Order: o.code, Batch: s.Batch, Of: s.What, Dispatch: s.Dispatch, Units: s.Units, Stamp: s.Stamp}
		switch {
		case o.taken == nil:
			f.Key = FlagOrderUnknown
		case o.dropped != nil && o.dropAt.When.Minute <= s.When.Minute:
			f.Key = FlagOrderDropped
		default:
			continue
		}
		all = append(all, f)
	}
	if o.taken == nil {
		return all
	}
	for _, s := range v.Beyond {
		all = append(all, Flag{Key: FlagNotOrdered, Order: o.code, Batch: s.Batch, Of: s.What, Dispatch: s.Dispatch, Units: s.Units, Stamp: s.Stamp})
	}
	for _, l := range v.Lines {
		if l.Sent > l.Units {
			all = append(all, Flag{Key: FlagOverSent, Order: o.code, Of: l.Product, Units: l.Sent, Most: l.Units, Stamp: l.SentAt})
		}
	}
	return all
}

func lotFlags(all []Flag, l *materialLot) []Flag {
	f := Flag{Of: l.Lot, Stamp: l.outAt}
	if l.Material == "" {
		f.Key = FlagMaterialUnknown
		return append(all, f)
	}
	if n := min(l.Left.Pieces.N, l.Left.Grams.N); n < 0 {
		f.Key, f.Units = FlagMaterialBelow, n
		all = append(all, f)
	}
	for i, u := range l.uses {
		if u.Input && slices.ContainsFunc(l.uses, func(o Use) bool { return !o.Input && o.For.Fold() == u.For.Fold() }) {
			all = append(all, Flag{Key: FlagMaterialTwice, Of: l.Lot, Batch: u.For, Stamp: l.uses[i].Stamp})
		}
	}
	return all
}
