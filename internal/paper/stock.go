package paper

import "fmt"

// A Stock is what labels are printed on: one label a sheet from a roll, or a sheet of
// several in rows and columns, such as A4.
type Stock struct {
	Sheet        Size
	Label        Size
	Across, Down int
	Left, Top    float64 // of the first label, mm
	PitchX       float64 // from label to label; 0: side by side
	PitchY       float64
	Margin       float64 // kept white within each label
}

// Roll is a stock of single labels.
func Roll(wide, high float64) Stock {
	return Stock{Sheet: Size{wide, high}, Label: Size{wide, high}, Across: 1, Down: 1, Margin: 2}
}

// OnA4 is a sheet of equal labels without space between.
func OnA4(across, down int) Stock {
	return Stock{Sheet: A4, Label: Size{A4.Wide / float64(max(across, 1)), A4.High / float64(max(down, 1))}, Across: across, Down: down, Margin: 5}
}

// check refuses labels that don't fit on their sheet.
func (s Stock) check() error {
	x, y := s.at(s.Across-1, s.Down-1)
	const slack = 0.01
	if s.Across < 1 || s.Down < 1 || s.Across*s.Down > 1000 || s.Left < 0 || s.Top < 0 || s.Margin < 0 ||
		x+s.Label.Wide > s.Sheet.Wide+slack || y+s.Label.High > s.Sheet.High+slack {
		return fmt.Errorf("%d × %d labels of %g × %g mm don't fit on a sheet of %g × %g mm", s.Across, s.Down, s.Label.Wide, s.Label.High, s.Sheet.Wide, s.Sheet.High)
	}
	return nil
}

// at is the corner of a label.
func (s Stock) at(column, row int) (x, y float64) {
	px, py := s.PitchX, s.PitchY
	if px == 0 {
		px = s.Label.Wide
	}
	if py == 0 {
		py = s.Label.High
	}
	return s.Left + float64(column)*px, s.Top + float64(row)*py
}
