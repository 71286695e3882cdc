package office

import (
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Keeping answers what the heat that a content had has cost it, whether it will keep its
// limits to a date, and the longest best-before that it can bear.
func (o *Office) Keeping(ask KeepAsk) (a answer.Answer, err error) {
	o.Read(func(v *View) { a, err = v.Keeping(ask) })
	return a, err
}

// usualMonths are the times that an answer also looks at.
var usualMonths = []int{6, 12, 18, 24, 36}

// Keeping is [Office.Keeping] on a view.
func (v *View) Keeping(ask KeepAsk) (answer.Answer, error) {
	a := answer.Answer{Question: "keeping", Of: v.properCode(ask.Of)}
	if ask.Months == nil {
		ask.Months = usualMonths
	}
	if ask.Store != nil {
		if err := ask.Store.Check(); err != nil {
			return a, err
		}
	}
	k, ok, err := v.Keep(ask)
	if err != nil {
		return a, err
	}
	if !ok {
		return v.notOneContent(a, ask.Of), nil
	}
	a = k.Answer()
	v.restsOnRecord(&a)
	return a, nil
}

// Answer is what is to be said of it.
func (k *Keep) Answer() answer.Answer {
	a := answer.Answer{Question: "keeping", Of: k.Content.Code}
	k.say(&a)
	k.tables(&a)
	k.rests(&a)
	k.next(&a)
	return a
}

// Lines are the sentences that say how long it keeps, without the figures.
func (k *Keep) Lines() []answer.Line {
	var a answer.Answer
	known := false
	for i := range k.Markers {
		m := &k.Markers[i]
		known = known || m.Known
		if !m.Known && m.Marker != assay.Invertase {
			a.Warn("keep.unread", answer.Args{"marker": markerKey(m.Marker), "lacks": codesOf(m.Lacks)})
		}
	}
	if known {
		k.sayLongest(&a, true)
	}
	for _, of := range k.Odd {
		a.Warn("keep.odd", answer.Args{"of": of})
	}
	return a.Lines
}

// notOneContent says that a code stands for no honey, or for several.
func (v *View) notOneContent(a answer.Answer, code record.Code) answer.Answer {
	if len(v.State.RootsOf(code)) > 0 {
		a.Cannot = &answer.Line{Key: "keep.several", Args: answer.Args{"of": code}}
		return a
	}
	if t, ok := v.State.Find(code); ok {
		if x, is := v.State.Vessel(t); is && v.State.Empty(x) {
			a.Cannot = &answer.Line{Key: "keep.empty", Args: answer.Args{"of": code}}
			return a
		}
	}
	return v.notTraced(a, code)
}

// units of the markers as they are printed.
var markerUnit = [...]quantity.Unit{assay.HMF: quantity.MgPerKg, assay.Diastase: quantity.Schade, assay.Invertase: quantity.Schade}

// tenths is a reckoned figure to a tenth, larger ones to the whole.
func tenths(x float64, u quantity.Unit) any {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e9:
		return nil
	case math.Abs(x) < 99.95:
		return quantity.Figure{Mantissa: int64(math.Round(x * 10)), Decimals: 1, Unit: u}
	}
	return quantity.Figure{Mantissa: int64(math.Round(x)), Unit: u}
}

// chance is a probability as it is shown: never 0 or 100 % where it is not.
func chance(p float64) any {
	if math.IsNaN(p) {
		return nil
	}
	const least = 0.001
	if p > 0 && p < 1 {
		p = min(max(p, least), 1-least)
	}
	return quantity.Percent(100 * p)
}

func (m Rested) key() answer.Key { return markerKey(m.Marker) }

func markerKey(m assay.Marker) answer.Key { return answer.Key("property." + m.String()) }

