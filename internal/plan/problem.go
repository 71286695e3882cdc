package plan

import (
	"fmt"
	"slices"
)

// Limits of a problem's size: beyond them something is wrong with who asks.
const (
	mostHorizon = 60 * Day
	mostAmount  = 1 << 40 // grams of a million tonnes; sums stay far from the end of int64
	mostCost    = 1 << 40
)

// Check refuses a problem that is not well formed, with what is wrong.
func (p *Problem) Check() error {
	if p.Horizon <= 0 || p.Horizon > mostHorizon || p.Midnight < 0 || p.Midnight >= Day || p.Move < 0 || p.Move > mostCost {
		return fmt.Errorf("a plan of %d half-hours from %d after midnight, moves at %d: want 1 to %d half-hours, from 0 to 47, no cost below 0",
			p.Horizon, p.Midnight, p.Move, mostHorizon)
	}
	for i := range p.Resources {
		if err := p.Resources[i].check(); err != nil {
			return fmt.Errorf("resource %s: %w", p.Resources[i].Name, err)
		}
	}
	for i := range p.Stocks {
		if err := steps(p.Stocks[i].Comes); err != nil {
			return fmt.Errorf("stock %s: %w", p.Stocks[i].Name, err)
		}
	}
	for i := range p.Jobs {
		if err := p.job(i); err != nil {
			return fmt.Errorf("job %s: %w", p.Jobs[i].Name, err)
		}
	}
	return p.noRing()
}

// steps refuses amounts below zero and times that do not rise.
func steps(all []Step) error {
	for i, s := range all {
		if s.Amount < 0 || s.Amount > mostAmount || i > 0 && s.From <= all[i-1].From {
			return fmt.Errorf("%d from half-hour %d on, after half-hour %d: amounts from 0 and times rising are wanted", s.Amount, s.From, all[max(0, i-1)].From)
		}
	}
	return nil
}

func (r *Resource) check() error {
	if err := steps(r.Capacity); err != nil {
		return err
	}
	n := len(r.Changes)
	if r.Changes == nil {
		return nil
	}
	if !r.Single {
		return fmt.Errorf("changes between runs on what holds several at once")
	}
	if r.Family < -1 || r.Family >= n || r.Ended > 0 {
		return fmt.Errorf("family %d of %d ran last, until half-hour %d", r.Family, n, r.Ended)
	}
	for _, row := range r.Changes {
		if len(row) != n {
			return fmt.Errorf("changes from one family to %d of %d", len(row), n)
		}
		for _, c := range row {
			if c.Least < 0 || c.Least > mostHorizon || c.Cost < 0 || c.Cost > mostCost {
				return fmt.Errorf("a change of %d half-hours at %d", c.Least, c.Cost)
			}
		}
	}
	return nil
}

func (p *Problem) job(i int) error {
	j := &p.Jobs[i]
	if j.Late < 0 || j.Late > 1<<24 || j.Unmet < 0 || j.Unmet > mostCost || j.Units < 0 || j.Units > 1<<22 {
		return fmt.Errorf("late at %d a half-hour, unmet at %d, %d units", j.Late, j.Unmet, j.Units)
	}
	for k := range j.Ways {
		if err := p.way(&j.Ways[k]); err != nil {
			return fmt.Errorf("way %s: %w", j.Ways[k].Name, err)
		}
	}
	for _, a := range j.After {
		if a.Job < 0 || a.Job >= len(p.Jobs) || a.Job == i {
			return fmt.Errorf("waits for job %d of %d", a.Job, len(p.Jobs))
		}
	}
	if b := j.Begun; b != nil {
		if b.Way < 0 || b.Way >= len(j.Ways) {
			return fmt.Errorf("was begun in way %d of %d", b.Way, len(j.Ways))
		}
		if b.On == nil {
			return nil
		}
		uses := j.Ways[b.Way].Uses
		if len(b.On) != len(uses) {
			return fmt.Errorf("was begun on %d uses of %d", len(b.On), len(uses))
		}
		for k := range uses {
			if !chosen(&uses[k], b.On[k]) {
				return fmt.Errorf("was begun on resources %v, its use %s wants %d of %v", b.On[k], uses[k].Name, uses[k].count(), uses[k].Any)
			}
		}
	}
	return nil
}

func (p *Problem) way(w *Way) error {
	if w.Cost < 0 || w.Cost > mostCost || w.Units < 0 || w.Done < 0 {
		return fmt.Errorf("cost %d, %d units, done after %d half-hours", w.Cost, w.Units, w.Done)
	}
	if !slices.IsSorted(w.Starts) {
		return fmt.Errorf("starts do not rise")
	}
	for i := range w.Uses {
		if err := p.use(&w.Uses[i]); err != nil {
			return fmt.Errorf("use %s: %w", w.Uses[i].Name, err)
		}
	}
	for _, t := range w.Takes {
		if t.Stock < 0 || t.Stock >= len(p.Stocks) || t.Amount < -mostAmount || t.Amount > mostAmount {
			return fmt.Errorf("takes %d of stock %d of %d", t.Amount, t.Stock, len(p.Stocks))
		}
	}
	return nil
}

func (p *Problem) use(u *Use) error {
	if u.From < 0 || u.To <= u.From || u.Amount < 0 || u.Amount > mostAmount || u.Count < 0 || u.count() > len(u.Any) {
		return fmt.Errorf("%d of %d resources, %d each, from half-hour %d to %d", u.count(), len(u.Any), u.Amount, u.From, u.To)
	}
	for i, r := range u.Any {
		if r < 0 || r >= len(p.Resources) || slices.Contains(u.Any[:i], r) {
			return fmt.Errorf("resource %d of %d, or twice", r, len(p.Resources))
		}
		if n := len(p.Resources[r].Changes); n > 0 && (u.Family < 0 || u.Family >= n) {
			return fmt.Errorf("family %d of %d on %s", u.Family, n, p.Resources[r].Name)
		}
	}
	return nil
}

// noRing refuses jobs that wait for each other in a ring.
func (p *Problem) noRing() error {
	state := make([]int, len(p.Jobs)) // 1: being looked at, 2: done
	var visit func(j int) error
	visit = func(j int) error {
		switch state[j] {
		case 1:
			return fmt.Errorf("job %s waits for itself in the end", p.Jobs[j].Name)
		case 2:
			return nil
		}
		state[j] = 1
		for _, a := range p.Jobs[j].After {
			if err := visit(a.Job); err != nil {
				return err
			}
		}
		state[j] = 2
		return nil
	}
	for j := range p.Jobs {
		if err := visit(j); err != nil {
			return err
		}
	}
	return nil
}
