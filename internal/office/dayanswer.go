package office

import (
	"cmp"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// sheetDays is how far the sheet lists what comes.
const sheetDays = 14

// Answer is the sheet: what to do today, what comes, what can't be met and why, when to
// order, and how the house stands.
func (s *DaySheet) Answer() answer.Answer {
	a := answer.Answer{Question: "day", Cannot: s.Now.Cannot, Rests: s.Now.Rests, Sources: s.Now.Sources, Next: s.Now.Next}
	if len(s.Now.Lines) > 0 {
		a.Lines = append(a.Lines, s.Now.Lines[0])
	}
	for _, i := range s.Plan.Ifs {
		a.Lines = append(a.Lines, i.Line())
	}
	if len(s.Plan.Ifs) > 0 {
		a.Say("if.nothing-recorded", nil)
	}
	s.inShort(&a)
	s.jobTable(&a)
	s.Plan.unmetTable(&a)
	s.Plan.refusedTable(&a)
	s.comingTable(&a)
	s.Plan.stuffTable(&a)
	s.Plan.orderTable(&a)
	s.Plan.unfilledTable(&a)
	if len(s.Now.Lines) > 1 {
		a.Lines = append(a.Lines, s.Now.Lines[1:]...)
	}
	for _, t := range s.Now.Tables {
		if t.Key == "due" { // orders stand in the plan already
			t.Rows = slices.DeleteFunc(slices.Clone(t.Rows), func(r answer.Row) bool { return toKeyCell(r.Cells[0]) == "due.order" })
		}
		if len(t.Rows) > 0 {
			a.Tables = append(a.Tables, t)
		}
	}
	s.lacks(&a)
	s.Plan.rests(&a)
	s.cautions(&a)
	return a
}

func toKeyCell(c answer.Cell) answer.Key {
	k, _ := c.(answer.Key)
	return k
}

// inShort says in some lines how much there is to do, and what can't be met.
func (s *DaySheet) inShort(a *answer.Answer) {
	d := s.Plan
	args := answer.Args{"n": int64(s.Left()), "all": int64(len(s.Jobs))}
	switch {
	case len(s.Jobs) > 0:
		a.Say("day.jobs", args)
	case len(d.v.State.Goods.Open(0)) == 0:
		a.Say("day.no-open", nil)
	default:
		a.Say("day.no-jobs", nil)
	}
	if !d.Solved {
		a.Warn("plan.no-solver", nil)
	}
	if d.Beyond > 0 {
		a.Warn("plan.most", answer.Args{"n": int64(d.Beyond), "most": int64(mostPlanned)})
	}
	bad := 0
	for _, x := range d.Orders {
		if l, ok := x.trouble(d); ok {
			a.Lines = append(a.Lines, l)
			bad++
		}
		for _, l := range x.Notes {
			if l.Mark == answer.Care {
				a.Lines = append(a.Lines, l)
			}
		}
	}
	if n := len(d.Orders); n > 0 && bad == 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "plan.all-met", Args: answer.Args{"n": int64(n)}, Mark: answer.Good})
	}
	if d.Proven {
		a.Say("plan.gap", answer.Args{"whole": quantity.Percent(100 * d.GapWhole), "choice": quantity.Percent(100 * d.GapChoice)})
	}
	if d.Moved > 0 {
		a.Warn("plan.moved", answer.Args{"n": int64(d.Moved), "when": d.Agreed})
	}
}

// trouble says what is wrong with an order, if something is.
func (x *PlanOrder) trouble(d *DayPlan) (answer.Line, bool) {
	args := answer.Args{"order": x.Cover.Order.Code, "customer": d.v.customerName(x.Cover.Order.Customer), "due": dayOrNil(x.Cover.Order.Due), "days": x.Late, "product": x.Product.Product}
	if at := x.Done(); !at.IsZero() {
		args["done"] = record.DayOf(at)
	}
	switch {
	case x.Bulk || len(x.Notes) > 0 && x.Notes[0].Key == "plan.kitchen":
		return answer.Line{}, false
	case x.Late > 0:
		return answer.Line{Key: "plan.late", Args: args, Mark: answer.Bad}, true
	case x.short() && len(x.Steps) > 0:
		args["n"] = x.Units - x.Fill
		return answer.Line{Key: "plan.in-part", Args: args, Mark: answer.Bad}, true
	case len(x.Why) > 0 && len(x.Steps) == 0:
		return answer.Line{Key: "plan.unmet", Args: args, Mark: answer.Bad}, true
	}
	return answer.Line{}, false
}

