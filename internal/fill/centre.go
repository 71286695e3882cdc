package fill

import "math"

// A centre is what a nozzle should give: set, or the mean of its first checks.
type centre struct {
	given  float64
	mean   float64
	jars   float64
	checks int
}

// at is the centre for a check of n jars, and the standard deviation of the
// check's mean about it: a learned centre is off itself, by σ/√jars.
func (c *centre) at(n int, sigma float64) (at, off float64, known bool) {
	if c.given > 0 {
		return c.given, sigma / math.Sqrt(float64(n)), sigma > 0
	}
	if c.jars == 0 {
		return 0, 0, false
	}
	return c.mean, sigma * math.Sqrt(1/float64(n)+1/c.jars), sigma > 0
}

func (c *centre) learning(checks int) bool { return c.given == 0 && c.checks < checks }

func (c *centre) learn(k Check) {
	c.jars += float64(k.N)
	c.mean += (k.MeanG - c.mean) * float64(k.N) / c.jars
	c.checks++
}

// A pool gathers the spread from within checks.
type pool struct{ df, squares float64 }

func (p *pool) add(c Check) {
	if c.HasSD && c.N > 1 {
		p.df += float64(c.N - 1)
		p.squares += float64(c.N-1) * c.SDG * c.SDG
	}
}

// square is the mean square: of a known spread, whose degrees are infinite, the
// square itself; 0 where nothing is known.
func (p *pool) square() float64 {
	switch {
	case p.df == 0:
		return 0
	case math.IsInf(p.df, 1):
		return p.squares
	}
	return p.squares / p.df
}

func (p *pool) sd() float64 {
	if p.df == 0 {
		return math.NaN()
	}
	return math.Sqrt(p.squares / p.df)
}
