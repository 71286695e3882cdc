package heat

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// fill sets the field at hour 0.
func (r *runner) fill() error {
	if r.c.Start.Field != nil {
		return r.goOn(r.c.Start.Field)
	}
	s, g := r.c.Start, r.p.g
	power, err := s.power(g)
	if err != nil {
		return err
	}
	for i := range r.p.t {
		r.p.t[i] = float64(s.Core) + float64(s.Skin-s.Core)*math.Pow(g.outward(i), power)
		r.p.molten[i] = max(s.Molten, r.c.Melt.Share(quantity.Celsius(r.p.t[i])))
	}
	return nil
}

// outward is 0 in the core and 1 on the skin: 1 − Π(1 − ξ²) over the axes.
func (g *grid) outward(i int) float64 {
	inside := 1.0
	for a, ax := range g.axes {
		x := ax.x[g.place(i, a)]
		switch ax.kind {
		case radial:
			inside *= 1 - x/ax.x[ax.n-1]
		case half:
			inside *= 1 - x*x/(ax.lengthM*ax.lengthM)
		case across:
			xi := 2*x/ax.lengthM - 1
			inside *= 1 - xi*xi
		}
	}
	return 1 - max(0, inside)
}

// power bends the profile so that it has the mean that was measured.
func (s Start) power(g *grid) (float64, error) {
	if !s.HasMean || s.Core == s.Skin {
		if s.HasMean && s.Mean != s.Core {
			return 0, fmt.Errorf("core and skin are both %g °C, but the mean is %g °C", float64(s.Core), float64(s.Mean))
		}
		return 1, nil
	}
	want := float64(s.Mean-s.Core) / float64(s.Skin-s.Core)
	share := func(power float64) float64 {
		sum := 0.0
		for i, v := range g.volume {
			sum += v * math.Pow(g.outward(i), power)
		}
		return sum / g.total
	}
	const flat, steep = 0.05, 40.0
	if !(share(steep) <= want && want <= share(flat)) {
		return 0, fmt.Errorf("a core of %g °C and a skin of %g °C don't go with a mean of %g °C: want %.1f to %.1f",
			float64(s.Core), float64(s.Skin), float64(s.Mean),
			float64(s.Core)+share(steep)*float64(s.Skin-s.Core), float64(s.Core)+share(flat)*float64(s.Skin-s.Core))
	}
	low, high := math.Log(flat), math.Log(steep)
	for range 60 {
		if middle := (low + high) / 2; share(math.Exp(middle)) > want {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Exp(low), nil
}

// end keeps the whole state.
func (r *runner) end() *Field {
	return &Field{body: r.c.Body, axes: r.p.g.axes, t: r.p.t, molten: r.p.molten,
		hmf: r.hist.hmf, gone: r.hist.gone, invert: r.hist.invert, yeast: r.hist.yeast}
}

// goOn takes up a state that another run left, on whatever nodes it had.
func (r *runner) goOn(f *Field) error {
	if f.body.Shape != r.c.Body.Shape || f.body != r.c.Body {
		return fmt.Errorf("the state is of another body")
	}
	g, k := r.p.g, r.hist
	for _, x := range []struct{ from, to []float64 }{{f.t, r.p.t}, {f.molten, r.p.molten}, {f.hmf, k.hmf},
		{f.gone, k.gone}, {f.invert, k.invert}, {f.yeast, k.yeast}} {
		g.interpolate(f.axes, x.from, x.to)
	}
	return nil
}

// interpolate brings a field from other axes onto the grid's own nodes.
func (g *grid) interpolate(axes []*axis, from, to []float64) {
	weights := make([][][]float64, len(axes))
	for a, ax := range g.axes {
		for _, x := range ax.x {
			weights[a] = append(weights[a], axes[a].at(ax.onto(axes[a], x)))
		}
	}
	for i := range g.n {
		to[i] = 0
		for j := range from[:count(axes)] {
			w, rest := 1.0, j
			for a, ax := range axes {
				w *= weights[a][g.place(i, a)][rest%ax.n]
				rest /= ax.n
			}
			to[i] += w * from[j]
		}
	}
	copy(to[g.n:], from[count(axes):]) // the cell at a jacket's wall
}

func count(axes []*axis) int {
	n := 1
	for _, a := range axes {
		n *= a.n
	}
	return n
}

// onto says where x lies on another axis of the same body.
func (a *axis) onto(b *axis, x float64) float64 {
	switch {
	case a.kind == half && b.kind == across:
		return b.lengthM/2 + x
	case a.kind == across && b.kind == half:
		return math.Abs(x - a.lengthM/2)
	}
	return x
}
