package plan

import (
	"cmp"
	"slices"

	q "combline/internal/quantity"
)

// An option is a way at a start, with what it costs wherever the other jobs are: the way
// itself, being late, units missing, being moved. Only changes on the lines come on top.
type option struct {
	way   int32
	start Half
	cost  q.MoneyCents
}

// options lists what a job could do with the house to itself, the cheapest first, and
// what it costs not to do it. Options that cost no less than that are left out.
func (p *Problem) options(job int) (all []option, unmet q.MoneyCents) {
	j := &p.Jobs[job]
	unmet = j.Unmet
	if j.Was != nil {
		unmet += p.Move
	}
	if b := j.Begun; b != nil {
		return []option{{int32(b.Way), b.Start, p.costOf(job, b.Way, b.Start)}}, unmet
	}
	for w := range j.Ways {
		if !p.offered(&j.Ways[w]) {
			continue
		}
		starts := j.Ways[w].Starts
		if starts == nil {
			starts = everyStart(p.Horizon)
		}
		for _, t := range starts {
			if t < max(0, j.Release) || !p.alone(&j.Ways[w], t) {
				continue
			}
			if c := p.costOf(job, w, t); c < unmet {
				all = append(all, option{int32(w), t, c})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b option) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), int(a.start-b.start), int(a.way-b.way))
	})
	return all, unmet
}

func everyStart(horizon Half) []Half {
	all := make([]Half, horizon)
	for t := range all {
		all[t] = Half(t)
	}
	return all
}

// costOf is what a job costs at a start, without changes on the lines.
func (p *Problem) costOf(job, way int, start Half) q.MoneyCents {
	j := &p.Jobs[job]
	w := &j.Ways[way]
	cost := w.Cost + short(j, w) + j.Late*q.MoneyCents(max(0, start+w.Done-j.Due))
	if j.Was != nil && !j.Was.is(w, start) {
		cost += p.Move
	}
	return cost
}

// short is the part of a job's Unmet for the units that a way does not yield, to the
// next cent above.
func short(j *Job, w *Way) q.MoneyCents {
	missing := j.Units - w.Units
	if missing <= 0 {
		return 0
	}
	return q.MoneyCents((int64(j.Unmet)*missing + j.Units - 1) / j.Units)
}

// offered reports whether a way takes nothing that is on hold.
func (p *Problem) offered(w *Way) bool {
	return !slices.ContainsFunc(w.Takes, func(t Take) bool { return t.Amount > 0 && p.Stocks[t.Stock].Held })
}

// alone reports whether a way would go at a start if no other job were there.
func (p *Problem) alone(w *Way, start Half) bool {
	for i := range w.Uses {
		u := &w.Uses[i]
		n := 0
		for _, r := range u.Any {
			if p.free(r, u, start) {
				n++
			}
		}
		if start+u.To > p.Horizon || n < u.count() {
			return false
		}
	}
	return true
}

// free reports whether a resource has the capacity for a use, with nobody else on it.
func (p *Problem) free(r int, u *Use, start Half) bool {
	steps := p.Resources[r].Capacity
	from, to := start+u.From, start+u.To
	least := at(steps, from)
	for _, s := range steps {
		if s.From > from && s.From < to {
			least = min(least, s.Amount)
		}
	}
	return least >= u.Amount && (least > 0 || !p.Resources[r].Single)
}
