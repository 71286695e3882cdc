package plan

import (
	"cmp"
	"slices"

	q "combline/internal/quantity"
)

// A Breach is one thing that is wrong with a plan.
type Breach struct {
	Kind     BreachKind
	Job      int // −1: none
	Other    int // the other job; −1: none
	Resource int // −1: none
	Stock    int // −1: none
	At       Half
	Need     int64 // what is asked for or told
	Have     int64 // what there is
}

// A BreachKind says which rule is broken.
type BreachKind string

// What can be wrong with a plan.
const (
	Missing   BreachKind = "missing"     // a job is nowhere, or twice, or a begun job was moved
	NoWay     BreachKind = "no-way"      // no such way, or on resources that would not do
	NotThen   BreachKind = "not-then"    // a start that the way does not allow
	TooEarly  BreachKind = "too-early"   // before its release
	PastEnd   BreachKind = "past-end"    // past the horizon
	Overfull  BreachKind = "overfull"    // more than a resource's capacity at a time: room, tank, hands
	TwoAtOnce BreachKind = "two-at-once" // two contents in a vessel, two runs on a line
	Changing  BreachKind = "changing"    // a run before its line is cleaned down for it
	Settings  BreachKind = "settings"    // a room at two settings at once
	Short     BreachKind = "short"       // a stock below zero
	OnHold    BreachKind = "on-hold"     // taken of what is on hold
	Shared    BreachKind = "shared"      // a whole drum for two jobs
	Waits     BreachKind = "waits"       // before the job that it waits for is done
	ToldWrong BreachKind = "told-wrong"  // done, late or cost are not what the plan says
)

// A booking is a spot's use of one resource.
type booking struct {
	job      int
	use      *Use
	from, to Half
}

// Check tells everything that is wrong with a plan, sorted; nothing for a sound one. It
// counts every half-hour by itself and knows nothing of how plans are made. A problem
// that is not well formed is not for it; see [Problem.Check].
func Check(p *Problem, plan *Plan) []Breach {
	c := checker{p: p, plan: plan, at: make([]*Spot, len(p.Jobs))}
	c.jobs()
	for r := range p.Resources {
		c.resource(r)
	}
	for s := range p.Stocks {
		c.stock(s)
	}
	c.waits()
	c.told()
	slices.SortStableFunc(c.found, func(a, b Breach) int {
		return cmp.Or(int(a.At-b.At), cmp.Compare(a.Kind, b.Kind), a.Job-b.Job, a.Other-b.Other, a.Resource-b.Resource, a.Stock-b.Stock)
	})
	return c.found
}

type checker struct {
	p     *Problem
	plan  *Plan
	at    []*Spot // by job, of those that stand soundly enough to be looked at
	found []Breach
}

func (c *checker) add(b Breach) { c.found = append(c.found, b) }

// of is a breach of a job alone.
func of(kind BreachKind, job int, at Half) Breach {
	return Breach{Kind: kind, Job: job, Other: -1, Resource: -1, Stock: -1, At: at}
}

// jobs looks at each job by itself.
func (c *checker) jobs() {
	times := make([]int, len(c.p.Jobs))
	for _, j := range c.plan.Unmet {
		if j < 0 || j >= len(times) {
			c.add(of(Missing, j, 0))
			continue
		}
		times[j]++
	}
	for i := range c.plan.Spots {
		s := &c.plan.Spots[i]
		if s.Job < 0 || s.Job >= len(times) {
			c.add(of(Missing, s.Job, s.Start))
			continue
		}
		times[s.Job]++
		if c.stands(s) {
			c.at[s.Job] = s
		}
	}
	for j, n := range times {
		if n != 1 {
			c.add(of(Missing, j, 0))
		}
		if b := c.p.Jobs[j].Begun; b != nil && n == 1 {
			if s := c.at[j]; s == nil || s.Way != b.Way || s.Start != b.Start {
				c.add(of(Missing, j, b.Start))
			}
		}
	}
}

// stands reports whether a spot's way and resources exist, and looks at its times.
func (c *checker) stands(s *Spot) bool {
	j := &c.p.Jobs[s.Job]
	if s.Way < 0 || s.Way >= len(j.Ways) || len(s.On) != len(j.Ways[s.Way].Uses) {
		c.add(of(NoWay, s.Job, s.Start))
		return false
	}
	w := &j.Ways[s.Way]
	for i := range w.Uses {
		if !chosen(&w.Uses[i], s.On[i]) {
			c.add(of(NoWay, s.Job, s.Start+w.Uses[i].From))
			return false
		}
	}
	if j.Begun == nil {
		c.times(s, j, w)
	}
	return true
}

