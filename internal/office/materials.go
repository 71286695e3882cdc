package office

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/quantity"
	"combline/internal/record"
)

// runLead is how many days before an order is due it is packed, where no run is named
// for it (common practice, no source; the house's own with order.lead).
var runLead = quantity.Figure{Mantissa: 7, Unit: quantity.Day}

// A MaterialsAsk asks what the open orders need to be packed.
type MaterialsAsk struct {
	Today record.Day
	Runs  []PlannedRun // when orders are packed; the others the house's days before they are due
}

// A PlannedRun is a day on which an order is to be packed.
type PlannedRun struct {
	Order record.Code
	Run   record.Code // a name for it; may be empty
	Day   record.Day
	Fill  int64 // units that will be filled in all, with what the house keeps for itself; 0: as ordered
}

// Materials is what packing the open orders needs, material by material.
type Materials struct {
	Needs []Need
	Runs  []PlannedRun // as they were reckoned with, by day
	Lack  []record.Code
	Ask   MaterialsAsk
}

// A Need is one material. Figures are pieces, or grams when Weighed.
type Need struct {
	Material   record.Code
	What       string
	Weighed    bool
	Need       int64
	OnHand     int64
	Known      bool // false: no lot of it was ever written down, or not in this measure; OnHand says nothing then
	Open       bool // something came or went without a figure since the last count
	OnOrder    int64
	Short      int64
	WaitDays   int64
	WaitKnown  bool
	FirstShort PlannedRun
	OrderBy    record.Day // 0: nothing is short
	Parts      []NeedPart
}

// A NeedPart is what one run takes of a material.
type NeedPart struct {
	Order record.Code
	Run   record.Code
	Day   record.Day
	N     int64
}

// Materials works out what the open orders need by the products' recipes.
//
//	need of a run = units ordered × pieces a unit, and the material's spare on top, to
//	                the next piece; at least what the units that will be filled take
//	short         = need of all runs − on hand − on order
//	first short   = the first run by day for which what is on hand, and on order with a
//	                day before it, does not do
//	order by      = that run's day − 1 (the stuff is on the floor the day before) − wait
//
// Goods that are packed already need nothing more. Source: the house's own sums
// (common practice, no source).
func (v *View) Materials(ask MaterialsAsk) Materials {
	m := Materials{Ask: ask}
	covers := v.Covers()
	for _, c := range covers {
		units := c.Open - c.PutBy - c.Goods
		run := v.runFor(ask, c)
		if units <= 0 && run.Fill == 0 {
			continue
		}
		if !slices.ContainsFunc(m.Runs, func(r PlannedRun) bool { return r.Order == run.Order }) {
			m.Runs = append(m.Runs, run)
		}
		if !v.needsOf(&m, c.Product, units, run) {
			m.Lack = append(m.Lack, c.Product)
		}
	}
	slices.SortStableFunc(m.Runs, func(a, b PlannedRun) int { return cmp.Compare(a.Day, b.Day) })
	for i := range m.Needs {
		v.stockOf(&m.Needs[i])
	}
	v.arrivals(&m)
	slices.SortFunc(m.Needs, func(a, b Need) int {
		return cmp.Or(cmp.Compare(a.urgency(), b.urgency()), cmp.Compare(a.Material.Fold(), b.Material.Fold()))
	})
	return m
}

// urgency sorts what is short before what is not, the first to order first.
func (n Need) urgency() record.Day {
	if n.FirstShort.Day == 0 {
		return math.MaxInt32
	}
	return n.OrderBy
}

