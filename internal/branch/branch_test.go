package branch

import (
	"errors"
	"math"
	"testing"

	"combline/internal/linear"

	"pgregory.net/rapid"
)

// anyBlend draws a small order: drum lots and tank lots with their links, a mass row
// with shortage and excess, a limit both ways, at most so many lots, now and then a
// pair that must not meet and a yes/no of its own (one of two limits).
func anyBlend(t *rapid.T) (m linear.Model, tanks []int) {
	inf := math.Inf(1)
	figure := func(name string, low, high int) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) }
	wanted := figure("wanted", 3, 30)
	short := m.AddColumn(linear.Column{Cost: 50, High: wanted})
	over := m.AddColumn(linear.Column{Cost: 1, High: 2})
	mass := []linear.Term{{Column: short, Value: 1}, {Column: over, Value: -1}}
	var limit, other, used []linear.Term
	var rows [][2]linear.Term
	for range rapid.IntRange(1, 4).Draw(t, "lots") {
		tank := len(tanks) < 2 && rapid.Bool().Draw(t, "tank")
		most, unit, spec := figure("count", 1, 3), figure("unit", 2, 7), figure("spec", -6, 6)
		if tank {
			most, unit = figure("kg", 2, 12), 1
		}
		x := m.AddColumn(linear.Column{Cost: figure("cost", 1, 40) * unit / 4, High: most, Whole: !tank})
		y := x
		if most > 1 || tank {
			y = m.AddColumn(linear.Column{Cost: figure("handling", 0, 3), High: 1, Whole: true})
			rows = append(rows, [2]linear.Term{{Column: x, Value: 1}, {Column: y, Value: -most}})
		}
		if tank {
			tanks = append(tanks, x)
			rows = append(rows, [2]linear.Term{{Column: x, Value: -1}, {Column: y, Value: min(most, figure("least", 1, 4))}})
		}
		mass = append(mass, linear.Term{Column: x, Value: unit})
		limit = append(limit, linear.Term{Column: x, Value: unit * spec})
		other = append(other, linear.Term{Column: x, Value: unit * figure("other", -4, 4)})
		used = append(used, linear.Term{Column: y, Value: 1})
	}
	m.AddRow(linear.Row{Low: wanted, High: wanted}, mass...)
	way := m.AddColumn(linear.Column{High: 1, Whole: true})
	m.AddRow(linear.Row{Low: -inf}, append(limit, linear.Term{Column: way, Value: -40})...)
	m.AddRow(linear.Row{Low: -40, High: inf}, append(other, linear.Term{Column: way, Value: -40})...)
	m.AddRow(linear.Row{Low: figure("least lots", 0, 1) - 1, High: figure("most lots", 1, 4)}, used...)
	if len(used) > 2 && rapid.Bool().Draw(t, "apart") {
		m.AddRow(linear.Row{Low: -inf, High: 1}, used[0], used[2])
	}
	for _, r := range rows {
		m.AddRow(linear.Row{Low: -inf}, r[0], r[1])
	}
	return m, tanks
}

// tryAll tries every choice of the whole columns and, for the rest, every corner: the
// tanks' kg on a grid as fine as the figures, shortage and excess from the mass.
func tryAll(m *linear.Model, tanks []int) float64 {
	v, best := make([]float64, len(m.Columns)), math.Inf(1)
	grid := map[int]bool{}
	for _, x := range tanks {
		grid[x] = true
	}
	var from func(j int)
	from = func(j int) {
		if j == len(v) {
			closeMass(m, v)
			if m.Breaks(v, 1e-9) == nil {
				best = min(best, m.Objective(v))
			}
			return
		}
		if c := &m.Columns[j]; j >= 2 && (c.Whole || grid[j]) {
			for v[j] = 0; v[j] <= c.High; v[j]++ {
				from(j + 1)
			}
			return
		}
		from(j + 1)
	}
	from(0)
	return best
}

// closeMass sets shortage and excess to what the mass row asks.
func closeMass(m *linear.Model, v []float64) {
	v[0], v[1] = 0, 0
	if off := m.Rows[0].Low - m.RowSums(v)[0]; off > 0 {
		v[0] = off
	} else {
		v[1] = -off
	}
}

// No choice, tried one by one, is better than what the search proves to be best. The
// search may be better than whole kilograms from a tank, never worse; with drums alone
// both must agree.
func TestNothingIsBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, tanks := anyBlend(t)
		s, err := Solve(&m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		best := tryAll(&m, tanks)
		const tolerance = 1e-6 // rows are kept to 1e-9 of their size, costs are up to 1e3
		switch {
		case s.Status != linear.Proven || s.Gap() > tolerance:
			t.Fatalf("%v, objective %g, bound %g", s.Status, s.Objective, s.Bound)
		case m.Breaks(s.Values, near) != nil || math.Abs(m.Objective(s.Values)-s.Objective) > tolerance:
			t.Fatalf("point: %v", m.Breaks(s.Values, near))
		case s.Objective > best+tolerance || len(tanks) == 0 && s.Objective < best-tolerance:
			t.Fatalf("search %g, by trying %g", s.Objective, best)
		}
	})
}

