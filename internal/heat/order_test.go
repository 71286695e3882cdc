package heat

import (
	"math"
	"testing"
)

// begun is a runner whose field at hour 0 is what the test wants.
func begun(t *testing.T, c Case, field func(x []float64) float64) *runner {
	t.Helper()
	if err := c.check(); err != nil {
		t.Fatal(err)
	}
	r := newRunner(&c)
	if err := r.fill(); err != nil {
		t.Fatal(err)
	}
	p := r.p
	for i := range p.t {
		x := make([]float64, len(p.g.axes))
		for a, ax := range p.g.axes {
			x[a] = ax.x[p.g.place(i, a)]
		}
		p.t[i] = field(x)
	}
	p.bodyOf(p.t)
	copy(p.stored, p.system.heat)
	p.enter(0, 1e9)
	return r
}

// worst is the largest difference of a field from what it should be.
func (r *runner) worst(field func(x []float64) float64) float64 {
	g, most := r.p.g, 0.0
	for i, t := range r.p.t {
		x := make([]float64, len(g.axes))
		for a, ax := range g.axes {
			x[a] = ax.x[g.place(i, a)]
		}
		most = max(most, math.Abs(t-field(x)))
	}
	return most
}

// march makes n equal steps.
func (r *runner) march(t *testing.T, hours float64, n int) {
	t.Helper()
	p := r.p
	for range n {
		h := hours * 3600 / float64(n)
		if err := p.try(h); math.IsInf(err, 1) {
			t.Fatal("a stage did not converge")
		}
		p.accept(h)
		p.begin()
	}
}

// smoothMode is the slowest mode of the constant drum: T = 50 − 30·exp(−λt)·J0(ζ1·r/R)·
// cos(ζ2·(z − H/2)/(H/2)), exact at every time (Incropera, ch. 5).
func smoothMode(hours float64) func(x []float64) float64 {
	round, plate := Series{LongCylinder, 8 * 0.285 / 0.54}, Series{Plate, 8 * 0.425 / 0.54}
	zr, zz := round.Root(1), plate.Root(1)
	lambda := 0.54 / (1420 * 2300) * (zr*zr/(0.285*0.285) + zz*zz/(0.425*0.425))
	return func(x []float64) float64 { // x[0] is r², x[1] the distance from the middle
		return 50 - 30*math.Exp(-lambda*hours*3600)*math.J0(zr*math.Sqrt(x[0])/0.285)*math.Cos(zz*x[1]/0.425)
	}
}

// order is the slope of ln error over ln resolution.
func order(errs []float64, resolution []float64) float64 {
	n := len(errs) - 1
	return math.Log(errs[0]/errs[n]) / math.Log(resolution[n]/resolution[0])
}

// In space the error on the smooth mode falls faster than any power of the nodes: the
// slope is far above the 2 that is asked for.
func TestOrderInSpace(t *testing.T) {
	nodes, errs := spaceErrors(t)
	if o := order(errs, nodes); !(o > 6) || !(errs[3] < 1e-6) {
		t.Errorf("order %.1f in space, errors %v", o, errs)
	}
}

func spaceErrors(t *testing.T) (nodes, errs []float64) {
	for _, n := range []int{3, 5, 7, 9} {
		c := reference("S1_drum_const")
		c.ReportH, c.Nodes, c.Tolerance = []float64{24}, n, 1e-9
		r := begun(t, c, smoothMode(0))
		r.march(t, 24, 200)
		errs, nodes = append(errs, r.worst(smoothMode(24))), append(nodes, float64(n))
	}
	return nodes, errs
}

// In time it falls with the fourth power of the step: 3.8 allows for rounding and the
// solver's own rest.
func TestOrderInTime(t *testing.T) {
	steps, errs := timeErrors(t)
	if o := order(errs, steps); !(3.8 < o && o < 4.6) {
		t.Errorf("order %.2f in time, errors %v", o, errs)
	}
}

func timeErrors(t *testing.T) (steps, errs []float64) {
	for _, n := range []int{2, 4, 8, 16} {
		c := reference("S1_drum_const")
		c.ReportH, c.Nodes, c.Tolerance = []float64{48}, 13, 1e-9
		r := begun(t, c, smoothMode(0))
		r.march(t, 48, n)
		errs, steps = append(errs, r.worst(smoothMode(48))), append(steps, float64(n))
	}
	return steps, errs
}

// made is a field with a drift, k and cp that change with it, and melting in the middle
// of it: T = 30 + 10·exp(−t/τ)·(1 − ½r²/R²)·(1 + 0.3·cos(πz/H)). What it takes to keep it
// so is put in as heat made inside and at the side; top and bottom let nothing through,
// as ∂T/∂z is 0 there.
type made struct {
	p         Properties
	m         *Melt
	radius, h float64
	tau       float64 // s
}

func (m made) at(second float64) func(x []float64) float64 {
	return func(x []float64) float64 {
		return 30 + 10*math.Exp(-second/m.tau)*(1-x[0]/(2*m.radius*m.radius))*(1+0.3*math.Cos(math.Pi*x[1]/m.h))
	}
}

