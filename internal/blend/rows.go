package blend

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
	"combline/internal/quantity"
)

func (b *built) addAmount(place int) {
	m, x := &b.model, b.batch(place)
	b.short, b.over = append(b.short, -1), append(b.over, -1)
	mass := b.terms(place, one)
	if b.a.extra != nil && b.a.extra.batch == place {
		b.more = m.AddColumn(linear.Column{High: kg(mostGrams)})
		mass = append(mass, linear.Term{Column: b.more, Value: 1})
	}
	tank := math.Inf(1)
	if x.Tank > 0 && b.asked(place, AskTank, 0) {
		tank = kg(x.Tank)
	}
	if !b.asked(place, AskGrams, 0) {
		row := linear.Row{Low: min(1, kg(x.Grams)), High: tank}
		if r := b.a.reach; r.place == place && r.d.Kind == AskGrams { // the nearest on this side
			if r.up {
				row.High = min(tank, kg(x.Grams+x.Over))
			} else {
				row.Low = max(row.Low, kg(x.Grams-x.Under))
			}
		}
		if row.Low > row.High { // the tank takes less
			row.Low = row.High
		}
		m.AddRow(row, mass...)
		return
	}
	short, over := kg(x.Under), kg(x.Over)
	if b.t.p.Prices.ShortKg > 0 {
		short = kg(x.Grams)
	}
	if tank >= kg(x.Grams) {
		over = min(over, tank-kg(x.Grams))
	} else {
		m.AddRow(linear.Row{Low: math.Inf(-1), High: tank}, mass...)
	}
	b.short[place] = m.AddColumn(linear.Column{High: short})
	b.over[place] = m.AddColumn(linear.Column{High: over})
	mass = append(mass, linear.Term{Column: b.short[place], Value: 1}, linear.Term{Column: b.over[place], Value: -1})
	m.AddRow(linear.Row{Low: kg(x.Grams), High: kg(x.Grams)}, mass...)
}

// addContents keeps to the most contents, and apart what must not meet.
func (b *built) addContents(place int) {
	m, x := &b.model, b.batch(place)
	if x.Most > 0 && b.asked(place, AskContents, 0) {
		var used []linear.Term
		for _, i := range b.of[place] {
			used = append(used, linear.Term{Column: b.pairs[i].y, Value: 1})
		}
		m.AddRow(linear.Row{Low: math.Inf(-1), High: float64(x.Most)}, used...)
	}
	for k, apart := range x.Apart {
		if !b.asked(place, AskApart, k) {
			continue
		}
		for _, one := range b.named(place, apart.One) {
			for _, other := range b.named(place, apart.Other) {
				if one != other {
					m.AddRow(linear.Row{Low: math.Inf(-1), High: 1}, linear.Term{Column: one, Value: 1}, linear.Term{Column: other, Value: 1})
				}
			}
		}
	}
}

// named gives the columns "used" of named contents in a batch.
func (b *built) named(place int, names []string) (columns []int) {
	for _, i := range b.of[place] {
		if p := b.pairs[i]; slices.Contains(names, b.t.content(p.group).Name) {
			columns = append(columns, p.y)
		}
	}
	return columns
}

func (b *built) addShares(place int) {
	x := b.batch(place)
	add := func(by Dimension, name string, least, most quantity.Percent) {
		part := func(bound quantity.Percent) []linear.Term {
			terms := b.terms(place, func(k int) float64 {
				return b.t.content(b.pairs[b.of[place][k]].group).Parts[by].fraction(name) - float64(bound)/100
			})
			if b.more >= 0 && b.a.extra.batch == place {
				terms = append(terms, linear.Term{Column: b.more, Value: b.a.extra.like.Parts[by].fraction(name) - float64(bound)/100})
			}
			return terms
		}
		fine := quantity.Percent(100 * b.fine(place))
		if least == most || least == 100 || most == 0 { // to the gram; all of it or none: rounding moves nothing
			fine = 0
		}
		if least > 0 {
			b.model.AddRow(linear.Row{High: math.Inf(1)}, part(least+fine)...)
		}
		if most < 100 {
			b.model.AddRow(linear.Row{Low: math.Inf(-1)}, part(most-fine)...)
		}
	}
	for i, s := range x.Shares {
		if b.asked(place, AskShare, i) {
			add(s.By, s.Name, s.Least, s.Most)
		}
	}
	for i, c := range x.Label {
		if b.asked(place, AskLabel, i) {
			least, most := claimBand(c.Percent)
			add(ByCountry, c.Country, least, most)
		}
	}
}

func (b *built) addUses(place int) {
	for i, u := range b.batch(place).Use {
		if !b.asked(place, AskUse, i) {
			continue
		}
		terms := b.terms(place, func(k int) float64 {
			if b.t.content(b.pairs[b.of[place][k]].group).Name == u.Content {
				return 1
			}
			return 0
		})
		b.model.AddRow(linear.Row{Low: kg(u.Grams), High: math.Inf(1)}, terms...)
	}
}

// addStock keeps to what is there of each group.
func (b *built) addStock() {
	order := make([]int, len(b.pairs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(b.pairs[i].group, b.pairs[j].group) })
	for len(order) > 0 {
		g, n := b.pairs[order[0]].group, 1
		for n < len(order) && b.pairs[order[n]].group == g {
			n++
		}
		b.stockRow(g, order[:n])
		order = order[n:]
	}
}

// moving counts the pairs whose weight is being rounded.
func (b *built) moving(pairs []int) (n int) {
	for _, i := range pairs {
		if b.a.fine != nil && b.a.fine[b.pairs[i].batch] > 0 {
			n++
		}
	}
	return n
}

func (b *built) stockRow(g int, pairs []int) {
	there := b.t.groups[g].count
	if n := b.moving(pairs); n > 1 && b.t.groups[g].drum == 0 {
		there -= float64(n) * gramKg
	}
	var terms []linear.Term
	for _, i := range pairs {
		p := b.pairs[i]
		terms = append(terms, linear.Term{Column: p.n, Value: p.unit / b.t.groups[g].unit})
		if p.open >= 0 {
			terms = append(terms, linear.Term{Column: p.open, Value: 1})
		}
	}
	if len(terms) == 1 && b.pairs[pairs[0]].most <= there {
		return // the column's own bound says it
	}
	b.model.AddRow(linear.Row{Low: math.Inf(-1), High: there}, terms...)
}