// chosen reports whether resources were taken as the use asks.
func chosen(u *Use, on []int) bool {
	for i, r := range on {
		if !slices.Contains(u.Any, r) || slices.Contains(on[:i], r) {
			return false
		}
	}
	return len(on) == max(1, u.Count)
}

func (c *checker) times(s *Spot, j *Job, w *Way) {
	if s.Start < j.Release || s.Start < 0 {
		c.add(of(TooEarly, s.Job, s.Start))
	}
	if w.Starts != nil && !slices.Contains(w.Starts, s.Start) {
		c.add(of(NotThen, s.Job, s.Start))
	}
	for i := range w.Uses {
		if end := s.Start + w.Uses[i].To; end > c.p.Horizon {
			c.add(of(PastEnd, s.Job, end))
		}
	}
}

// bookings lists who is on a resource, from the plan's start on, by time.
func (c *checker) bookings(r int) []booking {
	var all []booking
	for job, s := range c.at {
		if s == nil {
			continue
		}
		for i := range c.p.Jobs[job].Ways[s.Way].Uses {
			u := &c.p.Jobs[job].Ways[s.Way].Uses[i]
			if to := s.Start + u.To; to > 0 && slices.Contains(s.On[i], r) {
				all = append(all, booking{job, u, s.Start + u.From, to})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b booking) int { return cmp.Or(int(a.from-b.from), int(a.to-b.to)) })
	return all
}

func (c *checker) resource(r int) {
	res, all := &c.p.Resources[r], c.bookings(r)
	b := Breach{Other: -1, Resource: r, Stock: -1}
	for t := Half(0); t < c.p.Horizon; t++ {
		have, need, last := at(res.Capacity, t), int64(0), -1
		for _, k := range all {
			if k.from <= t && t < k.to {
				need += k.use.Amount
				last = k.job
				if res.Single && k.use.Amount == 0 && have == 0 {
					need++ // something is in it, however little
				}
			}
		}
		if need > have {
			b.Kind, b.Job, b.At, b.Need, b.Have = Overfull, last, t, need, have
			c.add(b)
			t = c.next(r, all, t) - 1 // once for each stretch of the same kind
		}
	}
	c.pairs(r, all)
	c.sequence(r, all)
}

// next is the next time after t at which anything on a resource changes.
func (c *checker) next(r int, all []booking, t Half) Half {
	n := c.p.Horizon
	for _, k := range all {
		for _, x := range []Half{k.from, k.to} {
			if x > t {
				n = min(n, x)
			}
		}
	}
	for _, s := range c.p.Resources[r].Capacity {
		if s.From > t {
			n = min(n, s.From)
		}
	}
	return n
}

// pairs finds two contents in one vessel, two runs on one line, two settings in a room.
func (c *checker) pairs(r int, all []booking) {
	res := &c.p.Resources[r]
	for i, a := range all {
		for _, b := range all[i+1:] {
			if b.from >= a.to {
				continue
			}
			found := Breach{Job: a.job, Other: b.job, Resource: r, Stock: -1, At: b.from}
			if res.Single {
				found.Kind = TwoAtOnce
				c.add(found)
			}
			if res.OneSetting && a.use.Setting != b.use.Setting && a.use.Setting != 0 && b.use.Setting != 0 {
				found.Kind, found.Need, found.Have = Settings, int64(b.use.Setting), int64(a.use.Setting)
				c.add(found)
			}
		}
	}
}

// sequence finds runs that begin before their line is ready for them.
func (c *checker) sequence(r int, all []booking) {
	c.changes(r, all, func(ch Change, before int, end Half, next booking) {
		late := next.from < end+ch.Least || ch.NextDay && c.p.dayOf(next.from) <= c.p.dayOf(end-1)
		if late && next.from >= 0 {
			c.add(Breach{Kind: Changing, Job: next.job, Other: before, Resource: r, Stock: -1, At: next.from,
				Need: int64(end + ch.Least), Have: int64(next.from)})
		}
	})
}

// changes calls back for each change from one job's run to the next one's.
func (c *checker) changes(r int, all []booking, each func(ch Change, before int, end Half, next booking)) {
	res := &c.p.Resources[r]
	if res.Changes == nil {
		return
	}
	family, end, job := res.Family, res.Ended, -1
	for _, k := range all {
		if family >= 0 && k.job != job {
			each(res.Changes[family][k.use.Family], job, end, k)
		}
		family, end, job = k.use.Family, k.to, k.job
	}
}

func (c *checker) stock(s int) {
	st := &c.p.Stocks[s]
	type event struct {
		at     Half
		amount int64 // that comes; below zero: goes
		job    int
	}
	var all []event
	for _, k := range st.Comes {
		all = append(all, event{max(0, k.From), k.Amount, -1})
	}
	owner := -1
	for job, spot := range c.at {
		if spot == nil {
			continue
		}
		for _, k := range c.p.Jobs[job].Ways[spot.Way].Takes {
			t := spot.Start + k.At
			if k.Stock != s || t < 0 && c.p.Jobs[job].Begun != nil {
				continue
			}
			t = max(0, t)
			all = append(all, event{t, -k.Amount, job})
			b := Breach{Job: job, Other: owner, Resource: -1, Stock: s, At: t, Need: k.Amount}
			if st.Held && k.Amount > 0 {
				b.Kind, b.Other = OnHold, -1
				c.add(b)
			}
			if st.Whole && k.Amount > 0 && owner >= 0 && owner != job {
				b.Kind, b.Other = Shared, owner
				c.add(b)
			}
			if k.Amount > 0 {
				owner = job
			}
		}
	}
	slices.SortStableFunc(all, func(a, b event) int { return cmp.Or(int(a.at-b.at), cmp.Compare(b.amount, a.amount)) })
	level := int64(0)
	for _, e := range all {
		if level += e.amount; level < 0 && e.amount < 0 {
			c.add(Breach{Kind: Short, Job: e.job, Other: -1, Resource: -1, Stock: s, At: e.at, Need: -e.amount, Have: level - e.amount})
		}
	}
}

func (c *checker) waits() {
	for job, s := range c.at {
		if s == nil || c.p.Jobs[job].Begun != nil {
			continue
		}
		for _, a := range c.p.Jobs[job].After {
			before := c.at[a.Job]
			b := Breach{Kind: Waits, Job: job, Other: a.Job, Resource: -1, Stock: -1, At: s.Start, Have: int64(s.Start)}
			if before == nil {
				c.add(b)
				continue
			}
			ready := before.Start + c.p.Jobs[a.Job].Ways[before.Way].Done + a.Lag
			if b.Need = int64(ready); s.Start < ready {
				c.add(b)
			}
		}
	}
}

// told counts again what the plan says of itself.
func (c *checker) told() {
	for job, s := range c.at {
		if s == nil {
			continue
		}
		done := s.Start + c.p.Jobs[job].Ways[s.Way].Done
		late := max(0, done-c.p.Jobs[job].Due)
		if s.Done != done || s.Late != late {
			c.add(Breach{Kind: ToldWrong, Job: job, Other: -1, Resource: -1, Stock: -1, At: s.Start, Need: int64(s.Late), Have: int64(late)})
		}
	}
	if cost := c.cost(); cost != c.plan.Cost {
		b := of(ToldWrong, -1, 0)
		b.Need, b.Have = int64(c.plan.Cost.Sum()), int64(cost.Sum())
		c.add(b)
	}
}

// cost is what the plan costs.
func (c *checker) cost() (cost Cost) {
	for job := range c.p.Jobs {
		j, s := &c.p.Jobs[job], c.at[job]
		if s == nil {
			cost.Unmet += j.Unmet
			if j.Was != nil {
				cost.Moved += c.p.Move
			}
			continue
		}
		w := &j.Ways[s.Way]
		cost.Ways += w.Cost
		cost.Late += q.MoneyCents(max(0, s.Start+w.Done-j.Due)) * j.Late
		if missing := j.Units - w.Units; missing > 0 {
			cost.Unmet += q.MoneyCents((int64(j.Unmet)*missing + j.Units - 1) / j.Units)
		}
		if j.Was != nil && !j.Was.is(w, s.Start) {
			cost.Moved += c.p.Move
		}
	}
	for r := range c.p.Resources {
		c.changes(r, c.bookings(r), func(ch Change, _ int, _ Half, _ booking) { cost.Changes += ch.Cost })
	}
	return cost
}
