package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Trace answers where something comes from and where it went, by share with grams
// and, apart, by possibility. code is anything of the house: a run, a lot mark, a
// drum, a lot, a site, a case, an order, a material lot, a machine.
func (o *Office) Trace(code record.Code) (a answer.Answer) {
	o.Read(func(v *View) { a = v.Trace(code) })
	return a
}

// Trace is [Office.Trace] on a view.
func (v *View) Trace(code record.Code) answer.Answer {
	s := v.State
	roots := s.RootsOf(code)
	a := answer.Answer{Question: "trace", Of: v.properCode(code)}
	if len(roots) == 0 {
		return v.notTraced(a, code)
	}
	t := tracer{v: v, s: s, a: &a, held: s.Held(), roots: roots}
	t.what(code)
	t.back()
	t.forward()
	t.holds()
	t.papers(code)
	if kind := t.kind(code); kind == record.Site || kind == record.Enquiry {
		t.boxes(code)
	}
	v.restsOnRecord(&a)
	a.Follows("follows.trace", nil)
	return a
}

// properCode is a code as it was first written.
func (v *View) properCode(code record.Code) record.Code {
	if t, ok := v.State.Find(code); ok {
		return v.State.Code(t)
	}
	return code
}

// notTraced says what a code that bears no honey is, or asks which was meant.
func (v *View) notTraced(a answer.Answer, code record.Code) answer.Answer {
	if t, ok := v.State.Find(code); ok {
		a.Cannot = &answer.Line{Key: "trace.nothing-yet", Args: answer.Args{"of": a.Of, "kind": answer.Key(v.State.KindOf(t).Key())}}
		return a
	}
	near := v.State.Near(code, nil)
	a.Cannot = &answer.Line{Key: "trace.not-found", Args: answer.Args{"of": code}}
	if len(near) > 0 {
		a.Cannot = &answer.Line{Key: "trace.which", Args: answer.Args{"of": code, "near": near}}
	}
	return a
}

type tracer struct {
	v     *View
	s     *house.State
	a     *answer.Answer
	held  house.Held
	roots []trace.Node
}

func (t *tracer) kind(code record.Code) record.Entity {
	if x, ok := t.s.Find(code); ok {
		return t.s.KindOf(x)
	}
	return record.NoEntity
}

