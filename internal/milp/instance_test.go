package milp

import (
	"fmt"
	"math"
	"math/rand/v2"

	"combline/internal/linear"
)

// Instances of the reference model of a blend: lots of drums or tanks, orders with
// limits, cost, age and handling. Their figures follow the statistics of the four
// reference instances; an order's limits lie around a mix of a few lots, so that most
// orders can be met, and stock is 7 to 35 times what is ordered.

type lot struct {
	tank                           bool
	flora                          int
	organic                        bool
	age                            float64
	moist, pfund, hmf, diast, cond float64
	cost, unit, count, least       float64
	floraShare, countryShare       [6]float64
}

type order struct {
	mono, organic                   bool
	main                            int
	qty, tank, over                 float64
	k                               int
	moist, pfundLow, pfundHigh, hmf float64
	diast, condLow, condHigh        float64 // NaN: no limit
	flora, tolerance                float64
	country                         [6]float64
	stated                          bool
}

// What a flora is like: acacia, linden, rape, sunflower, chestnut, forest.
var floras = [6]struct{ pfund, spread, diast, cond, cost, share float64 }{
	{27, 7, 9, 0.3, 6.3, 0.25}, {42, 8, 16, 0.5, 5.6, 0.1}, {33, 6, 20, 0.35, 3.6, 0.25},
	{58, 9, 17, 0.42, 3.2, 0.2}, {80, 13, 23, 0.95, 6.7, 0.1}, {80, 12, 24, 0.85, 6.5, 0.1},
}

