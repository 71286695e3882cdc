package office

import (
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Urgent is the one thing of a day sheet that comes before all else.
type Urgent struct {
	What string      // below-zero, ruling, complaint, late, sent-on-hold, hold, gap, wet, soon, problem
	Of   record.Code // what it is about
	Who  answer.Cell
	Mass quantity.Gram
	Days int64
}

// Urgent looks for what must be dealt with first. False: all is in order.
func (v *View) Urgent(day answer.Answer, at time.Time) (Urgent, bool) {
	rows := map[string][]answer.Row{}
	for _, t := range day.Tables {
		rows[t.Key] = t.Rows
	}
	for _, c := range v.State.Contents() {
		if c.Grams < 0 {
			return Urgent{What: "below-zero", Of: c.Code, Mass: c.Grams}, true
		}
	}
	if u, ok := urgentDue(rows["due"], answer.Bad); ok {
		return u, true
	}
	for _, r := range rows["gaps"] {
		if r.Mark == answer.Bad {
			return Urgent{What: "gap", Of: code(r.Cells[0]), Mass: r.Cells[2].(quantity.Gram)}, true
		}
	}
	for _, r := range rows["wet"] {
		return Urgent{What: "wet", Of: code(r.Cells[0]), Who: r.Cells[1], Mass: r.Cells[3].(quantity.Gram)}, true
	}
	if u, ok := urgentDue(rows["due"], answer.Care); ok {
		return u, true
	}
	for _, r := range rows["holds"] {
		return Urgent{What: "hold", Of: code(r.Cells[0]), Who: r.Cells[2], Mass: r.Cells[5].(quantity.Gram)}, true
	}
	return Urgent{}, false
}

// urgentDue is the first thing due with a mark.
func urgentDue(rows []answer.Row, mark answer.Mark) (Urgent, bool) {
	names := map[answer.Key]string{"due.order": "late", "due.sheet": "sheet", "due.ruling": "ruling", "due.problem": "problem", "due.complaint": "complaint"}
	for _, r := range rows {
		if r.Mark != mark {
			continue
		}
		what, _ := r.Cells[0].(answer.Key)
		u := Urgent{What: names[what], Of: code(r.Cells[1]), Who: r.Cells[2]}
		u.Days, _ = r.Cells[4].(int64)
		if u.What == "late" && u.Days >= 0 {
			u.What = "soon"
		}
		return u, true
	}
	return Urgent{}, false
}

func code(c answer.Cell) record.Code {
	x, _ := c.(record.Code)
	return x
}
