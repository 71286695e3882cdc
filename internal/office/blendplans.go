package office

import (
	"math"
	"slices"

	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A PlannedBlend is a plan with what of it was tipped so far.
type PlannedBlend struct {
	house.BlendPlan
	SoFar   []house.PartSoFar
	Planned quantity.Gram
	Tipped  quantity.Gram
	Open    bool
	Other   []Passage // what else went into the vessel that it is for, since
	In      []record.Code
}

// PlannedBlends lists the plans, those still open first, the latest first.
func (v *View) PlannedBlends() (all []PlannedBlend) {
	for _, p := range slices.Backward(v.State.BlendPlans()) {
		all = append(all, v.plannedBlend(p))
	}
	slices.SortStableFunc(all, func(a, b PlannedBlend) int {
		return map[bool]int{true: 0, false: 1}[a.Open] - map[bool]int{true: 0, false: 1}[b.Open]
	})
	return all
}

// PlannedBlend is one plan.
func (v *View) PlannedBlend(code record.Code) (PlannedBlend, bool) {
	for _, p := range v.State.BlendPlans() {
		if p.Plan.Fold() == code.Fold() {
			return v.plannedBlend(p), true
		}
	}
	return PlannedBlend{}, false
}

func (v *View) plannedBlend(p house.BlendPlan) PlannedBlend {
	x := PlannedBlend{BlendPlan: p, SoFar: v.State.SoFar(p), Open: v.State.Open(p)}
	planned := map[trace.Node]bool{}
	for _, s := range x.SoFar {
		x.Planned, x.Tipped = x.Planned+s.Planned, x.Tipped+s.Tipped
		x.In = appendNew(x.In, s.Into...)
		planned[s.Node] = true
	}
	x.Other = v.unplanned(p, planned)
	return x
}

// unplanned is what went into a plan's vessel since it was planned and stands in no
// line of it: the blend is then another than the one that was agreed.
func (v *View) unplanned(p house.BlendPlan, planned map[trace.Node]bool) (all []Passage) {
	t, ok := v.State.Find(p.To)
	if !ok || p.To == "" {
		return nil
	}
	x, _ := v.State.Vessel(t)
	own := map[trace.Node]bool{}
	for _, n := range x.Contents {
		own[n] = true
	}
	for _, n := range x.Contents {
		if !v.State.Since(p, n) {
			continue
		}
		for _, e := range v.State.Graph().Next(n, trace.Back) {
			if e.Share && e.Grams > 0 && !own[e.Node] && !planned[e.Node] {
				all = append(all, Passage{Code: v.State.NodeCode(e.Node), Kind: v.State.NodeKind(e.Node), Grams: e.Grams})
			}
		}
	}
	return all
}

// A BlendOrder is an order line for which honey is to be blended.
type BlendOrder struct {
	Order   goods.Order
	Line    goods.OrderLine
	Product goods.Product
	Needs   quantity.Gram // with what hoses and jars keep; 0: not known
	Plan    record.Code   // the last plan made for it that was not dropped
}

// BlendOrders lists what is to be blended for open orders, the first due first.
func (v *View) BlendOrders() (all []BlendOrder) {
	for _, o := range v.State.Goods.Open(0) {
		for _, l := range v.BlendLines(o) {
			p, _ := v.State.Goods.Product(l.Product)
			x := BlendOrder{Order: o, Line: l, Product: p, Needs: v.honeyFor(p, l.Open())}
			for _, plan := range v.State.BlendPlans() {
				if !plan.Dropped && plan.Product.Fold() == l.Product.Fold() && slices.ContainsFunc(plan.Orders, func(c record.Code) bool { return c.Fold() == o.Code.Fold() }) {
					x.Plan = plan.Plan
				}
			}
			all = append(all, x)
		}
	}
	return all
}

// BlendLines are the lines of an order for which honey is blended: jars and portions
// still to go, and drums that the buyer did not choose.
func (v *View) BlendLines(o goods.Order) (all []goods.OrderLine) {
	for _, l := range o.Lines {
		p, ok := v.State.Goods.Product(l.Product)
		if !ok || l.Open() == 0 || len(l.Drums) > 0 || o.Dropped == record.Yes {
			continue
		}
		switch p.What {
		case record.Jar, record.SoftSetJar, record.Portion, record.BulkDrum:
			all = append(all, l)
		}
	}
	return all
}

// honeyFor is how much honey so many units of a product need; 0 when the net quantity
// on its label is not known.
func (v *View) honeyFor(p goods.Product, units int64) quantity.Gram {
	if p.ProductNamed == nil {
		return 0
	}
	label, err := p.Label.Figure.Milligrams()
	if err != nil || label <= 0 {
		return 0
	}
	more := 1 + v.State.Setting("blend.allow", blendAllow).Float()/100
	return quantity.Gram(math.Ceil(float64(label) * float64(units) / 1000 * more))
}
