package paper

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/gs1"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/standard"
	"combline/internal/words"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
)

var made = time.Date(2026, 11, 3, 9, 0, 0, 0, time.UTC)

func catalogue(t *testing.T, l words.Lang) *words.Catalogue {
	t.Helper()
	c, err := words.For(l)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func built(t *testing.T) {
	t.Helper()
	if _, err := loadFace("regular"); errors.Is(err, ErrNotBuilt) {
		t.Skip("the fonts are not built in: make assets")
	}
}

// tool runs one of Debian's readers on a PDF or picture.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skip("no " + name + " here: make tools")
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

func written(t *testing.T, pdf []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// at300 draws the first page at 300 dots an inch, as a printer would.
func at300(t *testing.T, pdf []byte) (string, image.Image) {
	t.Helper()
	path := written(t, pdf)
	to := strings.TrimSuffix(path, ".pdf")
	tool(t, "pdftoppm", "-r", "300", "-png", "-singlefile", path, to)
	raw, err := os.ReadFile(to + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return to + ".png", img
}

func decoded(t *testing.T, img image.Image, r gozxing.Reader) string {
	t.Helper()
	bmp, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatal(err)
	}
	got, err := r.Decode(bmp, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		t.Fatalf("not read: %v", err)
	}
	return got.GetText()
}

func elements(t *testing.T, printed string) gs1.Elements {
	t.Helper()
	es, err := gs1.Parse(printed)
	if err != nil {
		t.Fatal(err)
	}
	return es
}

// one draws a code alone on a sheet of its own size: gozxing looks for a square code
// from the middle of the picture.
func one(t *testing.T, c Code, module, high float64) []byte {
	t.Helper()
	high += c.high(module)
	s, err := newSheet(Size{c.wide(module) + 6, high + 6}, "code", made)
	if err != nil {
		t.Fatal(err)
	}
	s.AddPage()
	s.draw(c, 3, 3, module, high)
	pdf, err := s.bytes()
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// Codes are read back from a 300 dpi picture by readers that are not ours: gozxing, and
// Debian's zbar and dmtx tools.
func TestCodesAreReadBack(t *testing.T) {
	built(t)
	es := elements(t, "(01)09521234543213(15)281130(10)R3-A/7")
	bars, err := Bars(es)
	if err != nil {
		t.Fatal(err)
	}
	path, img := at300(t, one(t, bars, 0.33, 20))
	got := decoded(t, img, oned.NewCode128Reader())
	if back, err := gs1.Parse(got); err != nil || back.Print() != es.Print() {
		t.Errorf("gozxing reads the bars as %q: %v", got, err)
	}
	if out := tool(t, "zbarimg", "-q", "--nodbus", "--raw", path); !strings.Contains(strings.ReplaceAll(out, "\x1d", ""), "010952123454321315281130"+"10R3-A/7") {
		t.Errorf("zbar reads the bars as %q", out)
	}

	square, err := Square(elements(t, "(01)09521234543213(10)R3-A(21)00042(15)281130"))
	if err != nil {
		t.Fatal(err)
	}
	path, img = at300(t, one(t, square, squareModule, 0))
	got = decoded(t, img, datamatrix.NewDataMatrixReader())
	if back, err := gs1.Parse(got); err != nil || back.Print() != "(01)09521234543213(10)R3-A(21)00042(15)281130" {
		t.Errorf("gozxing reads the square code as %q: %v", got, err)
	}
	if out := tool(t, "dmtxread", "-N1", path); !strings.Contains(out, "0109521234543213") {
		t.Errorf("dmtx reads the square code as %q", out)
	}

	link, err := Link(es, gs1.Home)
	if err != nil {
		t.Fatal(err)
	}
	path, img = at300(t, one(t, link, squareModule, 0))
	if got := decoded(t, img, qrcode.NewQRCodeReader()); got != "https://id.gs1.org/01/09521234543213/10/R3-A%2F7?15=281130" {
		t.Errorf("gozxing reads the address as %q", got)
	}
	if out := tool(t, "zbarimg", "-q", "--nodbus", "--raw", path); strings.TrimSpace(out) != link.Print {
		t.Errorf("zbar reads the address as %q", out)
	}

	for number, want := range map[string]string{"9521234543213": "9521234543213", "02345673": "02345673"} {
		till, err := Retail(number)
		if err != nil {
			t.Fatal(err)
		}
		_, img = at300(t, one(t, till, tillModule, tillHigh))
		reader := oned.NewEAN13Reader()
		if len(number) == 8 {
			reader = oned.NewEAN8Reader()
		}
		if got := decoded(t, img, reader); got != want {
			t.Errorf("gozxing reads %s as %q", number, got)
		}
	}
	for _, bad := range []string{"9521234543214", "", "19521234543210", "12"} {
		if _, err := Retail(bad); err == nil {
			t.Errorf("%q is drawn for a till", bad)
		}
	}
	if _, err := Bars(elements(t, "(01)09521234543213(10)AAAAAAAAAAAAAAAAAAAA(21)BBBBBBBBBBBBBBBBBBBB")); err == nil {
		t.Error("bars carry more than 48 characters")
	}
}

func jar(t *testing.T, net quantity.Milligram) JarLabel {
	t.Helper()
	l, err := label.Of(label.Wish{Rules: standard.EU, Labelled: 20261103, Pack: label.Pack{Net: net, LargestCM2: 90}, Name: "Miód letni – miel de verano",
		Country: map[string]string{"VM": "Velmark", "OS": "Ostrana"}, Lot: "R3-A", BestBefore: 20281130, KeepsMonths: 25,
		Keeps: label.Keeping{Known: true, Chance: 0.95, MonthEnd: 0.95, YearEnd: 0.95, Asked: 0.9}, Packer: "Żółta Łąka, Calle Ñandú 3"},
		label.Tipped{Countries: []standard.Share{{Country: "VM", Mass: 2030}, {Country: "OS", Mass: 1450}}})
	if err != nil {
		t.Fatal(err)
	}
	return JarLabel{Label: l, EMark: true, Number: "9521234543213", Codes: elements(t, "(01)09521234543213(10)R3-A"), Count: 1}
}

// Figures and letters in the PDF, measured on the drawn page at 1200 dpi, meet Directive
// 76/211/EEC Annex I 3.1 (figures), 3.3 (e mark 3 mm) and Regulation 1169/2011 art. 13
// (small x).
func TestHeightsOnPaper(t *testing.T) {
	built(t)
	for net, mm := range map[quantity.Milligram]float64{40_000: 2, 150_000: 3, 340_000: 4, 1_500_000: 6} {
		pdf, err := Labels(catalogue(t, "en"), Roll(90, 90), jar(t, net), made)
		if err != nil {
			t.Fatal(err)
		}
		if got := digitMM(t, pdf); got < mm {
			t.Errorf("%d mg: figures of %.2f mm, want %g", net, got, mm)
		}
	}
}

// digitMM is the height of the first figure of the net quantity: the largest text's
// box is found by poppler, and its ink measured in the picture.
func digitMM(t *testing.T, pdf []byte) float64 {
	t.Helper()
	path := written(t, pdf)
	boxes := tool(t, "pdftotext", "-bbox", path, "-")
	var x0, y0, x1, y1, figures float64
	for l := range strings.Lines(boxes) {
		word := l[strings.Index(l, ">")+1:]
		word, _, _ = strings.Cut(word, "<")
		if !strings.Contains(l, "<word") || word == "" || strings.Trim(word, "0123456789.") != "" && !strings.HasSuffix(strings.Trim(word, "0123456789."), "g") {
			continue
		}
		f := func(name string) float64 {
			_, v, _ := strings.Cut(l, name+`="`)
			v, _, _ = strings.Cut(v, `"`)
			n, _ := strconv.ParseFloat(v, 64)
			return n
		}
		if a, b := f("yMin"), f("yMax"); b-a > y1-y0 {
			x0, y0, x1, y1, figures = f("xMin"), a, f("xMax"), b, float64(len(word))
		}
	}
	// Only the first figure is drawn.
	const dpi = 1200
	px := func(pt float64) string { return strconv.Itoa(int(pt * dpi / 72)) }
	to := strings.TrimSuffix(path, ".pdf")
	tool(t, "pdftoppm", "-r", strconv.Itoa(dpi), "-x", px(x0), "-y", px(y0), "-W", px((x1-x0)/figures), "-H", px(y1-y0), "-gray", "-png", "-singlefile", path, to)
	raw, err := os.ReadFile(to + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	top, bottom := img.Bounds().Max.Y, 0
	for y := range img.Bounds().Max.Y {
		for x := range img.Bounds().Max.X {
			if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
				top, bottom = min(top, y), max(bottom, y)
			}
		}
	}
	return float64(bottom-top+1) / dpi * 25.4
}

// The same label printed again is the same file, byte by byte, and all of its words are
// in it, in Polish and Spanish too.
func TestLabelText(t *testing.T) {
	built(t)
	for l, want := range map[words.Lang][]string{
		"en": {"Miód letni – miel de verano", "Origin: Velmark 58", "340", "Best before end 2028", "L R3-A", "Not for infants under 12 months", "Żółta Łąka, Calle Ñandú 3", "9521234543213", "℮"},
		"es": {"Origen: Velmark 58", "bebés menores de 12 meses", "Conservar en lugar fresco"},
		"pl": {"Pochodzenie: Velmark 58", "Nie podawać dzieciom", "Najlepiej spożyć przed końcem 2028"},
	} {
		a, err := Labels(catalogue(t, l), OnA4(2, 3), jar(t, 340_000), made)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Labels(catalogue(t, l), OnA4(2, 3), jar(t, 340_000), made)
		if err != nil || !bytes.Equal(a, b) {
			t.Errorf("%s: a reprint differs: %v", l, err)
		}
		text := strings.Join(strings.Fields(tool(t, "pdftotext", "-layout", written(t, a), "-")), " ")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s: %q is not in %q", l, w, text)
			}
		}
	}
}

// The label's own codes are read from the whole label.
func TestLabelCodes(t *testing.T) {
	built(t)
	pdf, err := Labels(catalogue(t, "en"), Roll(100, 70), jar(t, 340_000), made)
	if err != nil {
		t.Fatal(err)
	}
	_, img := at300(t, pdf)
	if got := decoded(t, img, oned.NewEAN13Reader()); got != "9521234543213" {
		t.Errorf("%q", got)
	}
}

func TestLabelRefused(t *testing.T) {
	built(t)
	c := catalogue(t, "en")
	var small *Small
	if _, err := Labels(c, Roll(30, 20), jar(t, 340_000), made); !errors.As(err, &small) || small.Need < 20 {
		t.Errorf("a label of 30 × 20 mm: %v", err)
	}
	j := jar(t, 340_000)
	j.Count = 0
	if _, err := Labels(c, Roll(90, 90), j, made); err == nil {
		t.Error("no labels are printed")
	}
	if _, err := Labels(c, OnA4(0, 3), jar(t, 340_000), made); err == nil {
		t.Error("a sheet of no labels")
	}
	if _, err := Labels(c, Stock{Sheet: A4, Label: Size{120, 60}, Across: 2, Down: 2}, jar(t, 340_000), made); err == nil {
		t.Error("labels wider than their sheet")
	}
	j = jar(t, 340_000)
	j.Label.Findings = append(j.Label.Findings, label.Finding{Line: answer.Line{Key: "label.never-cure", Mark: answer.Bad}})
	if _, err := Labels(c, Roll(90, 90), j, made); err == nil {
		t.Error("a label with something against it is printed")
	}
}

func TestTagsAndParcels(t *testing.T) {
	built(t)
	c := catalogue(t, "en")
	pdf, err := Tags(c, Roll(148, 105), []Tag{{Number: "D041", Steel: "S-041", Lines: []string{"L06 Sallow Fen", "290.0 kg net"}, Hold: "HMF 46.8 mg/kg over 40"}}, made)
	if err != nil {
		t.Fatal(err)
	}
	path, img := at300(t, pdf)
	if got := decoded(t, img, qrcode.NewQRCodeReader()); got != "D041" {
		t.Errorf("the tag is read as %q", got)
	}
	text := tool(t, "pdftotext", "-layout", strings.TrimSuffix(path, ".png")+".pdf", "-")
	for _, w := range []string{"D041", "Steel S-041", "ON HOLD", "HMF 46.8", "290.0 kg net"} {
		if !strings.Contains(text, w) {
			t.Errorf("%q is not in %q", w, text)
		}
	}
	sscc, err := gs1.Pallet("4012345", 3, 111_111_111)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err = Parcels(c, Roll(148, 210), []Parcel{{Title: "Summer honey 340 g", Number: "P-07", Lines: []string{"40 cases of 12", "R3-A"},
		Codes: []gs1.Elements{elements(t, "(02)19521234543210(15)281130(37)40(10)R3-A(00)340123451111111111")[:0], {sscc}}[1:]}}, made)
	if err != nil {
		t.Fatal(err)
	}
	_, img = at300(t, pdf)
	if got := decoded(t, img, oned.NewCode128Reader()); strings.TrimPrefix(got, "\x1d") != "00340123451111111111" && got != "]C100340123451111111111" {
		t.Errorf("the pallet is read as %q", got)
	}
	if _, err := Parcels(c, Roll(40, 60), []Parcel{{Title: "x", Codes: []gs1.Elements{{sscc}}}}, made); err == nil {
		t.Error("bars finer than can be read are printed")
	}
}

// A report keeps every row, in any script, over many pages, with head and foot on each.
func TestReport(t *testing.T) {
	built(t)
	var a answer.Answer
	a.Say("trace.is", answer.Args{"of": "R3-A", "kind": "run", "mass": quantity.Gram(3_374_600)})
	tb := a.Table("customers", "code", "name", "mass_g")
	for i := range 400 {
		tb.Row(answer.Care, "C-"+strconv.Itoa(i), "Sklep Żółty «№» 蜂蜜 عسل "+strings.Repeat("long ", i%20), quantity.Gram(i*1000))
	}
	pdf, err := Sheets(catalogue(t, "pl"), Report{House: "Combe Lane", Title: "Wycofanie R3-A", Answer: a, Made: made, Facts: 1501})
	if err != nil {
		t.Fatal(err)
	}
	again, err := Sheets(catalogue(t, "pl"), Report{House: "Combe Lane", Title: "Wycofanie R3-A", Answer: a, Made: made, Facts: 1501})
	if err != nil || !bytes.Equal(pdf, again) {
		t.Errorf("the same report differs: %v", err)
	}
	text := tool(t, "pdftotext", "-layout", written(t, pdf), "-")
	for i := range 400 {
		if !strings.Contains(text, "C-"+strconv.Itoa(i)+" ") {
			t.Fatalf("row %d is lost", i)
		}
	}
	pages := strings.Count(text, "\f")
	if n := strings.Count(text, "Strona "); n != pages || pages < 5 {
		t.Errorf("%d feet on %d pages", n, pages)
	}
	if !strings.Contains(text, "Strona 1 / "+strconv.Itoa(pages)) {
		t.Error("the number of pages is not on the first")
	}
}

// A mark is seen without colour, and what the type can't draw is told at the end: a paper
// of words that it can draw has no stand-in at all.
func TestReportSigns(t *testing.T) {
	built(t)
	read := func(name string) string {
		var a answer.Answer
		a.Warn("trace.is", answer.Args{"of": "R3-A", "kind": "run", "mass": quantity.Gram(3_374_600)})
		a.Table("recall-contacts", "code", "name", "contact").Row(answer.Bad, "C-1", name, nil)
		pdf, err := Sheets(catalogue(t, "es"), Report{Title: "Retirada", Answer: a, Made: made})
		if err != nil {
			t.Fatal(err)
		}
		return tool(t, "pdftotext", "-layout", written(t, pdf), "-")
	}
	latin, other := read("Żółty Ñandú"), read("蜂蜜")
	if strings.Contains(latin, "¤") || !strings.Contains(latin, "!! C-1") || !strings.Contains(latin, "! R3-A") || strings.Contains(latin, "Cómo") {
		t.Errorf("%s", latin)
	}
	if !strings.Contains(other, "¤¤") || !strings.Contains(other, "¤ está en lugar de una letra") {
		t.Errorf("%s", other)
	}
}

// A form to fill in by hand is one sheet with its heads and as many lines as were asked for
// or fit.
func TestForm(t *testing.T) {
	built(t)
	pdf, err := Blank(catalogue(t, "pl"), Form{House: "Combe Lane", Title: "Przyjęcie", Top: []string{"Data", "Kto"}, Heads: []string{"Godzina", "Partia", "Brutto", "Bardzo długi nagłówek kolumny"}, Lines: 40, Foot: "Przepisz później"}, made)
	if err != nil {
		t.Fatal(err)
	}
	text := tool(t, "pdftotext", "-layout", written(t, pdf), "-")
	for _, want := range []string{"Przyjęcie", "Data", "Godzina", "Brutto", "Przepisz później", "Combe Lane"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q on the form:\n%s", want, text)
		}
	}
	if n := strings.Count(text, "\f"); n != 1 {
		t.Errorf("%d sheets", n)
	}
}
