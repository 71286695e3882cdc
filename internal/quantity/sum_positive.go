package quantity

import "math"

// SumPositive adds quantities that can't be negative and whose log doubt is too
// wide for [Add], such as the HMF gained in several steps at a rate known to a
// factor. The sum is taken as lognormal with the exact mean and variance of the
// sum of its parts:
//
//	E = Σ mᵢ exp(sᵢ²/2),  V = Σᵢⱼ EᵢEⱼ (exp(cᵢⱼ) − 1),  σ² = ln(1 + V/E²)
//
// with medians mᵢ, log standard deviations sᵢ and log covariances cᵢⱼ from the
// shared parts. Its median is E exp(−σ²/2), and each shared part keeps its
// portion of σ². Parts are above 0 or exactly 0; otherwise the sum is unknown.
// Good for s up to about 0.7 (×/÷ 3): there the ends of the 9 in 10 band of ten
// parts are within 5 % of a simulation. Source: L. F. Fenton, IRE Transactions
// on Communications Systems 8, 1960, 57–67.
func SumPositive(parts ...Uncertain) Uncertain {
	var us []Uncertain
	for _, u := range parts {
		if u.Value == 0 && u.StdDev() == 0 {
			continue
		}
		us = append(us, u.log())
	}
	if len(us) == 0 {
		return Uncertain{}
	}
	mean, variance := lognormalMoments(us)
	sigma := math.Sqrt(math.Log1p(variance / (mean * mean)))
	sum := Uncertain{Value: mean * math.Exp(-sigma*sigma/2), Log: true}
	for _, u := range us {
		w := u.mean() / mean
		sum.Own = math.Hypot(sum.Own, w*u.Own)
		sum.Shared = merge(sum.Shared, 1, u.Shared, w)
	}
	return sum.rescaled(sigma)
}

// mean of a lognormal.
func (u Uncertain) mean() float64 {
	s := u.StdDev()
	return u.Value * math.Exp(s*s/2)
}

// lognormalMoments gives the mean and the variance of the sum of us.
func lognormalMoments(us []Uncertain) (mean, variance float64) {
	for i, u := range us {
		s := u.StdDev()
		mean += u.mean()
		variance += u.mean() * u.mean() * math.Expm1(s*s)
		for _, v := range us[:i] {
			variance += 2 * u.mean() * v.mean() * math.Expm1(covariance(u, v))
		}
	}
	return mean, variance
}

// covariance of two doubts by their shared parts.
func covariance(u, v Uncertain) (c float64) {
	for i, j := 0, 0; i < len(u.Shared) && j < len(v.Shared); {
		switch a, b := u.Shared[i], v.Shared[j]; {
		case a.Key < b.Key:
			i++
		case a.Key > b.Key:
			j++
		default:
			c += a.Coef * b.Coef
			i, j = i+1, j+1
		}
	}
	return c
}

// rescaled gives u the standard deviation sd, keeping its parts' proportions.
func (u Uncertain) rescaled(sd float64) Uncertain {
	k := 1.0
	if now := u.StdDev(); now > 0 {
		k = sd / now
	}
	u.Own *= k
	u.Shared = merge(u.Shared, k, nil, 0)
	return u
}
