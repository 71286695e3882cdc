package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A Cover is what there is for one line of an open order, the orders that are due
// first having taken theirs: units put by for it, free units, and units that free
// honey of its kind would make.
type Cover struct {
	Order     goods.Order
	Product   record.Code
	Open      int64 // units still to go
	PutBy     int64
	Goods     int64
	FromHoney int64
	Short     int64
	Kind      string        // of honey; empty: not known, or drums by number
	Honey     quantity.Gram // for what is not packed yet
	ShortG    quantity.Gram // of it, what is not there
	NoKind    bool          // what honey it takes was not written down
	Touched   bool          // some of it may have been touched by a hold, and nobody has ruled on it
}

// Covered reports whether the line can be met with what is here.
func (c Cover) Covered() bool { return c.Short == 0 && !c.NoKind }

// Covers goes through the open orders, the first due first, and gives each what is put
// by for it, then free goods, then free honey of its kind. Held, touched and
// otherwise promised honey and goods give nothing. Whether a blend of the honey keeps
// its limits is another question.
func (v *View) Covers() (all []Cover) {
	orders := v.State.Goods.Open(0)
	p := v.pool(orders)
	for _, o := range orders {
		for _, l := range byProduct(o.Lines) {
			if l.Units > 0 {
				all = append(all, p.cover(o, l))
			}
		}
	}
	return all
}

// A pool is what is free, as far as no order has taken it yet.
type pool struct {
	v     *View
	held  house.Held
	goods map[string]int64         // units by batch
	honey map[string]quantity.Gram // table honey by kind
	maybe map[string]quantity.Gram // of it, what may have been touched
	drums map[string]bool          // chosen by a buyer, or given
}

func (v *View) pool(orders []goods.Order) *pool {
	p := &pool{v: v, held: v.held(), goods: map[string]int64{}, honey: map[string]quantity.Gram{}, maybe: map[string]quantity.Gram{}, drums: map[string]bool{}}
	for _, o := range orders {
		for _, l := range o.Lines {
			for _, d := range l.Drums {
				if c, ok := v.bulkOf(d); ok {
					p.drums[c.Code.Fold()] = true
				}
			}
		}
	}
	put := v.promised()
	for _, c := range v.State.Contents() {
		if c.Purpose != record.TableHoney || c.Grams <= 0 || p.held.Blocked(c.Node) || p.drums[c.Code.Fold()] || put[c.Code.Fold()] != "" || put[c.Vessel.Fold()] != "" {
			continue
		}
		if p.held.Touched(c.Node) {
			p.maybe[v.honeyOf(c)] += c.Grams
		} else {
			p.honey[v.honeyOf(c)] += c.Grams
		}
	}
	for _, b := range v.State.Goods.Batches() {
		if n, _ := v.State.Goods.Free(b.Code); n > 0 && !v.State.Goods.SetAside(b.Code) && !p.blocked(b.Code) {
			p.goods[b.Code.Fold()] = n
		}
	}
	return p
}

func (p *pool) blocked(batch record.Code) bool {
	_, on := p.v.blockedBy(p.held, batch)
	return on
}

func (p *pool) touched(batch record.Code) bool {
	return slices.ContainsFunc(p.v.State.RootsOf(batch), p.held.Touched)
}

func (p *pool) cover(o goods.Order, l goods.OrderLine) Cover {
	c := Cover{Order: o, Product: l.Product, Open: l.Units}
	if len(l.Drums) > 0 {
		return p.chosen(c, l)
	}
	g := p.v.State.Goods
	for _, b := range g.FirstOut(l.Product) {
		if n := g.PutBy(b.Code, o.Code); n > 0 && !p.blocked(b.Code) {
			c.PutBy += n
			c.Touched = c.Touched || p.touched(b.Code)
		}
	}
	c.PutBy = min(c.PutBy+p.ownDrums(o, l), c.Open)
	for _, b := range g.FirstOut(l.Product) {
		n := min(c.Open-c.PutBy-c.Goods, p.goods[b.Code.Fold()])
		p.goods[b.Code.Fold()] -= n
		c.Goods += n
		c.Touched = c.Touched || n > 0 && p.touched(b.Code)
	}
	return p.honeyFor(c, c.Open-c.PutBy-c.Goods)
}

