package heat

import "math"

// Best finds the schedule of a [Plan]: a few set points that a person can set, ready
// by the deadline at the slow end of the doubt, with the least harm there. Every
// schedule is reckoned through the whole model, grains, stirring and power included;
// so the answer is ready and better than any single set point, but the very best of
// its kind only as far as a pattern search finds it. With constant properties
// [Control] has the exact one to compare with.
func Best(p Plan) (Schedule, error) {
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
// there it is not ready by a hair, it begins sooner, ends later or goes up by a step.
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
		slow, err := Run(s.p.under(s.p.Doubt.Slow(c), out.Set))
		if err != nil {
			return Schedule{}, err
		}
		if out.Slow = slow; s.p.Target.short(last(slow), s.slow.Melt) <= 0 {
			return s.complete(out, c)
		}
		x = s.more(x)
	}
	return Schedule{}, s.tooLate()
}

// more gives a schedule more heat by the smallest step there is.
func (s *search) more(x schedule) schedule {
	if y := s.sooner(x); y.n > 0 {
		return y
	}
	for i := x.n - 1; i >= 0; i-- {
		if x.c[i]+float64(s.p.Step) <= float64(s.p.High)+1e-9 {
			x.c[i] += float64(s.p.Step)
			return x
		}
	}
	return schedule{}
}

// complete adds what the likely and the fast end make of the schedule, and of one
// steady set point.
func (s *search) complete(out Schedule, c Case) (Schedule, error) {
	var err error
	if out.Likely, err = Run(s.p.under(c, out.Set)); err != nil {
		return Schedule{}, err
	}
	if out.Fast, err = Run(s.p.under(s.p.Doubt.Fast(c), out.Set)); err != nil {
		return Schedule{}, err
	}
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
