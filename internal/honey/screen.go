package honey

import (
	"math"

	"combline/internal/quantity"
)

// An RGB is a colour for a screen, 8 bits a channel, sRGB.
type RGB struct{ R, G, B uint8 }

const (
	// caramelSlope is how fast absorbance falls with wavelength, per nm. Caramel's
	// is a straight line on a log scale; a hue index (Linner) of 5, the middle of
	// its usual 3 to 7.5, is this slope. The grade standard's colours are caramel
	// in glycerin.
	caramelSlope = 0.5 * math.Ln10 / 100
	// screenLayer is the layer shown, as a share of the standard's 3.15 cm cell:
	// 1 cm, as on a slanted spoon. The whole cell would show every dark honey black.
	screenLayer = 1 / 3.15
)

// ScreenColour gives a colour to paint a swatch of honey with on a page. It is for
// display only, reckoned and not measured: the optical density at 560 nm of the
// Pfund reading ([ODFromPfund]; carried on along its last slope above 114 mm), a
// caramel's straight absorption spectrum through it, 1 cm of that against white,
// seen by the CIE 1931 observer (the fit of Wyman, Sloan and Shirley 2013, from
// memory) and turned into sRGB (IEC 61966-2-1). Darker honey is always darker and
// redder on the page, but never grade by it. Range 0 to 140 mm.
func ScreenColour(p quantity.PfundMM) (RGB, error) {
	if !within(float64(p), pfundLow, pfundHigh) {
		return RGB{}, outside(InputPfund, float64(p), pfundLow, pfundHigh)
	}
	x, y, z := seen(screenOD(float64(p)) * screenLayer)
	return RGB{
		R: channel(3.2406*x - 1.5372*y - 0.4986*z),
		G: channel(-0.9689*x + 1.8758*y + 0.0415*z),
		B: channel(0.0557*x - 0.2040*y + 1.0570*z),
	}, nil
}

func screenOD(p float64) float64 {
	if p <= scaleEnd {
		od, _ := ODFromPfund(quantity.PfundMM(p)) // in range
		return od
	}
	last, before := colourSteps[len(colourSteps)-1], colourSteps[len(colourSteps)-2]
	return last.od * math.Pow(last.od/before.od, (p-last.pfund)/(last.pfund-before.pfund))
}

// seen gives the tristimulus values of white daylight (D65) through a layer of
// optical density od560 at 560 nm.
func seen(od560 float64) (x, y, z float64) {
	var sx, sy, sz float64
	for nm := 380.0; nm <= 780; nm += 5 {
		through := math.Pow(10, -od560*math.Exp(-caramelSlope*(nm-560)))
		cx, cy, cz := observer(nm)
		x, y, z = x+cx*through, y+cy*through, z+cz*through
		sx, sy, sz = sx+cx, sy+cy, sz+cz
	}
	return 0.9505 * x / sx, y / sy, 1.0890 * z / sz
}

// observer gives the CIE 1931 colour matching functions at a wavelength in nm.
func observer(nm float64) (x, y, z float64) {
	x = 1.056*lobe(nm, 599.8, 37.9, 31.0) + 0.362*lobe(nm, 442.0, 16.0, 26.7) - 0.065*lobe(nm, 501.1, 20.4, 26.2)
	y = 0.821*lobe(nm, 568.8, 46.9, 40.5) + 0.286*lobe(nm, 530.9, 16.3, 31.1)
	z = 1.217*lobe(nm, 437.0, 11.8, 36.0) + 0.681*lobe(nm, 459.0, 26.0, 13.8)
	return x, y, z
}

func lobe(nm, middle, left, right float64) float64 {
	width := right
	if nm < middle {
		width = left
	}
	d := (nm - middle) / width
	return math.Exp(-d * d / 2)
}

// channel applies sRGB's transfer curve.
func channel(v float64) uint8 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * v))
}
