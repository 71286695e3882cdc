package office

import (
	"cmp"
	"context"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/linear"
	"combline/internal/quantity"
	"combline/internal/record"
)

const (
	planSeconds = 10.0 // for the blends of a plan, at most
	farDue      = 365  // days: a plan asks what can be blended, when is its own question
	jointMost   = 3000 // drums times orders: beyond it one order after the other is blended
)

// planHoney gives each order its honey: what stands ready for it in tanks and in the
// warming room where that is sound, and for the rest the cheapest sound blends of all
// orders together. A mix that stands ready and is not sound is refused, with why.
func (o *Office) planHoney(ctx context.Context, d *DayPlan) error {
	o.blends.mu.Lock()
	solve := o.blends.solve
	o.blends.mu.Unlock()
	h := &honeyDesk{d: d, v: d.v, today: record.DayOf(d.At), all: d.v.Candidates(record.DayOf(d.At)), used: map[record.Code]bool{}}
	for _, x := range d.Orders {
		if h.blended(x) && !h.running(x) {
			if !h.agreed(x) {
				h.ready(x)
			} else if warm := h.of(x, func(c *Candidate) bool { return c.Whole() && c.Warm }); len(warm) > 0 {
				h.refuse(x, warm, "room")
			}
			h.keptOut(x)
		}
	}
	if solve == nil {
		return nil
	}
	d.Solved = true
	until := time.Now().Add(time.Duration(planSeconds * float64(time.Second)))
	h.find = func(p blend.Problem) (*blend.Result, error) {
		return blend.Find(p, func(all []linear.Model, opt linear.Options) ([]linear.Solution, error) {
			opt.Seconds = max(1, min(time.Until(until).Seconds(), opt.Seconds))
			return solve(ctx, all, opt)
		}, linear.Options{Gap: firstGap, Seconds: planSeconds})
	}
	return h.blend()
}

// blended reports whether honey is blended for an order: not for drums as they are, nor
// for the kitchen.
func (h *honeyDesk) blended(x *PlanOrder) bool {
	switch x.Product.What {
	case record.Jar, record.SoftSetJar, record.Portion:
		return x.Cover.Kind != ""
	}
	return false
}

// A honeyDesk gives honey to orders.
type honeyDesk struct {
	d     *DayPlan
	v     *View
	today record.Day
	all   []Candidate
	used  map[record.Code]bool
	find  func(blend.Problem) (*blend.Result, error)
}

// running takes up a run that packs the order already.
func (h *honeyDesk) running(x *PlanOrder) bool {
	r, code, ok := h.v.openRun(x.Cover.Order.Code, x.Product.Product)
	if !ok {
		return false
	}
	x.Run = code
	for _, t := range r.Started.From {
		if c, here := h.v.bulkOf(t); here {
			x.Tanks, x.Mass = append(x.Tanks, t), x.Mass+c.Grams
			h.used[c.Code] = true
		}
	}
	return true
}

// agreed gives an order the drums that it had in the plan that was agreed to, where they
// are all still here and free, and sound together.
func (h *honeyDesk) agreed(x *PlanOrder) bool {
	p, ok := h.v.State.DayPlanned()
	if !ok {
		return false
	}
	h.seedOf(x)
	for _, s := range p.Steps {
		if s.Order.Fold() != x.Cover.Order.Code.Fold() || s.Product.Fold() != x.Product.Product.Fold() {
			continue
		}
		mine := h.of(x, func(c *Candidate) bool { return c.Whole() && slices.Contains(s.From, c.Content.Code) })
		return len(mine) > 0 && len(mine) == len(s.From) && h.take(x, mine, "agreed")
	}
	return false
}

// ready looks at what stands ready for an order: in tanks, in tanks with what is still to
// be tipped, in the warming room.
func (h *honeyDesk) ready(x *PlanOrder) {
	h.seedOf(x)
	where := "tank"
	tanks := h.of(x, func(c *Candidate) bool { return !c.Whole() && h.v.seeded(c.Content.Vessel) == x.Soft })
	cooled := ParseCodes(h.v.State.SettingText("plan.cooled"))
	if x.Soft && len(tanks) == 0 { // tipped for it, and the seed still to come
		where = "unseeded"
		tanks = h.of(x, func(c *Candidate) bool {
			return !c.Whole() && slices.ContainsFunc(cooled, func(t record.Code) bool { return t.Fold() == c.Content.Vessel.Fold() })
		})
	}
	warm := h.of(x, func(c *Candidate) bool { return c.Whole() && c.Warm })
	switch {
	case len(tanks) > 0 && (h.take(x, tanks, where) || len(warm) > 0 && h.take(x, append(slices.Clone(tanks), warm...), "tipping")):
		for i := range tanks {
			x.Tanks = append(x.Tanks, h.v.vesselsOf(&tanks[i])...)
		}
	case len(tanks) > 0:
		h.refuse(x, tanks, where)
	}
	if len(x.Uses) == 0 && len(warm) > 0 && !h.take(x, warm, "room") {
		h.refuse(x, warm, "room")
	}
}

