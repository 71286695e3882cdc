package heat

import "math"

// round turns a schedule into one that a person can set: each set point the multiple
// above or below, hours the nearest multiple; then one part of it at a time by single
// steps, or two set points against each other, as long as that helps.
func (s *search) round(x schedule) (schedule, float64) {
	best, least := schedule{}, math.Inf(1)
	for mask := range 1 << x.n {
		y := s.snap(x, mask)
		for range 40 { // a little sooner until it is ready
			if h := s.ready(y); !math.IsInf(h, 1) {
				if h < least {
					best, least = y, h
				}
				break
			}
			if y = s.sooner(y); y.n == 0 {
				break
			}
		}
		if s.err != nil {
			return best, least
		}
	}
	return s.polish(best, least)
}

// snap rounds a set point up where the mask has its bit, else down.
func (s *search) snap(x schedule, mask int) schedule {
	p := s.p
	step, low, high := float64(p.Step), math.Ceil(float64(p.Low/p.Step)-1e-9), math.Floor(float64(p.High/p.Step)+1e-9)
	for i := range x.n {
		c := math.Floor(x.c[i]/step + 1e-9)
		if mask>>i&1 == 1 {
			c++
		}
		x.c[i] = step * min(max(c, low), high)
	}
	for i := range x.n + 1 {
		x.hours[i] = p.StepH * math.Round(x.hours[i]/p.StepH)
	}
	if x.hours[x.n] >= p.DeadlineH-p.StepH/2 {
		x.hours[x.n] = p.DeadlineH
	}
	return x
}

// ready is the harm of a schedule, +∞ if it is not ready in time.
func (s *search) ready(x schedule) float64 {
	if x.n == 0 || !s.lattice(x) {
		return math.Inf(1)
	}
	o := s.run(x)
	if !(o.short <= 0) || s.err != nil {
		return math.Inf(1)
	}
	return s.p.cost(o)
}

func (s *search) lattice(x schedule) bool {
	for i := range x.n {
		if x.hours[i+1] < x.hours[i] || x.c[i] < float64(s.p.Low)-1e-9 || x.c[i] > float64(s.p.High)+1e-9 {
			return false
		}
	}
	return x.hours[0] >= 0 && x.hours[x.n] <= s.p.DeadlineH+1e-9
}

// sooner gives more heat: a later end, then an earlier start; n is 0 when neither goes.
func (s *search) sooner(x schedule) schedule {
	switch {
	case x.hours[x.n] < s.p.DeadlineH-1e-9:
		x.hours[x.n] = min(x.hours[x.n]+s.p.StepH, s.p.DeadlineH)
	case x.hours[0] > 0:
		x.hours[0] = max(0, x.hours[0]-s.p.StepH)
	default:
		return schedule{}
	}
	return x
}

func (s *search) polish(x schedule, harm float64) (schedule, float64) {
	for better := x.n > 0; better && s.runs < s.most+s.most/4; {
		better = false
		for _, y := range s.neighbours(x) {
			if h := s.ready(y); h < harm*(1-1e-9) {
				x, harm, better = y, h, true
				break
			}
		}
	}
	return x, harm
}

// neighbours are one step away.
func (s *search) neighbours(x schedule) []schedule {
	var all []schedule
	step := float64(s.p.Step)
	for i := range x.n + 1 {
		for _, way := range [2]float64{1, -1} {
			y := x
			y.hours[i] = min(max(0, y.hours[i]+way*s.p.StepH), s.p.DeadlineH)
			all = append(all, y)
		}
	}
	for i := range x.n {
		y := x
		y.c[i] -= step
		all = append(all, y)
		for j := range x.n {
			if j != i {
				z := y
				z.c[j] += step
				all = append(all, z)
			}
		}
		z := y // lower, and sooner for it
		z.hours[0] = max(0, z.hours[0]-s.p.StepH)
		all = append(all, z)
	}
	return all
}
