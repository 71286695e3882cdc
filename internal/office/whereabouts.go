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

// A Heap is grams that came from, or are now at, one place.
type Heap struct {
	Name  answer.Cell // site or supplier; customer; or a word for what became of it
	Also  answer.Cell // lot; nil
	Kind  string      // of what became of it: sent, here, packed, or a kind of account
	Grams quantity.Gram
	Units int64
	Read  bool
	Color Colour
	Held  bool
}

// A Whereabouts is what something was made of and where all of it is now.
type Whereabouts struct {
	Of    record.Code
	Whole quantity.Gram // what it was made with
	From  []Heap
	Now   []Heap
	Color Colour
	Read  bool
}

// Found is how much of the whole is accounted for; the rest is parts of grams that
// were rounded on the way.
func (w *Whereabouts) Found() (sum quantity.Gram) {
	for _, h := range w.Now {
		sum += h.Grams
	}
	return sum
}

// Whereabouts answers where a thing's honey came from and where it is now. A share of
// a content that was drawn from later is a share of every draw.
func (v *View) Whereabouts(code record.Code) Whereabouts {
	w := Whereabouts{Of: v.properCode(code)}
	var from, now heaps
	held := v.held()
	for _, n := range v.honeyRoots(code) {
		g := v.State.Graph()
		w.Whole += g.Made(n)
		if !w.Read {
			w.Color, w.Read = v.Colour(n)
		}
		for _, p := range g.Parts(n) {
			from.add(v.originHeap(p))
		}
		v.whereIs(&now, held, n, g.Left(n))
		for _, x := range g.WentInto(n) {
			if made := g.Made(x.Node); made != 0 && x.Node != n {
				part := quantity.Gram(int64(float64(x.Grams)*float64(g.Left(x.Node))/float64(made) + 0.5))
				v.whereIs(&now, held, x.Node, part)
			}
		}
	}
	w.From, w.Now = from.list(), now.list()
	return w
}

// honeyRoots are the contents that a code stands for and that hold grams: of a site
// its lots.
func (v *View) honeyRoots(code record.Code) (all []trace.Node) {
	if t, ok := v.State.Find(code); ok && v.State.KindOf(t) == record.Site {
		for _, lot := range v.State.OfKind(record.Lot) {
			l, ok := v.State.Lot(lot)
			if ok && l.Opened.Site.Fold() == code.Fold() {
				all = append(all, v.State.RootsOf(v.State.Code(lot))...)
			}
		}
		return all
	}
	for _, n := range v.State.RootsOf(code) {
		if v.State.Graph().Made(n) > 0 {
			all = append(all, n)
		}
	}
	if t, ok := v.State.Find(code); ok && v.State.KindOf(t) == record.Run {
		return v.first(all)
	}
	return all
}

// first leaves out what was made of another of the contents of a run: jars that came back
// are no more of it.
func (v *View) first(all []trace.Node) []trace.Node {
	made := map[trace.Node]bool{}
	for _, n := range all {
		for _, x := range v.State.Graph().WentInto(n) {
			if x.Node != n {
				made[x.Node] = true
			}
		}
	}
	return slices.DeleteFunc(all, func(n trace.Node) bool { return made[n] })
}

func (v *View) originHeap(p trace.Part) Heap {
	o := v.State.OriginOf(p.Origin)
	h := Heap{Name: textOrNil(string(v.State.Code(o.Site))), Also: orNil(v.State.Code(o.Of)), Grams: p.Made}
	if o.Site == 0 {
		h.Name, h.Also = orNil(v.State.Code(o.Of)), nil
	}
	if roots := v.State.RootsOf(v.State.Code(o.Of)); len(roots) == 1 {
		h.Color, h.Read = v.Colour(roots[0])
	}
	return h
}

// whereIs books grams to where they are now.
func (v *View) whereIs(now *heaps, held house.Held, n trace.Node, m quantity.Gram) {
	if m == 0 {
		return
	}
	k := v.State.NodeKind(n)
	h := Heap{Name: answer.Key("node." + k.String()), Kind: k.String(), Grams: m}
	h.Color, h.Read = v.Colour(n)
	switch k {
	case house.SentNode:
		to := v.State.SentTo(n)
		h.Name, h.Kind, h.Units = orNil(to.Customer), "sent", to.Units
	case house.ContentNode, house.LotNode:
		h.Name, h.Kind, h.Held = answer.Key("page.where.here"), "here", held.Blocked(n)
	case house.BatchNode:
		h.Name, h.Kind, h.Held = answer.Key("page.where.packed"), "packed", held.Blocked(n)
		h.Units = v.State.Content(n).Units
	}
	now.add(h)
}

// heaps adds up what bears one name.
type heaps []Heap

func (all *heaps) add(h Heap) {
	for i := range *all {
		if x := &(*all)[i]; x.Name == h.Name && x.Also == h.Also && x.Kind == h.Kind {
			x.Grams += h.Grams
			x.Units += h.Units
			x.Held = x.Held || h.Held
			return
		}
	}
	*all = append(*all, h)
}

// list is the heaps, sent goods first, then the largest.
func (all heaps) list() []Heap {
	slices.SortStableFunc(all, func(a, b Heap) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(b.Grams, a.Grams))
	})
	return all
}

func rank(h Heap) int {
	switch h.Kind {
	case "sent", "":
		return 0
	case "here", "packed":
		return 1
	}
	return 2
}
