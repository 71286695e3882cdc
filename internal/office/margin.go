package office

import (
	"math"
	"math/big"
	"slices"
	"strconv"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A MarginAsk asks what is over when honey is sold in drums or in jars. What is not given
// is as the record has it.
type MarginAsk struct {
	Product record.Code      // empty: every product that was packed in the year
	Drum    quantity.Reading // price of a kilogram in drums
	Unit    quantity.Reading // price of a unit of the product
	Hours   quantity.Figure  // person-hours of sending a drum
}

// A way is one way to sell honey: what a kilogram of it leaves over, and an hour of work.
type way struct {
	of      record.Code // the product; empty: drums
	run     record.Code
	mass    quantity.Gram
	price   quantity.Uncertain // of a kilogram of drums, or of a unit
	typed   bool
	known   bool // the price
	units   int64
	cost    cost.Money
	whole   bool
	hours   *big.Rat
	missing answer.Cell
}

// over is what is over of the whole mass; per is what for, a kilogram or an hour.
func (w way) over(per float64) quantity.Uncertain {
	if !w.known || !w.whole || !(per > 0) {
		return quantity.Unknown()
	}
	income := quantity.Scale(w.price, float64(w.units))
	return quantity.Scale(quantity.Sub(income, quantity.Exactly(w.cost.Float())), 1/per)
}

func (w way) perKg() quantity.Uncertain { return w.over(float64(w.mass) / 1000) }
func (w way) perHour() quantity.Uncertain {
	if w.hours == nil {
		return quantity.Unknown()
	}
	h, _ := w.hours.Float64()
	return w.over(h)
}

// drumMass is a drum's honey where the house says nothing of its own (common practice).
const drumMass quantity.Gram = 290_000

// Margins answers whether drums or jars leave more over, a kilogram of honey and an hour
// of work:
//
//	over a kilogram = (price × units left to sell − what the run cost) ÷ honey that it used
//	over an hour    = the same ÷ person-hours
//	drums           = price of a kilogram − what it cost at the drum − what a drum costs beside ÷ its honey
//
// A price's doubt is carried; the costs are taken as they are known. Without a price the
// least price is told at which a product leaves as much a kilogram as drums.
func (v *View) Margins(ask MarginAsk) (answer.Answer, error) {
	a := answer.Answer{Question: "margin", Of: v.properCode(ask.Product)}
	drums, err := v.drumWay(ask)
	if err != nil {
		return a, err
	}
	ways, err := v.jarWays(ask)
	if err != nil {
		return a, err
	}
	if len(ways) == 0 {
		a.Cannot = &answer.Line{Key: "cost.no-product-run", Args: answer.Args{"product": orNil(a.Of)}}
		return a, nil
	}
	slices.SortStableFunc(ways, func(x, y way) int { return byMargin(x, y) })
	t := a.Table("ways", "sold_as", "run", "honey_g", "sale_price", "kg_cost", "over_kg", "hours", "over_hour", "least_price", "missing")
	v.wayRow(t, drums, drums)
	var open []record.Code
	for _, w := range ways {
		v.wayRow(t, w, drums)
		if ask.Product == "" && (!w.perKg().Known() || !drums.perKg().Known()) {
			open = append(open, w.of)
			continue
		}
		v.verdictOf(&a, w, drums)
	}
	if len(open) > 0 {
		a.Warn("margin.open", answer.Args{"products": open})
	}
	if !drums.known {
		a.Then("next.drum-price", nil)
	}
	if slices.ContainsFunc(ways, func(w way) bool { return !w.whole }) || !drums.whole {
		a.Then("next.cost-run", answer.Args{"of": firstNotWhole(ways, a.Of)})
	}
	a.Say("cost.before", nil)
	a.Follows("margin.follows", nil)
	v.restsOnRecord(&a)
	return a, nil
}

func firstNotWhole(ways []way, otherwise record.Code) record.Code {
	for _, w := range ways {
		if !w.whole {
			return w.run
		}
	}
	return otherwise
}

// byMargin puts the better before the worse, and what is known before what is not.
func byMargin(x, y way) int {
	a, b := x.perKg(), y.perKg()
	switch {
	case a.Known() && b.Known():
		return -compareFloats(a.Value, b.Value)
	case a.Known():
		return -1
	case b.Known():
		return 1
	}
	return 0
}

func compareFloats(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// drumWay is honey sold in drums: at the typed price, else the last that a drum was
// ordered at.
func (v *View) drumWay(ask MarginAsk) (w way, err error) {
	p := v.pricesAt(v.State.Latest)
	w = way{mass: drumMass, units: int64(drumMass / 1000)}
	_, own, ok := p.honeyPrice("", false)
	w.whole = ok
	w.cost = own.Kilograms(w.mass)
	if !ok {
		w.missing = answer.Key("cost.part.honey")
	}
	if beside, ok := p.money(priceDrum); ok {
		w.cost = w.cost.Plus(beside)
	}
	hours := ask.Hours
	if !hours.Given() {
		hours, _ = p.Setting(rateDrum)
	}
	if hours.Given() {
		if w.hours, err = cost.Hours(1, hours, quantity.Figure{}); err != nil {
			return w, warmRefusal("margin.bad-hours", answer.Args{"figure": hours})
		}
	}
	if ask.Drum.Figure.Given() {
		w.typed, w.known = true, true
		w.price, err = ask.Drum.In(quantity.Money)
		return w, err
	}
	for _, o := range slices.Backward(v.State.Goods.Orders()) {
		for _, l := range o.Lines {
			product, ok := v.State.Goods.Product(l.Product)
			g := quantity.Gram(0)
			if ok {
				g = product.Label.Grams()
			}
			if ok && product.What == record.BulkDrum && l.Price.Given() && g > 0 {
				w.price, w.known = quantity.Exactly(l.Price.Float()*1000/float64(g)), true
				return w, nil
			}
		}
	}
	return w, nil
}

// jarWays are the products that were packed in the year, each by its last run.
func (v *View) jarWays(ask MarginAsk) (all []way, err error) {
	year := record.When{Minute: v.State.Latest}.Time().Year()
	p := v.pricesAt(v.State.Latest)
	for _, c := range slices.Backward(v.costsOf(year)) {
		if ask.Product != "" && c.Product.Fold() != ask.Product.Fold() || c.Units <= 0 || c.Honey <= 0 ||
			slices.ContainsFunc(all, func(w way) bool { return w.of.Fold() == c.Product.Fold() }) {
			continue
		}
		w := way{of: c.Product, run: c.Of, mass: c.Honey, units: c.Left(), hours: c.Hours, missing: missingParts(c.Lines)}
		w.cost, w.whole = c.Sum()
		switch price, ok := v.salePrice(p, c.Product); {
		case ask.Unit.Figure.Given() && ask.Product != "":
			w.typed, w.known = true, true
			if w.price, err = ask.Unit.In(quantity.Money); err != nil {
				return nil, err
			}
		case ok:
			w.price, w.known = quantity.Exactly(price.Float()), true
		}
		all = append(all, w)
	}
	return all, nil
}

// salePrice is the last price that a product was ordered at, else the house's own for it.
func (v *View) salePrice(p *prices, product record.Code) (quantity.Figure, bool) {
	for _, o := range slices.Backward(v.State.Goods.Orders()) {
		for _, l := range o.Lines {
			if l.Product.Fold() == product.Fold() && l.Price.Given() {
				return l.Price, true
			}
		}
	}
	return p.Setting(p.codeNamed(priceSale, product))
}

func (v *View) wayRow(t *answer.Table, w, drums way) {
	var as, price, kg, run, hours, least answer.Cell = answer.Key("margin.drums"), nil, nil, "", nil, ""
	if w.of != "" {
		as, run = w.of, w.run
	}
	if w.known {
		price = moneyCell(w.price, 2)
	}
	if each, ok := w.cost.PerKg(w.mass); ok && w.whole {
		kg = each.Rounded(2)
	}
	if w.hours != nil {
		hours = hoursFigure(w.hours)
	}
	if w.of != "" {
		least = leastPrice(w, drums)
	}
	mark := answer.Plain
	if !w.known || !w.whole {
		mark = answer.Care
	}
	t.Row(mark, as, run, w.mass, price, kg, moneyCell(w.perKg(), 2), hours, moneyCell(w.perHour(), 2), least, orText(w.missing))
}

func orText(c answer.Cell) answer.Cell {
	if c == nil {
		return ""
	}
	return c
}

// moneyCell is a sum with its doubt; nil when it is not known.
func moneyCell(u quantity.Uncertain, decimals int) answer.Cell {
	f, ok := moneyFigure(u.Value, decimals)
	if !u.Known() || !ok {
		return nil
	}
	low, high := u.Band9in10()
	half, _ := moneyFigure((high-low)/2, decimals)
	if half.Mantissa <= 0 {
		return f
	}
	return answer.Line{Key: "margin.plus-minus", Args: answer.Args{"value": f, "half": half}}
}

func moneyFigure(x float64, decimals int) (quantity.Figure, bool) {
	if !(x > -1e12 && x < 1e12) {
		return quantity.Figure{}, false
	}
	n, err := strconv.ParseInt(strconv.FormatFloat(x*pow10(decimals), 'f', 0, 64), 10, 64)
	return quantity.Figure{Mantissa: n, Decimals: uint8(decimals), Unit: quantity.Money}, err == nil
}

func pow10(n int) float64 {
	p := 1.0
	for range n {
		p *= 10
	}
	return p
}

// leastPrice is what a unit must fetch so that a kilogram leaves as much as in drums.
func leastPrice(w, drums way) answer.Cell {
	d := drums.perKg()
	if !d.Known() || !w.whole || w.units <= 0 {
		return nil
	}
	least := (w.cost.Float() + d.Value*float64(w.mass)/1000) / float64(w.units)
	f, ok := moneyFigure(math.Ceil(least*100-1e-6)/100, 2) // up: at it drums are no better
	if !ok {
		return nil
	}
	return f
}

// verdictOf says which of two ways leaves more over, and how sure that is.
func (v *View) verdictOf(a *answer.Answer, w, drums way) {
	jar, drum := w.perKg(), drums.perKg()
	if !jar.Known() || !drum.Known() {
		var missing []answer.Key
		if !w.known {
			missing = append(missing, "margin.unit-price")
		}
		if !drums.known {
			missing = append(missing, "margin.drum-price")
		}
		if !w.whole || !drums.whole {
			missing = append(missing, "margin.costs")
		}
		a.Warn("margin.cannot", answer.Args{"product": w.of, "missing": listed(missing)})
		return
	}
	chance := quantity.Sub(jar, drum).ChanceAbove(0)
	args := answer.Args{"product": w.of, "jar": moneyCell(jar, 2), "drum": moneyCell(drum, 2), "least": leastPrice(w, drums)}
	key := "margin.close"
	switch {
	case chance >= 0.95:
		key = "margin.jars"
	case chance <= 0.05:
		key = "margin.in-drums"
	}
	line := answer.Line{Key: key, Args: args, Mark: answer.Good}
	if key == "margin.close" {
		line.Mark = answer.Care
	}
	a.Lines = append(a.Lines, line)
	jh, dh := w.perHour(), drums.perHour()
	switch {
	case jh.Known() && dh.Known():
		a.Say("margin.hour", answer.Args{"jar": moneyCell(jh, 2), "drum": moneyCell(dh, 2), "product": w.of})
	case jh.Known():
		a.Say("margin.hour-jar", answer.Args{"jar": moneyCell(jh, 2), "product": w.of})
	default:
		a.Warn("margin.hour-not", answer.Args{"product": w.of})
	}
}

// OneGram answers what a gram of overfill costs in a year: units × 1 g × price. The year
// is the last 365 days, or so many units as are typed.
func (v *View) OneGram(product record.Code, typed int64) answer.Answer {
	a := answer.Answer{Question: "gram", Of: v.properCode(product)}
	p := v.pricesAt(v.State.Latest)
	rule, own, ok := p.honeyPrice("", false)
	if !ok {
		a.Warn("cost.gram-no-price", answer.Args{"rule": rule})
		a.Then("next.set-cost", answer.Args{"rule": rule})
	}
	if p, ok := v.State.Goods.Product(product); product != "" && (!ok || !v.filledByWeight(p.Product)) {
		t, found := v.State.Find(product)
		r, run := v.State.Run(t)
		switch {
		case found && run: // asked of a run: of its product
			return v.OneGram(r.Started.Product, typed)
		case found:
			a.Cannot = &answer.Line{Key: "cost.gram-not-of", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
			return a
		}
		return v.notTraced(a, product)
	}
	units := map[string]int64{}
	switch {
	case typed > 0:
		units[product.Fold()] = typed
	default:
		for _, b := range v.State.Goods.Batches() {
			if b.Made > 0 && b.At.When.Minute > v.State.Latest-365*minutesADay && v.filledByWeight(b.Product) && (product == "" || b.Product.Fold() == product.Fold()) {
				units[b.Product.Fold()] += b.Made
			}
		}
	}
	var all int64
	t := a.Table("gram", "product", "units", "mass_g", "cost")
	for _, k := range sortedUnits(units) {
		n := units[k]
		all += n
		g := cost.OneGram(n, own)
		t.Row(answer.Plain, orText(orNil(v.productCode(record.Code(k)))), n, quantity.Gram(g.Mass/1000), ifKnown(g, ok))
	}
	if all == 0 {
		a.Cannot = &answer.Line{Key: "cost.gram-no-jars", Args: answer.Args{}}
		return a
	}
	g := cost.OneGram(all, own)
	args := answer.Args{"units": all, "mass": quantity.Gram(g.Mass / 1000)}
	if ok {
		args["cost"], args["price"] = g.Worth.Rounded(2), tidyPrice(own)
		a.Lines = append([]answer.Line{{Key: "cost.gram", Args: args}}, a.Lines...)
	} else {
		a.Lines = append([]answer.Line{{Key: "cost.gram-mass", Args: args}}, a.Lines...)
	}
	if typed <= 0 {
		a.RestsOn("cost.gram-year", nil)
	}
	a.Then("next.fill-target", nil)
	a.Follows("cost.gram-follows", nil)
	v.restsOnRecord(&a)
	return a
}

func ifKnown(g cost.Overfill, ok bool) answer.Cell {
	if !ok {
		return nil
	}
	return g.Worth.Rounded(2)
}

func sortedUnits(m map[string]int64) (all []string) {
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

func (v *View) productCode(c record.Code) record.Code {
	if p, ok := v.State.Goods.Product(c); ok {
		return p.Product
	}
	return c
}

// filledByWeight reports whether a product is filled with honey to a weight.
func (v *View) filledByWeight(product record.Code) bool {
	p, ok := v.State.Goods.Product(product)
	return ok && (p.What == record.Jar || p.What == record.SoftSetJar || p.What == record.Portion)
}
