package office

import (
	"combline/internal/answer"
	"combline/internal/record"
)

// HeldBy is the hold that blocks what a code stands for, or "" when none does.
func (v *View) HeldBy(code record.Code) record.Code {
	hold, _ := v.blockedBy(v.held(), code)
	return hold
}

// ComplaintList is every complaint in order: what, of which mark, from whom, what holds
// it, and how it was answered.
func (v *View) ComplaintList() answer.Answer {
	a := answer.Answer{Question: "complaints"}
	open := int64(0)
	t := a.Table("complaints", "complaint", "when", "class", "mark", "units", "what", "customer", "bought_at", "hold", "photos", "answer")
	for _, c := range v.State.Goods.Complaints() {
		mark := answer.Plain
		var said any
		if c.Answered != nil {
			said = c.Answered.Answer
		} else {
			open, mark = open+1, answer.Care
		}
		t.Row(mark, c.Complaint, c.When, answer.Key(c.Class.Key()), orNil(c.Mark), countOrNil(c.Units), textOrNil(c.ComplaintTaken.What), orNil(c.Customer), textOrNil(c.Bought),
			orNil(v.HeldBy(c.Mark)), countOrNil(int64(len(v.Photos(c.Complaint)))), said)
	}
	a.Say("complaints.count", answer.Args{"n": int64(len(t.Rows)), "open": open})
	v.restsOnRecord(&a)
	return a
}
