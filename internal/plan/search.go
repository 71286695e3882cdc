package plan

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
	q "combline/internal/quantity"
)

// Options say how far [Better] goes.
type Options struct {
	Gap     float64      // enough is this part of the whole cost not proven; 0: as far as it goes
	Seconds float64      // for the solver, all models together; its own time, not the search's
	Stop    func() bool  // asked between turns; nil never stops
	News    func(Result) // told whenever the plan or its bound is better; may be nil
}

// A Result is a plan and what is proven of it.
type Result struct {
	Plan  Plan
	Bound q.MoneyCents // no plan costs less
	Alone q.MoneyCents // what the jobs would cost if each had the house to itself
}

// Gap is what is not proven, as a part of the whole cost; and as a part of what decisions
// can change, the cost above Alone. Both are 0 for a plan that is proven the best.
func (r *Result) Gap() (whole, ofChoice float64) {
	cost := r.Plan.Cost.Sum()
	if cost <= r.Bound {
		return 0, 0
	}
	return float64(cost-r.Bound) / float64(cost), float64(cost-r.Bound) / float64(cost-min(r.Alone, r.Bound))
}

// A search is a plan on its way to be the best.
type search struct {
	d     *desk
	o     Options
	solve linear.Solve
	alive [][]int32
	leave []bool
	price [][]float64 // by job and option: what taking it would add to the bound
	out   []float64   // by job: what leaving it out would add
	root  float64     // bound that those hold for
	bound float64
	alone q.MoneyCents
	told  Result
}

// Better makes a plan better with a solver for linear models, and proves how much better
// any plan could be. From the zero Plan it finds one first. The relaxation as a linear
// program gives a bound and what each option would add to it, so that options which no
// better plan can have are dropped; what is left is solved in whole numbers, in slices
// of time that grow. Plans in between come from the solver's points, mended by hand's
// rules. The last result is returned also when it is stopped, and with an error of the
// solver in its first model; one in a later model only ends the search.
func Better(p *Problem, from Plan, o Options, solve linear.Solve) (Result, error) {
	if err := p.Check(); err != nil {
		return Result{}, err
	}
	d := newDesk(p)
	d.stop = o.Stop
	s := &search{d: d, o: o, solve: solve, bound: math.Inf(-1)}
	if len(from.Spots)+len(from.Unmet) == len(p.Jobs) && len(Check(p, &from)) == 0 {
		d.best = from
		d.restore(&d.best)
	} else {
		d.first()
		d.improve(QuickSteps)
	}
	for job := range p.Jobs {
		s.alone += d.cheapest(job)
	}
	s.bound = float64(s.alone)
	d.improve(beforeTries * len(d.movable))
	s.begin()
	err := s.run()
	return s.result(), err
}

// cheapest is what a job costs with the house to itself.
func (d *desk) cheapest(job int) q.MoneyCents {
	if len(d.opts[job]) > 0 {
		return d.opts[job][0].cost
	}
	return d.unmet[job]
}

// begin has every option alive.
func (s *search) begin() {
	n := len(s.d.p.Jobs)
	s.alive, s.leave, s.price, s.out = make([][]int32, n), make([]bool, n), make([][]float64, n), make([]float64, n)
	for _, job := range s.d.movable {
		for o := range s.d.opts[job] {
			s.alive[job] = append(s.alive[job], int32(o))
		}
		s.leave[job] = true
		s.price[job] = make([]float64, len(s.d.opts[job]))
	}
}

// beat is the cost that a better plan must be under: a cent less than the best.
func (s *search) beat() float64 { return float64(s.d.best.Cost.Sum()) - 0.5 }

func (s *search) done() bool {
	r := s.result()
	whole, _ := r.Gap()
	return whole <= s.o.Gap && (s.o.Gap > 0 || whole == 0) || s.o.Stop != nil && s.o.Stop()
}

// result is how far the search is. Costs are whole cents, so a bound is rounded up; a
// little is left for the solver's tolerances.
func (s *search) result() Result {
	best := s.d.best.Cost.Sum()
	low := q.MoneyCents(math.Ceil(s.bound - 0.5 - 1e-7*math.Abs(s.bound)))
	return Result{s.d.best, min(best, max(s.alone, low)), s.alone}
}

func (s *search) tell() {
	r := s.result()
	if s.o.News != nil && (r.Bound != s.told.Bound || r.Plan.Cost != s.told.Plan.Cost) {
		s.o.News(r)
	}
	s.told = r
}

