package web

import (
	"strings"

	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Blend: which orders need honey to be blended, what is planned and how much of it was
// tipped, and two questions of a moment: two honeys, and a blend that is typed.
type blendPage struct {
	*frame
	Text   string
	Orders []blendOrder
	Plans  []planRow
	Made   *sheet
	Typed  typedForm
	Two    twoForm
}

// A blendOrder is an order line for which honey is blended.
type blendOrder struct {
	Order, Who, Product, Needs, Due string
	Href, PlanHref                  string
	State                           chip
}

// A planRow is a planned blend in short.
type planRow struct {
	Code, For, Planned, Tipped, Href string
	State                            chip
	Done                             int // of a hundred
}

// A typedForm asks for a blend that no order asks for.
type typedForm struct {
	Products []option
	Unit     string
}

func (v *visit) blend() error {
	p := blendPage{frame: v.frame("blend", v.say("page.tab.blend")), Text: v.say("page.blend.text")}
	v.s.office.Read(func(h *office.View) {
		for _, x := range h.BlendOrders() {
			p.Orders = append(p.Orders, v.blendOrder(h, x))
		}
		for _, x := range h.PlannedBlends() {
			if len(p.Plans) < mostPlans {
				p.Plans = append(p.Plans, v.planRow(x))
			}
		}
		for _, x := range h.State.Goods.Products() {
			switch x.What {
			case record.Jar, record.SoftSetJar, record.Portion, record.BulkDrum:
				p.Typed.Products = append(p.Typed.Products, option{Value: string(x.ProductNamed.Product), Text: productName(x.ProductNamed)})
			}
		}
		for _, t := range h.MixesMade().Tables {
			if len(t.Rows) > 0 {
				p.Made = v.sheetTo(mostMade, t, 0, "/blend")
			}
		}
		p.Two = v.twoForm(h)
	})
	p.Typed.Unit = v.kg(0, 0).Unit
	return v.render("blend", p)
}

const (
	mostPlans = 20
	mostMade  = 12
)

func productName(p *record.ProductNamed) string {
	if p.Name != "" {
		return p.Name
	}
	return string(p.Product)
}

func (v *visit) blendOrder(h *office.View, x office.BlendOrder) blendOrder {
	o := blendOrder{Order: string(x.Order.Code), Who: string(x.Order.Customer), Product: string(x.Line.Product), Needs: v.massOr(x.Needs), Due: v.text(x.Order.Due),
		Href: link("/blend/for", "order", string(x.Order.Code), "product", string(x.Line.Product)), State: newChip("", v.say("page.blend.not-planned"))}
	if c, ok := h.State.Goods.Customer(x.Order.Customer); ok && c.Name != "" {
		o.Who = c.Name
	}
	if x.Plan != "" {
		o.State, o.PlanHref = newChip("ok", v.say("page.blend.planned", "plan", string(x.Plan))), link("/blend/plan", "of", string(x.Plan))
	}
	return o
}

// massOr prints a mass; nothing is not known.
func (v *visit) massOr(g quantity.Gram) string {
	if g <= 0 {
		return v.say("unknown")
	}
	return v.c.MassTo(g, 0)
}

func (v *visit) planRow(x office.PlannedBlend) planRow {
	r := planRow{Code: string(x.Plan), Planned: v.c.MassTo(x.Planned, 0), Tipped: v.c.MassTo(x.Tipped, 0), Href: link("/blend/plan", "of", string(x.Plan))}
	var of []string
	for _, o := range x.Orders {
		of = append(of, string(o))
	}
	if r.For = strings.Join(of, ", "); x.Product != "" {
		r.For = strings.TrimPrefix(r.For+" · "+string(x.Product), " · ")
	}
	if x.Planned > 0 {
		r.Done = int(min(100, 100*x.Tipped/x.Planned))
	}
	r.State = v.planState(x)
	return r
}

func (v *visit) planState(x office.PlannedBlend) chip {
	switch {
	case x.Dropped:
		return newChip("", v.say("page.blend.dropped"))
	case len(x.Other) > 0 && x.Tipped > 0:
		return newChip("watch", v.say("page.blend.other"))
	case x.Open && x.Tipped == 0:
		return newChip("", v.say("page.blend.waiting"))
	case x.Open:
		return newChip("watch", v.say("page.blend.begun"))
	}
	return newChip("ok", v.say("page.blend.tipped"))
}

// numberStyle is how the person types figures.
func (v *visit) numberStyle() quantity.NumberStyle { return v.c.Style().Decimal }
