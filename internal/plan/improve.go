package plan

import (
	"cmp"
	"slices"

	q "combline/internal/quantity"
)

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
