package flow

import "math"

// A Pipe is a round pipe with what stands in it.
type Pipe struct {
	DiameterM, LongM float64
	RiseM            float64 // how much higher its end is
	Fittings         int     // bends, valves: K = 800/Re each, the 2-K method's slow part
}

// A Pumping is what it takes to send honey through a pipe.
type Pumping struct {
	FlowM3S    float64
	DropPa     float64 // along the pipe and its fittings
	LiftPa     float64
	Reynolds   float64
	ShearPerS  float64 // at the wall
	PowerW     float64 // at the shaft
	WarmsByK   float64 // the honey, by its own friction
	FittingsPa float64 // part of DropPa
}

const fittingK = 800.0

// Pump gives what kg an hour cost in a pipe:
//
//	Δp = 128·μ·L·Q/(π·D⁴) + ρ·g·Δz,   Re = 4·ρ·Q/(π·D·μ),   wall shear 32·Q/(π·D³)
//	fittings Δp = n·K·ρ·v²/2, K = 800/Re (Hooper 1981, from memory),   P = Q·Δp/η
//
// Hagen and Poiseuille: A for Re under 2,100, which honey never reaches; else refused.
// Cold honey at a pipe's wall makes it more: take the wall's viscosity for a bound.
// Range: pipes 4 to 300 mm, 0.01 to 500 m.
func Pump(l Liquid, kgPerHour float64, p Pipe, efficiency, heatJKgK float64) (Pumping, error) {
	if err := first(l.check(), within("kg an hour", kgPerHour, 1e-3, 1e6, "kg/h"), withinMM("pipe diameter", p.DiameterM, 0.004, 0.3), within("pipe length", p.LongM, 0.01, 500, "m"),
		within("rise", p.RiseM, -50, 50, "m"), within("fittings", float64(p.Fittings), 0, 1000, ""), withinPct("efficiency", efficiency, 0.01, 1), within("heat capacity", heatJKgK, 500, 5000, "J/(kg·K)")); err != nil {
		return Pumping{}, err
	}
	d, mu, rho := p.DiameterM, l.ViscosityPaS, l.DensityKgM3
	f := Pumping{FlowM3S: kgPerHour / 3600 / rho, LiftPa: rho * gravity * p.RiseM}
	f.Reynolds = 4 * rho * f.FlowM3S / (math.Pi * d * mu)
	if err := within("Reynolds number", f.Reynolds, 0, 2100, ""); err != nil {
		return Pumping{}, err
	}
	v := 4 * f.FlowM3S / (math.Pi * d * d)
	f.FittingsPa = float64(p.Fittings) * fittingK / f.Reynolds * rho * v * v / 2
	f.DropPa = 128*mu*p.LongM*f.FlowM3S/(math.Pi*d*d*d*d) + f.FittingsPa
	f.ShearPerS = 32 * f.FlowM3S / (math.Pi * d * d * d)
	f.PowerW = max(0, f.FlowM3S*(f.DropPa+f.LiftPa)/efficiency)
	f.WarmsByK = f.DropPa / (rho * heatJKgK)
	return f, nil
}

// ColdStart gives how many times the pressure a line wants whose honey stands cold: the
// ratio of the viscosities.
func ColdStart(cold, warm Liquid) (float64, error) {
	if err := first(cold.check(), warm.check()); err != nil {
		return 0, err
	}
	return cold.ViscosityPaS / warm.ViscosityPaS, nil
}

// A Gate is a tank's outlet: its width, and the length of pipe that it acts as.
type Gate struct{ DiameterM, LongM float64 }

// DrainSeconds gives the time in which a tank's honey falls to 1/e of its depth by its
// own weight through a gate:
//
//	τ = A·128·μ·L/(π·D⁴·ρ·g)
//
// Laminar, without inertia: A for honey. Range: tanks 0.1 to 10 m wide, gates 4 to
// 300 mm.
func DrainSeconds(l Liquid, tankM float64, g Gate) (float64, error) {
	if err := first(l.check(), within("tank's width", tankM, 0.1, 10, "m"), withinMM("gate", g.DiameterM, 0.004, 0.3), within("gate's length", g.LongM, 0.005, 50, "m")); err != nil {
		return 0, err
	}
	d := g.DiameterM
	return tankM * tankM / 4 * 128 * l.ViscosityPaS * g.LongM / (d * d * d * d * l.DensityKgM3 * gravity), nil
}

// DrainHours gives the hours in which a tank falls from one depth to a lower one:
// τ·ln(from/to)/3600.
func DrainHours(l Liquid, tankM float64, g Gate, fromM, toM float64) (float64, error) {
	tau, err := DrainSeconds(l, tankM, g)
	if err = first(err, within("depth now", fromM, 1e-3, 20, "m"), within("depth then", toM, 1e-4, fromM, "m")); err != nil {
		return 0, err
	}
	return tau * math.Log(fromM/toM) / 3600, nil
}

// WallFilm gives the honey that stays on an upright wall after it has drained: the film
// at its foot, m, and the mean kg on a m²:
//
//	h = √(μ·z/(ρ·g·t)),   mean (2/3)·h·ρ
//
// Jeffreys 1930 (from memory): A for Newtonian honey. Range 1 cm to 20 m, 10 s to 30
// days.
func WallFilm(l Liquid, heightM, seconds float64) (footM, kgM2 float64, err error) {
	if err := first(l.check(), within("wall", heightM, 0.01, 20, "m"), within("time", seconds, 10, 30*86400, "s")); err != nil {
		return 0, 0, err
	}
	footM = math.Sqrt(l.ViscosityPaS * heightM / (l.DensityKgM3 * gravity * seconds))
	return footM, 2.0 / 3 * footM * l.DensityKgM3, nil
}
