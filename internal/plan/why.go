package plan

import (
	"cmp"
	"slices"
)

// A Reason says why a job stands where it does, or nowhere.
type Reason struct {
	Job int
	// Earlier is the latest start before the job's own at which it would be done earlier;
	// −1: there is none. Holds is what is in the way there; nil: nothing is, it need not
	// be earlier. Of a job that is not done, Holds is what is in the way of most of its
	// options, at the first of them.
	Earlier Half
	Holds   *Breach
	// Beside is when the job could be done at the earliest beside all others as they
	// stand, Alone with the house to itself; −1: not within the horizon.
	Beside, Alone Half
	// Never is why it can't be done even alone; nil if it can.
	Never *Breach
}

// Why explains a plan, a reason for each job, by job. The plan must be sound; see [Check].
func Why(p *Problem, plan *Plan) []Reason {
	d := newDesk(p)
	d.restore(plan)
	all := make([]Reason, len(p.Jobs))
	for job := range p.Jobs {
		all[job] = d.why(job)
	}
	return all
}

// Earliest is the spot at which a job would be done first beside the other jobs as they
// stand in a plan; false, with what is in the way of most of its starts, if it can't be
// done within the horizon. It serves to ask for the date of an order that nobody has
// planned yet: add it to the problem as a job and to the plan as unmet.
func Earliest(p *Problem, plan *Plan, job int) (Spot, *Breach, bool) {
	d := newDesk(p)
	d.restore(plan)
	return d.earliest(job)
}

func (d *desk) why(job int) Reason {
	r := Reason{Job: job, Earlier: -1, Beside: -1, Alone: -1}
	if s := d.book.spots[job]; s != nil && d.p.Jobs[job].Begun != nil {
		r.Beside, r.Alone = s.Done, s.Done
		return r
	}
	if s := d.book.spots[job]; s != nil {
		r.Earlier, r.Holds = d.earlier(job, s)
	}
	spot, holds, ok := d.earliest(job)
	if ok {
		r.Beside = spot.Done
	} else {
		r.Holds = holds
	}
	r.Alone, r.Never = d.alone(job)
	return r
}

// everywhere lists all ways and starts of a job, the earliest done first.
func (d *desk) everywhere(job int) []option {
	var all []option
	for w := range d.p.Jobs[job].Ways {
		way := &d.p.Jobs[job].Ways[w]
		starts := way.Starts
		if starts == nil {
			starts = everyStart(d.p.Horizon)
		}
		for _, t := range starts {
			if t >= max(0, d.p.Jobs[job].Release) {
				all = append(all, option{way: int32(w), start: t, cost: d.p.costOf(job, w, t)})
			}
		}
	}
	done := func(o option) Half { return o.start + d.p.Jobs[job].Ways[o.way].Done }
	slices.SortStableFunc(all, func(a, b option) int {
		return cmp.Or(int(done(a)-done(b)), cmp.Compare(a.cost, b.cost))
	})
	return all
}

// earlier is the latest try by which a placed job would be done before it is now, and
// what is in its way.
func (d *desk) earlier(job int, s *Spot) (Half, *Breach) {
	best := option{way: -1}
	for _, o := range d.everywhere(job) {
		if o.start+d.p.Jobs[job].Ways[o.way].Done >= s.Done {
			break
		}
		if o.start < s.Start && (best.way < 0 || o.start > best.start || o.start == best.start && int(o.way) == s.Way) {
			best = o
		}
	}
	if best.way < 0 {
		return -1, nil
	}
	var holds *Breach
	d.without(job, func() {
		if _, holds = d.book.place(job, best); holds == nil {
			d.book.remove(job)
		}
	})
	return best.start, holds
}

// without takes a job out of the book for a while.
func (d *desk) without(job int, do func()) {
	s, o := d.book.spots[job], d.book.costs[job]
	if s != nil {
		d.book.remove(job)
	}
	do()
	if s != nil {
		d.book.put(s, o)
	}
}

// earliest tries a job everywhere beside the others. What holds it is told of the tries
// that would do if nobody else were there, if there are any.
func (d *desk) earliest(job int) (spot Spot, holds *Breach, ok bool) {
	d.without(job, func() {
		var others, any causes
		for _, o := range d.everywhere(job) {
			_, in := d.book.place(job, o)
			if in == nil {
				spot, ok = *d.book.spots[job], true
				d.book.remove(job)
				return
			}
			any.add(in)
			if w := &d.p.Jobs[job].Ways[o.way]; d.p.offered(w) && d.p.alone(w, o.start) {
				others.add(in)
			}
		}
		if holds = others.most(); holds == nil {
			holds = any.most()
		}
	})
	return spot, holds, ok
}

// alone tries a job everywhere with nothing else there but begun jobs, and those that it
// waits for, which are taken to be done as early as they can be.
func (d *desk) alone(job int) (Half, *Breach) {
	kept := d.book
	defer func() { d.book = kept }()
	d.clear()
	d.before(job)
	spot, in, ok := d.earliest(job)
	if !ok {
		return -1, in
	}
	return spot.Done, nil
}

// before places the jobs that a job waits for.
func (d *desk) before(job int) {
	for _, a := range d.p.Jobs[job].After {
		if d.book.spots[a.Job] != nil {
			continue
		}
		d.before(a.Job)
		if s, _, ok := d.earliest(a.Job); ok {
			d.book.place(a.Job, option{way: int32(s.Way), start: s.Start})
		}
	}
}

// causes counts what is in the way.
type causes []struct {
	first *Breach
	times int
}

func (c *causes) add(b *Breach) {
	for i := range *c {
		f := (*c)[i].first
		if f.Kind == b.Kind && f.Resource == b.Resource && f.Stock == b.Stock {
			(*c)[i].times++
			return
		}
	}
	*c = append(*c, struct {
		first *Breach
		times int
	}{b, 1})
}

// most is the cause that was met most often, at its first; nil if there was none.
func (c causes) most() *Breach {
	var best *Breach
	times := 0
	for _, x := range c {
		if x.times > times {
			best, times = x.first, x.times
		}
	}
	return best
}
