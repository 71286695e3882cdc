package blend

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Thinning takes one wet honey to a target with dry ones, in closed form: question
// 17, "can I take this drum to 18.0 % by mixing with that one?".
type Thinning struct {
	Wet      Content   // all of it goes in; water needed, yeast if it was counted
	Dry      []Content // tipped in this order, each as far as it goes
	Target   quantity.WaterPct
	Crystals quantity.Percent // for soft-set honey: judged by the liquid between them
	Risk     float64          // chance of a miss that is still taken; 0: [quantity.UsualRisk]
	YeastMax float64          // own limit on the mix's yeast below the law of keeping; 0: none
}

// A Mixture is one answer: how much of each dry honey, and what comes of it.
type Mixture struct {
	Dry      []quantity.Kg // of each, in their order
	DryKg    quantity.Kg
	Total    quantity.Kg
	Water    quantity.Uncertain
	Yeast    float64 // a gram; NaN if a part was not counted
	Keeping  honey.FermentRisk
	Chance   float64 // that the mix is over the target
	There    bool    // the dry honeys hold so much
	LackKg   quantity.Kg
	LowKg    quantity.Kg // of the two-honey band, see [honey.DryToReach]; with several, 0
	HighKg   quantity.Kg // with several, 0; +Inf if no amount is sure
	AimWater quantity.WaterPct
}

// Thinned is the answer to a thinning.
type Thinned struct {
	// AtTarget meets the target by the readings as they stand: it misses one time
	// in two where they carry doubt.
	AtTarget Mixture
	// Sure misses at no more than the chance that is taken; nil if no amount is sure.
	Sure *Mixture
	// Keeping meets the target and the ferment rule, both by the readings as they
	// stand; nil if no amount does.
	Keeping *Mixture
	// SureKeeping meets both with the target's chance kept; nil if no amount does.
	SureKeeping *Mixture
}

// Thin answers by mass balance. To a water target m, with the parts so far at a % in
// A kg, the next honey at b % gives
//
//	B = A·(a − m)/(m − b)
//
// kg; to a yeast limit L, B = A·(ya − L)/(L − yb). The ferment rule is met by the least
// of its classes (see [honey.Ferment]): each asks for a water and a yeast count, and
// the larger amount of the two meets both. With doubt the amount is the root of
// mean + z·(standard uncertainty) = target, found by halving to a gram. Exact
// arithmetic; range 13 to 25 % water.
func Thin(x Thinning) (*Thinned, error) {
	if err := x.check(); err != nil {
		return nil, err
	}
	out := &Thinned{}
	at, ok := x.amount(float64(x.Target), 0, math.Inf(1))
	if !ok {
		at = math.Inf(1)
	}
	z := math.Sqrt2 * math.Erfinv(1-2*x.risk())
	out.AtTarget = x.mixture(at)
	out.Sure = x.maybe(float64(x.Target), z, math.Inf(1))
	out.Keeping = x.keeping(0)
	out.SureKeeping = x.keeping(z)
	return out, nil
}

func (x *Thinning) risk() float64 {
	if x.Risk == 0 {
		return quantity.UsualRisk
	}
	return x.Risk
}

func (x *Thinning) check() error {
	if len(x.Dry) == 0 {
		return errors.New("no dry honey to mix with")
	}
	if !(x.Risk == 0 || within(x.Risk, 1e-6, 0.5)) {
		return fmt.Errorf("chance of a miss %g, want 0.000001 to 0.5", x.Risk)
	}
	for _, c := range append([]Content{x.Wet}, x.Dry...) {
		if err := c.check(); err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		if len(c.Stops) > 0 {
			return fmt.Errorf("%s may not be mixed: %s", c.Name, c.Stops[0])
		}
		if _, read := c.Figures[Water]; !read {
			return fmt.Errorf("can't say: %s has no water reading; read it first", c.Name)
		}
	}
	wet := quantity.WaterPct(x.Wet.Figures[Water].Value)
	if err := Measure(Water).checkLimit(float64(x.Target)); err != nil {
		return err
	}
	if _, err := honey.FermentUncounted(x.Target); err != nil {
		return err
	}
	if wet <= x.Target {
		return fmt.Errorf("%s at %g %% is at or under %g %% already", x.Wet.Name, float64(wet), float64(x.Target))
	}
	if _, err := Keeps(x.Crystals); err != nil {
		return err
	}
	return nil
}

// parts gives the kg of each dry honey when so much is tipped in order; what is more
// than all of them is of the last.
func (x *Thinning) parts(dry float64) []float64 {
	out := make([]float64, len(x.Dry))
	for i := range x.Dry {
		out[i] = min(dry, kg(x.Dry[i].Grams))
		if i == len(x.Dry)-1 {
			out[i] = dry
		}
		dry -= out[i]
	}
	return out
}

