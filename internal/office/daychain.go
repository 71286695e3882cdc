package office

import (
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/plan"
	"combline/internal/record"
)

// chains are the ways to pack an order, stage by stage: drums into the warm, into a tank,
// for soft-set honey cooled, seeded and held, then filled, and the line cleaned.
func (b *planBuild) chains(x *PlanOrder) (all []plan.Chain) {
	w := &chainWork{b: b, x: x}
	w.c = plan.Chain{Way: plan.Way{Name: string(x.name()), Units: min(x.Fill, 1<<22)}, Hours: b.d.Problem.Resources[b.crew].Capacity, Need: 1, Every: 1}
	if x.Fill >= x.Units {
		w.c.Way.Units = min(x.Units, 1<<22)
	}
	first := w.before()
	w.fill(first)
	w.takes()
	if w.none {
		return nil
	}
	all = append(all, w.c)
	if c, ok := w.byBath(); ok {
		all = append(all, c)
	}
	return all
}

// A chainWork makes the chain of one order.
type chainWork struct {
	b    *planBuild
	x    *PlanOrder
	c    plan.Chain
	none bool // there is no tank for it
}

// stage adds a stage and who works at it, and returns its place.
func (w *chainWork) stage(name string, least plan.Half, people int64, worked bool) int {
	w.c.Stages = append(w.c.Stages, plan.Stage{Name: name, Least: max(1, least), Worked: worked})
	i := len(w.c.Stages) - 1
	w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: plan.Use{Name: name, Any: []int{w.b.crew}, Amount: min(people, max(1, w.b.hands))}, First: i, Last: i, Worked: worked})
	return i
}

// before are the stages up to where the honey can be filled.
func (w *chainWork) before() (first int) {
	b, x := w.b, w.x
	if x.Run != "" || len(x.Tanks) > 0 {
		return w.inTank()
	}
	if len(x.warmCodes()) > 0 {
		w.stage("carry", 1, 1, false)
	}
	if x.WarmH > 0 || len(x.InRoom) > 0 {
		i := w.stage("warm", plan.Half(math.Ceil(2*x.WarmH)), 0, false)
		if n := len(x.warmCodes()); n > 0 && b.room >= 0 {
			w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: plan.Use{Name: "room", Any: []int{b.room}, Amount: int64(n)}, First: 0, Last: i})
		}
	}
	if !x.Soft {
		return len(w.c.Stages)
	}
	if x.SeedG == 0 && !slices.ContainsFunc(x.Notes, func(l answer.Line) bool { return l.Key == "plan.no-seed" }) {
		x.Notes = append(x.Notes, answer.Line{Key: "plan.no-seed", Mark: answer.Care, Args: answer.Args{"order": x.Cover.Order.Code, "kind": x.Cover.Kind, "mass": x.Mass / 20, "most": x.Mass / 10}})
	}
	tip := w.stage("tip", b.v.span("plan.tip", planTip), 2, false)
	w.soften()
	return tip
}

// soften are the stages of soft-set honey in its tank before it can be filled.
func (w *chainWork) soften() {
	v := w.b.v
	w.stage("cool", v.span("plan.cool", planCool), 0, false)
	w.stage("seed", 2, 1, false)
	w.stage("hold", v.span("plan.soft", planSoft), 0, false)
	w.stage("rewarm", v.span("plan.rewarm", planRewarm), 0, false)
}

// inTank are the stages of what stands in a tank: soft-set honey is held until its days
// are full.
func (w *chainWork) inTank() int {
	b, x := w.b, w.x
	if !x.Soft || x.Run != "" {
		return 0
	}
	if !b.v.seeded(x.Tanks[0]) {
		w.soften()
		return 0
	}
	full := b.v.seededAt(x.Tanks[0]).Add(time.Duration(b.v.span("plan.soft", planSoft)) * halfHour)
	if h := b.d.Clock.half(full); h > 0 {
		w.stage("hold", h, 0, false)
	}
	if !b.v.isWarm(x.Tanks[0]) {
		w.stage("rewarm", b.v.span("plan.rewarm", planRewarm), 0, false)
	}
	return 0
}

// fill are the stages at the line. The tank is held from where honey goes in.
func (w *chainWork) fill(tankFrom int) {
	b, x := w.b, w.x
	crew := int64(b.v.State.Setting("plan.crew", planCrew).Float())
	if x.Run == "" {
		ready := b.v.span("plan.setup", planSetUp)
		if len(x.Tanks) == 0 && !x.Soft {
			ready = max(ready, b.v.span("plan.tip", planTip))
		}
		w.stage("ready", ready, crew, false)
	}
	line := max(0, len(w.c.Stages)-1)
	run := plan.Half(math.Ceil(2 * float64(w.toFill()) / x.PerHour))
	clean := b.v.span("plan.clean", planClean)
	w.stage("run", run, crew, run+clean+2 > b.longest()) // over night only if it must
	last := w.stage("clean", clean, crew, false)
	w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: plan.Use{Name: "line", Any: []int{b.at[x.Line]}, Amount: 1, Family: b.family[x.name()]}, First: min(line, last), Last: last})
	w.tank(min(tankFrom, last), last)
}

// longest is the longest working day.
func (b *planBuild) longest() (most plan.Half) {
	for _, s := range b.shifts {
		most = max(most, plan.Half((s.To-s.From)/30))
	}
	return most
}

