package quantity

import (
	"cmp"
	"math"
	"slices"
)

// Uncertain is a value with its doubt: standard uncertainties (one standard
// deviation) as JCGM 100:2008 (the GUM) has them. Doubt is linear (±), in the
// value's own unit, or log (×/÷), in units of the natural logarithm; then Value
// is the median and above 0.
//
// Own is independent of every other Own. What several values have in common (one
// scale's offset, one average empty weight) is in Shared: parts with the same
// key are the same error and add with their signs. A value that is used twice
// must be given a key first, see [Uncertain.Named].
type Uncertain struct {
	Value  float64
	Own    float64
	Log    bool
	Shared []Share // sorted by Key, each key once
}

// A Share is the effect on a value of one standard deviation of a common error.
type Share struct {
	Key  string  // the instrument or assumption
	Coef float64 // signed, in the unit of Own
}

// Exactly is a value without doubt, such as a count or a label's weight.
func Exactly(v float64) Uncertain { return Uncertain{Value: v} }

// Unknown is a value that is not known. It makes unknown whatever it is part of.
func Unknown() Uncertain { return Uncertain{Value: math.NaN()} }

// FromPlusMinus reads a typed "±x", which is two standard uncertainties.
func FromPlusMinus(value, plusMinus float64) Uncertain {
	return Uncertain{Value: value, Own: plusMinus / 2}
}

// FromTimesOver reads "×/÷ factor" about a median: a 9 in 10 band from
// value/factor to value×factor. The factor is at least 1.
func FromTimesOver(value, factor float64) Uncertain {
	return Uncertain{Value: value, Own: math.Log(factor) / z9in10, Log: true}
}

// WithShare adds a common error.
func (u Uncertain) WithShare(key string, coef float64) Uncertain {
	u.Shared = merge(u.Shared, 1, []Share{{key, coef}}, 1)
	return u
}

// Named moves the value's own doubt to key, so that it is known again wherever
// the value goes: x − x then has no doubt.
func (u Uncertain) Named(key string) Uncertain {
	u = u.WithShare(key, u.Own)
	u.Own = 0
	return u
}

// Known reports whether u is a value with a doubt, and not [Unknown] or made of it.
func (u Uncertain) Known() bool {
	sd := u.StdDev()
	return finite(u.Value) && u.Own >= 0 && finite(sd) && (!u.Log || u.Value > 0)
}

func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 } // false for NaN too

// StdDev is the combined standard uncertainty, in the unit of Own.
func (u Uncertain) StdDev() float64 {
	sum := u.Own * u.Own
	for _, s := range u.Shared {
		sum += s.Coef * s.Coef
	}
	return math.Sqrt(sum)
}

// linear gives u linear doubt, to first order (JCGM 100:2008 5.1.2).
func (u Uncertain) linear() Uncertain {
	if !u.Log {
		return u
	}
	u.Own *= math.Abs(u.Value)
	u.Shared = merge(u.Shared, u.Value, nil, 0)
	u.Log = false
	return u
}

// log gives u log doubt, to first order; a value that is not above 0 has none.
func (u Uncertain) log() Uncertain {
	switch {
	case u.Log:
		return u
	case !(u.Value > 0):
		return Unknown()
	}
	u.Own /= u.Value
	u.Shared = merge(u.Shared, 1/u.Value, nil, 0)
	u.Log = true
	return u
}

// merge returns ka × a + kb × b by key, sorted, without what cancels exactly.
func merge(a []Share, ka float64, b []Share, kb float64) []Share {
	sum := make([]Share, 0, len(a)+len(b))
	for _, s := range a {
		sum = append(sum, Share{s.Key, ka * s.Coef})
	}
	for _, s := range b {
		sum = append(sum, Share{s.Key, kb * s.Coef})
	}
	slices.SortStableFunc(sum, func(x, y Share) int { return cmp.Compare(x.Key, y.Key) })
	out := sum[:0]
	for _, s := range sum {
		if n := len(out); n > 0 && out[n-1].Key == s.Key {
			out[n-1].Coef += s.Coef
		} else {
			out = append(out, s)
		}
	}
	out = slices.DeleteFunc(out, func(s Share) bool { return s.Coef == 0 })
	if len(out) == 0 {
		return nil
	}
	return out
}