const (
	firstSlice  = 6.0    // seconds for a model in whole numbers, or a third of what is left
	fewWhole    = 600    // options alive that go into a model of half-hours at once
	mostWhole   = 2500   // options that may be alive for a model of half-hours in whole numbers
	lastRounds  = 40     // of the search by hand's rules at the end
	beforeTries = 60_000 // for each job, before the first model
	afterTries  = 15_000 // for each job, from each of the solver's points
)

func (s *search) run() error {
	s.tell()
	if len(s.d.movable) == 0 || s.done() {
		return nil
	}
	if ok, err := s.prices(); err != nil || !ok {
		return err
	}
	left := s.o.Seconds
	s.drop()
	for _, length := range spells {
		if s.done() || left <= 0 || s.count() <= fewWhole {
			break
		}
		s.drop()
		slice := min(left, max(firstSlice, left/3))
		proven, err := s.inSpells(length, slice)
		if err != nil {
			return err
		}
		if proven { // long before its time was up, as a rule
			slice /= 4
		}
		left -= slice
	}
	return s.rest(left)
}

// rest spends what is left of the time: on what is alive in half-hours, if that is little
// enough to be solved; else by hand's rules.
func (s *search) rest(left float64) error {
	for again := true; again && left > 0 && !s.done() && s.count() <= mostWhole; {
		s.drop()
		slice := min(left, max(firstSlice, left/2))
		left -= slice
		var err error
		if again, err = s.whole(slice); err != nil {
			return err
		}
	}
	for i := len(spells) - 1; i >= 0 && left > 0 && !s.done() && s.count() <= fewWhole; i-- { // a small house: half-hours do not see what a line needs between runs
		slice := min(left, max(firstSlice, left/3))
		left -= slice
		if _, err := s.inSpells(spells[i], slice); err != nil {
			return err
		}
	}
	for idle := 0; idle < lastRounds && left > 0 && !s.done(); idle++ {
		before := s.d.best.Cost.Sum()
		s.d.improve(afterTries * len(s.d.movable))
		if s.tell(); s.d.best.Cost.Sum() < before {
			idle = 0
		}
	}
	return nil
}

// count is how many options are alive.
func (s *search) count() (n int) {
	for _, all := range s.alive {
		n += len(all)
	}
	return n
}

// inSpells solves the model of spells in whole numbers for some seconds, and tells
// whether it is solved to its end.
func (s *search) inSpells(length Half, seconds float64) (proven bool, err error) {
	fine := s.d.relax(s.alive, s.leave)
	m, all := s.d.inSpells(fine, s.alive, s.leave, length)
	got, err := s.solve([]linear.Model{*m}, linear.Options{Gap: s.o.Gap / 2, Seconds: seconds})
	if err != nil { // out of memory, say: plan and bound stay as good as they are
		return false, nil
	}
	if got[0].Status == linear.Impossible {
		s.bound = max(s.bound, s.beat()+0.5)
	} else {
		s.bound = max(s.bound, min(got[0].Bound, s.beat()+0.5))
	}
	if got[0].Found() {
		most, part := make([]int32, len(s.d.p.Jobs)), make([]float64, len(s.d.p.Jobs))
		for i, c := range all {
			if x := got[0].Values[i]; x > part[c.job] {
				most[c.job], part[c.job] = slices.Min(c.options), x
			}
		}
		s.build(most, part)
	}
	s.tell()
	return got[0].Status == linear.Proven, nil
}

// withBest are the options that are alive and those of the best plan.
func (s *search) withBest() [][]int32 {
	all := make([][]int32, len(s.alive))
	for _, job := range s.d.movable {
		all[job] = slices.Clone(s.alive[job])
		if o := s.now(job); o >= 0 && !slices.Contains(all[job], o) {
			all[job] = append(all[job], o)
		}
	}
	return all
}

// now is the option that the best plan has for a job; −1: it leaves it out.
func (s *search) now(job int) int32 {
	spot, done := s.d.best.Spot(job)
	if !done {
		return -1
	}
	return int32(slices.IndexFunc(s.d.opts[job], func(o option) bool {
		return int(o.way) == spot.Way && o.start == spot.Start
	}))
}

