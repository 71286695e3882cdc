package office

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/heat"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// BarnAir is what is assumed of air that nobody read, at a time of the year.
func BarnAir(at time.Time) quantity.Celsius { return barnStore.At(float64(at.UTC().YearDay())) }

// A ToWarm is contents that must be fillable by a time, with when to light the heater at
// the latest; by the usual setting, from the slow end of the doubt.
type ToWarm struct {
	Of     []record.Code
	By     time.Time
	For    record.Code // order, run or plan
	Room   record.Code
	Light  time.Time // zero: it is not in time, or can't be said
	SetC   quantity.Celsius
	KWh    float64
	Mass   quantity.Gram
	Cannot *answer.Line
	Late   bool
	Warm   bool // it is warm enough already
	Fact   uint64
}

// ToWarm lists what is wanted warm: by a wish, or because a planned blend is due.
func (v *View) ToWarm(at time.Time) []ToWarm {
	return once(v, "to warm "+at.Format("2006-01-02 15"), func() (all []ToWarm) {
		wished := map[trace.Node]bool{}
		for _, w := range v.State.WarmingsWanted() {
			x := ToWarm{By: w.By, For: w.For, Room: w.Room, Fact: w.Seq}
			for _, n := range w.Nodes {
				wished[n] = true
				x.Of = append(x.Of, v.State.NodeCode(n))
			}
			all = append(all, v.light(x, at, celsiusOr(w.Temp, 0)))
		}
		for _, p := range v.State.BlendPlans() {
			if p.Due == 0 || !v.State.Open(p) {
				continue
			}
			y, m, d := p.Due.Time().Date()
			x := ToWarm{By: time.Date(y, m, d, plannedHour, 0, 0, 0, at.Location()), For: p.Plan, Fact: p.Seq}
			for _, part := range v.State.SoFar(p) {
				if part.Node != 0 && part.Left > 0 && part.Tipped < part.Planned && !wished[part.Node] {
					x.Of = append(x.Of, v.State.NodeCode(part.Node))
				}
			}
			if len(x.Of) > 0 {
				all = append(all, v.light(x, at, 0))
			}
		}
		slices.SortStableFunc(all, func(a, b ToWarm) int { return a.By.Compare(b.By) })
		return all
	})
}

// plannedHour is when a day's filling begins, where a plan says only the day.
const plannedHour = 7

func celsiusOr(f quantity.Figure, otherwise quantity.Celsius) quantity.Celsius {
	if !f.Given() {
		return otherwise
	}
	return celsius(f)
}

// light works out when the heater must go on at the latest.
func (v *View) light(x ToWarm, at time.Time, fill quantity.Celsius) ToWarm {
	x.SetC = celsius(v.State.Setting("warm.set", warmSet))
	ask := WarmAsk{Of: x.Of, By: x.By, At: at, Fill: fill, Room: x.Room}
	for _, c := range x.Of {
		if n := v.contentNamed(c); n != 0 {
			x.Mass += v.State.Graph().Left(n)
		}
	}
	if !x.By.After(at) {
		x.Late = true
		return x
	}
	v.warmDefaults(&ask)
	w := Warming{Ask: ask, From: nextHalfHour(at), SimpleC: x.SetC}
	err := ask.check()
	if err == nil {
		err = v.room(&w)
	}
	if err == nil {
		x.Room = w.Room
		a := v.assayer()
		var nodes []trace.Node
		if nodes, err = v.warmDrums(&w, a); err == nil {
			err = v.warmPlan(&w, a, nodes)
		}
	}
	if err != nil {
		x.Cannot = lineOf(err)
		return x
	}
	x.KWh = w.honeyKWh() / min(max(v.State.Setting("warm.gain", warmGain).Float()/100, 0.05), 1)
	key := fmt.Sprintf("%v %v %v %v %v %v", w.Drums[0].Start, w.Plan.DeadlineH, w.Plan.Case.Body, w.Plan.Case.Honey, x.SetC, ask)
	l := keptWhile(v, fmt.Sprintf("light %d %v", x.Fact, x.Of), key, func() (l lastLight) {
		for _, l.set = range []quantity.Celsius{min(x.SetC, ask.Most), ask.Most} {
			if h, err := heat.LatestStart(w.Plan, l.set); err == nil {
				return lastLight{w.at(h), l.set, true}
			}
		}
		return l
	})
	x.Light, x.SetC, x.Late = l.when, l.set, !l.ok
	return x
}

// A lastLight is the latest start at a set point.
type lastLight struct {
	when time.Time
	set  quantity.Celsius
	ok   bool
}

// honeyKWh is what the contents take up to the filling temperature, with their grains.
func (w *Warming) honeyKWh() (sum float64) {
	p, m := w.Plan.Case.Honey, w.Plan.Case.Melt
	for _, d := range w.Drums {
		sum += (p.Enthalpy(w.Ask.Fill, m) - p.Enthalpy(d.Start, m)) * float64(d.Content.Grams) / 1000 / 3.6e6
	}
	return max(sum, 0)
}

// lineOf is a refusal as a line.
func lineOf(err error) *answer.Line {
	if no, ok := refusalOf(err); ok {
		return &answer.Line{Key: no.Key, Args: no.Args, Mark: answer.Care}
	}
	return &answer.Line{Key: "warm.cannot", Args: answer.Args{"detail": err.Error()}, Mark: answer.Care}
}

