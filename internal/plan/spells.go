package plan

import (
	"cmp"
	"math"
	"slices"

	"combline/internal/linear"
)

// A second relaxation counts in spells and not in half-hours: days first, then parts of
// them. All starts of one recipe of a job that fill in the same spell are one choice, as
// cheap and as modest as the best of them in each regard. It knows less of when, but it
// is small enough to be solved in whole numbers, and in whole numbers a line can't be
// set half for one family and half for another: this is where the bound on changes comes
// from.
//
// A line begins a spell as it ended the one before and goes through changes from family
// to family. A run needs the line to be of its family when the spell begins, or to come
// to it in that spell. What the changes cost is theirs; how long they take is left out.

// spells are the lengths of a spell, in turn.
var spells = [...]Half{Day, 16, 8}

// spellOf counts spells of a length from the midnight before the plan's start.
func (p *Problem) spellOf(t, length Half) int { return int((t + p.Midnight) / length) }

// A choice is what is one column in the model of spells.
type choice struct {
	job     int
	recipe  string
	line    int // −1: none
	family  int
	spell   int
	options []int32
}

// choices groups the options that are alive.
func (d *desk) choices(alive [][]int32, r *relaxation, length Half) []choice {
	var all []choice
	for _, job := range d.movable {
		place := map[choiceKey]int{}
		for _, o := range alive[job] {
			opt := d.opts[job][o]
			w := &d.p.Jobs[job].Ways[opt.way]
			c := choice{job: job, recipe: w.Name, line: -1, spell: d.p.spellOf(opt.start+w.Done, length)}
			for i := range w.Uses {
				if k := w.Uses[i].Any[0]; c.line < 0 && r.isLine(k) {
					c.line, c.family, c.spell = k, w.Uses[i].Family, d.p.spellOf(opt.start+w.Uses[i].From, length)
				}
			}
			key := choiceKey{c.recipe, c.line, c.family, c.spell}
			i, old := place[key]
			if !old {
				i = len(all)
				place[key] = i
				all = append(all, c)
			}
			all[i].options = append(all[i].options, o)
		}
	}
	return all
}

type choiceKey struct {
	recipe              string
	line, family, spell int
}

func (r *relaxation) isLine(k int) bool {
	return slices.ContainsFunc(r.lines, func(l lineRows) bool { return l.line == k })
}

// inSpells writes the model of spells out of the fine one: its rows of a pool are summed up
// by spell, and a choice takes of each row the least that one of its options takes.
func (d *desk) inSpells(fine *relaxation, alive [][]int32, leave []bool, length Half) (*linear.Model, []choice) {
	all := d.choices(alive, fine, length)
	m := &linear.Model{Offset: fine.model.Offset}
	to := fine.bySpell(m, length)
	column := make([]map[int32]int, len(d.p.Jobs))
	for c, job := range fine.job {
		if job >= 0 && fine.option[c] >= 0 {
			if column[job] == nil {
				column[job] = map[int32]int{}
			}
			column[job][fine.option[c]] = c
		}
	}
	rowOf := map[int]int{}
	for _, job := range d.movable {
		rowOf[job] = m.AddRow(linear.Row{Low: 1, High: 1})
	}
	n := float64(len(d.movable))
	one := m.AddRow(linear.Row{Low: n, High: n})
	for i := range all {
		c := &all[i]
		cost, least := math.Inf(1), map[int]float64(nil)
		for _, o := range c.options {
			cost = min(cost, float64(d.opts[c.job][o].cost))
			sum := map[int]float64{}
			for _, e := range fine.model.Columns[column[c.job][o]].Entries {
				if row := to[e.Row]; row >= 0 {
					sum[row] += e.Value
				}
			}
			least = lower(least, sum)
		}
		least[rowOf[c.job]], least[one] = 1, 1
		m.AddColumn(linear.Column{Cost: cost, High: 1, Whole: true, Entries: entriesOf(least)})
	}
	for _, job := range d.movable {
		if leave[job] {
			m.AddColumn(linear.Column{Cost: float64(d.unmet[job]), High: 1, Whole: true,
				Entries: entriesOf(map[int]float64{rowOf[job]: 1, one: 1})})
		}
	}
	for k := range fine.lines {
		d.lineSpells(m, &fine.lines[k], all, length)
	}
	return m, all
}

// lower is the least of two columns in each row. Rows are of what is taken; what is given
// counts at its most.
func lower(least, sum map[int]float64) map[int]float64 {
	if least == nil {
		return sum
	}
	for row, x := range least {
		least[row] = min(x, sum[row])
	}
	for row, x := range sum {
		if _, in := least[row]; !in {
			least[row] = min(0, x)
		}
	}
	return least
}