// honey is the roots that bear honey: of a site, the lots that were pulled there.
func (t *tracer) honey() (all []trace.Node) {
	for _, n := range t.roots {
		if t.s.NodeKind(n) != house.SiteNode {
			all = append(all, n)
			continue
		}
		for _, x := range t.s.Graph().Next(n, trace.Forward) {
			if x.Share && t.s.NodeKind(x.Node) == house.LotNode {
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

func (t *tracer) what(code record.Code) {
	kind := t.kind(code)
	if kind == record.NoEntity {
		kind = record.Batch // a case
	}
	args := answer.Args{"of": t.a.Of, "kind": answer.Key(kind.Key()), "mass": t.mass()}
	t.a.Say("trace.is", args)
	if at, since, _, ok := t.s.PlaceOf(code); ok {
		t.a.Say("trace.stands", answer.Args{"place": at, "since": since})
	}
	for _, n := range t.roots {
		if seals := t.s.SealsOf(n); len(seals) > 0 {
			t.a.Say("trace.sealed", answer.Args{"seals": seals})
		}
	}
}

// back lists what the roots are made of: contents, lots and sites with their grams,
// material, and apart what may have touched them.
func (t *tracer) back() {
	g := t.s.Graph()
	sums := map[trace.Node]quantity.Gram{}
	for _, n := range t.roots {
		for _, x := range g.MadeOf(n, g.Made(n)) {
			sums[x.Node] += x.Grams
		}
	}
	whole := t.mass()
	from := t.a.Table("from", "content", "vessel", "purpose", "mass_g", "share_pct", "hold")
	through := answer.Table{Key: "through", Columns: from.Columns}
	lots := answer.Table{Key: "lots", Columns: []answer.Column{{Key: "lot"}, {Key: "site"}, {Key: "country"}, {Key: "honey"}, {Key: "day"}, {Key: "mass_g"}, {Key: "share_pct"}, {Key: "hold"}}}
	for _, n := range byGrams(sums) {
		c := t.s.Content(n)
		switch c.Kind {
		case house.LotNode, house.DeliveryNode:
			lots.Row(t.mark(n), append(append([]any{c.Code}, t.origin(n)...), sums[n], share(sums[n], whole), t.on(n))...)
		case house.ContentNode, house.BatchNode:
			to := from
			if !t.s.Numbered(n) {
				to = &through
			}
			to.Row(t.mark(n), c.Code, orNil(c.Vessel), purposeKey(c.Purpose), sums[n], share(sums[n], whole), t.on(n))
		}
	}
	t.a.Tables = append(t.a.Tables, through, lots)
	t.sites(whole)
	reached := g.Reach(t.roots, trace.Back, trace.Every, nil)
	material := t.a.Table("material", "lot", "material", "supplier")
	for _, r := range reached {
		if r.Share && t.s.NodeKind(r.Node) == house.MaterialNode {
			code := t.s.NodeCode(r.Node)
			x, _ := t.s.Find(code)
			if f, ok := t.s.Named(x).(*record.MaterialReceived); ok {
				material.Row(answer.Plain, code, f.Material, orNil(f.Supplier))
			}
		}
	}
	t.possible("possible-from", trace.Back)
}

// sites lists the places where the honey was pulled or bought, each with its share.
func (t *tracer) sites(whole quantity.Gram) {
	type place struct{ name, country string }
	sums := map[place]quantity.Gram{}
	for _, n := range t.roots {
		for _, p := range t.s.Graph().Parts(n) {
			o := t.s.OriginOf(p.Origin)
			name := string(t.s.Code(o.Of))
			if o.Site != 0 {
				name = string(t.s.Code(o.Site))
			}
			sums[place{name, o.Country}] += p.Made
		}
	}
	table := t.a.Table("sites", "site", "country", "mass_g", "share_pct")
	var all []place
	for p := range sums {
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b place) int { return cmp.Or(cmp.Compare(sums[b], sums[a]), cmp.Compare(a.name, b.name)) })
	for _, p := range all {
		table.Row(answer.Plain, record.Code(p.name), textOrNil(p.country), sums[p], share(sums[p], whole))
	}
}

// possible lists what may have been touched one way, and whether only spores could
// have got there, past every cleaning that was recorded.
func (t *tracer) possible(key string, way trace.Direction) {
	table := t.a.Table(key, "what", "kind", "mass_g", "through", "only_spores", "hold")
	washed := map[trace.Node]bool{}
	for _, r := range t.s.Graph().Reach(t.roots, way, house.Washable, nil) {
		washed[r.Node] = true
	}
	seen := map[record.Code]bool{}
	for _, r := range t.s.Graph().Reach(t.roots, way, trace.Every, nil) {
		if code := t.s.NodeCode(r.Node); !r.Share && code != "" && !seen[code] {
			seen[code] = true
			table.Row(t.mark(r.Node), code, answer.Key("node."+kindName(t.s.NodeKind(r.Node))), t.s.Graph().Made(r.Node), orNil(t.s.NodeCode(r.Via)), !washed[r.Node], t.on(r.Node))
		}
	}
}

// forward lists what the roots went into and who got it.
func (t *tracer) forward() {
	g := t.s.Graph()
	sums := map[trace.Node]quantity.Gram{}
	for _, n := range t.honey() {
		sums[n] += g.Made(n)
		for _, x := range g.WentInto(n) {
			sums[x.Node] += x.Grams
		}
	}
	isRoot := map[trace.Node]bool{}
	for _, n := range t.roots {
		isRoot[n] = true
	}
	reached := g.Reach(t.roots, trace.Forward, trace.Every, nil)
	slices.SortStableFunc(reached, func(a, b trace.Reached) int { return cmp.Compare(a.Node, b.Node) })
	into := t.a.Table("into", "content", "vessel", "kind", "mass_g", "in_all_g", "left_g", "hold")
	sent := t.a.Table("sent", "dispatch", "customer", "ship_to", "units", "cases", "mass_g", "when")
	var gone ended
	for _, r := range reached {
		if !r.Share || isRoot[r.Node] && t.s.NodeKind(r.Node) != house.SentNode {
			continue
		}
		switch k := t.s.NodeKind(r.Node); k {
		case house.SiteNode, house.RunNode: // what it is, not where honey is
		case house.SentNode:
			t.sentRow(sent, r.Node)
		case house.ContentNode, house.BatchNode, house.LotNode, house.WaxNode:
			c := t.s.Content(r.Node)
			into.Row(t.mark(r.Node), c.Code, orNil(c.Vessel), answer.Key("node."+kindName(k)), sums[r.Node], c.Made, c.Grams, t.on(r.Node))
		default:
			c := t.s.Content(r.Node)
			gone.add(c)
		}
	}
	gone.table(t.a)
	goods := t.a.Table("here", "mark", "units", "left_g", "place", "hold")
	for _, r := range reached {
		if c := t.s.Content(r.Node); r.Share && c.Kind == house.BatchNode && c.Units > 0 {
			goods.Row(t.mark(r.Node), c.Code, c.Units, c.Grams, orNil(c.Place), t.on(r.Node))
		}
	}
	t.possible("possible-into", trace.Forward)
}

func (t *tracer) sentRow(table *answer.Table, n trace.Node) {
	to := t.s.SentTo(n)
	table.Row(answer.Plain, to.Dispatch, orNil(to.Customer), textOrNil(to.ShipTo), to.Units, countOrNil(t.casesSent(to)), t.s.Graph().Made(n), to.When)
}

// ended adds up what is no stock any more, by what it was and how it went.
type ended []house.Content

func (e *ended) add(c house.Content) {
	for i := range *e {
		if x := &(*e)[i]; x.Code == c.Code && x.Kind == c.Kind {
			x.Grams += c.Grams
			x.Units += c.Units
			return
		}
	}
	*e = append(*e, c)
}

func (e ended) table(a *answer.Answer) {
	table := a.Table("ends", "what", "kind", "units", "mass_g")
	for _, c := range e {
		table.Row(answer.Plain, c.Code, answer.Key("node."+kindName(c.Kind)), countOrNil(c.Units), c.Grams)
	}
}

// casesSent is how many cases of a dispatch went to one address.
func (t *tracer) casesSent(to house.SentTo) (n int64) {
	d, ok := t.s.Goods.Dispatch(to.Dispatch)
	if !ok {
		return 0
	}
	for _, l := range d.Lines {
		if l.ShipTo == to.ShipTo && l.Cases.First > 0 {
			n += l.Cases.Count()
		}
	}
	return n
}

// holds lists every hold on the roots or anything of them.
func (t *tracer) holds() {
	table := t.a.Table("holds", "hold", "cause", "blocks", "reason", "set_by", "since")
	seen := map[house.Thing]bool{}
	for _, n := range t.roots {
		for _, on := range t.held[n] {
			if seen[on.Hold] {
				continue
			}
			seen[on.Hold] = true
			h := t.s.Hold(on.Hold)
			mark := answer.Care
			if on.Share {
				mark = answer.Bad
			}
			table.Row(mark, t.s.Code(on.Hold), answer.Key(h.Cause.Key()), on.Share, h.Reason, h.Person, h.When)
			if on.Share {
				t.a.Lines = append(t.a.Lines, answer.Line{Key: "trace.on-hold", Mark: answer.Bad, Args: answer.Args{"of": t.a.Of, "hold": t.s.Code(on.Hold), "reason": h.Reason}})
			} else {
				t.a.Lines = append(t.a.Lines, answer.Line{Key: "trace.touched", Mark: answer.Care, Args: answer.Args{"of": t.a.Of, "hold": t.s.Code(on.Hold)}})
			}
		}
	}
}

// papers shows what was printed about it and what it would now be.
func (t *tracer) papers(code record.Code) {
	table := t.a.Table("papers", "paper", "printed", "of", "printed_pct", "would_now_be_pct", "differs")
	for _, p := range t.s.Papers(code) {
		for _, w := range t.s.WouldNowBe(p) {
			mark := answer.Plain
			var now any
			if w.Known {
				now = w.Now
			}
			if w.Differs {
				mark = answer.Bad
				t.a.Lines = append(t.a.Lines, answer.Line{Key: "trace.would-now-be", Mark: answer.Bad,
					Args: answer.Args{"paper": p.Fact.Paper, "of": w.Of, "printed": w.Printed, "now": now}})
			}
			table.Row(mark, p.Fact.Paper, p.When, w.Of, w.Printed, now, w.Differs)
		}
	}
}

// boxes lists every move of boxes that a disease at sites may have gone with.
func (t *tracer) boxes(code record.Code) {
	sites := []record.Code{code}
	if x, ok := t.s.Find(code); ok {
		if f, ok := t.s.Named(x).(*record.EnquiryOpened); ok {
			sites = f.Sites
		}
	}
	t.v.boxTables(t.a, sites)
}

func (t *tracer) origin(n trace.Node) []any {
	parts := t.s.Graph().Parts(n)
	if len(parts) != 1 {
		return []any{nil, nil, nil, nil}
	}
	o := t.s.OriginOf(parts[0].Origin)
	var site, day any
	if o.Site != 0 {
		site = t.s.Code(o.Site)
	}
	if o.Day != 0 {
		day = o.Day
	}
	return []any{site, textOrNil(o.Country), textOrNil(o.Honey), day}
}

func (t *tracer) mark(n trace.Node) answer.Mark {
	switch {
	case t.held.Blocked(n):
		return answer.Bad
	case t.held.Touched(n):
		return answer.Care
	}
	return answer.Plain
}

// on names the holds on a content; those that may only have touched it with a "?".
func (t *tracer) on(n trace.Node) any { return t.v.holdsOn(t.held, n) }

func (v *View) holdsOn(held house.Held, n trace.Node) any {
	var all []record.Code
	for _, on := range held[n] {
		code := v.State.Code(on.Hold)
		if !on.Share {
			code += "?"
		}
		all = append(all, code)
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

func byGrams(sums map[trace.Node]quantity.Gram) []trace.Node {
	var all []trace.Node
	for n := range sums {
		all = append(all, n)
	}
	slices.SortFunc(all, func(a, b trace.Node) int { return cmp.Or(cmp.Compare(sums[b], sums[a]), cmp.Compare(a, b)) })
	return all
}

func share(m, whole quantity.Gram) any {
	if whole == 0 {
		return nil
	}
	return quantity.Percent(100 * float64(m) / float64(whole))
}

func orNil(c record.Code) any {
	if c == "" {
		return nil
	}
	return c
}

func textOrNil(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func countOrNil(n int64) any {
	if n == 0 {
		return nil
	}
	return n
}

func purposeKey(p record.Purpose) any {
	if p == 0 {
		return nil
	}
	return answer.Key(p.Key())
}

func kindName(k house.NodeKind) string { return k.String() }
