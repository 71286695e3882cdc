package honey

import (
	"math"

	"combline/internal/quantity"
)

// The index scale of honey. Its published table runs from 1.5044 (13.0 %) to
// 1.4740 (25.0 %), printed to four decimals; one unit of the last is 0.02 %.
const (
	indexLow, indexHigh = 1.4740, 1.5044
	waterLow, waterHigh = 13.0, 25.0
	// The table's end rows reckon to 12.985 and 25.022 %: what the index model
	// gives, a model that goes to the same end must take. Ends that are a model's
	// own have no such room.
	waterEnds = 0.025

	wedmoreA = -0.2681
	wedmoreB = 0.002243

	// IndexPerC is by how much honey's refractive index falls per °C.
	IndexPerC = 0.00023
	// The correction is linear; 60 °C is as far as a neighbouring liquid
	// (glucose syrup) was tabulated.
	indexTempLow, indexTempHigh = 5.0, 60.0
)

// WaterFromIndex gives the water of liquid honey from its refractive index n at
// 20 °C (sodium D line), by Wedmore's fit to Chataway's table
//
//	W = (−0.2681 − log10(n − 1)) / 0.002243
//
// Range 1.4740 ≤ n ≤ 1.5044 (25.0 down to 13.0 %). Within 0.022 points of every
// row of the published table, which is the rounding of its four decimals.
// Source: Chataway 1932; Wedmore, Bee World 36(11), 1955; the same table stands
// in AOAC 969.38 and the harmonised methods. Crystals must be melted first, in
// a closed vessel.
func WaterFromIndex(n float64) (quantity.WaterPct, error) {
	if !within(n, indexLow, indexHigh) {
		return 0, outside(InputIndex, n, indexLow, indexHigh)
	}
	return waterOfIndex(n), nil
}

func waterOfIndex(n float64) quantity.WaterPct {
	return quantity.WaterPct((wedmoreA - math.Log10(n-1)) / wedmoreB)
}

// WaterFromIndexAt gives the water from an index read at temperature t by an
// instrument that corrects nothing: n is first brought to 20 °C,
//
//	n20 = n + 0.00023·(T − 20)
//
// Range 5 to 60 °C, and n20 as in [WaterFromIndex]. The slope is from the
// harmonised honey methods; ISO 1743 has 0.00018 to 0.00021 for glucose syrup of
// 60 % solids, so a correction is good to about 10 %.
// Never use it on an instrument that corrects itself.
func WaterFromIndexAt(n float64, t quantity.Celsius) (quantity.WaterPct, error) {
	if !within(float64(t), indexTempLow, indexTempHigh) {
		return 0, outside(InputTemperature, float64(t), indexTempLow, indexTempHigh)
	}
	return WaterFromIndex(n + IndexPerC*(float64(t)-20))
}

// IndexFromWater is the inverse of [WaterFromIndex]: n = 1 + 10^(−0.2681 − 0.002243·W).
// Range 13 to 25 %; the same source and accuracy (0.0001 of n).
func IndexFromWater(w quantity.WaterPct) (float64, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	return indexOfWater(w), nil
}

func indexOfWater(w quantity.WaterPct) float64 {
	return 1 + math.Pow(10, wedmoreA-wedmoreB*float64(w))
}

// WaterAt20 corrects a water reading w (in %, not an index) that an instrument
// without correction showed on honey at temperature t. It goes back to the index
// that was seen, brings that to 20 °C as [WaterFromIndexAt] does, and forward
// again; near 18 % it takes off 0.091 points per °C above 20. Range: 5 to 60 °C,
// 13 to 25 % before and after.
func WaterAt20(w quantity.WaterPct, t quantity.Celsius) (quantity.WaterPct, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	return WaterFromIndexAt(indexOfWater(w), t)
}

func checkWater(w quantity.WaterPct, low, high float64) error {
	least, most := low, high
	if low == waterLow {
		least -= waterEnds
	}
	if high == waterHigh {
		most += waterEnds
	}
	if !within(float64(w), least, most) {
		return outside(InputWater, float64(w), low, high)
	}
	return nil
}

func checkTemp(t quantity.Celsius, low, high float64) error {
	if !within(float64(t), low, high) {
		return outside(InputTemperature, float64(t), low, high)
	}
	return nil
}
