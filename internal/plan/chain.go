package plan

import (
	"fmt"
	"slices"
)

// A Chain is a job's stages one behind the other, from which rigid ways are made: warm,
// tip and settle, fill. It is laid backwards from each start of the last stage, so honey
// is warm no longer than it must be.
type Chain struct {
	Way    Way // name, why, units, cost; its uses and takes count from the block's start and are kept
	Stages []Stage
	Uses   []ChainUse
	Takes  []ChainTake
	Hours  []Step // when somebody is there: an amount above 0
	Need   int64  // of that amount, to work; at least 1 counts
	Every  Half   // the last stage starts at multiples of this from midnight; 0 counts as 1
	After  Half   // from the last stage's end until the goods can go
}

// A Stage is one step of a chain.
type Stage struct {
	Name  string
	Least Half // how long it takes
	Most  Half // the longest it may last while the next can't begin; 0: no end
	// Worked stages go on only while somebody is there, and rest between. Any stage
	// begins while somebody is there.
	Worked bool
}

// A ChainUse is a use from the start of one stage to the end of another. From and To of
// the Use itself are distances from there.
type ChainUse struct {
	Use
	First, Last int
	Worked      bool // only while the stages are worked on: hands, not the line
}

// A ChainTake is a take at a distance from the start of a stage.
type ChainTake struct {
	Take
	Stage int
}

// A laid chain: each stage's start and end, and its worked spells.
type laid struct {
	from, to []Half
	spells   [][][2]Half
}

// Ways makes the ways of a chain, one for each form that it takes round nights and days
// off, with the starts at which it has that form. midnight is as in [Problem].
func (c *Chain) Ways(horizon, midnight Half) ([]Way, error) {
	if len(c.Stages) == 0 {
		return nil, fmt.Errorf("chain %s has no stage", c.Way.Name)
	}
	for _, s := range c.Stages {
		if s.Least <= 0 || s.Most != 0 && s.Most < s.Least {
			return nil, fmt.Errorf("stage %s of chain %s takes %d to %d half-hours", s.Name, c.Way.Name, s.Least, s.Most)
		}
	}
	for _, u := range c.Uses {
		if u.First < 0 || u.Last < u.First || u.Last >= len(c.Stages) {
			return nil, fmt.Errorf("use %s of chain %s runs from stage %d to %d of %d", u.Name, c.Way.Name, u.First, u.Last, len(c.Stages))
		}
	}
	there := make([]bool, max(0, horizon))
	for t := range there {
		there[t] = at(c.Hours, Half(t)) >= max(1, c.Need)
	}
	var ways []Way
	place := map[string]int{}
	for t := range horizon {
		if (t+midnight)%max(1, c.Every) != 0 {
			continue
		}
		l, ok := c.lay(t, there)
		if !ok {
			continue
		}
		w := c.way(l)
		key := fmt.Sprint(w.Uses, w.Takes, w.Done)
		i, old := place[key]
		if !old {
			i = len(ways)
			place[key] = i
			ways = append(ways, w)
		}
		ways[i].Starts = append(ways[i].Starts, l.from[0])
	}
	for i := range ways {
		slices.Sort(ways[i].Starts)
		ways[i].Starts = slices.Compact(ways[i].Starts)
	}
	return ways, nil
}

// lay lays the chain so that its last stage starts at t.
func (c *Chain) lay(t Half, there []bool) (laid, bool) {
	n := len(c.Stages)
	l := laid{make([]Half, n), make([]Half, n), make([][][2]Half, n)}
	for k := n - 1; k >= 0; k-- {
		s := &c.Stages[k]
		for ; ; t-- {
			if t < 0 {
				return l, false
			}
			end, spells, ok := run(s, t, there)
			if k == n-1 {
				if !ok {
					return l, false
				}
				l.from[k], l.to[k], l.spells[k] = t, end, spells
				break
			}
			if ok && end <= l.from[k+1] {
				if wait := l.from[k+1] - t; s.Most > 0 && wait > s.Most {
					return l, false
				}
				l.from[k], l.to[k], l.spells[k] = t, l.from[k+1], spells
				break
			}
		}
		t = l.from[k]
	}
	return l, true
}

// run works a stage from t on: its end and the spells in which it is worked on. False
// if nobody is there at t or the time that is known ends before.
func run(s *Stage, t Half, there []bool) (end Half, spells [][2]Half, ok bool) {
	if int(t) >= len(there) || !there[t] {
		return 0, nil, false
	}
	if !s.Worked {
		end = t + s.Least
		return end, [][2]Half{{t, end}}, int(end) <= len(there)
	}
	for left := s.Least; left > 0; t++ {
		if int(t) >= len(there) {
			return 0, nil, false
		}
		if !there[t] {
			continue
		}
		if n := len(spells); n > 0 && spells[n-1][1] == t {
			spells[n-1][1]++
		} else {
			spells = append(spells, [2]Half{t, t + 1})
		}
		left--
		end = t + 1
	}
	return end, spells, true
}

// way is the block of a laid chain.
func (c *Chain) way(l laid) Way {
	w := c.Way
	start, last := l.from[0], len(c.Stages)-1
	w.Starts = nil
	w.Uses, w.Takes = slices.Clone(w.Uses), slices.Clone(w.Takes)
	for _, u := range c.Uses {
		if !u.Worked {
			v := u.Use
			v.From, v.To = l.from[u.First]-start+u.From, l.to[u.Last]-start+u.To
			w.Uses = append(w.Uses, v)
			continue
		}
		for k := u.First; k <= u.Last; k++ {
			for _, spell := range l.spells[k] {
				v := u.Use
				v.From, v.To = spell[0]-start, spell[1]-start
				w.Uses = append(w.Uses, v)
			}
		}
	}
	for _, t := range c.Takes {
		v := t.Take
		v.At += l.from[t.Stage] - start
		w.Takes = append(w.Takes, v)
	}
	w.Done = l.to[last] - start + c.After
	return w
}
