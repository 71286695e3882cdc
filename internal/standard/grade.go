package standard

import (
	"fmt"

	"combline/internal/quantity"
)

// Grade is a US grade of extracted honey. It is voluntary, and colour is no
// part of it.
type Grade uint8

const (
	GradeNotSaid Grade = iota
	GradeA
	GradeB
	GradeC
	Substandard
)

var gradeNames = [...]string{"not said", "A", "B", "C", "substandard"}

func (g Grade) String() string {
	if int(g) >= len(gradeNames) {
		return gradeNames[GradeNotSaid]
	}
	return gradeNames[g]
}

// gradeRow: the score runs from this one to under the next better grade's.
type gradeRow struct {
	moisture, solids, score float64
	place                   string
}

var grades = [...]gradeRow{
	GradeA: {18.6, 81.4, 90, "grade A"},
	GradeB: {18.6, 81.4, 80, "grade B"},
	GradeC: {20.0, 80.0, 70, "grade C"},
}

func gradeLimit(p Property, g Grade) (Limit, error) {
	if g < GradeA || g > GradeC {
		return Limit{}, fmt.Errorf("us grade %s: name grade A, B or C: %w", g, ErrNoRule)
	}
	l := Limit{Property: p, Cite: Cite{USGrades, grades[g].place, Read}}
	switch row := grades[g]; p {
	case Moisture:
		l.Bound, l.Value = Max, row.moisture
	case SolubleSolids:
		l.Bound, l.Value, l.Cite.Got = Min, row.solids, Memory
	case Score:
		l.Bound, l.Value = Min, row.score
	default:
		return Limit{}, noRule(US, "limit on "+p.String(), "the grades know moisture, soluble solids and score; choose eu or codex")
	}
	return l, nil
}

// GradeOf gives the best US grade that moisture (%) and total score (points, 0
// to 100) allow: A from 90 and B from 80, both up to 18.6 %; C from 70 up to
// 20.0 %; else substandard. Source: USDA standards for grades of extracted
// honey, 1985 (read).
func GradeOf(moisture quantity.WaterPct, score float64) (Grade, Cite, error) {
	c := Cite{USGrades, "grades", Read}
	if err := Moisture.checkReading(float64(moisture)); err != nil {
		return GradeNotSaid, c, err
	}
	if err := Score.checkReading(score); err != nil {
		return GradeNotSaid, c, err
	}
	for g := GradeA; g <= GradeC; g++ {
		if float64(moisture) <= grades[g].moisture && score >= grades[g].score {
			return g, c, nil
		}
	}
	return Substandard, c, nil
}

// Colour is a US colour class.
type Colour uint8

const (
	ColourNotSaid Colour = iota
	WaterWhite
	ExtraWhite
	White
	ExtraLightAmber
	LightAmber
	Amber
	DarkAmber
)

var colourNames = [...]string{"not said", "Water White", "Extra White", "White", "Extra Light Amber", "Light Amber", "Amber", "Dark Amber"}

func (c Colour) String() string {
	if int(c) >= len(colourNames) {
		return colourNames[ColourNotSaid]
	}
	return colourNames[c]
}

// colourEnds are the upper ends, inclusive, of the classes before dark amber.
var colourEnds = [...]struct{ pfund, density float64 }{
	WaterWhite: {8, 0.0945}, ExtraWhite: {17, 0.189}, White: {34, 0.378}, ExtraLightAmber: {50, 0.595},
	LightAmber: {85, 1.389}, Amber: {114, 3.008},
}

var colourTable = Cite{USGrades, "table 1", Read}

// ColourOf gives the class of a honey on the Pfund scale (mm, 0 or more), upper
// ends inclusive. Source: USDA standards for grades of extracted honey, 1985,
// table 1 (read).
func ColourOf(pfund quantity.PfundMM) (Colour, Cite, error) {
	if !(pfund >= 0 && pfund <= 1000) {
		return ColourNotSaid, colourTable, fmt.Errorf("colour %g mm, want 0 mm to 1000 mm: %w", float64(pfund), ErrOutOfRange)
	}
	for c := WaterWhite; c < DarkAmber; c++ {
		if float64(pfund) <= colourEnds[c].pfund {
			return c, colourTable, nil
		}
	}
	return DarkAmber, colourTable, nil
}

// ColourOfDensity gives the class by the optical density at 560 nm over 3.15 cm
// against caramel and glycerin, upper ends inclusive. Source: as [ColourOf].
func ColourOfDensity(density float64) (Colour, Cite, error) {
	if !(density >= 0 && density <= 100) {
		return ColourNotSaid, colourTable, fmt.Errorf("optical density %g, want 0 to 100: %w", density, ErrOutOfRange)
	}
	for c := WaterWhite; c < DarkAmber; c++ {
		if density <= colourEnds[c].density {
			return c, colourTable, nil
		}
	}
	return DarkAmber, colourTable, nil
}