// arrivals moves a run that waits for stuff, and that nobody named a day for, to the first
// day after one on which somebody is there to take the stuff in.
func (v *View) arrivals(m *Materials) {
	shifts := v.hours()
	for i := range m.Runs {
		r := &m.Runs[i]
		named := slices.ContainsFunc(m.Ask.Runs, func(x PlannedRun) bool { return x.Order.Fold() == r.Order.Fold() })
		waits := slices.ContainsFunc(m.Needs, func(n Need) bool { return n.FirstShort.Order == r.Order && n.FirstShort.Day == r.Day && n.WaitKnown })
		if named || !waits {
			continue
		}
		was := r.Day
		for n := 0; n < 6 && !worksOn(shifts, (r.Day-1).Time()); n++ {
			r.Day++
		}
		if r.Day == was {
			continue
		}
		for j := range m.Needs {
			n := &m.Needs[j]
			for k := range n.Parts {
				if n.Parts[k].Order == r.Order {
					n.Parts[k].Day = r.Day
				}
			}
			n.FirstShort, n.OrderBy, n.OnOrder = PlannedRun{}, 0, 0
			v.stockOf(n)
		}
	}
	slices.SortStableFunc(m.Runs, func(a, b PlannedRun) int { return cmp.Compare(a.Day, b.Day) })
}

// runFor is the day on which an order is packed.
func (v *View) runFor(ask MaterialsAsk, c Cover) PlannedRun {
	for _, r := range ask.Runs {
		if r.Order.Fold() == c.Order.Code.Fold() {
			return r
		}
	}
	lead := record.Day(v.State.Setting("order.lead", runLead).Float())
	return PlannedRun{Order: c.Order.Code, Day: c.Order.Due - lead}
}

// needsOf adds what units of a product take in one run; false when its recipe was never
// written down.
func (v *View) needsOf(m *Materials, product record.Code, units int64, run PlannedRun) bool {
	r, ok := v.State.Goods.Recipe(product, max(m.Ask.Today, DayOf(record.When{Minute: v.State.Latest})))
	if !ok {
		return false
	}
	p, _ := v.State.Goods.Product(product)
	for _, l := range r.Lines {
		if l.Material == "" {
			continue
		}
		f, _ := v.State.Goods.Material(l.Material)
		pieces, weighed := takes(l, p, r.Yield.Grams(), units)
		n := spared(pieces, f)
		if fill, _ := takes(l, p, r.Yield.Grams(), run.Fill); fill > n {
			n = fill
		}
		if n > 0 {
			m.add(l.Material, f, weighed, NeedPart{run.Order, run.Run, run.Day, n})
		}
	}
	return true
}

// takes is what units of a product take of one line of its recipe: pieces, or grams of
// an ingredient by its share of the finished weight.
func takes(l record.RecipeLine, p goods.Product, yield quantity.Gram, units int64) (n int64, weighed bool) {
	if l.Mass.Given() {
		if yield <= 0 || p.ProductNamed == nil {
			return 0, true
		}
		return int64(partUp(l.Mass.Grams(), finished(p, units), yield)), true
	}
	each, per := l.Each, max(1, l.ForUnits)
	if each <= 0 {
		each = 1
	}
	return (units*each + per - 1) / per, false
}

// spared is n with the material's spare on top, to the next piece.
func spared(n int64, m goods.Material) int64 {
	if m.MaterialNamed == nil || !m.Spare.Given() || m.Spare.Mantissa <= 0 {
		return n
	}
	whole := int64(100)
	for range m.Spare.Decimals {
		whole *= 10
	}
	return (n*(whole+m.Spare.Mantissa) + whole - 1) / whole
}

func (m *Materials) add(code record.Code, f goods.Material, weighed bool, part NeedPart) {
	i := slices.IndexFunc(m.Needs, func(n Need) bool { return n.Material.Fold() == code.Fold() && n.Weighed == weighed })
	if i < 0 {
		n := Need{Material: code, Weighed: weighed}
		if f.MaterialNamed != nil {
			n.Material, n.What, n.WaitDays, n.WaitKnown = f.Material, f.What, f.WaitDays, f.WaitDays > 0
		}
		i, m.Needs = len(m.Needs), append(m.Needs, n)
	}
	m.Needs[i].Need += part.N
	m.Needs[i].Parts = append(m.Needs[i].Parts, part)
}

