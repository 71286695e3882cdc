package office

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"combline/internal/epcis"
	"combline/internal/goods"
	"combline/internal/gs1"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Settings by which the house's things get names that others understand.
const (
	domainSetting   = "codes.domain"   // https://honey.example: where the house's own names point
	locationSetting = "codes.location" // the house's GLN, 13 digits
	itemSetting     = "codes.item."    // and a product's code: its GTIN
)

// noDomain stands where a house has no address of its own: RFC 2606 keeps it free.
const noDomain = "https://house.invalid"

// Terms names the fields of events that the standard does not have.
func (v *View) Terms() epcis.Context { return epcis.Context{"house": v.domain() + "/terms/"} }

// Domain is the house's own web address for its codes, or "".
func (v *View) Domain() string {
	return strings.TrimSuffix(v.State.SettingText(domainSetting), "/")
}

func (v *View) domain() string {
	return cmp.Or(v.Domain(), noDomain)
}

// Events tells what happened to the honey from one day to another (both included) as
// events of EPCIS 2.0, in the order of time: as the record now says, corrections
// worked in. Samples, losses and gaps are no events of the standard; the balance has
// them.
func (v *View) Events(from, to record.Day) ([]epcis.Event, error) {
	m := &teller{View: v, from: from, to: to}
	for n := range trace.Node(v.State.Graph().Nodes() + 1) {
		if n != 0 {
			m.node(n)
		}
	}
	m.goods()
	slices.SortStableFunc(m.events, func(a, b dated) int { return cmp.Compare(a.at.Minute, b.at.Minute) })
	out := make([]epcis.Event, len(m.events))
	for i, e := range m.events {
		out[i] = e.event.At(e.at.Time())
		if err := out[i].Check(); err != nil {
			return nil, fmt.Errorf("%s: %w", e.at.Time().Format("2006-01-02"), err)
		}
	}
	return out, nil
}

type dated struct {
	at    record.When
	event epcis.Event
}

type teller struct {
	*View
	from, to record.Day
	events   []dated
}

func (m *teller) tell(at record.When, e epcis.Event) {
	if day := (goods.Stamp{When: at}).Day(); day < m.from || m.to != 0 && day > m.to {
		return
	}
	if l := m.State.SettingText(locationSetting); l != "" {
		e.ReadPoint = &epcis.Place{ID: gs1.Home + "/414/" + l}
	}
	m.events = append(m.events, dated{at, e})
}

// class is the name of a lot, a filling or goods: by the product's number where it has
// one, else the house's own.
func (m *teller) class(kind string, c record.Code) string {
	if kind == "goods" {
		if b, ok := m.State.Goods.Batch(c); ok {
			if number := m.State.SettingText(itemSetting + string(b.Product)); number != "" {
				if item, err := gs1.Item(number); err == nil {
					if link, err := (gs1.Elements{item, {Code: "10", Value: string(c)}}).Link(gs1.Home); err == nil {
						return link
					}
				}
			}
		}
	}
	return m.domain() + "/" + kind + "/" + url.PathEscape(string(c))
}

func kilograms(class string, g quantity.Gram) epcis.Quantity {
	return epcis.Quantity{Class: class, Amount: epcis.Decimal(max(0, g)), Unit: "KGM"}
}

// node tells how a content came to be.
func (m *teller) node(n trace.Node) {
	c := m.State.Content(n)
	switch c.Kind {
	case house.LotNode:
		e := epcis.Event{Type: epcis.Object, Action: epcis.Add, Step: "commissioning",
			Quantities: []epcis.Quantity{kilograms(m.class("lot", c.Code), c.Made)}, Master: m.about(n)}
		m.tell(c.When, e)
	case house.DeliveryNode:
		m.tell(c.When, epcis.Event{Type: epcis.Object, Action: epcis.Observe, Step: "receiving",
			Quantities: []epcis.Quantity{kilograms(m.class("delivery", c.Code), c.Made)}})
	case house.ContentNode:
		m.made(n, c, kilograms(m.class("honey", c.Code), c.Made))
	case house.BatchNode:
		m.made(n, c, epcis.Quantity{Class: m.class("goods", c.Code), Amount: epcis.Decimal(max(0, m.State.UnitsMade(c.Code)) * 1000)})
	case house.DestroyedNode:
		for _, q := range m.inputs(n) {
			m.tell(c.When, epcis.Event{Type: epcis.Object, Action: epcis.Delete, Step: "destroying", Disposition: "destroyed", Quantities: []epcis.Quantity{q}})
		}
	}
}

// made tells of a content that was poured of others, or that was there at the start.
func (m *teller) made(n trace.Node, c house.Content, out epcis.Quantity) {
	in := m.inputs(n)
	if len(in) == 0 {
		m.tell(c.When, epcis.Event{Type: epcis.Object, Action: epcis.Add, Step: "commissioning", Quantities: []epcis.Quantity{out}, Master: m.about(n)})
		return
	}
	m.tell(c.When, epcis.Event{Type: epcis.Transformation, Step: "commissioning", Inputs: in, Outputs: []epcis.Quantity{out}})
}

