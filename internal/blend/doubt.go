package blend

import "math"

// A row is a term of a limit over the pairs of a batch: the sum of mean·kg, plus z
// times the length of the sum of doubt·kg, is not above 0. Errors that contents share
// add with their signs, their own ones in quadrature, as package quantity has it.
type row struct {
	mean   []float64            // weight × distance from the limit, a pair
	own    []float64            // weight × own standard uncertainty
	shared map[string][]float64 // weight × effect of one standard deviation of a common error
	keys   []string             // of shared, in the order of their first use
	z      float64
}

func newRow(n int, z float64) *row {
	return &row{mean: make([]float64, n), own: make([]float64, n), shared: map[string][]float64{}, z: z}
}

func (r *row) set(i int, o odds) {
	r.mean[i], r.own[i] = o.weight*o.off.Value, o.weight*o.off.Own
	for _, s := range o.off.Shared {
		if r.shared[s.Key] == nil {
			r.shared[s.Key] = make([]float64, len(r.mean))
			r.keys = append(r.keys, s.Key)
		}
		r.shared[s.Key][i] = o.weight * s.Coef
	}
}

// doubtful reports whether any reading's doubt counts in the row.
func (r *row) doubtful() bool {
	if r.z == 0 {
		return false
	}
	for i := range r.own {
		if r.own[i] > 0 {
			return true
		}
	}
	return len(r.keys) > 0
}

// length is the standard uncertainty of the row's sum at kg.
func (r *row) length(kg []float64) float64 {
	var sum float64
	for i, w := range kg {
		sum += r.own[i] * r.own[i] * w * w
	}
	for _, k := range r.keys {
		d := dot(r.shared[k], kg)
		sum += d * d
	}
	return math.Sqrt(sum)
}

// at is the row's value at kg: above 0 it breaks the limit by more than the chance
// that is taken.
func (r *row) at(kg []float64) float64 { return dot(r.mean, kg) + r.z*r.length(kg) }

// alone is the row's value for a kg of one pair by itself: the bound from above that
// needs no more than the triangle inequality.
func (r *row) alone(i int) float64 {
	sum := r.own[i] * r.own[i]
	for _, k := range r.keys {
		sum += r.shared[k][i] * r.shared[k][i]
	}
	return r.mean[i] + r.z*math.Sqrt(sum)
}

// tangent gives the coefficients of the row's plane at kg. The row is convex and
// grows in proportion, so its plane through any point is nowhere above it: a blend
// that breaks a tangent breaks the row, and one that keeps all tangents keeps it.
func (r *row) tangent(kg []float64) []float64 {
	out := append([]float64(nil), r.mean...)
	l := r.length(kg)
	if l == 0 {
		return out
	}
	for i := range out {
		out[i] += r.z * r.own[i] * r.own[i] * kg[i] / l
	}
	for _, k := range r.keys {
		d := dot(r.shared[k], kg)
		for i, s := range r.shared[k] {
			out[i] += r.z * s * d / l
		}
	}
	return out
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