func (k *Keep) say(a *answer.Answer) {
	if k.Gone {
		a.Say("keep.gone", answer.Args{"of": k.Content.Code, "when": record.At(k.At)})
	}
	said := false
	for i := range k.Markers {
		m := &k.Markers[i]
		switch {
		case m.Known:
			said = true
			a.Lines = append(a.Lines, answer.Line{Key: "keep.marker", Mark: m.mark(), Args: answer.Args{"marker": markerKey(m.Marker), "now": tenths(m.Now.Likely, markerUnit[m.Marker]),
				"now_low": tenths(m.Now.Low, markerUnit[m.Marker]), "now_high": tenths(m.Now.High, markerUnit[m.Marker]), "until": record.DayOf(k.Until),
				"then": tenths(m.Then.Likely, markerUnit[m.Marker]), "low": tenths(m.Then.Low, markerUnit[m.Marker]), "high": tenths(m.Then.High, markerUnit[m.Marker])}})
			if m.Limit != nil {
				a.Lines = append(a.Lines, answer.Line{Key: "keep.chance", Mark: m.mark(), Args: answer.Args{"marker": markerKey(m.Marker), "least": m.Limit.Least,
					"limit": tenths(m.Limit.Value, markerUnit[m.Marker]), "chance": chance(m.Over), "until": record.DayOf(k.Until)}})
			}
		case m.Marker != assay.Invertase: // that is seldom read
			a.Warn("keep.unread", answer.Args{"marker": markerKey(m.Marker), "lacks": codesOf(m.Lacks)})
		}
	}
	k.sayHeat(a)
	k.sayLongest(a, said)
	if k.Yeast.Counted && k.Yeast.Kills >= 0.01 {
		a.Say("keep.yeast", answer.Args{"kills": quantity.Figure{Mantissa: int64(math.Round(100 * min(k.Yeast.Kills, 1e6))), Decimals: 2, Unit: quantity.Each}, "killed": k.Yeast.Kills >= 1})
	}
	for _, of := range k.Odd {
		a.Warn("keep.odd", answer.Args{"of": of})
	}
}

func codesOf(names []string) []record.Code {
	all := make([]record.Code, len(names))
	for i, n := range names {
		all[i] = record.Code(n)
	}
	return all
}

// mark is how a marker's chance is to be seen: a date holds that is broken 1 time in 20
// at most; broken 19 times in 20, it does not.
func (m *MarkerKeep) mark() answer.Mark {
	switch {
	case m.Limit == nil || math.IsNaN(m.Over):
		return answer.Plain
	case m.OverNow >= 1-quantity.UsualRisk || m.Over >= 0.5:
		return answer.Bad
	case m.Over > quantity.UsualRisk:
		return answer.Care
	}
	return answer.Good
}

// sayHeat says what the heat of its own stays did, all together.
func (k *Keep) sayHeat(a *answer.Answer) {
	var hmf honey.Band[float64]
	kept := 1.0
	for _, h := range k.Heat {
		hmf.Low, hmf.Likely, hmf.High = hmf.Low+h.HMF.Low, hmf.Likely+h.HMF.Likely, hmf.High+h.HMF.High
		kept *= h.DN.Likely
	}
	if len(k.Heat) > 0 {
		a.Say("keep.heat", answer.Args{"of": k.Content.Code, "from": record.DayOf(k.Heat[0].From), "to": record.DayOf(k.Heat[len(k.Heat)-1].To), "hmf": tenths(hmf.Likely, quantity.MgPerKg), "low": tenths(hmf.Low, quantity.MgPerKg),
			"high": tenths(hmf.High, quantity.MgPerKg), "kept": quantity.Percent(100 * kept)})
	}
}

