package split

import (
	"errors"
	"math"
	"testing"

	"combline/internal/branch"
	"combline/internal/linear"

	"pgregory.net/rapid"
)

// exact solves each part with package branch, to the end.
func exact(models []linear.Model, o linear.Options) ([]linear.Solution, error) {
	out := make([]linear.Solution, len(models))
	for i := range models {
		s, err := branch.Solve(&models[i], branch.Options{Gap: o.Gap})
		if err != nil {
			return nil, err
		}
		out[i] = s
	}
	return out, nil
}

// anyOrders draws orders that want drums of the same lots: each a mass with shortage, a
// limit both lots' figures decide, and so many lots at most.
func anyOrders(t *rapid.T) (m linear.Model) {
	inf := math.Inf(1)
	figure := func(name string, low, high int) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) }
	lots, orders := rapid.IntRange(2, 5).Draw(t, "lots"), rapid.IntRange(2, 4).Draw(t, "orders")
	unit, spec, cost, count := make([]float64, lots), make([]float64, lots), make([]float64, lots), make([]float64, lots)
	stock := make([][]linear.Term, lots)
	for l := range lots {
		unit[l], spec[l], cost[l], count[l] = figure("unit", 2, 5), figure("spec", -5, 5), figure("cost", 1, 9), figure("count", 1, 4)
	}
	for range orders {
		wanted := figure("wanted", 3, 15)
		short := m.AddColumn(linear.Column{Cost: 30, High: wanted})
		over := m.AddColumn(linear.Column{Cost: 1, High: 4})
		mass := []linear.Term{{Column: short, Value: 1}, {Column: over, Value: -1}}
		var limit, used []linear.Term
		for l := range lots {
			x := m.AddColumn(linear.Column{Cost: cost[l] * unit[l], High: count[l], Whole: true})
			y := m.AddColumn(linear.Column{Cost: 2, High: 1, Whole: true})
			m.AddRow(linear.Row{Low: -inf}, linear.Term{Column: x, Value: 1}, linear.Term{Column: y, Value: -count[l]})
			mass = append(mass, linear.Term{Column: x, Value: unit[l]})
			limit = append(limit, linear.Term{Column: x, Value: unit[l] * spec[l]})
			used = append(used, linear.Term{Column: y, Value: 1})
			stock[l] = append(stock[l], linear.Term{Column: x, Value: 1})
		}
		m.AddRow(linear.Row{Low: wanted, High: wanted}, mass...)
		m.AddRow(linear.Row{Low: -inf, High: figure("slack", 0, 5)}, limit...)
		m.AddRow(linear.Row{Low: -inf, High: figure("most lots", 1, 3)}, used...)
	}
	for l, terms := range stock {
		m.AddRow(linear.Row{Low: -inf, High: count[l]}, terms...)
	}
	return m
}

// The whole model, searched to the end, is never under the parts' bound nor over their
// plan; the plan is possible, and as near as it says.
func TestBoundAndPlanHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyOrders(t)
		whole, err := branch.Solve(&m, branch.Options{})
		if err != nil || whole.Status != linear.Proven {
			t.Fatal(whole.Status, err)
		}
		const gap, tolerance = 0.01, 1e-6 // rows are kept to 1e-7 of their size, costs are up to 1e3
		got, err := Solve(&m, Options{Gap: gap}, exact)
		if errors.Is(err, ErrOnePart) {
			return
		}
		if err != nil || !got.Found() || m.Breaks(got.Values, near) != nil || math.Abs(m.Objective(got.Values)-got.Objective) > tolerance {
			t.Fatalf("%v, %v, %v", got.Status, err, m.Breaks(got.Values, near))
		}
		if got.Bound > whole.Objective+tolerance || got.Objective < whole.Objective-tolerance {
			t.Fatalf("parts %g to %g, whole %g", got.Bound, got.Objective, whole.Objective)
		}
		if got.Status == linear.Proven && got.Gap() > gap+tolerance {
			t.Fatalf("proven with a gap of %g", got.Gap())
		}
	})
}

// Two orders want the same two dear drums for the one lot that meets their limit: by
// hand, one gets both, or each gets one; either way one drum's worth is short twice.
func TestStockIsShared(t *testing.T) {
	inf := math.Inf(1)
	var m linear.Model
	var stock []linear.Term
	for range 2 {
		short := m.AddColumn(linear.Column{Cost: 10, High: 600})
		x := m.AddColumn(linear.Column{Cost: 600, High: 2, Whole: true})
		m.AddRow(linear.Row{Low: 600, High: 600}, linear.Term{Column: short, Value: 1}, linear.Term{Column: x, Value: 300})
		stock = append(stock, linear.Term{Column: x, Value: 1})
	}
	m.AddRow(linear.Row{Low: -inf, High: 2}, stock...)
	if n := Parts(&m); n != 2 {
		t.Fatalf("%d parts, want 2", n)
	}
	s, err := Solve(&m, Options{Gap: 1e-9}, exact)
	if want := 2*600.0 + 600*10; err != nil || s.Status != linear.Proven || math.Abs(s.Objective-want) > 1e-6 {
		t.Errorf("%v %g (bound %g), %v; want %g", s.Status, s.Objective, s.Bound, err, want)
	}
	stopped, err := Solve(&m, Options{Stop: func() bool { return true }}, exact)
	if err != nil || stopped.Bound > 7200 || stopped.Found() && m.Breaks(stopped.Values, near) != nil {
		t.Errorf("stopped: %+v, %v", stopped, err)
	}
}

func TestOnePartAndNone(t *testing.T) {
	var m linear.Model
	x, y := m.AddColumn(linear.Column{High: 1, Whole: true}), m.AddColumn(linear.Column{High: 1, Whole: true})
	m.AddRow(linear.Row{Low: 1, High: 1}, linear.Term{Column: x, Value: 1}, linear.Term{Column: y, Value: 1})
	if _, err := Solve(&m, Options{}, exact); !errors.Is(err, ErrOnePart) {
		t.Errorf("one part: %v", err)
	}
	z := m.AddColumn(linear.Column{High: 1, Whole: true})
	m.AddRow(linear.Row{Low: 0.5, High: 0.7}, linear.Term{Column: z, Value: 1}, linear.Term{Column: z, Value: 0})
	w := m.AddColumn(linear.Column{High: 0.5})
	m.AddRow(linear.Row{Low: 0.2, High: 0.3}, linear.Term{Column: z, Value: 1}, linear.Term{Column: w, Value: 0.1})
	if s, err := Solve(&m, Options{}, exact); err != nil || s.Status != linear.Impossible {
		t.Errorf("a part without a point: %v, %v", s.Status, err)
	}
	m.Columns[0].Cost = math.NaN()
	if _, err := Solve(&m, Options{}, exact); err == nil {
		t.Error("a cost that is not a number was taken")
	}
}

var errBusy = errors.New("busy")

func TestAnErrorOfTheSolverIsPassedOn(t *testing.T) {
	var m linear.Model
	for range 2 {
		m.AddColumn(linear.Column{Cost: -1, High: 1, Whole: true})
	}
	m.AddRow(linear.Row{Low: math.Inf(-1), High: 1}, linear.Term{Column: 0, Value: 1}, linear.Term{Column: 1, Value: 1})
	_, err := Solve(&m, Options{}, func([]linear.Model, linear.Options) ([]linear.Solution, error) { return nil, errBusy })
	if !errors.Is(err, errBusy) {
		t.Errorf("got %v", err)
	}
}
