package fill

import (
	"fmt"
	"math"
)

// Factors are the control chart factors of checks of n jars: from the spread to
// limits at three standard deviations of the statistic.
type Factors struct {
	N              int
	C4             float64 // expected s is C4·σ
	A3, B3, B4     float64 // limits of means and of s from the mean s
	B5, B6         float64 // limits of s from a known σ
	D2, D3Sigma    float64 // expected range is D2·σ, its standard deviation D3Sigma·σ (printed d3)
	A2, DLow, DTop float64 // limits of means and of ranges from the mean range (printed A2, D3, D4)
}

// ranges are the expected range of n values of the standard normal law and its
// standard deviation, n = 2 to 25, by numeric integration
// (testdata/reference.R).
var ranges = [...][2]float64{
	{1.128379, 0.852502}, {1.692569, 0.888368}, {2.058751, 0.879808}, {2.325929, 0.864082}, {2.534413, 0.848040},
	{2.704357, 0.833205}, {2.847201, 0.819831}, {2.970026, 0.807834}, {3.077505, 0.797051}, {3.172873, 0.787315},
	{3.258455, 0.778478}, {3.335980, 0.770416}, {3.406763, 0.763023}, {3.471827, 0.756211}, {3.531983, 0.749908},
	{3.587884, 0.744052}, {3.640064, 0.738591}, {3.688963, 0.733481}, {3.734950, 0.728686}, {3.778336, 0.724173},
	{3.819385, 0.719915}, {3.858323, 0.715887}, {3.895348, 0.712068}, {3.930629, 0.708441},
}

// FactorsFor gives the factors of checks of n jars, 2 to 25; for more jars those
// of the range are 0, since a range is no measure of so many. C4 is
// √(2/(n−1))·Γ(n/2)/Γ((n−1)/2), and
//
//	A3 = 3/(C4·√n)   B3, B4 = 1 ∓ 3·√(1−C4²)/C4   B5, B6 = C4 ∓ 3·√(1−C4²)
//	A2 = 3/(d2·√n)   D3, D4 = 1 ∓ 3·d3/d2
//
// with no limit below 0. Within one unit of the last digit of the printed tables.
// Source: ASTM-type factor tables as reprinted in quality handbooks (read).
func FactorsFor(n int) (Factors, error) {
	if n < 2 || n > maxJars {
		return Factors{}, fmt.Errorf("%d jars in a check, want 2 to %d for a spread: %w", n, maxJars, ErrOutOfRange)
	}
	c := c4(n)
	off := 3 * math.Sqrt(1-c*c)
	root := math.Sqrt(float64(n))
	f := Factors{N: n, C4: c, A3: 3 / (c * root), B3: max(0, 1-off/c), B4: 1 + off/c, B5: max(0, c-off), B6: c + off}
	if k := n - 2; k < len(ranges) {
		f.D2, f.D3Sigma = ranges[k][0], ranges[k][1]
		f.A2 = 3 / (f.D2 * root)
		f.DLow, f.DTop = max(0, 1-3*f.D3Sigma/f.D2), 1+3*f.D3Sigma/f.D2
	}
	return f, nil
}

// c4 by logarithms of Γ up to 300 jars, beyond by its expansion, which is then
// right to 1e-9 and does not cancel.
func c4(n int) float64 {
	if n > 300 {
		m := float64(n)
		return 1 - 1/(4*m) - 7/(32*m*m) - 19/(128*m*m*m)
	}
	a, _ := math.Lgamma(float64(n) / 2)
	b, _ := math.Lgamma(float64(n-1) / 2)
	return math.Sqrt(2/float64(n-1)) * math.Exp(a-b)
}

// Limits are a chart's centre and the lines beyond which a point is out, in grams.
type Limits struct{ LowG, CentreG, HighG float64 }

// Out reports whether x lies beyond the lines; on a line it does not.
func (l Limits) Out(x float64) bool { return !(l.LowG <= x && x <= l.HighG) }

// A Chart has the limits of the means and of the spreads of equal checks.
type Chart struct {
	N            int
	MeanG        float64 // grand mean
	SDG          float64 // of single jars, from within the checks
	Means        Limits
	Spreads      Limits // of s, or of ranges
	FromRanges   bool
	ChecksBehind int
}

// ChartOf works out a chart from the mean of the checks' standard deviations:
// means at grand mean ± A3·s̄, s from B3·s̄ to B4·s̄, σ = s̄/C4. With fromRanges the
// ranges take the place of s: A2, D3, D4, σ = R̄/d2, up to 25 jars a check. The
// checks must be of one size. Source: as [FactorsFor].
func ChartOf(checks []Check, fromRanges bool) (Chart, error) {
	if len(checks) < 2 {
		return Chart{}, fmt.Errorf("%d checks, want 2 or more for limits: %w", len(checks), ErrUnknown)
	}
	f, err := FactorsFor(checks[0].N)
	if err != nil {
		return Chart{}, err
	}
	if fromRanges && f.D2 == 0 {
		return Chart{}, fmt.Errorf("%d jars in a check, ranges serve for at most 25; use the standard deviations: %w", f.N, ErrOutOfRange)
	}
	var mean, spread float64
	for i, c := range checks {
		if err := c.valid(); err != nil {
			return Chart{}, fmt.Errorf("check %d: %w", i+1, err)
		}
		if c.N != f.N || !c.HasSD {
			return Chart{}, fmt.Errorf("check %d has %d jars, spread known: %t; want %d jars each weighed in every check: %w", i+1, c.N, c.HasSD, f.N, ErrOutOfRange)
		}
		mean += c.MeanG / float64(len(checks))
		if fromRanges {
			spread += c.RangeG / float64(len(checks))
		} else {
			spread += c.SDG / float64(len(checks))
		}
	}
	return f.chart(mean, spread, fromRanges, len(checks)), nil
}

func (f Factors) chart(mean, spread float64, fromRanges bool, checks int) Chart {
	a, low, top, sd := f.A3, f.B3, f.B4, spread/f.C4
	if fromRanges {
		a, low, top, sd = f.A2, f.DLow, f.DTop, spread/f.D2
	}
	return Chart{N: f.N, MeanG: mean, SDG: sd, FromRanges: fromRanges, ChecksBehind: checks,
		Means:   Limits{mean - a*spread, mean, mean + a*spread},
		Spreads: Limits{low * spread, spread, top * spread}}
}