// honeyFor gives honey for units that are not packed.
func (p *pool) honeyFor(c Cover, units int64) Cover {
	if units == 0 {
		return c
	}
	c.Kind = p.v.kindFor(c.Product)
	c.Honey = p.v.honeyInto(c.Product, units)
	if c.Kind == "" || c.Honey == 0 {
		c.NoKind, c.Short = true, units
		return c
	}
	got := min(c.Honey, p.ownHoney(c))
	n := min(c.Honey-got, p.honey[c.Kind])
	p.honey[c.Kind], got = p.honey[c.Kind]-n, got+n
	if n = min(c.Honey-got, p.maybe[c.Kind]); n > 0 {
		p.maybe[c.Kind], got, c.Touched = p.maybe[c.Kind]-n, got+n, true
	}
	c.ShortG = c.Honey - got
	c.FromHoney = int64(float64(units) * float64(got) / float64(c.Honey))
	if c.ShortG == 0 {
		c.FromHoney = units
	}
	c.Short = units - c.FromHoney
	return c
}

// ownDrums counts drums that are put by for an order of drums.
func (p *pool) ownDrums(o goods.Order, l goods.OrderLine) (n int64) {
	if x, ok := p.v.State.Goods.Product(l.Product); !ok || x.What != record.BulkDrum {
		return 0
	}
	for _, put := range p.v.State.Goods.PromisesTo(o.Code) {
		if c, ok := p.v.bulkOf(put.What); ok && !p.held.Blocked(c.Node) {
			n++
		}
	}
	return n
}

// ownHoney is honey in bulk that is put by for an order of something packed.
func (p *pool) ownHoney(c Cover) (sum quantity.Gram) {
	if x, ok := p.v.State.Goods.Product(c.Product); ok && x.What == record.BulkDrum {
		return 0
	}
	for _, put := range p.v.State.Goods.PromisesTo(c.Order.Code) {
		if x, ok := p.v.bulkOf(put.What); ok && !p.held.Blocked(x.Node) && p.v.honeyOf(x) == c.Kind {
			sum += max(0, x.Grams)
		}
	}
	return sum
}

// chosen looks at drums that the buyer chose.
func (p *pool) chosen(c Cover, l goods.OrderLine) Cover {
	for _, d := range l.Drums {
		x, ok := p.v.bulkOf(d)
		if !ok {
			continue
		}
		if _, taken := p.v.contentPutBy(x, c.Order.Code); taken || p.held.Blocked(x.Node) {
			c.ShortG += x.Grams
			continue
		}
		c.Touched = c.Touched || p.held.Touched(x.Node)
		if p.v.putByFor(x.Code, c.Order.Code) {
			c.PutBy++
		} else {
			c.Goods++
		}
	}
	c.PutBy, c.Goods = min(c.PutBy, c.Open), min(c.Goods, c.Open-min(c.PutBy, c.Open))
	c.Short = c.Open - c.PutBy - c.Goods
	return c
}

// honeyInto is how much honey goes into units that are still to be packed: what the
// labels say and the house's allowance for hoses and overfill; of a product with
// honey as an ingredient, its share of the finished weight.
func (v *View) honeyInto(product record.Code, units int64) quantity.Gram {
	p, ok := v.State.Goods.Product(product)
	if !ok {
		return 0
	}
	r, _ := v.State.Goods.Recipe(product, DayOf(record.When{Minute: v.State.Latest}))
	if r.RecipeSet != nil {
		if of := r.Yield.Grams(); of > 0 {
			for _, l := range r.Lines {
				if l.Honey != "" && l.Mass.Given() {
					return partUp(l.Mass.Grams(), finished(p, units), of)
				}
			}
		}
	}
	if p.What == record.BulkDrum {
		return quantity.Gram(units) * p.Label.Grams()
	}
	return v.honeyFor(p, units)
}

// finished is what units of a product weigh by their labels.
func finished(p goods.Product, units int64) quantity.Gram {
	mg, err := p.Label.Figure.Milligrams()
	if err != nil || mg <= 0 {
		return 0
	}
	return quantity.Gram((int64(mg)*units + 999) / 1000)
}

// partUp is m × part / whole, to the next gram.
func partUp(m, part, whole quantity.Gram) quantity.Gram {
	return quantity.Gram((int64(m)*int64(part) + int64(whole) - 1) / int64(whole))
}

