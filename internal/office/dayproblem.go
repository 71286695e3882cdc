package office

import (
	"cmp"
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/plan"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// build makes the plan's problem of the orders: people, rooms, tanks and lines with
// their hours, materials with what is to come, and for each order the ways to pack it.
func (d *DayPlan) build() {
	b := &planBuild{d: d, v: d.v, at: map[record.Code]int{}, stuff: map[record.Code]int{}}
	d.Problem.Horizon = plan.Half(d.v.State.Setting("plan.ahead", planAhead).Float()) * plan.Day
	d.Problem.Horizon = min(max(d.Problem.Horizon, 2*plan.Day), 56*plan.Day)
	d.Problem.Midnight = plan.Half(d.Clock.from.Hour()*2 + d.Clock.from.Minute()/30)
	d.Problem.Move = quantity.MoneyCents(100 * d.v.State.Setting("plan.move", planMove).Float())
	b.people()
	b.rooms()
	b.tanks()
	b.lines()
	b.materials()
	for _, x := range d.Orders {
		b.order(x)
	}
}

// A planBuild puts a problem together.
type planBuild struct {
	d      *DayPlan
	v      *View
	shifts []Shift
	hands  int64
	at     map[record.Code]int // resources by code
	crew   int                 // the resource that people are
	room   int                 // −1: there is none
	bath   int
	tank   []planTank
	stuff  map[record.Code]int // stocks by material
	family map[record.Code]int // of a product on its line
}

// A planTank is a tank that blends are tipped into.
type planTank struct {
	resource int
	code     record.Code
	grams    int64
	cooled   bool
	content  record.Code // that stands in it now
}

func (b *planBuild) add(r plan.Resource, code record.Code) int {
	p := &b.d.Problem
	for _, i := range b.d.Ifs {
		if i.Kind == IfBroken && i.Of.Fold() == code.Fold() || i.Kind == IfPowerOff && r.Kind == plan.Line {
			r.Capacity = shut(r.Capacity, b.d.Clock.before(i.From), b.d.Clock.half(i.To))
		}
	}
	p.Resources = append(p.Resources, r)
	b.d.names = append(b.d.names, resource{code, r.Kind})
	if code != "" {
		b.at[code] = len(p.Resources) - 1
	}
	return len(p.Resources) - 1
}

// shut is a capacity with none from one half-hour to another.
func shut(steps []plan.Step, from, to plan.Half) (all []plan.Step) {
	from, to = max(0, from), max(0, to)
	if to <= from {
		return steps
	}
	then := int64(0)
	for _, s := range steps {
		if s.From <= to {
			then = s.Amount
		}
		if s.From < from {
			all = append(all, s)
		}
	}
	all = append(all, plan.Step{From: from}, plan.Step{From: to, Amount: then})
	for _, s := range steps {
		if s.From > to {
			all = append(all, s)
		}
	}
	return all
}

func always(n int64) []plan.Step { return []plan.Step{{Amount: n}} }

func (b *planBuild) people() {
	b.shifts = b.v.hours()
	b.hands = int64(b.v.State.Setting("plan.hands", planHands).Float())
	for _, i := range b.d.Ifs {
		if i.Kind == IfPeople {
			b.hands = i.Units
		}
	}
	b.hands = min(max(b.hands, 0), 1000)
	b.crew = b.add(plan.Resource{Name: "people", Kind: plan.People, Capacity: b.d.Clock.there(b.shifts, b.hands, b.d.Problem.Horizon)}, "")
}

// rooms are the first warming room and the first bath. Drums that stand there and are in
// no order's blend are taken out within two hours; the others when they are ready.
func (b *planBuild) rooms() {
	b.room, b.bath = -1, -1
	for _, t := range b.v.State.OfKind(record.Place) {
		f, ok := b.v.State.Named(t).(*record.PlaceNamed)
		if !ok || f.For != record.WarmingRoom && f.For != record.Bath {
			continue
		}
		if f.For == record.WarmingRoom && b.room < 0 {
			b.room = b.add(plan.Resource{Name: string(f.Place), Kind: plan.Room, Capacity: b.places(f)}, f.Place)
		}
		if f.For == record.Bath && b.bath < 0 {
			b.bath = b.add(plan.Resource{Name: string(f.Place), Kind: plan.Bath, Single: true, Capacity: always(max(1, f.Capacity))}, f.Place)
		}
	}
}

// places is how many drums a room takes, day by day.
func (b *planBuild) places(f *record.PlaceNamed) []plan.Step {
	const many = 1000 // nobody wrote down how many
	all := f.Capacity
	if all <= 0 {
		all = many
	}
	until := map[plan.Half]int64{}
	for _, c := range b.v.State.Contents() {
		if c.Place.Fold() != f.Place.Fold() || c.Grams <= 0 {
			continue
		}
		h := b.d.Problem.Horizon
		if !slices.ContainsFunc(b.d.Orders, func(x *PlanOrder) bool { return slices.Contains(x.contents(), c.Code) }) {
			h = 4 // no order needs it there: it is taken out
		}
		for _, x := range b.d.Orders {
			if slices.Contains(x.InRoom, c.Code) && len(x.Uses) > 0 {
				h = plan.Half(math.Ceil(2*x.WarmH)) + plan.Day
			}
		}
		until[min(h, b.d.Problem.Horizon)]++
	}
	var ends []plan.Half
	taken := int64(0)
	for h, n := range until {
		ends, taken = append(ends, h), taken+n
	}
	slices.Sort(ends)
	steps := []plan.Step{{Amount: max(0, all-taken)}}
	for _, h := range ends {
		taken -= until[h]
		if h > 0 {
			steps = append(steps, plan.Step{From: h, Amount: max(0, all-taken)})
		}
	}
	return steps
}

// tanks are those into which blends are tipped: as the house set them in plan.tanks, else
// those that were not only for lots to settle in. One that holds what no order is packed
// from is full until somebody empties it; a mix that was refused, for a day.
func (b *planBuild) tanks() {
	cooled := ParseCodes(b.v.State.SettingText("plan.cooled"))
	for _, t := range b.v.State.OfKind(record.Vessel) {
		f, ok := b.v.State.Named(t).(*record.VesselNamed)
		x, is := b.v.State.Vessel(t)
		if !ok || !is || x.Gone || f.Shape != record.Tank || !f.Capacity.Given() || !b.forBlends(f.Vessel, x) {
			continue
		}
		k := planTank{code: f.Vessel, grams: int64(f.Capacity.Grams()), cooled: slices.ContainsFunc(cooled, func(c record.Code) bool { return c.Fold() == f.Vessel.Fold() })}
		capacity := always(k.grams)
		if x.Node != 0 && b.v.State.Graph().Left(x.Node) > 0 {
			k.content = b.v.State.NodeCode(x.Node)
			switch {
			case b.planned(k.code):
			case b.refused(k.code):
				capacity = []plan.Step{{Amount: 0}, {From: plan.Day, Amount: k.grams}}
			default:
				capacity = always(0)
			}
		}
		k.resource = b.add(plan.Resource{Name: string(k.code), Kind: plan.Tank, Single: true, Capacity: capacity}, k.code)
		b.tank = append(b.tank, k)
	}
	slices.SortStableFunc(b.tank, func(x, y planTank) int {
		return cmp.Or(boolInt(x.cooled)-boolInt(y.cooled), cmp.Compare(x.grams, y.grams), cmp.Compare(natural(x.code), natural(y.code)))
	})
}

// forBlends reports whether blends are tipped into a tank.
func (b *planBuild) forBlends(code record.Code, x house.Vessel) bool {
	if set := ParseCodes(b.v.State.SettingText("plan.tanks")); len(set) > 0 {
		return slices.ContainsFunc(set, func(c record.Code) bool { return c.Fold() == code.Fold() })
	}
	return len(x.Contents) == 0 || slices.ContainsFunc(x.Contents, func(n trace.Node) bool { return !b.v.State.RanIn(n) })
}

// refused reports whether a tank holds a mix that was refused.
func (b *planBuild) refused(tank record.Code) bool {
	return slices.ContainsFunc(b.d.Refused, func(r RefusedMix) bool { return slices.Contains(r.Tanks, tank) })
}

// planned reports whether an order is packed from a tank.
func (b *planBuild) planned(tank record.Code) bool {
	return slices.ContainsFunc(b.d.Orders, func(x *PlanOrder) bool { return slices.Contains(x.Tanks, tank) })
}

// lines are the machines that orders are packed on, each with the rules of its sequence:
// from light honey to dark without a wash between, what has allergens last in the day.
func (b *planBuild) lines() {
	b.family = map[record.Code]int{}
	of := map[record.Code][]*PlanOrder{}
	var codes []record.Code
	for _, x := range b.d.Orders {
		if x.Line == "" {
			continue
		}
		if of[x.Line] == nil {
			codes = append(codes, x.Line)
		}
		of[x.Line] = append(of[x.Line], x)
	}
	for _, line := range codes {
		all := of[line]
		slices.SortStableFunc(all, func(x, y *PlanOrder) int { return cmp.Compare(x.colour(), y.colour()) })
		changes := make([][]plan.Change, len(all))
		for i, x := range all {
			b.family[x.name()] = i
			changes[i] = make([]plan.Change, len(all))
			for j := range all {
				if j < i && x.colour()-all[j].colour() > 15 { // mm, a class of the scale: the first jars are mixed
					changes[i][j].Cost = 4_00
				}
				changes[i][j].NextDay = i != j && x.Product.Allergens != "" && all[j].Product.Allergens == ""
			}
		}
		b.add(plan.Resource{Name: string(line), Kind: plan.Line, Single: true, Capacity: always(1), Changes: changes, Family: -1}, line)
	}
}

// name is an order's line in the plan.
func (x *PlanOrder) name() record.Code { return x.Cover.Order.Code + " " + x.Product.Product }

// colour is the mean of what goes in; dark where it is not known.
func (x *PlanOrder) colour() float64 {
	var sum, grams float64
	for _, u := range x.Uses {
		if c := u.Known[record.Colour]; c.Value.Known() {
			sum, grams = sum+c.Value.Value*float64(u.Draw.Grams), grams+float64(u.Draw.Grams)
		}
	}
	if grams == 0 {
		return 0
	}
	return sum / grams
}

// materials are what packing takes, with what is on order and what would come if it were
// ordered today.
func (b *planBuild) materials() {
	today := record.DayOf(b.d.At)
	for _, n := range b.d.Stuff.Needs {
		s := plan.Stock{Name: string(n.Material)}
		comes := map[plan.Half]int64{0: max(0, n.OnHand)}
		for _, o := range b.v.State.Goods.OnOrder(n.Material) {
			amount := o.Amount.Pieces.N
			if n.Weighed {
				amount = o.Amount.Grams.N
			}
			if o.Due > 0 {
				comes[b.morning(b.notBefore(n.Material, max(o.Due, today))+1)] += amount
			}
		}
		if n.Short > 0 && n.WaitKnown { // ordered today
			comes[b.morning(b.notBefore(n.Material, today+record.Day(n.WaitDays))+1)] += n.Short + n.Short/10
		}
		var at []plan.Half
		for h := range comes {
			at = append(at, h)
		}
		slices.Sort(at)
		for _, h := range at {
			s.Comes = append(s.Comes, plan.Step{From: h, Amount: comes[h]})
		}
		b.stuff[n.Material] = len(b.d.Problem.Stocks)
		b.d.Problem.Stocks = append(b.d.Problem.Stocks, s)
		b.d.stocks = append(b.d.stocks, n.Material)
	}
}

// notBefore is the day on which a material comes; later, where somebody supposes so.
func (b *planBuild) notBefore(material record.Code, day record.Day) record.Day {
	for _, i := range b.d.Ifs {
		if i.Kind == IfLate && i.Of.Fold() == material.Fold() {
			day = max(day, i.Day)
		}
	}
	return day
}

// morning is the half-hour at which a day begins; the plan's start at the earliest.
func (b *planBuild) morning(day record.Day) plan.Half {
	return max(0, b.d.Clock.half(dayStart(day, b.d.At)))
}

// halfOfDue is when an order must be packed: by noon of the day on which it is due, so that
// it goes in the afternoon.
func (b *planBuild) halfOfDue(x *PlanOrder) plan.Half {
	if x.Cover.Order.Due == 0 {
		return b.d.Problem.Horizon
	}
	return b.d.Clock.half(noonOf(x.Cover.Order.Due, b.d.At))
}

// short is what an order is worth that is left undone: more than any lateness of it.
func (b *planBuild) short(x *PlanOrder) quantity.MoneyCents {
	const perKg = 10_00 // far above what a kilogram earns in a day's delay
	return quantity.MoneyCents(max(1000, int64(x.Cover.Honey)*perKg/1000)) + 60*b.lateDay()
}

func (b *planBuild) lateDay() quantity.MoneyCents {
	return quantity.MoneyCents(100 * max(0, b.v.State.Setting("plan.late", planLate).Float()))
}

// order makes the job of an order, unless something is missing that no time brings.
func (b *planBuild) order(x *PlanOrder) {
	if x.Bulk {
		return
	}
	b.v.fills(x)
	switch {
	case x.Product.What == record.SpreadJar || x.Product.What == record.Bake:
		x.Notes = append(x.Notes, answer.Line{Key: "plan.kitchen", Args: answer.Args{"product": x.Product.Product}})
		return
	case len(x.Uses) == 0 && x.Run == "":
		if len(x.Why) == 0 {
			x.cannot("plan.no-honey", answer.Args{"kind": textOrNil(x.Cover.Kind)})
		}
		return
	case x.Line == "" || x.PerHour <= 0:
		x.cannot("plan.no-line", answer.Args{"product": x.Product.Product})
		return
	}
	for _, l := range x.Why {
		if l.Key == "plan.never-warm" || l.Key == "warm.water-unknown" {
			return
		}
	}
	if b.morning(x.Pack) > b.d.Problem.Horizon-4*plan.Day {
		x.Later = true
		return
	}
	j := plan.Job{Name: string(x.name()), Due: b.halfOfDue(x), Late: b.lateDay() / quantity.MoneyCents(plan.Day), Units: min(x.Units, 1<<22), Unmet: b.short(x)}
	for _, c := range b.chains(x) {
		ways, err := c.Ways(b.d.Problem.Horizon, b.d.Problem.Midnight)
		if err != nil {
			x.cannot("plan.cannot", answer.Args{"why": err.Error()})
			return
		}
		j.Ways = append(j.Ways, b.released(x, ways)...)
	}
	j.Was = b.was(x)
	x.Job = len(b.d.Problem.Jobs)
	b.d.Problem.Jobs = append(b.d.Problem.Jobs, j)
}

// A day later than wanted counts as a little, so that an order is packed on its day where
// it can be; it is more than any longer warming that this takes.
const dayAfter quantity.MoneyCents = 2_00

// released keeps the starts with which nothing is filled before the order's day, and
// holds the tank of what stands ready from now on.
func (b *planBuild) released(x *PlanOrder, ways []plan.Way) (all []plan.Way) {
	first := b.morning(x.Pack)
	for _, w := range ways {
		var run, warm plan.Half
		for _, u := range w.Uses {
			if u.Name == "run" && run == 0 {
				run = u.From
			}
			if u.Name == "warm" {
				warm = u.To - u.From
			}
		}
		cost, later := quantity.MoneyCents(warm)*quantity.MoneyCents(len(x.Uses))/10, dayAfter
		if len(x.Tanks) > 0 && !x.Soft { // warm honey in a tank does not wait
			later *= 10
		}
		last := plan.Half(-1)
		for _, s := range w.Starts {
			day := (s + run - first) / plan.Day
			if s+run < first || day > mostAfter && !x.Soon {
				continue
			}
			if day != last || len(x.Tanks) > 0 {
				w.Cost, w.Starts = cost+later*quantity.MoneyCents(day), nil
				all, last = append(all, w), day
			}
			k := &all[len(all)-1]
			k.Starts = append(k.Starts, s)
			if len(x.Tanks) > 0 {
				if day > 3 {
					all = all[:len(all)-1]
					break
				}
				*k = fromNow(*k, s)
			}
		}
	}
	return all
}

// mostAfter is how many days after its own an order may be packed at the latest, in one
// plan.
const mostAfter = 21

// fromNow is a way at one start as a block from the plan's start on, its tanks held all
// the while.
func fromNow(w plan.Way, start plan.Half) plan.Way {
	w.Uses, w.Takes = slices.Clone(w.Uses), slices.Clone(w.Takes)
	for i := range w.Uses {
		u := &w.Uses[i]
		u.To += start
		if u.Name == "tank" {
			u.From = 0
		} else {
			u.From += start
		}
	}
	for i := range w.Takes {
		w.Takes[i].At += start
	}
	w.Starts, w.Done = []plan.Half{0}, w.Done+start
	return w
}

// was is where the plan that was agreed to last had an order.
func (b *planBuild) was(x *PlanOrder) *plan.Was {
	p, ok := b.v.State.DayPlanned()
	if !ok {
		return nil
	}
	b.d.Agreed = p.When
	for _, s := range p.Steps {
		if s.Order.Fold() != x.Cover.Order.Code.Fold() || s.Product.Fold() != x.Product.Product.Fold() {
			continue
		}
		clock, err := time.Parse("15:04", s.Clock)
		if err != nil {
			return nil
		}
		at := dayStart(s.Day, b.d.At).Add(time.Duration(clock.Hour())*time.Hour + time.Duration(clock.Minute())*time.Minute)
		if h := b.d.Clock.before(at); h >= 0 { // else it was begun: the record says how far it is
			return &plan.Was{Way: string(x.name()), Start: h}
		}
		return nil
	}
	return nil
}
