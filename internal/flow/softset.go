package flow

import (
	"combline/internal/honey"
	"combline/internal/quantity"
)

// The figures of soft-set honey: read in a university's note on creamed honey, or
// common practice. Share is of the honey that the seed is added to.
const (
	SeedShareLow, SeedShareHigh    = 5.0, 10.0 // %
	SeedAtC                        = 24.0      // °C at which it is stirred in
	SetLowC, SetHighC              = 13.0, 14.0
	SetDaysLow, SetDaysHigh        = 5.0, 8.0
	JarLowC, JarHighC              = 22.0, 28.0 // when it has set in the tank
	SoftSetMost                    = 18.0       // % of water, at most
	SoftSetBestLow, SoftSetBestTop = 17.0, 17.5

	// SetCrystals is the usual share of crystals in set honey, %, with its range.
	SetCrystalsLow, SetCrystals, SetCrystalsHigh = 10.0, 12.0, 20.0

	crystalHeatKJKg = 108.4 // crystals separated from honey, ±6.2 (Food Chemistry 122, 2010, read)
)

// SeedFor gives the kg of fine seed for honey to be soft-set: 5 to 10 % of the honey.
// Range 0.1 kg to 100 t. A note on creamed honey (read) and common practice.
func SeedFor(honeyKg float64) (honey.Band[float64], error) {
	if err := within("honey", honeyKg, 0.1, 1e5, "kg"); err != nil {
		return honey.Band[float64]{}, err
	}
	return honey.Band[float64]{Low: honeyKg * SeedShareLow / 100, Likely: honeyKg * (SeedShareLow + SeedShareHigh) / 200, High: honeyKg * SeedShareHigh / 100}, nil
}

// A SoftSet is whether honey may be soft-set: its water with the seed's, that of the
// liquid between the crystals when it has set, and whether that ferments.
type SoftSet struct {
	Water, Liquid quantity.WaterPct
	LiquidHigh    quantity.WaterPct // with the most crystals that set honey has
	Ferment       honey.FermentRisk // of the liquid
	DryEnough     bool              // the whole is at most 18 %
	Best          bool              // 17.0 to 17.5 %
}

// JudgeSoftSet judges honey with its seed. Crystals take 1 part of water to 10 of
// glucose, so that the liquid left is wetter than the whole:
//
//	W' = 100·(W − c/11)/(100 − c)
//
// with c = 12 % crystals ([honey.LiquidWater], exact; c is 10 to 20 %, from memory). The
// liquid is judged by Lochhead's classes ([honey.FermentPartlySet]): a whole of 17.7 %
// is already the class of 18.1 to 19 %. Range 13 to 25 %, seed 0 to 100 % of the honey.
func JudgeSoftSet(honeyKg float64, w quantity.WaterPct, seedKg float64, seedWater quantity.WaterPct, yeast quantity.YeastPerG, counted bool) (SoftSet, error) {
	if err := first(within("honey", honeyKg, 0.1, 1e5, "kg"), within("seed", seedKg, 0, honeyKg, "kg"), within("water", float64(w), 13, 25, "%")); err != nil {
		return SoftSet{}, err
	}
	s := SoftSet{Water: w}
	if seedKg > 0 {
		if err := within("water of the seed", float64(seedWater), 13, 25, "%"); err != nil {
			return SoftSet{}, err
		}
		s.Water = quantity.WaterPct((honeyKg*float64(w) + seedKg*float64(seedWater)) / (honeyKg + seedKg))
	}
	var err error
	if s.Liquid, err = honey.LiquidWater(s.Water, SetCrystals); err != nil {
		return SoftSet{}, err
	}
	if s.LiquidHigh, err = honey.LiquidWater(s.Water, SetCrystalsHigh); err != nil {
		return SoftSet{}, err
	}
	s.Ferment, err = honey.FermentPartlySet(s.Water, SetCrystals, yeast, counted)
	s.DryEnough = s.Water <= SoftSetMost
	s.Best = SoftSetBestLow <= s.Water && s.Water <= SoftSetBestTop
	return s, err
}

// SettingHeatK gives by how many kelvin the setting itself would warm honey that nothing
// cools: c·108.4 kJ/kg over its heat capacity. The cooler must take that up besides the
// honey's own warmth. Range of c 0 to 40 %; energy balance, B.
func SettingHeatK(crystalsPct, heatKJKgK float64) (float64, error) {
	if err := first(within("crystals", crystalsPct, 0, 40, "%"), within("heat capacity", heatKJKgK, 0.5, 5, "kJ/(kg·K)")); err != nil {
		return 0, err
	}
	return crystalsPct / 100 * crystalHeatKJKg / heatKJKgK, nil
}