// toFill is how many units are still to be filled.
func (w *chainWork) toFill() int64 {
	if w.x.Run == "" {
		return max(1, w.x.Fill)
	}
	t, _ := w.b.v.State.Find(w.x.Run)
	r, _ := w.b.v.State.Run(t)
	var made int64
	for _, m := range r.Batches {
		made += w.b.v.State.UnitsMade(w.b.v.State.Code(m))
	}
	return max(1, w.x.Fill-made)
}

// tank takes the tanks for an order: those that hold it, else as few as hold it.
func (w *chainWork) tank(from, to int) {
	b, x := w.b, w.x
	use := plan.Use{Name: "tank"}
	for _, k := range b.tank {
		if slices.Contains(x.Tanks, k.code) {
			use.Any = append(use.Any, k.resource)
		}
	}
	if len(x.Tanks) > 0 {
		if use.Count = len(use.Any); use.Count > 0 {
			w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: use, First: from, Last: to})
		}
		w.more(from, to)
		return
	}
	for n := 1; n <= len(b.tank); n++ {
		use.Any, use.Count, use.Amount = nil, n, (int64(x.Mass)+int64(n)-1)/int64(n)
		for _, k := range b.tank {
			if k.grams >= use.Amount && (k.cooled || !x.Soft) {
				use.Any = append(use.Any, k.resource)
			}
		}
		if len(use.Any) >= n {
			w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: use, First: from, Last: to})
			return
		}
	}
	key := "plan.no-tank"
	if x.Soft && !slices.ContainsFunc(b.tank, func(k planTank) bool { return k.cooled }) {
		key = "plan.no-cooled"
	}
	x.cannot(key, answer.Args{"mass": x.Mass})
	w.none = true
}

// more are the tanks for what is still to be tipped beside what is in tanks already.
func (w *chainWork) more(from, to int) {
	left := int64(w.x.Mass)
	var other []int
	for _, k := range w.b.tank {
		if slices.Contains(w.x.Tanks, k.code) {
			left -= k.grams
		} else if !k.cooled {
			other = append(other, k.resource)
		}
	}
	if left > 0 && len(other) > 0 {
		w.c.Uses = append(w.c.Uses, plan.ChainUse{Use: plan.Use{Name: "tank", Any: other, Amount: left}, First: from, Last: to})
	}
}

// takes are the materials at the start of the run.
func (w *chainWork) takes() {
	run := len(w.c.Stages) - 2
	for _, n := range w.b.d.Stuff.Needs {
		for _, p := range n.Parts {
			if p.Order.Fold() == w.x.Cover.Order.Code.Fold() && w.b.takesOf(w.x, n.Material) {
				w.c.Takes = append(w.c.Takes, plan.ChainTake{Take: plan.Take{Stock: w.b.stuff[n.Material], Amount: p.N}, Stage: run})
			}
		}
	}
}

// takesOf reports whether a product's recipe has a material.
func (b *planBuild) takesOf(x *PlanOrder, material record.Code) bool {
	r, ok := b.v.State.Goods.Recipe(x.Product.Product, max(record.DayOf(b.d.At), DayOf(record.When{Minute: b.v.State.Latest})))
	return ok && slices.ContainsFunc(r.Lines, func(l record.RecipeLine) bool { return l.Material.Fold() == material.Fold() })
}

// byBath is the same chain with the one drum in the water bath instead of the room.
func (w *chainWork) byBath() (c plan.Chain, ok bool) {
	b, x := w.b, w.x
	cold := x.warmCodes()
	if b.bath < 0 || len(cold) != 1 || len(x.InRoom) > 0 || x.Soft {
		return c, false
	}
	t, why := b.v.warmHours(b.d, cold, x.SetC, false, b.d.names[b.bath].code)
	if why != nil {
		return c, false
	}
	h := min(t.slow, max(t.likely, float64(b.v.span("plan.warm", planWarm))/2))
	c = w.c
	c.Stages, c.Uses = slices.Clone(c.Stages), slices.Clone(c.Uses)
	for i := range c.Stages {
		if c.Stages[i].Name == "warm" {
			c.Stages[i].Least = max(1, plan.Half(math.Ceil(2*h)))
		}
	}
	for i := range c.Uses {
		if c.Uses[i].Name == "room" {
			c.Uses[i].Name, c.Uses[i].Any = "bath", []int{b.bath}
		}
	}
	return c, true
}

// seededAt is when soft-set seed was stirred into a tank; now for none.
func (v *View) seededAt(vessel record.Code) (at time.Time) {
	t, ok := v.State.Find(vessel)
	if !ok {
		return at
	}
	v.back(t, func(e record.Entry) bool {
		if f, is := e.Fact.(*record.Seeded); is && f.Vessel.Fold() == vessel.Fold() {
			at = e.When.Time()
			return true
		}
		return false
	})
	return at
}

// isWarm reports whether a tank was last read or set at a filling temperature of
// soft-set honey.
func (v *View) isWarm(vessel record.Code) bool {
	const fill = 20 // °C, common practice: soft-set is filled at 20 to 28 °C
	t, ok := v.State.Find(vessel)
	if !ok {
		return false
	}
	x, read := v.State.TemperatureOf(t)
	return read && x.Fact.Temp.Given() && float64(celsius(x.Fact.Temp)) >= fill
}
