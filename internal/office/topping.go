package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// A Side is one of two honeys that may come together in a tank.
type Side struct {
	Code    record.Code
	Node    trace.Node
	Lot     bool
	Kinds   []string
	Sites   []string
	Lands   []string
	Purpose record.Purpose
	Water   Doubted
	Grams   quantity.Gram // 0: not weighed yet
	Status  status
	Holds   any
}

// A TopCheck is one thing that is looked at before honey goes on top of other honey.
type TopCheck struct {
	What      string // key
	In, On    answer.Cell
	Mark      answer.Mark
	Means     answer.Line // what follows for what may be said of the honey
	Forbidden bool
}

// Topping looks at what putting a lot or content on top of a tank's would mean.
type Topping struct {
	Tank   Stand
	In, On Side
	Checks []TopCheck
	Free   []Stand // empty tanks
}

// Topping compares both sides. It is false where the tank or the honey is not known.
func (v *View) Topping(tank, top record.Code) (t Topping, missing record.Code) {
	st, ok := v.StandOf(tank)
	if !ok {
		return t, tank
	}
	t.Tank = st
	roots := v.State.RootsOf(top)
	if other, is := v.StandOf(top); is && !other.Empty {
		roots = []trace.Node{other.Content.Node}
	}
	if len(roots) != 1 {
		return t, top
	}
	t.On = v.side(v.properCode(top), roots[0])
	if st.Empty {
		return t, ""
	}
	t.In = v.side(v.standCode(st), st.Content.Node)
	v.topChecks(&t)
	for _, o := range v.Floor() {
		if o.Empty && o.Shape == record.Tank && o.Code != st.Code {
			t.Free = append(t.Free, o)
		}
	}
	return t, ""
}

func (v *View) side(code record.Code, n trace.Node) (s Side) {
	s.Code, s.Node, s.Purpose = code, n, v.State.Purpose(n)
	s.Lot = v.State.NodeKind(n) == house.LotNode
	names := func(of func(house.Origin) string) (all []string) {
		for _, p := range v.State.Graph().Parts(n) {
			if name := of(v.State.OriginOf(p.Origin)); !slices.Contains(all, name) {
				all = append(all, name)
			}
		}
		slices.Sort(all)
		return all
	}
	home := v.State.House().Country
	s.Kinds, s.Sites = names(v.State.Honey), names(v.State.Site)
	s.Lands = names(func(o house.Origin) string { return cmp.Or(o.Country, map[bool]string{true: home}[o.Site != 0]) })
	if s.Lot {
		if t, ok := v.State.Find(code); ok {
			if l, is := v.State.Lot(t); is {
				s.Kinds, s.Sites = []string{l.Opened.Honey}, []string{string(l.Opened.Site)}
			}
		}
		s.Water = v.lotWater(code, n)
	} else {
		s.Water = v.doubter().of(n, record.Water)
		if c := v.State.Content(n); len(c.InLots) == 0 {
			s.Grams = c.Grams
		} else if !s.Water.Value.Known() && len(c.InLots) == 1 {
			s.Water = v.lotWater(c.InLots[0], n)
		}
	}
	held := v.held()
	s.Status, s.Holds = v.status(held, nil, v.State.Content(n)), v.holdsOn(held, n)
	return s
}

// lotWater is what was read of a lot, or of its combs.
func (v *View) lotWater(lot record.Code, n trace.Node) Doubted {
	if x, ok := v.ownReading(n, record.Water); ok {
		return x
	}
	s, ok := v.Stack(StackAsk{Lot: lot, At: v.newest()})
	if !ok || !s.Known {
		return Doubted{Value: quantity.Unknown()}
	}
	return Doubted{Value: s.Now, Figure: s.Worst.Shown, Assumed: true}
}

// standCode is the number of a drum's filling, or the tank's own.
func (v *View) standCode(st Stand) record.Code {
	if !st.Empty && v.State.Numbered(st.Content.Node) {
		return st.Content.Code
	}
	return st.Code
}

