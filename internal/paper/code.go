package paper

import (
	"fmt"
	"image/color"
	"strings"

	"combline/internal/gs1"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/code128"
	"github.com/boombuler/barcode/datamatrix"
	"github.com/boombuler/barcode/ean"
	"github.com/boombuler/barcode/qr"
)

// A Code is a bar code as modules: dark is true. A code of bars has one row.
type Code struct {
	Rows  [][]bool
	Quiet int // modules that must stay white on each side
	Print string
}

// Bars makes a GS1-128 code of the elements. Source: GS1 General Specifications,
// section 5.4: FNC1 first, and after a value of variable length; quiet zone 10 modules;
// at most 48 characters.
func Bars(es gs1.Elements) (Code, error) {
	if err := es.Check(); err != nil {
		return Code{}, err
	}
	return bars(es)
}

// bars makes one row of a label whose rows were checked together.
func bars(es gs1.Elements) (Code, error) {
	data := es.String()
	if n := len(strings.ReplaceAll(data, gs1.Separator, "")); n > 48 {
		return Code{}, fmt.Errorf("%s has %d characters; bars carry at most 48: use a square code or two rows", es.Print(), n)
	}
	b, err := code128.Encode(string(code128.FNC1) + strings.ReplaceAll(data, gs1.Separator, string(code128.FNC1)))
	if err != nil {
		return Code{}, fmt.Errorf("%s can't be drawn as bars: %w", es.Print(), err)
	}
	return Code{modules(b), 10, es.Print()}, nil
}

// Retail makes the EAN-13 or EAN-8 code that a till reads from the number of a jar.
// Source: GS1 General Specifications, section 5.2; quiet zone 11 modules.
func Retail(number string) (Code, error) {
	item, err := gs1.Item(number)
	if err != nil {
		return Code{}, err
	}
	digits := strings.TrimPrefix(item.Value, "0")
	if len(number) == 8 {
		digits = number
	}
	if len(digits) == 14 {
		return Code{}, fmt.Errorf("%s is a case's number; a till reads a jar's", number)
	}
	b, err := ean.Encode(digits)
	if err != nil {
		return Code{}, fmt.Errorf("%s can't be drawn for a till: %w", number, err)
	}
	return Code{modules(b), 11, digits}, nil
}

// Square makes a GS1 DataMatrix code of the elements. Source: GS1 General
// Specifications, section 5.6: FNC1 first; quiet zone 1 module.
func Square(es gs1.Elements) (Code, error) {
	if err := es.Check(); err != nil {
		return Code{}, err
	}
	fnc1 := string([]byte{datamatrix.FNC1})
	b, err := datamatrix.Encode(fnc1 + strings.ReplaceAll(es.String(), gs1.Separator, fnc1))
	if err != nil {
		return Code{}, fmt.Errorf("%s can't be drawn as a square code: %w", es.Print(), err)
	}
	return Code{modules(b), 1, es.Print()}, nil
}

// Link makes a QR code of the elements' Digital Link address under a domain, for a
// customer's telephone. Source: ISO/IEC 18004, quiet zone 4 modules; level M.
func Link(es gs1.Elements, domain string) (Code, error) {
	address, err := es.Link(domain)
	if err != nil {
		return Code{}, err
	}
	return Address(address)
}

// Address makes a QR code of any address.
func Address(address string) (Code, error) {
	b, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return Code{}, fmt.Errorf("%q can't be drawn as a square code: %w", address, err)
	}
	return Code{modules(b), 4, address}, nil
}

func modules(b barcode.Barcode) [][]bool {
	r := b.Bounds()
	rows := make([][]bool, r.Dy())
	for y := range rows {
		rows[y] = make([]bool, r.Dx())
		for x := range rows[y] {
			g := color.GrayModel.Convert(b.At(r.Min.X+x, r.Min.Y+y)).(color.Gray)
			rows[y][x] = g.Y < 128
		}
	}
	return rows
}

// wide is the code's width with its quiet zones, in mm.
func (c Code) wide(module float64) float64 { return float64(len(c.Rows[0])+2*c.Quiet) * module }

// high is a square code's height with its quiet zones.
func (c Code) high(module float64) float64 { return float64(len(c.Rows)+2*c.Quiet) * module }

// draw puts the code with its quiet zones' corner at x, y. Bars have the height given;
// a square code its own.
func (s *sheet) draw(c Code, x, y, module, barHigh float64) {
	s.SetFillColor(0, 0, 0)
	if len(c.Rows) == 1 {
		s.runs(c.Rows[0], x+float64(c.Quiet)*module, y, module, barHigh)
		return
	}
	for i, row := range c.Rows {
		s.runs(row, x+float64(c.Quiet)*module, y+float64(c.Quiet+i)*module, module, module)
	}
}

// runs draws neighbouring dark modules as one, so that no hair line parts them.
func (s *sheet) runs(row []bool, x, y, module, high float64) {
	for i := 0; i < len(row); i++ {
		if !row[i] {
			continue
		}
		from := i
		for i < len(row) && row[i] {
			i++
		}
		s.Rect(x+float64(from)*module, y, float64(i-from)*module, high, "F")
	}
}