// OrderList lists the open orders by day due with what there is for each.
func (v *View) OrderList(today record.Day) answer.Answer {
	a := answer.Answer{Question: "orders"}
	all := v.Covers()
	v.coverTable(&a, all, today)
	orders, bad := map[record.Code]bool{}, map[record.Code]bool{}
	for _, c := range all {
		orders[c.Order.Code] = true
		if !c.Covered() {
			bad[c.Order.Code] = true
		}
	}
	head := answer.Line{Key: "orders.open", Args: answer.Args{"n": int64(len(orders)), "short": int64(len(bad))}}
	if len(bad) > 0 {
		head.Mark = answer.Care
	}
	a.Lines = append(a.Lines, head)
	done := a.Table("orders-done", "order", "customer", "due", "status")
	for _, o := range v.State.Goods.Orders() {
		if !o.Open() && o.Customer != "" {
			st := "orders.sent"
			if o.Dropped == record.Yes {
				st = "orders.dropped"
			}
			done.Row(answer.Plain, o.Code, orNil(o.Customer), dayOrNil(o.Due), answer.Key(st))
		}
	}
	v.coverRests(&a)
	return a
}

func (v *View) coverTable(a *answer.Answer, all []Cover, today record.Day) {
	t := a.Table("orders", "order", "customer", "due", "product", "open_units", "put_by_units", "free_units", "to_pack_units", "honey", "needs_g", "short_units", "status")
	for _, c := range all {
		st, mark := c.Status(today)
		t.Row(mark, c.Order.Code, orNil(c.Order.Customer), dayOrNil(c.Order.Due), c.Product, c.Open, c.PutBy, c.Goods, c.FromHoney, textOrNil(c.Kind), massOrNil(c.Honey), c.Short, answer.Key(st))
	}
}

// Status is the key of how a line stands.
func (c Cover) Status(today record.Day) (string, answer.Mark) {
	switch {
	case c.NoKind:
		return "orders.no-kind", answer.Care
	case c.Short > 0:
		return "orders.short", answer.Bad
	case c.Order.Due != 0 && c.Order.Due < today:
		return "orders.late", answer.Bad
	case c.Touched:
		return "orders.touched", answer.Care
	case c.PutBy == c.Open:
		return "orders.ready", answer.Good
	case c.FromHoney == 0:
		return "orders.in-stock", answer.Good
	}
	return "orders.to-pack", answer.Plain
}

func (v *View) coverRests(a *answer.Answer) {
	a.Follows("orders.follows", answer.Args{"allow": v.State.Setting("blend.allow", blendAllow)})
	v.restsOnRecord(a)
}

// OrderOf is one order: what was ordered, put by, is free, lacks, and went.
func (v *View) OrderOf(code record.Code, today record.Day) answer.Answer {
	a := answer.Answer{Question: "order", Of: v.properCode(code)}
	o, ok := v.State.Goods.Order(code)
	if !ok {
		return v.notTraced(a, code)
	}
	a.Say("order.of", answer.Args{"order": o.Code, "customer": v.customerName(o.Customer), "due": dayOrNil(o.Due), "taken": whenOrNil(o.Taken.When)})
	if o.Dropped == record.Yes {
		a.Warn("order.dropped", answer.Args{"reason": o.Reason})
	}
	if o.Terms != "" {
		a.Say("order.terms", answer.Args{"terms": o.Terms})
	}
	t := a.Table("order-lines", "product", "units", "sent_units", "left", "drums", "price")
	for _, l := range o.Lines {
		var price any
		if l.Price.Given() {
			price = l.Price
		}
		t.Row(answer.Plain, l.Product, l.Units, l.Sent, l.Open(), lots(l.Drums), price)
	}
	v.chosenHeld(&a, o)
	var mine []Cover
	for _, c := range v.Covers() {
		if c.Order.Code.Fold() == o.Code.Fold() {
			mine = append(mine, c)
		}
	}
	v.coverTable(&a, mine, today)
	put := a.Table("put-by", "what", "units", "when", "fact")
	for _, p := range v.State.Goods.PromisesTo(o.Code) {
		put.Row(answer.Plain, p.What, countOrNil(p.Units), p.When, int64(p.Fact))
	}
	v.sentFor(&a, o)
	v.coverRests(&a)
	return a
}

