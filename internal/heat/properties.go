package heat

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// A Line is a figure that changes evenly with temperature: At0 + PerC·T.
type Line struct{ At0, PerC float64 }

// At is the figure at a temperature, °C.
func (l Line) At(c float64) float64 { return l.At0 + l.PerC*c }

// Properties are a honey's own figures. Density is one figure, so that mass is
// kept. Low and High are where they hold.
type Properties struct {
	DensityKgM3  float64
	Conductivity Line // W/(m·K)
	HeatCapacity Line // J/(kg·K), without melting

	// ln μ = LnA + B/(TK − T0), Pa·s, for convection; Expansion 1/K.
	LnA, B, T0 float64
	Expansion  float64

	HMF, Diastase, Invertase honey.Arrhenius
	Low, High                quantity.Celsius
}

// A School says which conductivity to believe: the two disagree by half
// ([honey.Conductivity]).
type School uint8

const (
	Classical School = iota // every handbook's table, near 0.53
	Additive                // 0.34: from what water and sugar can make; the slower
)

// AssumedWater is the water % to offer to a person where none was measured. It is
// never taken without being asked for.
const AssumedWater quantity.WaterPct = 17.5

// House gives the properties by the models of package honey, for a water content
// and a school of conductivity. Density is that at 20 °C. Range 15 to 21 %, 2 to
// 71 °C.
func House(w quantity.WaterPct, school School) (Properties, error) {
	if math.IsNaN(float64(w)) {
		return Properties{}, fmt.Errorf("the water is not known: measure it, or agree to reckon with %g %%", float64(AssumedWater))
	}
	k20, err := honey.Conductivity(20, w)
	if err != nil {
		return Properties{}, err
	}
	k70, err := honey.Conductivity(70, w)
	if err != nil {
		return Properties{}, err
	}
	cp, err := honey.HeatCapacity(20, w)
	if err != nil {
		return Properties{}, err
	}
	rho, err := honey.Density(20, w)
	if err != nil {
		return Properties{}, err
	}
	warm, err := honey.Density(60, w)
	if err != nil {
		return Properties{}, err
	}
	p := Properties{DensityKgM3: float64(rho), HeatCapacity: Line{At0: 1000 * float64(cp.Likely)},
		LnA: -7.825, B: 802, T0: 216.4 - 3.63*(float64(w)-17), // as honey.Viscosity; a test holds them together
		Expansion: float64(rho-warm) / 40 / float64(rho),
		HMF:       honey.HMFLaw(), Diastase: honey.DiastaseLaw(), Invertase: honey.InvertaseLaw(), Low: 2, High: 71}
	slope := float64(k70.Classical-k20.Classical) / 50
	p.Conductivity = Line{At0: float64(k20.Classical) - 20*slope, PerC: slope}
	if school == Additive {
		p.Conductivity = Line{At0: float64(k20.Low)}
	}
	return p, nil
}

// Fixed is property set P1, in which the reference cases are reckoned:
//
//	ρ = 1420 kg/m³, k = 0.536 + 0.00118·(T − 21), cp = 2260 + 1.6·(T − 20),
//	ln μ = −8.84 + 998.4/(TK − 209.96) − 0.418·(W − 16) with W = 17,
//	HMF 0.0375 mg/(kg·h) at 40 °C with 134800 J/mol, diastase 9.305e-4 1/h at 40 °C
//	with 147500 J/mol
//
// Invertase, which the set has not, is that of package honey.
func Fixed() Properties {
	return Properties{DensityKgM3: 1420, Conductivity: Line{0.536 - 0.00118*21, 0.00118}, HeatCapacity: Line{2260 - 1.6*20, 1.6},
		LnA: -8.84 - 0.418, B: 998.4, T0: 209.96, Expansion: 0.60 / 1420,
		HMF: RateAt40(0.0375, 134800), Diastase: RateAt40(9.305e-4, 147500), Invertase: honey.InvertaseLaw(), Low: -20, High: 100}
}

// RateAt40 turns a rate per hour at 40 °C into a law.
func RateAt40(perHourAt40, energy float64) honey.Arrhenius {
	const k40, k50 = 40 + quantity.ZeroC, 50 + quantity.ZeroC
	return honey.Arrhenius{At50: 24 * perHourAt40 * math.Exp(-energy/honey.R*(1/k50-1/k40)), Energy: energy}
}

// Viscosity gives μ in Pa·s.
func (p Properties) Viscosity(c quantity.Celsius) quantity.PaS {
	return quantity.PaS(math.Exp(p.LnA + p.B/(float64(c.Kelvin())-p.T0)))
}

func (p Properties) check() error {
	if !(p.Low < p.High) {
		return fmt.Errorf("properties hold from %g to %g °C, want a range", float64(p.Low), float64(p.High))
	}
	err := between("density", p.DensityKgM3, 100, 3000, "kg/m³")
	for _, c := range [...]float64{float64(p.Low), float64(p.High)} {
		err = first(err, between(fmt.Sprintf("conductivity at %g °C", c), p.Conductivity.At(c), 0.01, 500, "W/(m·K)"),
			between(fmt.Sprintf("heat capacity at %g °C", c), p.HeatCapacity.At(c), 100, 10000, "J/(kg·K)"))
	}
	for _, law := range [...]honey.Arrhenius{p.HMF, p.Diastase, p.Invertase} {
		err = first(err, between("rate at 50 °C", law.At50, 0, 1e6, "a day"), between("activation energy", law.Energy, 0, 5e5, "J/mol"))
	}
	return err
}

// Faster gives the same honey with its HMF rate times a factor.
func (p Properties) Faster(factor float64) Properties {
	p.HMF.At50 *= factor
	return p
}
