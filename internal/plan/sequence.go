package plan

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// lineRows say for which family a line is set at each time at which a run can begin. It
// stays set from one such time to the next, or is changed over: a change takes the line
// from the last time at which a run of the old family can still be under way, to the
// time at which the new one begins, and costs what it costs. Runs of a family need the
// line set for it. So the model has clean-down times and costs in it.
type lineRows struct {
	line     int
	times    []Half // the first stands for what ran before the plan's start
	families []int
	fills    int // row of the first family's first time: runs less stays
	flows    int // row of the first family's first time: what comes less what goes
	starting int // row: it is set for one family at first
	entering int // row of the first job: whoever runs needs the line to come to its family
}

// sequenced reports whether a line's rules of sequence can go into the model: each way
// has runs of one family on it, and none that could be on another line as well.
func (r *relaxation) sequenced(line int) bool {
	p := r.d.p
	if p.Resources[line].Changes == nil {
		return false
	}
	for job := range p.Jobs {
		for w := range p.Jobs[job].Ways {
			family := -1
			for _, u := range p.Jobs[job].Ways[w].Uses {
				if !slices.Contains(u.Any, line) {
					continue
				}
				if len(u.Any) > 1 || family >= 0 && family != u.Family {
					return false
				}
				family = u.Family
			}
		}
	}
	return true
}

// addLine adds a line's rows.
func (r *relaxation) addLine(line int, times []Half) {
	res := &r.d.p.Resources[line]
	l := lineRows{line: line}
	first := Half(-endless)
	if res.Family >= 0 {
		first = res.Ended - 1
		l.families = append(l.families, res.Family)
	}
	for _, k := range r.begun.runs[line] {
		times = append(times, max(0, k.from))
		l.families = append(l.families, k.use.Family)
	}
	r.each(func(_ int, u *Use, _ Half) {
		if u.Any[0] == line && !slices.Contains(l.families, u.Family) {
			l.families = append(l.families, u.Family)
		}
	})
	times = slices.Sorted(slices.Values(times))
	l.times = append([]Half{first}, slices.Compact(times)...)
	slices.Sort(l.families)
	l.families = slices.Compact(l.families)
	l.fills = len(r.model.Rows)
	for _, f := range l.families {
		for _, t := range l.times {
			under := 0.0
			for _, k := range r.begun.runs[line] {
				if k.use.Family == f && k.from <= t && t < k.to {
					under = 1
				}
			}
			r.model.AddRow(linear.Row{Low: math.Inf(-1), High: -under})
		}
	}
	l.flows = len(r.model.Rows)
	for range l.families {
		for i := range l.times {
			if i == 0 { // nothing comes before
				r.model.AddRow(linear.Row{Low: math.Inf(-1), High: math.Inf(1)})
				continue
			}
			r.model.AddRow(linear.Row{Low: 0, High: 0})
		}
	}
	l.starting = len(r.model.Rows)
	r.model.AddRow(linear.Row{Low: 1, High: 1})
	l.entering = len(r.model.Rows)
	for range r.d.p.Jobs {
		r.model.AddRow(linear.Row{Low: math.Inf(-1), High: 0})
	}
	r.lines = append(r.lines, l)
}

// enter adds a run to the line's rows, if it is on it. The whole of a job's options of a
// family is no more than how often the line comes to that family.
func (l *lineRows) enter(r *relaxation, job int, u *Use, from, to Half) {
	if u.Any[0] != l.line {
		return
	}
	if f := r.d.p.Resources[l.line].Family; f >= 0 && u.Family != f && r.oneFamily(job, l.line) {
		r.sum[l.entering+job] = 1
	}
	f := slices.Index(l.families, u.Family)
	i, _ := slices.BinarySearch(l.times, from)
	for ; i < len(l.times) && l.times[i] < to; i++ {
		r.sum[l.fills+f*len(l.times)+i]++
	}
}

