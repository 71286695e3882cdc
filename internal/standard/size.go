package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// FigureHeightMM gives the least height, in mm, of the figures of the net
// quantity: 6 above 1000 g, 4 above 200 g, 3 above 50 g, else 2; the upper end
// of each band belongs to it. Valid for any label; exact. eu, de: Directive
// 76/211/EEC Annex I 3.1, sides as in the French arrete of 20 Oct 1978 art. 2
// (read); uk: the same figures (memory).
func FigureHeightMM(r Rules, label quantity.Milligram) (int, Cite, error) {
	c := Cite{EUFigures, "Annex I 3.1", Read}
	switch r {
	case EU, DE:
	case UK:
		c = Cite{UKFigures, "heights as Directive 76/211/EEC Annex I 3.1", Memory}
	default:
		return 0, Cite{}, noRule(r, "height of figures by mass", "us goes by the area of the display panel")
	}
	switch {
	case label <= 0 || label > massLimit:
		return 0, Cite{}, fmt.Errorf("label %g g, want above 0 g to %g g: %w", grams(label), grams(massLimit), ErrOutOfRange)
	case label > 1*kg:
		return 6, c, nil
	case label > 200*g:
		return 4, c, nil
	case label > 50*g:
		return 3, c, nil
	}
	return 2, c, nil
}

// EMarkHeightMM is the least height of the e mark, for labels of 5 g to 10 kg:
// Directive 76/211/EEC Annex I 3.3 (read).
func EMarkHeightMM(label quantity.Milligram) (int, Cite, error) {
	if label < 5*g || label > 10*kg {
		return 0, Cite{}, fmt.Errorf("label %g g, the e mark is for 5 g to 10000 g: %w", grams(label), ErrOutOfRange)
	}
	return 3, Cite{EUFigures, "Annex I 3.3", Read}, nil
}

// XHeightMM gives the least height of a small x on a label by the largest
// surface in cm²: 1.2 mm, below 80 cm² 0.9 mm. Source: Regulation (EU)
// 1169/2011 art. 13(2), (3) and Annex IV (read).
func XHeightMM(largestCM2 float64) (float64, Cite, error) {
	if err := checkArea(largestCM2, "cm²"); err != nil {
		return 0, Cite{}, err
	}
	if largestCM2 < 80 {
		return 0.9, Cite{EULabels, "art. 13(3)", Read}, nil
	}
	return 1.2, Cite{EULabels, "art. 13(2), Annex IV", Read}, nil
}

// A Sixteenth is a sixteenth of an inch.
type Sixteenth int

// Inches returns s in inches.
func (s Sixteenth) Inches() float64 { return float64(s) / 16 }

// TypeHeight gives the least height of the US net contents by the area of the
// principal display panel in square inches: 1/16 in up to 5, 1/8 up to 25, 3/16
// up to 100, 1/4 up to 400, 1/2 above. Source: 21 CFR 101.7(i), 16 CFR
// 500.21(b) (memory).
func TypeHeight(panelSqIn float64) (Sixteenth, Cite, error) {
	if err := checkArea(panelSqIn, "sq in"); err != nil {
		return 0, Cite{}, err
	}
	c := Cite{USLabels, "21 CFR 101.7(i)", Memory}
	switch {
	case panelSqIn <= 5:
		return 1, c, nil
	case panelSqIn <= 25:
		return 2, c, nil
	case panelSqIn <= 100:
		return 3, c, nil
	case panelSqIn <= 400:
		return 4, c, nil
	}
	return 8, c, nil
}

// Panel is the shape of a pack, for its principal display panel.
type Panel uint8

const (
	Rectangular Panel = iota // one side: height × width
	Round                    // 40 % of height × circumference, without shoulder and neck
	OtherShape               // 40 % of the whole surface, given as height × width
)

// PanelArea gives the area of the principal display panel from its height and
// its width, or the circumference of a round jar, in the same length unit.
// Source: 21 CFR 101.1(a) to (c), 16 CFR 500.21(a) (read).
func PanelArea(p Panel, height, width float64) (float64, Cite, error) {
	if p > OtherShape {
		return 0, Cite{}, fmt.Errorf("shape %d, want rectangular, round or other", p)
	}
	area := height * width
	if !(height > 0 && width > 0) || math.IsInf(area, 0) {
		return 0, Cite{}, fmt.Errorf("panel %g × %g, want both above 0: %w", height, width, ErrOutOfRange)
	}
	if p != Rectangular {
		area *= 0.40
	}
	return area, Cite{USLabels, "21 CFR 101.1(a)-(c)", Read}, nil
}

func checkArea(a float64, unit string) error {
	if !(a > 0 && a <= 1e6) {
		return fmt.Errorf("area %g %s, want above 0 to 1000000: %w", a, unit, ErrOutOfRange)
	}
	return nil
}

// LotNeeded reports whether a pack needs a lot mark: not if its date of
// durability is printed uncoded with at least day and month, and not on a pack
// whose largest side is under 10 cm² (it goes on the bulk pack then). Source:
// Directive 2011/91/EU art. 2, 5 (read).
func LotNeeded(dayAndMonthPrinted bool, largestCM2 float64) (bool, Cite, error) {
	if err := checkArea(largestCM2, "cm²"); err != nil {
		return false, Cite{}, err
	}
	return !dayAndMonthPrinted && largestCM2 >= 10, Cite{EULotAndDate, "Directive 2011/91/EU art. 2, 5", Read}, nil
}

// DatePrecision is how fine a best-before date must be.
type DatePrecision uint8

const (
	DayAndMonth  DatePrecision = iota // "best before"
	MonthAndYear                      // "best before end"
	YearOnly                          // "best before end"
)

// DatePrecisionOf gives how fine the date must be for goods that keep so many
// months: up to 3 day and month, up to 18 month and year, above the year alone.
// Source: Regulation (EU) 1169/2011 Annex X 1(c) (read).
func DatePrecisionOf(keepsMonths float64) (DatePrecision, Cite, error) {
	c := Cite{EULotAndDate, "Annex X 1(c)", Read}
	switch {
	case !(keepsMonths > 0 && keepsMonths <= 1200):
		return 0, Cite{}, fmt.Errorf("keeps %g months, want above 0 to 1200: %w", keepsMonths, ErrOutOfRange)
	case keepsMonths <= 3:
		return DayAndMonth, c, nil
	case keepsMonths <= 18:
		return MonthAndYear, c, nil
	}
	return YearOnly, c, nil
}