// source is ρ·cp_app·∂T/∂t − k·∇²T − k′·|∇T|², W/m³, and what flows in at the side, W/m².
func (m made) source(second, s, z float64) (inside, side float64) {
	amplitude := 10 * math.Exp(-second/m.tau)
	round, wave := 1-s/(2*m.radius*m.radius), 1+0.3*math.Cos(math.Pi*z/m.h)
	temp := 30 + amplitude*round*wave
	k, dk := m.p.Conductivity.At(temp), m.p.Conductivity.PerC
	share := m.m.share(temp)
	capacity := m.p.DensityKgM3 * (m.p.HeatCapacity.At(temp) + m.m.LatentJKg*2/m.m.WidthK*share*(1-share))
	dr2 := -1 / (m.radius * m.radius) // ∂/∂r of round is r·dr2
	dz := -0.3 * math.Pi / m.h * math.Sin(math.Pi*z/m.h)
	dzz := -0.3 * math.Pi * math.Pi / (m.h * m.h) * math.Cos(math.Pi*z/m.h)
	laplace := amplitude * (2*dr2*wave + round*dzz)
	gradient := amplitude * amplitude * (s*dr2*dr2*wave*wave + round*round*dz*dz)
	inside = capacity*(-(temp-30)/m.tau) - k*laplace - dk*gradient
	return inside, k * amplitude * m.radius * dr2 * wave
}

func (m *Melt) share(c float64) float64 { return 0.5 * (1 + math.Tanh((c-float64(m.Centre))/m.WidthK)) }

// The nonlinear case made by hand shows that k(T), cp(T) and melting are put together
// rightly: the error falls to the steps' own as nodes are added.
func TestOrderOnMadeCase(t *testing.T) {
	nodes, errs := madeErrors(t)
	if o := order(errs, nodes); !(o > 4) || !(errs[3] < 1e-4) {
		t.Errorf("order %.1f on the made case, errors %v", o, errs)
	}
}

func madeErrors(t *testing.T) (nodes, errs []float64) {
	p := Fixed()
	m := made{p: p, m: &Melt{LatentJKg: 13008, Centre: 33, WidthK: 5}, radius: 0.285, h: 0.85, tau: 8 * 3600}
	for _, n := range []int{5, 7, 9, 13} {
		c := Case{Body: Drum(0.57, 0.85), Honey: p, Melt: m.m, Start: Even(30), ReportH: []float64{12}, Nodes: n, Tolerance: 1e-7}
		c.Faces.Top = Face{Film: 1e-12, Ambient: Steady(30)} // not alike: the whole height is wanted
		r := begun(t, c, m.at(0))
		g := r.p.g
		r.p.source = func(second float64, flow []float64) float64 {
			total := 0.0
			for i, v := range g.volume {
				inside, _ := m.source(second, g.axes[0].x[g.place(i, 0)], g.axes[1].x[g.place(i, 1)])
				flow[i] += v * inside
				total += v * inside
			}
			for _, e := range g.ends {
				for j, i := range e.nodes {
					if e.face == sideFace {
						_, in := m.source(second, g.axes[0].x[g.place(i, 0)], g.axes[1].x[g.place(i, 1)])
						flow[i] += e.area[j] * in
						total += e.area[j] * in
					}
				}
			}
			return total
		}
		r.p.enter(0, 1e9)
		r.march(t, 12, 60)
		errs, nodes = append(errs, r.worst(m.at(12*3600))), append(nodes, float64(n))
	}
	return nodes, errs
}

// The method's order conditions (Butcher's, to order 4; Hairer, Nørsett and Wanner, Solving
// Ordinary Differential Equations I, II.2), its stage order 2, and L-stability's sign: the
// last stage is the step, so that infinitely stiff parts vanish. To rounding.
func TestMethod(t *testing.T) {
	b, c := methodA[stages-1], methodC
	var Ac, Ac2, AAc [stages]float64
	for i := range stages {
		row := 0.0
		for j := range stages {
			row += methodA[i][j]
			Ac[i] += methodA[i][j] * c[j]
			Ac2[i] += methodA[i][j] * c[j] * c[j]
		}
		if math.Abs(row-c[i]) > 1e-14 {
			t.Errorf("stage %d: row sum %.16g, want %.16g", i, row, c[i])
		}
		if math.Abs(Ac[i]-c[i]*c[i]/2) > 1e-14 {
			t.Errorf("stage %d is not of order 2: %.16g, want %.16g", i, Ac[i], c[i]*c[i]/2)
		}
	}
	for i := range stages {
		for j := range stages {
			AAc[i] += methodA[i][j] * Ac[j]
		}
	}
	check := func(w [stages]float64, order int) {
		for _, k := range []struct {
			order int
			f     func(i int) float64
			want  float64
		}{{1, func(int) float64 { return 1 }, 1}, {2, func(i int) float64 { return c[i] }, 1. / 2}, {3, func(i int) float64 { return c[i] * c[i] }, 1. / 3},
			{3, func(i int) float64 { return Ac[i] }, 1. / 6}, {4, func(i int) float64 { return c[i] * c[i] * c[i] }, 1. / 4},
			{4, func(i int) float64 { return c[i] * Ac[i] }, 1. / 8}, {4, func(i int) float64 { return Ac2[i] }, 1. / 12}, {4, func(i int) float64 { return AAc[i] }, 1. / 24}} {
			sum := 0.0
			for i := range stages {
				sum += w[i] * k.f(i)
			}
			if k.order <= order && math.Abs(sum-k.want) > 1e-14 {
				t.Errorf("order %d: %.16g, want %.16g", k.order, sum, k.want)
			}
		}
	}
	check(b, 4)
	check(methodB3, 3)
}
