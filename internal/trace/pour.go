package trace

import (
	"cmp"
	"slices"

	"combline/internal/quantity"
)

// A Draw is what is taken from a content: all that is left, or a mass, which may
// be more than there is.
type Draw struct {
	From Node
	All  bool
	Mass quantity.Gram
}

// Feed says that honey of lot runs into n unweighed: when n is drawn, the grams
// come out of the lot's account.
func (g *Graph) Feed(n, lot Node) {
	if g.feeds == nil {
		g.feeds = map[Node][]Node{}
	}
	if !slices.Contains(g.feeds[n], lot) {
		g.feeds[n] = append(g.feeds[n], lot)
		slices.Sort(g.feeds[n])
	}
}

// EndFeeds says that nothing more runs into n.
func (g *Graph) EndFeeds(n Node) { delete(g.feeds, n) }

// EndLot says that nothing more of lot runs into anything.
func (g *Graph) EndLot(lot Node) {
	for n, lots := range g.feeds { // only what is open stands there
		if i := slices.Index(lots, lot); i >= 0 && len(lots) == 1 {
			delete(g.feeds, n)
		} else if i >= 0 {
			g.feeds[n] = slices.Delete(slices.Clone(lots), i, i+1)
		}
	}
}

// Feeds lists the lots that run into n unweighed.
func (g *Graph) Feeds(n Node) []Node { return g.feeds[n] }

// Pour makes a new content of the draws. It may hold honey of every origin of
// each, also of one with no grams left.
func (g *Graph) Pour(draws ...Draw) Node {
	var origins []Origin
	for _, d := range draws {
		for _, p := range g.of(d.From) {
			origins = append(origins, p.Origin)
		}
	}
	slices.Sort(origins)
	to := g.NewNode(slices.Compact(origins)...)
	for _, d := range draws {
		g.move(to, d)
	}
	return to
}

// move takes a draw into a content that has the draw's origins already.
func (g *Graph) move(to Node, d Draw) {
	take := g.take(d)
	parts := g.of(to)
	var sum int64
	at := 0
	for _, t := range take {
		for parts[at].Origin != t.Origin {
			at++
		}
		parts[at].Made += t.Left
		parts[at].Left += t.Left
		sum += int64(t.Left)
	}
	g.carry(d.From, to, sum)
}

// carry books grams on the edge from one content to the next, one edge a pair.
func (g *Graph) carry(from, to Node, grams int64) {
	for at := g.nodes[to].firstIn; at != 0; at = g.edges[at].nextIn {
		if e := &g.edges[at]; e.from == from && e.share {
			e.grams += grams
			return
		}
	}
	g.connect(edge{from: from, to: to, grams: grams, causes: Every, share: true})
}

// take draws from a content and returns the grams of each of its origins.
func (g *Graph) take(d Draw) []Part {
	parts := g.of(d.From)
	want := d.Mass
	if !d.All {
		g.fill(d.From, want)
	}
	left := g.Left(d.From)
	if d.All {
		want = left
	}
	taken := make([]Part, len(parts))
	for i := range parts {
		taken[i].Origin = parts[i].Origin
	}
	switch {
	case want == 0 && left != 0: // nothing
	case want == left: // the last draw takes the rest exactly
		for i := range parts {
			taken[i].Left = parts[i].Left
		}
	case 0 < want && want < left && !anyBelow(parts):
		apportion(taken, parts, want, func(p Part) quantity.Gram { return p.Left })
	default: // more than there is, or a correction back: in the shares it was made with
		for i := range parts {
			taken[i].Left = parts[i].Left
		}
		rest := make([]Part, len(parts))
		apportion(rest, parts, abs(want-left), func(p Part) quantity.Gram { return max(0, p.Made) })
		for i := range rest {
			if want < left {
				rest[i].Left = -rest[i].Left
			}
			taken[i].Left += rest[i].Left
		}
	}
	for i := range parts {
		parts[i].Left -= taken[i].Left
	}
	return taken
}

func anyBelow(parts []Part) bool {
	return slices.ContainsFunc(parts, func(p Part) bool { return p.Left < 0 })
}

// fill brings honey from the lots that run into n, so that want can be drawn.
// Between the lots it is shared by what each lot's account still has; what lies in
// n weighed counts beside them.
func (g *Graph) fill(n Node, want quantity.Gram) {
	lots := g.feeds[n]
	if len(lots) == 0 || want <= 0 {
		return
	}
	shares := make([]Part, len(lots)+1)
	for i, lot := range lots {
		shares[i] = Part{Origin: Origin(i), Left: max(0, g.Left(lot))}
	}
	last := len(lots)
	shares[last] = Part{Origin: Origin(last), Left: max(0, g.Left(n))}
	if sum(shares)-shares[last].Left < want-shares[last].Left { // the accounts do not reach: what is there first, the rest by lot
		if sum(shares) == shares[last].Left {
			for i := range lots {
				shares[i].Left = 1
			}
		}
		want -= shares[last].Left
		shares[last].Left = 0
	}
	got := make([]Part, len(shares))
	for i := range got {
		got[i].Origin = shares[i].Origin
	}
	if want <= 0 {
		return
	}
	apportion(got, shares, want, func(p Part) quantity.Gram { return p.Left })
	for i, lot := range lots {
		if got[i].Left > 0 {
			g.move(n, Draw{From: lot, Mass: got[i].Left})
		}
	}
}

func sum(parts []Part) (s quantity.Gram) {
	for _, p := range parts {
		s += p.Left
	}
	return s
}

// apportion splits mass over parts by weight, by largest remainder; ties go to the
// lower origin. Without any weight the first part takes it all.
func apportion(to, parts []Part, mass quantity.Gram, weight func(Part) quantity.Gram) {
	if len(parts) == 0 {
		return
	}
	var total int64
	for _, p := range parts {
		total += int64(weight(p))
	}
	if total == 0 {
		to[0].Left = mass
		return
	}
	if len(parts) == 1 {
		to[0].Left = mass
		return
	}
	type rest struct {
		i int
		r int64
	}
	rests := make([]rest, len(parts))
	given := int64(0)
	for i, p := range parts {
		q, r := mulDiv(int64(mass), int64(weight(p)), total)
		to[i].Left = quantity.Gram(q)
		rests[i] = rest{i, r}
		given += q
	}
	slices.SortFunc(rests, func(a, b rest) int {
		return cmp.Or(cmp.Compare(b.r, a.r), cmp.Compare(parts[a.i].Origin, parts[b.i].Origin))
	})
	for i := range int64(mass) - given {
		to[rests[i].i].Left++
	}
}

func abs(m quantity.Gram) quantity.Gram { return max(m, -m) }
