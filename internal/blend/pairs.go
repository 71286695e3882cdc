package blend

import (
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

// addPairs adds the groups that may go into a batch.
func (b *built) addPairs(place int) {
	j := b.a.batches[place]
	room := b.kgMost(place)
	for g := range b.t.groups {
		c := b.t.content(g)
		if b.t.bar(c, j, b.a.off) != nil || b.unread(c, place) {
			continue
		}
		there := b.t.groups[g].count
		p := pair{group: g, batch: place, unit: b.t.groups[g].unit, whole: c.Drum > 0, y: -1, part: -1, open: -1}
		if p.whole && !b.asked(place, AskWhole, 0) {
			p.whole, there, p.unit = false, there*p.unit, 1
		}
		if p.most = min(there, room/p.unit); p.whole {
			p.most = math.Floor(min(there, room/p.unit) + 1e-9)
		}
		split := p.whole && c.Split && there >= 1
		if p.most <= 0 && !split || p.whole && b.fewest(p) > there/float64(len(b.t.groups[g].members)) {
			continue
		}
		b.of[place] = append(b.of[place], len(b.pairs))
		b.pairs = append(b.pairs, b.columns(p, split, there))
	}
}

// unread reports a content without the reading that a reach is about: how far it would
// take a blend nobody knows.
func (b *built) unread(c *Content, place int) bool {
	r := b.a.reach
	return r.place == place && r.d.Kind == AskLimit && b.t.lacks(c, []Term{r.term}) != nil
}

// columns adds a pair's unknowns and the rows that tie them together.
func (b *built) columns(p pair, split bool, there float64) pair {
	m, c := &b.model, b.t.content(p.group)
	p.n = m.AddColumn(linear.Column{High: p.most, Whole: p.whole})
	if split {
		p.part = m.AddColumn(linear.Column{High: p.unit})
		p.open = m.AddColumn(linear.Column{High: 1, Whole: true})
		m.AddRow(linear.Row{Low: math.Inf(-1)}, linear.Term{Column: p.part, Value: 1}, linear.Term{Column: p.open, Value: -p.unit})
		if least := b.least(p, c.Least); least > 0 {
			m.AddRow(linear.Row{High: math.Inf(1)}, linear.Term{Column: p.part, Value: 1}, linear.Term{Column: p.open, Value: -min(least, p.unit)})
		}
	}
	if !b.counts(p, c) {
		return p
	}
	contents, each := b.contentsOf(p, there)
	if p.whole && !split && (p.most <= 1 || contents > 1) {
		p.y = p.n
		return p
	}
	p.y = m.AddColumn(linear.Column{High: contents, Whole: true})
	link := []linear.Term{{Column: p.n, Value: 1}, {Column: p.y, Value: -min(p.most, each)}}
	if split {
		link = []linear.Term{{Column: p.n, Value: 1}, {Column: p.open, Value: 1}, {Column: p.y, Value: -each}}
	}
	m.AddRow(linear.Row{Low: math.Inf(-1)}, link...)
	if fewest := b.fewest(p); p.whole && !split && fewest > 1 {
		m.AddRow(linear.Row{High: math.Inf(1)}, linear.Term{Column: p.n, Value: 1}, linear.Term{Column: p.y, Value: -fewest})
	}
	if least := b.least(p, c.Least); !p.whole && least > 0 {
		m.AddRow(linear.Row{High: math.Inf(1)}, linear.Term{Column: p.n, Value: 1}, linear.Term{Column: p.y, Value: -least})
	}
	return p
}

// contentsOf gives how many contents a pair stands for, and how much each has in the
// pair's unit.
func (b *built) contentsOf(p pair, there float64) (contents, each float64) {
	contents = float64(len(b.t.groups[p.group].members))
	return contents, there / contents
}

// least is the smallest draw in kg that a pair may have.
func (b *built) least(p pair, own quantity.Gram) float64 {
	x := b.batch(p.batch)
	if b.asked(p.batch, AskParcel, 0) {
		own = max(own, x.Parcel)
	}
	if own > 0 && b.a.fine != nil && b.a.fine[p.batch] > 0 {
		own++
	}
	return kg(own)
}

// fewest is how many drums of a content make the least parcel.
func (b *built) fewest(p pair) float64 {
	if !b.asked(p.batch, AskParcel, 0) {
		return 0
	}
	return math.Ceil(kg(b.batch(p.batch).Parcel)/p.unit - 1e-9)
}

// gramKg is a gram.
const gramKg = 0.001

// counts reports whether it matters that a pair is used at all.
func (b *built) counts(p pair, c *Content) bool {
	x := b.batch(p.batch)
	reaching := b.a.reach.place >= 0 && (b.a.reach.d.Kind == AskContents || b.a.reach.d.Kind == AskParcel)
	return reaching || b.t.p.Prices.Handling > 0 || x.Most > 0 && b.asked(p.batch, AskContents, 0) || b.a.aim == FewContents ||
		slices.ContainsFunc(b.a.kept, func(k kept) bool { return k.aim == FewContents }) ||
		!p.whole && b.least(p, c.Least) > 0 || p.whole && b.fewest(p) > 1 || len(x.Apart) > 0
}

// terms gives each kg of a batch's pairs, times a factor for the pair.
func (b *built) terms(place int, factor func(i int) float64) []linear.Term {
	var out []linear.Term
	for k, i := range b.of[place] {
		p, f := b.pairs[i], factor(k)
		out = append(out, linear.Term{Column: p.n, Value: f * p.unit})
		if p.part >= 0 {
			out = append(out, linear.Term{Column: p.part, Value: f})
		}
	}
	return out
}

func one(int) float64 { return 1 }

// kgs gives the kg of each pair at a point.
func (b *built) kgs(values []float64) []float64 {
	out := make([]float64, len(b.pairs))
	for i, p := range b.pairs {
		if out[i] = values[p.n] * p.unit; p.part >= 0 {
			out[i] += values[p.part]
		}
	}
	return out
}