func oneOf[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func digits(x float64, n int) float64 {
	p := math.Pow(10, float64(n))
	return math.Round(x*p) / p
}

func newLot(r *rand.Rand) lot {
	x := r.Float64()
	f := 0
	for x > floras[f].share && f < 5 {
		x -= floras[f].share
		f++
	}
	l := lot{flora: f, organic: r.Float64() < 0.18, tank: r.Float64() < 0.25, age: math.Floor(between(r, 15, 690))}
	k := floras[f]
	l.moist = digits(min(19.5, max(15.7, 17.8+0.9*r.NormFloat64())), 2)
	l.pfund = digits(max(15, k.pfund+k.spread*r.NormFloat64()), 1)
	l.hmf = digits(max(2, 5+l.age*between(r, 0.015, 0.055)+2*r.NormFloat64()), 1)
	l.diast = digits(max(4, k.diast+4*r.NormFloat64()), 1)
	l.cond = digits(max(0.12, k.cond*(1+0.2*r.NormFloat64())), 3)
	l.cost = digits(k.cost*(1+0.1*r.NormFloat64()), 3)
	if l.organic {
		l.cost = digits(l.cost*1.35, 3)
	}
	l.floraShare = shares(r, f, between(r, 0.45, 0.95), 1+r.IntN(3))
	l.countryShare = shares(r, r.IntN(6), 1, 0)
	if l.tank {
		l.unit, l.count, l.least = 1, math.Floor(between(r, 1500, 12000)), 200
		if r.Float64() < 0.7 {
			l.countryShare = shares(r, r.IntN(6), between(r, 0.3, 0.85), 1)
		}
		return l
	}
	l.unit = oneOf(r, 288.0, 290, 292, 295, 298, 300, 302, 305)
	l.count = oneOf(r, 1.0, 2, 2, 3, 4, 6, 6, 8, 8, 12, 12, 16)
	return l
}

// shares gives the main part its share and the rest to a few others.
func shares(r *rand.Rand, main int, share float64, others int) (s [6]float64) {
	share = digits(share, 2)
	if others == 0 {
		share = 1
	}
	s[main] = share
	rest := 1 - share
	for i := range others {
		part := rest
		if i < others-1 {
			part = rest * r.Float64()
		}
		at := r.IntN(6)
		if at == main {
			at = (at + 1) % 6
		}
		s[at] = digits(s[at]+part, 4)
		rest -= part
	}
	return s
}

func newOrder(r *rand.Rand, lots []lot) order {
	o := order{over: 0.04, k: oneOf(r, 4, 4, 5, 6, 8), organic: r.Float64() < 0.2, mono: r.Float64() < 0.3}
	o.qty = oneOf(r, 1200.0, 1500, 2000, 2400, 3000, 3000, 4000, 5000, 6000)
	for _, t := range []float64{1500, 3000, 5000, 6500} {
		if o.tank = t; t >= o.qty*1.05 {
			break
		}
	}
	o.main = oneOf(r, 0, 0, 1, 2, 3, 3, 4)
	var mix []lot
	for tries := 0; len(mix) < 3+r.IntN(3) && tries < 3000; tries++ {
		l := lots[r.IntN(len(lots))]
		if (!o.organic || l.organic) && (!o.mono || l.flora == o.main) && (l.flora < 4 || o.mono || r.IntN(4) == 0) {
			mix = append(mix, l)
		}
	}
	for len(mix) == 0 { // nothing of that kind in the house
		o.mono, o.organic = false, false
		mix = append(mix, lots[r.IntN(len(lots))])
	}
	var sum float64
	var at lot
	for _, l := range mix {
		w := between(r, 0.5, 2)
		sum += w
		at.moist += w * l.moist
		at.pfund += w * l.pfund
		at.hmf += w * l.hmf
		at.diast += w * l.diast
		at.cond += w * l.cond
		for i := range 6 {
			at.floraShare[i] += w * l.floraShare[i]
			at.countryShare[i] += w * l.countryShare[i]
		}
	}
	half := oneOf(r, 4.0, 5, 6, 8, 10)
	o.moist = digits(at.moist/sum+between(r, 0, 0.5), 1)
	o.pfundLow, o.pfundHigh = math.Round(at.pfund/sum-half), math.Round(at.pfund/sum+half)
	o.hmf = math.Ceil(at.hmf/sum + between(r, 0, 4))
	o.diast = max(8, math.Floor(at.diast/sum-between(r, 0, 3)))
	o.condLow, o.condHigh = math.NaN(), 0.8
	if c := at.cond / sum; c > 0.7 {
		o.condHigh = digits(c+0.1, 2)
	}
	if o.mono {
		o.flora = digits(at.floraShare[o.main]/sum-between(r, 0, 0.05), 2)
	}
	if r.Float64() < 0.6 {
		o.stated, o.tolerance = true, oneOf(r, 0.02, 0.03, 0.05)
		for i := range 6 {
			o.country[i] = digits(at.countryShare[i]/sum, 2)
		}
	}
	return o
}

func drawInstance(seed uint64, lots, orders int) ([]lot, []order) {
	r := rand.New(rand.NewPCG(seed, 20261125))
	ls := make([]lot, lots)
	for i := range ls {
		ls[i] = newLot(r)
	}
	os := make([]order, orders)
	for i := range os {
		os[i] = newOrder(r, ls)
	}
	return ls, os
}

// fits says whether a lot may go into an order at all.
func (o *order) fits(l *lot) bool {
	if o.organic && !l.organic || l.hmf > 2*o.hmf || l.moist > o.moist+2 ||
		l.pfund < o.pfundLow-45 || l.pfund > o.pfundHigh+45 || o.mono && l.floraShare[o.main] < o.flora/2 {
		return false
	}
	for i := range 6 {
		if o.stated && l.countryShare[i] > 0 && o.country[i] == 0 {
			return false
		}
	}
	return true
}

const (
	ageCredit, handling, shortage, excess = 0.0004, 15.0, 20.0, 1.0
)

// build makes the model of some orders; left is what is in stock of each lot.
func build(lots []lot, orders []order, which []int, left []float64) (m linear.Model, uses []use) {
	inf := math.Inf(1)
	stock := make([][]linear.Term, len(lots))
	for _, oi := range which {
		o := &orders[oi]
		room := min(o.over*o.qty, o.tank-o.qty)
		s := m.AddColumn(linear.Column{Name: fmt.Sprintf("s%d", oi), Cost: shortage, High: o.qty})
		e := m.AddColumn(linear.Column{Name: fmt.Sprintf("o%d", oi), Cost: excess, High: room})
		rows := map[string][]linear.Term{"mass": {{Column: s, Value: 1}, {Column: e, Value: -1}}}
		var links [][3]linear.Term // x ≤ most·y
		var least [][2]linear.Term
		for li := range lots {
			l := &lots[li]
			most := min(left[li], (o.qty+room)/l.unit)
			if !l.tank {
				most = math.Floor(most + 1e-9)
			}
			if !o.fits(l) || most < 1 || l.tank && most < l.least {
				continue
			}
			c := linear.Column{Name: fmt.Sprintf("x%d_%d", li, oi), Cost: (l.cost - ageCredit*l.age) * l.unit, High: most, Whole: !l.tank}
			if most == 1 {
				c.Cost += handling
			}
			x := m.AddColumn(c)
			y := x
			uses = append(uses, use{x, oi, li, y})
			if most > 1 {
				y = m.AddColumn(linear.Column{Name: fmt.Sprintf("y%d_%d", li, oi), Cost: handling, High: 1, Whole: true})
				uses[len(uses)-1].used = y
				links = append(links, [3]linear.Term{{Column: x, Value: 1}, {Column: y, Value: -most}})
				if l.tank {
					least = append(least, [2]linear.Term{{Column: x, Value: 1}, {Column: y, Value: -l.least}})
				}
			}
			stock[li] = append(stock[li], linear.Term{Column: x, Value: 1})
			add := func(row string, v float64) { rows[row] = append(rows[row], linear.Term{Column: x, Value: v * l.unit}) }
			add("mass", 1)
			rows["k"] = append(rows["k"], linear.Term{Column: y, Value: 1})
			add("moist", l.moist-o.moist)
			add("pfund high", l.pfund-o.pfundHigh)
			add("pfund low", o.pfundLow-l.pfund)
			add("hmf", l.hmf-o.hmf)
			add("diast", o.diast-l.diast)
			add("cond", l.cond-o.condHigh)
			if o.mono {
				add("flora", o.flora-l.floraShare[o.main])
			}
			for i := range 6 {
				if o.stated && o.country[i] > 0 {
					add(fmt.Sprintf("high %d", i), l.countryShare[i]-o.country[i]-o.tolerance)
					add(fmt.Sprintf("low %d", i), o.country[i]-o.tolerance-l.countryShare[i])
				}
			}
		}
		m.AddRow(linear.Row{Name: fmt.Sprintf("mass %d", oi), Low: o.qty, High: o.qty}, rows["mass"]...)
		m.AddRow(linear.Row{Name: fmt.Sprintf("k %d", oi), Low: -inf, High: float64(o.k)}, rows["k"]...)
		for _, name := range limitNames {
			if len(rows[name]) > 0 {
				m.AddRow(linear.Row{Name: fmt.Sprintf("%s %d", name, oi), Low: -inf}, rows[name]...)
			}
		}
		for _, t := range links {
			m.AddRow(linear.Row{Low: -inf}, t[0], t[1])
		}
		for _, t := range least {
			m.AddRow(linear.Row{High: inf}, t[0], t[1])
		}
	}
	for li, terms := range stock {
		if len(terms) > 0 && len(which) > 1 {
			m.AddRow(linear.Row{Name: fmt.Sprintf("stock %d", li), Low: -inf, High: left[li]}, terms...)
		}
	}
	m.Start = make([]float64, len(m.Columns))
	for i, c := range m.Columns {
		if c.Name[0] == 's' {
			m.Start[i] = c.High
		}
	}
	return m, uses
}

var limitNames = []string{"moist", "pfund high", "pfund low", "hmf", "diast", "cond", "flora",
	"high 0", "low 0", "high 1", "low 1", "high 2", "low 2", "high 3", "low 3", "high 4", "low 4", "high 5", "low 5"}

// A use is a column that takes a lot for an order.
type use struct{ column, order, lot, used int }

// stockOf is all that is there of each lot.
func stockOf(lots []lot) []float64 {
	all := make([]float64, len(lots))
	for i := range lots {
		all[i] = lots[i].count
	}
	return all
}
