package heat

import (
	"math"

	"combline/internal/quantity"
)

// A system is a case on its grid: the heat in each node and what flows into it.
type system struct {
	c      *Case
	g      *grid
	mass   []float64 // kg of a node
	radius float64   // for convection; 0: none
	face   [3]Face
	source func(second float64, flow []float64) float64 // W made inside, added to flow; nil: none

	ramps   [3]ramp // the ambient of each face on this stretch, by seconds
	outside ramp

	// What eval leaves for a field of temperatures.
	k, heat, capacity []float64 // W/(m·K); J; J/K
	flow              []float64 // W into each node
	inflow            float64   // W through the faces and from the stirrer
	room              float64   // °C
	heater            float64   // W
	drifts            float64   // by how much the room follows the heat that comes to it, K/W; 0: it is at its set point

	molten []float64 // share remembered at the beginning of the step

	solvedK float64   // conductivity of the axes' eigenvectors
	inverse []float64 // of C̄ + hγ·Σλ
	middleC float64   // C̄, J/(m³·K)
	even    bool      // properties so even that the preconditioner is the Jacobian
	scratch []float64
}

func newSystem(c *Case, g *grid) *system {
	s := &system{c: c, g: g, face: [3]Face{c.Faces.Side, c.Faces.Bottom, c.Faces.Top}}
	for _, p := range []*[]float64{&s.mass, &s.k, &s.heat, &s.capacity, &s.flow, &s.molten, &s.inverse, &s.scratch} {
		*p = make([]float64, g.n)
	}
	for i, v := range g.volume {
		s.mass[i] = v * c.Honey.DensityKgM3
	}
	if c.Convection > 0 {
		switch c.Body.Shape {
		case Cylinder:
			s.radius = c.Body.DiameterM / 2
		case Box:
			s.radius = min(c.Body.LengthM, c.Body.WidthM) / 2
		}
	}
	if w := c.Body.StirrerW; c.Body.Shape == Stirred && w != 0 {
		s.source = func(_ float64, flow []float64) float64 { flow[0] += w; return w }
	}
	return s
}

// stretch sets the ramps that hold from an hour on.
func (s *system) stretch(hour float64) {
	perSecond := func(r ramp) ramp { return ramp{r.from * 3600, r.c, r.slope / 3600} }
	for i, f := range s.face {
		if f.Film > 0 {
			s.ramps[i] = perSecond(f.Ambient.line(hour))
		}
	}
	if h := s.c.Heater; h != nil && h.LossWK > 0 {
		s.outside = perSecond(h.Outside.line(hour))
	}
}

func (s *system) film(face int) float64 { return s.face[face].Film }

// eval finds heat, capacity and flow of every node for a field at a second.
func (s *system) eval(t []float64, second float64) {
	s.bodyOf(t)
	times := s.stirring(t)
	k0, k1 := times*s.c.Honey.Conductivity.At0, times*s.c.Honey.Conductivity.PerC
	for i, x := range t {
		s.k[i] = k0 + k1*x
	}
	clear(s.flow)
	s.g.conduct(s.k, t, s.flow)
	s.atFaces(t, second, true)
}

// atFaces finds what comes in through the faces and from inside, and the room's state;
// where it is wanted it adds it to the flow.
func (s *system) atFaces(t []float64, second float64, add bool) {
	s.inflow = 0
	if s.source != nil {
		if !add {
			clear(s.flow) // the source adds to it; whoever asked writes it anew
		}
		s.inflow = s.source(second, s.flow)
	}
	s.heater, s.room, s.drifts = 0, math.NaN(), 0
	h := s.c.Heater
	if h != nil {
		s.warmRoom(h, t, second)
	}
	for e := range s.g.ends {
		s.through(&s.g.ends[e], t, second, add)
	}
	if h != nil && !math.IsNaN(s.room) {
		s.heater += h.LossWK * (s.room - float64(s.outside.at(second)))
	}
}

// bodyOf finds heat and capacity.
func (s *system) bodyOf(t []float64) {
	c0, c1 := s.c.Honey.HeatCapacity.At0, s.c.Honey.HeatCapacity.PerC
	m := s.c.Melt
	if m == nil || m.LatentJKg == 0 {
		for i, x := range t {
			s.heat[i] = s.mass[i] * x * (c0 + c1*x/2)
			s.capacity[i] = s.mass[i] * (c0 + c1*x)
		}
		return
	}
	centre, steep, latent := float64(m.Centre), 2/m.WidthK, m.LatentJKg
	for i, x := range t {
		phi := 1 / (1 + math.Exp(-steep*(x-centre))) // ½(1 + tanh) in one exponential
		s.heat[i] = s.mass[i] * (x*(c0+c1*x/2) + latent*phi)
		s.capacity[i] = s.mass[i] * (c0 + c1*x + latent*steep*phi*(1-phi))
	}
}

// through adds up what flows in at one face.
func (s *system) through(e *end, t []float64, second float64, add bool) {
	f := s.face[e.face]
	if f.Film == 0 {
		return
	}
	ambient := float64(s.ramps[e.face].at(second))
	if f.Heated && !math.IsNaN(s.room) {
		ambient = s.room
	}
	sum := 0.0
	for j, i := range e.nodes {
		q := f.Film * e.area[j] * (ambient - t[i])
		sum += q
		if add {
			s.flow[i] += q
		}
	}
	s.inflow += sum
	if f.Heated && s.c.Heater != nil {
		s.heater += sum * float64(s.c.Heater.bodies())
	}
}

