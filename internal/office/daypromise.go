package office

import (
	"context"
	"time"

	"combline/internal/answer"
	"combline/internal/record"
)

// Apart is the view as one that is kept while the house goes on: what is folded into a
// state later does not change it.
func (v *View) Apart() *View {
	return &View{State: v.State.Clone(), line: v.line, log: v.log}
}

// Promise answers whether units of a product can be promised by a day, by planning them
// with all other orders: honey, warming, tanks, line and people's hours, materials. If
// not, it says the earliest day and what holds it. Orders that were taken already are not
// put off for it.
func (o *Office) Promise(ctx context.Context, v *View, at time.Time, product record.Code, units int64, by record.Day) (answer.Answer, error) {
	a, err := v.CanPromise(product, units, by, record.DayOf(at))
	if err != nil {
		return a, err
	}
	a.Rests = nil
	was, err := o.PlanDays(ctx, v, at, nil)
	if err != nil {
		return a, err
	}
	ask := If{Kind: IfOrder, Units: units, Of: product, Day: by}
	then, err := o.PlanDays(ctx, v, at, []If{ask})
	if err == nil && then.later(then.Ifs[0]) { // beyond what a plan looks at: as soon as it can be
		ask.Soon = true
		then, err = o.PlanDays(ctx, v, at, []If{ask})
	}
	if err != nil {
		return a, err
	}
	args := answer.Args{"n": units, "product": v.properCode(product), "due": by}
	code := one(then.Ifs[0].Codes)
	t := a.Table("plan-if", "order", "customer", "due", "product", "packed_was", "packed_then", "late_days")
	var mine *PlanOrder
	harmed := int64(0)
	for _, x := range then.Orders {
		if x.Cover.Order.Code == code {
			mine = x
			continue
		}
		y := was.find(x)
		mark := answer.Plain
		if y != nil && x.Late > y.Late || y != nil && packed(y) != nil && packed(x) == nil {
			mark = answer.Bad
			harmed++
		}
		t.Row(mark, x.Cover.Order.Code, orNil(x.Cover.Order.Customer), dayOrNil(x.Cover.Order.Due), x.Product.Product, packed(y), packed(x), x.Late)
	}
	a.Lines = append([]answer.Line{promiseVerdict(a, then, mine, args, harmed)}, a.Lines[min(1, len(a.Lines)):]...)
	if mine != nil {
		a.Lines = append(a.Lines, mine.Why...)
		for _, s := range mine.Steps {
			if j, ok := then.job(mine, s); ok && s.Kind != "clean" {
				then.stepRow(&a, j)
			}
		}
	}
	then.rests(&a)
	v.restsOnRecord(&a)
	return a, nil
}

// stepRow adds a step of what would be done.
func (d *DayPlan) stepRow(a *answer.Answer, j Job) {
	i := -1
	for k := range a.Tables {
		if a.Tables[k].Key == "coming" {
			i = k
		}
	}
	if i < 0 {
		a.Table("coming", "day_on", "clock", "job", "order")
		i = len(a.Tables) - 1
	}
	a.Tables[i].Row(answer.Plain, record.DayOf(j.At), j.At.Format("15:04"), j.What, orNil(j.Order))
}

// promiseVerdict says yes, or what is in the way and the earliest day.
func promiseVerdict(a answer.Answer, d *DayPlan, x *PlanOrder, args answer.Args, harmed int64) answer.Line {
	no := len(a.Lines) > 0 && a.Lines[0].Key == "can.no"
	if x == nil { // from goods that are packed already
		if no {
			return answer.Line{Key: "can.no", Args: args, Mark: answer.Bad}
		}
		return answer.Line{Key: "can.yes", Args: args, Mark: answer.Good}
	}
	done := x.Done()
	if !done.IsZero() {
		args["day"] = record.DayOf(done)
	}
	args["others"] = harmed
	switch {
	case x.Later && !no:
		return answer.Line{Key: "promise.beyond", Args: args, Mark: answer.Care}
	case done.IsZero() && x.Earliest > 0:
		args["day"] = x.Earliest
		return answer.Line{Key: "promise.earliest", Args: args, Mark: answer.Bad}
	case done.IsZero() || x.short():
		return answer.Line{Key: "can.no", Args: args, Mark: answer.Bad}
	case x.Late > 0:
		args["day"] = record.DayOf(done) + 1
		args["held"] = d.whyLate(x)
		return answer.Line{Key: "promise.earliest-held", Args: args, Mark: answer.Bad}
	case harmed > 0:
		return answer.Line{Key: "promise.others", Args: args, Mark: answer.Bad}
	case no:
		return answer.Line{Key: "can.no", Args: args, Mark: answer.Bad}
	}
	return answer.Line{Key: "promise.yes", Args: args, Mark: answer.Good}
}

// later reports whether the order that is supposed lies beyond what the plan looks at.
func (d *DayPlan) later(i If) bool {
	for _, x := range d.Orders {
		if x.Cover.Order.Code == one(i.Codes) {
			return x.Later
		}
	}
	return false
}
