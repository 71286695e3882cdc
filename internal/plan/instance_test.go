package plan

import (
	"fmt"
	"slices"

	q "combline/internal/quantity"
)

// A house for tests and benches, drawn after the equipment of the demo house: a warming
// room, a bath, four tanks of which one is cooled, two lines, hands by day. All figures
// are invented; the seed makes them.
const (
	iRoom = iota
	iBath
	iT1
	iT2
	iT3
	iT4
	iPiston
	iPortion
	iHands
	iResources
)

const (
	light = iota
	amber
	dark
	allergen
)

type drawn struct {
	dice dice
	p    Problem
	kind [4][]int // drums by family
	jars []int    // stocks of packing stuff
}

// drawProblem draws orders on lots for some days.
func drawProblem(seed uint64, orders, lots int, days Half) *Problem {
	d := &drawn{dice: dice(seed * 7919)}
	d.p = Problem{Horizon: days * Day, Move: 2_000}
	d.equipment(days)
	d.stocks(lots, days)
	for i := range orders {
		d.order(i, days)
	}
	return &d.p
}

func (d *drawn) between(low, high int) int { return low + d.dice.below(high-low+1) }

// shifts are hands from six to four on week days.
func shifts(days Half, hands int64) []Step {
	steps := []Step{{0, 0}}
	for day := range days {
		if day%7 < 5 {
			steps = append(steps, Step{day*Day + 12, hands}, Step{day*Day + 32, 0})
		}
	}
	return steps
}

func always(n int64) []Step { return []Step{{0, n}} }

func (d *drawn) equipment(days Half) {
	changes := make([][]Change, 4)
	for f := range changes {
		for g := range 4 {
			c := Change{}
			switch {
			case f == g:
			case f == allergen:
				c = Change{Least: 4, NextDay: true, Cost: 15_200}
			case f < g:
				c = Change{Least: 1, Cost: 3_800}
			default:
				c = Change{Least: 4, Cost: 15_200}
			}
			changes[f] = append(changes[f], c)
		}
	}
	d.p.Resources = make([]Resource, iResources)
	d.p.Resources[iRoom] = Resource{Name: "warming room", Kind: Room, Capacity: always(int64(d.between(16, 24))), OneSetting: true, Family: -1}
	d.p.Resources[iBath] = Resource{Name: "bath", Kind: Bath, Capacity: always(1), Single: true, Family: -1}
	for t := range 4 {
		d.p.Resources[iT1+t] = Resource{Name: fmt.Sprintf("T%d", t+1), Kind: Tank, Capacity: always(1_500_000), Single: true, Family: -1}
	}
	d.p.Resources[iPiston] = Resource{Name: "piston filler", Kind: Line, Capacity: always(1), Single: true, Changes: changes, Family: light}
	d.p.Resources[iPortion] = Resource{Name: "portion filler", Kind: Line, Capacity: always(1), Single: true, Changes: changes, Family: -1}
	d.p.Resources[iHands] = Resource{Name: "packers", Kind: People, Capacity: shifts(days, 6), Family: -1}
}

func (d *drawn) stocks(lots int, days Half) {
	for i := range lots {
		f := [...]int{light, amber, amber, dark}[d.dice.below(4)]
		d.kind[f] = append(d.kind[f], len(d.p.Stocks))
		d.p.Stocks = append(d.p.Stocks, Stock{Name: fmt.Sprintf("drum %d", i), Honey: true, Whole: d.dice.below(2) == 0,
			Held: d.dice.below(12) == 0, Comes: []Step{{0, 290_000}}})
	}
	for i := range 5 {
		come := []Step{{0, int64(d.between(15_000, 30_000))}}
		if i > 0 {
			come = append(come, Step{Half(d.between(3, int(days)-3)) * Day, int64(d.between(10_000, 30_000))})
		}
		d.jars = append(d.jars, len(d.p.Stocks))
		d.p.Stocks = append(d.p.Stocks, Stock{Name: fmt.Sprintf("jars %d", i), Comes: come})
	}
}

