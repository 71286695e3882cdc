package heat

import (
	"math"

	"combline/internal/quantity"
)

const gravity = 9.81 // m/s²

// Rayleigh tells how hard liquid honey of a radius is driven round by a wall that
// is warmer or colder than its mean:
//
//	Ra = ρ·g·β·|Tw − Tm|·R³/(μ·α), all at (Tw + Tm)/2
//
// Flow matters above about 1000. Incropera, ch. 9 (from memory).
func (p Properties) Rayleigh(wall, mean quantity.Celsius, radiusM float64) float64 {
	film := (wall + mean) / 2
	k, cp := p.Conductivity.At(float64(film)), p.HeatCapacity.At(float64(film))
	alpha := k / (p.DensityKgM3 * cp)
	drive := math.Abs(float64(wall - mean))
	return p.DensityKgM3 * gravity * p.Expansion * drive * radiusM * radiusM * radiusM / (float64(p.Viscosity(film)) * alpha)
}

// Nusselt is by how many times the stirring of the melt itself helps conduction:
//
//	Nu = max(1, 0.18·(Ra·Pr/(0.2 + Pr))^0.29)
//
// Catton for an upright cavity as wide as high or half so (in Incropera, ch. 9;
// from memory). Against a flow reckoned cell by cell in the 300 kg drum it warms
// the mean within an hour; it has no layers, and for half-melted honey it is
// unproven. Good to a factor of 1.5.
func (p Properties) Nusselt(wall, mean quantity.Celsius, radiusM float64) float64 {
	film := float64(wall+mean) / 2
	pr := float64(p.Viscosity(quantity.Celsius(film))) * p.HeatCapacity.At(film) / p.Conductivity.At(film)
	return max(1, 0.18*math.Pow(p.Rayleigh(wall, mean, radiusM)*pr/(0.2+pr), 0.29))
}

// stirs is how far set honey stirs already: not below a liquid share of 0.65, fully
// above 0.75. Below 0.7 it is a paste (own estimate, without a published source).
func stirs(molten float64) float64 {
	x := min(max((molten-0.65)/0.1, 0), 1)
	return x * x * (3 - 2*x)
}
