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

// The search goes on from a plan that is a little worse than the best, at first by this
// part of what the best costs above its jobs alone.
const worseAtFirst = 0.1

// After so many rounds for each job that found nothing better, a search ends: in a small
// house long before its steps.
const mostIdle = 1500

// improve takes some jobs out and puts them back, as long as the steps last and there is
// anything to be had.
func (d *desk) improve(steps int) {
	if len(d.movable) == 0 {
		return
	}
	alone := q.MoneyCents(0)
	for job := range d.p.Jobs {
		alone += d.cheapest(job)
	}
	end := d.tries + steps
	now := d.best.Cost.Sum()
	idle := 0
	for round := 1; d.tries < end && d.best.Cost.Sum() > alone && idle < mostIdle*len(d.movable); round++ {
		idle++
		if d.tries++; round%64 == 0 && d.stop != nil && d.stop() {
			break
		}
		var out []removed
		var order []int
		switch d.dice.below(4) {
		case 0:
			out = d.remove()
			order = d.shuffled(out)
		case 1:
			out = d.empty()
			order = d.campaign(out)
		default:
			out = d.push(d.costly())
			order = d.shuffled(out)
		}
		d.insert(order)
		cost := d.cost()
		left := float64(end-d.tries) / float64(steps)
		allowed := d.best.Cost.Sum() + q.MoneyCents(worseAtFirst*max(0, left)*float64(d.best.Cost.Sum()-alone))
		switch {
		case cost < d.best.Cost.Sum():
			d.best = d.book.plan()
			now, idle = cost, 0
		case cost <= max(now, allowed):
			now = cost
		default:
			d.putBack(out)
		}
	}
	d.restore(&d.best)
}

// empty takes out all that runs on a line with changes for a day or some.
func (d *desk) empty() []removed {
	var lines []int
	for r := range d.p.Resources {
		if d.p.Resources[r].Changes != nil && len(d.book.runs[r]) > 0 {
			lines = append(lines, r)
		}
	}
	if len(lines) == 0 {
		return d.remove()
	}
	runs := slices.Clone(d.book.runs[lines[d.dice.below(len(lines))]])
	from := d.dice.below(len(runs))
	var all []removed
	for _, k := range runs[from:min(len(runs), from+2+d.dice.below(mostOut))] {
		if d.book.spots[k.job] != nil && d.p.Jobs[k.job].Begun == nil {
			d.lift(k.job, &all)
		}
	}
	return d.alsoOut(all)
}

// campaign is an order that keeps families together, one family or another first.
func (d *desk) campaign(out []removed) []int {
	order := d.shuffled(out)
	turn := d.dice.below(8)
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare((d.family(a)>>32+int64(turn))%8, (d.family(b)>>32+int64(turn))%8)
	})
	return order
}

// alsoOut adds the jobs that stand nowhere: they may find a place now.
func (d *desk) alsoOut(all []removed) []removed {
	for _, k := range d.movable {
		if d.book.spots[k] == nil && !slices.ContainsFunc(all, func(r removed) bool { return r.job == k }) {
			all = append(all, removed{job: k})
		}
	}
	return all
}

// push puts a job at one of its options, the likelier the cheaper, and takes out
// whatever is in its way.
func (d *desk) push(job int) []removed {
	n := len(d.opts[job])
	o := d.opts[job][d.dice.below(1+d.dice.below(n))]
	var all []removed
	d.lift(job, &all)
	for range 3 * mostOut {
		d.tries++
		_, in := d.book.place(job, o)
		if in == nil || in.Other < 0 || in.Other == job || in.Kind == Waits || d.p.Jobs[in.Other].Begun != nil {
			break
		}
		d.lift(in.Other, &all)
	}
	return d.alsoOut(all)
}

// lift takes a job out, with those that hang on it.
func (d *desk) lift(job int, all *[]removed) {
	out := make([]bool, len(d.p.Jobs))
	out[job] = true
	d.close(out)
	for k, is := range out {
		if !is || d.p.Jobs[k].Begun != nil {
			continue
		}
		*all = append(*all, removed{k, d.book.spots[k], d.book.costs[k]})
		if d.book.spots[k] != nil {
			d.book.remove(k)
		}
	}
}