// mean mixes a figure of the wet honey with so much of the dry.
func (x *Thinning) mean(f Figure, dry float64) quantity.Uncertain {
	us, ws := []quantity.Uncertain{}, []float64{}
	add := func(c *Content, w float64) {
		u, read := c.Figures[f]
		if !read {
			u = quantity.Unknown()
		}
		us, ws = append(us, u), append(ws, w)
	}
	add(&x.Wet, kg(x.Wet.Grams))
	for i, w := range x.parts(dry) {
		add(&x.Dry[i], w)
	}
	u, err := quantity.WeightedMean(us, ws)
	if err != nil {
		return quantity.Unknown()
	}
	return u
}

// mostThin bounds the dry honey that is looked for: a thousand times the wet.
const mostThin = 1000

// amount gives the least dry honey in kg with which the mix is at or under a water by
// z standard uncertainties, and at or under a yeast count.
func (x *Thinning) amount(water, z, yeast float64) (float64, bool) {
	meets := func(dry float64) bool {
		w := x.mean(Water, dry)
		if !(w.Value+z*w.StdDev() <= water) {
			return false
		}
		return math.IsInf(yeast, 1) || x.mean(Yeast, dry).Value <= yeast
	}
	edges := []float64{0}
	for i := range x.Dry {
		edges = append(edges, edges[i]+kg(x.Dry[i].Grams))
	}
	edges = append(edges, mostThin*(kg(x.Wet.Grams)+edges[len(x.Dry)]))
	for i := 1; i < len(edges); i++ {
		if !meets(edges[i]) {
			continue
		}
		low, high := edges[i-1], edges[i]
		for range 80 {
			if mid := (low + high) / 2; meets(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		return high, true
	}
	return 0, false
}

func (x *Thinning) maybe(water, z, yeast float64) *Mixture {
	dry, ok := x.amount(water, z, yeast)
	if !ok {
		return nil
	}
	m := x.mixture(dry)
	return &m
}

// keeping takes the class of the ferment rule that needs the least dry honey.
func (x *Thinning) keeping(z float64) *Mixture {
	rule, err := Keeps(x.Crystals)
	if err != nil {
		return nil
	}
	least := math.Inf(1)
	for _, way := range rule.Ways {
		water, yeast := min(float64(x.Target), way[0].Bound), math.Inf(1)
		if len(way) > 1 {
			yeast = way[1].Bound
		}
		if x.YeastMax > 0 {
			yeast = min(yeast, x.YeastMax)
		}
		if dry, ok := x.amount(water, z, yeast); ok {
			least = min(least, dry)
		}
	}
	if math.IsInf(least, 1) {
		return nil
	}
	m := x.mixture(least)
	return &m
}

func (x *Thinning) mixture(dry float64) Mixture {
	if math.IsInf(dry, 1) {
		return Mixture{DryKg: quantity.Kg(dry), Yeast: math.NaN(), Water: quantity.Unknown(), Chance: math.NaN()}
	}
	m := Mixture{DryKg: quantity.Kg(dry), Total: x.Wet.Grams.Kg() + quantity.Kg(dry), Water: x.mean(Water, dry), There: true}
	for i, w := range x.parts(dry) {
		m.Dry = append(m.Dry, quantity.Kg(w))
		if lack := w - kg(x.Dry[i].Grams); lack > 0 {
			m.There, m.LackKg = false, quantity.Kg(lack)
		}
	}
	m.Chance = m.Water.ChanceAbove(float64(x.Target))
	m.AimWater = quantity.WaterPct(m.Water.Value)
	yeast := x.mean(Yeast, dry)
	m.Yeast = yeast.Value
	m.Keeping = x.risky(m.Water.Value, yeast)
	if len(x.Dry) == 1 {
		x.band(&m)
	}
	return m
}

// risky judges the mix by the ferment rule. A count that stands a rounding of the last
// bit over its limit is at it.
func (x *Thinning) risky(water float64, yeast quantity.Uncertain) honey.FermentRisk {
	count, counted := quantity.YeastPerG(yeast.Value), yeast.Known()
	if counted {
		count = quantity.YeastPerG(math.Round(float64(count)*1e6) / 1e6)
	}
	r, err := honey.FermentPartlySet(quantity.WaterPct(math.Round(water*1e9)/1e9), x.Crystals, count, counted)
	if err != nil {
		return honey.FermentRisk{}
	}
	return r
}

// band adds the nine-in-ten band of two honeys.
func (x *Thinning) band(m *Mixture) {
	wet, dry := x.Wet.Figures[Water], x.Dry[0].Figures[Water]
	read := func(u quantity.Uncertain) honey.WaterReading {
		return honey.WaterReading{Water: quantity.WaterPct(u.Value), SD: u.Own}
	}
	shared := 0.0
	if len(wet.Shared) == 1 && len(dry.Shared) == 1 && wet.Shared[0] == dry.Shared[0] {
		shared = math.Abs(wet.Shared[0].Coef)
	} else if len(wet.Shared)+len(dry.Shared) > 0 {
		return
	}
	if d, err := honey.DryToReach(x.Wet.Grams.Kg(), read(wet), read(dry), shared, x.Target); err == nil {
		m.LowKg, m.HighKg = d.Dry.Low, d.Dry.High
	}
}