// dayWarm says what to light, and when.
func (v *View) dayWarm(a *answer.Answer, at time.Time) {
	all := v.ToWarm(at)
	if len(all) == 0 {
		return
	}
	table := a.Table("to-warm", "when", "set_c", "content", "mass_g", "place", "by", "for")
	for _, x := range all {
		var when, set any
		mark := answer.Plain
		switch {
		case x.Cannot != nil:
			mark = answer.Care
			a.Lines = append(a.Lines, *x.Cannot)
		case x.Late && x.By.After(at): // it may still do, with the highest setting at once
			mark = answer.Bad
			when, set = record.At(nextHalfHour(at)), degrees(x.SetC)
			a.Lines = append(a.Lines, answer.Line{Key: "day.warm-now", Mark: answer.Bad, Args: answer.Args{"of": x.Of, "temp": degrees(x.SetC), "by": record.At(x.By)}})
		case x.Late:
			mark = answer.Bad
			a.Lines = append(a.Lines, answer.Line{Key: "day.warm-late", Mark: answer.Bad, Args: answer.Args{"of": x.Of, "by": record.At(x.By)}})
		default:
			when, set = record.At(x.Light), degrees(x.SetC)
			if x.Light.Sub(at) < 24*time.Hour {
				mark = answer.Care
				a.Lines = append(a.Lines, answer.Line{Key: "day.warm-light", Mark: answer.Care, Args: answer.Args{"of": x.Of, "when": record.At(x.Light), "temp": degrees(x.SetC), "by": record.At(x.By)}})
			}
		}
		table.Row(mark, when, set, x.Of, x.Mass, orNil(x.Room), record.At(x.By), orNil(x.For))
	}
	a.Then("next.warm-first", answer.Args{"of": all[0].Of})
}

// WarmWeek answers what is wanted warm, and what the warming rooms take in the week to
// come and took in the week that was.
func (v *View) WarmWeek(at time.Time) answer.Answer {
	a := answer.Answer{Question: "warm-week"}
	v.dayWarm(&a, at)
	gain := min(max(v.State.Setting("warm.gain", warmGain).Float()/100, 0.05), 1)
	price := v.State.Setting("warm.price", warmPrice)
	t := a.Table("warm-cost", "week", "drums", "mass_g", "honey_kwh", "kwh", "cost")
	row := func(key answer.Key, drums int64, mass quantity.Gram, socket float64) {
		var cost any
		if price.Float() > 0 {
			cost = quantity.MoneyCents(int64(socket*price.Float()*100 + 0.5))
		}
		t.Row(answer.Plain, key, drums, mass, tenths(socket*gain, quantity.KWh), tenths(socket, quantity.KWh), cost)
	}
	var next ToWarm
	drums := int64(0)
	for _, x := range v.ToWarm(at) {
		if x.By.Before(at.AddDate(0, 0, 7)) {
			next.KWh += x.KWh
			next.Mass += x.Mass
			drums += int64(len(x.Of))
		}
	}
	row("warm.week.next", drums, next.Mass, next.KWh)
	n, mass, kwh := v.warmedIn(at.AddDate(0, 0, -7), at)
	row("warm.week.last", n, mass, kwh/gain)
	if drums == 0 {
		a.Say("warm.nothing-wanted", nil)
	}
	if drums > 0 {
		a.Say("warm.week", answer.Args{"drums": drums, "kwh": tenths(next.KWh, quantity.KWh), "each": tenths(next.KWh/float64(drums), quantity.KWh)})
	}
	if price.Float() <= 0 {
		a.Then("next.set-price", nil)
	}
	a.RestsOn("rests.warm-gain", answer.Args{"gain": quantity.Percent(100 * gain)})
	cautions(&a)
	v.restsOnRecord(&a)
	return a
}

// warmedIn is what honey took up in heated rooms between two times: the contents that
// came in there then, each from what it had to the warmest that it came to.
func (v *View) warmedIn(from, to time.Time) (drums int64, mass quantity.Gram, kwh float64) {
	b := newWarmthBook(v)
	for _, t := range v.State.OfKind(record.Vessel) {
		x, ok := v.State.Vessel(t)
		if !ok {
			continue
		}
		for i := len(x.Contents) - 1; i >= 0; i-- {
			n := x.Contents[i]
			end, gone := v.emptied(n)
			if gone && end < minuteOf(from) {
				break
			}
			if !gone {
				end = minuteOf(to)
			}
			d, m, k := b.warmedOf(n, minuteOf(from), min(end, minuteOf(to)))
			drums, mass, kwh = drums+d, mass+m, kwh+k
		}
	}
	return drums, mass, kwh
}

// warmedOf is the same of one content.
func (b *warmthBook) warmedOf(n trace.Node, from, to int64) (drums int64, mass quantity.Gram, kwh float64) {
	c := b.v.State.Content(n)
	code := c.Vessel
	if code == "" {
		code = c.Code
	}
	for _, s := range b.standings(code, b.v.State.MadeAt(n).Minute, to) {
		if s.to <= from || s.from < from || !b.place(s.place).heated() {
			continue
		}
		for _, y := range b.stays(n, s.from, s.to) {
			low, top := y.course.Points[0].C, y.course.Points[0].C
			for _, p := range y.course.Points {
				top = max(top, p.C)
			}
			kg := float64(c.Made) / 1000
			p, err := heat.House(heat.AssumedWater, heat.Classical)
			if err == nil {
				m := heat.MeltOf(heat.FineGrain, usualCrystals)
				kwh += max(0, p.Enthalpy(top, m)-p.Enthalpy(low, m)) * kg / 3.6e6
				drums++
				mass += c.Made
			}
		}
	}
	return drums, mass, kwh
}

func refusalOf(err error) (no *house.Refusal, ok bool) {
	ok = errors.As(err, &no)
	return no, ok
}