func TestImpossible(t *testing.T) {
	var m linear.Model
	x := m.AddColumn(linear.Column{Cost: 1, High: 3, Whole: true})
	m.AddRow(linear.Row{Low: 3.5, High: 3.7}, linear.Term{Column: x, Value: 2}) // between 1 and 2 drums
	y := m.AddColumn(linear.Column{Cost: 1, High: 9})
	m.AddRow(linear.Row{Low: 1, High: 2}, linear.Term{Column: x, Value: 1}, linear.Term{Column: y, Value: 1})
	if s, err := Solve(&m, Options{}); err != nil || s.Status != linear.Impossible || s.Found() || !math.IsInf(s.Objective, 1) {
		t.Errorf("%+v, %v", s, err)
	}
}

func TestUnsuited(t *testing.T) {
	var m linear.Model
	x := m.AddColumn(linear.Column{Cost: -1, High: math.Inf(1)})
	y := m.AddColumn(linear.Column{Cost: 1, High: 1})
	m.AddRow(linear.Row{Low: 0, High: math.Inf(1)}, linear.Term{Column: x, Value: 1}, linear.Term{Column: y, Value: -1})
	m.AddRow(linear.Row{Low: 0, High: math.Inf(1)}, linear.Term{Column: x, Value: 1}, linear.Term{Column: y, Value: 1})
	if _, err := Solve(&m, Options{}); !errors.Is(err, ErrUnsuited) {
		t.Errorf("a column that earns without end: %v", err)
	}
	m.Columns[0].Cost = math.NaN()
	if _, err := Solve(&m, Options{}); err == nil || errors.Is(err, ErrUnsuited) {
		t.Errorf("a cost that is not a number: %v", err)
	}
}

// hardModel has no point near its bound: 24 drums of even weights against an odd mass.
func hardModel() (m linear.Model) {
	short := m.AddColumn(linear.Column{Cost: 100, High: 201})
	mass := []linear.Term{{Column: short, Value: 1}}
	for i := range 24 {
		x := m.AddColumn(linear.Column{Cost: 10 + float64(i%7)/10, High: 1, Whole: true})
		mass = append(mass, linear.Term{Column: x, Value: float64(20 + 2*(i%5))})
	}
	m.AddRow(linear.Row{Low: 201, High: 201}, mass...)
	m.Start = make([]float64, len(m.Columns))
	m.Start[short] = 201
	return m
}

func TestStopGivesTheBestSoFar(t *testing.T) {
	m := hardModel()
	asked := 0
	for what, o := range map[string]Options{
		"effort": {Effort: 400000},
		"stop":   {Stop: func() bool { asked++; return asked > 10 }},
	} {
		s, err := Solve(&m, o)
		if err != nil {
			t.Fatal(err)
		}
		if s.Status != linear.BestSoFar || m.Breaks(s.Values, near) != nil || !(s.Bound < s.Objective) || !(s.Bound > 0) {
			t.Errorf("%s: %v, objective %g, bound %g", what, s.Status, s.Objective, s.Bound)
		}
	}
	a, _ := Solve(&m, Options{Effort: 400000})
	b, _ := Solve(&m, Options{Effort: 400000})
	if a.Objective != b.Objective || a.Bound != b.Bound {
		t.Errorf("the same effort gave %g (bound %g) and %g (bound %g)", a.Objective, a.Bound, b.Objective, b.Bound)
	}
}

// Without whole columns the duals must prove the optimum: each row's dual times its
// binding bound, and each column's reduced cost times the bound that it asks for, add
// up to the objective (strong duality of linear programming).
func TestDualsProveTheOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, _ := anyBlend(t)
		for i := range m.Columns {
			m.Columns[i].Whole = false
		}
		s, err := Solve(&m, Options{})
		if err != nil || s.Status != linear.Proven {
			t.Fatal(s.Status, err)
		}
		if s.RowDuals == nil {
			return // a row of one column: the reader made it a bound
		}
		sum := 0.0
		for i, y := range s.RowDuals {
			if bound := m.Rows[i].High; y > 0 {
				sum += y * m.Rows[i].Low
			} else if y < 0 {
				sum += y * bound
			}
		}
		for j, d := range s.ColumnDuals {
			sum += min(d*m.Columns[j].Low, d*m.Columns[j].High)
		}
		const tolerance = 1e-6 // as of the objective
		if math.Abs(sum-s.Objective) > tolerance {
			t.Fatalf("duals give %g, objective %g", sum, s.Objective)
		}
	})
}

// A column whose terms in a row add up to nothing stands in no row of two: it is not read
// as a bound of the others. min y − x with x + z ≤ 1, y's two terms there cancel: x = 1.
func TestTermsThatCancel(t *testing.T) {
	var m linear.Model
	y := m.AddColumn(linear.Column{High: 1, Whole: true, Cost: 1})
	x := m.AddColumn(linear.Column{High: 5, Cost: -1})
	z := m.AddColumn(linear.Column{High: 5})
	m.AddRow(linear.Row{Low: math.Inf(-1), High: 1}, linear.Term{Column: y, Value: 1}, linear.Term{Column: y, Value: -1}, linear.Term{Column: x, Value: 1}, linear.Term{Column: z, Value: 1})
	got, err := Solve(&m, Options{})
	if errors.Is(err, ErrUnsuited) {
		return
	}
	if err != nil || math.Abs(got.Objective+1) > 1e-9 {
		t.Errorf("%v, %v; want −1", got.Objective, err)
	}
}
