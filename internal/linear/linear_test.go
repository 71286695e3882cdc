package linear

import (
	"math"
	"testing"
)

// A knapsack by hand: 5a + 4b + 3c is most within 2a + 3b + c <= 5 at a = c = 1 whole
// (8) plus b = 2/3 if it may be part (32/3).
func knapsack() Model {
	var m Model
	for i, c := range []float64{-5, -4, -3} {
		m.AddColumn(Column{Name: string(rune('a' + i)), Cost: c, High: 1, Whole: true})
	}
	m.AddRow(Row{Name: "room", Low: math.Inf(-1), High: 5}, Term{0, 2}, Term{1, 3}, Term{2, 1}, Term{1, 0})
	return m
}

func TestModel(t *testing.T) {
	m := knapsack()
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	if got := m.Objective([]float64{1, 0, 1}); got != -8 {
		t.Errorf("objective %g, want -8", got)
	}
	for _, c := range []struct {
		at   []float64
		good bool
	}{
		{[]float64{1, 0, 1}, true}, {[]float64{1, 1, 0}, true},
		{[]float64{1, 1, 1}, false},          // no room
		{[]float64{1, 0.5, 1}, false},        // not whole
		{[]float64{2, 0, 0}, false},          // over its bound
		{[]float64{1, 0}, false},             // too few
		{[]float64{math.NaN(), 0, 0}, false}, // not a number
	} {
		if err := m.Breaks(c.at, 1e-9); (err == nil) != c.good {
			t.Errorf("%v: %v", c.at, err)
		}
	}
}

func TestTermsOfOneColumnAddUp(t *testing.T) {
	var m Model
	m.AddColumn(Column{High: 1})
	m.AddRow(Row{High: 1}, Term{0, 2}, Term{0, 3})
	if got := m.Columns[0].Entries; len(got) != 1 || got[0] != (Entry{0, 5}) {
		t.Errorf("entries %v", got)
	}
}

func TestBadModelsAreRefused(t *testing.T) {
	for what, spoil := range map[string]func(*Model){
		"cost":       func(m *Model) { m.Columns[0].Cost = math.NaN() },
		"endless":    func(m *Model) { m.Columns[0].Cost = math.Inf(1) },
		"bounds":     func(m *Model) { m.Columns[0].Low = 2 },
		"row bounds": func(m *Model) { m.Rows[0].Low = math.NaN() },
		"row":        func(m *Model) { m.Columns[0].Entries[0].Row = 1 },
		"twice":      func(m *Model) { m.Columns[0].Entries = append(m.Columns[0].Entries, Entry{0, 1}) },
		"value":      func(m *Model) { m.Columns[0].Entries[0].Value = math.Inf(-1) },
		"start":      func(m *Model) { m.Start = []float64{1} },
		"start NaN":  func(m *Model) { m.Start = []float64{1, math.NaN(), 0} },
		"offset":     func(m *Model) { m.Offset = math.NaN() },
	} {
		m := knapsack()
		if spoil(&m); m.Check() == nil {
			t.Errorf("%s: not refused", what)
		}
	}
}

func TestCloneSharesNothing(t *testing.T) {
	m := knapsack()
	c := m.Clone()
	c.Columns[0].Entries[0].Value, c.Rows[0].High, c.Columns[1].Cost = 9, 9, 9
	if m.Columns[0].Entries[0].Value != 2 || m.Rows[0].High != 5 || m.Columns[1].Cost != -4 {
		t.Errorf("the copy's changes reached %v", m)
	}
}

func TestGap(t *testing.T) {
	for _, c := range []struct{ objective, bound, want float64 }{
		{100, 99, 0.01}, {-100, -101, 0.01}, {5, 5, 0}, {0, 0, 0}, {0, -1, math.Inf(1)},
		{math.Inf(1), 3, math.Inf(1)}, {3, math.Inf(-1), math.Inf(1)},
	} {
		s := Solution{Objective: c.objective, Bound: c.bound}
		if got := s.Gap(); math.Abs(got-c.want) > 1e-15 && got != c.want {
			t.Errorf("%g with bound %g: gap %g, want %g", c.objective, c.bound, got, c.want)
		}
	}
}
