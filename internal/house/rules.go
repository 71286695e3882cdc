package house

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// rules are what one kind of fact must keep beside its fields: lists that may not be
// empty, empty weights that are known, slips, and honey on hold.
func (c *check) rules(f record.Fact) {
	switch f := f.(type) {
	case *record.SupersReceived:
		c.stacks(f, f.Stacks, 14_000, 45_000)
	case *record.WetSupersWeighed:
		c.stacks(f, f.Stacks, 5_000, 25_000)
	case *record.SupersPulled:
		c.needMarks(f.Marks)
	case *record.SiteDescribed:
		if !f.Drive.Given() && f.Crop == "" && !f.SetsAfter.Given() && f.Note == "" {
			c.missing("crop", f)
		}
	case *record.DrumFilled:
		c.drum(f.Net, f.Gross, f.Tare, f.Steel)
		c.freshDrum(f)
		c.intoVessel(f.Steel, f.From)
	case *record.DrumReceived:
		c.drum(f.Net, f.Gross, f.Tare, f.Steel)
	case *record.HoneyMoved:
		if len(f.Pours) == 0 {
			c.missing("pours", f)
		}
		for _, p := range f.Pours {
			if p.All != record.Yes && !p.Mass.Given() {
				c.missing("pours.mass", f)
			}
			c.intoVessel(f.To, p.From)
		}
	case *record.Seeded:
		if f.All != record.Yes && !f.Mass.Given() {
			c.missing("mass", f)
		}
		c.intoVessel(f.Vessel, f.Seed)
	case *record.Mixed:
		for _, v := range f.Vessels {
			for _, w := range f.Vessels {
				if v != w {
					c.intoVessel(v, w)
				}
			}
		}
	case *record.Skimmed:
		if f.To != "" {
			c.intoVessel(f.To, f.From)
		}
	case *record.MelterHoneyDrawn:
		c.intoVessel(f.To, f.Lot)
	case *record.TippedBack:
		c.intoVessel(f.To, f.Batch)
	case *record.JarsFilled:
		c.intoGoods(f.From)
	case *record.BatchMade:
		if len(f.Inputs) == 0 {
			c.missing("inputs", f)
		}
		for _, in := range f.Inputs {
			c.intoGoods(in.From)
		}
	case *record.Sent:
		if len(f.Lines) == 0 {
			c.missing("lines", f)
		}
		for _, l := range f.Lines {
			if l.What != "" {
				c.intoGoods(l.What)
			}
			for _, part := range c.s.Goods.Resolve(l) {
				c.intoGoods(part.Batch)
			}
		}
	case *record.ResultRead:
		c.results(f)
	case *record.Cased:
		if len(f.Batches) == 0 || f.Cases.Count() < 1 || f.Cases.First < 1 {
			c.missing("cases", f)
		}
	case *record.OrderTaken:
		if len(f.Lines) == 0 {
			c.missing("lines", f)
		}
	case *record.NozzlesChecked:
		if len(f.Nozzles) == 0 {
			c.missing("nozzles", f)
		}
	case *record.Cleaned:
		for _, e := range f.Ends {
			if e.Cause == record.CauseDisease {
				c.refuse("refused.spores", "next.type-again", nil)
			}
		}
	case *record.BlendPlanned:
		c.blendPlan(f)
	case *record.WarmingWanted:
		c.warming(f, c.at)
	case *record.SettingChanged:
		c.setting(f)
	case *record.LabelProved:
		c.proved(f)
	case *record.LabelPrinted:
		c.labelPrinted(f)
	case *record.DayPlanned:
		c.dayPlan(f)
	case *record.JobTicked:
		if f.Done == record.No && f.Reason == "" {
			c.missing("reason", f)
		}
	case *record.Amended, *record.Struck:
		c.correction(f)
	}
}

func (c *check) missing(field string, f record.Fact) {
	c.refuse("refused.missing", "next.type-again", inField(field, answer.Args{"kind": answer.Key(f.Kind().Key())}))
}

func (c *check) needMarks(marks []record.Marks) {
	for _, m := range marks {
		if m.Last < m.First {
			c.refuse("refused.marks", "next.type-again", answer.Args{"first": m.First, "last": m.Last})
		}
	}
}

// stacks asks back when a box weighs what no box weighs: medium supers are 5 kg wet
// and drawn to 27 kg full, deep ones to 41 kg (job tables, common practice).
func (c *check) stacks(f record.Fact, stacks []record.Stack, least, most quantity.Gram) {
	if len(stacks) == 0 {
		c.missing("stacks", f)
	}
	for i := range stacks {
		x := &stacks[i]
		net := x.Net()
		if net <= 0 {
			c.refuse("refused.below-tare", "next.weigh-again", answer.Args{"gross": x.Gross.Figure, "tare": x.Tray.Figure})
			return
		}
		if a := net / quantity.Gram(max(1, x.Boxes)); a < least/3 || a > most*2 {
			c.ask("ask.box-weight", answer.Args{"boxes": x.Boxes, "gross": x.Gross.Figure, "box": a})
		}
	}
}

