package honey

import (
	"math"

	"combline/internal/quantity"
)

// A ColourClass is a class of the US grade standard, palest first.
type ColourClass uint8

const (
	ColourUnknown ColourClass = iota
	WaterWhite
	ExtraWhite
	White
	ExtraLightAmber
	LightAmber
	Amber
	DarkAmber
)

// String is the class as the standard writes it.
func (c ColourClass) String() string {
	return [...]string{"unknown", "Water White", "Extra White", "White", "Extra Light Amber",
		"Light Amber", "Amber", "Dark Amber"}[min(c, DarkAmber)]
}

// colourSteps are the upper ends of the classes but the last, included ("over 8 to
// and including 17"): mm Pfund, and optical density at 560 nm in the 3.15 cm cell.
var colourSteps = [...]struct{ pfund, od float64 }{
	{8, 0.0945}, {17, 0.189}, {34, 0.378}, {50, 0.595}, {85, 1.389}, {114, 3.008},
}

const (
	pfundLow, pfundHigh = 0.0, 140.0 // the grader's scale
	odLow, odHigh       = 0.0, 10.0
	scaleEnd            = 114.0 // mm; above it the standard gives no density
	scaleEndOD          = 3.008

	a635Zero, a635PerUnit = -38.70, 371.39
	a635High              = 0.48 // 140 mm
)

// ClassOfPfund gives the colour class of a reading in mm Pfund. Range 0 to 140.
// Source: US standards for grades of extracted honey, 1985, table 1. Some pages
// print the borders a millimetre off (9, 18, 35, 51, 86); the standard's wording
// rules.
func ClassOfPfund(p quantity.PfundMM) (ColourClass, error) {
	if !within(float64(p), pfundLow, pfundHigh) {
		return ColourUnknown, outside(InputPfund, float64(p), pfundLow, pfundHigh)
	}
	c := WaterWhite
	for _, s := range colourSteps {
		if float64(p) > s.pfund {
			c++
		}
	}
	return c, nil
}

// ClassOfOD gives the colour class of an optical density at 560 nm, 3.15 cm.
// Range 0 to 10. The same source.
func ClassOfOD(od float64) (ColourClass, error) {
	if !within(od, odLow, odHigh) {
		return ColourUnknown, outside(InputOD, od, odLow, odHigh)
	}
	c := WaterWhite
	for _, s := range colourSteps {
		if od > s.od {
			c++
		}
	}
	return c, nil
}

// PfundFromOD gives mm Pfund from the optical density at 560 nm in a 3.15 cm cell:
// linear in log10(OD) between the class limits of the grade standard, and 8·OD/0.0945
// below the first. Exact at the six limits. Range 0 to 3.008: darker honey is over
// 114 mm and has no figure, only the class of [ClassOfOD].
func PfundFromOD(od float64) (quantity.PfundMM, error) {
	if !within(od, odLow, scaleEndOD) {
		return 0, outside(InputOD, od, odLow, scaleEndOD)
	}
	low := colourSteps[0]
	if od <= low.od {
		return quantity.PfundMM(low.pfund * od / low.od), nil
	}
	for _, high := range colourSteps[1:] {
		if od <= high.od {
			x := math.Log(od/low.od) / math.Log(high.od/low.od)
			return quantity.PfundMM(low.pfund + x*(high.pfund-low.pfund)), nil
		}
		low = high
	}
	return scaleEnd, nil
}

// ODFromPfund is the inverse of [PfundFromOD]. Range 0 to 114 mm.
func ODFromPfund(p quantity.PfundMM) (float64, error) {
	x := float64(p)
	if !within(x, pfundLow, scaleEnd) {
		return 0, outside(InputPfund, x, pfundLow, scaleEnd)
	}
	low := colourSteps[0]
	if x <= low.pfund {
		return low.od * x / low.pfund, nil
	}
	for _, high := range colourSteps[1:] {
		if x <= high.pfund {
			return low.od * math.Pow(high.od/low.od, (x-low.pfund)/(high.pfund-low.pfund)), nil
		}
		low = high
	}
	return scaleEndOD, nil
}

// PfundFromA635 gives mm Pfund from the absorbance at 635 nm of honey diluted to
// 50 % by weight in volume, 1 cm:
//
//	Pfund = −38.70 + 371.39·A, at least 0
//
// Range 0 to 0.48. Source: White 1984 as used later (from memory). Another method
// than the optical density at 560 nm: never mix the two.
func PfundFromA635(a float64) (quantity.PfundMM, error) {
	if !within(a, 0, a635High) {
		return 0, outside(InputA635, a, 0, a635High)
	}
	return quantity.PfundMM(max(0, a635Zero+a635PerUnit*a)), nil
}