// short reports whether the honey does not do for the order.
func (x *PlanOrder) short() bool {
	return slices.ContainsFunc(x.Why, func(l answer.Line) bool { return l.Key == "plan.honey-short" })
}

// jobTable is what to do today, in clock order.
func (s *DaySheet) jobTable(a *answer.Answer) {
	t := a.Table("jobs", "job_n", "clock", "job", "order", "reason", "status")
	for _, j := range s.inOrder() {
		var clock, why any
		if !j.At.IsZero() {
			clock = j.At.Format("15:04")
		}
		if i := slices.IndexFunc(j.Under, func(l answer.Line) bool { return l.Key != "job.for" }); i >= 0 {
			why = j.Under[i]
		}
		mark := j.Mark
		if !j.Open() {
			mark = answer.Good
		}
		t.Row(mark, int64(j.Number), clock, j.What, orNil(j.Order), why, answer.Key(j.Status()))
	}
}

// inOrder is the jobs by the clock, what is over last.
func (s *DaySheet) inOrder() []Job {
	all := slices.Clone(s.Jobs)
	slices.SortStableFunc(all, func(a, b Job) int {
		return cmp.Or(boolInt(!a.Open())-boolInt(!b.Open()), a.At.Compare(b.At), cmp.Compare(jobRank(a.Kind), jobRank(b.Kind)), a.Number-b.Number)
	})
	return all
}

// InOrder is the jobs by the clock, what is over last.
func (s *DaySheet) InOrder() []Job { return s.inOrder() }

// Status is the key of how a job stands.
func (j *Job) Status() string {
	switch {
	case j.Tick != nil && j.Tick.Done == record.Yes:
		return "job.status.done"
	case j.Tick != nil:
		return "job.status.not-done"
	case j.Gone:
		return "job.status.gone"
	}
	return "job.status.open"
}

// unmetTable is what can't be met and why, line by line.
func (d *DayPlan) unmetTable(a *answer.Answer) {
	t := a.Table("unmet", "order", "customer", "due", "product", "units", "reason", "earliest")
	for _, x := range d.Orders {
		l, bad := x.trouble(d)
		if !bad {
			continue
		}
		var why any = l
		rest := x.Why
		if x.Late > 0 {
			why = d.whyLate(x)
		} else if len(x.Why) > 0 {
			why, rest = x.Why[0], x.Why[1:]
		}
		var earliest any
		if at := x.Done(); !at.IsZero() {
			earliest = record.DayOf(at)
		} else {
			earliest = dayOrNil(x.Earliest)
		}
		t.Row(answer.Bad, x.Cover.Order.Code, orNil(x.Cover.Order.Customer), dayOrNil(x.Cover.Order.Due), x.Product.Product, x.Units, why, earliest)
		for _, more := range rest {
			t.Row(answer.Bad, "", "", "", "", "", more, "")
		}
	}
}

// whyLate says what holds an order that is late: the longest of its steps.
func (d *DayPlan) whyLate(x *PlanOrder) answer.Line {
	var most PlanStep
	for _, s := range x.Steps {
		if s.To.Sub(s.From) > most.To.Sub(most.From) {
			most = s
		}
	}
	return answer.Line{Key: "plan.held-by", Args: answer.Args{"step": answer.Key("step." + most.Kind), "from": record.At(most.From), "to": record.At(most.To)}}
}

func (d *DayPlan) refusedTable(a *answer.Answer) {
	t := a.Table("refused", "order", "product", "contents", "mass_g", "reason")
	for _, r := range d.Refused {
		for i, l := range r.Why {
			if i == 0 {
				t.Row(answer.Bad, r.Order, r.Product, inRuns(r.Contents), r.Grams, l)
				continue
			}
			t.Row(answer.Bad, "", "", "", "", l)
		}
	}
}

// comingTable is what comes in the days after, in short.
func (s *DaySheet) comingTable(a *answer.Answer) {
	t := a.Table("coming", "day_on", "clock", "job", "order")
	from := dayStart(s.Day+1, s.At)
	for _, j := range s.Plan.jobs(from, from.AddDate(0, 0, sheetDays)) {
		if j.Kind == "clean" || j.Kind == "cool" || j.Kind == "ready" && len(j.Of) == 0 {
			continue
		}
		var clock any
		day := s.Plan.dayOf(j, s.Day+1)
		if !j.At.IsZero() {
			clock = j.At.Format("15:04")
		}
		t.Row(answer.Plain, day, clock, j.What, orNil(j.Order))
	}
	slices.SortStableFunc(t.Rows, func(x, y answer.Row) int { return cmp.Compare(x.Cells[0].(record.Day), y.Cells[0].(record.Day)) })
}

