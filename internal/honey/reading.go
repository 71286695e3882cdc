package honey

import (
	"math"

	"combline/internal/quantity"
)

// Correction says whether a refractometer corrects for temperature itself. Ask:
// a wrong guess on honey at 27 °C is 0.6 points of water.
type Correction uint8

const (
	CorrectionNotKnown Correction = iota // nobody said: the doubt grows
	CorrectsItself
	CorrectsNothing
)

// Standard uncertainties of what a honey house measures with. A typed "±x" is
// two standard uncertainties. The errors are those usual in the trade (common
// practice, no source), the diastase figure from the spread of the assay.
const (
	WaterGoodHandsSD = 0.1    // points; a handheld refractometer, ±0.2 in good hands
	WaterCarelessSD  = 0.375  // points; the same, ±0.5 to 1.0 with bubbles, grains or no setting
	ColourMeterSD    = 1.0    // mm Pfund; a photometer, ±2 at 80 mm
	ColourByEyeSD    = 2.5    // mm Pfund; a comparator by eye, ±5
	ConductivitySD   = 0.0175 // share of the reading; ±2 to 5 %
	ThermometerSD    = 0.375  // °C; a probe, ±0.5 to 1
	HumiditySD       = 2.0    // points of relative humidity; a logger, ±3 to 5
	DiastaseSD       = 0.125  // share of the reading; the assay repeats to 20 to 30 %

	// indexSlopeSD is the doubt of the 0.00023 per °C, as a share of it: the
	// nearest published slopes lie 9 and 22 % lower.
	indexSlopeSD = 0.1
)

// A WaterReading is a water content with its standard uncertainty, in points.
type WaterReading struct {
	Water quantity.WaterPct
	SD    float64
}

// Band is what nine readings in ten would allow.
func (r WaterReading) Band() Band[quantity.WaterPct] {
	return plusMinus(r.Water, quantity.WaterPct(NineInTen*r.SD))
}

// ReadWater makes a reading out of what a refractometer showed on honey at
// temperature t. sd is the instrument's own doubt ([WaterGoodHandsSD] if nothing
// better is known).
//
//   - An instrument that corrects itself is taken as read, once prism and honey
//     have shared a temperature for some minutes; t is not used and may be 0.
//   - One that corrects nothing is corrected by [WaterAt20]; a tenth of the
//     correction and the thermometer's error are added to the doubt.
//   - Where that is not known, both are as likely: the middle of the two is
//     given, and half their distance is added to the doubt.
func ReadWater(shown quantity.WaterPct, t quantity.Celsius, c Correction, sd float64) (WaterReading, error) {
	if err := checkWater(shown, waterLow, waterHigh); err != nil {
		return WaterReading{}, err
	}
	if !within(sd, 0, 5) {
		return WaterReading{}, outside(InputDoubt, sd, 0, 5)
	}
	if c == CorrectsItself {
		return WaterReading{shown, sd}, nil
	}
	at20, err := WaterAt20(shown, t)
	if err != nil {
		return WaterReading{}, err
	}
	gap := math.Abs(float64(shown - at20))
	perC := 0.091 // points of water per °C, near enough for a doubt
	correction := root2(gap*indexSlopeSD, ThermometerSD*perC)
	if c == CorrectsNothing {
		return WaterReading{at20, root2(sd, correction)}, nil
	}
	return WaterReading{(shown + at20) / 2, root2(sd, root2(gap/2, correction/2))}, nil
}
