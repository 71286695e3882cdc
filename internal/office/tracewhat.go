package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// traceRoots are what a trace of a code starts from: what the house books under it,
// and beside that what was sent to a customer, came from a supplier, was made as a
// product, stands in a place, is on a hold or bears a seal.
func (v *View) traceRoots(code record.Code) (all []trace.Node) {
	if all = v.State.RootsOf(code); len(all) > 0 {
		return all
	}
	t, ok := v.State.Find(code)
	if !ok {
		return v.State.SealedWith(string(code))
	}
	add := func(codes ...record.Code) {
		for _, c := range codes {
			all = append(all, v.State.RootsOf(c)...)
		}
	}
	is := func(c record.Code) bool { return c.Fold() == code.Fold() }
	switch f := v.State.Named(t).(type) {
	case *record.HoldSet:
		add(f.Roots...)
	case *record.RecallStarted:
		add(f.Roots...)
	case *record.ProblemFound:
		add(f.About...)
	case *record.ComplaintTaken:
		add(f.Mark)
	case *record.CustomerNamed:
		for _, d := range v.State.Goods.Dispatches() {
			if is(d.Customer) {
				add(d.Dispatch)
			}
		}
	case *record.SupplierNamed:
		v.eachNamed(func(f record.Fact) {
			switch f := f.(type) {
			case *record.HoneyBought:
				if is(f.Supplier) {
					add(f.Delivery)
				}
			case *record.MaterialReceived:
				if is(f.Supplier) {
					add(f.Lot)
				}
			}
		}, record.Delivery, record.MaterialLot)
	case *record.ProductNamed:
		v.eachNamed(func(f record.Fact) {
			if r, ok := f.(*record.RunStarted); ok && is(r.Product) {
				add(r.Run)
			}
		}, record.Run)
	case *record.PlaceNamed:
		for _, c := range slices.Concat(v.State.Contents(), v.State.Batches()) {
			if is(c.Place) {
				all = append(all, c.Node)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// eachNamed visits the facts that named the things of some kinds.
func (v *View) eachNamed(visit func(record.Fact), kinds ...record.Entity) {
	for _, k := range kinds {
		for _, t := range v.State.OfKind(k) {
			visit(v.State.Named(t))
		}
	}
}

// suspects are the sites whose boxes a trace follows: a site itself, those of an
// enquiry, and those that a hold is on.
func (v *View) suspects(code record.Code) (sites []record.Code) {
	t, ok := v.State.Find(code)
	if !ok {
		return nil
	}
	switch f := v.State.Named(t).(type) {
	case *record.SiteOpened:
		return []record.Code{code}
	case *record.EnquiryOpened:
		return f.Sites
	case *record.HoldSet:
		for _, root := range f.Roots {
			sites = append(sites, v.suspects(root)...)
		}
	}
	return sites
}

// made is the roots that are not made of other roots: the jars that were filled, not
// again those that were regraded of them.
func (t *tracer) made() []trace.Node {
	if t.first == nil {
		t.first = t.notOfOthers()
	}
	return t.first
}

func (t *tracer) notOfOthers() (all []trace.Node) {
	if len(t.roots) == 1 {
		return t.roots
	}
	isRoot := map[trace.Node]bool{}
	for _, n := range t.roots {
		isRoot[n] = true
	}
	for _, n := range t.roots {
		again := slices.ContainsFunc(t.s.Graph().ByShare([]trace.Node{n}, trace.Back, nil), func(r trace.Reached) bool {
			return r.Node != n && isRoot[r.Node] && t.s.Graph().Made(r.Node) > 0
		})
		if !again {
			all = append(all, n)
		}
	}
	return all
}

// honey is what the roots weigh together: of a site, the lots that were pulled there.
func (t *tracer) honey() (all []trace.Node) {
	for _, n := range t.made() {
		if t.s.NodeKind(n) != house.SiteNode {
			all = append(all, n)
			continue
		}
		for _, x := range t.s.Graph().Next(n, trace.Forward) {
			if x.Share && t.s.NodeKind(x.Node) == house.LotNode && !slices.Contains(t.roots, x.Node) {
				all = append(all, x.Node)
			}
		}
	}
	return all
}

// mass is what the roots were made with together: a run's jars, a drum's filling.
func (t *tracer) mass() (sum quantity.Gram) {
	for _, n := range t.honey() {
		sum += t.s.Graph().Made(n)
	}
	return sum
}

// what says what it is, how much it was, and where it is now.
func (t *tracer) what(code record.Code) {
	if c, ok := t.s.Goods.Case(code); ok {
		t.whatCases("trace.case", []goods.CaseRange{c})
		return
	}
	if on := t.s.Goods.CasesOn(code); len(on) > 0 {
		t.whatCases("trace.pallet", on)
		return
	}
	args := answer.Args{"of": t.a.Of, "kind": answer.Key(t.kindKey(code)), "mass": t.mass()}
	if t.mass() == 0 {
		t.a.Say("trace.is-only", args)
	} else {
		t.a.Say("trace.is", args)
	}
	for _, n := range t.roots {
		if seals := t.s.SealsOf(n); len(seals) > 0 {
			t.a.Say("trace.sealed", answer.Args{"seals": seals})
		}
	}
	t.where(code)
	t.a.Lines = append(t.a.Lines, t.v.Released(code)...)
}

// whatCases says what is in a case, or in the cases of a pallet, and who got them.
func (t *tracer) whatCases(key string, all []goods.CaseRange) {
	var n, cases int64
	var marks []record.Code
	for _, c := range all {
		cases += c.Cases.Count()
		for _, u := range c.Units {
			n += u.Units
			if !slices.Contains(marks, u.Batch) {
				marks = append(marks, u.Batch)
			}
		}
	}
	t.a.Say(key, answer.Args{"of": t.a.Of, "n": n, "cases": cases, "marks": marks})
	var told []record.Code
	for _, c := range all {
		args := answer.Args{"customer": c.Customer, "to": c.ShipTo, "dispatch": c.Dispatch, "when": c.Sent.When}
		switch {
		case slices.Contains(told, c.Dispatch):
			continue
		case c.Dispatch == "":
			t.a.Say("trace.case-here", nil)
		case c.ShipTo == "":
			t.a.Say("trace.case-sent", args)
		default:
			t.a.Say("trace.case-sent-to", args)
		}
		told = append(told, c.Dispatch)
	}
}

// kindKey is the word for what bears a code: of steel its shape.
func (t *tracer) kindKey(code record.Code) string {
	x, ok := t.s.Find(code)
	if !ok {
		return record.Filling.Key() // named by its steel, "S-001/2", or by its seal
	}
	if f, ok := t.s.Named(x).(*record.VesselNamed); ok {
		return f.Shape.Key()
	}
	return t.s.KindOf(x).Key()
}

// where says where one content is: in a vessel and a place, or with whom, or that
// nothing is left.
func (t *tracer) where(code record.Code) {
	at, since, _, stands := t.s.PlaceOf(code)
	if len(t.roots) == 1 && t.s.NodeKind(t.roots[0]) == house.ContentNode {
		c := t.s.Content(t.roots[0])
		if c.Vessel != "" && c.Code.Fold() != code.Fold() && c.Grams != 0 {
			t.a.Say("trace.holds", answer.Args{"of": t.a.Of, "content": c.Code})
		}
		if c.Grams == 0 && len(c.InLots) == 0 {
			t.whereTo(c.Node)
			return
		}
		if c.Vessel != "" && c.Code.Fold() == code.Fold() {
			t.a.Say("trace.in-vessel", answer.Args{"vessel": c.Vessel})
		}
	}
	if stands {
		t.a.Say("trace.stands", answer.Args{"place": at, "since": since})
	}
}

// whereTo says of a content that is used up who got it, if it went out as it was.
func (t *tracer) whereTo(n trace.Node) {
	for _, x := range t.s.Graph().Next(n, trace.Forward) {
		if to := t.s.SentTo(x.Node); x.Share && to.Dispatch != "" {
			t.a.Say("trace.sent", answer.Args{"customer": to.Customer, "dispatch": to.Dispatch, "when": to.When})
			return
		}
	}
	t.a.Say("trace.used-up", nil)
}
