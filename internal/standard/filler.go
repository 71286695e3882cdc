package standard

import (
	"fmt"

	"combline/internal/quantity"
)

// fillerBands: in class X(1), thousandths of a per cent of the fill or a fixed
// mass, at verification and in service. R 61's figures are those of the
// tolerable shortage in service, and seven tenths of them at verification.
var fillerBands = [...]struct {
	upTo                quantity.Milligram // inclusive; 0: open
	initial, inService  int64              // thousandths of a per cent
	initialAt, serviced quantity.Milligram // fixed
}{
	{50 * g, 6300, 9000, 0, 0},
	{100 * g, 0, 0, 3150, 4500},
	{200 * g, 3150, 4500, 0, 0},
	{300 * g, 0, 0, 6300, 9000},
	{500 * g, 2100, 3000, 0, 0},
	{1 * kg, 0, 0, 10_500, 15_000},
	{10 * kg, 1050, 1500, 0, 0},
	{15 * kg, 0, 0, 105_000, 150_000},
	{0, 700, 1000, 0, 0},
}

// A FillerError is how far one fill of a gravimetric filling machine may lie
// from the mean of its fills, in grams.
type FillerError struct {
	InitialG, InServiceG float64
	PresetG              float64 // the most its setting may err
	Cite                 Cite
}

// FillerErrorOf gives a filling machine's permissible deviations for a fill and
// the factor x of its class X(x), 0 < x ≤ 100. The setting may err a quarter of
// the deviation in service. Bands include their upper ends; a double's
// precision. Source: UK SI 2000/388 Sch. 5 table 1 = OIML R 61 (read).
func FillerErrorOf(fill quantity.Milligram, x float64) (FillerError, error) {
	if fill <= 0 || fill > massLimit {
		return FillerError{}, fmt.Errorf("fill %g g, want above 0 g to %g g: %w", grams(fill), grams(massLimit), ErrOutOfRange)
	}
	if !(x > 0 && x <= 100) {
		return FillerError{}, fmt.Errorf("class factor %g, want above 0 to 100: %w", x, ErrOutOfRange)
	}
	a := FillerError{Cite: Cite{OIMLFillers, "Sch. 5 table 1", Read}}
	for i := range fillerBands {
		if b := &fillerBands[i]; b.upTo == 0 || fill <= b.upTo {
			a.InitialG = x * (grams(b.initialAt) + float64(int64(fill)*b.initial)/1e8)
			a.InServiceG = x * (grams(b.serviced) + float64(int64(fill)*b.inService)/1e8)
			break
		}
	}
	a.PresetG = a.InServiceG / 4
	return a, nil
}