func (k *Keep) sayLongest(a *answer.Answer, said bool) {
	sure := quantity.Percent(100 * k.Sure)
	switch {
	case len(k.Limits) == 0:
		a.Say("keep.no-limit", nil)
	case math.IsNaN(float64(k.Longest)):
		if !said {
			a.Cannot = &answer.Line{Key: "keep.cannot", Args: answer.Args{"of": k.Content.Code, "lacks": codesOf(k.lacks())}}
		} else {
			a.Warn("keep.longest-unknown", answer.Args{"lacks": codesOf(k.lacks())})
		}
	case k.finished():
		a.Lines = append(a.Lines, answer.Line{Key: "keep.finished", Mark: answer.Bad, Args: answer.Args{"of": k.Content.Code, "chance": chance(k.now())}})
	case k.Longest < 1 && k.Ahead:
		a.Lines = append(a.Lines, answer.Line{Key: "keep.longest-none-warmed", Mark: answer.Bad, Args: answer.Args{"sure": sure, "chance": chance(k.Warmed)}})
	case k.Longest < 1:
		a.Lines = append(a.Lines, answer.Line{Key: "keep.longest-none", Mark: answer.Bad, Args: answer.Args{"sure": sure, "chance": chance(k.now())}})
	case k.Last:
		a.Lines = append(a.Lines, answer.Line{Key: "keep.longest-last", Mark: answer.Good, Args: answer.Args{"sure": sure}})
	default:
		day := k.LongestDay()
		a.Lines = append(a.Lines, answer.Line{Key: "keep.longest", Mark: k.longestMark(), Args: answer.Args{"sure": sure, "months": wholeMonths(k.At, day), "until": record.DayOf(day)}})
	}
}

// longestMark: a best-before that the date asked for exceeds is to be looked at.
func (k *Keep) longestMark() answer.Mark {
	if k.LongestDay().Before(k.Until) {
		return answer.Care
	}
	return answer.Good
}

// LongestDay is the last day of the longest best-before.
func (k *Keep) LongestDay() time.Time { return k.At.AddDate(0, 0, int(k.Longest)) }

// now is the chance that a limit is broken already.
func (k *Keep) now() float64 {
	var most float64
	for _, m := range k.Markers {
		if m.Limit != nil && m.OverNow > most {
			most = m.OverNow
		}
	}
	return most
}

// finished: as table honey it breaks a limit already, beyond doubt.
func (k *Keep) finished() bool { return k.now() >= 1-quantity.UsualRisk }

