package office

import (
	"combline/internal/answer"
	"combline/internal/plan"
	"combline/internal/record"
)

// reasons says of each order that is late or not in the plan what is in its way, and when
// it could be ready beside the others and with the house to itself.
func (d *DayPlan) reasons() {
	var wanted bool
	for _, x := range d.Orders {
		wanted = wanted || x.Job >= 0 && (x.Late > 0 || len(x.Steps) == 0)
	}
	if !wanted || len(plan.Check(&d.Problem, &d.Plan)) > 0 {
		return
	}
	for _, r := range plan.Why(&d.Problem, &d.Plan) {
		for _, x := range d.Orders {
			if x.Job == r.Job && (x.Late > 0 || len(x.Steps) == 0) {
				d.reason(x, r)
			}
		}
	}
}

func (d *DayPlan) reason(x *PlanOrder, r plan.Reason) {
	if len(x.Steps) == 0 && r.Beside >= 0 {
		x.Earliest = record.DayOf(d.Clock.At(r.Beside))
	}
	if len(x.Steps) == 0 && x.Earliest == 0 && r.Alone >= 0 {
		x.Earliest = record.DayOf(d.Clock.At(r.Alone))
	}
	b := r.Holds
	if b == nil {
		b = r.Never
	}
	if b == nil {
		return
	}
	args := answer.Args{"what": answer.Key("plan.hands"), "day": record.DayOf(d.Clock.At(max(0, b.At)))}
	switch {
	case b.Stock >= 0 && b.Stock < len(d.stocks):
		args["what"] = d.stocks[b.Stock]
		x.Why = append(x.Why, answer.Line{Key: "plan.holds-stuff", Args: args, Mark: answer.Bad})
		return
	case b.Resource >= 0 && b.Resource < len(d.names) && d.names[b.Resource].code != "":
		args["what"] = d.names[b.Resource].code
	case b.Resource < 0:
		return
	}
	if b.Other >= 0 && b.Other != x.Job {
		args["by"] = d.orderOf(b.Other)
		x.Why = append(x.Why, answer.Line{Key: "plan.holds-by", Args: args, Mark: answer.Bad})
		return
	}
	x.Why = append(x.Why, answer.Line{Key: "plan.holds", Args: args, Mark: answer.Bad})
}

// orderOf is the order of a job.
func (d *DayPlan) orderOf(job int) record.Code {
	for _, x := range d.Orders {
		if x.Job == job {
			return x.Cover.Order.Code
		}
	}
	return ""
}
