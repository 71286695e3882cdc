package office

import (
	"cmp"
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A Job is one thing to do on a day.
type Job struct {
	Key    string // the same on every sheet: "run O-01 summer 340"
	Number int    // on the day's sheet
	Kind   string
	At     time.Time // zero: at any time of the day
	What   answer.Line
	Under  []answer.Line // for which order, and why then
	Order  record.Code
	Of     []record.Code // what it is done to
	On     []record.Code // where: room, tanks, line
	Units  int64
	Mark   answer.Mark
	Gone   bool // it was on the day's sheet, and is not asked any more
	Tick   *house.Tick
}

// Open reports whether the job is still to be done.
func (j *Job) Open() bool { return j.Tick == nil && !j.Gone }

// jobs lists what is to be done from one time to another, in clock order; what has no
// hour of its own comes first.
func (d *DayPlan) jobs(from, to time.Time) (all []Job) {
	for _, x := range d.Orders {
		for _, s := range x.Steps {
			if s.From.Before(from) || !s.From.Before(to) {
				continue
			}
			if j, ok := d.job(x, s); ok && !slices.ContainsFunc(all, func(k Job) bool { return k.Key == j.Key }) {
				all = append(all, j)
			}
		}
	}
	all = append(all, d.orderJobs(from, to)...)
	all = append(all, d.sendJobs(from, to)...)
	all = append(all, d.houseJobs(from, to)...)
	all = append(all, d.drawJobs(from, to)...)
	slices.SortStableFunc(all, func(a, b Job) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(jobRank(a.Kind), jobRank(b.Kind)), cmp.Compare(a.Key, b.Key))
	})
	return all
}

// jobRank orders jobs of the same time.
func jobRank(kind string) int {
	return slices.Index([]string{"check", "out", "empty", "stuff", "send", "spin", "draw", "warm", "tip", "cool", "seed", "hold", "rewarm", "ready", "run", "clean"}, kind)
}

// job is the job of an order's step.
func (d *DayPlan) job(x *PlanOrder, s PlanStep) (j Job, ok bool) {
	j = Job{Kind: s.Kind, At: s.From, Order: x.Cover.Order.Code, On: s.On}
	args := answer.Args{"order": x.Cover.Order.Code, "customer": d.v.customerName(x.Cover.Order.Customer), "due": dayOrNil(x.Cover.Order.Due), "product": x.Product.Product,
		"on": s.On, "mass": x.Mass}
	switch s.Kind {
	case "carry":
		j.Kind, j.Of = "warm", x.warmCodes()
		args["of"], args["temp"], args["n"] = inRuns(j.Of), degrees(x.SetC), int64(len(j.Of))
		j.Under = append(j.Under, d.whyThen(x)...)
	case "tip":
		j.Of = x.toTip()
		args["of"] = inRuns(j.Of)
	case "cool":
		args["temp"] = degrees(softTip)
	case "seed":
		j.Of = []record.Code{x.Seed.Code}
		args["of"], args["mass"], args["temp"] = x.Seed.Code, x.SeedG, degrees(softTip)
	case "hold":
		args["temp"], args["until"] = degrees(softHold), record.At(s.To)
	case "rewarm":
		args["temp"] = degrees(softTip)
	case "ready":
		j.Of = x.toTip()
		args["of"], args["tip"] = inRuns(j.Of), !x.Soft && len(x.Tanks) == 0
		if len(x.Uses) > len(x.Tanks) && len(x.Tanks) > 0 { // half tipped
			args["tip"] = true
		}
	case "run":
		j.Units = x.Fill
		args["n"], args["target"], args["until"], args["more"] = x.Units, targetOf(x), record.At(s.To), max(0, x.Fill-x.Units)
		j.Of = x.contents()
	case "clean":
	default:
		return j, false
	}
	j.Key = j.Kind + " " + string(x.name())
	j.What = answer.Line{Key: "job." + j.Kind, Args: args}
	if s.Kind == "seed" && x.SeedG == 0 { // none is here: as much as it takes
		args["kind"], args["mass"], args["most"] = textOrNil(x.Cover.Kind), x.Mass/20, x.Mass/10
		j.What.Key, j.Mark, j.Of = "job.seed-none", answer.Care, nil
	}
	j.Under = append([]answer.Line{{Key: "job.for", Args: args}}, j.Under...)
	return j, true
}

