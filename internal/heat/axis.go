package heat

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// An axis is one direction of a body with its nodes. Weights carry the measure
// (2πr·dr across a cylinder), so that their products are volumes.
type axis struct {
	kind    axisKind
	n       int
	lengthM float64   // from the first node to the last; of a radius, the radius
	x       []float64 // m from the first node; of a radius, s = r² in m²
	w       []float64 // measure of a node: Σ is the length, or the disc
	grad    []float64 // weight of (d/dx)² in the heat equation's weak form
	d       []float64 // d/dx, n×n by rows
	dT      []float64 // its transpose
	b       []float64 // barycentric weights
	low     float64   // measure of the face at the first node; 0: a mirror
	high    float64   // at the last

	v, vT  []float64 // eigenvectors of the axis's own problem, W-orthonormal
	lambda []float64 // their values, W/(m³·K)
}

type axisKind uint8

const (
	across axisKind = iota // full, face to face
	half                   // from the mirror at the middle to a face
	radial                 // s = r², from the axis to the side
	point                  // one stirred cell
)

// line is an axis of a length with faces at both ends.
func line(length float64, n int) *axis {
	a := &axis{kind: across, n: n, lengthM: length, low: 1, high: 1}
	a.fill(length, func(float64) float64 { return 1 }, 1)
	return a
}

// mirrored is a line that is the same on both sides of its middle: half of it,
// counted twice.
func mirrored(length float64, n int) *axis {
	a := &axis{kind: half, n: n, lengthM: length / 2, high: 2}
	a.fill(length/2, func(float64) float64 { return 1 }, 2)
	return a
}

// disc is the radius of a cylinder in s = r²: there smooth fields are smooth on
// the axis too, and ∫2πr dr = π∫ds, (dT/dr)² = 4s·(dT/ds)².
func disc(radius float64, n int) *axis {
	a := &axis{kind: radial, n: n, lengthM: radius, high: 2 * math.Pi * radius}
	a.fill(radius*radius, func(s float64) float64 { return 4 * s }, math.Pi)
	return a
}

// cell is a body without an inside: its faces are the low and the high end.
func cell(volume, low, high float64) *axis {
	return &axis{kind: point, n: 1, x: []float64{0}, b: []float64{1}, w: []float64{volume}, grad: []float64{0}, d: []float64{0}, dT: []float64{0}, low: low, high: high}
}

func (a *axis) fill(length float64, metric func(x float64) float64, times float64) {
	x, w := lobatto(a.n)
	d := derivative(x)
	a.b = barycentric(x)
	a.x, a.w, a.grad = make([]float64, a.n), make([]float64, a.n), make([]float64, a.n)
	a.d, a.dT = make([]float64, a.n*a.n), make([]float64, a.n*a.n)
	for i := range a.n {
		a.x[i] = length * (1 + x[i]) / 2
		a.w[i] = times * length / 2 * w[i]
		a.grad[i] = metric(a.x[i]) * a.w[i]
		for j := range a.n {
			a.d[i*a.n+j] = d[i*a.n+j] * 2 / length
			a.dT[j*a.n+i] = a.d[i*a.n+j]
		}
	}
}

// solve finds the axis's eigenvectors for a conductivity and the films at its ends:
//
//	(k·DᵀGD + B)·v = λ·W·v
func (a *axis) solve(k, filmLow, filmHigh float64) {
	n := a.n
	m := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sum := 0.0
			for l := range n {
				sum += a.d[l*n+i] * a.grad[l] * a.d[l*n+j]
			}
			sum *= k
			if i == j && i == 0 {
				sum += filmLow * a.low
			}
			if i == j && i == n-1 {
				sum += filmHigh * a.high
			}
			m.SetSym(i, j, sum/math.Sqrt(a.w[i]*a.w[j]))
		}
	}
	var e mat.EigenSym
	if !e.Factorize(m, true) {
		panic("heat: a symmetric matrix has eigenvectors")
	}
	a.lambda = e.Values(nil)
	var q mat.Dense
	e.VectorsTo(&q)
	if a.v == nil {
		a.v, a.vT = make([]float64, n*n), make([]float64, n*n)
	}
	for i := range n {
		for j := range n {
			a.v[i*n+j] = q.At(i, j) / math.Sqrt(a.w[i])
			a.vT[j*n+i] = a.v[i*n+j]
		}
	}
}

// lobatto gives the n Gauss–Lobatto–Legendre nodes on [−1, 1] and their weights:
// the ends and the zeros of P′(n−1), w = 2/(n(n−1)P(n−1)²). Canuto et al., Spectral
// Methods in Fluid Dynamics, 1988, section 2.3.
func lobatto(n int) (x, w []float64) {
	x, w = make([]float64, n), make([]float64, n)
	for i := range n {
		t := -math.Cos(math.Pi * float64(i) / float64(n-1)) // close by; Newton finds the rest
		for range 50 {
			p, q := legendre(n-1, t) // q is P(n−2)
			step := (t*p - q) / (float64(n) * p)
			t -= step
			if math.Abs(step) < 1e-16 {
				break
			}
		}
		p, _ := legendre(n-1, t)
		x[i], w[i] = t, 2/(float64(n*(n-1))*p*p)
	}
	x[0], x[n-1] = -1, 1
	return x, w
}

// legendre gives P(m) and P(m−1) at t.
func legendre(m int, t float64) (p, before float64) {
	p, before = t, 1
	for k := 2; k <= m; k++ {
		p, before = (float64(2*k-1)*t*p-float64(k-1)*before)/float64(k), p
	}
	return p, before
}

// derivative is the matrix that differentiates the polynomial through the nodes,
// by barycentric weights (Berrut and Trefethen, SIAM Review 46, 2004).
func derivative(x []float64) []float64 {
	n, b := len(x), barycentric(x)
	d := make([]float64, n*n)
	for i := range n {
		for j := range n {
			if i != j {
				d[i*n+j] = b[j] / b[i] / (x[i] - x[j])
				d[i*n+i] -= d[i*n+j]
			}
		}
	}
	return d
}

func barycentric(x []float64) []float64 {
	b := make([]float64, len(x))
	for i := range x {
		b[i] = 1
		for j := range x {
			if j != i {
				b[i] /= x[i] - x[j]
			}
		}
	}
	return b
}

// at gives the weights of the nodes in the polynomial's value at x.
func (a *axis) at(x float64) []float64 {
	w := make([]float64, a.n)
	a.weights(x, w)
	return w
}

// weights fills them in.
func (a *axis) weights(x float64, w []float64) {
	sum := 0.0
	for i := range w {
		if x == a.x[i] {
			clear(w)
			w[i] = 1
			return
		}
		w[i] = a.b[i] / (x - a.x[i])
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
}
