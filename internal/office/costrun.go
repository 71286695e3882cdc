package office

import (
	"math"
	"math/big"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A RunCost is what a packing run cost, or one batch of a product with honey in it.
type RunCost struct {
	Of       record.Code
	Product  record.Code
	When     record.When
	Open     bool // still in work
	Units    int64
	Thrown   int64 // destroyed or tipped back
	Retained int64
	Label    quantity.Milligram
	Filled   quantity.Gram
	Honey    quantity.Gram // that it used
	Tipped   []record.Code // drums that fed it
	Hours    *big.Rat      // person-hours; nil: not known
	Lines    []costLine
	Over     cost.Overfill
	HasOver  bool
	prices   *prices
}

// Left is how many units are there to be sold.
func (c *RunCost) Left() int64 { return c.Units - c.Thrown - c.Retained }

// Sum is what it cost; whole is false when a part of it is not known.
func (c *RunCost) Sum() (sum cost.Money, whole bool) { return sheetOf(c.Lines).Sum() }

// RunCost works out what a run cost with the prices of its day.
func (v *View) RunCost(run record.Code) (c RunCost, ok bool) {
	t, found := v.State.Find(run)
	r, is := v.State.Run(t)
	b, balanced := v.State.RunBalance(t)
	if !found || !is || !balanced {
		return c, false
	}
	c = RunCost{Of: v.State.Code(t), Product: r.Started.Product, When: r.When, Open: !r.Ended, prices: v.pricesAt(r.When.Minute)}
	c.Filled = outOf(b, "balance.filled")
	c.Honey = b.Base - outOf(b, "balance.remainder") - outOf(b, "balance.other-run")
	for _, in := range b.In {
		c.Tipped = append(c.Tipped, in.Of...)
	}
	for _, mark := range r.Batches {
		if b, found := v.State.Goods.Batch(v.State.Code(mark)); found { // those of other marks were filled under these
			c.Units += b.Made
		}
	}
	v.wasted(&c)
	var from []trace.Node
	from = append(from, r.Fed...)
	for _, mark := range r.Batches {
		if n, _, made := v.madeOf(v.State.Code(mark)); made { // of a product with honey in it
			from = append(from, n)
			c.Honey = max(c.Honey, v.State.Graph().Made(n))
		}
	}
	v.runLines(&c, from, r)
	return c, true
}

// BatchCost is the same of one batch of a product with honey in it.
func (v *View) BatchCost(mark record.Code) (c RunCost, ok bool) {
	n, f, ok := v.madeOf(mark)
	if !ok {
		return c, false
	}
	at := v.State.MadeAt(n)
	c = RunCost{Of: f.Batch, Product: f.Product, When: at, Units: f.Units, Honey: v.State.Graph().Made(n), prices: v.pricesAt(at.Minute)}
	if b, found := v.State.Goods.Batch(f.Batch); found {
		c.Thrown, c.Retained = b.Destroyed+b.TippedBack, b.Retained
	}
	v.runLines(&c, []trace.Node{n}, house.Run{Ended: true})
	return c, true
}

// madeOf is how a batch of a product with honey in it was made.
func (v *View) madeOf(mark record.Code) (n trace.Node, f *record.BatchMade, ok bool) {
	for _, e := range v.Mentions(mark) {
		if m, is := e.Fact.(*record.BatchMade); is && m.Batch.Fold() == mark.Fold() {
			return v.contentNamed(mark), m, true
		}
	}
	return 0, nil, false
}

// wasted counts the units that nobody can sell, also those under marks of their own.
func (v *View) wasted(c *RunCost) {
	byRun := once(v, "batches by run", func() map[string][]goods.Batch {
		all := map[string][]goods.Batch{}
		for _, b := range v.State.Goods.Batches() {
			all[b.Run.Fold()] = append(all[b.Run.Fold()], b)
		}
		return all
	})
	for _, b := range byRun[c.Of.Fold()] {
		c.Thrown += b.Destroyed + b.TippedBack
		c.Retained += b.Retained
	}
}

func (v *View) runLines(c *RunCost, from []trace.Node, r house.Run) {
	c.Lines = v.honeyLines(c.prices, from, c.Honey)
	v.materialLines(c)
	v.otherLine(c)
	v.labourLine(c, r)
	v.energyLine(c)
	if r.Started != nil {
		c.simple(cost.Lab, priceLab, "cost.how.lab")
	}
	v.overheadLine(c)
	if p, ok := v.State.Goods.Product(c.Product); ok {
		label, err := p.Label.Figure.Milligrams()
		sum, whole := honeyOnly(c.Lines)
		each, some := sum.PerKg(c.Honey)
		if err == nil && label > 0 && c.Filled > 0 && whole && some {
			if c.Over, err = cost.Above(label, c.Filled, c.Units, each); err == nil {
				c.Label, c.HasOver = label, true
			}
		}
	}
}

func honeyOnly(lines []costLine) (sum cost.Money, whole bool) {
	var s cost.Sheet
	for _, l := range lines {
		if l.Kind == cost.Honey {
			s = append(s, l.Part)
		}
	}
	return s.Sum()
}

func (c *RunCost) add(l costLine) { c.Lines = append(c.Lines, l) }

// simple is a part with one price for the run.
func (c *RunCost) simple(kind cost.Kind, rule, how string) {
	l := costLine{Part: cost.Part{Kind: kind, Of: rule}, How: unset(rule)}
	if m, ok := c.prices.money(rule); ok {
		l.Basis, l.Amount = cost.Set, m
		l.How = answer.Line{Key: how, Args: answer.Args{"price": tidyPrice(m)}}
	}
	c.add(l)
}

// otherLine is what each unit costs beside its recipe.
func (v *View) otherLine(c *RunCost) {
	rule := c.prices.codeNamed(priceOther, c.Product)
	m, ok := c.prices.money(rule)
	if !ok {
		return // there need not be any
	}
	at, _, _ := v.State.SettingOn(rule, c.prices.minute)
	c.add(costLine{Part: cost.Part{Kind: cost.Other, Of: rule, Basis: cost.Set, Amount: m.Times(c.Units)}, Name: textOrNil(at.Text),
		How: answer.Line{Key: "cost.how.pieces", Args: answer.Args{"n": c.Units, "price": tidyPrice(m)}}})
}

// labourLine is the hours that were written down for it; else those by the clock from
// its start to its end less the stops, with as many people as the house says.
func (v *View) labourLine(c *RunCost, r house.Run) {
	l := costLine{Part: cost.Part{Kind: cost.Labour, Of: priceWage}}
	var said answer.Line
	c.Hours, said = v.hoursOf(c, r)
	wage, ok := c.prices.money(priceWage)
	switch {
	case c.Hours == nil:
		l.How = said
	case !ok:
		l.How = unset(priceWage)
	default:
		l.Basis, l.Amount = cost.Set, cost.Wages(c.Hours, wage)
		said.Args["wage"] = tidyPrice(wage)
		l.How = said
	}
	c.add(l)
}

// hoursOf are the person-hours of a run or batch, and how they are known.
func (v *View) hoursOf(c *RunCost, r house.Run) (sum *big.Rat, said answer.Line) {
	said = answer.Line{Key: "cost.how.hours", Args: answer.Args{}}
	times := 0
	for _, f := range v.worked(c.Of, r.Batches) {
		h, err := cost.Hours(f.People, f.Hours, f.SetUp)
		if err != nil {
			return nil, answer.Line{Key: "cost.how.bad-hours", Args: answer.Args{"detail": err.Error()}, Mark: answer.Care}
		}
		if times++; sum == nil {
			sum = new(big.Rat)
		}
		sum.Add(sum, h)
		said.Args["people"], said.Args["hours"] = f.People, f.Hours
		if f.SetUp.Given() {
			said.Key, said.Args["setup"] = "cost.how.hours-setup", f.SetUp
		}
	}
	if times > 1 {
		said = answer.Line{Key: "cost.how.hours-sum", Args: answer.Args{"hours": hoursFigure(sum), "n": int64(times)}}
	}
	if sum != nil {
		return sum, said
	}
	return v.hoursByClock(c, r)
}

// worked are the hours that were written down for a run or one of its marks.
func (v *View) worked(of record.Code, marks []house.Thing) (all []*record.HoursWorked) {
	codes := []record.Code{of}
	for _, t := range marks {
		codes = append(codes, v.State.Code(t))
	}
	for _, code := range codes {
		for _, e := range v.Mentions(code) {
			if f, ok := e.Fact.(*record.HoursWorked); ok && f.For.Fold() == code.Fold() {
				all = append(all, f)
			}
		}
	}
	return all
}

// longestShift is how long a run may last, in minutes, for its clock to be hours of work:
// beyond it it went over night.
const longestShift = 16 * 60

func (v *View) hoursByClock(c *RunCost, r house.Run) (*big.Rat, answer.Line) {
	people, known := c.prices.Setting(ratePeople)
	setUp, _ := c.prices.Setting(rateSetUp)
	minutes := r.EndedAt.Minute - r.When.Minute
	for _, e := range v.Mentions(c.Of) {
		if f, ok := e.Fact.(*record.GlassBroken); ok && f.Resumed.Given() {
			if stop, err := f.Resumed.In(quantity.Minute); err == nil {
				minutes -= int64(math.Round(stop))
			}
		}
	}
	if !known || !r.Ended || r.Started == nil || minutes <= 0 {
		return nil, unset(ratePeople)
	}
	if minutes > longestShift { // somebody slept in between
		return nil, answer.Line{Key: "cost.how.overnight", Args: answer.Args{"from": r.When, "to": r.EndedAt}, Mark: answer.Care}
	}
	run := quantity.Figure{Mantissa: minutes, Unit: quantity.Minute}
	n := int64(math.Round(people.Float()))
	if float64(n) != people.Float() {
		return nil, answer.Line{Key: "cost.how.bad-hours", Args: answer.Args{"detail": people.Digits() + " people, want a whole number of them"}, Mark: answer.Care}
	}
	sum, err := cost.Hours(n, run, setUp)
	if err != nil {
		return nil, answer.Line{Key: "cost.how.bad-hours", Args: answer.Args{"detail": err.Error()}, Mark: answer.Care}
	}
	said := answer.Line{Key: "cost.how.clock", Args: answer.Args{"people": n, "hours": hoursFigure(big.NewRat(minutes, 60))}}
	if setUp.Given() {
		said.Key, said.Args["setup"] = "cost.how.clock-setup", setUp
	}
	return sum, said
}

// hoursFigure is hours to a hundredth.
func hoursFigure(h *big.Rat) quantity.Figure {
	f, _ := h.Float64()
	return quantity.Figure{Mantissa: int64(math.Round(f * 100)), Decimals: 2, Unit: quantity.Hour}
}

// energyLine is the heat that went into the drums that stood warm: as the house knows it
// of a drum, else as the model of heat reckons it.
func (v *View) energyLine(c *RunCost) {
	if len(c.Tipped) == 0 {
		return
	}
	drums, kwh := v.warmedFor(c)
	l := costLine{Part: cost.Part{Kind: cost.Energy, Of: energyRule}}
	price, ok := c.prices.energy()
	gain, set := c.prices.Setting("warm.gain")
	if !set {
		gain = warmGain
	}
	each, own := c.prices.Setting(rateWarm)
	switch {
	case drums == 0:
		l.Basis, l.How = cost.Set, answer.Line{Key: "cost.how.none-warm"}
	case !ok:
		l.How = unset(energyRule)
	default:
		basis := cost.Set
		if !own {
			basis, each = cost.Reckoned, quantity.Figure{Mantissa: int64(math.Round(kwh * 10 / float64(drums))), Decimals: 1, Unit: quantity.KWh}
		}
		m, err := cost.Warming(drums, each, gain, price)
		if err != nil {
			l.How = answer.Line{Key: "cost.how.bad-hours", Args: answer.Args{"detail": err.Error()}, Mark: answer.Care}
			break
		}
		l.Basis, l.Amount = basis, m
		l.How = answer.Line{Key: map[cost.Basis]string{cost.Set: "cost.how.warm", cost.Reckoned: "cost.how.warm-reckoned"}[basis],
			Args: answer.Args{"drums": drums, "kwh": each, "gain": gain, "price": tidyPrice(price)}}
	}
	c.add(l)
}

// warmedFor is how many of the drums that fed a run were warmed, and what went into
// them by the model.
func (v *View) warmedFor(c *RunCost) (drums int64, kwh float64) {
	b := newWarmthBook(v)
	for _, code := range c.Tipped {
		n := v.contentNamed(code)
		if n == 0 {
			continue
		}
		from := v.State.MadeAt(n).Minute
		to, gone := v.emptied(n)
		if !gone {
			to = c.When.Minute
		}
		d, _, k := b.warmedOf(n, from, to)
		if d > 0 {
			drums, kwh = drums+1, kwh+k
		}
	}
	return drums, kwh
}

// overheadLine is the run's share of the year's overheads by its honey, when the house
// says what they are.
func (v *View) overheadLine(c *RunCost) {
	l := costLine{Part: cost.Part{Kind: cost.Overhead, Of: priceYear, Basis: cost.NotSet}, How: answer.Line{Key: "cost.how.no-overhead", Args: answer.Args{"rule": priceYear}}}
	if year, ok := c.prices.money(priceYear); ok {
		all := v.honeyOfYear(c)
		if m, shared := cost.Spread(year, c.Honey, all); shared {
			l.Basis, l.Amount = cost.Set, m
			l.How = answer.Line{Key: "cost.how.overhead", Args: answer.Args{"price": tidyPrice(year), "mass": c.Honey, "all": all}}
		} else {
			l.Basis, l.How = cost.NotKnown, unset(rateYear)
		}
	}
	c.add(l)
}

// honeyOfYear is the mass by which a year's overheads are shared: as the house says, else
// all honey that its record has come in in the calendar year of the run.
func (v *View) honeyOfYear(c *RunCost) (all quantity.Gram) {
	if f, ok := c.prices.Setting(rateYear); ok {
		if g, err := f.Grams(); err == nil {
			return g
		}
	}
	year := c.When.Time().Year()
	for _, t := range v.State.OfKind(record.Lot) {
		if l, ok := v.State.Lot(t); ok && l.OpenedAt.Time().Year() == year {
			if b, ok := v.State.LotBalance(t); ok {
				all += outOf(b, "balance.clean")
			}
		}
	}
	for _, t := range v.State.OfKind(record.Delivery) {
		n := v.contentNamed(v.State.Code(t))
		if n != 0 && v.State.MadeAt(n).Time().Year() == year {
			all += v.State.Graph().Made(n)
		}
	}
	return all
}

// product of a run, for its recipe.
func (v *View) recipeFor(c *RunCost) (goods.Recipe, bool) {
	return v.State.Goods.Recipe(c.Product, DayOf(c.When))
}
