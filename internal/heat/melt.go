package heat

import (
	"math"

	"combline/internal/quantity"
)

// CrystalHeat is what a kg of crystals takes to melt, J/kg: 108.4 ± 6.2 for
// crystals of dandelion honey (Food Chemistry 122(2), 2010, 410–415).
const CrystalHeat = 108400.0

// A Melt is how grains melt: the share that is liquid at equilibrium is
//
//	φ(T) = ½·(1 + tanh((T − Centre)/Width))
//
// and melting all takes Latent. Differential scanning puts the range at 25 to
// 45 °C for fine grain grown cold and 45 to 65 °C for coarse grain grown at 20 °C
// (1997). Good to an order of magnitude: real grains also wait for diffusion.
// Melting is remembered: honey that has cooled again counts as liquid, though the
// heat it gives back is φ's own.
type Melt struct {
	LatentJKg float64
	Centre    quantity.Celsius
	WidthK    float64
}

// A Grain is the class of a set honey.
type Grain uint8

const (
	NoGrain Grain = iota
	FineGrain
	MediumGrain
	CoarseGrain
)

// MeltOf gives the melting of a grain for a share of crystals by mass: 0.10 to
// 0.20 in a set honey. Nil where there is no grain.
func MeltOf(g Grain, crystals float64) *Melt {
	m := map[Grain]Melt{
		FineGrain:   {Centre: 35, WidthK: 4},
		MediumGrain: {Centre: 42, WidthK: 5},
		CoarseGrain: {Centre: 52, WidthK: 6},
	}[g]
	if g == NoGrain || m.WidthK == 0 {
		return nil
	}
	m.LatentJKg = crystals * CrystalHeat
	return &m
}

// Share is φ(T).
func (m *Melt) Share(c quantity.Celsius) float64 {
	if m == nil {
		return 1
	}
	return 0.5 * (1 + math.Tanh(float64(c-m.Centre)/m.WidthK))
}

// At is the temperature at which a share is liquid, 0 < share < 1.
func (m *Melt) At(share float64) quantity.Celsius {
	return m.Centre + quantity.Celsius(m.WidthK*math.Atanh(2*share-1))
}

func (m *Melt) check() error {
	if m == nil {
		return nil
	}
	return first(between("latent heat", m.LatentJKg, 0, 400000, "J/kg"),
		between("melting temperature", float64(m.Centre), 0, 90, "°C"), between("melting width", m.WidthK, 0.5, 30, "K"))
}

// Enthalpy gives what a kg takes from 0 °C to c, J/kg:
//
//	cp0·T + ½·cp1·T² + Latent·φ(T)
func (p Properties) Enthalpy(c quantity.Celsius, m *Melt) float64 {
	t := float64(c)
	h := t * (p.HeatCapacity.At0 + p.HeatCapacity.PerC*t/2)
	if m != nil {
		h += m.LatentJKg * m.Share(c)
	}
	return h
}
