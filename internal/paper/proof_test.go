package paper

import (
	"bytes"
	"strings"
	"testing"

	"combline/internal/gs1"
	"combline/internal/quantity"
	"combline/internal/words"
)

// A proof says across itself that it is none to sell, in each language; the same label
// without the mark does not, and the same proof is the same file.
func TestProofIsMarked(t *testing.T) {
	built(t)
	for l, want := range map[words.Lang]string{"en": "PROOF – NOT FOR SALE", "es": "PRUEBA – NO APTA PARA LA VENTA", "pl": "PRÓBA – NIE DO SPRZEDAŻY"} {
		j := jar(t, 340_000)
		plain, err := Labels(catalogue(t, l), Roll(90, 60), j, made)
		if err != nil {
			t.Fatal(err)
		}
		j.Proof, j.Count = true, 2
		proof, err := Labels(catalogue(t, l), Roll(90, 60), j, made)
		if err != nil {
			t.Fatal(err)
		}
		if l == "pl" {
			again, err := Labels(catalogue(t, l), Roll(90, 60), j, made)
			if err != nil || !bytes.Equal(proof, again) {
				t.Errorf("the same proof differs: %v", err)
			}
		}
		squeeze := func(pdf []byte) string {
			return strings.Join(strings.Fields(tool(t, "pdftotext", "-raw", written(t, pdf), "-")), " ")
		}
		if n := strings.Count(squeeze(proof), want); n != 2 {
			t.Errorf("%s: %q stands on %d labels of 2: %q", l, want, n, squeeze(proof))
		}
		if strings.Contains(squeeze(plain), want) {
			t.Errorf("%s: a label to sell bears %q", l, want)
		}
	}
}

// The picture on the screen has the lay-out of the file: a path for each line of text and
// each code, and no sign that could break the page.
func TestPicture(t *testing.T) {
	built(t)
	j := jar(t, 340_000)
	svg, err := Picture(catalogue(t, "pl"), Roll(90, 60), j, `R3-A "<b>"`)
	if err != nil {
		t.Fatal(err)
	}
	s, err := newSheet(Size{90, 60}, "label", made)
	if err != nil {
		t.Fatal(err)
	}
	s.AddPage()
	d, err := s.design(catalogue(t, "pl"), Roll(90, 60), j)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := bytes.Count(svg, []byte("<path ")), len(d.lines)+len(d.codes); got != want {
		t.Errorf("%d paths for %d lines and %d codes", got, len(d.lines), len(d.codes))
	}
	if bytes.Contains(svg, []byte("<b>")) || bytes.Contains(svg, []byte("style=")) || bytes.Contains(svg, []byte("NaN")) {
		t.Errorf("a sign breaks the page: %.200s", svg)
	}
	if _, err := Picture(catalogue(t, "pl"), Roll(30, 20), j, "x"); err == nil {
		t.Error("a label that does not fit is drawn")
	}
}

// drawn300 draws the first page at 300 dots an inch for readers of their own.
func drawn300(t *testing.T, pdf []byte) string {
	t.Helper()
	path := written(t, pdf)
	to := strings.TrimSuffix(path, ".pdf")
	tool(t, "pdftoppm", "-r", "300", "-gray", "-png", "-singlefile", path, to)
	return to + ".png"
}

// Codes of whole labels are read back from a 300 dpi picture by Debian's readers: the
// till's number, the square code where the house has no web address, the address where it
// has one, and the rows of bars of a case and a pallet.
func TestCodesOfWholeLabels(t *testing.T) {
	built(t)
	c := catalogue(t, "en")
	j := jar(t, 340_000)
	pdf, err := Labels(c, Roll(100, 70), j, made)
	if err != nil {
		t.Fatal(err)
	}
	path := drawn300(t, pdf)
	if out := tool(t, "zbarimg", "-q", "--nodbus", "--raw", path); !strings.Contains(out, "9521234543213") {
		t.Errorf("the till's number is read as %q", out)
	}
	if out := tool(t, "dmtxread", "-N1", path); !strings.Contains(out, "0109521234543213"+"10R3-A") {
		t.Errorf("the square code is read as %q", out)
	}
	j.Domain = "https://honey.example"
	if pdf, err = Labels(c, Roll(100, 80), j, made); err != nil {
		t.Fatal(err)
	}
	path = drawn300(t, pdf)
	if out := tool(t, "zbarimg", "-q", "--nodbus", "--raw", path); !strings.Contains(out, "https://honey.example/01/09521234543213/10/R3-A") {
		t.Errorf("the address is read as %q", out)
	}

	box, err := gs1.Case("9521234543213", 1)
	if err != nil {
		t.Fatal(err)
	}
	sscc, err := gs1.Pallet("9521234", 0, 17)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]Parcel{
		"case":   {Title: "Miód letni 340 g", Number: "R3-C045", Lines: []string{"12 × 340 g"}, Codes: []gs1.Elements{{box, {Code: "15", Value: "281103"}, {Code: "10", Value: "R3-A"}}}},
		"pallet": {Title: "Pallet", Number: "PL-07", Codes: []gs1.Elements{{{Code: "02", Value: box.Value}, {Code: "15", Value: "281103"}, {Code: "37", Value: "40"}, {Code: "10", Value: "R3-A"}}, {sscc}}},
	} {
		pdf, err := Parcels(c, Roll(148, 120), []Parcel{p}, made)
		if err != nil {
			t.Fatal(err)
		}
		path := drawn300(t, pdf)
		out := strings.ReplaceAll(tool(t, "zbarimg", "-q", "--nodbus", "--raw", path), "\x1d", "")
		for _, es := range p.Codes {
			if want := strings.ReplaceAll(es.String(), gs1.Separator, ""); !strings.Contains(out, want) {
				t.Errorf("%s: %s is not in %q", name, want, out)
			}
		}
	}
}

// What the fonts draw, in the scripts of the house's languages and others.
func TestDraws(t *testing.T) {
	built(t)
	for _, r := range "AzŻółćęśńÑáüß€–℮ИжΩλ" {
		if !Draws(r) {
			t.Errorf("%q is not drawn", r)
		}
	}
	for _, r := range "蜂عन\u0301\U0001F36F" {
		if Draws(r) {
			t.Errorf("%q is drawn", r)
		}
	}
	f, err := loadFace("regular")
	if err != nil {
		t.Fatal(err)
	}
	if got := f.drawable("Zo\u0301łty\u200b mio\u0301d"); got != "Zółty miód" {
		t.Errorf("%q", got)
	}
	// LE1 of examples_label.csv has 3 mm from 51 g and 4 mm to 1,000 g; the steps between are
	// in TestHeightsOnPaper.
	for net, want := range map[quantity.Milligram]float64{51_000: 3, 1_000_000: 4} {
		pdf, err := Labels(catalogue(t, "es"), Roll(80, 70), jar(t, net), made)
		if err != nil {
			t.Fatal(err)
		}
		if got := digitMM(t, pdf); got < want {
			t.Errorf("%d mg: figures of %.2f mm, want %g", net, got, want)
		}
	}
}
