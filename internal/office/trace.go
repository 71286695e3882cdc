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
	a, _ := v.TraceTop(code, 0)
	return a
}

// TraceTop is a trace for a page: the tables that grow with the seasons are written out
// as far as most rows. more says how many rows of a table were left out; with most 0
// none are.
func (v *View) TraceTop(code record.Code, most int) (a answer.Answer, more map[string]int) {
	s := v.State
	roots := v.traceRoots(code)
	a = answer.Answer{Question: "trace", Of: v.properCode(code)}
	if len(roots) == 0 {
		return v.notTraced(a, code), nil
	}
	t := tracer{v: v, s: s, a: &a, held: v.held(), roots: roots, most: most, more: map[string]int{}}
	t.what(code)
	t.back()
	t.forward()
	t.holds()
	t.papers(code)
	if sites := v.suspects(code); len(sites) > 0 {
		t.boxes(sites)
	}
	v.restsOnRecord(&a)
	a.Follows("follows.trace", nil)
	return a, t.more
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
	first []trace.Node // of made, once it is known
	most  int          // rows of a table that grows; 0: all
	more  map[string]int
}

// isFull reports whether a table has as many rows as are asked for, and counts the one
// that is left out.
func (t *tracer) isFull(table *answer.Table) bool {
	if t.most == 0 || len(table.Rows) < t.most {
		return false
	}
	t.more[table.Key]++
	return true
}

// back lists what the roots are made of: contents, lots and sites with their grams,
// material, and apart what may have touched them.
func (t *tracer) back() {
	g := t.s.Graph()
	sums := map[trace.Node]quantity.Gram{}
	for _, n := range t.made() {
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
			if !t.s.Numbered(n) || c.Kind == house.BatchNode {
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
	t.possible("possible-from", trace.Back, reached)
}

// sites lists the places where the honey was pulled or bought, each with its share.
func (t *tracer) sites(whole quantity.Gram) {
	type place struct{ name, country string }
	sums := map[place]quantity.Gram{}
	for _, n := range t.made() {
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

// holds lists every hold on the roots or anything of them, and says whether all of it
// or some is on hold.
func (t *tracer) holds() {
	table := t.a.Table("holds", "hold", "cause", "blocks", "reason", "set_by", "since")
	blocks := map[house.Thing]int{}
	var order []house.Thing
	roots := t.made()
	if heavy := slices.DeleteFunc(slices.Clone(roots), func(n trace.Node) bool { return t.s.Graph().Made(n) == 0 }); len(heavy) > 0 {
		roots = heavy // of a run its jars, not what it stands for
	}
	for _, n := range roots {
		for _, on := range t.held[n] {
			if _, seen := blocks[on.Hold]; !seen {
				order = append(order, on.Hold)
				blocks[on.Hold] = 0
			}
			if on.Share {
				blocks[on.Hold]++
			}
		}
	}
	for _, hold := range order {
		h, code := t.s.Hold(hold), t.s.Code(hold)
		key, mark := "trace.touched", answer.Care
		if n := blocks[hold]; n == len(roots) {
			key, mark = "trace.on-hold", answer.Bad
		} else if n > 0 {
			key, mark = "trace.some-on-hold", answer.Bad
		}
		table.Row(mark, code, answer.Key(h.Cause.Key()), blocks[hold] > 0, h.Reason, h.Person, h.When)
		if code != t.a.Of {
			t.a.Lines = append(t.a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": t.a.Of, "hold": code, "reason": h.Reason}})
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

// held is what the holds in force are on. It is everybody's.
func (v *View) held() house.Held { return once(v, "held", v.State.Held) }

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
	shown := func(n trace.Node) quantity.Gram { return (sums[n] + 50) / 100 } // what looks the same stands in order
	slices.SortFunc(all, func(a, b trace.Node) int { return cmp.Or(cmp.Compare(shown(b), shown(a)), cmp.Compare(a, b)) })
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
