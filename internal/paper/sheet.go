package paper

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

const ptPerMM = 72 / 25.4

// A Size is a sheet, in mm.
type Size struct{ Wide, High float64 }

// A4 sheets, upright and across.
var (
	A4       = Size{210, 297}
	A4Across = Size{297, 210}
)

// A sheet is a PDF that is being drawn. Measures are in mm from the upper left corner.
type sheet struct {
	*fpdf.Fpdf
	size          Size
	regular, bold *face
	undrawn       bool // a mark stands for a letter that the type does not have
}

// newSheet begins a PDF. Made goes into the file as its only time: the same content
// with the same time gives the same bytes.
func newSheet(size Size, title string, made time.Time) (*sheet, error) {
	if !(size.Wide >= 10 && size.Wide <= 1000 && size.High >= 10 && size.High <= 1000) {
		return nil, fmt.Errorf("a sheet of %g × %g mm can't be printed: 10 to 1000 mm each way", size.Wide, size.High)
	}
	regular, err := loadFace("regular")
	if err != nil {
		return nil, err
	}
	bold, err := loadFace("bold")
	if err != nil {
		return nil, err
	}
	s := &sheet{fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: size.Wide, Ht: size.High}}), size, regular, bold, false}
	s.AddUTF8FontFromBytes("plex", "", regular.ttf)
	s.AddUTF8FontFromBytes("plex", "B", bold.ttf)
	s.SetCatalogSort(true)
	s.SetCreationDate(made.UTC())
	s.SetModificationDate(made.UTC())
	s.SetTitle(title, true)
	s.SetProducer("Combline", true)
	s.SetAutoPageBreak(false, 0)
	s.SetMargins(0, 0, 0)
	s.SetCellMargin(0)
	return s, s.Error()
}

// type face and size in mm from base to base of a solid text.
func (s *sheet) font(bold bool, sizeMM float64) *face {
	f, style := s.regular, ""
	if bold {
		f, style = s.bold, "B"
	}
	s.SetFont("plex", style, sizeMM*ptPerMM)
	return f
}

// drawable is a text as the type can draw it, and notes where a mark stands for a letter.
func (s *sheet) drawable(f *face, text string) string {
	drawn := f.drawable(text)
	s.undrawn = s.undrawn || strings.ContainsRune(drawn, '¤') && !strings.ContainsRune(text, '¤')
	return drawn
}

// text draws one line whose base is at y; it gives its width.
func (s *sheet) text(x, y float64, bold bool, sizeMM float64, text string) float64 {
	text = s.drawable(s.font(bold, sizeMM), text)
	s.Text(x, y, text)
	return s.GetStringWidth(text)
}

// wide is how wide a line would be.
func (s *sheet) wide(bold bool, sizeMM float64, text string) float64 {
	return s.GetStringWidth(s.drawable(s.font(bold, sizeMM), text))
}

// lines parts a text so that no line is wider; a word that is too long is broken.
func (s *sheet) lines(bold bool, sizeMM, wide float64, text string) []string {
	text = s.drawable(s.font(bold, sizeMM), text)
	if text == "" {
		return nil
	}
	return s.SplitText(text, max(wide, sizeMM))
}

// bytes ends the PDF.
func (s *sheet) bytes() ([]byte, error) {
	var b bytes.Buffer
	if err := s.Output(&b); err != nil {
		return nil, fmt.Errorf("the paper can't be drawn: %w", err)
	}
	return b.Bytes(), nil
}