// of lists free honey of an order's kind, as it stands somewhere.
func (h *honeyDesk) of(x *PlanOrder, where func(*Candidate) bool) (all []Candidate) {
	for i := range h.all {
		c := &h.all[i]
		if len(c.Out) == 0 && !h.used[c.Content.Code] && c.Free > 0 && where(c) && h.v.honeyOf(c.Content) == x.Cover.Kind {
			all = append(all, *c)
		}
	}
	return all
}

// take gives an order what stands ready where it is sound and about as much as is
// wanted.
func (h *honeyDesk) take(x *PlanOrder, ready []Candidate, where string) (taken bool) {
	want := x.Cover.Honey - x.SeedG
	most := want + max(want/12, h.largest(ready))
	if h.mass(ready) > most && where == "room" { // for several orders
		ready = h.enough(ready, want)
	}
	if h.mass(ready)*100 < want*96 || h.mass(ready) > most && !inTank(where) {
		return false
	}
	k, checked := h.check(x, ready, where)
	if k == nil || len(h.faults(x, k, checked)) > 0 {
		return false
	}
	h.uses(x, k, checked.Draws)
	return true
}

// inTank reports whether honey stands in a tank, seeded or not yet.
func inTank(where string) bool { return where == "tank" || where == "unseeded" }

// refuse says why what stands ready may not be packed for an order, if it may not; what
// of it is sound by itself may go into the order's blend.
func (h *honeyDesk) refuse(x *PlanOrder, ready []Candidate, where string) {
	k, checked := h.check(x, ready, where)
	if k == nil {
		return
	}
	if lines := h.faults(x, k, checked); len(lines) > 0 && h.mass(ready)*2 >= x.Cover.Honey {
		if mix, ok := mixLine(k, checked); ok {
			lines = append([]answer.Line{mix}, lines...)
		}
		r := RefusedMix{Order: x.Cover.Order.Code, Product: x.Product.Product, Contents: contentCodes(ready), Grams: k.Ask.Wanted, Why: lines, Where: where}
		if inTank(where) {
			r.Where = "tank"
			for i := range ready {
				r.Tanks = append(r.Tanks, h.v.vesselsOf(&ready[i])...)
				h.used[ready[i].Content.Code] = true
			}
		}
		h.d.Refused = append(h.d.Refused, r)
	}
	if inTank(where) {
		return
	}
	for _, c := range ready {
		if one, alone := h.check(x, []Candidate{c}, "store"); one != nil && len(h.faults(x, one, alone)) == 0 {
			x.InRoom = append(x.InRoom, c.Content.Code)
		}
	}
}

// keptOut says which honey of the order's kind stays out of it, lot by lot, because it
// breaks a limit by itself: nobody is to pick it by its kind alone.
func (h *honeyDesk) keptOut(x *PlanOrder) {
	byLot := map[record.Code][]Candidate{}
	var names []record.Code
	for _, c := range h.of(x, func(c *Candidate) bool { return c.Whole() }) {
		if byLot[c.Lot] == nil {
			names = append(names, c.Lot)
		}
		byLot[c.Lot] = append(byLot[c.Lot], c)
	}
	for _, lot := range names {
		if lot == "" {
			continue
		}
		k, one := h.check(x, byLot[lot][:1], "store")
		if k == nil || slices.ContainsFunc(h.d.Refused, func(r RefusedMix) bool { return slices.Contains(r.Contents, byLot[lot][0].Content.Code) }) {
			continue
		}
		one.Faults = slices.DeleteFunc(slices.Clone(one.Faults), func(f blend.Fault) bool { return f.Content >= 0 || f.Demand.Kind != blend.AskLimit })
		if lines := h.faults(x, k, one); len(lines) > 0 {
			h.d.Refused = append(h.d.Refused, RefusedMix{Order: x.Cover.Order.Code, Product: x.Product.Product, Contents: contentCodes(byLot[lot]), Grams: h.mass(byLot[lot]), Why: lines, Where: "store"})
		}
	}
}