// order draws an order and some recipes for it.
func (d *drawn) order(i int, days Half) {
	drums, family, line := d.between(1, 3), d.dice.below(3), iPiston
	soft := i == 4 // one batch of soft-set: it holds the cooled tank for more than a week
	if soft {
		family = light
	}
	if d.dice.below(5) == 0 {
		line, drums = iPortion, 1
	}
	if d.dice.below(10) == 0 {
		drums, line = 1, iPiston
	}
	price := q.MoneyCents(d.between(700, 1_100)) * 290
	units := int64(drums) * 800
	j := Job{Name: fmt.Sprintf("order %d", i), Units: units, Due: Half(d.between(5, int(days)))*Day + 32,
		Late: q.MoneyCents(drums) * q.MoneyCents(d.between(60, 250)), Unmet: q.MoneyCents(drums) * price}
	jar := d.jars[d.dice.below(len(d.jars))]
	for r := range d.between(2, 5) {
		j.Ways = append(j.Ways, d.recipe(drums, family, line, jar, soft, r, units)...)
	}
	if len(d.p.Jobs) > 3 && d.dice.below(20) == 0 {
		j.After = []After{{Job: d.dice.below(len(d.p.Jobs)), Lag: 2}}
	}
	d.p.Jobs = append(d.p.Jobs, j)
}

func (d *drawn) recipe(drums, family, line, jar int, soft bool, r int, units int64) []Way {
	c := Chain{Way: Way{Name: fmt.Sprintf("recipe %d", r), Units: units, Cost: d.cost(drums)},
		Hours: d.p.Resources[iHands].Capacity, After: 1, Every: 1}
	tanks := []int{iT1, iT2, iT3, iT4}
	runHours := Half((drums*31+19)/20 + 1) // 1,100 jars of 340 g an hour
	setting := 45
	c.Stages = []Stage{{Name: "warm", Least: Half(d.between(96, 168)), Most: 300}, {Name: "settle", Least: 24, Most: 24 * 6}, {Name: "fill", Least: runHours, Worked: true}}
	if soft {
		tanks, setting = []int{iT4}, 45
		c.Stages[1] = Stage{Name: "set", Least: 7 * Day, Most: 11 * Day}
		drums = min(drums, 5)
	}
	runFamily := family
	if family == amber && d.dice.below(6) == 0 {
		runFamily = allergen
	}
	per := (int64(drums)*290_000 + 1_499_999) / 1_500_000
	c.Uses = []ChainUse{
		{Use: Use{Name: "warm", Any: []int{iRoom}, Amount: int64(drums), Setting: setting}},
		{Use: Use{Name: "tank", Any: tanks, Count: int(per), Amount: int64(drums) * 290_000 / per}, First: 1, Last: 2},
		{Use: Use{Name: "line", Any: []int{line}, Amount: 1, Family: runFamily, To: 2}, First: 2, Last: 2},
		{Use: Use{Name: "fill", Any: []int{iHands}, Amount: 4}, First: 2, Last: 2, Worked: true},
	}
	c.Way.Uses = []Use{{Name: "carry", Any: []int{iHands}, Amount: 1, To: 1}}
	for _, s := range d.pick(d.kind[family], drums) {
		c.Takes = append(c.Takes, ChainTake{Take: Take{Stock: s, Amount: 290_000}})
	}
	c.Takes = append(c.Takes, ChainTake{Take: Take{Stock: jar, Amount: units, At: -16}, Stage: 2})
	ways, err := c.Ways(d.p.Horizon, 0)
	if err != nil {
		panic(err)
	}
	return ways
}

// cost is honey at about 4.80 a kilogram and three hands at 19 an hour.
func (d *drawn) cost(drums int) q.MoneyCents {
	return q.MoneyCents(drums * (290*d.between(470, 490) + 3*1_900))
}

// pick draws some of a list, none on hold, none twice.
func (d *drawn) pick(all []int, n int) []int {
	var some []int
	for len(some) < n {
		s := all[d.dice.below(len(all))]
		if !d.p.Stocks[s].Held && !slices.Contains(some, s) {
			some = append(some, s)
		}
	}
	return some
}
