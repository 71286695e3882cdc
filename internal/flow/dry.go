package flow

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A WetAirError says that air from outside is no drier than the room's.
type WetAirError struct{ Room, Outside float64 } // kg/kg dry air

func (e *WetAirError) Error() string {
	return fmt.Sprintf("air outside holds %.4f kg of water a kg, the room's %.4f: letting it in dries nothing; run the drier", e.Outside, e.Room)
}

// The line of water activity, as honey.WaterActivity has it, taken beyond its range
// where it is only a driving force.
const activity0, activityPerW = 0.248, 0.0175

// EquilibriumWater gives the water, %, that honey in the comb would come to in air:
//
//	W = (RH − 0.248)/0.0175
//
// Range RH 0.25 to 0.80. Air of 55 % gives 17.26, where one publication puts 17.5
// (Doull and Mew 1977). Published lines differ by 0.03 to 0.07 of RH, which is 2 to 4
// points of water; below RH 0.50 the line is extrapolated, and its figure is a driving
// force, not honey that anybody makes. Inverse of the water-activity line, Pérez et al.
// 2009 (coefficients from memory).
func EquilibriumWater(rh float64) (quantity.WaterPct, error) {
	if err := withinPct("relative humidity", rh, 0.25, 0.80); err != nil {
		return 0, err
	}
	return quantity.WaterPct((rh - activity0) / activityPerW), nil
}

// Wets reports whether air of this humidity wets honey instead of drying it, and the
// humidity at which this honey stays as it is. The line as in [EquilibriumWater], for
// honey of 13 to 25 %.
func Wets(w quantity.WaterPct, rh float64) (wets bool, still float64, err error) {
	if err := first(within("water", float64(w), 13, 25, "%"), withinPct("relative humidity", rh, 0, 1)); err != nil {
		return false, 0, err
	}
	still = activity0 + activityPerW*float64(w)
	return rh > still, still, nil
}

// The air's own figures at 35 °C, and the Lewis number of water vapour in it.
const airDensity, airHeat, lewis = 1.146, 1007.0, 0.85

// GasSide gives the most water that air can take off open honey, g/(m²·h):
//
//	n = hm·(aw·psat(Th)/TKh − RH·psat(Ta)/TKa)/461.52,   hm = h/(ρ·cp·Le^⅔)
//
// with film h in W/(m²·K) (5 to 10 still air, 10 to 25 fan). Range 13 to 25 %, 0 to
// 60 °C. The Lewis analogy of heat and mass (Incropera ch. 6, from memory), good to
// 20 % with the film known. It is the upper bound: honey's inside is slower
// ([OpenCell]). Negative: the honey takes up water.
func GasSide(w quantity.WaterPct, honey quantity.Celsius, room Air, film float64) (float64, error) {
	if err := first(within("water", float64(w), 13, 25, "%"), within("honey temperature", float64(honey), 0, 60, "°C"), room.check(), within("film", film, 0.1, 1000, "W/(m²·K)")); err != nil {
		return 0, err
	}
	aw := activity0 + activityPerW*float64(w)
	hm := film / (airDensity * airHeat * math.Pow(lewis, 2.0/3))
	drive := aw*saturation(float64(honey))/float64(honey.Kelvin()) - room.RH*saturation(float64(room.Temp))/float64(room.Temp.Kelvin())
	return 1000 * 3600 * hm * drive / vapourJ, nil
}

// WaterToRemove gives the kg of water that leave honey on its way from one water
// content to a lower one:
//
//	m = M·(W0 − W1)/(100 − W1)
//
// Range 0 to 100 t, 13 to 30 %. The balance of dry solids, exact.
func WaterToRemove(honeyKg float64, from, to quantity.WaterPct) (float64, error) {
	if err := first(within("honey", honeyKg, 0, 1e5, "kg"), within("water now", float64(from), 13, 30, "%"), within("water to reach", float64(to), 13, float64(from), "%")); err != nil {
		return 0, err
	}
	return honeyKg * float64(from-to) / (100 - float64(to)), nil
}
