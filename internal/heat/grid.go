package heat

// A grid is the product of its axes, the first one fastest.
type grid struct {
	axes   []*axis
	n      int
	stride []int
	volume []float64   // of a node, m³
	grad   [][]float64 // of each axis, weight of the gradient squared
	ends   []end
	total  float64 // volume, m³
	tmp    []float64
	turn   [2][]float64
}

// An end is one face of the grid.
type end struct {
	face  int // 0 side, 1 bottom, 2 top
	axis  int
	high  bool
	nodes []int
	area  []float64 // of a node, m²
	whole float64   // m²
}

// The faces' places in arrays.
const (
	sideFace = iota
	bottomFace
	topFace
)

func newGrid(axes []*axis, faces [][2]int) *grid {
	g := &grid{axes: axes, n: 1}
	for _, a := range axes {
		g.stride = append(g.stride, g.n)
		g.n *= a.n
	}
	g.volume, g.tmp = make([]float64, g.n), make([]float64, g.n)
	g.turn = [2][]float64{make([]float64, g.n), make([]float64, g.n)}
	for i := range g.n {
		g.volume[i] = g.product(i, -1)
		g.total += g.volume[i]
	}
	for a := range axes {
		w := make([]float64, g.n)
		for i := range w {
			w[i] = g.product(i, a) * axes[a].grad[g.place(i, a)]
		}
		g.grad = append(g.grad, w)
		g.addEnd(a, faces[a][0], false, axes[a].low)
		g.addEnd(a, faces[a][1], true, axes[a].high)
	}
	return g
}

// place is node i's index along an axis.
func (g *grid) place(i, a int) int { return i / g.stride[a] % g.axes[a].n }

// product multiplies node i's weights along all axes but one.
func (g *grid) product(i, but int) float64 {
	v := 1.0
	for a := range g.axes {
		if a != but {
			v *= g.axes[a].w[g.place(i, a)]
		}
	}
	return v
}

func (g *grid) addEnd(a, face int, high bool, measure float64) {
	if measure == 0 {
		return
	}
	e := end{face: face, axis: a, high: high}
	at := 0
	if high {
		at = g.axes[a].n - 1
	}
	for i := range g.n {
		if g.place(i, a) == at {
			e.nodes = append(e.nodes, i)
			e.area = append(e.area, measure*g.product(i, a))
			e.whole += e.area[len(e.area)-1]
		}
	}
	g.ends = append(g.ends, e)
}

// along multiplies every line of an axis by a matrix of n×n: out = m·in.
func (g *grid) along(a int, m, in, out []float64) {
	n, s := g.axes[a].n, g.stride[a]
	if s == 1 {
		rows(m, in, out, n)
		return
	}
	for block := 0; block < g.n; block += n * s {
		columns(m, in[block:block+n*s], out[block:block+n*s], n, s)
	}
}

// rows is out = m·in of lines that lie one behind the other, four lines of the matrix at a
// time: so many sums keep the processor from waiting for each other's.
func rows(m, in, out []float64, n int) {
	i := 0
	for ; i+3 < n; i += 4 {
		r0, r1, r2, r3 := m[i*n:i*n+n], m[i*n+n:i*n+2*n], m[i*n+2*n:i*n+3*n], m[i*n+3*n:i*n+4*n]
		for at := 0; at+n <= len(in); at += n {
			x := in[at : at+n]
			r0, r1, r2, r3 := r0[:len(x)], r1[:len(x)], r2[:len(x)], r3[:len(x)]
			var s0, s1, s2, s3 float64
			for j, x := range x {
				s0 += r0[j] * x
				s1 += r1[j] * x
				s2 += r2[j] * x
				s3 += r3[j] * x
			}
			o := out[at+i : at+i+4]
			o[0], o[1], o[2], o[3] = s0, s1, s2, s3
		}
	}
	for ; i < n; i++ {
		r := m[i*n : i*n+n]
		for at := 0; at+n <= len(in); at += n {
			x := in[at : at+n]
			r := r[:len(x)]
			s := 0.0
			for j, x := range x {
				s += r[j] * x
			}
			out[at+i] = s
		}
	}
}

// columns is the same for lines that lie s apart, all s of them together.
func columns(m, in, out []float64, n, s int) {
	for i := range n {
		o, f := out[i*s:i*s+s], m[i*n:i*n+n]
		j := 0
		if n >= 4 {
			f0, f1, f2, f3 := f[0], f[1], f[2], f[3]
			r0, r1, r2, r3 := in[:s], in[s:2*s], in[2*s:3*s], in[3*s:4*s]
			r0, r1, r2, r3 = r0[:len(o)], r1[:len(o)], r2[:len(o)], r3[:len(o)]
			for l := range o {
				o[l] = f0*r0[l] + f1*r1[l] + f2*r2[l] + f3*r3[l]
			}
			j = 4
		} else {
			clear(o)
		}
		for ; j+3 < n; j += 4 {
			f0, f1, f2, f3 := f[j], f[j+1], f[j+2], f[j+3]
			r0, r1, r2, r3 := in[j*s:j*s+s], in[j*s+s:j*s+2*s], in[j*s+2*s:j*s+3*s], in[j*s+3*s:j*s+4*s]
			r0, r1, r2, r3 = r0[:len(o)], r1[:len(o)], r2[:len(o)], r3[:len(o)]
			for l := range o {
				o[l] += f0*r0[l] + f1*r1[l] + f2*r2[l] + f3*r3[l]
			}
		}
		for ; j < n; j++ {
			f0, r0 := f[j], in[j*s:j*s+s]
			r0 = r0[:len(o)]
			for l := range o {
				o[l] += f0 * r0[l]
			}
		}
	}
}

// conduct takes from out the heat that flows out of each node by conduction:
// out −= Σ Dᵀ·k·G·D·t.
func (g *grid) conduct(k, t, out []float64) {
	slope, back := g.turn[0], g.turn[1]
	for a, ax := range g.axes {
		if ax.kind == point {
			continue
		}
		g.along(a, ax.d, t, slope)
		w := g.grad[a]
		for i := range slope {
			slope[i] *= k[i] * w[i]
		}
		g.along(a, ax.dT, slope, back)
		for i := range out {
			out[i] -= back[i]
		}
	}
}

// transform multiplies every line of every axis by the axis's eigenvectors.
func (g *grid) transform(transposed bool, in, out []float64) {
	from, to := in, g.turn[0]
	for a, ax := range g.axes {
		m := ax.v
		if transposed {
			m = ax.vT
		}
		if a == len(g.axes)-1 {
			to = out
		}
		g.along(a, m, from, to)
		from = to
		to = g.turn[1-a%2]
	}
}

// mean is the volume's mean.
func (g *grid) mean(x []float64) float64 {
	sum := 0.0
	for i, v := range g.volume {
		sum += v * x[i]
	}
	return sum / g.total
}