// drum checks the weights of a drum: an empty weight must be known, and a slip of
// the point, of gross for net or of the unit is asked back.
func (c *check) drum(net, gross, tare record.Weight, steel record.Code) {
	m, ok := c.s.Net(net, gross, tare, steel)
	if !ok && !c.namedHere(steel) {
		c.refuse("refused.no-tare", "next.weigh-empty", answer.Args{"vessel": steel})
		return
	}
	if m <= 0 {
		c.refuse("refused.below-tare", "next.weigh-again", answer.Args{"gross": gross.Figure, "tare": tare.Figure})
		return
	}
	expected, empty := c.s.usualFilling(steel)
	if typed, slip, meant := likelySlip(m, gross, expected, empty); slip != quantity.NoSlip {
		c.ask("ask.slip", answer.Args{"vessel": steel, "typed": typed, "meant": meant, "slip": answer.Key("slip." + slip.String())})
		return
	}
	if expected > 0 && m > expected+expected/5 {
		c.ask("ask.over-full", answer.Args{"vessel": steel, "typed": m, "holds": expected})
	}
}

// likelySlip looks for a slip in the net weight, and where that has none for a slip of
// the point in the gross weight as it was typed: 29 for 290 is 10.4 net in a drum of
// 18.6, which is ten times nothing.
func likelySlip(net quantity.Gram, gross record.Weight, expected, empty quantity.Gram) (typed quantity.Gram, s quantity.Slip, meant quantity.Gram) {
	if s, meant = quantity.LikelySlip(net, expected, empty); s != quantity.NoSlip || !gross.Given() {
		return net, s, meant
	}
	typed = gross.Grams()
	for _, usual := range []quantity.Gram{expected + empty, expected} {
		switch s, meant = quantity.LikelySlip(typed, usual, 0); s {
		case quantity.TenTimes, quantity.Tenth, quantity.ThousandFold, quantity.Thousandth:
			return typed, s, meant
		}
	}
	return net, quantity.NoSlip, net
}

// freshDrum refuses honey that is poured into the vessel it is in, and asks back when
// a new number is given to what a vessel still holds: one of the two was not written
// down.
func (c *check) freshDrum(f *record.DrumFilled) {
	n, _, _ := c.s.contentOf(f.From)
	t, _ := c.s.Find(f.Steel)
	v := c.s.vessels[t]
	if v == nil || v.Node == 0 || c.past {
		return
	}
	if v.Node == n {
		c.refuse("refused.into-itself", "next.type-again", answer.Args{"from": f.From, "vessel": f.Steel})
		return
	}
	if left := c.s.graph.Left(v.Node); f.Filling != "" && left > 0 {
		c.ask("ask.not-empty", answer.Args{"vessel": f.Steel, "holds": c.s.NodeCode(v.Node), "mass": left, "code": f.Filling})
	}
}

// namedHere reports whether an earlier fact of the draft names the vessel.
func (c *check) namedHere(steel record.Code) bool {
	for _, f := range c.d.Facts {
		if v, ok := f.(*record.VesselNamed); ok && v.Vessel.Fold() == steel.Fold() {
			return v.Tare.Given()
		}
	}
	return false
}

// usualFilling is what such a vessel usually holds: its capacity, or the middle of
// the last fillings of vessels of its shape; and its empty weight.
func (s *State) usualFilling(steel record.Code) (usual, tare quantity.Gram) {
	t, ok := s.Find(steel)
	if !ok {
		return 0, 0
	}
	named, ok := s.things[t].named.(*record.VesselNamed)
	if !ok {
		return 0, 0
	}
	if named.Capacity.Given() {
		return named.Capacity.Grams(), named.Tare.Grams()
	}
	var last []quantity.Gram
	for n := len(s.nodes) - 1; n > 0 && len(last) < 15; n-- {
		i := &s.nodes[n]
		if i.kind != ContentNode || i.vessel == 0 {
			continue
		}
		if v, ok := s.things[i.vessel].named.(*record.VesselNamed); ok && v.Shape == named.Shape {
			last = append(last, s.graph.Made(trace.Node(n)))
		}
	}
	if len(last) < 3 {
		return 0, named.Tare.Grams()
	}
	slices.Sort(last)
	return last[len(last)/2], named.Tare.Grams()
}

