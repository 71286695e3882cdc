package fill

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// nodes are how finely the integral equations of run lengths are solved.
const nodes = 40

// SumRunLength is how many checks a pair of cumulative sums (one each way) of slack
// k and line h takes on average to give an alarm, when the mean has moved by shift
// standard deviations of a check's mean; head is the start as a share of h. For the
// one-sided sum from u
//
//	L(u) = 1 + L(0)·Φ(k − u − δ) + ∫₀ʰ L(x)·φ(x + k − u − δ) dx
//
// solved at Gauss-Legendre nodes; the pair by 1/L = 1/L⁺ + 1/L⁻ (from its head start
// by Lucas and Crosier's joining). Valid for k 0 to 3, h 0.5 to 20, shifts to ±10;
// right to three digits. Sources: Page, Biometrika 41 (1954); van Dobben de Bruyn
// 1968 (memory).
func SumRunLength(k, h, shift, head float64) (float64, error) {
	for _, c := range []struct {
		what      string
		x         float64
		low, high float64
	}{{"slack", k, 0, 3}, {"line", h, 0.5, 20}, {"shift", shift, -10, 10}, {"head start", head, 0, 1}} {
		if err := checkRange(c.what, c.x, c.low, c.high, ""); err != nil {
			return 0, err
		}
	}
	up0, upHead := oneSum(k, h, shift, head)
	down0, downHead := oneSum(k, h, -shift, head)
	switch { // a sum that never speaks leaves the other alone
	case math.IsInf(up0, 1) && math.IsInf(down0, 1):
		return 0, fmt.Errorf("run length too long to tell: %w", ErrOutOfRange)
	case math.IsInf(up0, 1):
		return downHead, nil
	case math.IsInf(down0, 1):
		return upHead, nil
	}
	// L = (L⁺(s)·L⁻(0) + L⁺(0)·L⁻(s) − L⁺(0)·L⁻(0)) / (L⁺(0) + L⁻(0))
	return (upHead*down0 + up0*downHead - up0*down0) / (up0 + down0), nil
}

// oneSum is the run length of one sum from 0 and from its head start; infinite where
// it is too long for a double's digits.
func oneSum(k, h, shift, head float64) (from0, fromHead float64) {
	x, w := legendre(0, h)
	a := mat.NewDense(nodes+1, nodes+1, nil)
	b := mat.NewVecDense(nodes+1, nil)
	row := func(u float64) []float64 {
		r := make([]float64, nodes+1)
		r[0] = phi(k - u - shift)
		for j := range x {
			r[j+1] = w[j] * density(x[j]+k-u-shift)
		}
		return r
	}
	for i := range nodes + 1 {
		u := 0.0
		if i > 0 {
			u = x[i-1]
		}
		for j, v := range row(u) {
			a.Set(i, j, -v)
		}
		a.Set(i, i, a.At(i, i)+1)
		b.SetVec(i, 1)
	}
	var l mat.VecDense
	if !solve(&l, a, b) {
		return math.Inf(1), math.Inf(1)
	}
	fromHead = 1
	for j, v := range row(head * h) {
		fromHead += v * l.AtVec(j)
	}
	return l.AtVec(0), fromHead
}

// solve accepts a system that is badly scaled: long run lengths make it so, and
// their digits are still good to what is asked.
func solve(l *mat.VecDense, a *mat.Dense, b *mat.VecDense) bool {
	err := l.SolveVec(a, b)
	var condition mat.Condition
	return err == nil || errors.As(err, &condition) && float64(condition) < 1e13
}

func legendre(low, high float64) (x, w []float64) {
	x, w = make([]float64, nodes), make([]float64, nodes)
	quad.Legendre{}.FixedLocations(x, w, low, high)
	return x, w
}

// AverageRunLength is how many checks a moving average of weight lambda with steady
// lines at l of its standard deviations takes on average to give an alarm, when the
// mean has moved by shift standard deviations of a check's mean:
//
//	L(u) = 1 + (1/λ)·∫ L(x)·φ((x − (1−λ)·u)/λ − δ) dx      between the lines
//
// Valid for lambda 0.02 to 1, l 1 to 5, shifts to ±10; right to three digits. The
// lines of the charts here are narrower in their first checks and so a little
// quicker. Source: Crowder, Technometrics 29 (1987) (memory).
func AverageRunLength(lambda, l, shift float64) (float64, error) {
	for _, c := range []struct {
		what      string
		x         float64
		low, high float64
	}{{"weight", lambda, 0.02, 1}, {"line", l, 1, 5}, {"shift", shift, -10, 10}} {
		if err := checkRange(c.what, c.x, c.low, c.high, ""); err != nil {
			return 0, err
		}
	}
	h := l * math.Sqrt(lambda/(2-lambda))
	x, w := legendre(-h, h)
	a := mat.NewDense(nodes, nodes, nil)
	b := mat.NewVecDense(nodes, nil)
	kernel := func(u float64, j int) float64 {
		return w[j] / lambda * density((x[j]-(1-lambda)*u)/lambda-shift)
	}
	for i := range nodes {
		for j := range nodes {
			a.Set(i, j, -kernel(x[i], j))
		}
		a.Set(i, i, a.At(i, i)+1)
		b.SetVec(i, 1)
	}
	var run mat.VecDense
	if !solve(&run, a, b) {
		return 0, fmt.Errorf("run length too long to tell: %w", ErrOutOfRange)
	}
	from0 := 1.0
	for j := range nodes {
		from0 += kernel(0, j) * run.AtVec(j)
	}
	return from0, nil
}

// SumLine is the line h of a pair of cumulative sums of slack k that gives a false
// alarm once in so many checks on average; for a stream, whose checks come every few
// minutes, the usual 5 would cry out every shift.
func SumLine(k, everyChecks float64) (float64, error) {
	if err := checkRange("checks between false alarms", everyChecks, 20, 1e6, ""); err != nil {
		return 0, err
	}
	low, high := 0.5, 20.0
	for range 40 {
		h := (low + high) / 2
		l, err := SumRunLength(k, h, 0, 0)
		if err != nil || l > everyChecks {
			high = h
		} else {
			low = h
		}
	}
	if high > 19.99 {
		return 0, fmt.Errorf("no line up to 20 gives one false alarm in %g checks with slack %g; take a greater slack: %w", everyChecks, k, ErrOutOfRange)
	}
	return high, nil
}
