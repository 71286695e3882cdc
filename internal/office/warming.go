package office

import (
	"math"
	"time"

	"combline/internal/answer"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Warming answers how to warm contents so that they can be filled by a time: what to set
// and when, what that costs the honey and in energy, with what to beware of.
func (o *Office) Warming(ask WarmAsk) (a answer.Answer, err error) {
	v := o.own() // it takes a second or two: nobody waits for it
	return v.Warming(ask)
}

// Warming is [Office.Warming] on a view.
func (v *View) Warming(ask WarmAsk) (answer.Answer, error) {
	a := answer.Answer{Question: "warm"}
	w, err := v.Warm(ask)
	if err != nil {
		return a, err
	}
	if len(w.Drums) == 1 {
		a.Of = w.Drums[0].Content.Code
	}
	if w.TooLate != nil {
		w.sayLate(&a)
	}
	if w.planned() {
		w.say(&a)
		w.tables(&a)
	}
	w.sayDrums(&a)
	w.rests(&a, v)
	cautions(&a)
	v.restsOnRecord(&a)
	return a, nil
}

func (w *Warming) codes() []record.Code {
	all := make([]record.Code, len(w.Drums))
	for i, d := range w.Drums {
		all[i] = d.Content.Code
	}
	return all
}

// Deadline is when the honey must be fillable.
func (w *Warming) Deadline() time.Time { return w.Ask.By.Add(-w.Ask.Rest) }

// LastStart is when the heater goes on.
func (w *Warming) LastStart() time.Time { return w.at(w.Schedule.Set[0].Hour) }

func (w *Warming) say(a *answer.Answer) {
	mark := answer.Good
	if w.Risky || w.LastStart().Sub(w.From) < time.Hour {
		mark = answer.Care
	}
	a.Lines = append(a.Lines, answer.Line{Key: "warm.light", Mark: mark, Args: answer.Args{"of": w.codes(), "room": orNil(w.Room), "when": record.At(w.LastStart()), "temp": degrees(w.Schedule.Set[0].C), "by": record.At(w.Deadline())}})
	if !w.Risky {
		likely, slow, fast := w.Ready(w.Schedule.Likely), w.Ready(w.Schedule.Slow), w.Ready(w.Schedule.Fast)
		a.Say("warm.ready", answer.Args{"likely": whenCell(likely), "slow": whenCell(slow), "fast": whenCell(fast)})
	}
	low, high, likelyHMF := w.added()
	if w.TooMuch {
		a.Warn("warm.too-much", answer.Args{"most": tenths(float64(w.Ask.MostHMF), quantity.MgPerKg), "high": tenths(high, quantity.MgPerKg)})
	}
	a.Say("warm.adds", answer.Args{"hmf": tenths(likelyHMF, quantity.MgPerKg), "low": tenths(low, quantity.MgPerKg), "high": tenths(high, quantity.MgPerKg), "kept": quantity.Percent(100 * w.kept())})
	w.sayLooked(a)
	if !w.Simple.IsZero() {
		a.Say("warm.simple", answer.Args{"temp": degrees(w.SimpleC), "when": record.At(w.Simple)})
	}
	a.Say("warm.energy", answer.Args{"honey": tenths(w.HoneyKWh, quantity.KWh), "all": tenths(w.AllKWh, quantity.KWh), "known": w.KnownKWh, "drums": int64(len(w.Drums)),
		"power": tenths(w.AllKWh/math.Max(w.hoursOn(), 0.5), quantity.KW)})
}

// sayLooked says what the plan adds where somebody looks at the core and turns it off.
func (w *Warming) sayLooked(a *answer.Answer) {
	r := w.Schedule.Likely
	if likely := w.Ready(r); !likely.IsZero() && w.Deadline().Sub(likely) > 6*time.Hour {
		hmf := 0.0
		for _, row := range r.Path {
			if row.Hour <= r.MetH[0] {
				hmf = float64(row.HMFMean)
			}
		}
		a.Say("warm.if-looked", answer.Args{"likely": record.At(likely), "hmf": tenths(hmf*w.ownRate(), quantity.MgPerKg)})
		if fast := w.Ready(w.Schedule.Fast); !fast.IsZero() {
			a.Then("next.look-at-core", answer.Args{"fast": record.At(fast)})
		}
	}
}

// added is the HMF that the plan adds, over all contents.
func (w *Warming) added() (low, high, likely float64) {
	low = math.Inf(1)
	for _, d := range w.Drums {
		low, high, likely = min(low, d.Added.Low), max(high, d.Added.High), max(likely, d.Added.Likely)
	}
	return low, high, likely
}

func (w *Warming) kept() float64 {
	least := 1.0
	for _, d := range w.Drums {
		least = min(least, d.Kept.Likely)
	}
	return least
}

// hoursOn is how long the heater is on.
func (w *Warming) hoursOn() float64 { return w.Plan.DeadlineH - w.Schedule.Set[0].Hour }

func whenCell(t time.Time) any {
	if t.IsZero() {
		return answer.Key("warm.never")
	}
	return record.At(t)
}

func (w *Warming) sayLate(a *answer.Answer) {
	likely, slow, fast := w.Ready(w.Late.Likely), w.Ready(w.Late.Slow), w.Ready(w.Late.Fast)
	key, mark := "warm.too-late", answer.Bad
	if !likely.IsZero() && !likely.After(w.Deadline()) {
		key, mark = "warm.may-be-late", answer.Care
	}
	a.Lines = append(a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"by": record.At(w.Deadline()), "most": degrees(w.Ask.Most), "likely": whenCell(likely), "slow": whenCell(slow), "fast": whenCell(fast)}})
	a.Then("next.later-or-otherwise", nil)
}

