package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Factor is what the spread of a sample is multiplied with, in millionths, so
// that a mean exactly at its limit decides exactly.
type Factor int64

const millionth = 1_000_000

// Float is the factor as a number.
func (k Factor) Float() float64 { return float64(k) / millionth }

// A MeanPlan is a sample for the batch's mean. N of jars weighed, K the factor.
type MeanPlan struct {
	N    int
	K    Factor
	Cite Cite
}

// A factor as printed, by the number of jars.
type printed struct {
	n int
	k Factor
	c Cite
}

var euFactors = [...]printed{
	{30, 503_000, Cite{EUContents, "Annex II 2.3.3", Read}},
	{50, 379_000, Cite{EUContents, "Annex II 2.3.3", Read}},
	{20, 640_000, Cite{EUContents, "Annex II 2.3.3", Read}},
}

var ukFactors = [...]printed{
	{30, 503_000, Cite{UKContents, "Sch. 2 para 4.5", Read}},
	{50, 379_000, Cite{UKContents, "Sch. 2 para 4.5", Read}},
	{20, 640_000, Cite{UKContents, "Sch. 2 para 4.6", Read}},
}

var oimlFactors = [...]printed{
	{50, 379_000, Cite{OIMLContents, "table 1", Memory}},
	{80, 295_000, Cite{OIMLContents, "table 1", Memory}},
	{125, 234_000, Cite{OIMLContents, "table 1", Memory}},
}

// MeanPlanFor gives the sample for the mean of a batch. It is not the sample
// for short jars: 30 or 50 against 30, 50 or 80. A batch under 100 is weighed
// whole, with no allowance for its spread.
func MeanPlanFor(r Rules, batch int, destructive bool) (MeanPlan, error) {
	if batch < 1 {
		return MeanPlan{}, fmt.Errorf("batch of %d jars, want 1 or more: %w", batch, ErrOutOfRange)
	}
	switch r {
	case US:
		p := categoryA(batch)
		return factorFor(US, p.First.N)
	case OIML:
		p, err := planIn(oimlPlans[:], r, batch)
		if err != nil {
			return MeanPlan{}, err
		}
		return factorFor(OIML, p.First.N)
	case EU, UK, DE:
		return averageSystem(r, batch, destructive)
	}
	return MeanPlan{}, noRule(r, "mean test", "choose eu, uk, de, us or oiml")
}

func averageSystem(r Rules, batch int, destructive bool) (MeanPlan, error) {
	switch {
	case batch < 100 && destructive:
		return MeanPlan{}, fmt.Errorf("batch of %d jars, the %s test with opened jars starts at 100; weigh every jar unopened: %w", batch, r, ErrOutOfRange)
	case batch < 100 && r == UK:
		return MeanPlan{batch, 0, Cite{UKContents, "Sch. 2 para 4.7", Read}}, nil
	case batch < 100:
		return MeanPlan{batch, 0, Cite{EUContents, "Annex II 2.1.3", Read}}, nil
	case destructive:
		return factorFor(r, 20)
	case batch <= 500:
		return factorFor(r, 30)
	}
	return factorFor(r, 50)
}

// factorFor gives the factor for n jars: as printed where the table has n,
// else [MeanFactor].
func factorFor(r Rules, n int) (MeanPlan, error) {
	table, p := euFactors[:], 0.995
	c := Cite{EUContents, "Annex II 2.3", Computation}
	switch r {
	case EU, DE:
	case UK:
		table, c = ukFactors[:], Cite{UKContents, "Sch. 2 para 4", Computation}
	case OIML:
		table, c = oimlFactors[:], Cite{OIMLContents, "table 1", Computation}
	case US:
		table, p, c = usFactors[:], 0.975, Cite{USContents, "Appendix A Table 2-1", Computation}
	default:
		return MeanPlan{}, noRule(r, "mean test", "choose eu, uk, de, us or oiml")
	}
	for i := range table {
		if table[i].n == n {
			return MeanPlan{n, table[i].k, table[i].c}, nil
		}
	}
	k, err := MeanFactor(p, n)
	return MeanPlan{n, k, c}, err
}

