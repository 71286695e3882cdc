package blend

import (
	"math"

	"combline/internal/linear"
)

// A reach asks how far one thing can go while the others hold: what is asked of it is
// off, and it is the aim.
type reach struct {
	d     Demand
	place int
	key   rowKey // of a limit's term
	term  Term   // with the bound that is tried
	up    bool   // as high as possible; otherwise as low
	at    float64
}

// noRow is the key of a reach that is no limit's.
var noRow = rowKey{batch: -1}

// addReach adds what a reach needs: a column that is how far the term is from the
// bound tried, or the smallest parcel.
func (b *built) addReach(place int) {
	r := b.a.reach
	if r.place != place {
		return
	}
	switch r.d.Kind {
	case AskLimit:
		b.target = b.model.AddColumn(linear.Column{Low: math.Inf(-1), High: math.Inf(1)})
		b.addRow(r.key, b.row(place, r.term), place, -1)
		for k, term := range b.batch(place).Limits[r.d.Index].Ways[r.key.way] {
			key := r.key
			if key.term = k; key != r.key { // the rest of the same way holds
				b.addRow(key, b.row(place, term), place, -1)
			}
		}
	case AskParcel:
		b.target = b.model.AddColumn(linear.Column{High: b.roomiest(place)})
		for _, i := range b.of[place] {
			b.addParcel(i, b.roomiest(place))
		}
	}
}

func (b *built) roomiest(place int) (most float64) {
	for _, i := range b.of[place] {
		most = max(most, b.pairs[i].most*b.pairs[i].unit)
	}
	return most
}

// addParcel bounds the smallest parcel by a pair that is used.
func (b *built) addParcel(i int, room float64) {
	p := b.pairs[i]
	if p.y < 0 {
		return
	}
	if p.whole && len(b.t.groups[p.group].members) > 1 {
		b.addDrumParcels(p, room)
		return
	}
	terms := []linear.Term{{Column: b.target, Value: 1}, {Column: p.n, Value: -p.unit}}
	if p.part >= 0 {
		terms = append(terms, linear.Term{Column: p.part, Value: -1})
	}
	terms = append(terms, linear.Term{Column: p.y, Value: room})
	b.model.AddRow(linear.Row{Low: math.Inf(-1), High: room}, terms...)
}

// addDrumParcels bounds the smallest parcel by single drums, each a parcel of its own,
// and by the one that is opened.
func (b *built) addDrumParcels(p pair, room float64) {
	any := b.model.AddColumn(linear.Column{High: 1, Whole: true})
	b.model.AddRow(linear.Row{Low: math.Inf(-1)}, linear.Term{Column: p.n, Value: 1}, linear.Term{Column: any, Value: -p.most})
	b.model.AddRow(linear.Row{Low: math.Inf(-1), High: room + p.unit}, linear.Term{Column: b.target, Value: 1}, linear.Term{Column: any, Value: room})
	if p.part >= 0 {
		b.model.AddRow(linear.Row{Low: math.Inf(-1), High: room}, linear.Term{Column: b.target, Value: 1},
			linear.Term{Column: p.part, Value: -1}, linear.Term{Column: p.open, Value: room})
	}
}

// setReach makes the reach the aim.
func (b *built) setReach() {
	r, sign := b.a.reach, 1.0
	if r.up {
		sign = -1
	}
	for _, i := range b.of[r.place] {
		p := b.pairs[i]
		perKg := sign * b.reachPerKg(p)
		b.model.Columns[p.n].Cost = perKg * p.unit
		if p.part >= 0 {
			b.model.Columns[p.part].Cost = perKg
		}
		if r.d.Kind == AskContents && p.y >= 0 {
			b.model.Columns[p.y].Cost += 1
		}
	}
	if b.target >= 0 {
		b.model.Columns[b.target].Cost = sign
	}
}

func (b *built) reachPerKg(p pair) float64 {
	r, c, x := b.a.reach, b.t.content(p.group), b.batch(p.batch)
	switch r.d.Kind {
	case AskGrams, AskTank:
		return 1
	case AskShare:
		s := x.Shares[r.d.Index]
		return c.Parts[s.By].fraction(s.Name) - r.at
	case AskLabel:
		return c.Parts[ByCountry].fraction(x.Label[r.d.Index].Country) - r.at
	case AskUse:
		if c.Name == x.Use[r.d.Index].Content {
			return 1
		}
	}
	return 0
}