// topChecks go from what forbids to what only costs a claim.
func (v *View) topChecks(t *Topping) {
	in, on := t.In, t.On
	add := func(c TopCheck) { t.Checks = append(t.Checks, c) }
	add(topStatus(in, on))
	if c, ok := v.topLimits(in, on); ok {
		add(c)
	}
	if c, ok := topPurpose(in, on); ok {
		add(c)
	}
	add(topNames(plainNames, "top.kind", in.Kinds, on.Kinds, "top.kind-same", "top.kind-mixed", "top.kind-unknown"))
	add(topNames(namesCell, "top.site", in.Sites, on.Sites, "top.site-same", "top.site-mixed", "top.site-unknown"))
	add(topNames(plainNames, "top.land", in.Lands, on.Lands, "top.land-same", "top.land-mixed", "top.land-unknown"))
	add(v.topWater(in, on))
	add(v.topRoom(t))
	if c, ok := v.topSettled(t); ok {
		add(c)
	}
}

func topStatus(in, on Side) TopCheck {
	c := TopCheck{What: "top.status", In: answer.Key("status." + string(in.Status)), On: answer.Key("status." + string(on.Status)), Mark: answer.Good, Means: answer.Line{Key: "top.status-free"}}
	args := answer.Args{"tank": in.Code, "top": on.Code}
	switch {
	case on.Status == onHold:
		c.Mark, c.Forbidden, c.Means = answer.Bad, true, answer.Line{Key: "top.status-held", Args: args}
	case in.Status == onHold:
		c.Mark, c.Forbidden, c.Means = answer.Bad, true, answer.Line{Key: "top.tank-held", Args: args}
	case in.Status == touched || on.Status == touched:
		c.Mark, c.Means = answer.Care, answer.Line{Key: "top.status-touched", Args: args}
	}
	return c
}

// topLimits forbids to thin honey out of which a result broke its limit into other honey,
// whichever of both it is. Cooking grade may join cooking grade: that is another limit.
func (v *View) topLimits(in, on Side) (c TopCheck, ok bool) {
	c = TopCheck{What: "top.limits", Mark: answer.Bad, Forbidden: true}
	for _, x := range [...]struct {
		side Side
		cell *answer.Cell
	}{{in, &c.In}, {on, &c.On}} {
		*x.cell = answer.Key("top.limits-none")
		if broken := v.breaksLimits(x.side.Node); len(broken) > 0 {
			*x.cell = answer.Key(broken[0].Key())
			c.Means, ok = answer.Line{Key: "top.limits-broken", Args: answer.Args{"of": x.side.Code, "property": answer.Key(broken[0].Key())}}, true
		}
	}
	return c, ok
}

// breaksLimits lists the properties of which a result breaks its limit, or was found.
func (v *View) breaksLimits(n trace.Node) []record.Property {
	if _, err := standard.ParseRules(v.State.House().Rules); err != nil {
		return nil
	}
	var a answer.Answer
	r := release{a: &a, t: a.Table("release", "property", "result", "plus_minus", "limit", "verdict", "chance_pct", "who", "when", "fact")}
	for _, p := range append(slices.Clone(asked), record.Residue) {
		v.resultFor(&r, []trace.Node{n}, p)
	}
	return r.breaks
}

// topPurpose forbids cooking grade, skim and seed in table honey.
func topPurpose(in, on Side) (TopCheck, bool) {
	plain := func(p record.Purpose) bool { return p == 0 || p == record.TableHoney }
	if in.Purpose == on.Purpose || plain(in.Purpose) && plain(on.Purpose) {
		return TopCheck{}, false
	}
	return TopCheck{What: "top.purpose", In: purposeCell(in.Purpose), On: purposeCell(on.Purpose), Mark: answer.Bad, Forbidden: true, Means: answer.Line{Key: "top.purpose-mixed"}}, true
}

func purposeCell(p record.Purpose) any {
	if p == 0 {
		return nil
	}
	return answer.Key(p.Key())
}