// inputs are what a content was drawn from, by share.
func (m *teller) inputs(n trace.Node) (all []epcis.Quantity) {
	for _, from := range m.State.Graph().Next(n, trace.Back) {
		if !from.Share {
			continue
		}
		c := m.State.Content(from.Node)
		kind := map[house.NodeKind]string{house.LotNode: "lot", house.DeliveryNode: "delivery", house.ContentNode: "honey", house.BatchNode: "goods"}[c.Kind]
		if kind == "" || c.Code == "" {
			continue
		}
		class := m.class(kind, c.Code)
		if i := slices.IndexFunc(all, func(q epcis.Quantity) bool { return q.Class == class }); i >= 0 {
			all[i].Amount += epcis.Decimal(max(0, from.Grams))
			continue
		}
		all = append(all, kilograms(class, from.Grams))
	}
	return all
}

// about is what is told of honey where it begins: its site, its country, its kind and
// the day.
func (m *teller) about(n trace.Node) map[string]string {
	out := map[string]string{}
	for _, l := range m.State.ByOrigin(n) {
		o := m.State.OriginOf(l.Origin)
		for name, value := range map[string]string{"site": m.State.Site(o), "country": o.Country, "honey": o.Honey} {
			if value != "" && !strings.Contains(out["house:"+name], value) {
				out["house:"+name] = strings.TrimPrefix(out["house:"+name]+", "+value, ", ")
			}
		}
		if o.Day != 0 {
			out["cbvmda:harvestStartDate"] = o.Day.String()
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// goods tells of cases, pallets and what left the house.
func (m *teller) goods() {
	for step, err := range m.line.Each(m.log.read) {
		if err != nil || step.Struck {
			continue
		}
		e := step.Entry
		switch f := e.Fact.(type) {
		case *record.Cased:
			m.cased(e.When, f)
		case *record.Palletised:
			m.palletised(e.When, f)
		}
	}
	for _, d := range m.State.Goods.Dispatches() {
		m.sent(d.When, d.Sent)
	}
}

func (m *teller) caseName(prefix string, n int64) string {
	return m.domain() + "/case/" + url.PathEscape(fmt.Sprintf("%s%d", prefix, n))
}

// cased tells of each case what went into it; the batches fill the cases in turn.
func (m *teller) cased(at record.When, f *record.Cased) {
	batch, left := 0, int64(0)
	if len(f.Batches) > 0 {
		left = f.Batches[0].Units
	}
	for n := f.Cases.First; n <= f.Cases.Last; n++ {
		e := epcis.Event{Type: epcis.Aggregation, Action: epcis.Add, Step: "packing", Parent: m.caseName(f.Cases.Prefix, n)}
		for need := f.PerCase; need > 0 && batch < len(f.Batches); {
			take := min(need, left)
			if take > 0 {
				e.ChildQuantities = append(e.ChildQuantities, epcis.Quantity{Class: m.class("goods", f.Batches[batch].Batch), Amount: epcis.Decimal(take * 1000)})
			}
			if need, left = need-take, left-take; left == 0 {
				if batch++; batch < len(f.Batches) {
					left = f.Batches[batch].Units
				}
			}
		}
		if len(e.ChildQuantities) > 0 {
			m.tell(at, e)
		}
	}
}

func (m *teller) palletised(at record.When, f *record.Palletised) {
	e := epcis.Event{Type: epcis.Aggregation, Action: epcis.Add, Step: "packing", Parent: m.class("pallet", f.Pallet)}
	for _, r := range f.Cases {
		for n := r.First; n <= r.Last; n++ {
			e.Children = append(e.Children, m.caseName(r.Prefix, n))
		}
	}
	if len(e.Children) > 0 {
		m.tell(at, e)
	}
}

// sent tells what left the house, for whom and under which papers.
func (m *teller) sent(at record.When, f *record.Sent) {
	e := epcis.Event{Type: epcis.Object, Action: epcis.Observe, Step: "shipping", Disposition: "in_transit",
		Papers: []epcis.Paper{{Type: "desadv", ID: m.class("dispatch", f.Dispatch)}},
		To:     []epcis.Receiver{{Type: "possessing_party", ID: m.class("customer", f.Customer)}}}
	if f.Order != "" {
		e.Papers = append(e.Papers, epcis.Paper{Type: "po", ID: m.class("order", f.Order)})
	}
	var drums []record.Code
	for _, l := range f.Lines {
		if l.Cases.Count() > 0 && l.Cases.Prefix != "" {
			for n := l.Cases.First; n <= l.Cases.Last; n++ {
				e.EPCs = append(e.EPCs, m.caseName(l.Cases.Prefix, n))
			}
		} else if l.Units == 0 && l.What != "" {
			drums = append(drums, l.What)
		}
	}
	d, _ := m.State.Goods.Dispatch(f.Dispatch)
	for _, u := range d.Units {
		e.Quantities = append(e.Quantities, epcis.Quantity{Class: m.class("goods", u.Batch), Amount: epcis.Decimal(u.Units * 1000)})
	}
	for _, c := range drums {
		if _, ok := m.State.Goods.Batch(c); ok {
			continue
		}
		if _, _, pallet := m.State.Goods.Pallet(c); pallet {
			e.EPCs = append(e.EPCs, m.class("pallet", c))
			continue
		}
		var g quantity.Gram
		for _, n := range m.State.RootsOf(c) {
			g = max(g, m.State.Graph().Made(n))
		}
		e.Quantities = append(e.Quantities, kilograms(m.class("honey", c), g))
	}
	if len(e.EPCs)+len(e.Quantities) > 0 {
		m.tell(at, e)
	}
}
