package plan

import (
	"slices"

	q "combline/internal/quantity"
)

// A book is a plan in the making: who is where, and what is left.
type book struct {
	p     *Problem
	spots []*Spot     // by job; nil: not placed
	costs []option    // by job, of those placed
	left  [][]int64   // by resource and half-hour: capacity not taken; for Single its capacity
	runs  [][]booking // by resource, of those that are Single or have one setting: by time
	level [][]event   // by stock: what comes and goes, by time
	owner [][]int     // by stock that is Whole: the jobs that take of it
}

// An event is a change of a stock's level.
type event struct {
	at     Half
	amount int64
	job    int
}

func newBook(p *Problem) *book {
	b := &book{p: p, spots: make([]*Spot, len(p.Jobs)), costs: make([]option, len(p.Jobs)),
		left: make([][]int64, len(p.Resources)), runs: make([][]booking, len(p.Resources)),
		level: make([][]event, len(p.Stocks)), owner: make([][]int, len(p.Stocks))}
	for r := range p.Resources {
		b.left[r] = p.Resources[r].hours(p.Horizon)
	}
	for s := range p.Stocks {
		for _, c := range p.Stocks[s].Comes {
			b.level[s] = append(b.level[s], event{max(0, c.From), c.Amount, -1})
		}
	}
	return b
}

// hours is a resource's capacity for each half-hour.
func (r *Resource) hours(horizon Half) []int64 {
	all := make([]int64, horizon)
	for i, s := range r.Capacity {
		end := horizon
		if i+1 < len(r.Capacity) {
			end = min(end, r.Capacity[i+1].From)
		}
		for t := max(0, s.From); t < end; t++ {
			all[t] = s.Amount
		}
	}
	return all
}

// place puts a job at an option if all it needs is there; otherwise it changes nothing
// and says what is in the way. extra is what changes on the lines then cost more.
func (b *book) place(job int, o option) (extra q.MoneyCents, in *Breach) {
	if in := b.waits(job, o); in != nil {
		return 0, in
	}
	w := &b.p.Jobs[job].Ways[o.way]
	s := &Spot{Job: job, Way: int(o.way), Start: o.start, On: make([][]int, len(w.Uses)), Done: o.start + w.Done}
	s.Late = max(0, s.Done-b.p.Jobs[job].Due)
	for i := range w.Takes {
		if in := b.take(job, &w.Takes[i], o.start); in != nil {
			b.giveBack(job, w)
			return 0, in
		}
	}
	for i := range w.Uses {
		on, more, in := b.pick(job, &w.Uses[i], o.start)
		if in != nil {
			b.unuse(s, i)
			b.giveBack(job, w)
			return 0, in
		}
		s.On[i] = on
		b.use(job, &w.Uses[i], o.start, on, 1)
		extra += more
	}
	b.spots[job], b.costs[job] = s, o
	return extra, nil
}

// force puts a begun job where it stands, whatever that breaks.
func (b *book) force(job int, o option) {
	begun, w := b.p.Jobs[job].Begun, &b.p.Jobs[job].Ways[o.way]
	s := &Spot{Job: job, Way: int(o.way), Start: o.start, On: begun.On, Done: o.start + w.Done}
	if s.On == nil {
		for i := range w.Uses {
			on := slices.Clone(w.Uses[i].Any[:w.Uses[i].count()])
			slices.Sort(on)
			s.On = append(s.On, on)
		}
	}
	s.Late = max(0, s.Done-b.p.Jobs[job].Due)
	b.put(s, o)
}

// put books a spot as it is and asks nothing.
func (b *book) put(s *Spot, o option) {
	j := &b.p.Jobs[s.Job]
	w := &j.Ways[s.Way]
	for i := range w.Uses {
		b.use(s.Job, &w.Uses[i], s.Start, s.On[i], 1)
	}
	for _, t := range w.Takes {
		if at := s.Start + t.At; at >= 0 || j.Begun == nil {
			b.addEvent(t.Stock, event{max(0, at), -t.Amount, s.Job})
		}
	}
	b.spots[s.Job], b.costs[s.Job] = s, o
}

// remove takes a job out again.
func (b *book) remove(job int) {
	s := b.spots[job]
	w := &b.p.Jobs[job].Ways[s.Way]
	b.unuse(s, len(w.Uses))
	b.giveBack(job, w)
	b.spots[job] = nil
}

// unuse frees the first n uses of a spot.
func (b *book) unuse(s *Spot, n int) {
	w := &b.p.Jobs[s.Job].Ways[s.Way]
	for i := range n {
		b.use(s.Job, &w.Uses[i], s.Start, s.On[i], -1)
	}
}

func (b *book) waits(job int, o option) *Breach {
	for _, a := range b.p.Jobs[job].After {
		in := Breach{Kind: Waits, Job: job, Other: a.Job, Resource: -1, Stock: -1, At: o.start, Have: int64(o.start)}
		before := b.spots[a.Job]
		if before == nil {
			return &in
		}
		if in.Need = int64(before.Done + a.Lag); in.Need > in.Have {
			return &in
		}
	}
	return nil
}