// topNames compares what may be said of both: kinds, sites, countries.
func topNames(cell func([]string) any, what string, in, on []string, same, mixed, unknown string) TopCheck {
	c := TopCheck{What: what, In: cell(in), On: cell(on)}
	switch {
	case c.In == nil || c.On == nil:
		c.Mark, c.Means = answer.Care, answer.Line{Key: unknown}
	case slices.Equal(in, on):
		c.Mark, c.Means = answer.Good, answer.Line{Key: same, Args: answer.Args{"name": c.In}}
	default:
		c.Mark, c.Means = answer.Care, answer.Line{Key: mixed, Args: answer.Args{"in": c.In, "on": c.On}}
	}
	return c
}

// namesCell lists names; nil when one of them is not known.
func namesCell(all []string) any {
	if len(all) == 0 || slices.Contains(all, "") {
		return nil
	}
	codes := make([]record.Code, len(all))
	for i, s := range all {
		codes[i] = record.Code(s)
	}
	return codes
}

// plainNames lists names that lead to no page of their own.
func plainNames(all []string) any {
	if namesCell(all) == nil {
		return nil
	}
	return strings.Join(all, ", ")
}

// topWater says what the mix's moisture would be.
func (v *View) topWater(in, on Side) TopCheck {
	c := TopCheck{What: "top.water"}
	if in.Water.Value.Known() {
		c.In = tenth(in.Water.Value.Value, quantity.Pct)
	}
	if on.Water.Value.Known() {
		c.On = tenth(on.Water.Value.Value, quantity.Pct)
	}
	if c.In == nil || c.On == nil {
		c.Mark, c.Means = answer.Care, answer.Line{Key: "top.water-unknown"}
		return c
	}
	line := v.State.Setting("wet.above", wetLine)
	limit := quantity.Limit{Value: line.Float()}
	wetIn, wetOn := limit.Judge(in.Water.Value, quantity.UsualRisk), limit.Judge(on.Water.Value, quantity.UsualRisk)
	args := answer.Args{"line": line, "in": c.In, "on": c.On}
	switch {
	case wetOn == quantity.Fail && wetIn == quantity.Pass:
		c.Mark, c.Means = answer.Bad, answer.Line{Key: "top.water-wet", Args: args}
	case wetOn == quantity.Pass && wetIn == quantity.Pass:
		c.Mark, c.Means = answer.Good, answer.Line{Key: "top.water-fine", Args: args}
	default:
		c.Mark, c.Means = answer.Care, answer.Line{Key: "top.water-care", Args: args}
	}
	return c
}

// topRoom says whether it fits: by weight where both are weighed, else by what the house's
// lots gave a box.
func (v *View) topRoom(t *Topping) TopCheck {
	c := TopCheck{What: "top.room"}
	var room quantity.Gram
	if t.Tank.Holds > 0 && t.In.Grams > 0 {
		room = max(0, t.Tank.Holds-t.In.Grams)
		c.In = kgFigure(float64(room) / 1000)
	}
	on := t.On.Grams
	if t.On.Lot {
		on = v.lotExpects(t.On.Code)
	}
	if on > 0 {
		c.On = kgFigure(float64(on) / 1000)
	}
	args := answer.Args{"room": c.In, "top": c.On}
	switch {
	case c.In == nil || c.On == nil:
		c.Mark, c.Means = answer.Care, answer.Line{Key: "top.room-unknown"}
	case room < on:
		c.Mark, c.Means = answer.Care, answer.Line{Key: "top.room-short", Args: args}
	default:
		c.Mark, c.Means = answer.Good, answer.Line{Key: "top.room-fits", Args: args}
	}
	return c
}

// lotExpects is the honey that a lot's boxes should give, by what closed lots gave a box.
func (v *View) lotExpects(lot record.Code) quantity.Gram {
	type sum struct {
		boxes int64
		clean quantity.Gram
	}
	past := once(v, "honey a box", func() (s sum) {
		for _, t := range v.State.OfKind(record.Lot) {
			b, ok := v.State.LotBalance(t)
			if sheet, is := v.LoadSheet(v.State.Code(t)); ok && is && !b.Open && sheet.Boxes > 0 {
				s.boxes, s.clean = s.boxes+sheet.Boxes, s.clean+outOf(b, "balance.clean")
			}
		}
		return s
	})
	s, ok := v.LoadSheet(lot)
	if !ok || past.boxes == 0 {
		return 0
	}
	return past.clean / quantity.Gram(past.boxes) * quantity.Gram(s.Boxes)
}

