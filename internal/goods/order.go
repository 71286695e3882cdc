package goods

import (
	"cmp"
	"maps"
	"slices"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// An Order is what a customer ordered and what of it went.
type Order struct {
	Code     record.Code
	Customer record.Code
	Due      record.Day
	Terms    string
	Lines    []OrderLine
	Beyond   []SentLine // went for this order, though no line asks for it
	Taken    Stamp
	Dropped  record.Truth
	Reason   string // of dropping it
}

// An OrderLine is one product of an order. A drum counts as one unit.
type OrderLine struct {
	Product record.Code
	Units   int64
	Drums   []record.Code // chosen by the buyer
	Price   q.Figure
	Sent    int64 // more than Units: too many went
	SentAt  Stamp // last
}

// Open is how many units are still to go.
func (l OrderLine) Open() int64 { return max(0, l.Units-l.Sent) }

// Open reports whether anything is still to go.
func (o Order) Open() bool {
	return o.Dropped != record.Yes && slices.ContainsFunc(o.Lines, func(l OrderLine) bool { return l.Open() > 0 })
}

type order struct {
	code    record.Code
	taken   *record.OrderTaken // nil while only something sent for it was written down
	takenAt Stamp
	dropped *record.OrderDropped
	dropAt  Stamp
	sent    []SentLine
}

func (o *order) clone() *order {
	c := *o
	c.sent = slices.Clip(o.sent)
	return &c
}

func (g *Goods) order(c record.Code) *order {
	k := c.Fold()
	o := g.orders[k]
	if o == nil {
		o = &order{code: c}
		put(&g.orders, k, o)
	}
	return o
}

func (g *Goods) orderDropped(f *record.OrderDropped, at Stamp) {
	o := g.order(f.Order)
	o.dropped, o.dropAt = f, at
	for k := range g.promises {
		g.free(k, f.Order)
	}
}

func (g *Goods) view(o *order) Order {
	v := Order{Code: o.code, Taken: o.takenAt, Dropped: record.No}
	if o.dropped != nil {
		v.Dropped, v.Reason = record.Yes, o.dropped.Reason
	}
	if o.taken != nil {
		v.Customer, v.Due, v.Terms = o.taken.Customer, o.taken.Due, o.taken.Terms
		for _, l := range o.taken.Lines {
			v.Lines = append(v.Lines, OrderLine{Product: l.Product, Units: max(0, l.Units), Drums: l.Drums, Price: l.Price})
		}
	}
	for _, s := range o.sent {
		if !g.book(v.Lines, s) {
			v.Beyond = append(v.Beyond, s)
		}
	}
	return v
}

// book counts what went on the order's lines: jars by product, each line up to
// what it asks for and the rest on the last; a drum on the line that names it,
// else on a line of drums.
func (g *Goods) book(lines []OrderLine, s SentLine) bool {
	if s.Batch == "" {
		l := g.drumLine(lines, s.What)
		if l == nil {
			return false
		}
		l.Sent, l.SentAt = l.Sent+1, s.Stamp
		return true
	}
	product, left := g.productOf(g.batches[s.Batch.Fold()]), s.Units
	var last *OrderLine
	for i := range lines {
		if l := &lines[i]; product != "" && l.Product.Fold() == product.Fold() {
			n := min(left, l.Open())
			if left, last = left-n, l; n > 0 {
				l.Sent, l.SentAt = l.Sent+n, s.Stamp
			}
		}
	}
	if last == nil {
		return false
	}
	last.Sent, last.SentAt = last.Sent+left, s.Stamp
	return true
}

func (g *Goods) drumLine(lines []OrderLine, drum record.Code) *OrderLine {
	var bulk *OrderLine
	for i := range lines {
		l := &lines[i]
		if slices.ContainsFunc(l.Drums, func(c record.Code) bool { return c.Fold() == drum.Fold() }) {
			return l
		}
		p, known := g.products[l.Product.Fold()]
		if len(l.Drums) == 0 && !(known && p.What == record.BulkDrum) {
			continue
		}
		if bulk == nil || bulk.Open() == 0 {
			bulk = l
		}
	}
	return bulk
}

// Order returns an order.
func (g *Goods) Order(c record.Code) (Order, bool) {
	o, ok := g.orders[c.Fold()]
	if !ok {
		return Order{}, false
	}
	return g.view(o), true
}

// Orders lists every order by code.
func (g *Goods) Orders() []Order {
	var all []Order
	for _, k := range slices.Sorted(maps.Keys(g.orders)) {
		all = append(all, g.view(g.orders[k]))
	}
	return all
}

// Open lists the orders that were taken by a day and are not filled, the first due
// first; day 0 is any day.
func (g *Goods) Open(by record.Day) []Order {
	var all []Order
	for _, o := range g.orders {
		if o.taken == nil || o.dropped != nil || by != 0 && o.takenAt.Day() > by {
			continue
		}
		if v := g.view(o); v.Open() {
			all = append(all, v)
		}
	}
	slices.SortFunc(all, func(a, b Order) int {
		return cmp.Or(cmp.Compare(a.Due, b.Due), cmp.Compare(a.Code.Fold(), b.Code.Fold()))
	})
	return all
}