// Temperatures of soft-set honey: tipped, seeded and filled at 24 °C, held at 13 (common
// practice, as for the demo's recipe).
const (
	softTip  quantity.Celsius = 24
	softHold quantity.Celsius = 13
)

// targetOf is what the filler is set to; not known, where no rule set says.
func targetOf(x *PlanOrder) any {
	if x.TargetG <= 0 {
		return answer.Key("unknown")
	}
	return quantity.Figure{Mantissa: int64(math.Round(10 * x.TargetG)), Decimals: 1, Unit: quantity.G}
}

// contents are the codes that an order is packed from.
func (x *PlanOrder) contents() (all []record.Code) {
	for _, u := range x.Uses {
		all = append(all, u.Content.Code)
	}
	slices.SortFunc(all, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
	return all
}

// toTip are the codes that are still to be tipped.
func (x *PlanOrder) toTip() (all []record.Code) {
	for _, u := range x.Uses {
		if u.Whole() {
			all = append(all, u.Content.Code)
		}
	}
	slices.SortFunc(all, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
	return all
}

// whyThen says from when an order's drums stand in the warm, counted back from tipping,
// and how long slow honey would take.
func (d *DayPlan) whyThen(x *PlanOrder) (all []answer.Line) {
	next, ok := x.Step("tip")
	if !ok {
		next, ok = x.Step("ready")
	}
	if ok {
		all = append(all, answer.Line{Key: "job.back-from", Args: answer.Args{"tip": record.At(next.From), "hours": tenths(x.WarmH, quantity.Hour)}})
	}
	if x.SlowH > x.WarmH+1 {
		all = append(all, answer.Line{Key: "job.slow", Mark: answer.Care, Args: answer.Args{"hours": quantity.Figure{Mantissa: int64(x.SlowH + 0.5), Unit: quantity.Hour}}})
	}
	return all
}

// orderJobs are the materials that must be ordered by now.
func (d *DayPlan) orderJobs(from, to time.Time) (all []Job) {
	first, last := record.DayOf(from), record.DayOf(to.Add(-time.Second))
	for _, n := range d.Stuff.Needs {
		if n.FirstShort.Day == 0 || n.Short <= 0 || n.OrderBy > last || n.OrderBy < first && first > record.DayOf(d.At) {
			continue
		}
		j := Job{Kind: "stuff", Key: "stuff " + string(n.Material), Of: []record.Code{n.Material}, Order: n.FirstShort.Order}
		args := answer.Args{"material": n.Material, "what": textOrNil(n.What), "short": n.cell(n.Short), "by": n.OrderBy, "run": cmp.Or(n.FirstShort.Run, n.FirstShort.Order), "day": n.FirstShort.Day, "wait": n.WaitDays}
		j.What = answer.Line{Key: "job.stuff", Args: args}
		j.Under = []answer.Line{{Key: "job.stuff-for", Args: args}}
		if j.Mark = answer.Care; n.OrderBy < record.DayOf(d.At) {
			j.Mark = answer.Bad
		}
		all = append(all, j)
	}
	return all
}

// sendJobs are the orders that are due and whose goods stand ready: on the day due; what
// is overdue on the first day.
func (d *DayPlan) sendJobs(from, to time.Time) (all []Job) {
	first, last := record.DayOf(from), record.DayOf(to.Add(-time.Second))
	ready := map[record.Code]bool{}
	for _, c := range d.v.Covers() {
		was, seen := ready[c.Order.Code]
		ready[c.Order.Code] = (was || !seen) && c.PutBy+c.Goods >= c.Open && !c.Touched
	}
	for _, o := range d.v.State.Goods.Open(0) {
		day := o.Due
		if day < record.DayOf(d.At) {
			day = record.DayOf(d.At)
		}
		if o.Due == 0 || !ready[o.Code] || day < first || day > last {
			continue
		}
		j := Job{Kind: "send", Key: "send " + string(o.Code), Order: o.Code, Of: []record.Code{o.Code}}
		j.What = answer.Line{Key: "job.send", Args: answer.Args{"order": o.Code, "customer": d.v.customerName(o.Customer), "due": o.Due}}
		if o.Due < record.DayOf(d.At) {
			j.Mark = answer.Bad
		}
		all = append(all, j)
	}
	return all
}

// houseJobs are what the house itself asks today: refused mixes out of the way, lots to
// be spun and drawn, the start checks of a packing day.
func (d *DayPlan) houseJobs(from, to time.Time) (all []Job) {
	if record.DayOf(from) != record.DayOf(d.At) {
		return nil
	}
	for _, r := range d.Refused {
		if r.Where == "store" {
			continue
		}
		j := Job{Kind: "empty", Key: "empty " + string(one(r.Tanks)), Of: r.Tanks, Order: r.Order, Mark: answer.Bad}
		args := answer.Args{"of": r.Tanks, "order": r.Order, "product": r.Product, "mass": r.Grams}
		if r.Where != "tank" {
			wet := d.unfit(r)
			j.Kind, j.Key, j.Of = "out", "out "+string(r.Order), wet
			args["of"] = inRuns(wet)
		}
		j.What = answer.Line{Key: "job." + j.Kind, Args: args}
		j.Under = r.Why
		all = append(all, j)
	}
	all = append(all, d.spinJobs()...)
	if slices.ContainsFunc(d.Orders, func(x *PlanOrder) bool {
		s, ok := x.Step("run")
		return ok && s.From.Before(to)
	}) {
		all = append(all, Job{Kind: "check", Key: "check", What: answer.Line{Key: "job.check"}})
	}
	return all
}

// unfit are the contents of a refused mix that no order takes.
func (d *DayPlan) unfit(r RefusedMix) (all []record.Code) {
	for _, c := range r.Contents {
		if !slices.ContainsFunc(d.Orders, func(x *PlanOrder) bool { return slices.Contains(x.contents(), c) }) {
			all = append(all, c)
		}
	}
	return all
}

// spinJobs are the lots that stand weighed in and are not spun.
func (d *DayPlan) spinJobs() (all []Job) {
	for _, t := range d.v.State.OfKind(record.Lot) {
		l, ok := d.v.State.Lot(t)
		if !ok || l.Closed || l.BoxesIn == 0 || max(l.Spun, l.BoxesWet) >= l.BoxesIn {
			continue
		}
		code := d.v.State.Code(t)
		args := answer.Args{"lot": code, "n": l.BoxesIn - max(l.Spun, l.BoxesWet), "site": d.v.siteOf(l)}
		all = append(all, Job{Kind: "spin", Key: "spin " + string(code), Of: []record.Code{code}, What: answer.Line{Key: "job.spin", Args: args}})
	}
	return all
}

func (v *View) siteOf(l house.Lot) any {
	if l.Opened == nil {
		return nil
	}
	return orNil(l.Opened.Site)
}

// inRuns writes codes that follow each other as one: D020–D025.
func inRuns(codes []record.Code) (all []record.Code) {
	for i := 0; i < len(codes); {
		j := i
		for j+1 < len(codes) && after(codes[j]) == codes[j+1] {
			j++
		}
		if j-i >= 2 {
			all = append(all, codes[i]+"–"+codes[j])
		} else {
			all = append(all, codes[i:j+1]...)
		}
		i = j + 1
	}
	return all
}
