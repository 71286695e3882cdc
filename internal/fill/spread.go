package fill

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Spread is the standard deviation of single jars over a whole period, taken
// apart. That of the period, not of one sample, is what a target needs: a mean that
// wanders puts jars below a bound as surely as jars that differ.
type Spread struct {
	Jars, Checks, Nozzles int64
	MeanG                 float64
	WithinG               float64 // jar to jar within a check
	MovingG               float64 // a nozzle's mean from check to check
	NozzlesG              float64 // between the nozzles' own means
	TotalG                float64 // all together
	Degrees               float64 // degrees of freedom behind TotalG
	LowG, HighG           float64 // TotalG lies between these 9 times in 10
}

// parts gathers one nozzle's checks for the analysis of variance.
type parts struct {
	checks  float64
	jars    float64
	mean    float64 // of all jars
	between float64 // Σ n·(mean of check − mean)²
	sizes   float64 // Σ n²
	within  pool
}

func (a *parts) add(c Check) {
	n := float64(c.N)
	a.checks++
	a.jars += n
	a.sizes += n * n
	d := c.MeanG - a.mean
	a.mean += d * n / a.jars
	a.between += n * d * (c.MeanG - a.mean)
	a.within.add(c)
}

// Spread takes the period's spread apart, for all nozzles together.
func (l *Line) Spread() (Spread, error) {
	all := make([]parts, 0, len(l.nozzles))
	for i := range l.nozzles {
		if p := l.nozzles[i].parts; p.checks > 0 {
			all = append(all, p)
		}
	}
	return spreadOf(all, l.d)
}

// NozzleSpread is the same for one nozzle: its jars, and its mean from check to check.
func (l *Line) NozzleSpread(k int) (Spread, error) {
	if err := l.known(k); err != nil {
		return Spread{}, err
	}
	if p := l.nozzles[k-1].parts; p.checks > 0 {
		return spreadOf([]parts{p}, l.d)
	}
	return Spread{}, fmt.Errorf("nozzle %d has no check yet: %w", k, ErrUnknown)
}

// spreadOf is the analysis of variance of jars in checks in nozzles. With mean
// squares W within checks, C of checks within nozzles and N between nozzles,
//
//	moving² = (C − W)/n   nozzles² = (k−1)/k · (N − C)/(n·m)
//
// for k nozzles of m checks of n jars (their effective numbers where they differ).
// The nozzles are all there are, so their part is that of these k, not of a
// population. A part that comes out negative is 0 and its mean square is joined to
// the one below. The total is the same sum of mean squares; its degrees of freedom
// are Satterthwaite's, its band that of χ². Source: the analysis of variance of
// nested samples; Satterthwaite, Biometrics Bulletin 2 (1946) (memory).
func spreadOf(all []parts, d Design) (Spread, error) {
	var s Spread
	for _, p := range all {
		s.Jars += int64(p.jars)
		s.Checks += int64(p.checks)
	}
	if s.Nozzles = int64(len(all)); s.Jars == 0 {
		return s, fmt.Errorf("no jar weighed: %w", ErrUnknown)
	}
	for _, p := range all {
		s.MeanG += p.mean * p.jars / float64(s.Jars)
	}
	within, err := withinChecks(all, d)
	if err != nil {
		return s, err
	}
	checks, perCheck := betweenChecks(all)
	if perCheck == 0 {
		perCheck = float64(s.Jars) / float64(s.Checks)
	}
	nozzles := betweenNozzles(all, s.MeanG)
	s.takeApart([3]float64{within.square(), checks.square(), nozzles.square()}, [3]float64{within.df, checks.df, nozzles.df},
		perCheck, float64(s.Jars)/float64(s.Nozzles), d.rounding()*d.rounding())
	return s, nil
}

// withinChecks is the spread from within checks as found, else as it is set.
func withinChecks(all []parts, d Design) (w pool, err error) {
	for _, p := range all {
		w.df, w.squares = w.df+p.within.df, w.squares+p.within.squares
	}
	switch {
	case w.df == 0 && d.SDG > 0:
		w = pool{df: math.Inf(1), squares: d.SDG * d.SDG} // known, not found
	case w.df == 0:
		return w, fmt.Errorf("no check in which jars were weighed one by one, so their spread is not known: %w", ErrUnknown)
	}
	return w, nil
}

// betweenChecks is that of the checks' means within their nozzles, and how many jars a
// check effectively has.
func betweenChecks(all []parts) (c pool, perCheck float64) {
	var sizes float64
	for _, p := range all {
		c.df, c.squares = c.df+p.checks-1, c.squares+p.between
		sizes += p.jars - p.sizes/p.jars
	}
	if c.df == 0 {
		return c, 0
	}
	return c, sizes / c.df
}

func betweenNozzles(all []parts, mean float64) pool {
	n := pool{df: float64(len(all) - 1)}
	for _, p := range all {
		n.squares += p.jars * (p.mean - mean) * (p.mean - mean)
	}
	return n
}

// takeApart turns mean squares into parts. perCheck and perNozzle are jars; least is
// what the scale's rounding makes alone.
func (s *Spread) takeApart(ms, df [3]float64, perCheck, perNozzle, least float64) {
	ms[0] = max(ms[0], least)
	if df[1] > 0 && ms[1] <= ms[0] {
		ms[0], df[0] = joined(ms[0], df[0], ms[1], df[1])
		ms[0] = max(ms[0], least)
		ms[1], df[1] = ms[0], 0
	}
	if df[1] == 0 {
		ms[1] = ms[0]
	}
	var share float64 // of the nozzles' mean square in the total
	if df[2] > 0 && ms[2] > ms[1] {
		share = df[2] / (df[2] + 1) / perNozzle
	}
	moving := max(0, (ms[1]-ms[0])/perCheck)
	nozzles := max(0, share*(ms[2]-ms[1]))
	s.WithinG, s.MovingG, s.NozzlesG = math.Sqrt(ms[0]), math.Sqrt(moving), math.Sqrt(nozzles)
	s.TotalG = math.Sqrt(ms[0] + moving + nozzles)
	s.Degrees = satterthwaite(ms, df, perCheck, share)
	s.LowG, s.HighG = sdBand(s.TotalG, s.Degrees)
}

func joined(a, da, b, db float64) (ms, df float64) {
	if math.IsInf(da, 1) {
		return a, da
	}
	return (a*da + b*db) / (da + db), da + db
}

// satterthwaite gives the degrees of freedom of the sum a·W + b·C + c·N.
func satterthwaite(ms, df [3]float64, perCheck, share float64) float64 {
	weight := [3]float64{1, 0, share}
	if df[1] > 0 {
		weight[0], weight[1] = 1-1/perCheck, 1/perCheck-share
	} else {
		weight[0] -= share
	}
	var sum, squares float64
	for i := range ms {
		part := weight[i] * ms[i]
		sum += part
		if df[i] > 0 && !math.IsInf(df[i], 1) {
			squares += part * part / df[i]
		}
	}
	if squares == 0 {
		return math.Inf(1)
	}
	return sum * sum / squares
}

// sdBand is where a true standard deviation lies 9 times in 10, by the law of χ².
func sdBand(sd, df float64) (low, high float64) {
	if math.IsInf(df, 1) {
		return sd, sd
	}
	chi := distuv.ChiSquared{K: df}
	return sd * math.Sqrt(df/chi.Quantile(0.95)), sd * math.Sqrt(df/chi.Quantile(0.05))
}