// mixLine says what a mix has of water and yeast.
func mixLine(k *BlendCase, c *Checked) (l answer.Line, ok bool) {
	water, yeast := k.Mixed(c.Draws, record.Water), k.Mixed(c.Draws, record.Yeast)
	if !water.Value.Known() {
		return l, false
	}
	args := answer.Args{"water": usualFigure(record.Water, water.Value.Value), "yeast": answer.Key("unknown")}
	if yeast.Value.Known() {
		args["yeast"] = usualFigure(record.Yeast, yeast.Value.Value)
	}
	return answer.Line{Key: "plan.mix-is", Args: args, Mark: answer.Bad}, true
}

func (h *honeyDesk) largest(all []Candidate) (most quantity.Gram) {
	for _, c := range all {
		most = max(most, c.Content.Grams)
	}
	return most
}

// enough is as much of what stands ready as is wanted.
func (h *honeyDesk) enough(ready []Candidate, want quantity.Gram) (some []Candidate) {
	for _, c := range ready {
		if h.mass(some)*100 < want*96 {
			some = append(some, c)
		}
	}
	return some
}

func contentCodes(all []Candidate) (out []record.Code) {
	for _, c := range all {
		out = append(out, c.Content.Code)
	}
	return out
}

func (h *honeyDesk) mass(all []Candidate) (sum quantity.Gram) {
	for _, c := range all {
		sum += c.Content.Grams
	}
	return sum
}

// check holds a mix, with the seed of a soft-set one, against what the order's product
// asks. What is in a tank has its seed, but for what was tipped there a moment ago.
func (h *honeyDesk) check(x *PlanOrder, mix []Candidate, where string) (*BlendCase, *Checked) {
	ask := BlendAsk{Product: x.Product.Product, Soft: x.Soft}
	for _, c := range mix {
		ask.Only = append(ask.Only, AskedPart{Code: c.Content.Code})
	}
	if x.SeedG > 0 && where != "tank" && where != "store" {
		ask.Only = append(ask.Only, AskedPart{Code: x.Seed.Code, Grams: x.SeedG})
	}
	k, err := h.v.BlendCase(ask, h.today)
	if err != nil {
		return nil, nil
	}
	c, err := k.check()
	if err != nil {
		return nil, nil
	}
	return k, c
}

// faults are what speaks against a mix for good; how much of it there is does not. What
// was not read of it is noted: it is to be read before the honey is packed.
func (h *honeyDesk) faults(x *PlanOrder, k *BlendCase, c *Checked) []answer.Line {
	unread := false
	c.Faults = slices.DeleteFunc(slices.Clone(c.Faults), func(f blend.Fault) bool {
		none := f.Content >= 0 && f.Rule == blend.NoReading
		unread = unread || none
		return none || f.Content < 0 && (f.Demand.Kind == blend.AskGrams || f.Demand.Kind == blend.AskTime || f.Demand.Kind == blend.AskContents)
	})
	lines := k.FaultLines(c)
	if unread && len(lines) == 0 && len(x.Notes) == 0 {
		x.Notes = append(x.Notes, answer.Line{Key: "plan.unread", Mark: answer.Care, Args: answer.Args{"order": x.Cover.Order.Code}})
	}
	return lines
}

// uses writes down what an order is packed from.
func (h *honeyDesk) uses(x *PlanOrder, k *BlendCase, draws []blend.Draw) {
	x.Uses, x.Mass = nil, 0
	seed := false // it is stirred in later, and stands in no warming room
	for _, u := range k.Uses(draws) {
		x.Mass += u.Draw.Grams
		h.used[u.Content.Code] = true
		if u.Content.Purpose == record.SeedHoney {
			seed = true
			continue
		}
		x.Uses = append(x.Uses, u)
		seed = seed || !u.Whole() && h.v.seeded(u.Content.Vessel) // it has its own
	}
	if !seed {
		x.Mass += x.SeedG
	}
}

// seedOf finds the seed of a soft-set order: what there is of seed honey, at most a
// tenth of what is wanted.
func (h *honeyDesk) seedOf(x *PlanOrder) {
	if !x.Soft || x.SeedG > 0 {
		return
	}
	for _, c := range h.v.State.Contents() {
		if c.Purpose == record.SeedHoney && c.Grams > 0 && !h.used[c.Code] {
			x.Seed, x.SeedG = c, min(c.Grams, x.Cover.Honey/10)
			return
		}
	}
}

