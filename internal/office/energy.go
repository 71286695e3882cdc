package office

import (
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Energy answers what the warming rooms will cost in the week to come and cost in the
// week that was: into the honey, lost on the way, from the socket, and by the hours of a
// cheaper tariff where the house has one. The week to come is what is wanted warm and what
// the plan of the days to come puts into the warm; without a plan that is said.
//
//	socket = into the honey ÷ the share of the heater's energy that ends there
//	cost   = socket × (share of the hours that are cheap × its price + the rest × the other)
//
// The heater is taken to draw evenly from when it is lit until the honey must be ready.
// Where the house knows what it puts into a drum (cost.warm) its own figure stands
// beside the model's. Common practice, no source.
func (v *View) Energy(at time.Time, d *DayPlan) answer.Answer {
	a := answer.Answer{Question: "energy"}
	t := a.Table("energy", "of", "mass_g", "from", "by", "honey_kwh", "lost_kwh", "kwh", "night_pct", "cost")
	p := v.pricesAt(minuteOf(at))
	day, priced := p.energy()
	gain := min(max(v.State.Setting("warm.gain", warmGain).Float()/100, 0.05), 1)
	var drums int64
	var socket, money float64
	for _, x := range v.heats(at, d) {
		from := x.Light
		if from.IsZero() {
			from = at
		}
		switch {
		case !from.Before(at.AddDate(0, 0, 7)):
			continue
		case !x.By.After(at):
			a.Warn("energy.past", answer.Args{"of": x.Of, "when": record.At(x.By)})
			continue
		case x.Cannot != nil:
			a.Warn("energy.not-known", answer.Args{"of": x.Of, "why": *x.Cannot})
			continue
		}
		night := p.nightShare(from, x.By)
		price := day.Float()
		if cheap, ok := p.money(priceNight); ok && p.hasNight() {
			price = night*cheap.Float() + (1-night)*day.Float()
		}
		drums += int64(len(x.Of))
		socket += x.KWh
		money += x.KWh * price
		t.Row(answer.Plain, x.Of, x.Mass, record.At(from), record.At(x.By), tenths(x.KWh*gain, quantity.KWh), tenths(x.KWh*(1-gain), quantity.KWh), tenths(x.KWh, quantity.KWh),
			p.nightCell(night), costCell(x.KWh*price, priced))
	}
	v.energyLines(&a, p, drums, socket, money, gain, priced)
	if d == nil {
		a.Warn("energy.no-plan", nil)
	}
	w := once(v, "warmed by "+at.Format("2006-01-02 15"), func() (w warmedWeek) {
		w.drums, w.mass, w.kwh = v.warmedIn(at.AddDate(0, 0, -7), at)
		return w
	})
	if w.drums > 0 {
		a.Say("energy.last", answer.Args{"drums": w.drums, "mass": w.mass, "kwh": tenths(w.kwh/gain, quantity.KWh), "cost": costCell(w.kwh/gain*day.Float(), priced)})
	}
	if !priced {
		a.Then("next.set-price", nil)
	}
	a.RestsOn("rests.warm-gain", answer.Args{"gain": quantity.Percent(100 * gain)})
	a.Follows("energy.follows", nil)
	v.restsOnRecord(&a)
	return a
}

// heats are what is wanted warm, and what the plan warms beside that, the first first.
func (v *View) heats(at time.Time, d *DayPlan) []ToWarm {
	all := slices.Clone(v.ToWarm(at))
	if d == nil {
		return all
	}
	wanted := func(code record.Code) bool {
		return slices.ContainsFunc(all, func(x ToWarm) bool { return slices.Contains(x.Of, code) })
	}
	var planned []ToWarm
	for _, o := range d.Orders {
		warm, ok := o.Step("warm")
		if !ok {
			continue
		}
		x := ToWarm{By: warm.To, For: o.Cover.Order.Code, Room: o.Room}
		for _, u := range o.Uses {
			if !wanted(u.Content.Code) {
				x.Of = append(x.Of, u.Content.Code)
			}
		}
		if len(x.Of) > 0 {
			x = v.light(x, at, 0)
			x.Light = warm.From
			planned = append(planned, x)
		}
	}
	all = append(all, planned...)
	slices.SortStableFunc(all, func(a, b ToWarm) int { return a.By.Compare(b.By) })
	return all
}

// A warmedWeek is what a week's warming put into the honey.
type warmedWeek struct {
	drums int64
	mass  quantity.Gram
	kwh   float64
}

func (v *View) energyLines(a *answer.Answer, p *prices, drums int64, socket, money, gain float64, priced bool) {
	if drums == 0 {
		a.Say("energy.none", nil)
		return
	}
	args := answer.Args{"drums": drums, "kwh": tenths(socket, quantity.KWh), "each": tenths(socket/float64(drums), quantity.KWh), "lost": tenths(socket*(1-gain), quantity.KWh)}
	if priced {
		args["cost"] = costCell(money, true)
		a.Say("energy.week", args)
	} else {
		a.Warn("energy.week-no-price", args)
	}
	if own, ok := p.Setting(rateWarm); ok {
		a.Say("energy.own", answer.Args{"each": own, "kwh": tenths(own.Float()/gain, quantity.KWh)})
	}
}

func costCell(x float64, known bool) answer.Cell {
	if !known || !(x >= 0 && x < 1e12) {
		return nil
	}
	return quantity.MoneyCents(math.Round(x * 100))
}

// hasNight reports whether the house has a cheaper tariff by the clock.
func (p *prices) hasNight() bool {
	from, a := p.Setting(rateNightFrom)
	until, b := p.Setting(rateNightUntil)
	return a && b && from.Float() != until.Float() && from.Float() >= 0 && from.Float() < 24 && until.Float() >= 0 && until.Float() <= 24
}

// nightShare is how much of the time between two moments is in the cheaper hours.
func (p *prices) nightShare(from, to time.Time) float64 {
	if !p.hasNight() || !to.After(from) {
		return 0
	}
	begin, _ := p.Setting(rateNightFrom)
	end, _ := p.Setting(rateNightUntil)
	n, cheap := 0, 0
	for t := from; t.Before(to); t = t.Add(10 * time.Minute) {
		n++
		if in(float64(t.Hour())+float64(t.Minute())/60, begin.Float(), end.Float()) {
			cheap++
		}
	}
	return float64(cheap) / float64(n)
}

// in reports whether an hour of the clock is between two, over midnight too.
func in(h, from, until float64) bool {
	if from < until {
		return from <= h && h < until
	}
	return h >= from || h < until
}

func (p *prices) nightCell(share float64) answer.Cell {
	if !p.hasNight() {
		return ""
	}
	return quantity.Percent(100 * share)
}