// dayOf is the day of a job; of one without an hour, the day on which it must be done.
func (d *DayPlan) dayOf(j Job, first record.Day) record.Day {
	if !j.At.IsZero() {
		return record.DayOf(j.At)
	}
	for _, key := range []string{"by", "due"} {
		if day, ok := j.What.Args[key].(record.Day); ok {
			return max(first, day)
		}
	}
	return first
}

// stuffTable is the materials that run short, with the day by which to order.
func (d *DayPlan) stuffTable(a *answer.Answer) {
	t := a.Table("order-by", "material", "what", "needs", "on_hand", "on_order", "short", "wait_days", "first_short", "first_short_on", "order_by")
	for _, r := range d.Stuff.rows() {
		if r.Cells[5] != nil && r.Mark != answer.Plain {
			t.Rows = append(t.Rows, r)
		}
	}
}

// rows are the rows of [Materials.Answer]'s table.
func (m Materials) rows() []answer.Row {
	var a answer.Answer
	m.table(&a)
	return a.Tables[0].Rows
}

// orderTable is every open order with when it is packed, from what, and by when.
func (d *DayPlan) orderTable(a *answer.Answer) {
	t := a.Table("plan-orders", "order", "customer", "due", "product", "units", "pack_on", "warm_on", "contents", "mass_g", "machine", "status")
	for _, x := range d.Orders {
		mark, status := answer.Plain, "plan.status.planned"
		pack := x.Pack
		var warm any
		if s, ok := x.Step("run"); ok {
			pack = record.DayOf(s.From)
		}
		if s, ok := x.Step("carry"); ok {
			warm = record.DayOf(s.From)
		}
		switch {
		case x.Bulk:
			status = "plan.status.drums"
		case len(x.Notes) > 0 && x.Notes[0].Key == "plan.kitchen":
			status = "plan.status.kitchen"
		case x.Late > 0:
			mark, status = answer.Bad, "plan.status.late"
		case x.Later && len(x.Why) == 0:
			status = "plan.status.later"
		case len(x.Steps) == 0:
			mark, status = answer.Bad, "plan.status.unmet"
		case x.short():
			mark, status = answer.Bad, "plan.status.short"
		}
		t.Row(mark, x.Cover.Order.Code, orNil(x.Cover.Order.Customer), dayOrNil(x.Cover.Order.Due), x.Product.Product, x.Units, dayOrNil(pack), warm, lots(inRuns(x.contents())), massOrNil(x.Mass), orNil(x.Line), answer.Key(status))
	}
}

// unfilledTable is what was promised and is not free, by week.
func (d *DayPlan) unfilledTable(a *answer.Answer) {
	u := d.v.Unfilled(record.DayOf(d.At))
	for _, t := range u.Tables {
		if t.Key != "weeks" {
			continue
		}
		t.Rows = slices.DeleteFunc(t.Rows, func(r answer.Row) bool { return r.Mark != answer.Bad })
		if len(t.Rows) > 0 {
			a.Tables = append(a.Tables, t)
		}
	}
}

// rests says what a plan rests on.
func (d *DayPlan) rests(a *answer.Answer) {
	a.RestsOn("plan.rests.hours", answer.Args{"hours": cmp.Or(d.v.State.SettingText("hours.week"), usualHours), "n": int64(d.v.State.Setting("plan.hands", planHands).Float())})
	a.RestsOn("plan.rests.warm", answer.Args{"hours": quantity.Figure{Mantissa: int64(d.v.span("plan.warm", planWarm)) * 5, Decimals: 1, Unit: quantity.Hour}, "temp": d.v.State.Setting("warm.set", warmSet)})
	a.RestsOn("plan.rests.lead", answer.Args{"lead": d.v.State.Setting("order.lead", runLead)})
	a.Follows("plan.follows", nil)
}

// cautions are the cautions of the kinds of work that the day brings.
func (s *DaySheet) cautions(a *answer.Answer) {
	for _, key := range s.Cautions() {
		a.Next = append(a.Next, answer.Line{Key: key, Mark: answer.Care})
	}
}