// maxJars bounds a sample; beyond it t is the normal law's to nine digits.
const maxJars = 10_000_000

// MeanFactor gives the allowance for the spread of n jars,
//
//	k = t(p; n−1) / √n
//
// with Student's t one-sided at p: 0.995 in the average system (0.503 for 30
// jars, 0.379 for 50, 0.640 for 20, as printed), 0.975 in NIST Handbook 133
// Table 2-1. Rounded to 0.000001; equal to the printed factors in their three
// digits, but for the US one for 48 jars, remembered as 0.291 and computed as
// 0.2904. Valid for 2 to 10,000,000 jars.
// Source: Directive 76/211/EEC Annex II 2.3; OIML R 87 table 1.
func MeanFactor(p float64, n int) (Factor, error) {
	if n < 2 || n > maxJars {
		return 0, fmt.Errorf("%d jars weighed, want 2 to %d: %w", n, maxJars, ErrOutOfRange)
	}
	if !(p > 0.5 && p < 1) {
		return 0, fmt.Errorf("probability %g, want above 0.5 and below 1: %w", p, ErrOutOfRange)
	}
	return Factor(math.Round(studentT(p, float64(n-1)) / math.Sqrt(float64(n)) * millionth)), nil
}

// studentT is the quantile of Student's law by Newton's steps from the first
// terms of its expansion about the normal quantile. The start lies left of the
// quantile and the law is concave there, so the steps climb and cannot pass it.
// It gives the library's own quantile several times faster, which a table of a
// million samples needs.
func studentT(p, nu float64) float64 {
	law := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}
	z := math.Sqrt2 * math.Erfinv(2*p-1)
	t := z + (z*z*z+z)/(4*nu)
	for range 100 {
		step := (p - law.CDF(t)) / law.Prob(t)
		if t += step; math.Abs(step) <= 1e-9*t {
			break
		}
	}
	return t
}

// A MeanVerdict is what a sample's mean says of its batch.
type MeanVerdict struct {
	Pass   bool
	LimitG float64 // the least mean that passes
	Plan   MeanPlan
}

// MeanTest judges a batch by the mean and standard deviation (with n − 1) of
// the n jars weighed: it passes when
//
//	mean ≥ label − k·s
//
// with the factor printed for n jars, else by [MeanFactor]. In the United
// States one jar alone has no allowance. Mean and s are taken to the microgram.
// For a batch weighed whole use [MeanPlanFor] and [MeanPlan.Judge].
func MeanTest(r Rules, label quantity.Milligram, n int, meanG, sdG float64) (MeanVerdict, error) {
	p, err := factorFor(r, n)
	if err != nil {
		return MeanVerdict{}, err
	}
	return p.Judge(label, meanG, sdG)
}

// Judge judges a mean by the plan.
func (p MeanPlan) Judge(label quantity.Milligram, meanG, sdG float64) (MeanVerdict, error) {
	if label <= 0 || label > massLimit {
		return MeanVerdict{}, fmt.Errorf("label %g g, want above 0 g to %g g: %w", grams(label), grams(massLimit), ErrOutOfRange)
	}
	if !(meanG >= 0 && meanG <= maxMassG) {
		return MeanVerdict{}, fmt.Errorf("mean %g g, want 0 g to %g g: %w", meanG, maxMassG, ErrOutOfRange)
	}
	if !(sdG >= 0 && sdG <= maxSpreadG) {
		return MeanVerdict{}, fmt.Errorf("spread %g g, want 0 g to %g g: %w", sdG, maxSpreadG, ErrOutOfRange)
	}
	short := int64(label)*1000 - micrograms(meanG)
	allowed := int64(p.K) * micrograms(sdG)
	return MeanVerdict{
		Pass:   short*millionth <= allowed,
		LimitG: grams(label) - p.K.Float()*sdG,
		Plan:   p,
	}, nil
}

// maxSpreadG keeps a factor times a spread within 63 bits: 45 is the greatest
// factor, of two jars at 0.995.
const maxSpreadG = 1e5

func micrograms(g float64) int64 { return int64(math.Round(g * 1e6)) }
