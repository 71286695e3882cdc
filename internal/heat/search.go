package heat

import (
	"math"

	"combline/internal/quantity"
)

// A search looks for the best schedule. A trial is the hours of its start, its changes
// and its end, and how far each set point stands from the last one; the last one is
// always as low as still makes the honey ready. So harm is a smooth function of the
// trial, which a pattern search lowers; what it finds is then rounded to what a person
// can set.
type search struct {
	p     *Plan
	slow  Case
	known map[schedule]outcome
	runs  int
	most  int     // runs
	hint  float64 // °C of the last set point that was needed last
	err   error   // the first one; the search ends with it
}

// An outcome is what a schedule leads to.
type outcome struct {
	short       float64 // K below the target at the deadline; 0 or less: ready
	hmf, energy float64
}

// A trial is a schedule of as many set points as the search has got to.
type trial struct {
	n       int
	hours   [mostChanges + 1]float64 // start, changes, off
	offsets [mostChanges]float64     // K, of each set point from the last; the last's is 0
}

// A schedule is a trial with its set points, n of them.
type schedule struct {
	n     int
	hours [mostChanges + 1]float64
	c     [mostChanges]float64
}

const (
	mostRuns = 1500
	closeK   = 0.02 // how near the target is good enough, K
)

func newSearch(p *Plan) *search {
	s := &search{p: p, slow: p.Doubt.Slow(p.Case), known: map[schedule]outcome{}}
	s.slow.Nodes, s.slow.Tolerance = p.searchNodes(), searchError
	s.slow.ReportH = []float64{p.DeadlineH}
	s.slow.Watch = nil
	s.most = p.affordable()
	s.hint = float64(p.Low+p.High) / 2
	return s
}

// affordable is how many runs a search may take: fewer where each takes longer.
func (p *Plan) affordable() int {
	most := mostRuns
	if p.Case.Melt != nil {
		most = most * 2 / 5
	}
	if p.Case.Convection > 0 && !p.Doubt.InStirring {
		most = most * 3 / 5
	}
	if p.Case.Body.Shape == Box {
		most /= 2
	}
	return most
}

func (p *Plan) searchNodes() int {
	switch {
	case p.Case.Nodes != 0:
		return p.Case.Nodes
	case p.Case.Body.Shape == Box:
		return searchNodesBox
	}
	return searchNodes
}

// run reckons a schedule at the slow end.
func (s *search) run(x schedule) outcome {
	if o, ok := s.known[x]; ok || s.err != nil {
		return o
	}
	s.runs++
	r, err := Run(s.p.under(s.slow, x.set(s.p.DeadlineH)))
	if err != nil {
		s.err = err
		return outcome{short: math.Inf(1)}
	}
	row := last(r)
	o := outcome{short: s.p.Target.short(row, s.slow.Melt), hmf: float64(row.HMFMean), energy: row.HeaterKWh}
	s.known[x] = o
	return o
}

// short is by how many kelvin a row misses the target; a share molten counts as the
// temperature at which that share melts.
func (t Target) short(r Row, m *Melt) float64 {
	short := math.Inf(-1)
	if t.Mean != 0 {
		short = float64(t.Mean - r.Mean)
	}
	if t.Coldest != 0 {
		short = max(short, float64(t.Coldest-r.Coldest))
	}
	if t.Molten != 0 && m != nil {
		at := float64(m.At(min(max(r.MoltenWorst, 1e-9), 1-1e-9)))
		short = max(short, float64(m.At(t.Molten))-at)
	}
	return short
}

// set writes a schedule out: what does not change is said once.
func (x schedule) set(deadline float64) []Setpoint {
	var set []Setpoint
	for i := range x.n {
		c := quantity.Celsius(x.c[i])
		if k := len(set); k > 0 && set[k-1].Hour == x.hours[i] {
			set[k-1].C = c
			continue
		} else if k > 0 && set[k-1].C == c {
			continue
		}
		set = append(set, Setpoint{Hour: x.hours[i], C: c})
	}
	if off := x.hours[x.n]; off < deadline-1e-9 {
		if k := len(set); set[k-1].Hour == off {
			set = set[:k-1] // switched off at once
		}
		set = append(set, Setpoint{Hour: off, Off: true})
	}
	return set
}

// at is a trial with its last set point at a temperature; none leaves the limits.
func (s *search) at(t trial, c float64) schedule {
	x := schedule{n: t.n, hours: t.hours}
	for i := range t.n {
		x.c[i] = min(max(c+t.offsets[i], float64(s.p.Low)), float64(s.p.High))
	}
	return x
}

