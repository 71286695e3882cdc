package heat

import (
	"math"

	"combline/internal/quantity"
)

// Best finds the schedule of a [Plan]: a few set points that a person can set, ready
// by the deadline at the slow end of the doubt, with the least harm there. Every
// schedule is reckoned through the whole model, grains, stirring and power included;
// so the answer is ready and better than any single set point, but the very best of
// its kind only as far as a pattern search finds it. With constant properties
// [Control] has the exact one to compare with. Where HMF has a bound, the fast end of
// the doubt keeps it, or a [TooMuchError] tells the least.
func Best(p Plan) (Schedule, error) {
	s, err := best(p)
	if err != nil || s.keeps(p.MostHMF) {
		return s, err
	}
	bound := p.MostHMF
	p.MostHMF = 0
	gentle, err := best(p)
	if err != nil {
		return Schedule{}, err
	}
	if !gentle.keeps(bound) {
		return Schedule{}, &TooMuchError{Most: bound, Least: last(gentle.Fast).HMFMean, Gentle: gentle}
	}
	p.MostHMF = 0.95 * bound * bound / last(s.Fast).HMFMean // the search judges HMF at the slow end
	if s, err = best(p); err != nil || s.keeps(bound) {
		return s, err
	}
	return gentle, nil
}

// keeps reports whether even the fast end adds no more HMF than a bound; 0: there is none.
func (s Schedule) keeps(most quantity.MgKg) bool {
	return most == 0 || len(s.Fast.Rows) > 0 && last(s.Fast).HMFMean <= most
}

func best(p Plan) (Schedule, error) {
	if err := p.check(); err != nil {
		return Schedule{}, err
	}
	s := newSearch(&p)
	t, harm := s.begin()
	if math.IsInf(harm, 1) || s.err != nil {
		return Schedule{}, s.tooLate()
	}
	var best schedule
	for n, least := 1, math.Inf(1); ; n++ {
		t, harm = s.improve(t, harm)
		if n == 1 || n == p.Changes {
			_, smooth := s.judge(t)
			if x, h := s.round(smooth); h < least*(1-worthIt) {
				best, least = x, h
			}
		}
		if n == p.Changes {
			break
		}
		t = t.split()
	}
	if s.err != nil {
		return Schedule{}, s.err
	}
	return s.finish(best)
}

// worthIt is how much less harm more set points must do to be asked of a person.
const worthIt = 0.005

// steadyFrom is one set point from an hour to the deadline.
func (s *search) steadyFrom(hour float64) trial {
	t := trial{n: 1}
	t.hours[0], t.hours[1] = hour, s.p.DeadlineH
	return t
}

// begin is the best single set point from any of a few hours on.
func (s *search) begin() (trial, float64) {
	best, least := trial{}, math.Inf(1)
	for _, part := range [...]float64{0, 0.3, 0.6} {
		t := s.steadyFrom(part * s.p.DeadlineH)
		if h, _ := s.judge(t); h < least {
			best, least = t, h
		}
	}
	return best, least
}

// split cuts the longest set point in two of one height.
func (t trial) split() trial {
	longest := 0
	for i := range t.n {
		if t.hours[i+1]-t.hours[i] > t.hours[longest+1]-t.hours[longest] {
			longest = i
		}
	}
	for i := t.n; i > longest; i-- {
		t.hours[i+1] = t.hours[i]
		t.offsets[i] = t.offsets[i-1]
	}
	t.hours[longest+1] = (t.hours[longest] + t.hours[longest+2]) / 2
	t.n++
	return t
}

// finish reckons the schedule on the fine grid, at all three points of the doubt. If
// there the slow end is not ready by a hair, it begins sooner, ends later or goes up by
// a step; if quicker honey is ready sooner but has cooled by the deadline, it ends later.
func (s *search) finish(x schedule) (Schedule, error) {
	out := Schedule{Tried: s.runs}
	for range 60 {
		if x.n == 0 {
			break
		}
		c := s.p.Case
		c.ReportH, c.Watch = hoursTo(s.p.DeadlineH), []Target{s.p.Target}
		out.Set = x.set(s.p.DeadlineH)
		if out.Set[0].Off {
			out.Set[0].Hour = 0 // no heat is needed
		}
		ready, err := false, error(nil)
		if out.Slow, ready, err = s.outcomeAt(s.p.Doubt.Slow(c), out.Set); err != nil {
			return Schedule{}, err
		}
		if !ready {
			x = s.more(x)
			continue
		}
		cooled, err := s.quicker(&out, c)
		if err != nil {
			return Schedule{}, err
		}
		if !cooled {
			return s.complete(out, c)
		}
		x = s.later(x)
	}
	return Schedule{}, s.tooLate()
}

// outcomeAt is what a schedule makes of one point of the doubt, and whether it is ready at the
// deadline.
func (s *search) outcomeAt(c Case, set []Setpoint) (Result, bool, error) {
	r, err := Run(s.p.under(c, set))
	if err != nil {
		return r, false, err
	}
	return r, s.p.Target.short(last(r), c.Melt) <= 0, nil
}

// quicker adds what the likely and the fast end make of the schedule. Honey that warms
// quickly cools quickly: cooled is true where one of them misses the target at the deadline.
func (s *search) quicker(out *Schedule, c Case) (cooled bool, err error) {
	likely, fast := false, false
	if out.Likely, likely, err = s.outcomeAt(c, out.Set); err != nil {
		return false, err
	}
	out.Fast, fast, err = s.outcomeAt(s.p.Doubt.Fast(c), out.Set)
	return !likely || !fast, err
}

// more gives a schedule more heat by the smallest step there is.
func (s *search) more(x schedule) schedule {
	if y := s.sooner(x); y.n > 0 {
		return y
	}
	return s.hotter(x)
}

// later keeps the heat on longer, or its last set point higher.
func (s *search) later(x schedule) schedule {
	if x.hours[x.n] < s.p.DeadlineH-1e-9 {
		x.hours[x.n] = min(x.hours[x.n]+s.p.StepH, s.p.DeadlineH)
		return x
	}
	return s.hotter(x)
}

// hotter puts the last set point that can go up a step higher.
func (s *search) hotter(x schedule) schedule {
	for i := x.n - 1; i >= 0; i-- {
		if x.c[i]+float64(s.p.Step) <= float64(s.p.High)+1e-9 {
			x.c[i] += float64(s.p.Step)
			return x
		}
	}
	return schedule{}
}

// complete adds what one steady set point makes of it.
func (s *search) complete(out Schedule, c Case) (Schedule, error) {
	_, smooth := s.judge(s.steadyFrom(0))
	if s.err != nil || smooth.n == 0 {
		return out, s.err
	}
	level := s.snap(smooth, 1)
	out.Steady = level.set(s.p.DeadlineH)[0]
	c.ReportH, c.Watch = []float64{s.p.DeadlineH}, nil
	steady, err := Run(s.p.under(c, []Setpoint{out.Steady}))
	if err != nil {
		return Schedule{}, err
	}
	out.SteadyHMF = last(steady).HMFMean
	return out, nil
}

func last(r Result) Row { return r.Rows[len(r.Rows)-1] }

// hoursTo are hours to report at, fifty at most, and the deadline.
func hoursTo(deadline float64) []float64 {
	every := math.Ceil(deadline / 50)
	var h []float64
	for x := 0.0; x < deadline; x += every {
		h = append(h, x)
	}
	return append(h, deadline)
}
