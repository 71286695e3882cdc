package office

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// toPack lists the lines of open orders that are still to be packed, each with the day
// for it and the line that packs it.
func (v *View) toPack(d *DayPlan) {
	today := record.DayOf(d.At)
	d.Stuff = v.Materials(MaterialsAsk{Today: today})
	for _, c := range v.Covers() {
		p, ok := v.State.Goods.Product(c.Product)
		units := c.Open - c.PutBy - c.Goods
		if !ok || units <= 0 {
			continue
		}
		x := &PlanOrder{Cover: c, Product: p, Units: units, Soft: p.What == record.SoftSetJar, Bulk: p.What == record.BulkDrum, Job: -1}
		x.Pack = v.packDay(d, c.Order)
		for _, i := range d.Ifs {
			if i.Soon && one(i.Codes) == c.Order.Code {
				x.Pack, x.Soon = today, true
			}
		}
		if supposed := slices.ContainsFunc(d.Ifs, func(i If) bool { return slices.Contains(i.Codes, c.Order.Code) }); len(d.Orders) >= mostPlanned && !supposed {
			d.Beyond++
			continue
		}
		v.lineFor(x)
		d.Orders = append(d.Orders, x)
	}
}

// mostPlanned is how many lines of orders a plan looks at, those due first: more than a
// house packs within its days, and few enough to be planned while somebody waits.
const mostPlanned = 48

// packDay is the day on which an order is packed where nothing is in its way: as the
// materials are reckoned with.
func (v *View) packDay(d *DayPlan, o goods.Order) record.Day {
	for _, r := range d.Stuff.Runs {
		if r.Order.Fold() == o.Code.Fold() {
			return r.Day
		}
	}
	return o.Due - record.Day(v.State.Setting("order.lead", runLead).Float())
}

// lineFor finds the machine that packs a product: as the house set it, as its last run
// had it, else by what the machine is: jars are filled by one with nozzles, portions by
// one without. Its rate is the product's own, where one is set, else the machine's.
func (v *View) lineFor(x *PlanOrder) {
	product := string(x.Product.Product)
	x.Line = record.Code(v.State.SettingText("plan.line." + product))
	if x.Line == "" {
		x.Line = v.lastLine(x.Product.Product)
	}
	for _, t := range v.State.OfKind(record.Machine) {
		m, ok := v.State.Named(t).(*record.MachineNamed)
		if !ok || x.Line != "" && m.Machine.Fold() != x.Line.Fold() {
			continue
		}
		jars := x.Product.What == record.Jar || x.Product.What == record.SoftSetJar
		if x.Line == "" && (m.Rate.Float() <= 0 || jars != (m.Nozzles > 0) || !jars && x.Product.What != record.Portion) {
			continue
		}
		x.Line, x.PerHour = m.Machine, m.Rate.Float()
		break
	}
	if f := v.State.Setting("plan.rate."+product, quantity.Figure{}); f.Given() && f.Float() > 0 {
		x.PerHour = f.Float()
	}
}

// lastLine is the filler of the last run of a product.
func (v *View) lastLine(product record.Code) record.Code {
	runs := v.State.OfKind(record.Run)
	for i := len(runs) - 1; i >= 0; i-- {
		r, ok := v.State.Run(runs[i])
		if !ok || r.Started.Product.Fold() != product.Fold() {
			continue
		}
		for _, m := range slices.Backward(r.Started.Machines) {
			t, _ := v.State.Find(m)
			if f, ok := v.State.Named(t).(*record.MachineNamed); ok && f.Rate.Float() > 0 {
				return f.Machine
			}
		}
	}
	return ""
}

// openRun is the run that packs an order now.
func (v *View) openRun(order, product record.Code) (r house.Run, code record.Code, ok bool) {
	for _, t := range v.State.OfKind(record.Run) {
		r, is := v.State.Run(t)
		if is && !r.Ended && r.Started.Product.Fold() == product.Fold() && slices.ContainsFunc(r.Started.Orders, func(c record.Code) bool { return c.Fold() == order.Fold() }) {
			return r, v.State.Code(t), true
		}
	}
	return r, "", false
}

// fills is how many units honey makes, and what the filler is to be set to.
func (v *View) fills(x *PlanOrder) {
	label, err := x.Product.Label.Figure.Milligrams()
	if err != nil || label <= 0 {
		return
	}
	g := float64(label) / 1000
	if x.TargetG = v.setTo(x); x.TargetG > 0 {
		g = x.TargetG
	}
	loss := 1 - v.State.Setting("plan.loss", planLoss).Float()/100
	x.Fill = max(x.Units, int64(math.Floor(float64(x.Mass)*loss/g)))
	if x.Product.What == record.Bake || x.Product.What == record.SpreadJar {
		x.Fill = x.Units
	}
}

// dayStart is the start of a day in the house's zone.
func dayStart(day record.Day, at time.Time) time.Time {
	y, m, n := day.Time().Date()
	return time.Date(y, m, n, 0, 0, 0, 0, at.Location())
}

// cannot notes why an order can't be packed as wanted.
func (x *PlanOrder) cannot(key string, args answer.Args) {
	x.Why = append(x.Why, answer.Line{Key: key, Args: args, Mark: answer.Bad})
}

// setTo is what the filler is set to for an order: as for the product's last run, else
// by the house's rule set and the spread that is assumed of a filler.
func (v *View) setTo(x *PlanOrder) float64 {
	runs := v.State.OfKind(record.Run)
	for _, t := range slices.Backward(runs) {
		r, ok := v.State.Run(t)
		if ok && r.Started.Product.Fold() == x.Product.Product.Fold() && r.Started.Target.Given() {
			if m, err := r.Started.Target.Figure.Milligrams(); err == nil {
				return float64(m) / 1000
			}
		}
	}
	label, err := x.Product.Label.Figure.Milligrams()
	rules, err2 := standard.ParseRules(strings.ToLower(strings.TrimSpace(cmp.Or(x.Product.Rules, v.State.House().Rules))))
	if err != nil || err2 != nil {
		return 0
	}
	s := FillSpec{Label: label, Rules: rules}
	v.fillRules(&s)
	const checked = 20 // jars, for the setting
	t, err := standard.TargetFor(rules, label, s.AssumedG, checked)
	if err != nil {
		return 0
	}
	return math.Ceil(10*t.Target) / 10
}

// noonOf is the noon of a day in the house's zone.
func noonOf(day record.Day, at time.Time) time.Time { return dayStart(day, at).Add(12 * time.Hour) }