// judge finds the lowest last set point that is ready in time, and the harm it does;
// +∞ if none is. More heat is never less ready: regula falsi, Illinois variant
// (Dowell and Jarratt, BIT 11, 1971), from the one that was needed last.
func (s *search) judge(t trial) (float64, schedule) {
	deepest, highest := 0.0, 0.0
	for i := range t.n {
		deepest, highest = min(deepest, t.offsets[i]), max(highest, t.offsets[i])
	}
	top, floor := float64(s.p.High)-deepest, float64(s.p.Low)-highest
	short := func(c float64) float64 { return s.run(s.at(t, c)).short }
	hot := min(max(s.hint, floor), top)
	over := short(hot)
	for by := 1.0; over > 0; by *= 3 {
		if hot >= top || s.err != nil {
			return math.Inf(1), schedule{}
		}
		hot = min(hot+max(by, over), top)
		over = short(hot)
	}
	cold := max(floor, hot-1)
	under := short(cold)
	for by := 3.0; under <= 0 && cold > floor && s.err == nil; by *= 3 {
		hot, over = cold, under
		cold = max(floor, cold-max(by, -under))
		under = short(cold)
	}
	if under <= 0 {
		hot, over = cold, under
	}
	for range 20 {
		if over > -closeK || under <= 0 || hot-cold < closeK || s.err != nil {
			break
		}
		c := (hot*under - cold*(over+closeK/2)) / (under - over - closeK/2)
		c = min(max(c, cold+0.1*(hot-cold)), hot-0.02*(hot-cold))
		if x := short(c); x <= 0 {
			hot, over = c, x
		} else {
			cold, under = c, x
		}
	}
	s.hint = hot
	x := s.at(t, hot)
	return s.p.cost(s.run(x)), x
}

// cost is what the plan wants little of; HMF over its bound outweighs all energy.
func (p *Plan) cost(o outcome) float64 {
	if p.MostHMF == 0 {
		return o.hmf
	}
	over := max(0, o.hmf*max(1, p.Doubt.Rate)/float64(p.MostHMF)-1)
	return o.energy * (1 + 100*over)
}

// improve lowers the harm by a pattern search (Hooke and Jeeves, Journal of the ACM 8,
// 1961): each part of the trial both ways, then as far again as that went; where
// nothing helps, with half the step.
func (s *search) improve(t trial, harm float64) (trial, float64) {
	for step := 1.0; step > 0.1 && s.runs < s.most && s.err == nil; {
		next, h := s.around(t, harm, step)
		if h >= harm*(1-1e-4) {
			step /= 2
			continue
		}
		for s.runs < s.most {
			far := next.beyond(t)
			t, harm = next, h
			if !s.possible(far) {
				break
			}
			f, _ := s.judge(far)
			if next, h = far, f; f >= harm {
				break
			}
		}
	}
	return t, harm
}

// beyond goes as far past t as t is from an earlier one.
func (t trial) beyond(earlier trial) trial {
	for i := range t.hours {
		t.hours[i] += t.hours[i] - earlier.hours[i]
	}
	for i := range t.offsets {
		t.offsets[i] += t.offsets[i] - earlier.offsets[i]
	}
	return t
}

// around tries each part of a trial both ways and keeps what helps.
func (s *search) around(t trial, harm, step float64) (trial, float64) {
	hours, degrees := step*s.p.DeadlineH/8, step*6
	for i := range 2 * t.n {
		for _, way := range [2]float64{1, -1} {
			x := t
			if i <= t.n {
				x.hours[i] += way * hours
				if i == t.n {
					x.hours[i] = min(x.hours[i], s.p.DeadlineH)
				}
				x.hours[i] = max(x.hours[i], 0)
			} else {
				x.offsets[i-t.n-1] += way * degrees
			}
			if x == t || !s.possible(x) || s.runs >= s.most {
				continue
			}
			if h, _ := s.judge(x); h < harm {
				t, harm = x, h
				break
			}
		}
	}
	return t, harm
}

// possible keeps the hours in order and the offsets within the limits.
func (s *search) possible(t trial) bool {
	for i := range t.n {
		if t.hours[i+1] < t.hours[i] {
			return false
		}
		if math.Abs(t.offsets[i]) > float64(s.p.High-s.p.Low) {
			return false
		}
	}
	return t.hours[0] >= 0 && t.hours[t.n] <= s.p.DeadlineH+1e-9 && t.hours[t.n] > t.hours[0]
}

func (s *search) tooLate() error {
	if s.err != nil {
		return s.err
	}
	at, err := s.p.earliest(mostDeadlineH)
	if err != nil {
		return err
	}
	return &TooLateError{DeadlineH: s.p.DeadlineH, EarliestH: at, High: s.p.High}
}
