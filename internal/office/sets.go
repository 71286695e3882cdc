package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Will this set in the jar before a day: by its sugars, where they were read, and by what
// the house saw of earlier honey of its kind.

// A SetsAsk asks it. Typed sugars and water stand before what was read.
type SetsAsk struct {
	Of                       record.Code
	At                       record.When
	By                       record.Day
	Glucose, Fructose, Water quantity.Figure
}

// A GrainWatch is one filling in which somebody looked for grains: the first day they
// were seen, or the last day on which there were none.
type GrainWatch struct {
	Code  record.Code
	Since record.When // filled, drawn or tipped
	When  record.When // looked at
	honey.Watched
}

// Sets answers whether honey sets before a day. Setting is no fault; it is told so that
// nobody is surprised.
func (v *View) Sets(ask SetsAsk) answer.Answer {
	a := answer.Answer{Question: "sets", Of: v.properCode(ask.Of)}
	n := v.batchNode(ask.Of)
	if n == 0 {
		n = v.contentNamed(ask.Of)
	}
	if n == 0 {
		return v.notTraced(a, ask.Of)
	}
	c := v.State.Content(n)
	kind := v.honeyOf(c)
	days := float64(int64(ask.By) - dayOf(c.When))
	if w, ok := v.grains(n, ask.At); ok && w.Set {
		a.Warn("sets.has-grains", answer.Args{"of": a.Of, "when": w.When, "n": int64(w.After)})
	} else if ok {
		a.Say("sets.clear-on", answer.Args{"of": a.Of, "when": w.When, "n": int64(w.After)})
	}
	sugars := v.setsBySugars(&a, n, ask, days)
	past := v.setsByPast(&a, n, kind, ask, days)
	if !sugars && !past {
		a.Cannot = &answer.Line{Key: "sets.cannot", Args: answer.Args{"of": a.Of, "honey": kind}}
	}
	if !sugars {
		a.Then("sets.read-sugars", nil)
	}
	a.Then("sets.look", nil)
	a.Then("sets.no-fault", nil)
	a.Follows("sets.borders", nil)
	v.restsOnRecord(&a)
	return a
}

// setsBySugars classes the honey by the published criteria.
func (v *View) setsBySugars(a *answer.Answer, n trace.Node, ask SetsAsk, days float64) bool {
	d := v.doubter()
	of := func(typed quantity.Figure, p record.Property) float64 {
		if typed.Given() {
			return typed.Float()
		}
		if x := d.of(n, p); x.Value.Known() {
			return x.Value.Value
		}
		return math.NaN()
	}
	glucose, fructose, water := of(ask.Glucose, record.Glucose), of(ask.Fructose, record.Fructose), of(ask.Water, record.Water)
	if math.IsNaN(glucose) || math.IsNaN(water) {
		return false
	}
	class, ratio, err := honey.SettingByGlucoseWater(quantity.Percent(glucose), quantity.WaterPct(water))
	if err != nil {
		a.Warn("sets.out-of-range", answer.Args{"glucose": tenth(glucose, quantity.Pct), "water": tenth(water, quantity.Pct)})
		return false
	}
	args := answer.Args{"ratio": quantity.Figure{Mantissa: int64(math.Round(ratio * 100)), Decimals: 2, Unit: quantity.Each}, "class": answer.Key("setting-class." + settingKeys[class])}
	a.Say("sets.by-sugars", args)
	borders := honey.UsualSettingDays()
	from, to := settingSpan(class, borders)
	switch {
	case days >= to:
		a.Warn("sets.sugars-yes", answer.Args{"day": ask.By, "n": int64(days), "high": int64(to)})
	case days < from:
		a.Say("sets.sugars-no", answer.Args{"day": ask.By, "n": int64(days), "low": int64(from)})
		a.Lines[len(a.Lines)-1].Mark = answer.Good
	default:
		a.Warn("sets.sugars-may", answer.Args{"day": ask.By, "n": int64(days), "low": int64(from)})
	}
	if !math.IsNaN(fructose) {
		if c, err := honey.SettingBySugars(quantity.Percent(glucose), quantity.Percent(fructose), quantity.WaterPct(water)); err == nil && !c.Agree {
			a.Warn("sets.disagree", nil)
		}
	}
	a.Follows("sets.sugars-source", nil)
	return true
}