// blend looks for the blends of all orders that have no honey yet, together; where that
// finds none, for each by itself, and says why there is none.
func (h *honeyDesk) blend() error {
	var r BlendRound
	var mine []*PlanOrder
	for _, x := range h.d.Orders {
		if !h.blended(x) || x.Run != "" || len(x.Uses) > 0 {
			continue
		}
		k, err := h.v.BlendCase(h.ask(x), h.today)
		if err != nil {
			l := wrongLine(err)
			l.Mark = answer.Bad
			x.Why = append(x.Why, l)
			continue
		}
		r.add(k)
		mine = append(mine, x)
	}
	if len(mine) == 0 || len(r.Problem.Contents) == 0 {
		return nil
	}
	r.Problem.Prices.ShortKg = shortPrice
	if len(mine) > 1 && len(mine)*len(r.Problem.Contents) > jointMost {
		return h.oneByOne(mine)
	}
	found, err := h.find(r.Problem)
	if err != nil || found.Plan == nil {
		return h.oneByOne(mine)
	}
	var again []*PlanOrder // short only because the time was up
	for j, x := range mine {
		b := found.Plan.Blends[j]
		if b.Short > 0 && !found.Plan.Proven {
			again = append(again, x)
			continue
		}
		if b.Short > 0 {
			h.whyNot(x, r.Cases[j], b.Short)
		}
		var draws []blend.Draw
		for _, draw := range found.Plan.Draws {
			if draw.Batch == j {
				draws = append(draws, draw)
			}
		}
		if len(draws) > 0 {
			h.uses(x, r.Cases[j], draws)
		}
	}
	return h.oneByOne(again)
}

// ask is what an order's blend is looked for with.
func (h *honeyDesk) ask(x *PlanOrder) BlendAsk {
	h.seedOf(x)
	ask := BlendAsk{Order: x.Cover.Order.Code, Product: x.Product.Product, Wanted: x.Cover.Honey - x.SeedG, Soft: x.Soft, Due: h.today + farDue}
	for code := range h.used {
		ask.Not = append(ask.Not, code)
	}
	slices.SortFunc(ask.Not, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
	for _, c := range x.InRoom {
		if !h.used[c] && h.sum(x.InRoom) <= ask.Wanted+ask.Wanted/25 {
			ask.Must = append(ask.Must, AskedPart{Code: c})
		}
	}
	return ask
}

func (h *honeyDesk) sum(codes []record.Code) (sum quantity.Gram) {
	for _, c := range codes {
		if x, ok := h.v.bulkOf(c); ok {
			sum += x.Grams
		}
	}
	return sum
}

// oneByOne looks for a blend for one order after the other, the first due first.
func (h *honeyDesk) oneByOne(mine []*PlanOrder) error {
	for _, x := range mine {
		k, err := h.v.BlendCase(h.ask(x), h.today)
		if err != nil {
			continue
		}
		found, err := h.find(k.Problem)
		switch {
		case err != nil:
			x.cannot("plan.no-blend-found", answer.Args{"why": err.Error()})
		case found.Plan != nil:
			h.uses(x, k, found.Plan.Draws)
		case found.Clash != nil:
			x.Why = append(x.Why, k.ClashLine(found.Clash))
		}
	}
	return nil
}

// whyNot says why an order's blend falls short.
func (h *honeyDesk) whyNot(x *PlanOrder, k *BlendCase, short quantity.Gram) {
	x.cannot("plan.honey-short", answer.Args{"mass": short, "kind": x.Cover.Kind})
	found, err := h.find(k.Problem)
	if err == nil && found.Clash != nil {
		x.Why = append(x.Why, k.ClashLine(found.Clash))
	}
}

// seeded reports whether soft-set seed was stirred into what stands in a vessel now.
func (v *View) seeded(vessel record.Code) (is bool) {
	t, ok := v.State.Find(vessel)
	if !ok {
		return false
	}
	v.back(t, func(e record.Entry) (enough bool) {
		switch f := e.Fact.(type) {
		case *record.Seeded:
			is = f.Vessel.Fold() == vessel.Fold()
			return true
		case *record.Cleaned:
			return true
		}
		return false
	})
	return is
}

// vesselsOf are the vessels that a content stands in: a mix may stand in several.
func (v *View) vesselsOf(c *Candidate) (all []record.Code) {
	for _, t := range v.State.OfKind(record.Vessel) {
		if x, ok := v.State.Vessel(t); ok && x.Node == c.Content.Node && !v.State.Empty(x) {
			all = append(all, v.State.Code(t))
		}
	}
	if len(all) == 0 && c.Content.Vessel != "" {
		all = append(all, c.Content.Vessel)
	}
	return all
}