// Cautions are the keys of the cautions of the day's jobs, each once.
func (s *DaySheet) Cautions() (keys []string) {
	for _, j := range s.Jobs {
		for _, key := range JobCautions(j.Kind) {
			if j.Open() && !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	return keys
}

// JobCautions are the keys of the cautions of one kind of job.
func JobCautions(kind string) []string {
	switch kind {
	case "warm":
		return []string{"caution.cut-out", "caution.alone", "caution.lifting"}
	case "tip":
		return []string{"caution.lifting", "caution.scald"}
	case "ready":
		return []string{"caution.lifting", "caution.scald", "caution.ill"}
	case "run":
		return []string{"caution.glass", "caution.lock-off", "caution.ill"}
	case "clean":
		return []string{"caution.chemicals", "caution.floor", "caution.lock-off"}
	case "spin":
		return []string{"caution.extractor", "caution.uncapper", "caution.wax", "caution.floor"}
	case "seed", "rewarm", "cool", "hold":
		return []string{"caution.lock-off"}
	case "draw":
		return []string{"caution.lifting", "caution.floor"}
	case "send", "out", "empty":
		return []string{"caution.lifting"}
	}
	return nil
}

// IfAnswer is what a supposition changes: each order as the plan has it now, and then.
func IfAnswer(was, then *DaySheet) answer.Answer {
	a := answer.Answer{Question: "plan-if"}
	for _, i := range then.Plan.Ifs {
		a.Lines = append(a.Lines, i.Line())
	}
	t := a.Table("plan-if", "order", "customer", "due", "product", "packed_was", "packed_then", "late_days", "reason")
	worse := int64(0)
	var beyond []record.Code
	for _, x := range then.Plan.Orders {
		y := was.Plan.find(x)
		before, after := packed(y), packed(x)
		mark := answer.Plain
		if x.Late > 0 || after == nil && (before != nil || y == nil) && !x.Later && !x.Bulk {
			mark = answer.Bad
			if y == nil || y.Late < x.Late || before != nil && after == nil {
				worse++
			}
		} else if before != after {
			mark = answer.Care
		}
		if x.Later {
			beyond = withCode(beyond, x.Cover.Order.Code)
		}
		var late, why any
		if after != nil {
			late = x.Late
		}
		if mark == answer.Bad {
			why = then.Plan.firstWhy(x)
		}
		t.Row(mark, x.Cover.Order.Code, orNil(x.Cover.Order.Customer), dayOrNil(x.Cover.Order.Due), x.Product.Product, before, after, late, why)
	}
	for _, l := range then.Plan.lateStuff() {
		a.Lines = append(a.Lines, l)
		worse++
	}
	if len(beyond) > 0 {
		a.Warn("plan.if-beyond", answer.Args{"orders": beyond})
	}
	if worse == 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "plan.if-holds", Mark: answer.Good})
	} else {
		a.Lines = append(a.Lines, answer.Line{Key: "plan.if-worse", Args: answer.Args{"n": worse}, Mark: answer.Bad})
	}
	a.Say("if.nothing-recorded", nil)
	then.Plan.stuffTable(&a)
	then.Plan.rests(&a)
	return a
}

// firstWhy is the first of what is in an order's way; what takes longest where that is all.
func (d *DayPlan) firstWhy(x *PlanOrder) any {
	switch {
	case len(x.Why) > 0:
		return x.Why[0]
	case x.Late > 0:
		return d.whyLate(x)
	}
	return nil
}

// lateStuff are the materials that are supposed to come late and are short before.
func (d *DayPlan) lateStuff() (all []answer.Line) {
	for _, i := range d.Ifs {
		for _, n := range d.Stuff.Needs {
			if i.Kind == IfLate && n.Material.Fold() == i.Of.Fold() && n.FirstShort.Day > 0 && n.FirstShort.Day <= i.Day {
				all = append(all, answer.Line{Key: "plan.if-late-short", Mark: answer.Bad, Args: answer.Args{"order": n.FirstShort.Order, "on": n.FirstShort.Day, "short": n.cell(n.Short), "material": n.Material, "day": i.Day}})
			}
		}
	}
	return all
}

// packed is when an order is packed in a plan.
func packed(x *PlanOrder) any {
	if x == nil {
		return nil
	}
	at := x.Done()
	if at == (time.Time{}) {
		return nil
	}
	return record.DayOf(at)
}

func (d *DayPlan) find(x *PlanOrder) *PlanOrder {
	for _, y := range d.Orders {
		if y.name() == x.name() {
			return y
		}
	}
	return nil
}