func (h *Heater) bodies() int { return max(h.Bodies, 1) }

// warmRoom finds the room's temperature: the set point, or what full power, or none
// at all, can hold.
func (s *system) warmRoom(h *Heater, t []float64, second float64) {
	takes, brings := 0.0, 0.0 // W/K and W of all heated faces
	set := math.NaN()
	for _, e := range s.g.ends {
		f := s.face[e.face]
		if !f.Heated || f.Film == 0 {
			continue
		}
		set = float64(s.ramps[e.face].at(second))
		for j, i := range e.nodes {
			brings += f.Film * e.area[j] * t[i]
		}
		takes += f.Film * e.whole
	}
	if math.IsNaN(set) {
		return
	}
	n := float64(h.bodies())
	brings, takes = n*brings, n*takes+h.LossWK
	if h.LossWK > 0 {
		brings += h.LossWK * float64(s.outside.at(second))
	}
	s.room = min(max(set, brings/takes), (brings+h.PowerW)/takes)
	if s.room != set {
		s.drifts = n / takes
	}
}

// stirring is k_eff/k.
func (s *system) stirring(t []float64) float64 {
	if s.radius == 0 {
		return 1
	}
	wall, area := 0.0, 0.0
	for _, e := range s.g.ends {
		if e.face == sideFace {
			for j, i := range e.nodes {
				wall += e.area[j] * t[i]
			}
			area += e.whole
		}
	}
	share := 1.0
	if s.c.Melt != nil {
		share = stirs(s.moltenMean(t))
	}
	if share == 0 {
		return 1
	}
	nu := s.c.Honey.Nusselt(quantity.Celsius(wall/area), quantity.Celsius(s.g.mean(t)), s.radius)
	return 1 + s.c.Convection*share*(nu-1)
}

func (s *system) moltenMean(t []float64) float64 {
	sum := 0.0
	for i, v := range s.g.volume {
		sum += v * max(s.molten[i], s.c.Melt.Share(quantity.Celsius(t[i])))
	}
	return sum / s.g.total
}

// prepare makes the preconditioner C̄ + hγ·K̄ ready, with the middle of the
// capacities and conductivities that eval found. It is diagonal in the axes'
// eigenvectors (fast diagonalisation: Lynch, Rice and Thomas, Numer. Math. 6, 1964).
func (s *system) prepare(hGamma float64) {
	lowK, highK := s.k[0], s.k[0]
	lowC, highC := math.Inf(1), 0.0
	for i := range s.k {
		lowK, highK = min(lowK, s.k[i]), max(highK, s.k[i])
		c := s.capacity[i] / s.g.volume[i]
		lowC, highC = min(lowC, c), max(highC, c)
	}
	k := (lowK + highK) / 2
	s.middleC = (lowC + highC) / 2
	if !(math.Abs(k/s.solvedK-1) < 0.06) {
		s.solveAxes(k)
	}
	s.even = s.drifts == 0 && highC-lowC < 0.1*s.middleC && highK-lowK < 0.3*k
	for i := range s.inverse {
		sum := 0.0
		for a, ax := range s.g.axes {
			sum += ax.lambda[s.g.place(i, a)]
		}
		s.inverse[i] = 1 / (s.middleC + hGamma*sum)
	}
}

func (s *system) solveAxes(k float64) {
	for a, ax := range s.g.axes {
		var films [2]float64
		for _, e := range s.g.ends {
			if e.axis == a && e.high {
				films[1] = s.film(e.face)
			} else if e.axis == a {
				films[0] = s.film(e.face)
			}
		}
		ax.solve(k, films[0], films[1])
	}
	s.solvedK = k
}

// precondition is out = (C̄ + hγ·K̄)⁻¹·in, from J to K.
func (s *system) precondition(in, out []float64) {
	s.g.transform(true, in, s.scratch)
	for i := range s.scratch {
		s.scratch[i] *= s.inverse[i]
	}
	s.g.transform(false, s.scratch, out)
}

// jacobian is out = (C + hγ·K)·in with the capacities and conductivities of eval.
func (s *system) jacobian(hGamma float64, in, out []float64) {
	clear(out)
	s.g.conduct(s.k, in, out)
	for _, e := range s.g.ends {
		film := s.film(e.face)
		for j, i := range e.nodes {
			out[i] -= film * e.area[j] * in[i]
		}
	}
	if s.drifts != 0 {
		s.drift(in, out)
	}
	for i := range out {
		out[i] = s.capacity[i]*in[i] - hGamma*out[i]
	}
}

// drift adds to out what comes back from a room that warms with the heated faces.
func (s *system) drift(in, out []float64) {
	brings := 0.0
	s.heated(func(i int, w float64) { brings += w * in[i] })
	s.heated(func(i int, w float64) { out[i] += w * s.drifts * brings })
}

// heated goes over the nodes of the heated faces with their film times area, W/K.
func (s *system) heated(do func(node int, wk float64)) {
	for _, e := range s.g.ends {
		if f := s.face[e.face]; f.Heated {
			for j, i := range e.nodes {
				do(i, f.Film*e.area[j])
			}
		}
	}
}