// topSettled warns that honey which has begun to clear begins again.
func (v *View) topSettled(t *Topping) (c TopCheck, ok bool) {
	if t.Tank.Shape != record.Tank || !v.State.RanIn(t.In.Node) {
		return c, false
	}
	filled := v.lastPour(t.In.Node)
	return TopCheck{What: "top.settled", In: filled, On: "–", Mark: answer.Care, Means: answer.Line{Key: "top.settles-again", Args: answer.Args{"since": filled}}}, true
}

// MayTop answers whether the next yard's honey may go on top of a tank's, and what that
// costs in claims.
func (v *View) MayTop(tank, top record.Code) answer.Answer {
	a := answer.Answer{Question: "top", Of: tank}
	t, missing := v.Topping(tank, top)
	if missing != "" {
		return v.notTraced(a, missing)
	}
	a.Of = v.standCode(t.Tank)
	if t.Tank.Empty {
		v.topEmpty(&a, t)
		if !t.Tank.Clean {
			a.Warn("top.not-clean", answer.Args{"tank": t.Tank.Code})
		}
		v.restsOnRecord(&a)
		return a
	}
	if t.In.Node == t.On.Node || slices.Contains(v.State.Content(t.In.Node).InLots, t.On.Code) {
		a.Lines = append(a.Lines, answer.Line{Key: "top.itself", Args: answer.Args{"tank": t.In.Code, "top": t.On.Code}, Mark: answer.Good})
	} else {
		v.topVerdict(&a, t)
	}
	table := a.Table("top", "what", "in_tank", "on_top", "means")
	for _, c := range t.Checks {
		table.Row(c.Mark, answer.Key(c.What), c.In, c.On, c.Means)
	}
	if len(t.Free) > 0 {
		free := a.Table("tanks-free", "tank", "holds_g", "clean")
		for _, st := range t.Free {
			var holds any
			if st.Holds > 0 {
				holds = st.Holds
			}
			free.Row(answer.Plain, st.Code, holds, st.Clean)
		}
	}
	a.Follows("follows.top", nil)
	v.restsOnRecord(&a)
	return a
}

// topEmpty is the verdict on a tank in which nothing is: honey on hold moves into none.
func (v *View) topEmpty(a *answer.Answer, t Topping) {
	args := answer.Args{"tank": t.Tank.Code, "top": t.On.Code}
	line := answer.Line{Key: "top.empty", Args: args, Mark: answer.Good}
	switch t.On.Status {
	case onHold:
		line.Key, line.Mark = "top.empty-held", answer.Bad
		a.Then("next.top.held", args)
	case touched:
		line.Key, line.Mark = "top.empty-touched", answer.Care
	}
	a.Lines = append(a.Lines, line)
	if broken := v.breaksLimits(t.On.Node); len(broken) > 0 {
		a.Warn("top.limits-alone", answer.Args{"top": t.On.Code, "property": answer.Key(broken[0].Key())})
	}
}

func (v *View) topVerdict(a *answer.Answer, t Topping) {
	args := answer.Args{"tank": t.In.Code, "top": t.On.Code}
	worst, no := answer.Good, false
	for _, c := range t.Checks {
		worst, no = max(worst, c.Mark), no || c.Forbidden
	}
	switch {
	case no:
		a.Lines = append(a.Lines, answer.Line{Key: "top.no", Args: args, Mark: answer.Bad})
	case worst == answer.Bad:
		a.Lines = append(a.Lines, answer.Line{Key: "top.better-not", Args: args, Mark: answer.Bad})
	case worst == answer.Care:
		a.Warn("top.costs", args)
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "top.yes", Args: args, Mark: answer.Good})
	}
	if worst < answer.Care {
		return
	}
	if len(t.Free) > 0 {
		names := make([]record.Code, len(t.Free))
		for i := range t.Free {
			names[i] = t.Free[i].Code
		}
		a.Then("next.top.change", answer.Args{"tanks": names})
	} else {
		a.Then("next.top.none-free", answer.Args{"tank": t.Tank.Code})
	}
}
