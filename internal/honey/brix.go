package honey

import "combline/internal/quantity"

// A Brix reading in °Bx: the share of sucrose that would have this index.
type Brix float64

const (
	brixLow, brixHigh = 73.0, 85.0
	brixEnd           = 0.15 // honey of 13 % has 85.13 °Bx
	brixW0, brixW1    = 100.656, 1.02964
)

// BrixFromIndex gives the reading of a sucrose scale from the index n at 20 °C:
//
//	Bx = ((((11758.74·n − 88885.21)·n + 270177.93)·n − 413145.80)·n + 318417.95)·n − 99127.4536
//
// Range 1.4740 to 1.5044. It runs 0.025 °Bx below the ICUMSA sucrose table of
// 1974 throughout (compared from memory at 75, 80 and 85): it was made for the older
// table. The polynomial cancels heavily and needs its full precision.
func BrixFromIndex(n float64) (Brix, error) {
	if !within(n, indexLow, indexHigh) {
		return 0, outside(InputIndex, n, indexLow, indexHigh)
	}
	return Brix(((((11758.74*n-88885.21)*n+270177.93)*n-413145.80)*n+318417.95)*n - 99127.4536), nil
}

// WaterFromBrix gives honey's water from a Brix reading at 20 °C (or of an
// instrument that corrects itself):
//
//	W = 100.656 − 1.02964·Bx
//
// Range 73 to 85 °Bx. Fitted through [BrixFromIndex] and [WaterFromIndex], at
// most 0.022 points from the two. Honey is not sucrose: 100 − Bx is 1.6 to 1.9
// points above the water.
func WaterFromBrix(b Brix) (quantity.WaterPct, error) {
	if !within(float64(b), brixLow, brixHigh+brixEnd) {
		return 0, outside(InputBrix, float64(b), brixLow, brixHigh)
	}
	return quantity.WaterPct(brixW0 - brixW1*float64(b)), nil
}

// BrixFromWater is the inverse of [WaterFromBrix]. Range 13 to 25 %.
func BrixFromWater(w quantity.WaterPct) (Brix, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	return Brix((brixW0 - float64(w)) / brixW1), nil
}