func (w *Warming) tables(a *answer.Answer) {
	t := a.Table("warm-steps", "when", "set_c", "place", "why")
	for i, s := range w.Schedule.Set {
		var set any = degrees(s.C)
		why := answer.Key("warm.step.light")
		if i > 0 {
			why = "warm.step.set"
		}
		if s.Off {
			set, why = answer.Key("warm.off"), "warm.step.off"
		}
		t.Row(answer.Plain, record.At(w.at(s.Hour)), set, orNil(w.Room), why)
	}
	last := w.Schedule.Set[len(w.Schedule.Set)-1]
	if !last.Off {
		t.Row(answer.Plain, record.At(w.Deadline()), answer.Key("warm.off"), orNil(w.Room), answer.Key("warm.step.tip"))
	}
	course := a.Table("warm-course", "when", "core_c", "mean_c", "skin_c", "molten_pct", "hmf_added")
	rows := w.Schedule.Likely.Rows
	every, own := max(1, len(rows)/8), w.ownRate()
	for i, r := range rows {
		if i%every != 0 && i != len(rows)-1 {
			continue
		}
		course.Row(answer.Plain, record.At(w.at(r.Hour)), degrees(r.Coldest), degrees(r.Mean), degrees(r.Hottest), quantity.Percent(100*r.MoltenWorst), tenths(own*float64(r.HMFMean), quantity.MgPerKg))
	}
}

// ownRate is how much more HMF the plan adds to these honeys than to one of the published
// rate, so that the course along it ends at what the answer says it adds.
func (w *Warming) ownRate() float64 {
	rows := w.Schedule.Likely.Rows
	_, _, likely := w.added()
	if published := float64(rows[len(rows)-1].HMFMean); published > 0 {
		return likely / published
	}
	return 1
}

// sayDrums says of each content how it starts, what the plan does to it, and how it keeps.
func (w *Warming) sayDrums(a *answer.Answer) {
	t := a.Table("warm-drums", "content", "mass_g", "start_c", "water_pct", "hmf", "hmf_added", "hmf_then", "hmf_low", "hmf_high", "chance_pct", "safe_until")
	for _, d := range w.Drums {
		var water any
		if d.Water != 0 {
			water = percent(float64(d.Water))
		}
		row := []any{d.Content.Code, d.Content.Grams, degrees(d.Start), water, nil, nil, nil, nil, nil, nil, nil}
		mark := answer.Plain
		if d.Harm {
			row[5] = tenths(d.Added.Likely, quantity.MgPerKg)
			for _, m := range d.After.Markers {
				if m.Marker != 0 || !m.Known {
					continue
				}
				row[4], row[6] = tenths(m.Now.Likely, quantity.MgPerKg), tenths(m.Then.Likely, quantity.MgPerKg)
				row[7], row[8] = tenths(m.Then.Low, quantity.MgPerKg), tenths(m.Then.High, quantity.MgPerKg)
			}
			row[9] = chance(d.After.Breach)
			mark = d.After.stepMark(KeepStep{Breach: d.After.Breach})
			if day := d.After.LongestDay(); d.After.Longest >= 1 {
				row[10] = record.DayOf(day)
			}
		}
		t.Row(mark, row...)
		w.warnDrum(a, d)
	}
	if w.Places > 0 && int64(len(w.Drums)) > w.Places {
		a.Warn("warm.too-many", answer.Args{"room": w.Room, "places": w.Places, "n": int64(len(w.Drums))})
	}
	w.keepTogether(a)
}

