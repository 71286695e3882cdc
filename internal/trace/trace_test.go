package trace

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"combline/internal/quantity"
)

func filled(g *Graph, m quantity.Gram) (Node, Origin) {
	o := g.NewOrigin()
	n := g.NewNode(o)
	g.Source(n, o, m)
	return n, o
}

func total(g *Graph, o Origin) (sum quantity.Gram) {
	for n := 1; n <= g.Nodes(); n++ {
		for _, p := range g.Parts(Node(n)) {
			if p.Origin == o {
				sum += p.Left
			}
		}
	}
	return sum
}

// Laws of any season: the grams of each origin over all contents are what came in;
// a content's grams are its origins' together; no draw loses an origin.
func TestMassIsKeptByOrigin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := &Graph{}
		var in []quantity.Gram
		nodes := []Node{}
		lots := rapid.IntRange(1, 6).Draw(t, "lots")
		for range lots {
			m := quantity.Gram(rapid.Int64Range(0, 1e9).Draw(t, "in"))
			n, _ := filled(g, m)
			nodes, in = append(nodes, n), append(in, m)
		}
		for range rapid.IntRange(0, 40).Draw(t, "pours") {
			var draws []Draw
			var could []Origin
			for range rapid.IntRange(1, 3).Draw(t, "sources") {
				d := Draw{From: rapid.SampledFrom(nodes).Draw(t, "from"), All: rapid.Bool().Draw(t, "all"),
					Mass: quantity.Gram(rapid.Int64Range(-1e5, 2e9).Draw(t, "mass"))} // also more than there is, also back
				draws = append(draws, d)
				for _, p := range g.Parts(d.From) {
					could = append(could, p.Origin)
				}
			}
			n := g.Pour(draws...)
			nodes = append(nodes, n)
			for _, o := range could {
				if !slices.ContainsFunc(g.Parts(n), func(p Part) bool { return p.Origin == o }) {
					t.Fatalf("origin %d is lost in a pour", o)
				}
			}
		}
		for i, m := range in {
			if got := total(g, Origin(i+1)); got != m {
				t.Fatalf("origin %d has %d g over all contents; %d g came in", i+1, got, m)
			}
		}
		for n := 1; n <= g.Nodes(); n++ {
			if g.Left(Node(n)) != sum(g.Parts(Node(n))) {
				t.Fatal("origins do not add up to the content")
			}
		}
	})
}

// Law: whatever the order in which a content is drawn empty, each origin leaves it whole.
func TestLastDrawTakesTheRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := &Graph{}
		a, _ := filled(g, quantity.Gram(rapid.Int64Range(1, 1e6).Draw(t, "a")))
		b, _ := filled(g, quantity.Gram(rapid.Int64Range(1, 1e6).Draw(t, "b")))
		mix := g.Pour(Draw{From: a, All: true}, Draw{From: b, All: true})
		made := slices.Clone(g.Parts(mix))
		var got [2]quantity.Gram
		for g.Left(mix) > 0 {
			n := g.Pour(Draw{From: mix, Mass: quantity.Gram(rapid.Int64Range(1, int64(g.Left(mix))).Draw(t, "draw"))})
			for i, p := range g.Parts(n) {
				if p.Left < 0 {
					t.Fatal("a draw has less than nothing of an origin")
				}
				got[i] += p.Left
			}
			if len(g.edges) > 2000 {
				break // single grams
			}
		}
		for i, p := range g.Parts(mix) {
			if got[i]+p.Left != made[i].Made {
				t.Fatalf("origin %d: %d g drawn and %d g left of %d g", p.Origin, got[i], p.Left, made[i].Made)
			}
		}
	})
}

// A draw is shared by largest remainder: 10 g of 1 part in 3 and 2 in 3 is 3 and 7
// (3.33 and 6.67; Hamilton's method, Balinski and Young, Fair Representation, 1982).
func TestLargestRemainder(t *testing.T) {
	g := &Graph{}
	a, _ := filled(g, 100)
	b, _ := filled(g, 200)
	mix := g.Pour(Draw{From: a, All: true}, Draw{From: b, All: true})
	n := g.Pour(Draw{From: mix, Mass: 10})
	if p := g.Parts(n); p[0].Left != 3 || p[1].Left != 7 {
		t.Errorf("10 g of 100 and 200 g are split %v", p)
	}
}

// A drum drawn below nothing stays in the account: the grams are in the new content
// and missing in the old one.
func TestDrawnBelowNothing(t *testing.T) {
	g := &Graph{}
	a, o := filled(g, 290_000)
	n := g.Pour(Draw{From: a, Mass: 300_000})
	if g.Left(n) != 300_000 || g.Left(a) != -10_000 || total(g, o) != 290_000 {
		t.Errorf("drawn %d g, left %d g, over all %d g", g.Left(n), g.Left(a), total(g, o))
	}
}