// use books (sign 1) or frees (−1) a use.
func (b *book) use(job int, u *Use, start Half, on []int, sign int64) {
	from, to := max(0, start+u.From), min(b.p.Horizon, start+u.To)
	if to <= 0 {
		return
	}
	for _, r := range on {
		res := &b.p.Resources[r]
		if !res.Single {
			for t := from; t < to; t++ {
				b.left[r][t] -= sign * u.Amount
			}
		}
		if !res.Single && !res.OneSetting {
			continue
		}
		k := booking{job, u, start + u.From, start + u.To}
		if sign > 0 {
			i, _ := slices.BinarySearchFunc(b.runs[r], k.from, func(x booking, t Half) int { return int(x.from - t) })
			b.runs[r] = slices.Insert(b.runs[r], i, k)
			continue
		}
		i := slices.Index(b.runs[r], k)
		b.runs[r] = slices.Delete(b.runs[r], i, i+1)
	}
}

// pick chooses the resources for a use: those that cost the least to change over to,
// then the smallest that will do, then the first. If there are too few it says what is
// in the way on the one where most would go well.
func (b *book) pick(job int, u *Use, start Half) (on []int, extra q.MoneyCents, in *Breach) {
	type found struct {
		r     int
		extra q.MoneyCents
		left  int64
	}
	var best []found
	for _, r := range u.Any {
		more, left, breach := b.fits(job, r, u, start)
		if breach != nil {
			if in == nil || breach.At > in.At {
				in = breach
			}
			continue
		}
		best = append(best, found{r, more, left})
		if len(u.Any) == 1 {
			return u.Any, more, nil
		}
	}
	if len(best) < u.count() {
		return nil, 0, in
	}
	slices.SortFunc(best, func(x, y found) int {
		switch {
		case x.extra != y.extra:
			return int(x.extra - y.extra)
		case x.left != y.left:
			return int(x.left - y.left)
		}
		return x.r - y.r
	})
	for _, f := range best[:u.count()] {
		on = append(on, f.r)
		extra += f.extra
	}
	slices.Sort(on)
	return on, extra, nil
}

// fits looks whether a use goes on a resource, what its changes cost more and how much
// the smallest capacity on the way leaves.
func (b *book) fits(job, r int, u *Use, start Half) (extra q.MoneyCents, left int64, in *Breach) {
	from, to := start+u.From, start+u.To
	res, have := &b.p.Resources[r], b.left[r]
	breach := func(kind BreachKind, other int, at Half, need, got int64) *Breach {
		return &Breach{Kind: kind, Job: job, Other: other, Resource: r, Stock: -1, At: at, Need: need, Have: got}
	}
	if to > b.p.Horizon {
		return 0, 0, breach(PastEnd, -1, to, int64(to), int64(b.p.Horizon))
	}
	left = 1 << 62
	for t := from; t < to; t++ {
		if have[t] < u.Amount || res.Single && have[t] == 0 {
			return 0, 0, breach(Overfull, b.holder(r, t), t, u.Amount, have[t])
		}
		left = min(left, have[t]-u.Amount)
	}
	if !res.Single && !res.OneSetting {
		return 0, left, nil
	}
	for _, k := range b.runs[r] {
		if k.from >= to || k.to <= from {
			continue
		}
		if res.Single {
			return 0, 0, breach(TwoAtOnce, k.job, max(from, k.from), 0, 0)
		}
		if k.use.Setting != u.Setting && k.use.Setting != 0 && u.Setting != 0 {
			return 0, 0, breach(Settings, k.job, max(from, k.from), int64(u.Setting), int64(k.use.Setting))
		}
	}
	if res.Changes == nil {
		return 0, left, nil
	}
	extra, in = b.between(job, r, u, from, to)
	return extra, left, in
}

// holder is a job that holds most of a resource at a time; −1: nobody does.
func (b *book) holder(r int, t Half) int {
	job, most := -1, int64(0)
	for _, s := range b.spots {
		if s == nil {
			continue
		}
		uses := b.p.Jobs[s.Job].Ways[s.Way].Uses
		for i := range uses {
			if s.Start+uses[i].From <= t && t < s.Start+uses[i].To && uses[i].Amount > most && slices.Contains(s.On[i], r) {
				job, most = s.Job, uses[i].Amount
			}
		}
	}
	return job
}

