package house

import (
	"math"
	"slices"

	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Booking is one line of a balance.
type Booking struct {
	Key   string // of package words: "balance.wax"
	Grams quantity.Gram
	Of    []record.Code // the vessels, drums or customers behind it
}

// A Balance is what came in, what went out, and what is between. In less Out is Gap,
// always: nothing is spread.
type Balance struct {
	Of      record.Code
	In      []Booking
	Out     []Booking
	Gap     quantity.Gram      // not explained; below zero when more was found than came in
	Reason  string             // what somebody wrote about the gap
	Doubt   quantity.Uncertain // of the gap, from the scales; unknown when a scale is not known
	Drums   int                // of a lot: how many fillings were weighed off
	Base    quantity.Gram      // what the house's rule takes its per cent of
	Open    bool               // still in work: the gap may close by itself
	Missing []string           // keys: what was not weighed, so that the gap says nothing
}

// GapPercent is the gap as a share of the base.
func (b *Balance) GapPercent() quantity.Percent {
	if b.Base == 0 {
		return 0
	}
	return quantity.Percent(100 * float64(b.Gap) / float64(b.Base))
}

func (b *Balance) in(key string, m quantity.Gram, of ...record.Code)  { book(&b.In, key, m, of) }
func (b *Balance) out(key string, m quantity.Gram, of ...record.Code) { book(&b.Out, key, m, of) }

func book(to *[]Booking, key string, m quantity.Gram, of []record.Code) {
	for i := range *to {
		if (*to)[i].Key == key {
			(*to)[i].Grams += m
			for _, c := range of {
				if c != "" && !slices.Contains((*to)[i].Of, c) {
					(*to)[i].Of = append((*to)[i].Of, c)
				}
			}
			return
		}
	}
	if m != 0 {
		of = slices.DeleteFunc(of, func(c record.Code) bool { return c == "" })
		*to = append(*to, Booking{key, m, of})
	}
}

// close makes the gap what in has more than out.
func (b *Balance) close() {
	b.Gap = 0
	for _, x := range b.In {
		b.Gap += x.Grams
	}
	for _, x := range b.Out {
		b.Gap -= x.Grams
	}
}

// LotBalance is the account of a lot: weighed in, weighed out wet, and everything
// that was weighed off it, through the tanks that it ran into.
func (s *State) LotBalance(t Thing) (Balance, bool) {
	l := s.lots[t]
	if l == nil {
		return Balance{}, false
	}
	b := Balance{Of: s.things[t].code, Open: !l.Closed, Reason: l.Reason, Base: l.GrossIn - l.WetOut}
	b.in("balance.gross-in", l.GrossIn)
	drums := 0
	s.weighedOff(s.things[t].node, 1, 1, &b, &drums)
	b.close()
	if l.GrossIn == 0 {
		b.Missing = append(b.Missing, "missing.gross-in")
	}
	if l.StacksOut == 0 {
		b.Missing = append(b.Missing, "missing.wet-out")
	}
	if l.Side == record.BeforeHotRoom || l.TwoSides {
		b.Missing = append(b.Missing, "missing.before-hot-room")
	}
	if l.BoxesWet != 0 && l.BoxesWet != l.BoxesIn {
		b.Missing = append(b.Missing, "missing.boxes")
	}
	b.Drums, b.Doubt = drums, s.gapDoubt(l, drums, b.Gap)
	return b, true
}

// weighedOff books what left n. num/den is the part of n that is the lot's.
func (s *State) weighedOff(n trace.Node, num, den quantity.Gram, b *Balance, drums *int) {
	for _, x := range s.graph.Next(n, trace.Forward) {
		if !x.Share || x.Grams == 0 {
			continue
		}
		i := &s.nodes[x.Node]
		m := quantity.Gram(part(int64(x.Grams), int64(num), int64(den)))
		switch {
		case i.kind == CombsOutNode:
			b.out("balance.wet-out", m)
		case i.kind == WaxNode:
			b.out("balance.wax", m, s.NodeCode(x.Node))
		case i.kind == SampleNode:
			b.out("balance.samples", m)
		case i.kind == GapNode: // booked with its reason: still the gap
		case i.kind == LossNode:
			b.out("balance.lost", m)
		case i.kind == DestroyedNode:
			b.out("balance.thrown-away", m)
		case i.kind == DifferenceNode: // a stock check of what is in process says nothing new
		case i.by == record.KindMelterHoneyDrawn:
			b.out("balance.melter-honey", m, s.things[i.vessel].code)
		case i.by == record.KindSkimmed:
			b.out("balance.skim", m, s.things[i.vessel].code)
		case i.kind == ContentNode && i.fed:
			s.throughTank(x.Node, x.Grams, m, b, drums)
		default:
			*drums++
			b.out("balance.clean", m, s.NodeCode(x.Node))
		}
	}
}

// throughTank books what left a tank that lots run into, in the lot's part of it.
// What ran in and is still there is the lot's too.
func (s *State) throughTank(n trace.Node, ran, mine quantity.Gram, b *Balance, drums *int) {
	made := s.graph.Made(n)
	if made == 0 {
		return
	}
	s.weighedOff(n, mine, made, b, drums)
	if left := s.graph.Left(n); left != 0 {
		b.out("balance.in-tank", quantity.Gram(part(int64(left), int64(mine), int64(made))), s.NodeCode(n))
	}
}

// gapDoubt is what the scales can do to a lot's gap. Each weighing has half the
// scale's division as its own standard uncertainty, and each scale one steady error
// of the same size that all its weighings share: in less out takes most of it away.
func (s *State) gapDoubt(l *Lot, drums int, gap quantity.Gram) quantity.Uncertain {
	sum := quantity.Exactly(float64(gap))
	for _, w := range []struct {
		scale Thing
		times int
		sign  float64
	}{{l.ScaleIn, l.StacksIn, 1}, {l.ScaleOut, l.StacksOut, -1}, {l.ScaleOut, drums, -1}} {
		if w.times == 0 {
			continue
		}
		half, ok := s.halfDivision(w.scale)
		if !ok {
			return quantity.Unknown()
		}
		n := float64(w.times) // each its own doubt, and one that all of them share
		all := quantity.Uncertain{Own: half * math.Sqrt(n)}.WithShare("scale "+string(s.things[w.scale].code), w.sign*half*n)
		sum = quantity.Add(sum, all)
	}
	return sum
}

// halfDivision is half a scale's division in grams.
func (s *State) halfDivision(scale Thing) (float64, bool) {
	if scale == 0 {
		return 0, false
	}
	f, ok := s.things[scale].named.(*record.InstrumentNamed)
	if !ok || !f.Division.Given() {
		return 0, false
	}
	mg, err := f.Division.Milligrams()
	return float64(mg) / 2000, err == nil
}

// RunBalance is the account of a run: what fed it, and what became of that.
func (s *State) RunBalance(t Thing) (Balance, bool) {
	r := s.runs[t]
	if r == nil {
		return Balance{}, false
	}
	b := Balance{Of: s.things[t].code, Open: !r.Ended, Reason: r.Reason}
	seen := map[trace.Node]bool{}
	for _, n := range r.Fed {
		if seen[n] {
			continue
		}
		seen[n] = true
		for _, x := range s.graph.Next(n, trace.Back) {
			if x.Share && x.Grams != 0 {
				s.runIn(&b, x)
			}
		}
		s.runOut(&b, t, n)
	}
	for _, mark := range r.Batches { // products with honey in them draw from pails
		if n := s.things[mark].node; n != 0 && s.nodes[n].by == record.KindBatchMade {
			b.in("balance.into-products", s.graph.Made(n))
			b.out("balance.products", s.graph.Made(n), s.things[mark].code)
		}
	}
	for _, x := range b.In {
		b.Base += x.Grams
	}
	b.close()
	b.Doubt = quantity.Unknown()
	if len(b.In) == 0 {
		b.Missing = append(b.Missing, "missing.run-in")
	}
	return b, true
}

// runIn books a source of what fed a run; a mix of several tanks by what was tipped.
func (s *State) runIn(b *Balance, x trace.Neighbour) {
	i := &s.nodes[x.Node]
	if i.kind == ContentNode && (i.by == record.KindHoneyMoved || i.by == record.KindMixed || i.by == record.KindSeeded) {
		if made := s.graph.Made(x.Node); made == x.Grams { // poured whole: show what it was made of
			for _, y := range s.graph.Next(x.Node, trace.Back) {
				if y.Share && y.Grams != 0 {
					s.runIn(b, y)
				}
			}
			return
		}
	}
	b.in("balance.tipped", x.Grams, s.NodeCode(x.Node))
}

func (s *State) runOut(b *Balance, run Thing, n trace.Node) {
	for _, x := range s.graph.Next(n, trace.Forward) {
		if !x.Share || x.Grams == 0 {
			continue
		}
		i := &s.nodes[x.Node]
		code := s.NodeCode(x.Node)
		switch i.kind {
		case BatchNode:
			if i.also == run {
				b.out("balance.filled", x.Grams, code)
			} else {
				b.out("balance.other-run", x.Grams, code)
			}
		case LossNode:
			b.out("balance.lost", x.Grams)
		case SampleNode:
			b.out("balance.samples", x.Grams)
		case DestroyedNode:
			b.out("balance.thrown-away", x.Grams)
		case DifferenceNode: // found by a stock check: the gap
		default:
			b.out("balance.remainder", x.Grams, code)
		}
	}
}

// SeasonBalance adds up everything that ever came into the house and where it is.
// The origins decide the season: own lots by pull day, deliveries and opening stock.
func (s *State) SeasonBalance() Balance {
	b := Balance{Doubt: quantity.Unknown()}
	held := s.Held()
	for o := 1; o < len(s.origins); o++ {
		of := s.origins[o].Of
		switch s.things[of].kind {
		case record.Lot:
			b.in("balance.boxes-in", s.lots[of].GrossIn)
		case record.Delivery:
			b.in("balance.bought-in", s.graph.Made(s.things[of].node), s.things[of].code)
		default:
			b.in("balance.opening", s.openedWith(of), s.things[of].code)
		}
	}
	for n := 1; n < len(s.nodes); n++ {
		if m := s.graph.Left(trace.Node(n)); m != 0 {
			key, of := s.endsAs(trace.Node(n), held)
			if key != "" {
				b.out(key, m, of)
			}
		}
	}
	for _, x := range b.In {
		b.Base += x.Grams
	}
	b.close()
	return b
}

func (s *State) openedWith(t Thing) quantity.Gram {
	if f, ok := s.things[t].named.(*record.StockOpened); ok {
		return f.Mass.Grams()
	}
	return 0
}

// endsAs says under which line of the season's balance a content stands; none for
// the gaps, which the balance shows as what is missing.
func (s *State) endsAs(n trace.Node, held Held) (key string, of record.Code) {
	i := &s.nodes[n]
	switch i.kind {
	case LotNode, GapNode, DifferenceNode:
		return "", ""
	case CombsOutNode:
		return "balance.wet-out", ""
	case WaxNode:
		return "balance.wax", s.NodeCode(n)
	case SampleNode:
		return "balance.samples", ""
	case LossNode:
		return "balance.lost", ""
	case DestroyedNode:
		return "balance.thrown-away", ""
	case RetainedNode:
		return "balance.retained", ""
	case DeliveryNode:
		return "balance.on-dock", s.NodeCode(n)
	case SentNode:
		return s.sentAs(n), s.NodeCode(n)
	case BatchNode:
		if i.by == record.KindBatchMade {
			return "balance.products", s.NodeCode(n)
		}
		if held.Blocked(n) {
			return "balance.goods-on-hold", s.NodeCode(n)
		}
		return "balance.goods", s.NodeCode(n)
	}
	switch {
	case held.Blocked(n):
		return "balance.on-hold", s.NodeCode(n)
	case i.purpose == record.CookingGrade || i.purpose == record.SkimHoney:
		return "balance.cooking", s.NodeCode(n)
	case i.purpose == record.Heel || !s.inDrum(i.vessel):
		return "balance.remainders", s.NodeCode(n)
	}
	return "balance.free", s.NodeCode(n)
}

func (s *State) inDrum(vessel Thing) bool {
	if vessel == 0 {
		return true
	}
	f, ok := s.things[vessel].named.(*record.VesselNamed)
	return ok && (f.Shape == record.Drum || f.Shape == record.Tote || f.Shape == record.Tank)
}

// sentAs tells packed goods from drums and products among what was sent.
func (s *State) sentAs(n trace.Node) string {
	for _, x := range s.graph.Next(n, trace.Back) {
		switch i := &s.nodes[x.Node]; {
		case i.kind == BatchNode && i.by == record.KindBatchMade:
			return "balance.products"
		case i.kind == BatchNode:
			return "balance.goods-sent"
		case i.purpose == record.CookingGrade || i.purpose == record.SkimHoney:
			return "balance.cooking-sent"
		}
	}
	return "balance.drums-sent"
}