// A removed is a job that was taken out, with where it stood; nil: nowhere.
type removed struct {
	job  int
	spot *Spot
	cost option
}

const mostOut = 6 // jobs taken out together, without those that hang on them

// remove takes jobs out: one that costs more than it would alone, and some of those
// that are in its way, or any.
func (d *desk) remove() []removed {
	first := d.costly()
	list := []int{first}
	rivals := d.rivals(first)
	for n := 1 + d.dice.below(mostOut-1); n > 0 && len(rivals) > 0; n-- {
		i := d.dice.below(len(rivals))
		list = append(list, rivals[i])
		rivals = slices.Delete(rivals, i, i+1)
	}
	out := make([]bool, len(d.p.Jobs))
	for _, job := range list {
		out[job] = true
	}
	d.close(out)
	var all []removed
	for job, is := range out {
		if !is || d.p.Jobs[job].Begun != nil {
			continue
		}
		all = append(all, removed{job, d.book.spots[job], d.book.costs[job]})
	}
	for _, r := range all {
		if r.spot != nil {
			d.book.remove(r.job)
		}
	}
	for _, job := range d.movable {
		if d.book.spots[job] == nil && !out[job] {
			all = append(all, removed{job: job})
		}
	}
	return all
}

// costly draws a job, the likelier the more it costs above its cheapest.
func (d *desk) costly() int {
	if d.dice.below(4) == 0 {
		return d.movable[d.dice.below(len(d.movable))]
	}
	job, most := d.movable[0], q.MoneyCents(-1)
	for range 3 {
		k := d.movable[d.dice.below(len(d.movable))]
		over := d.unmet[k] - d.opts[k][0].cost
		if d.book.spots[k] != nil {
			over = d.book.costs[k].cost - d.opts[k][0].cost
		}
		if over > most {
			job, most = k, over
		}
	}
	return job
}

// rivals are the placed jobs that stand about where a job would best.
func (d *desk) rivals(job int) []int {
	best := d.opts[job][0]
	end := best.start + d.p.Jobs[job].Ways[best.way].Done
	var near []int
	for _, k := range d.movable {
		s := d.book.spots[k]
		if k == job || s == nil {
			continue
		}
		if s.Start < end+Day && s.Done > best.start-Day || d.dice.below(8) == 0 {
			near = append(near, k)
		}
	}
	return near
}

// close adds the jobs that can't stay without those that go.
func (d *desk) close(out []bool) {
	for again := true; again; {
		again = false
		for job := range d.p.Jobs {
			if out[job] || d.book.spots[job] == nil {
				continue
			}
			if d.hangs(job, out) {
				out[job], again = true, true
			}
		}
	}
}

// hangs reports whether a job waits for, or takes of what is made by, one that goes.
func (d *desk) hangs(job int, out []bool) bool {
	for _, a := range d.p.Jobs[job].After {
		if out[a.Job] {
			return true
		}
	}
	for k, is := range out {
		if !is {
			continue
		}
		for _, s := range d.gives[k] {
			if slices.Contains(d.taken[job], s) {
				return true
			}
		}
	}
	return false
}

// shuffled is an order to put jobs back in: any, or by due date, or as they stood.
func (d *desk) shuffled(out []removed) []int {
	var order []int
	for _, r := range out {
		order = append(order, r.job)
	}
	for i := len(order) - 1; i > 0; i-- {
		k := d.dice.below(i + 1)
		order[i], order[k] = order[k], order[i]
	}
	if d.dice.below(4) == 0 {
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.p.Jobs[a].Due, d.p.Jobs[b].Due) })
	}
	return order
}

// putBack undoes a remove and what came after it.
func (d *desk) putBack(out []removed) {
	for _, r := range out {
		if d.book.spots[r.job] != nil {
			d.book.remove(r.job)
		}
	}
	for _, r := range out {
		if r.spot != nil {
			d.book.put(r.spot, r.cost)
		}
	}
}

// dice are numbers that look random and are the same each time: Vigna's splitmix64,
// as published at prng.di.unimi.it/splitmix64.c (constants from memory).
type dice uint64

func (d *dice) below(n int) int {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return int((z ^ z>>31) % uint64(n))
}
