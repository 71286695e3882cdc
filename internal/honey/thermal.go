package honey

import "combline/internal/quantity"

const (
	heatTempLow, heatTempHigh         = 0.0, 80.0
	conductTempLow, conductTempHigh   = 2.0, 71.0
	conductWaterLow, conductWaterHigh = 15.0, 21.0
	heatCapacityOff                   = 0.08 // share
	conductivityLow                   = 0.34
)

// HeatCapacity gives clear liquid honey's specific heat:
//
//	cp = 4.18·w + 1.855·(1 − w)   kJ/(kg·K)   ± 8 %
//
// Range 13 to 25 %, 0 to 80 °C; no reliable slope with temperature is published,
// so there is none in it. A mixing rule through one measured point, 2.26 at 17.4 %
// and 20 °C (Helvey 1954); liquid honeys are printed as 2.26 to 2.51. Creamed
// honey's 3.05 holds the heat of melting: reckon that apart ([MeltingHeat]).
func HeatCapacity(t quantity.Celsius, w quantity.WaterPct) (Band[quantity.KJKgK], error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return Band[quantity.KJKgK]{}, err
	}
	if err := checkTemp(t, heatTempLow, heatTempHigh); err != nil {
		return Band[quantity.KJKgK]{}, err
	}
	cp := quantity.KJKgK(heatCapacity(float64(w)))
	return plusMinus(cp, heatCapacityOff*cp), nil
}

func heatCapacity(w float64) float64 { return 4.18*w/100 + 1.855*(1-w/100) }

// Conductivity gives honey's thermal conductivity by both schools. The classical
// table (Townsend 1961, Helvey 1954, in White 1975; from memory) is
//
//	k = 0.532 + 0.0012·(T − 20) − 0.0034·(W − 17)   W/(m·K)
//
// within 0.7 % of its cells. But it is far above what water (0.60) and dissolved
// sugar (about 0.2) can make: a volume-additive estimate gives 0.32, and 80 %
// sugar syrups have about 0.35. Classical is what every handbook prints and is
// the figure to compare with; Low is 0.34. For warming up reckon with both and
// plan by the slower, Low. Range 2 to 71 °C, 15 to 21 %.
func Conductivity(t quantity.Celsius, w quantity.WaterPct) (ThermalConductivity, error) {
	if err := checkWater(w, conductWaterLow, conductWaterHigh); err != nil {
		return ThermalConductivity{}, err
	}
	if err := checkTemp(t, conductTempLow, conductTempHigh); err != nil {
		return ThermalConductivity{}, err
	}
	k := 0.532 + 0.0012*(float64(t)-20) - 0.0034*(float64(w)-17)
	return ThermalConductivity{Classical: quantity.WMK(k), Low: conductivityLow}, nil
}

// A ThermalConductivity is what the two schools say.
type ThermalConductivity struct{ Classical, Low quantity.WMK }

// Diffusivity gives k/(ρ·cp) in m²/s for a conductivity of either school. The
// range is that of [Density] and [HeatCapacity] together.
func Diffusivity(k quantity.WMK, t quantity.Celsius, w quantity.WaterPct) (float64, error) {
	if !within(float64(k), 0.05, 5) {
		return 0, outside(InputConductor, float64(k), 0.05, 5)
	}
	d, err := Density(t, w)
	if err != nil {
		return 0, err
	}
	cp, err := HeatCapacity(t, w)
	if err != nil {
		return 0, err
	}
	return float64(k) / (float64(d) * float64(cp.Likely) * 1000), nil
}
