package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/record"
)

// recallContacts adds to a recall list whom to call, each with their address, what they
// got and where it was shipped: who certainly has some before who possibly has.
func (v *View) recallContacts(a *answer.Answer, lists ...answer.Table) {
	t := a.Table("recall-contacts", "customer", "name", "contact", "ship_to", "units", "certain")
	type to struct {
		customer record.Code
		shop     string
	}
	at := map[to]int{}
	for i, list := range lists {
		for _, r := range list.Rows {
			who := to{code(r.Cells[2]), text(r.Cells[3])}
			if who.customer == "" {
				continue
			}
			j, ok := at[who]
			if !ok {
				j = len(t.Rows)
				at[who] = j
				t.Row(answer.Plain, who.customer, v.customerName(who.customer), v.contactOf(who.customer), textOrNil(who.shop), nil, i == 0)
			}
			if first, _ := t.Rows[j].Cells[5].(bool); first == (i == 0) {
				t.Rows[j].Cells[4] = intSum(t.Rows[j].Cells[4], r.Cells[4])
			}
		}
	}
	slices.SortStableFunc(t.Rows, func(a, b answer.Row) int {
		return cmp.Or(-compareBool(a.Cells[5], b.Cells[5]), cmp.Compare(code(a.Cells[0]), code(b.Cells[0])), cmp.Compare(text(a.Cells[3]), text(b.Cells[3])))
	})
}

func compareBool(a, b any) int {
	n := func(v any) int {
		if yes, _ := v.(bool); yes {
			return 1
		}
		return 0
	}
	return n(a) - n(b)
}

// contactOf is how a customer is reached; nil when nobody wrote it down.
func (v *View) contactOf(customer record.Code) any {
	if c, ok := v.State.Goods.Customer(customer); ok {
		return textOrNil(c.Contact)
	}
	return nil
}

// RecallCustomers are those to whom some of what must be called back went, by share
// first.
func (v *View) RecallCustomers(roots []record.Code) (all []record.Code) {
	for _, r := range roots {
		for _, t := range v.RecallList(r).Tables {
			if t.Key != "recall-contacts" {
				continue
			}
			for _, row := range t.Rows {
				if c := code(row.Cells[0]); c != "" && !slices.Contains(all, c) {
					all = append(all, c)
				}
			}
		}
	}
	return all
}
