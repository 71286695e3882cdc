package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// possible lists what may have been touched one way, and whether only spores could
// have got there, past every cleaning that was recorded. What bears one code is one
// row: a dispatch with all that it took.
func (t *tracer) possible(key string, way trace.Direction, reached []trace.Reached) {
	table := t.a.Table(key, "what", "kind", "customer", "mass_g", "through", "only_spores", "hold")
	const mass, spores = 3, 5 // columns
	apart := 0
	for _, r := range reached {
		if !r.Share {
			apart++
		}
	}
	if apart == 0 {
		return
	}
	washed := make(map[trace.Node]bool, apart)
	for _, r := range t.s.Graph().Reach(t.roots, way, house.Washable, nil) {
		if !r.Share { // what has a share is no row here
			washed[r.Node] = true
		}
	}
	rows := make(map[record.Code]int, apart)
	for _, r := range reached {
		code, made := t.s.NodeCode(r.Node), t.s.Graph().Made(r.Node)
		if r.Share || code == "" {
			continue
		}
		if i, have := rows[code]; have {
			if i < 0 { // left out
				continue
			}
			cells := table.Rows[i].Cells
			cells[mass] = massOrNil(gramsOf(cells[mass]) + made)
			cells[spores] = cells[spores] == true && !washed[r.Node]
			continue
		}
		if t.isFull(table) {
			rows[code] = -1
			continue
		}
		rows[code] = len(table.Rows)
		table.Row(t.mark(r.Node), code, answer.Key("node."+kindName(t.s.NodeKind(r.Node))), orNil(t.s.SentTo(r.Node).Customer),
			massOrNil(made), orNil(t.s.NodeCode(r.Via)), !washed[r.Node], t.on(r.Node))
	}
}

// massOrNil is nil for what has no weight of its own, as a site.
func massOrNil(m quantity.Gram) any {
	if m == 0 {
		return nil
	}
	return m
}

func gramsOf(cell any) quantity.Gram {
	m, _ := cell.(quantity.Gram)
	return m
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
	found := g.Reach(t.roots, trace.Forward, trace.Every, nil)
	var reached []trace.Node // by share, in the order in which they came to be
	for _, r := range found {
		if r.Share {
			reached = append(reached, r.Node)
		}
	}
	slices.Sort(reached)
	into := t.a.Table("into", "content", "vessel", "kind", "mass_g", "in_all_g", "left_g", "hold")
	sent := t.a.Table("sent", "dispatch", "customer", "ship_to", "units", "cases", "mass_g", "when")
	var gone ended
	var out []house.SentTo
	for _, n := range reached {
		if isRoot[n] && t.s.NodeKind(n) != house.SentNode {
			continue
		}
		switch k := t.s.NodeKind(n); k {
		case house.SiteNode, house.RunNode: // what it is, not where honey is
		case house.SentNode:
			out = t.goneTo(out, n)
		case house.ContentNode, house.BatchNode, house.LotNode, house.WaxNode:
			c := t.s.Content(n)
			into.Row(t.mark(n), c.Code, orNil(c.Vessel), answer.Key("node."+kindName(k)), t.part(sums[n]), c.Made, c.Grams, t.on(n))
		default:
			gone.add(t.s.Content(n))
		}
	}
	for _, to := range out {
		sent.Row(answer.Plain, to.Dispatch, orNil(to.Customer), textOrNil(to.ShipTo), to.Units, countOrNil(t.casesSent(to)), to.Grams, to.When)
	}
	gone.table(t.a)
	goods := t.a.Table("here", "mark", "units", "left_g", "place", "hold")
	for _, n := range reached {
		if t.s.NodeKind(n) != house.BatchNode {
			continue
		}
		if c := t.s.Content(n); c.Units > 0 {
			goods.Row(t.mark(n), c.Code, c.Units, c.Grams, orNil(c.Place), t.on(n))
		}
	}
	t.possible("possible-into", trace.Forward, found)
}

// part is what of the roots went somewhere; nothing to weigh, where they are material.
func (t *tracer) part(m quantity.Gram) any {
	if m == 0 && t.mass() == 0 {
		return nil
	}
	return m
}

// goneTo adds what left the house to the others of its dispatch and address.
func (t *tracer) goneTo(out []house.SentTo, n trace.Node) []house.SentTo {
	to := t.s.SentTo(n)
	for i := range out {
		if x := &out[i]; x.Dispatch == to.Dispatch && x.ShipTo == to.ShipTo {
			x.Units += to.Units
			x.Grams += to.Grams
			return out
		}
	}
	return append(out, to)
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