// between looks at the runs before and after a new one on a line.
func (b *book) between(job, r int, u *Use, from, to Half) (extra q.MoneyCents, in *Breach) {
	res, runs := &b.p.Resources[r], b.runs[r]
	i, _ := slices.BinarySearchFunc(runs, from, func(x booking, t Half) int { return int(x.from - t) })
	before := booking{job: -1, to: res.Ended}
	family := res.Family
	if i > 0 {
		before, family = runs[i-1], runs[i-1].use.Family
	}
	breach := func(other int, end, start Half, c Change) *Breach {
		return &Breach{Kind: Changing, Job: job, Other: other, Resource: r, Stock: -1, At: from, Need: int64(end + c.Least), Have: int64(start)}
	}
	known := family >= 0 && before.job != job
	if known {
		c := res.Changes[family][u.Family]
		if !b.p.ready(c, before.to, from) {
			return 0, breach(before.job, before.to, from, c)
		}
		extra += c.Cost
	}
	if i == len(runs) {
		return extra, nil
	}
	next := runs[i]
	if next.job != job {
		c := res.Changes[u.Family][next.use.Family]
		if !b.p.ready(c, to, next.from) {
			return 0, breach(next.job, to, next.from, c)
		}
		extra += c.Cost
	}
	if family >= 0 && before.job != next.job {
		extra -= res.Changes[family][next.use.Family].Cost
	}
	return extra, nil
}

// ready reports whether a change is done between two runs.
func (p *Problem) ready(c Change, end, start Half) bool {
	return start >= end+c.Least && !(c.NextDay && p.dayOf(start) <= p.dayOf(end-1))
}

// take books a take if the stock never falls below zero by it.
func (b *book) take(job int, t *Take, start Half) *Breach {
	at, st := max(0, start+t.At), &b.p.Stocks[t.Stock]
	if t.Amount > 0 {
		in := Breach{Job: job, Other: -1, Resource: -1, Stock: t.Stock, At: at, Need: t.Amount}
		for _, o := range b.owner[t.Stock] {
			if o != job {
				in.Kind, in.Other = Shared, o
				return &in
			}
		}
		if left, other := b.least(t.Stock, at); left < t.Amount || st.Held {
			in.Kind, in.Have, in.Other = Short, max(0, left), other
			if st.Held {
				in.Kind, in.Other = OnHold, -1
			}
			return &in
		}
	}
	b.addEvent(t.Stock, event{at, -t.Amount, job})
	return nil
}

func (b *book) addEvent(stock int, e event) {
	all := b.level[stock]
	i, _ := slices.BinarySearchFunc(all, e, func(x, e event) int {
		if x.at != e.at {
			return int(x.at - e.at)
		}
		if x.amount >= e.amount { // what comes, before what goes
			return -1
		}
		return 1
	})
	b.level[stock] = slices.Insert(all, i, e)
	if b.p.Stocks[stock].Whole && e.amount < 0 {
		b.owner[stock] = append(b.owner[stock], e.job)
	}
}

// least is the lowest level of a stock from a time on, and who takes of it last.
func (b *book) least(stock int, from Half) (least int64, other int) {
	level, other := int64(0), -1
	for _, e := range b.level[stock] {
		if e.at <= from {
			level += e.amount
		}
		if e.amount < 0 {
			other = e.job
		}
	}
	least, level = level, 0
	for _, e := range b.level[stock] {
		if level += e.amount; e.at > from {
			least = min(least, level)
		}
	}
	return least, other
}

// giveBack takes a job's events out of the stocks.
func (b *book) giveBack(job int, w *Way) {
	mine := func(e event) bool { return e.job == job }
	for _, t := range w.Takes {
		b.level[t.Stock] = slices.DeleteFunc(b.level[t.Stock], mine)
		if b.p.Stocks[t.Stock].Whole {
			b.owner[t.Stock] = slices.DeleteFunc(b.owner[t.Stock], func(o int) bool { return o == job })
		}
	}
}

// plan writes the book out as a plan.
func (b *book) plan() Plan {
	var p Plan
	for job, s := range b.spots {
		j := &b.p.Jobs[job]
		if s == nil {
			p.Unmet = append(p.Unmet, job)
			p.Cost.Unmet += j.Unmet
			if j.Was != nil {
				p.Cost.Moved += b.p.Move
			}
			continue
		}
		w := &j.Ways[s.Way]
		p.Spots = append(p.Spots, *s)
		p.Cost.Ways += w.Cost
		p.Cost.Unmet += short(j, w)
		p.Cost.Late += j.Late * q.MoneyCents(s.Late)
		p.Cost.Moved += b.costs[job].cost - w.Cost - short(j, w) - j.Late*q.MoneyCents(s.Late)
	}
	p.Cost.Changes = b.changes()
	return p
}

// changes is what all changes on the lines cost.
func (b *book) changes() (sum q.MoneyCents) {
	for r, runs := range b.runs {
		res := &b.p.Resources[r]
		if res.Changes == nil {
			continue
		}
		family, job := res.Family, -1
		for _, k := range runs {
			if family >= 0 && k.job != job {
				sum += res.Changes[family][k.use.Family].Cost
			}
			family, job = k.use.Family, k.job
		}
	}
	return sum
}