// results asks back a figure that no honey has, and refuses a result without any.
func (c *check) results(f *record.ResultRead) {
	if len(f.Results) == 0 {
		c.missing("results", f)
	}
	for _, r := range f.Results {
		if !r.Value.Given() && r.Verdict == 0 {
			c.missing("results.value", f)
			return
		}
		low, high := usualRange(r.Property)
		if v := r.Value.Float(); r.Value.Given() && high.Given() && !(low.Float() <= v && v <= high.Float()) {
			c.ask("ask.odd-reading", answer.Args{"of": f.Of, "property": answer.Key(r.Property.Key()), "figure": r.Value, "low": low, "high": high})
		}
	}
}

// usualRange is what honey reads at all, in the property's usual unit; outside it is
// asked back, not refused.
func usualRange(p record.Property) (low, high quantity.Figure) {
	span := func(low, high int64, decimals uint8) (a, b quantity.Figure) {
		u := record.PropertyUnits[p]
		return quantity.Figure{Mantissa: low, Decimals: decimals, Unit: u}, quantity.Figure{Mantissa: high, Decimals: decimals, Unit: u}
	}
	switch p {
	case record.Water:
		return span(13, 25, 0)
	case record.HMF:
		return span(0, 400, 0)
	case record.Diastase:
		return span(0, 80, 0)
	case record.Conductivity:
		return span(3, 300, 2)
	case record.Colour:
		return span(0, 150, 0)
	case record.Acidity:
		return span(3, 7, 0)
	case record.FreeAcid:
		return span(0, 120, 0)
	}
	return low, high
}

// intoVessel refuses honey on hold being poured onto other honey, unless a named
// role says why in the same batch. Into an empty vessel it may go: the hold goes
// with it and spreads to nothing.
func (c *check) intoVessel(to, from record.Code) {
	n, _, ok := c.s.contentOf(from)
	if !ok {
		return
	}
	t, ok := c.s.Find(to)
	v := c.s.vessels[t]
	if !ok || v == nil || v.Node == n || c.s.Empty(*v) {
		return
	}
	c.spreads(n, v.Node, from)
	c.spreads(v.Node, n, to) // nor may sound honey be poured onto honey on hold
}

// spreads refuses what would carry a hold on one content to another that it is not on.
func (c *check) spreads(n, other trace.Node, what record.Code) {
	held := c.holds()
	for _, on := range held[n] {
		if on.Share && !slices.Contains(held[other], on) {
			c.onHold(on.Hold, what)
		}
	}
}

// intoGoods refuses honey on hold being packed or sent.
func (c *check) intoGoods(from record.Code) {
	if n, _, ok := c.s.contentOf(from); ok {
		for _, on := range c.holds()[n] {
			if on.Share {
				c.onHold(on.Hold, from)
			}
		}
	}
}

func (c *check) holds() Held {
	if c.held == nil {
		c.held = c.s.Held()
	}
	return c.held
}

func (c *check) onHold(hold Thing, what record.Code) {
	code := c.s.things[hold].code
	for _, f := range c.d.Facts {
		o, ok := f.(*record.HoldOverridden)
		if ok && o.Hold.Fold() == code.Fold() && slices.ContainsFunc(o.Contents, func(x record.Code) bool { return c.s.same(x, what) }) {
			return
		}
	}
	c.refuse("refused.on-hold", "next.release-or-override", answer.Args{"what": what, "hold": code})
}

// same reports whether two codes stand for one content.
func (s *State) same(a, b record.Code) bool {
	if a.Fold() == b.Fold() {
		return true
	}
	n, _, ok := s.contentOf(a)
	m, _, ok2 := s.contentOf(b)
	return ok && ok2 && n == m
}

// correction refuses a correction of a fact that is not there, and one that says what
// the fact could not have been written with.
func (c *check) correction(f record.Fact) {
	of, _ := changes(f)
	if of == 0 || of > c.s.Seq {
		c.refuse("refused.no-such-fact", "next.type-again", answer.Args{"fact": int64(of), "last": int64(c.s.Seq)})
		return
	}
	a, ok := f.(*record.Amended)
	if !ok {
		return
	}
	with, err := record.Unmarshal(string(a.With))
	if err != nil {
		c.refuse("refused.malformed", "next.type-again", answer.Args{"why": err.Error()})
		return
	}
	if a.When != (record.When{}) {
		c.time(a.When)
	}
	c.said(with)
}

// said checks what a corrected fact says as if it were written now, but for its own
// number, holds and questions: it happened, and a preview shows what it moves.
func (c *check) said(f record.Fact) {
	as := &check{s: c.s, d: c.d, now: c.now, fresh: c.fresh, held: Held{}, past: true}
	if as.complete(f); as.err == nil {
		record.Visit(f, func(x record.Field) {
			if x.Type != record.TypeNew {
				as.field(f, x)
			}
		})
	}
	if as.err == nil {
		as.rules(f)
	}
	if as.err != nil && c.err == nil {
		c.err = as.err
	}
}
