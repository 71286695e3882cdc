package blend

import (
	"math"

	"combline/internal/linear"
)

// plain solves small models: branch and bound over a dense simplex with Bland's rule,
// slow and simple, so that the search is tested apart from the real solver.
func plain(models []linear.Model, o linear.Options) ([]linear.Solution, error) {
	out := make([]linear.Solution, len(models))
	for i := range models {
		if err := models[i].Check(); err != nil {
			return nil, err
		}
		out[i] = branch(&models[i])
	}
	return out, nil
}

func branch(m *linear.Model) linear.Solution {
	best := linear.Solution{Status: linear.Impossible, Objective: math.Inf(1), Bound: math.Inf(1)}
	type node struct{ low, high []float64 }
	first := node{}
	for _, c := range m.Columns {
		first.low, first.high = append(first.low, c.Low), append(first.high, c.High)
	}
	for open, looked := []node{first}, 0; len(open) > 0; looked++ {
		if looked == 1000 {
			return linear.Solution{Status: linear.OutOfTime, Objective: math.Inf(1), Bound: math.Inf(-1)}
		}
		n := open[len(open)-1]
		open = open[:len(open)-1]
		x, v, ok := simplex(m, n.low, n.high)
		if !ok || v >= best.Objective-1e-9*math.Max(1, math.Abs(best.Objective)) {
			continue
		}
		at := -1
		for i, c := range m.Columns {
			if c.Whole && math.Abs(x[i]-math.Round(x[i])) > 1e-6 {
				at = i
				break
			}
		}
		if at < 0 {
			best = linear.Solution{Status: linear.Proven, Values: x, Objective: v, Bound: v}
			continue
		}
		up := node{append([]float64(nil), n.low...), n.high}
		up.low[at] = math.Ceil(x[at])
		down := node{n.low, append([]float64(nil), n.high...)}
		down.high[at] = math.Floor(x[at])
		open = append(open, up, down)
	}
	return best
}

// simplex minimises over x >= 0 shifted to the columns' lower bounds; a column without
// one is the difference of two.
func simplex(m *linear.Model, low, high []float64) ([]float64, float64, bool) {
	type part struct {
		sign float64
		of   int
	}
	var cols []part
	shift := make([]float64, len(low))
	for i := range low {
		if high[i] < low[i]-1e-12 {
			return nil, 0, false
		}
		cols = append(cols, part{1, i})
		if math.IsInf(low[i], -1) {
			cols = append(cols, part{-1, i})
		} else {
			shift[i] = low[i]
		}
	}
	dense := make([][]float64, len(m.Rows))
	for r := range dense {
		dense[r] = make([]float64, len(low))
	}
	for i, c := range m.Columns {
		for _, e := range c.Entries {
			dense[e.Row][i] = e.Value
		}
	}
	var rows [][]float64 // a·x <= b, b last
	add := func(sign float64, coef []float64, b float64) {
		row := make([]float64, len(cols)+1)
		for k, p := range cols {
			row[k] = sign * p.sign * coef[p.of]
		}
		rest := b
		for i := range coef {
			rest -= coef[i] * shift[i]
		}
		row[len(cols)] = sign * rest
		rows = append(rows, row)
	}
	for r, bounds := range m.Rows {
		if !math.IsInf(bounds.High, 1) {
			add(1, dense[r], bounds.High)
		}
		if !math.IsInf(bounds.Low, -1) {
			add(-1, dense[r], bounds.Low)
		}
	}
	for i := range low {
		if !math.IsInf(high[i], 1) {
			unit := make([]float64, len(low))
			unit[i] = 1
			add(1, unit, high[i])
		}
	}
	cost := make([]float64, len(cols))
	for k, p := range cols {
		cost[k] = p.sign * m.Columns[p.of].Cost
	}
	y, ok := tableau(rows, cost)
	if !ok {
		return nil, 0, false
	}
	x := append([]float64(nil), shift...)
	for k, p := range cols {
		x[p.of] += p.sign * y[k]
	}
	return x, m.Objective(x), true
}

// tableau minimises cost·y for rows·y <= b, y >= 0, in two phases.
func tableau(rows [][]float64, cost []float64) ([]float64, bool) {
	n, m := len(cost), len(rows)
	width := n + m + m + 1 // unknowns, slacks, helpers, right side
	t, basis := make([][]float64, m), make([]int, m)
	phase1 := make([]float64, width)
	for r, row := range rows {
		t[r] = make([]float64, width)
		size := 1e-300
		for k := range n {
			size = max(size, math.Abs(row[k]))
		}
		sign := 1.0
		if row[n] < 0 {
			sign = -1
		}
		for k := range n {
			t[r][k] = sign * row[k] / size
		}
		t[r][n+r], t[r][width-1], basis[r] = sign, sign*row[n]/size, n+r
		if sign < 0 {
			t[r][n+m+r], basis[r] = 1, n+m+r
			phase1[n+m+r] = 1
		}
	}
	if _, ok := pivot(t, basis, phase1, width-1); !ok {
		return nil, false
	}
	for r, b := range basis {
		if b >= n+m && t[r][width-1] > 1e-7 {
			return nil, false
		}
	}
	for r, b := range basis { // a helper left at 0 must not grow again
		for k := 0; b >= n+m && k < n+m; k++ {
			if math.Abs(t[r][k]) > 1e-9 {
				exchange(t, basis, r, k)
				break
			}
		}
	}
	phase2 := make([]float64, width)
	copy(phase2, cost)
	if _, ok := pivot(t, basis, phase2, n+m); !ok {
		return nil, false
	}
	y := make([]float64, n)
	for r, b := range basis {
		if b < n {
			y[b] = max(0, t[r][width-1])
		}
	}
	return y, true
}

func pivot(t [][]float64, basis []int, cost []float64, columns int) (float64, bool) {
	last := len(cost) - 1
	reduced := append([]float64(nil), cost...)
	for r, b := range basis {
		if f := reduced[b]; f != 0 {
			for k := range reduced {
				reduced[k] -= f * t[r][k]
			}
		}
	}
	for step := range 5000 {
		in := -1
		for k := range columns { // the steepest first; the first one against going round
			if reduced[k] < -1e-9 && (in < 0 || step < 100 && reduced[k] < reduced[in]) {
				in = k
			}
		}
		if in < 0 {
			return -reduced[last], true
		}
		out := -1
		for r := range t {
			if t[r][in] > 1e-9 && (out < 0 || t[r][last]/t[r][in] < t[out][last]/t[out][in]-1e-12 ||
				t[r][last]/t[r][in] < t[out][last]/t[out][in]+1e-12 && basis[r] < basis[out]) {
				out = r
			}
		}
		if out < 0 {
			return 0, false // without end
		}
		exchange(t, basis, out, in)
		g := reduced[in]
		for k := range reduced {
			reduced[k] -= g * t[out][k]
		}
	}
	return 0, false
}

// exchange brings a column into the basis at a row.
func exchange(t [][]float64, basis []int, out, in int) {
	f := t[out][in]
	for k := range t[out] {
		t[out][k] /= f
	}
	for r := range t {
		if g := t[r][in]; r != out && g != 0 {
			for k := range t[r] {
				t[r][k] -= g * t[out][k]
			}
		}
	}
	basis[out] = in
}
