package office

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/quantity"
	"combline/internal/record"
)

// KeepAll is how long everything in vessels keeps, reckoned on every core; in the order of
// the vessels.
func (v *View) KeepAll(at time.Time) []Keep {
	var nodes []int
	contents := v.State.Contents()
	for i, c := range contents {
		if c.Grams > 0 && len(c.InLots) == 0 {
			nodes = append(nodes, i)
		}
	}
	all := make([]Keep, len(nodes))
	workers := runtime.GOMAXPROCS(0)
	first := v.assayer() // learns the rates before the others begin
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			a := first
			if w > 0 {
				a = v.assayer()
			}
			for i := w; i < len(nodes); i += workers {
				k, err := a.keep(contents[nodes[i]].Node, KeepAsk{Of: contents[nodes[i]].Code, At: at})
				if err != nil { // beyond what can be reckoned: not known
					k = Keep{Content: contents[nodes[i]], At: at, Longest: quantity.Days(math.NaN())}
				}
				all[i] = k
			}
		})
	}
	wait.Wait()
	return all
}

// KeepingAll answers what keeps how long, what runs out first on top.
func (o *Office) KeepingAll(at time.Time) (a answer.Answer) {
	o.Read(func(v *View) { a = v.KeepingAll(at) })
	return a
}

// KeepingAll is [Office.KeepingAll] on a view.
func (v *View) KeepingAll(at time.Time) answer.Answer {
	a := answer.Answer{Question: "keeping-all"}
	all := v.KeepAll(at)
	slices.SortStableFunc(all, func(x, y Keep) int { return cmp.Compare(x.sortDays(), y.sortDays()) })
	table := a.Table("keep-all", "content", "honey", "mass_g", "place", "hmf", "hmf_then", "hmf_high", "chance_pct", "safe_until")
	unknown, short := int64(0), int64(0)
	for i := range all {
		k := &all[i]
		row := []any{k.Content.Code, honeyCell(k.Type), k.Content.Grams, orNil(k.Content.Place), nil, nil, nil, chance(k.Breach), nil}
		mark := k.stepMark(KeepStep{Breach: k.Breach})
		for _, m := range k.Markers {
			if m.Marker == assay.HMF && m.Known {
				row[4], row[5], row[6] = tenths(m.Now.Likely, quantity.MgPerKg), tenths(m.Then.Likely, quantity.MgPerKg), tenths(m.Then.High, quantity.MgPerKg)
			}
		}
		switch {
		case len(k.Limits) == 0:
		case math.IsNaN(float64(k.Longest)):
			unknown++
			mark = answer.Care
		default:
			row[8] = record.DayOf(k.LongestDay())
			if k.LongestDay().Before(k.Until) {
				short++
			}
		}
		table.Row(mark, row...)
	}
	a.Say("keep.all", answer.Args{"n": int64(len(all)), "short": short, "until": record.DayOf(at.AddDate(0, int(v.State.Setting("keep.months", keepMonths).Float()), 0))})
	if unknown > 0 {
		a.Warn("keep.all-unknown", answer.Args{"n": unknown})
	}
	for _, r := range v.Rates() {
		if r.Readings > 0 {
			a.RestsOn("rests.rate", answer.Args{"marker": markerKey(r.Marker), "honey": honeyCell(r.Type), "n": int64(r.Readings), "likely": hundredths(r.Factor.Likely), "low": hundredths(r.Factor.Low), "high": hundredths(r.Factor.High)})
		}
	}
	a.Follows("follows.assay", nil)
	v.restsOnRecord(&a)
	return a
}

// sortDays: what is over comes first, what can't be said next, what has no limit last.
func (k *Keep) sortDays() float64 {
	switch {
	case len(k.Limits) == 0:
		return math.Inf(1)
	case math.IsNaN(float64(k.Longest)):
		return 0.5
	}
	return float64(k.Longest)
}