func (w *Warming) warnDrum(a *answer.Answer, d WarmDrum) {
	if len(d.Held) > 0 {
		a.Warn("warm.held", answer.Args{"of": d.Content.Code, "holds": d.Held})
	}
	if d.Agreed {
		a.Warn("warm.water-agreed", answer.Args{"of": d.Content.Code, "water": percent(float64(d.Water))})
	}
	for _, m := range d.After.Markers {
		if d.Harm && m.Limit != nil && !m.Known {
			a.Warn("keep.unread", answer.Args{"marker": markerKey(m.Marker), "lacks": codesOf(m.Lacks)})
		}
	}
}

// keepTogether says in one line what the warming leaves of the best-before.
func (w *Warming) keepTogether(a *answer.Answer) {
	if !w.planned() {
		return
	}
	var worst *WarmDrum
	for i := range w.Drums {
		d := &w.Drums[i]
		if !math.IsNaN(d.After.Breach) && len(d.After.Limits) > 0 && (worst == nil || d.After.Breach > worst.After.Breach) {
			worst = d
		}
	}
	if worst == nil {
		return
	}
	key, mark := "warm.keeps", answer.Good
	switch {
	case worst.After.Breach >= 0.5:
		key, mark = "warm.keeps-not", answer.Bad
	case worst.After.Breach > 1-worst.After.Sure:
		key, mark = "warm.keeps-close", answer.Care
	}
	a.Lines = append(a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": worst.Content.Code, "until": record.DayOf(worst.After.Until), "chance": chance(worst.After.Breach), "before": chance(worst.Before.Breach),
		"longest": record.DayOf(worst.After.LongestDay()), "months": wholeMonths(worst.After.At, worst.After.LongestDay())}})
}

func (w *Warming) rests(a *answer.Answer, v *View) {
	w.restsOnStarts(a)
	if w.Again {
		a.RestsOn("rests.warm-again", answer.Args{"room": orNil(w.Room)})
	}
	switch {
	case w.Ask.Clear:
		a.RestsOn("rests.warm-clear", nil)
	default:
		a.RestsOn("rests.warm-grain", answer.Args{"grain": answer.Key([]string{"", "grain.fine", "grain.medium", "grain.coarse"}[w.Ask.Grain]), "crystals": percent(float64(w.Ask.Crystals)), "temp": degrees(w.Plan.Case.Melt.Centre)})
	}
	if !w.Ask.PowerKW.Given() {
		a.RestsOn("rests.warm-power", nil)
	} else {
		a.RestsOn("rests.warm-heater", answer.Args{"power": w.Ask.PowerKW, "n": int64(len(w.Drums)), "loss": int64(usualLossWK)})
	}
	a.RestsOn("rests.warm-air", answer.Args{"film": int64(w.Film), "temp": degrees(w.Air)})
	if w.planned() {
		w.Drums[0].After.restsOnRates(a)
		s := w.Drums[0].After.Store
		a.RestsOn("rests.store", answer.Args{"temp": tenths(float64(s.Mean), quantity.DegC), "swing": tenths(s.Swing, quantity.KelvinUnit), "doubt": tenths(s.SD*honey.NineInTen, quantity.KelvinUnit)})
	}
	a.Follows("follows.heat", nil)
	a.Follows("follows.assay", nil)
	if w.Ask.Rest == 0 {
		a.Then("next.tip-and-rest", nil)
	}
	a.Then("next.core-not-skin", nil)
	_ = v
}

// cautions stand with every answer about warming.
func cautions(a *answer.Answer) {
	for _, key := range []string{"caution.wax", "caution.cut-out", "caution.alone", "caution.scald", "caution.advice"} {
		a.Next = append(a.Next, answer.Line{Key: key, Mark: answer.Care})
	}
}

// restsOnStarts says how warm the contents are now, those alike together.
func (w *Warming) restsOnStarts(a *answer.Answer) {
	for i, d := range w.Drums {
		var alike []record.Code
		first := i
		for j, e := range w.Drums {
			if degrees(e.Start) == degrees(d.Start) && e.How == d.How {
				alike = append(alike, e.Content.Code)
				first = min(first, j)
			}
		}
		if first == i {
			a.RestsOn("rests.warm-start", answer.Args{"of": alike, "temp": degrees(d.Start), "how": answer.Key(d.How)})
		}
	}
}
