package heat

import (
	"math"

	"combline/internal/quantity"
)

// look is a row of the honey as it is now.
func (r *runner) look(hour float64) Row {
	p := r.p
	at := p.g.places()
	c := func(i int) quantity.Celsius { return quantity.Celsius(p.t[i]) }
	row := Row{Hour: hour, Centre: c(at.centre), SideMid: c(at.side), BottomAxis: c(at.bottom), TopAxis: c(at.top), TopRim: c(at.rim),
		Mean: quantity.Celsius(p.g.mean(p.t)), Room: quantity.Celsius(p.room)}
	low, high := p.g.coldest(p.t)
	row.Coldest, row.Hottest = quantity.Celsius(low), quantity.Celsius(high)
	r.harm(&row)
	r.melted(&row, p.t)
	p.bodyOf(p.t)
	now := sum(p.system.heat)
	row.StoredKJ = (now - r.start) / 1000
	row.ClosureKJ = (r.in - (now - r.start)) / 1000
	row.HeaterKWh = r.heater / 3.6e6
	return row
}

// harm sums up what warmth did: means of what is kept, not what the mean would keep.
func (r *runner) harm(row *Row) {
	k, g := r.hist, r.p.g
	var hmf, kept, sugar float64
	for i, v := range g.volume {
		hmf += v * k.hmf[i]
		kept += v * math.Exp(-k.gone[i])
		sugar += v * math.Exp(-k.invert[i])
	}
	row.HMFMean, row.DiastaseMean, row.InvertaseMean = quantity.MgKg(hmf/g.total), kept/g.total, sugar/g.total
	worst := func(x []float64) float64 {
		m := x[0]
		for _, v := range x {
			m = max(m, v)
		}
		return m
	}
	row.HMFWorst = quantity.MgKg(worst(k.hmf))
	row.DiastaseWorst, row.InvertaseWorst = math.Exp(-worst(k.gone)), math.Exp(-worst(k.invert))
	row.YeastLeast = k.yeast[0]
	for _, y := range k.yeast[:g.n] {
		row.YeastLeast = min(row.YeastLeast, y)
	}
}

// melted fills in the liquid shares of a field.
func (r *runner) melted(row *Row, t []float64) {
	g, m := r.p.g, r.c.Melt
	row.LiquidMean, row.MoltenMean = 0, 0
	row.MoltenWorst = 1
	for i, v := range g.volume {
		now := m.Share(quantity.Celsius(t[i]))
		ever := max(r.p.molten[i], now)
		row.LiquidMean += v * now / g.total
		row.MoltenMean += v * ever / g.total
		row.MoltenWorst = min(row.MoltenWorst, ever)
	}
	row.LiquidWorst = m.Share(row.Coldest)
}

// coldest gives the least and the most of a field. Between nodes they are looked
// for along each axis through the node with the least and the most.
func (g *grid) coldest(t []float64) (low, high float64) {
	cold, hot := 0, 0
	for i, x := range t {
		if x < t[cold] {
			cold = i
		}
		if x > t[hot] {
			hot = i
		}
	}
	return t[cold] + g.beyond(cold, t, 1), t[hot] - g.beyond(hot, t, -1)
}

// beyond is how far the field, times a sign, falls below node i beside it.
func (g *grid) beyond(i int, t []float64, sign float64) float64 {
	falls := 0.0
	for a, ax := range g.axes {
		falls += ax.dip(g.place(i, a), func(j int) float64 { return sign * t[i+(j-g.place(i, a))*g.stride[a]] })
	}
	return falls
}

// dip is how far the polynomial through an axis's nodes falls below node i beside it.
func (a *axis) dip(i int, t func(int) float64) float64 {
	least := 0.0
	if a.kind == point || i == 0 && a.low == 0 { // on a mirror or the axis the field is level
		return 0
	}
	const parts = 8
	var room [mostNodes]float64
	w := room[:a.n]
	for k := -parts; k <= parts; k++ {
		j := i + sign(k)
		if j < 0 || j >= a.n || k == 0 {
			continue
		}
		a.weights(a.x[i]+(a.x[j]-a.x[i])*math.Abs(float64(k))/parts, w)
		sum := 0.0
		for l := range w {
			sum += w[l] * t(l)
		}
		least = min(least, sum-t(i))
	}
	return least
}

func sign(k int) int {
	if k < 0 {
		return -1
	}
	return 1
}

// watch notes when a target is first met, to a few seconds, along the step just made.
func (r *runner) watch() {
	for i := range r.met {
		if !math.IsNaN(r.met[i]) || !r.ready(r.c.Watch[i], 1) {
			continue
		}
		low, high := 0.0, 1.0
		for range 30 {
			if middle := (low + high) / 2; r.ready(r.c.Watch[i], middle) {
				high = middle
			} else {
				low = middle
			}
		}
		r.met[i] = (r.stride.from + high*r.stride.h) / 3600
	}
}

func (r *runner) ready(t Target, x float64) bool {
	r.stride.at(x, r.field)
	f := r.field[:r.p.g.n]
	if t.Mean != 0 && r.p.g.mean(f) < float64(t.Mean) {
		return false
	}
	if t.Coldest != 0 {
		if low, _ := r.p.g.coldest(f); low < float64(t.Coldest) {
			return false
		}
	}
	if t.Molten != 0 {
		var row Row
		low, _ := r.p.g.coldest(f)
		row.Coldest = quantity.Celsius(low)
		r.melted(&row, f)
		return row.MoltenWorst >= t.Molten
	}
	return true
}