// addSequence adds what a line is set for, and its changes.
func (r *relaxation) addSequence(l *lineRows) {
	n := len(l.times)
	res := &r.d.p.Resources[l.line]
	for f, family := range l.families {
		for i := range n {
			high := 1.0
			if i == 0 && res.Family >= 0 && family != res.Family {
				high = 0
			}
			r.sum[l.fills+f*n+i] = -1
			r.sum[l.flows+f*n+i] += 1
			if i+1 < n {
				r.sum[l.flows+f*n+i+1] -= 1
			}
			if i == 0 {
				r.sum[l.starting] = 1
			}
			r.addOther(0, high)
		}
	}
	l.arcs(r, func(f, k, g, i int) {
		for _, job := range r.d.movable {
			if r.oneFamily(job, l.line) && r.familyOf(job, l.line) == l.families[g] {
				r.sum[l.entering+job] = -1
			}
		}
		r.sum[l.flows+f*n+k+1]++
		r.sum[l.flows+g*n+i]--
		r.addOther(float64(res.Changes[l.families[f]][l.families[g]].Cost), 1)
	})
}

// leaves is the last time at which a run can be under way, if the one after a change
// begins at time i; −1: none.
func (l *lineRows) leaves(p *Problem, c Change, i int) int {
	for k := i - 1; k >= 0; k-- {
		if l.times[k] == -endless || p.ready(c, l.times[k]+1, l.times[i]) {
			return k
		}
	}
	return -1
}

func (r *relaxation) addOther(cost, high float64) {
	r.addColumn(-1, -1, cost)
	c := &r.model.Columns[len(r.model.Columns)-1]
	c.Whole, c.High = false, high
}

// columns is how many columns a line has.
func (l *lineRows) columns(r *relaxation) int {
	n := len(l.families) * len(l.times)
	l.arcs(r, func(int, int, int, int) { n++ })
	return n
}

// arcs calls back for each change in the order of the columns: from a family after a
// time to another at a time.
func (l *lineRows) arcs(r *relaxation, each func(f, k, g, i int)) {
	for f, before := range l.families {
		for g, next := range l.families {
			for i := 1; f != g && i < len(l.times); i++ {
				if k := l.leaves(r.d.p, r.d.p.Resources[l.line].Changes[before][next], i); k >= 0 {
					each(f, k, g, i)
				}
			}
		}
	}
}

// fill writes what a line is set for in a plan.
func (l *lineRows) fill(r *relaxation, plan *Plan, values []float64) {
	c := checker{p: r.d.p, plan: plan, at: make([]*Spot, len(r.d.p.Jobs))}
	for i := range plan.Spots {
		c.at[plan.Spots[i].Job] = &plan.Spots[i]
	}
	n := len(l.times)
	set := make([]int, n) // the family at each time; −1: being changed over
	now := slices.Index(l.families, r.d.p.Resources[l.line].Family)
	runs := c.bookings(l.line)
	if now < 0 && len(runs) > 0 {
		now = slices.Index(l.families, runs[0].use.Family)
	}
	now = max(0, now)
	for i := range set {
		set[i] = now
	}
	taken := map[[2]int]bool{} // changes: to a family at a time
	for _, run := range runs {
		g := slices.Index(l.families, run.use.Family)
		i, _ := slices.BinarySearch(l.times, max(0, run.from))
		if g < 0 || i >= n || g == now {
			continue
		}
		k := l.leaves(r.d.p, r.d.p.Resources[l.line].Changes[l.families[now]][l.families[g]], i)
		for t := max(0, k+1); t < i; t++ {
			set[t] = -1
		}
		for t := i; t < n; t++ {
			set[t] = g
		}
		taken[[2]int{g, i}] = true
		now = g
	}
	for t, f := range set {
		if f >= 0 {
			values[f*n+t] = 1
		}
	}
	at := len(l.families) * n
	l.arcs(r, func(f, k, g, i int) {
		if taken[[2]int{g, i}] && k >= 0 && set[k] == f {
			values[at] = 1
		}
		at++
	})
}

// familyOf is the family of a job's runs on a line; −1: it has none.
func (r *relaxation) familyOf(job, line int) int {
	for _, w := range r.d.p.Jobs[job].Ways {
		for _, u := range w.Uses {
			if u.Any[0] == line {
				return u.Family
			}
		}
	}
	return -1
}

// oneFamily reports whether all runs of a job on a line are of one family.
func (r *relaxation) oneFamily(job, line int) bool {
	family := r.familyOf(job, line)
	for _, w := range r.d.p.Jobs[job].Ways {
		for _, u := range w.Uses {
			if u.Any[0] == line && u.Family != family {
				return false
			}
		}
	}
	return true
}
