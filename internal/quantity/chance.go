package quantity

import "math"

// z9in10 is the half width, in standard deviations, of the band that holds 9 in
// 10 of a normal distribution: √2 · erf⁻¹(0.9) = 1.6449 (JCGM 100:2008 table G.1
// prints 1.645).
var z9in10 = math.Sqrt2 * math.Erfinv(0.9)

// Band9in10 is the band that pages show: it holds the true value 9 times in 10.
func (u Uncertain) Band9in10() (low, high float64) { return u.Band(0.9) }

// Band is the central band that holds the true value with the given chance,
// between 0 and 1, for normal (or lognormal) doubt.
func (u Uncertain) Band(chance float64) (low, high float64) {
	if !u.Known() || !(0 < chance && chance < 1) {
		return math.NaN(), math.NaN()
	}
	w := math.Sqrt2 * math.Erfinv(chance) * u.StdDev()
	if u.Log {
		return u.Value / math.Exp(w), u.Value * math.Exp(w)
	}
	return u.Value - w, u.Value + w
}

// ChanceAbove is the chance that the true value is above limit; NaN where u is
// not known.
func (u Uncertain) ChanceAbove(limit float64) float64 {
	if !u.Known() || math.IsNaN(limit) {
		return math.NaN()
	}
	gap, sd := limit-u.Value, u.StdDev()
	if u.Log {
		gap = math.Log(max(limit, 0) / u.Value) // −∞ at 0: always above
	}
	switch {
	case sd > 0:
		return 0.5 * math.Erfc(gap/(sd*math.Sqrt2))
	case gap < 0:
		return 1
	}
	return 0
}

// ChanceBelow is the chance that the true value is below limit. A value without
// doubt that stands at the limit is neither above nor below it.
func (u Uncertain) ChanceBelow(limit float64) float64 {
	if u.StdDev() == 0 && u.Value == limit {
		return 0
	}
	return 1 - u.ChanceAbove(limit)
}

// A Limit is a bound that a rule sets; the bound itself keeps it.
type Limit struct {
	Value float64
	Least bool // at least Value; otherwise at most
}

// A Verdict says whether a value keeps a limit.
type Verdict uint8

const (
	VerdictUnknown Verdict = iota // no value: never a pass
	Pass
	Fail
	TooClose
)

func (v Verdict) String() string {
	return [...]string{"unknown", "pass", "fail", "too close to call"}[v]
}

// UsualRisk is the chance of a breach up to which a value passes, unless the
// house or its rule says otherwise: one-sided 95 % conformance probability, the
// guarded acceptance of JCGM 106:2012 clause 8.3.
const UsualRisk = 0.05

// Breach is the chance that the true value breaks the limit.
func (l Limit) Breach(u Uncertain) float64 {
	if l.Least {
		return u.ChanceBelow(l.Value)
	}
	return u.ChanceAbove(l.Value)
}

// Judge passes u if the chance of a breach is at most risk, fails it if the
// chance of keeping the limit is at most risk, and otherwise finds it too close
// to call. risk is above 0 and below a half.
func (l Limit) Judge(u Uncertain, risk float64) Verdict {
	breach := l.Breach(u)
	switch {
	case !(breach >= 0) || !(0 < risk && risk < 0.5):
		return VerdictUnknown
	case breach <= risk:
		return Pass
	case 1-breach <= risk:
		return Fail
	}
	return TooClose
}