// stockOf sets a need against what is there and on order.
func (v *View) stockOf(n *Need) {
	measure := func(l goods.Level) goods.Count {
		if n.Weighed {
			return l.Grams
		}
		return l.Pieces
	}
	have := measure(v.State.Goods.Stock(n.Material))
	n.Known, n.Open = have.Given, have.Open
	if have.Given {
		n.OnHand = have.N
	}
	coming := v.State.Goods.OnOrder(n.Material)
	for _, o := range coming {
		n.OnOrder += measure(o.Amount).N
	}
	n.Short = max(0, n.Need-n.OnHand-n.OnOrder)
	slices.SortStableFunc(n.Parts, func(a, b NeedPart) int { return cmp.Compare(a.Day, b.Day) })
	var used int64
	for _, part := range n.Parts {
		used += part.N
		there := n.OnHand
		for _, o := range coming {
			if o.Due == 0 || o.Due < part.Day {
				there += measure(o.Amount).N
			}
		}
		if used > there && n.FirstShort.Day == 0 {
			n.FirstShort = PlannedRun{Order: part.Order, Run: part.Run, Day: part.Day}
			n.OrderBy = part.Day - 1 - record.Day(n.WaitDays)
		}
	}
}

// cell is an amount of the material in its measure.
func (n Need) cell(amount int64) any {
	if n.Weighed {
		return quantity.Gram(amount)
	}
	return amount
}

// Answer sets out what to order, and by when.
func (m Materials) Answer(v *View) answer.Answer {
	a := answer.Answer{Question: "materials"}
	shorts, late := m.table(&a)
	m.warn(&a, "materials.none-written", func(n Need) bool { return !n.Known })
	m.warn(&a, "materials.uncounted", func(n Need) bool { return n.Open })
	m.warn(&a, "materials.no-wait", func(n Need) bool { return n.FirstShort.Day != 0 && !n.WaitKnown })
	a.Lines = append(m.inShort(shorts, late), a.Lines...)
	runs := a.Table("material-runs", "order", "run", "day_on", "units")
	for _, r := range m.Runs {
		runs.Row(answer.Plain, r.Order, orNil(r.Run), r.Day, countOrNil(r.Fill))
	}
	for _, p := range m.Lack {
		a.Warn("materials.no-recipe", answer.Args{"product": p})
	}
	a.Follows("materials.follows", answer.Args{"lead": v.State.Setting("order.lead", runLead)})
	v.restsOnRecord(&a)
	return a
}

// table adds the table of what is needed, and counts what is short and what is late.
func (m Materials) table(a *answer.Answer) (shorts, late int64) {
	t := a.Table("material-needs", "material", "what", "needs", "on_hand", "on_order", "short", "wait_days", "first_short", "first_short_on", "order_by")
	for _, n := range m.Needs {
		mark := answer.Plain
		var hand, run, on, by, wait any = n.cell(n.OnHand), nil, nil, nil, nil
		if n.WaitKnown {
			wait = n.WaitDays
		}
		if n.FirstShort.Day != 0 {
			run, on, by = orNil(cmp.Or(n.FirstShort.Run, n.FirstShort.Order)), n.FirstShort.Day, n.OrderBy
			mark = answer.Care
			shorts++
			if n.OrderBy < m.Ask.Today {
				mark = answer.Bad
				late++
			}
		}
		t.Row(mark, n.Material, textOrNil(n.What), n.cell(n.Need), hand, n.cell(n.OnOrder), n.cell(n.Short), wait, run, on, by)
	}
	return shorts, late
}

// warn names the materials of which something is not known.
func (m Materials) warn(a *answer.Answer, key string, is func(Need) bool) {
	var all []record.Code
	for _, n := range m.Needs {
		if is(n) {
			all = append(all, n.Material)
		}
	}
	if len(all) > 0 {
		a.Warn(key, answer.Args{"material": all})
	}
}

// inShort says in one line what is short.
func (m Materials) inShort(shorts, late int64) []answer.Line {
	args := answer.Args{"n": shorts, "late": late}
	switch {
	case len(m.Needs) == 0:
		return []answer.Line{{Key: "materials.nothing", Args: args}}
	case shorts == 0:
		return []answer.Line{{Key: "materials.enough", Args: args, Mark: answer.Good}}
	case late > 0:
		return []answer.Line{{Key: "materials.late", Args: args, Mark: answer.Bad}}
	}
	return []answer.Line{{Key: "materials.short", Args: args, Mark: answer.Care}}
}