// chosenHeld says which of the drums that the buyer chose are on hold, and by what.
func (v *View) chosenHeld(a *answer.Answer, o goods.Order) {
	held := v.held()
	for _, l := range o.Lines {
		for _, d := range l.Drums {
			if by, on := v.blockedBy(held, d); on && l.Open() > 0 {
				a.Lines = append(a.Lines, answer.Line{Key: "pick.drum-held", Args: answer.Args{"drum": d, "hold": by}, Mark: answer.Bad})
			}
		}
	}
}

// sentFor lists what went for an order.
func (v *View) sentFor(a *answer.Answer, o goods.Order) {
	t := a.Table("sent", "dispatch", "when", "what", "units", "ship_to")
	for _, d := range v.State.Goods.Dispatches() {
		if d.Order.Fold() != o.Code.Fold() {
			continue
		}
		for _, l := range v.linesOf(d) {
			t.Row(answer.Plain, d.Sent.Dispatch, d.When, l.What, countOrNil(l.Units), textOrNil(l.ShipTo))
		}
	}
}

// linesOf is what went in a dispatch, batch by batch and drum by drum.
func (v *View) linesOf(d goods.Dispatch) (all []goods.SentLine) {
	for _, u := range d.Units {
		for _, l := range v.State.Goods.SentOf(u.Batch) {
			if l.Dispatch.Fold() == d.Sent.Dispatch.Fold() {
				l.What = l.Batch
				all = append(all, l)
			}
		}
	}
	for _, x := range d.Lines {
		for _, l := range v.State.Goods.SentOfFilling(x.What) {
			if x.What != "" && l.Dispatch.Fold() == d.Sent.Dispatch.Fold() {
				all = append(all, l)
			}
		}
	}
	return all
}

// Unfilled answers which promises can't be kept with what is here, by week.
func (v *View) Unfilled(today record.Day) answer.Answer {
	a := answer.Answer{Question: "unfilled"}
	weeks := weeksOf(v.Covers())
	t := a.Table("weeks", "week", "product", "orders_n", "open_units", "put_by_units", "free_units", "to_pack_units", "needs_g", "short_units", "short_g")
	shortWeeks := int64(0)
	for _, w := range weeks {
		mark := answer.Plain
		if w.Short > 0 {
			mark = answer.Bad
			shortWeeks++
		}
		t.Row(mark, w.monday, w.Product, w.orders, w.Open, w.PutBy, w.Goods, w.FromHoney, massOrNil(w.Honey), w.Short, w.ShortG)
	}
	switch {
	case len(weeks) == 0:
		a.Say("unfilled.nothing", nil)
	case shortWeeks == 0:
		a.Lines = append(a.Lines, answer.Line{Key: "unfilled.none", Mark: answer.Good})
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "unfilled.some", Args: answer.Args{"n": shortWeeks}, Mark: answer.Bad})
	}
	v.coverRests(&a)
	return a
}

type weekCover struct {
	Cover
	monday record.Day
	orders int64
}

// weeksOf adds up the lines of one product that are due in one week.
func weeksOf(all []Cover) (weeks []weekCover) {
	for _, c := range all {
		monday := Monday(c.Order.Due)
		i := slices.IndexFunc(weeks, func(w weekCover) bool { return w.monday == monday && w.Product.Fold() == c.Product.Fold() })
		if i < 0 {
			i, weeks = len(weeks), append(weeks, weekCover{Cover: Cover{Product: c.Product}, monday: monday})
		}
		w := &weeks[i]
		w.orders++
		w.Open, w.PutBy, w.Goods, w.FromHoney = w.Open+c.Open, w.PutBy+c.PutBy, w.Goods+c.Goods, w.FromHoney+c.FromHoney
		w.Short, w.Honey, w.ShortG = w.Short+c.Short, w.Honey+c.Honey, w.ShortG+c.ShortG
	}
	slices.SortStableFunc(weeks, func(a, b weekCover) int { return cmp.Compare(a.monday, b.monday) })
	return weeks
}

// Monday is the Monday of a day's week.
func Monday(d record.Day) record.Day {
	// 5 January 1970 was a Monday
	n := (int64(d) - 4) % 7
	if n < 0 {
		n += 7
	}
	return d - record.Day(n)
}
