package plan

import (
	"cmp"
	"slices"

	q "combline/internal/quantity"
)

// QuickSteps is the work that [Quick] usually gets: tries of one job at one start.
const QuickSteps = 400_000

// Quick finds a sound plan: jobs one by one, each at its cheapest start that is free, in
// several orders; then some jobs are taken out and put back in another order as long as
// steps last. If the problem says where jobs were, it begins from there. Begun jobs stand
// where they are, even if that breaks something, which [Check] then tells.
func Quick(p *Problem, steps int) (Plan, error) {
	if err := p.Check(); err != nil {
		return Plan{}, err
	}
	d := newDesk(p)
	d.first()
	d.improve(steps)
	return d.best, nil
}

// A desk is a search for plans by hand's rules.
type desk struct {
	p       *Problem
	book    *book
	opts    [][]option     // by job, the cheapest first
	unmet   []q.MoneyCents // by job, of leaving it out
	taken   [][]int        // by job: the stocks that it may take of
	gives   [][]int        // by job: the stocks that it may add to
	movable []int          // jobs that are not begun and have an option
	best    Plan
	tries   int
	dice    dice
	stop    func() bool // asked now and then; nil never stops
}

func newDesk(p *Problem) *desk {
	n := len(p.Jobs)
	d := &desk{p: p, opts: make([][]option, n), unmet: make([]q.MoneyCents, n), taken: make([][]int, n), gives: make([][]int, n), dice: 1}
	for job := range p.Jobs {
		d.opts[job], d.unmet[job] = p.options(job)
		for _, w := range p.Jobs[job].Ways {
			for _, t := range w.Takes {
				if t.Amount > 0 {
					d.taken[job] = append(d.taken[job], t.Stock)
				} else if t.Amount < 0 {
					d.gives[job] = append(d.gives[job], t.Stock)
				}
			}
		}
		if p.Jobs[job].Begun == nil && len(d.opts[job]) > 0 {
			d.movable = append(d.movable, job)
		}
	}
	d.clear()
	return d
}

// clear begins a new book with the begun jobs in it.
func (d *desk) clear() {
	d.book = newBook(d.p)
	for job := range d.p.Jobs {
		if d.p.Jobs[job].Begun != nil {
			d.book.force(job, d.opts[job][0])
		}
	}
}

// first tries several orders and keeps the best plan.
func (d *desk) first() {
	d.keep()
	d.insert(d.sorted(func(job int) int64 { return int64(d.was(job)) }))
	d.best = d.book.plan()
	for _, key := range []func(job int) int64{
		func(job int) int64 { return int64(d.was(job)) },
		func(job int) int64 { return int64(d.p.Jobs[job].Due) },
		func(job int) int64 { return int64(d.opts[job][0].start) },
		func(job int) int64 { return -int64(d.unmet[job]) },
		func(job int) int64 { return int64(len(d.opts[job])) },
		func(job int) int64 { return -int64(d.p.Jobs[job].Late) },
		d.family,
	} {
		d.clear()
		d.insert(d.sorted(key))
		if p := d.book.plan(); p.Cost.Sum() < d.best.Cost.Sum() {
			d.best = p
		}
	}
	d.restore(&d.best)
}

// keep puts jobs where the plan before had them, as far as they still can be there.
func (d *desk) keep() {
	for range 2 { // those that wait for others come in the second round
		for _, job := range d.sorted(func(job int) int64 { return int64(d.was(job)) }) {
			was := d.p.Jobs[job].Was
			if was == nil || d.book.spots[job] != nil {
				continue
			}
			for _, o := range d.opts[job] {
				if was.is(&d.p.Jobs[job].Ways[o.way], o.start) {
					if _, in := d.book.place(job, o); in == nil {
						break
					}
				}
			}
		}
	}
}

// was is when the plan before had a job; without, after all that it had.
func (d *desk) was(job int) Half {
	if w := d.p.Jobs[job].Was; w != nil {
		return w.Start
	}
	return d.p.Horizon + d.p.Jobs[job].Due
}

// family puts runs of one family together, in the order of the families.
func (d *desk) family(job int) int64 {
	j := &d.p.Jobs[job]
	for _, u := range j.Ways[d.opts[job][0].way].Uses {
		if d.p.Resources[u.Any[0]].Changes != nil {
			return int64(u.Family)<<32 + int64(j.Due)
		}
	}
	return int64(j.Due)
}

func (d *desk) sorted(key func(job int) int64) []int {
	order := slices.Clone(d.movable)
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(d.p.Jobs[a].Due, d.p.Jobs[b].Due))
	})
	return order
}

// insert places jobs in an order, each at its best; those that had to wait for another
// are tried again until nothing moves.
func (d *desk) insert(order []int) {
	for again := true; again; {
		again = false
		for _, job := range order {
			if d.book.spots[job] == nil && d.settle(job) && (len(d.gives[job]) > 0 || d.waitedFor(job)) {
				again = true
			}
		}
	}
}

func (d *desk) waitedFor(job int) bool {
	for i := range d.p.Jobs {
		for _, a := range d.p.Jobs[i].After {
			if a.Job == job {
				return true
			}
		}
	}
	return false
}

// settle places a job where it costs least as things stand; false if it costs less to
// leave it out.
func (d *desk) settle(job int) bool {
	best, least := -1, d.unmet[job]
	for i, o := range d.opts[job] {
		if o.cost >= least {
			break
		}
		d.tries++
		extra, in := d.book.place(job, o)
		if in != nil {
			continue
		}
		if extra <= 0 {
			return true
		}
		if o.cost+extra < least {
			best, least = i, o.cost+extra
		}
		d.book.remove(job)
	}
	if best < 0 {
		return false
	}
	d.book.place(job, d.opts[job][best])
	return true
}

// cost is what the book costs as it stands.
func (d *desk) cost() q.MoneyCents {
	sum := d.book.changes()
	for job, s := range d.book.spots {
		if s == nil {
			sum += d.unmet[job]
		} else {
			sum += d.book.costs[job].cost
		}
	}
	return sum
}

// restore makes the book a plan's.
func (d *desk) restore(plan *Plan) {
	d.book = newBook(d.p)
	for i := range plan.Spots {
		s := plan.Spots[i]
		d.book.put(&s, option{int32(s.Way), s.Start, d.p.costOf(s.Job, s.Way, s.Start)})
	}
}
