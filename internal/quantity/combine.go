package quantity

import (
	"fmt"
	"math"
)

// Add returns a + b, the doubt linear: own parts in quadrature, shared parts
// with the same key as they stand, JCGM 100:2008 equation (13). Log doubt is
// taken to first order, which makes it 2 % too small at ×/÷ 1.3 and 13 % at
// ×/÷ 2, by the lognormal's variance; for wider ones see [SumPositive].
func Add(a, b Uncertain) Uncertain { return weigh(a, 1, b, 1) }

// Sub returns a − b: an error that both share in full, such as the offset of the
// scale that weighed both, cancels.
func Sub(a, b Uncertain) Uncertain { return weigh(a, 1, b, -1) }

// weigh returns ka × a + kb × b.
func weigh(a Uncertain, ka float64, b Uncertain, kb float64) Uncertain {
	a, b = a.linear(), b.linear()
	return Uncertain{
		Value:  ka*a.Value + kb*b.Value,
		Own:    math.Hypot(ka*a.Own, kb*b.Own),
		Shared: merge(a.Shared, ka, b.Shared, kb),
	}
}

// Scale returns k × u for an exact k. Log doubt stays as it is while k is above 0.
func Scale(u Uncertain, k float64) Uncertain {
	if u.Log && k > 0 {
		u.Value *= k
		return u
	}
	return weigh(u, k, Uncertain{}, 0)
}

// Sum adds all of us; nothing adds up to exactly 0.
func Sum(us ...Uncertain) Uncertain {
	var sum Uncertain
	for _, u := range us {
		sum = Add(sum, u)
	}
	return sum
}

// WeightedMean returns Σ w·u / Σ w for exact weights, such as the kilograms of a
// blend's parts for a property that mixes by mass.
func WeightedMean(us []Uncertain, weights []float64) (Uncertain, error) {
	if len(us) != len(weights) {
		return Unknown(), fmt.Errorf("%d values with %d weights", len(us), len(weights))
	}
	var total float64
	for i, w := range weights {
		if !(w >= 0) || !finite(w) {
			return Unknown(), fmt.Errorf("weight %d is %v, want 0 or more", i+1, w)
		}
		total += w
	}
	if !(total > 0) || !finite(total) {
		return Unknown(), fmt.Errorf("the weights add up to %v, want more than 0", total)
	}
	var mean Uncertain
	for i, u := range us {
		if weights[i] > 0 { // a part of nothing says nothing, even if it is unknown
			mean = weigh(mean, 1, u, weights[i]/total)
		}
	}
	return mean, nil
}

// Mul returns a × b with log doubt: relative doubts in quadrature, JCGM 100:2008
// 5.1.6. Both must be above 0; otherwise the product is unknown.
func Mul(a, b Uncertain) Uncertain { return product(a, b, 1) }

// Div returns a / b with log doubt, as [Mul] does.
func Div(a, b Uncertain) Uncertain { return product(a, b, -1) }

func product(a, b Uncertain, power float64) Uncertain {
	a, b = a.log(), b.log()
	return Uncertain{
		Value:  a.Value * math.Pow(b.Value, power),
		Own:    math.Hypot(a.Own, b.Own),
		Log:    true,
		Shared: merge(a.Shared, 1, b.Shared, power),
	}
}
