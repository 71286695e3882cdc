package record

import q "combline/internal/quantity"

// Facts of planned blends. A plan is an intent: what was tipped is recorded as it is
// tipped.

// A PlannedPart is one content of a planned blend.
type PlannedPart struct {
	Content Code   // the filling that was shown, never the steel it stands in
	Mass    Weight // of it, as planned
	All     Truth  // the whole of it
}

// BlendPlanned: somebody agreed to a blend.
type BlendPlanned struct {
	Plan    Code
	Orders  []Code
	Product Code
	To      Code   // the vessel that it is for
	Wanted  Weight // as asked for
	Parts   []PlannedPart
	Limits  []Promise      // as they were kept
	Origin  []CountryShare // as the label states it
	Due     Day
	Risk    q.Figure // chance of a breach that was allowed for each limit
	Breach  q.Figure // the largest chance of a breach as it was reckoned
	Edition string   // of the model that made it
	Note    string
}

func (x *BlendPlanned) fields(f *form) {
	f.names(1, "plan", &x.Plan, need, Plan)
	f.refs(2, "orders", &x.Orders, may, only[Order])
	f.ref(3, "product", &x.Product, may, only[Product])
	f.ref(4, "to", &x.To, may, only[Vessel])
	f.weight(5, "wanted", &x.Wanted, may, q.KgUnit)
	each(f, 6, "parts", &x.Parts, func(f *form, p *PlannedPart) {
		f.ref(1, "content", &p.Content, need, inVessel)
		f.weight(2, "mass", &p.Mass, need, q.KgUnit)
		f.truth(3, "emptied", &p.All, may)
	})
	each(f, 7, "promises", &x.Limits, func(f *form, p *Promise) { p.fields(f) })
	each(f, 8, "origin", &x.Origin, func(f *form, c *CountryShare) { c.fields(f) })
	f.day(9, "due", &x.Due, may)
	f.fig(10, "risk", &x.Risk, may, q.Pct)
	f.fig(11, "breach", &x.Breach, may, q.Pct)
	f.note(12, "edition", &x.Edition, may)
	f.note(13, "note", &x.Note, may)
}

// BlendDropped: a planned blend will not be made, or not any further.
type BlendDropped struct {
	Plan   Code
	Reason string
}

func (x *BlendDropped) fields(f *form) {
	f.ref(1, "plan", &x.Plan, need, only[Plan])
	f.note(2, "reason", &x.Reason, may)
}
