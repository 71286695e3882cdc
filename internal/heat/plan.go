package heat

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Plan asks for the few set points that make a body ready by a deadline.
type Plan struct {
	// Case is the body as it stands now. Its heated faces follow the set points from
	// the start on; their own ambient is what stands around them with the heater off.
	// Its hours to report at are not read.
	Case      Case
	Target    Target
	DeadlineH float64 // hours from now
	Low, High quantity.Celsius
	Step      quantity.Celsius // set points are its multiples; 0: 1
	StepH     float64          // and change on its multiples; 0: 0.5
	Changes   int              // set points, 1 to 6; 0: 2
	Doubt     Doubt            // ready at its slow end; the zero Doubt: as the case says
	MostHMF   quantity.MgKg    // 0: the least damage; else the least energy with the mean HMF no higher, even at the fast end
}

// A Setpoint is what a person sets, from an hour on; Off turns the heater off.
type Setpoint struct {
	Hour float64
	C    quantity.Celsius
	Off  bool
}

// A Schedule is the answer to a [Plan]. Set has at least one set point; where the first is
// off, no heat is needed. Slow, Likely and Fast are what comes of it at
// the three points of the doubt: the plan is ready in time at the slow one, and at the
// deadline at all three.
type Schedule struct {
	Set                []Setpoint
	Slow, Likely, Fast Result
	Steady             Setpoint      // the best single set point from now on, to compare with
	SteadyHMF          quantity.MgKg // of the likely honey
	Tried              int           // runs that the search took
}

const (
	mostChanges    = 6
	searchNodes    = 7
	searchNodesBox = 5 // of three axes
	searchError    = 0.01
	mostDeadlineH  = 2000.0
)

// A TooLateError says that no set point makes the honey ready by the deadline.
type TooLateError struct {
	DeadlineH, EarliestH float64 // NaN: not at all with this limit
	High                 quantity.Celsius
}

func (e *TooLateError) Error() string {
	if math.IsNaN(e.EarliestH) {
		return fmt.Sprintf("with %g °C the honey is never ready: it wants a warmer room, or another target", float64(e.High))
	}
	if e.EarliestH < e.DeadlineH {
		return fmt.Sprintf("with %g °C the honey is ready after %.1f h, but no longer at the deadline in %g h: the room is too cold to keep it so",
			float64(e.High), e.EarliestH, e.DeadlineH)
	}
	return fmt.Sprintf("with %g °C from now on the honey is ready after %.1f h, the deadline is in %g h: put it off, or warm otherwise",
		float64(e.High), e.EarliestH, e.DeadlineH)
}

// A TooMuchError says that no schedule surely keeps the bound on HMF.
type TooMuchError struct {
	Most, Least quantity.MgKg // asked for; of the gentlest schedule, at the fast end
	Gentle      Schedule
}

func (e *TooMuchError) Error() string {
	return fmt.Sprintf("the gentlest plan adds up to %.2g mg/kg of HMF, the bound is %.2g: allow more, put the deadline off, or let a person set more often",
		float64(e.Least), float64(e.Most))
}

func (p *Plan) check() error {
	if p.DeadlineH <= 0 {
		return fmt.Errorf("the deadline passed %g h ago: name one to come", 0-p.DeadlineH)
	}
	if p.Step == 0 {
		p.Step = 1
	}
	if p.StepH == 0 {
		p.StepH = 0.5
	}
	if p.Changes == 0 {
		p.Changes = 2
	}
	if err := first(between("deadline", p.DeadlineH, 0.1, mostDeadlineH, "h"), between("lowest set point", float64(p.Low), coldest, hottest, "°C"),
		between("highest set point", float64(p.High), coldest, hottest, "°C"), between("step of the set points", float64(p.Step), 0.1, 20, "°C"),
		between("step of the hours", p.StepH, 0.05, p.DeadlineH, "h"), p.Target.check(), p.Doubt.check(),
		between("highest HMF", float64(p.MostHMF), 0, 10000, "mg/kg")); err != nil {
		return err
	}
	if p.Changes < 1 || p.Changes > mostChanges {
		return fmt.Errorf("%d set points, want 1 to %d", p.Changes, mostChanges)
	}
	if p.MostHMF > 0 && p.Case.Heater == nil {
		return fmt.Errorf("the cheapest plan wants a heater with its power and the room's loss")
	}
	return p.checkRoom()
}