var settingKeys = [...]string{"unknown", "slow", "medium", "medium-fast", "fast"}

// settingSpan is between which days honey of a class sets.
func settingSpan(class honey.Setting, b honey.SettingDays) (from, to float64) {
	switch class {
	case honey.SettingFast:
		return 0, float64(b.Fast)
	case honey.SettingMediumFast:
		return 0, float64(b.MediumFast)
	case honey.SettingMedium:
		return float64(b.MediumFast), float64(b.Medium)
	}
	return float64(b.Medium), math.Inf(1)
}

// setsByPast tells what the house saw of other honey of the kind: jars where it is asked
// of jars, else honey in drums and tanks, for warming before the filler melts grains.
func (v *View) setsByPast(a *answer.Answer, n trace.Node, kind string, ask SetsAsk, days float64) bool {
	jars := v.State.NodeKind(n) == house.BatchNode
	var seen []honey.Watched
	t := a.Table("grains-seen", "of", "since", "when", "days", "grains")
	for _, w := range v.watchedOf(kind, jars, ask.At) {
		seen = append(seen, w.Watched)
		mark := answer.Plain
		if w.Set {
			mark = answer.Care
		}
		t.Row(mark, w.Code, w.Since, w.When, int64(w.After), w.Set)
	}
	if len(seen) == 0 {
		return false
	}
	h, err := honey.SettingByHistory(seen, honey.UsualSettingDays())
	if err != nil {
		return false
	}
	set, of := honey.SetBy(seen, quantity.Days(days))
	a.Say("sets.past", answer.Args{"honey": kind, "n": int64(set), "of": int64(of), "days": int64(days), "all": int64(h.Lots)})
	if h.AtLeast {
		a.Say("sets.past-least", answer.Args{"days": int64(h.Days.Likely)})
	} else {
		a.Say("sets.past-half", answer.Args{"days": int64(h.Days.Likely)})
	}
	const few = 5 // a handful of lots (common practice, no source)
	if h.Lots < few {
		a.Warn("sets.few", answer.Args{"n": int64(h.Lots)})
	}
	return true
}

// watchedOf lists the fillings of a kind of honey in which somebody looked for grains.
func (v *View) watchedOf(kind string, jars bool, until record.When) (all []GrainWatch) {
	entity := record.Filling
	if jars {
		entity = record.Batch
	}
	for _, t := range v.State.OfKind(entity) {
		for _, n := range v.State.RootsOf(v.State.Code(t)) {
			if (v.State.NodeKind(n) == house.BatchNode) != jars || honeyType(v.honeyOf(v.State.Content(n))) != honeyType(kind) || kind == "" {
				continue
			}
			if w, ok := v.grains(n, until); ok {
				all = append(all, w)
			}
		}
	}
	return all
}

// grains is what was seen of grains in a content itself.
func (v *View) grains(n trace.Node, until record.When) (w GrainWatch, ok bool) {
	c := v.State.Content(n)
	w.Code, w.Since = c.Code, c.When
	for _, r := range v.State.ReadingsOf(n) {
		if r.When.Time().After(until.Time()) || w.Set {
			break
		}
		for _, x := range r.Fact.Results {
			if x.Property == record.Crystals && x.Value.Given() {
				w.When, w.Set, ok = r.When, x.Value.Float() > 0, true
				w.After = quantity.Days(max(0, dayOf(r.When)-dayOf(c.When)))
			}
		}
	}
	return w, ok
}

// dayOf is the house's day of a moment, in days since 1970.
func dayOf(w record.When) int64 { return int64(record.DayOf(w.Time())) }
