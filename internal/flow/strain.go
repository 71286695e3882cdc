package flow

import "math"

// Perforated gives the pressure drop of a plate with round holes on a square grid, Pa:
//
//	Δp = μ·q/R³·(3 + 8·L/(π·R)),   q = U·pitch²
//
// with U the speed before the plate. Sampson's hole with Poiseuille's length, Dagan et
// al. 1982 (from memory): A while Re in a hole is far below 1, as honey's is. Range:
// holes 0.02 to 20 mm.
func Perforated(l Liquid, speedMS, pitchM, holeRadiusM, plateM float64) (float64, error) {
	if err := first(l.check(), within("speed", speedMS, 0, 1, "m/s"), withinMM("radius of a hole", holeRadiusM, 1e-5, 0.01),
		withinMM("pitch", pitchM, 2*holeRadiusM, 0.1), withinMM("plate", plateM, 0, 0.05)); err != nil {
		return 0, err
	}
	q := speedMS * pitchM * pitchM
	return l.ViscosityPaS * q / (holeRadiusM * holeRadiusM * holeRadiusM) * (3 + 8*plateM/(math.Pi*holeRadiusM)), nil
}

// A Weave is plain woven wire cloth.
type Weave struct{ WireM, OpeningM float64 }

func (w Weave) check() error {
	return first(withinMM("wire", w.WireM, 1e-5, 0.005), withinMM("opening", w.OpeningM, 1e-5, 0.02))
}

// Void gives the open share of the cloth's volume, two wires thick:
//
//	ε = 1 − π·d·√(p² + d²)/(4·p²),   p = opening + wire
//
// Geometry of the plain weave, exact for round wires.
func (w Weave) Void() (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	p := w.OpeningM + w.WireM
	return 1 - math.Pi*w.WireM*math.Hypot(p, w.WireM)/(4*p*p), nil
}

// Woven gives the pressure drop of wire cloth, Pa, where honey creeps through:
//
//	Δp = 8.61·μ·a²·B·U/ε²,   a = π·√(p² + d²)/p², B = 2·d
//
// Armour and Cannon 1968, AIChE J. (coefficients read), measured for Re 0.1 to 1,000:
// honey is slower, the pure viscous law. B: ±30 % (Azizi 2019, read).
func Woven(l Liquid, w Weave, speedMS float64) (float64, error) {
	void, err := w.Void()
	if err = first(err, l.check(), within("speed", speedMS, 0, 1, "m/s")); err != nil {
		return 0, err
	}
	p := w.OpeningM + w.WireM
	a := math.Pi * math.Hypot(p, w.WireM) / (p * p)
	return 8.61 * l.ViscosityPaS * a * a * 2 * w.WireM * speedMS / (void * void), nil
}

// Clogged gives the pressure drop when a share of a strainer is covered: Δp0/(1 − s)².
// C: the house's own pressure before a change tells more. Range s 0 to 0.99.
func Clogged(cleanPa, covered float64) (float64, error) {
	if err := first(within("pressure drop", cleanPa, 0, 1e8, "Pa"), withinPct("share covered", covered, 0, 0.99)); err != nil {
		return 0, err
	}
	return cleanPa / ((1 - covered) * (1 - covered)), nil
}

// CoveredAt gives the share that is covered when the drop has risen from clean to now;
// the inverse of [Clogged].
func CoveredAt(cleanPa, nowPa float64) (float64, error) {
	if err := first(within("pressure drop when clean", cleanPa, 1e-9, 1e8, "Pa"), within("pressure drop now", nowPa, cleanPa, 1e10, "Pa")); err != nil {
		return 0, err
	}
	return 1 - math.Sqrt(cleanPa/nowPa), nil
}
