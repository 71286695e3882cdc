package house

import (
	"cmp"
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A WouldBe is a printed figure and what it would be if it were printed now.
type WouldBe struct {
	Of      string
	Printed quantity.Figure
	Now     quantity.Percent
	Known   bool // false: what it is about is not in the content any more
	Differs bool // beyond the printed digits
}

// WouldNowBe works a paper's figures out again from what is now recorded.
func (s *State) WouldNowBe(p Paper) []WouldBe {
	roots := s.RootsOf(p.Fact.About)
	shares := map[string]quantity.Gram{}
	var whole quantity.Gram
	for _, n := range roots {
		if s.nodes[n].kind == RunNode || s.nodes[n].kind == MaterialNode {
			continue
		}
		made := s.graph.Made(n)
		whole += made
		s.addNames(shares, n, made)
	}
	var all []WouldBe
	for _, f := range p.Fact.Figures {
		w := WouldBe{Of: f.Of, Printed: f.Value}
		m, ok := shares[fold(f.Of)]
		if whole > 0 && ok {
			w.Known = true
			w.Now = quantity.Percent(100 * float64(m) / float64(whole))
			w.Differs = diff(float64(w.Now), f.Value)
		} else {
			w.Differs = f.Value.Mantissa != 0
		}
		all = append(all, w)
	}
	return all
}

// diff reports whether v rounds to another figure than the one printed.
func diff(v float64, printed quantity.Figure) bool {
	scale := 1.0
	for range printed.Decimals {
		scale *= 10
	}
	d := v*scale - float64(printed.Mantissa)
	return d > 0.5 || d < -0.5
}

// addNames adds the grams of a content under every name that a paper may use: its
// countries, sites, kinds, lots, and the contents that it was made of.
func (s *State) addNames(sums map[string]quantity.Gram, n trace.Node, made quantity.Gram) {
	for _, p := range s.graph.Parts(n) {
		o := s.origins[p.Origin]
		names := []string{fold(o.Country), fold(string(s.things[o.Site].code)), fold(o.Honey), fold(string(s.things[o.Of].code))}
		slices.Sort(names)
		for _, name := range slices.Compact(names) {
			if name != "" {
				sums[name] += p.Made
			}
		}
	}
	for _, x := range s.graph.MadeOf(n, made) {
		name := fold(string(s.NodeCode(x.Node)))
		if k := s.nodes[x.Node].kind; k == ContentNode && !s.isOrigin(name) {
			sums[name] += x.Grams
		}
	}
}

// isOrigin reports whether a name stands for an origin: opening stock is both an
// origin and a content.
func (s *State) isOrigin(name string) bool {
	t, ok := s.Find(record.Code(name))
	return ok && slices.ContainsFunc(s.origins, func(o Origin) bool { return o.Of == t })
}

func fold(name string) string { return record.Code(name).Fold() }

// A Changed is a content that is not as it was: after a late fact or a correction.
type Changed struct {
	Code        string
	Kind        NodeKind
	Was, Now    quantity.Gram
	SharesMoved bool
	HoldsMore   []On // holds that are on it now and were not
	HoldsLess   []On
	WasThere    bool
	IsThere     bool
}

// Compare lists every content that differs between two states of one house: in
// grams, in shares of its origins, or in its holds. now decides the order.
func Compare(was, now *State) []Changed {
	a, b := was.fingerprints(), now.fingerprints()
	var all []Changed
	for _, key := range mergeKeys(a, b) {
		x, inA := a[key]
		y, inB := b[key]
		c := Changed{Code: key, WasThere: inA, IsThere: inB, Was: x.grams, Now: y.grams, Kind: cmp.Or(y.kind, x.kind),
			SharesMoved: inA && inB && !slices.Equal(x.parts, y.parts)}
		for _, on := range y.holds {
			if !slices.Contains(x.holds, on) {
				c.HoldsMore = append(c.HoldsMore, on)
			}
		}
		for _, on := range x.holds {
			if !slices.Contains(y.holds, on) {
				c.HoldsLess = append(c.HoldsLess, on)
			}
		}
		if inA != inB || c.Was != c.Now || c.SharesMoved || len(c.HoldsMore)+len(c.HoldsLess) > 0 {
			all = append(all, c)
		}
	}
	return all
}

type fingerprint struct {
	kind  NodeKind
	grams quantity.Gram
	parts []namedPart
	holds []On
}

type namedPart struct {
	origin string
	grams  quantity.Gram
}

// fingerprints names each content in a way that folding in another order keeps.
func (s *State) fingerprints() map[string]fingerprint {
	held := s.Held()
	all := map[string]fingerprint{}
	for n := trace.Node(1); int(n) < len(s.nodes); n++ {
		i := &s.nodes[n]
		if i.kind == RunNode || i.kind == SiteNode || i.kind == MaterialNode {
			continue
		}
		name := string(s.NodeCode(n))
		switch {
		case i.kind == SentNode && s.texts[n] != "":
			name += " " + s.texts[n]
		case i.kind.Account() || i.kind == RetainedNode:
			name += " " + [...]string{CombsOutNode: "wet combs", LossNode: "lost", GapNode: "gap", DifferenceNode: "stock check",
				DestroyedNode: "thrown away", RetainedNode: "retained", SentNode: "sent"}[i.kind]
		}
		f := all[name]
		f.kind = i.kind
		f.grams += s.graph.Left(n)
		for _, p := range s.graph.Parts(n) {
			if p.Made != 0 {
				f.parts = append(f.parts, namedPart{string(s.things[s.origins[p.Origin].Of].code), p.Made})
			}
		}
		f.holds = append(f.holds, held[n]...)
		all[name] = f
	}
	return all
}

func mergeKeys(a, b map[string]fingerprint) []string {
	var keys []string
	for k := range a {
		keys = append(keys, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys
}