// checkRoom refuses limits that can't warm.
func (p *Plan) checkRoom() error {
	if !(p.Low <= p.High) {
		return fmt.Errorf("set points may have %g to %g °C, want a range", float64(p.Low), float64(p.High))
	}
	heated := false
	for _, f := range p.Case.faces() {
		heated = heated || f.Heated && f.Film > 0
	}
	if !heated {
		return fmt.Errorf("no face of the body is heated")
	}
	if want := max(p.Target.Mean, p.Target.Coldest); want != 0 && p.High <= want && p.Case.Start.Field == nil && p.Case.Start.Core < want {
		return fmt.Errorf("the room's limit of %g °C is no warmer than the %g °C that the honey must have", float64(p.High), float64(want))
	}
	c := p.Case
	c.ReportH = []float64{p.DeadlineH}
	return c.check()
}

func (t Target) check() error {
	if t == (Target{}) {
		return fmt.Errorf("no target: name a mean, a coldest point or a share molten")
	}
	if err := first(between("mean to reach", float64(t.Mean), -20, 90, "°C"), between("coldest point to reach", float64(t.Coldest), -20, 90, "°C")); err != nil {
		return err
	}
	if !(0 <= t.Molten && t.Molten < 1) {
		return fmt.Errorf("share molten %g to reach, want 0 to below 1: the last grain melts at no temperature", t.Molten)
	}
	return nil
}

// under is a case with a schedule on its heated faces.
func (p *Plan) under(c Case, set []Setpoint) Case {
	for _, f := range c.faces() {
		if f.Heated && f.Film > 0 {
			f.Ambient = overlay(f.Ambient, set)
		}
	}
	return c
}

// overlay puts set points over the ambient that there is with the heater off.
func overlay(own Program, set []Setpoint) Program {
	var p Program
	jump := func(hour float64, from, to quantity.Celsius) {
		if hour > 0 && len(p) > 0 {
			p = append(p, Point{hour, from})
		}
		p = append(p, Point{hour, to})
	}
	for _, x := range own {
		if x.Hour < set[0].Hour {
			p = append(p, x)
		}
	}
	before := own.At(set[0].Hour)
	if len(p) == 0 && set[0].Hour > 0 {
		p = append(p, Point{0, own.At(0)})
	}
	for _, s := range set {
		to := s.C
		if s.Off {
			to = own.At(s.Hour)
		}
		jump(s.Hour, before, to)
		before = to
		if s.Off {
			for _, x := range own {
				if x.Hour > s.Hour {
					p = append(p, x)
				}
			}
			break
		}
	}
	return p
}

// Earliest gives the hours until the target is met with the highest set point from
// now on, at the doubt's slow end; NaN if it is not met within a plan's longest time.
func Earliest(p Plan) (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	return p.earliest(mostDeadlineH)
}

func (p *Plan) earliest(within float64) (float64, error) {
	c := p.under(p.Doubt.Slow(p.Case), []Setpoint{{C: p.High}})
	c.Watch, c.Tolerance = []Target{p.Target}, searchError
	c.ReportH = []float64{within}
	c.Nodes = p.searchNodes()
	r, err := Run(c)
	if err != nil {
		return 0, err
	}
	return r.MetH[0], nil
}

// LatestStart gives the last hour, a multiple of the plan's, at which one set point
// can go on and still have the honey ready by the deadline at the slow end.
func LatestStart(p Plan, c quantity.Celsius) (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	s := newSearch(&p)
	ready := func(k int) bool {
		x := schedule{n: 1}
		x.hours[0], x.hours[1], x.c[0] = float64(k)*p.StepH, p.DeadlineH, float64(c)
		return s.run(x).short <= 0
	}
	if !ready(0) {
		p.High = c
		return 0, s.tooLate()
	}
	low, high := 0, int(math.Ceil(p.DeadlineH/p.StepH))
	for high-low > 1 {
		if middle := (low + high) / 2; ready(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return float64(low) * p.StepH, s.err
}