func entriesOf(sum map[int]float64) []linear.Entry {
	var all []linear.Entry
	for row, v := range sum {
		if v != 0 {
			all = append(all, linear.Entry{Row: row, Value: v})
		}
	}
	slices.SortFunc(all, func(a, b linear.Entry) int { return cmp.Compare(a.Row, b.Row) })
	return all
}

// bySpell adds the rows of the fine model that only take, those of a pool or a line summed
// up by spell, and tells for each row of the fine model where it went; −1: it is left out.
func (r *relaxation) bySpell(m *linear.Model, length Half) []int {
	to := make([]int, len(r.model.Rows))
	for row := range to {
		to[row] = -1
	}
	sums := func(times []Half, row int, room func(i int) float64) {
		spell, at := math.MinInt, -1
		for i, t := range times {
			if x := r.d.p.spellOf(t, length); x != spell {
				spell = x
				at = m.AddRow(linear.Row{Low: math.Inf(-1)})
			}
			m.Rows[at].High += room(i)
			to[row+i] = at
		}
	}
	for _, p := range r.pools {
		if p.row >= 0 {
			sums(p.times, p.row, func(i int) float64 { return r.model.Rows[p.row+i].High })
		}
	}
	for _, s := range r.stocks {
		for i := range s.until {
			to[s.row+i] = m.AddRow(r.model.Rows[s.row+i])
		}
	}
	for _, l := range r.lines {
		n := len(l.times)
		first := len(m.Rows)
		sums(l.times[1:], l.fills+1, func(int) float64 { return 1 })
		for f := range l.families { // one line for all families
			for i := 1; i < n; i++ {
				to[l.fills+f*n+i] = to[l.fills+i]
				m.Rows[max(first, to[l.fills+i])].High += r.model.Rows[l.fills+f*n+i].High // begun runs
			}
		}
	}
	return to
}

// lineSpells adds what a line is at the end of each spell, and its changes in each.
func (d *desk) lineSpells(m *linear.Model, l *lineRows, all []choice, length Half) {
	res := &d.p.Resources[l.line]
	n, last := len(l.families), d.p.spellOf(d.p.Horizon, length)
	state := make([]int, n) // columns: the families at the end of the spell before
	start := m.AddRow(linear.Row{Low: 1, High: 1})
	for f, family := range l.families {
		high := 1.0
		if res.Family >= 0 && family != res.Family {
			high = 0
		}
		state[f] = m.AddColumn(linear.Column{High: high, Entries: []linear.Entry{{Row: start, Value: 1}}})
	}
	for spell := d.p.spellOf(0, length); spell <= last; spell++ {
		next := make([]int, n)
		comes, balance := make([][]linear.Term, n), make([][]linear.Term, n)
		for f := range l.families {
			next[f] = m.AddColumn(linear.Column{High: 1, Whole: true})
			balance[f] = append(balance[f], linear.Term{Column: state[f], Value: 1}, linear.Term{Column: next[f], Value: -1})
		}
		for f, before := range l.families {
			for g, after := range l.families {
				if f == g {
					continue
				}
				c := res.Changes[before][after]
				y := m.AddColumn(linear.Column{Cost: float64(c.Cost), High: float64(len(d.p.Jobs)), Whole: true})
				balance[f] = append(balance[f], linear.Term{Column: y, Value: -1})
				balance[g] = append(balance[g], linear.Term{Column: y, Value: 1})
				comes[g] = append(comes[g], linear.Term{Column: y, Value: -1})
			}
		}
		for f := range l.families {
			m.AddRow(linear.Row{}, balance[f]...)
			d.runsOn(m, l, f, spell, all, append(comes[f], linear.Term{Column: state[f], Value: -1}))
		}
		state = next
	}
}

// runsOn adds, for each job with choices of a family in a spell, that the line must be
// of that family in it.
func (d *desk) runsOn(m *linear.Model, l *lineRows, f, spell int, all []choice, is []linear.Term) {
	of := map[int][]linear.Term{}
	for i, c := range all {
		if c.line == l.line && c.family == l.families[f] && c.spell == spell {
			of[c.job] = append(of[c.job], linear.Term{Column: i, Value: 1})
		}
	}
	for _, job := range d.movable {
		if terms := of[job]; len(terms) > 0 {
			m.AddRow(linear.Row{Low: math.Inf(-1)}, append(terms, is...)...)
		}
	}
}
