package assay

import (
	"math"

	"combline/internal/honey"
)

// A Forecast is one marker of a content: a mixture over the scenarios.
type Forecast struct {
	Marker Marker
	Known  bool
	Lacks  []string // contents without a reading, where it is not known
	log    bool
	mean   draw
	sd     draw
}

// Forecast is a marker of the content as it stands.
func (c *Content) Forecast(m Marker) Forecast {
	l := &c.levels[m]
	f := Forecast{Marker: m, Known: l.known, Lacks: l.lacks, log: m.kinetics().log}
	for i := range Scenarios {
		f.mean[i] = l.at[i] + l.really[i]
		f.sd[i] = math.Sqrt(l.own[i] + square(withinType*l.really[i]))
	}
	return f
}

// Added is what heat alone did since the last reading or mixing, or since the start
// where there was none: mg/kg of HMF, or the share of an enzyme that is left.
func (c *Content) Added(m Marker) honey.Band[float64] {
	l := &c.levels[m]
	f := Forecast{Marker: m, Known: true, log: m.kinetics().log}
	for i := range Scenarios {
		f.mean[i], f.sd[i] = l.really[i], math.Abs(withinType*l.really[i])
	}
	return f.Band()
}

// below is the chance that the marker, on its own scale, is below y.
func (f *Forecast) below(y float64) (p float64) {
	for i := range Scenarios {
		p += normalBelow((y - f.mean[i]) / max(f.sd[i], 1e-12))
	}
	return p / Scenarios
}

// normalBelow is the standard normal law, from a table in steps of 1/256: within 5e-7,
// and nothing is beyond 8 standard deviations. A forecast asks for it ten thousand times.
func normalBelow(z float64) float64 {
	switch {
	case z <= -normalEnd:
		return 0
	case z >= normalEnd:
		return 1
	case z != z:
		return z
	}
	x := (z + normalEnd) * normalSteps
	i := int(x)
	return normal[i] + (x-float64(i))*(normal[i+1]-normal[i])
}

const normalEnd, normalSteps = 8, 256

var normal = func() (t [2*normalEnd*normalSteps + 1]float64) {
	for i := range t {
		t[i] = 0.5 * math.Erfc(-(float64(i)/normalSteps-normalEnd)/math.Sqrt2)
	}
	return t
}()

// ChanceAbove is the chance that the marker is above a limit; NaN where it is not known.
func (f *Forecast) ChanceAbove(limit float64) float64 {
	if !f.Known {
		return math.NaN()
	}
	return 1 - f.below(f.scale(limit))
}

func (f *Forecast) scale(x float64) float64 {
	if f.log {
		return math.Log(max(x, 1e-300))
	}
	return x
}

// Quantile is the value that the marker is below with a chance between 0 and 1; NaN
// where it is not known. No marker is below 0.
func (f *Forecast) Quantile(share float64) float64 {
	if !f.Known || !(0 < share && share < 1) {
		return math.NaN()
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range Scenarios {
		low, high = min(low, f.mean[i]-6*f.sd[i]), max(high, f.mean[i]+6*f.sd[i])
	}
	y := root(func(y float64) float64 { return f.below(y) - share }, low, high)
	if f.log {
		return math.Exp(y)
	}
	return max(0, y)
}

// root finds where a rising function crosses 0, by the Illinois variant of the rule of
// false position, to 1e-4 of the bracket.
func root(of func(float64) float64, low, high float64) float64 {
	a, b, tol := of(low), of(high), 1e-4*(high-low)
	for range 60 {
		if high-low <= tol || a == b {
			break
		}
		x := low - a*(high-low)/(b-a)
		if !(low < x && x < high) {
			x = (low + high) / 2
		}
		switch y := of(x); {
		case math.Abs(y) < 1e-5:
			return x
		case y < 0:
			low, a, b = x, y, b/2
		default:
			high, b, a = x, y, a/2
		}
	}
	return (low + high) / 2
}

// Band is what is likely, and 9 in 10.
func (f *Forecast) Band() honey.Band[float64] {
	return honey.Band[float64]{Low: f.Quantile(0.05), Likely: f.Quantile(0.5), High: f.Quantile(0.95)}
}

// A Limit is what a marker must keep.
type Limit struct {
	Marker Marker
	Value  float64
	Least  bool // at least; otherwise at most
}

// Breach is the chance that a content breaks any of the limits, which hang together
// through the scenarios; NaN as soon as one marker is not known.
func (c *Content) Breach(limits ...Limit) float64 {
	var all float64
	for i := range Scenarios {
		keeps := 1.0
		for _, l := range limits {
			x := &c.levels[l.Marker]
			if !x.known {
				return math.NaN()
			}
			y := l.Value
			if l.Marker.kinetics().log {
				y = math.Log(max(y, 1e-300))
			}
			sd := math.Sqrt(x.own[i] + square(withinType*x.really[i]))
			under := normalBelow((y - x.at[i] - x.really[i]) / max(sd, 1e-12))
			if l.Least {
				under = 1 - under
			}
			keeps *= under
		}
		all += (1 - keeps) / Scenarios
	}
	return all
}
