package standard

import "math"

// badFloats are what no figure may be, with the table's own neighbours.
func badFloats(below, above float64) []float64 {
	return []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, below, above}
}