// prices solves the relaxation as a linear program. False: it has no answer, as when
// begun jobs are in each other's way; then the bound is what the jobs cost alone.
func (s *search) prices() (bool, error) {
	r := s.d.relax(s.alive, s.leave)
	for i := range r.model.Columns {
		r.model.Columns[i].Whole = false
	}
	got, err := s.solve([]linear.Model{r.model}, linear.Options{Seconds: s.o.Seconds})
	if err != nil {
		return false, err
	}
	lp := &got[0]
	if lp.Status != linear.Proven {
		return false, nil
	}
	s.root = lp.Objective
	s.bound = max(s.bound, lp.Objective)
	for c, job := range r.job {
		switch {
		case job < 0 || lp.ColumnDuals == nil: // nothing can be dropped then
		case r.option[c] < 0:
			s.out[job] = lp.ColumnDuals[c]
		default:
			s.price[job][r.option[c]] = lp.ColumnDuals[c]
		}
	}
	s.follow(r, lp.Values)
	s.tell()
	return true, nil
}

// drop leaves out the options that no plan better than the best can have.
func (s *search) drop() {
	spare := s.beat() - s.root + 1e-6*math.Abs(s.root)
	for _, job := range s.d.movable {
		s.alive[job] = slices.DeleteFunc(s.alive[job], func(o int32) bool { return s.price[job][o] > spare })
		s.leave[job] = s.leave[job] && s.out[job] <= spare
	}
}

// whole solves what is alive in whole numbers for some seconds; false if nothing is left
// to be found.
func (s *search) whole(seconds float64) (again bool, err error) {
	alive := s.withBest()
	leave := slices.Clone(s.leave)
	for _, job := range s.d.best.Unmet {
		leave[job] = true
	}
	r := s.d.relax(alive, leave)
	r.model.Start = r.point(&s.d.best)
	got, err := s.solve([]linear.Model{r.model}, linear.Options{Gap: s.o.Gap / 2, Seconds: seconds})
	if err != nil { // out of memory, say: plan and bound stay as good as they are
		return false, nil
	}
	found := &got[0]
	if found.Found() {
		s.follow(r, found.Values)
	}
	if found.Status == linear.Impossible { // nothing better is alive
		s.bound = max(s.bound, s.beat()+0.5)
	} else {
		s.bound = max(s.bound, min(found.Bound, s.beat()+0.5))
	}
	s.tell()
	return found.Status != linear.Proven && found.Status != linear.Impossible, nil
}

// follow makes plans of a point: each job where the point has it most, in order of
// start, the rest as they fit; then by hand's rules among the options that are alive.
func (s *search) follow(r *relaxation, values []float64) {
	d := s.d
	most := make([]int32, len(d.p.Jobs))
	part := make([]float64, len(d.p.Jobs))
	for c, job := range r.job {
		if job >= 0 && values[c] > part[job] {
			most[job], part[job] = r.option[c], values[c]
		}
	}
	s.build(most, part)
}

// build makes a plan of an option for each job that has a part, and goes on from it.
func (s *search) build(most []int32, part []float64) {
	d := s.d
	var order []int
	for _, job := range d.movable {
		if part[job] > 0 && most[job] >= 0 {
			order = append(order, job)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(math.Round(2*part[b]), math.Round(2*part[a])), int(d.opts[a][most[a]].start-d.opts[b][most[b]].start))
	})
	d.clear()
	for range 2 { // those that wait for others come in the second round
		for _, job := range order {
			if d.book.spots[job] == nil {
				d.book.place(job, d.opts[job][most[job]])
			}
		}
	}
	d.insert(d.sorted(func(job int) int64 { return -int64(d.unmet[job]) }))
	now := d.book.plan()
	if now.Cost.Sum() < d.best.Cost.Sum() {
		d.best = now
	}
	d.restore(&now)
	d.improve(afterTries * len(d.movable))
}

// point is a plan as a point of the model; nil if an option of it is not alive.
func (r *relaxation) point(plan *Plan) []float64 {
	values := make([]float64, len(r.model.Columns))
	chosen := map[int]option{}
	for _, s := range plan.Spots {
		chosen[s.Job] = option{way: int32(s.Way), start: s.Start}
	}
	for c, job := range r.job {
		if job < 0 {
			continue
		}
		o, done := chosen[job]
		if r.option[c] < 0 {
			if !done {
				values[c] = 1
			}
			continue
		}
		if x := r.d.opts[job][r.option[c]]; done && x.way == o.way && x.start == o.start {
			values[c] = 1
		}
	}
	r.lineValues(plan, values)
	if r.model.Breaks(values, 1e-6) != nil {
		return nil
	}
	return values
}

// lineValues fills in what the lines are set for.
func (r *relaxation) lineValues(plan *Plan, values []float64) {
	at := len(values)
	for k := len(r.lines) - 1; k >= 0; k-- {
		at -= r.lines[k].columns(r)
	}
	for k := range r.lines {
		l := &r.lines[k]
		l.fill(r, plan, values[at:at+l.columns(r)])
		at += l.columns(r)
	}
}
