package honey

import "math"

// A Band is what is likely and how far it may be off: nine honeys in ten lie
// between Low and High, as far as the published spread tells. All three are in
// the unit of T.
type Band[T ~float64] struct{ Low, Likely, High T }

// NineInTen is how many standard uncertainties each side hold 9 cases in 10 of
// a normal spread.
const NineInTen = 1.6448536269514722

// plusMinus is the band x ± d.
func plusMinus[T ~float64](x, d T) Band[T] { return Band[T]{x - d, x, x + d} }

// timesOver is the band from x/over to x·over.
func timesOver[T ~float64](x, over T) Band[T] { return Band[T]{x / over, x, x * over} }

// root2 adds two independent standard uncertainties.
func root2(a, b float64) float64 { return math.Sqrt(a*a + b*b) }
