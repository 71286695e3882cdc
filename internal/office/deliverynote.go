package office

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// DeliveryNote is the paper that goes with the goods: the eight fields of Regulation
// (EU) 931/2011 article 3(1), with the lot marks. Of a dispatch it says what left; of
// an order that has not gone, what the pick proposes.
func (v *View) DeliveryNote(code record.Code, now record.When) (answer.Answer, error) {
	if d, ok := v.State.Goods.Dispatch(code); ok {
		return v.noteOf(d), nil
	}
	o, ok := v.State.Goods.Order(code)
	if !ok {
		return answer.Answer{}, notKnown("order", code)
	}
	if !o.Open() { // all of it went: the papers that it went with
		for _, d := range slices.Backward(v.State.Goods.Dispatches()) {
			if d.Order.Fold() == o.Code.Fold() {
				return v.noteOf(d), nil
			}
		}
	}
	p, err := v.Pick(PickAsk{Order: code})
	if err != nil {
		return answer.Answer{}, err
	}
	a := answer.Answer{Question: "delivery-note", Of: o.Code}
	a.Lines = append(a.Lines, answer.Line{Key: "note.not-sent", Mark: answer.Care})
	v.noteHead(&a, "", o.Code, o.Customer, now)
	t := noteTable(&a)
	for _, l := range p.Lines {
		for _, u := range l.Of {
			if l.Drum {
				t.Row(answer.Plain, v.drumKind(u.Batch), nil, l.Mass, v.marksOf(u.Batch), nil, l.Says(), nil, textOrNil(l.Line.Seal))
				continue
			}
			what, mass := v.unitsOf(u)
			best, _ := v.State.Goods.BestBefore(u.Batch)
			t.Row(answer.Plain, what, u.Units, mass, []record.Code{u.Batch}, dayOrNil(best), l.Says(), nil, nil)
		}
	}
	for _, l := range p.Lacks {
		a.Lines = append(a.Lines, l.Why)
	}
	v.noteFoot(&a, productsOf(o))
	return a, nil
}

func productsOf(o goods.Order) (all []record.Code) {
	for _, l := range o.Lines {
		all = append(all, l.Product)
	}
	return all
}

func noteTable(a *answer.Answer) *answer.Table {
	return a.Table("delivery-note", "what", "units", "mass_g", "of_lots", "best_before", "packed_as", "ship_to", "seal")
}

func (v *View) noteOf(d goods.Dispatch) answer.Answer {
	a := answer.Answer{Question: "delivery-note", Of: d.Sent.Dispatch}
	v.noteHead(&a, d.Sent.Dispatch, d.Order, d.Customer, d.When)
	if d.Carrier != "" {
		a.Say("note.carrier", answer.Args{"carrier": d.Carrier})
	}
	t := noteTable(&a)
	var products []record.Code
	for _, l := range v.linesOf(d) {
		if l.Batch == "" {
			mass, _ := v.bulkSent(l.What)
			t.Row(answer.Plain, v.drumKind(l.What), nil, massOrNil(mass), v.marksOf(l.What), nil, answer.Line{Key: "pick.take.drum", Args: answer.Args{"drum": l.What}}, textOrNil(l.ShipTo), textOrNil(l.Seal))
			continue
		}
		what, mass := v.unitsOf(goods.BatchUnits{Batch: l.Batch, Units: l.Units})
		best, _ := v.State.Goods.BestBefore(l.Batch)
		t.Row(answer.Plain, what, l.Units, mass, []record.Code{l.Batch}, dayOrNil(best), casesText(l.Cases), textOrNil(l.ShipTo), nil)
		if b, ok := v.State.Goods.Batch(l.Batch); ok {
			products = append(products, b.Product)
		}
	}
	v.noteFoot(&a, products)
	return a
}

// casesText names cases as they are printed, "R1-C1 – R1-C90".
func casesText(all []record.Cases) any {
	var parts []string
	for _, c := range all {
		text := string(goods.CaseCode(c.Prefix, c.First))
		if c.Last > c.First {
			text += " – " + string(goods.CaseCode(c.Prefix, c.Last))
		}
		parts = append(parts, text)
	}
	return textOrNil(strings.Join(parts, ", "))
}

// drumKind is what a drum that was sold holds, by its honey.
func (v *View) drumKind(code record.Code) any {
	for _, n := range v.State.RootsOf(code) {
		if c := v.State.Content(n); c.Kind == house.ContentNode {
			if c.Purpose == record.CookingGrade {
				return answer.Key(record.CookingGrade.Key())
			}
			if kind := v.honeyOf(c); kind != "" {
				return honeyCell(kind)
			}
		}
	}
	return code
}

func (v *View) noteHead(a *answer.Answer, dispatch, order, customer record.Code, when record.When) {
	us := v.State.House()
	a.Say("note.from", answer.Args{"name": us.Name, "address": textOrNil(v.State.SettingText(addressSetting))})
	c, _ := v.State.Goods.Customer(customer)
	contact := ""
	if c.CustomerNamed != nil {
		contact = strings.Trim(c.Contact+", "+c.Country, ", ")
	}
	a.Say("note.to", answer.Args{"name": v.customerName(customer), "address": textOrNil(contact)})
	a.Say("note.number", answer.Args{"dispatch": textOr(dispatch), "order": textOr(order), "when": when})
	if v.State.SettingText(addressSetting) == "" {
		a.Warn("note.no-address", nil)
	}
	if contact == "" {
		a.Warn("note.no-contact", answer.Args{"customer": customer})
	}
}

// textOr is a code, or a dash where there is none.
func textOr(c record.Code) any {
	if c == "" {
		return "–"
	}
	return c
}

// noteTotal adds up what the note lists; where a weight is not known there is no sum.
func noteTotal(a *answer.Answer) {
	var units int64
	var mass quantity.Gram
	for _, t := range a.Tables {
		for _, r := range t.Rows {
			g, known := r.Cells[2].(quantity.Gram)
			if !known {
				return
			}
			n, _ := r.Cells[1].(int64)
			units, mass = units+n, mass+g
		}
	}
	switch {
	case units > 0:
		a.Say("note.total", answer.Args{"units": units, "mass": mass})
	case mass > 0:
		a.Say("note.total-mass", answer.Args{"mass": mass})
	}
}

// noteFoot names the allergens of what is sent, and the rule.
func (v *View) noteFoot(a *answer.Answer, products []record.Code) {
	noteTotal(a)
	var seen []record.Code
	for _, c := range products {
		p, ok := v.State.Goods.Product(c)
		if !ok || p.Allergens == "" || slices.Contains(seen, c) {
			continue
		}
		seen = append(seen, c)
		name := p.Name
		if name == "" {
			name = string(c)
		}
		a.Say("note.allergens", answer.Args{"product": name, "allergens": p.Allergens})
	}
	a.Follows("note.follows", nil)
	v.restsOnRecord(a)
}
