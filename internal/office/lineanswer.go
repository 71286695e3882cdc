package office

import (
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Line answers whether today's supers will be done in time, and what holds the line up.
func (v *View) Line(ask LineAsk) answer.Answer {
	a := answer.Answer{Question: "line"}
	n := v.LineNow(ask)
	if n.Left == 0 && n.Done == 0 && n.In == 0 {
		a.Say("line.nothing", answer.Args{"day": DayOf(ask.At)})
		v.lineTable(&a, n)
		v.restsOnRecord(&a)
		return a
	}
	v.lineFinish(&a, n, ask.At)
	v.lineHolds(&a, n)
	v.lineTable(&a, n)
	v.stopTable(&a, n)
	a.Follows("follows.line", answer.Args{"by": clockOf(n.By, ask.At)})
	v.restsOnRecord(&a)
	return a
}

func (v *View) lineFinish(a *answer.Answer, n LineNow, now record.When) {
	so := answer.Line{Key: "line.so-far", Args: answer.Args{"done": n.Done, "left": n.Left, "lots": n.Lots}}
	if len(n.Lots) == 0 {
		so.Key = "line.so-far-typed"
	}
	a.Say(so.Key, so.Args)
	if n.Left == 0 {
		a.Lines = append(a.Lines, answer.Line{Key: "line.done", Args: answer.Args{"when": clockOf(whenOrNil(n.Last), now)}, Mark: answer.Good})
		return
	}
	if n.LoadBoxes >= 0.5 {
		a.Say("line.loads", answer.Args{"loads": int64(math.Ceil(float64(n.Left) / n.LoadBoxes)), "boxes": tenth(n.LoadBoxes, quantity.Each)})
	}
	if n.LoadsSeen > 0 {
		a.RestsOn("line.load-minutes", answer.Args{"minutes": tenth(n.LoadMin, quantity.Minute), "n": int64(n.LoadsSeen)})
	}
	if !n.Rate.Known() {
		a.Cannot = &answer.Line{Key: "line.no-rate"}
		a.Then("next.line.rate", nil)
		return
	}
	args := banded(answer.Args{"by": clockOf(n.By, now), "left": n.Left, "when": clockOf(later2(now, n.Hours.Likely), now), "early": clockOf(later2(now, n.Hours.Low), now),
		"late": clockOf(later2(now, n.Hours.High), now), "chance": inTen(n.Chance)}, n.Rate, quantity.Each)
	line := answer.Line{Key: "line.close", Args: args, Mark: answer.Care}
	switch {
	case n.Chance >= 0.9:
		line.Key, line.Mark = "line.in-time", answer.Good
	case n.Chance <= 0.1:
		line.Key, line.Mark = "line.too-late", answer.Bad
	}
	a.Lines = append(a.Lines, line)
	if n.Chance < 0.9 && !math.IsInf(n.Needed, 0) {
		a.Then("next.line.faster", answer.Args{"rate": tenth(n.Needed, quantity.Each), "boxes": int64(math.Max(0, math.Floor(float64(n.Left)-n.Rate.Value*float64(n.By.Minute-now.Minute)/60)))})
	}
	if n.Live > 0 {
		a.RestsOn("line.rate-today", answer.Args{"rate": tenth(n.Live, quantity.Each), "going": tenth(n.Going, quantity.Each), "hours": tenth(n.Worked, quantity.Hour)})
	}
	switch {
	case n.Own.Seen > 0:
		a.RestsOn("line.rate-own", answer.Args{"rate": tenth(n.Book*lineUsual*n.Own.OwnOnly, quantity.Each), "lots": int64(n.Own.Seen)})
	case n.BookSet:
		a.RestsOn("line.rate-rule", answer.Args{"rate": tenth(n.Book*lineUsual, quantity.Each)})
	default:
		a.RestsOn("line.rate-book", answer.Args{"rate": tenth(n.Book*lineUsual, quantity.Each)})
	}
}

// clockOf is a moment as its time alone where it is of the same day.
func clockOf(at any, now record.When) any {
	w, ok := at.(record.When)
	if !ok || DayOf(w) != DayOf(now) {
		return at
	}
	return w.Time().Format("15:04")
}

// inTen is a chance as so many in ten.
func inTen(p float64) any {
	if !(p >= 0 && p <= 1) {
		return nil
	}
	return min(9, max(1, int64(math.Round(10*p))))
}

// lineHolds says what holds the line up: a station that is used to the full, a queue that
// grows, stops, or nothing that is written down.
func (v *View) lineHolds(a *answer.Answer, n LineNow) {
	lost := int64(0)
	for _, s := range n.Stops {
		lost += s.Minutes
	}
	if lost > 0 {
		a.Warn("line.stops", answer.Args{"n": int64(len(n.Stops)), "minutes": lost})
	}
	if n.Queue > 0 {
		a.Say("line.queue", answer.Args{"boxes": n.Queue})
	}
	switch {
	case n.Slowest < 0:
		a.Warn("line.no-stations", nil)
		a.Then("next.line.stations", nil)
		return
	case n.Live > 0 && n.Going > 1.1*n.Stations[n.Slowest].Supers: // no machine does more than it can
		s := n.Stations[n.Slowest]
		a.Warn("line.rate-low", answer.Args{"machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "going": tenth(n.Going, quantity.Each)})
		a.Then("next.line.rate-low", answer.Args{"machine": s.Name})
	case n.Live > 0 && n.Going >= 0.9*n.Stations[n.Slowest].Supers:
		s := n.Stations[n.Slowest]
		a.Warn("line.holds", answer.Args{"machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "used": quantity.Percent(100 * n.Going / s.Supers)})
	case n.Live > 0:
		s := n.Stations[n.Slowest]
		a.Say(n.but("line.hands"), answer.Args{"unrated": n.Unrated, "machine": s.Name, "supers": tenth(s.Supers, quantity.Each), "going": tenth(n.Going, quantity.Each), "used": quantity.Percent(100 * n.Going / s.Supers)})
		a.Then("next.line.hands", answer.Args{"machine": s.Name})
	default:
		s := n.Stations[n.Slowest]
		a.Say(n.but("line.slowest"), answer.Args{"unrated": n.Unrated, "machine": s.Name, "supers": tenth(s.Supers, quantity.Each)})
	}
	if len(n.Unrated) > 0 {
		a.Then("next.line.unrated", nil)
	}
}

// but is the key of a sentence that must not speak for machines that nobody rated.
func (n *LineNow) but(key string) string {
	if len(n.Unrated) > 0 {
		return key + "-but"
	}
	return key
}

func (v *View) lineTable(a *answer.Answer, n LineNow) {
	if len(n.Stations) == 0 {
		return
	}
	if slices.ContainsFunc(n.Stations, func(s LineStation) bool { return s.Kg > 0 }) {
		if n.KgLots > 0 {
			a.RestsOn("line.kg-own", answer.Args{"kg": tenth(n.KgSuper, quantity.KgUnit), "lots": int64(n.KgLots)})
		} else {
			a.RestsOn("line.kg-usual", answer.Args{"kg": tenth(n.KgSuper, quantity.KgUnit)})
		}
	}
	t := a.Table("stations", "machine", "supers_h", "used_pct", "rate_from")
	for i, s := range n.Stations {
		mark := answer.Plain
		if i == n.Slowest {
			mark = answer.Care
		}
		var used any
		if s.Used > 0 {
			used = quantity.Percent(100 * s.Used)
		}
		t.Row(mark, string(s.Name), tenth(s.Supers, quantity.Each), used, answer.Key(s.How))
	}
}

func (v *View) stopTable(a *answer.Answer, n LineNow) {
	if len(n.Stops) == 0 {
		return
	}
	t := a.Table("stops", "from", "to", "minutes")
	for _, s := range n.Stops {
		t.Row(answer.Care, s.From, s.To, s.Minutes)
	}
}