func (k *Keep) lacks() (all []string) {
	for _, m := range k.Markers {
		if m.Limit != nil && !m.Known {
			all = append(all, m.Lacks...)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// wholeMonths is how many whole months lie between two days.
func wholeMonths(from, to time.Time) int64 {
	n := (to.Year()-from.Year())*12 + int(to.Month()) - int(from.Month())
	if from.AddDate(0, n, 0).After(to) {
		n--
	}
	return int64(max(n, 0))
}

func (k *Keep) tables(a *answer.Answer) {
	t := a.Table("markers", "marker", "now", "now_low", "now_high", "then", "then_low", "then_high", "limit", "chance_pct")
	for i := range k.Markers {
		m := &k.Markers[i]
		if !m.Known {
			continue
		}
		u := markerUnit[m.Marker]
		var limit any
		if m.Limit != nil {
			limit = tenths(m.Limit.Value, u)
		}
		t.Row(m.mark(), markerKey(m.Marker), tenths(m.Now.Likely, u), tenths(m.Now.Low, u), tenths(m.Now.High, u), tenths(m.Then.Likely, u), tenths(m.Then.Low, u), tenths(m.Then.High, u), limit, chance(m.Over))
	}
	steps := a.Table("keep-steps", "until", "hmf", "hmf_low", "hmf_high", "diastase", "diastase_low", "diastase_high", "chance_pct")
	for _, s := range k.Steps {
		steps.Row(k.stepMark(s), record.DayOf(s.At), tenths(s.HMF.Likely, quantity.MgPerKg), tenths(s.HMF.Low, quantity.MgPerKg), tenths(s.HMF.High, quantity.MgPerKg),
			tenths(s.DN.Likely, quantity.Schade), tenths(s.DN.Low, quantity.Schade), tenths(s.DN.High, quantity.Schade), chance(s.Breach))
	}
	heat := a.Table("heat-had", "place", "from", "to", "coldest_c", "warmest_c", "hmf_added", "hmf_low", "hmf_high", "diastase_kept_pct", "known")
	for _, h := range k.Heat {
		heat.Row(answer.Plain, orNil(h.Place), record.At(h.From), record.At(h.To), tenths(float64(h.Low), quantity.DegC), tenths(float64(h.Top), quantity.DegC), tenths(h.HMF.Likely, quantity.MgPerKg),
			tenths(h.HMF.Low, quantity.MgPerKg), tenths(h.HMF.High, quantity.MgPerKg), quantity.Percent(100*h.DN.Likely), answer.Key(h.How))
	}
}

func (k *Keep) stepMark(s KeepStep) answer.Mark {
	switch {
	case len(k.Limits) == 0 || math.IsNaN(s.Breach):
		return answer.Plain
	case s.Breach >= 0.5:
		return answer.Bad
	case s.Breach > 1-k.Sure:
		return answer.Care
	}
	return answer.Plain
}

func (k *Keep) rests(a *answer.Answer) {
	for _, r := range k.Rests {
		a.RestsOn("rests.assay", answer.Args{"marker": r.key(), "value": r.Value, "of": r.Of, "when": r.When, "days": int64(record.DayOf(k.At) - record.DayOf(r.When.Time()))})
	}
	for _, h := range k.Heat {
		if h.How != courseRead.key() {
			a.RestsOn("rests."+h.How, answer.Args{"place": orNil(h.Place), "low": tenths(float64(h.Low), quantity.DegC), "high": tenths(float64(h.Top), quantity.DegC)})
		}
	}
	k.restsOnRates(a)
	a.RestsOn("rests.store", answer.Args{"temp": tenths(float64(k.Store.Mean), quantity.DegC), "swing": tenths(k.Store.Swing, quantity.KelvinUnit),
		"doubt": tenths(k.Store.SD*honey.NineInTen, quantity.KelvinUnit)})
	for _, l := range k.Store.Lorries {
		a.RestsOn("rests.lorry", answer.Args{"hours": tenths(l.Hours, quantity.Hour), "temp": tenths(float64(l.C), quantity.DegC)})
	}
	a.Follows("follows.assay", nil)
	if k.Rule != nil {
		set := k.Rule.Set.Set()
		a.Follows("follows.limit", answer.Args{"rules": set.Title, "place": k.Rule.Place})
	}
}

// restsOnRates says what is known of each marker's rate.
func (k *Keep) restsOnRates(a *answer.Answer) {
	for _, m := range k.Markers {
		if m.Known && m.Rate.Readings == 0 {
			a.RestsOn("rests.rate-published", answer.Args{"marker": markerKey(m.Marker), "honey": honeyCell(k.Type), "low": hundredths(m.Rate.Factor.Low), "high": hundredths(m.Rate.Factor.High)})
		} else if m.Known {
			a.RestsOn("rests.rate", answer.Args{"marker": markerKey(m.Marker), "honey": honeyCell(k.Type), "n": int64(m.Rate.Readings),
				"likely": hundredths(m.Rate.Factor.Likely), "low": hundredths(m.Rate.Factor.Low), "high": hundredths(m.Rate.Factor.High)})
		}
	}
}

func hundredths(x float64) any {
	return quantity.Figure{Mantissa: int64(math.Round(100 * min(x, 1e6))), Decimals: 2, Unit: quantity.Each}
}

func (k *Keep) next(a *answer.Answer) {
	of := answer.Args{"of": k.Content.Code}
	switch {
	case len(k.lacks()) > 0 && len(k.Limits) > 0:
		a.Then("next.have-read", answer.Args{"of": codesOf(k.lacks())})
	case len(k.Limits) == 0:
	case k.finished():
		a.Then("next.regrade", of)
		a.Then("next.test-first", of)
	case k.now() > quantity.UsualRisk:
		a.Then("next.hold-and-test", of)
	case k.Longest < 1 && k.Ahead:
		a.Then("next.warm-less", of)
	case k.Longest < 1:
		a.Then("next.hold-and-test", of)
	case k.LongestDay().Before(k.Until):
		a.Then("next.shorter-date", answer.Args{"until": record.DayOf(k.LongestDay()), "months": wholeMonths(k.At, k.LongestDay())})
		a.Then("next.keep-cooler", nil)
		a.Then("next.kept-jar", nil)
	default:
		a.Then("next.kept-jar", nil)
	}
	if k.Inferred {
		a.Then("next.read-the-room", nil)
	}
}