// A tank that a lot runs into unweighed draws on the lot's account.
func TestFeed(t *testing.T) {
	g := &Graph{}
	l1, _ := filled(g, 600_000)
	l2, _ := filled(g, 300_000)
	tank := g.NewNode(1, 2)
	g.Feed(tank, l1)
	drum := g.Pour(Draw{From: tank, Mass: 290_000})
	if g.Left(l1) != 310_000 || g.Left(drum) != 290_000 || g.Left(tank) != 0 {
		t.Errorf("lot %d g, drum %d g, tank %d g", g.Left(l1), g.Left(drum), g.Left(tank))
	}
	g.Feed(tank, l2) // on top: from now on one content, in the ratio of the accounts
	drum = g.Pour(Draw{From: tank, Mass: 61_000})
	if p := g.Parts(drum); p[0].Left != 31_000 || p[1].Left != 30_000 {
		t.Errorf("drawn from two lots: %v", p)
	}
}

func TestReach(t *testing.T) {
	g := &Graph{}
	site := g.NewNode()
	lot, _ := filled(g, 1000)
	g.Link(site, lot)
	other, _ := filled(g, 1000)
	const disease, residue = 1 << 1, 1 << 2
	g.Possible(lot, other, disease) // washed: only spores
	jar := g.Pour(Draw{From: other, Mass: 500})
	own := g.Pour(Draw{From: lot, All: true})
	names := func(found []Reached) string {
		s := ""
		for _, r := range found {
			mark := "?"
			if r.Share {
				mark = "="
			}
			s += fmt.Sprint(r.Node, mark, " ")
		}
		return s
	}
	for _, c := range []struct {
		way    Direction
		root   Node
		causes uint16
		want   string
	}{
		{Forward, site, disease, fmt.Sprint(site, "= ", lot, "= ", own, "= ", other, "? ", jar, "? ")},
		{Forward, site, residue, fmt.Sprint(site, "= ", lot, "= ", own, "= ")},
		{Back, jar, Every, fmt.Sprint(jar, "= ", other, "= ", lot, "? ", site, "? ")},
	} {
		if got := names(g.Reach([]Node{c.root}, c.way, c.causes, nil)); got != c.want {
			t.Errorf("from %d: %s; want %s", c.root, got, c.want)
		}
	}
	// a release ends the way of a hold for pours made after it
	mark := g.EdgeMark()
	late := g.Pour(Draw{From: own, Mass: 100})
	gate := func(n Node, at uint32) bool { return n != own || at < mark }
	for _, r := range g.Reach([]Node{site}, Forward, disease, gate) {
		if r.Node == late {
			t.Error("a hold went on through a released content")
		}
	}
}

// MadeOf and WentInto are one relation seen from both ends: what a drum gave to a
// mix is what the mix has of the drum, to the gram where it is drawn whole.
func TestSharesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := &Graph{}
		var drums []Draw
		want := map[Node]quantity.Gram{}
		for range rapid.IntRange(1, 6).Draw(t, "drums") {
			n, _ := filled(g, quantity.Gram(rapid.Int64Range(1, 300_000).Draw(t, "kg")))
			drums = append(drums, Draw{From: n, All: true})
			want[n] = g.Left(n)
		}
		mix := g.Pour(drums...)
		for _, s := range g.MadeOf(mix, g.Made(mix)) {
			if s.Grams != want[s.Node] {
				t.Fatalf("mix has %d g of %d; %d g were poured", s.Grams, s.Node, want[s.Node])
			}
			delete(want, s.Node)
		}
		if len(want) > 0 {
			t.Fatalf("not listed: %v", want)
		}
		half := g.Pour(Draw{From: mix, Mass: g.Left(mix) / 2})
		var sum quantity.Gram
		for _, s := range g.MadeOf(half, g.Made(half)) {
			if s.Node != mix {
				sum += s.Grams
			}
		}
		if sum != g.Made(half) {
			t.Fatalf("half is made of %d g; it has %d g", sum, g.Made(half))
		}
	})
}

// ByShare is the part of Reach that has a share, in any graph and either way.
func TestByShareIsThePartWithAShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := &Graph{}
		first, _ := filled(g, 1000)
		nodes := []Node{first}
		any := rapid.Custom(func(t *rapid.T) Node { return rapid.SampledFrom(nodes).Draw(t, "node") })
		for range rapid.IntRange(1, 30).Draw(t, "steps") {
			switch rapid.IntRange(0, 2).Draw(t, "step") {
			case 0:
				n, _ := filled(g, 1000)
				nodes = append(nodes, n)
			case 1:
				nodes = append(nodes, g.Pour(Draw{From: any.Draw(t, "from"), Mass: 100}, Draw{From: any.Draw(t, "and"), Mass: 50}))
			default:
				if a, b := any.Draw(t, "from"), any.Draw(t, "to"); a < b {
					g.Possible(a, b, 1<<1)
				}
			}
		}
		root := any.Draw(t, "root")
		for _, way := range []Direction{Forward, Back} {
			var want []Reached
			for _, r := range g.Reach([]Node{root}, way, Every, nil) {
				if r.Share {
					want = append(want, r)
				}
			}
			if got := g.ByShare([]Node{root}, way, nil); !slices.Equal(got, want) {
				t.Fatalf("from %d: %v; want %v", root, got, want)
			}
		}
	})
}
