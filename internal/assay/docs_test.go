package assay

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"text/template"

	"combline/internal/chapter"
)

var update = flag.Bool("update", false, "write the keeping chapter of docs/models.md anew")

// The keeping chapter of docs/models.md is the template's prose with every figure worked
// out anew.
func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/keeping.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	page, err := template.New("keeping").Funcs(template.FuncMap{
		"scenarios": func() int { return Scenarios }, "calibration": calibrationTable, "learned": learnedText,
		"at20": func() string {
			b := Learn(HMF, "", nil).At(20)
			return fmt.Sprintf("×/÷ %.1f", math.Sqrt(b.High/b.Low))
		},
		"overheated": func() string {
			h := New()
			c, _, _ := h.Read(h.Unread("summer", ""), HMF, Reading{Value: 3.6, SD: 0.25})
			f := must(h.Pass(c, held(62, 38.0/24))).Forecast(HMF)
			b := f.Band()
			return fmt.Sprintf("%.0f to %.0f, likely %.0f", b.Low, b.High, b.Likely)
		},
	}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "keeping", b.Bytes(), *update)
}

func calibrationTable() string {
	var b strings.Builder
	for _, r := range calibrated {
		fmt.Fprintf(&b, "| %d times | %d |", r.again, r.drums)
		for _, m := range []Marker{HMF, Diastase} {
			in, width := calibrate(m, r.again, r.drums)
			fmt.Fprintf(&b, " %.1f %% | ×/÷ %.2f |", 100*float64(in)/hiddenHouses, math.Exp(width/2))
		}
		b.WriteString("\n")
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func learnedText() string {
	var all []Family
	grown := sum(HMF.kinetics().law, held(20, 500)).a
	for _, rate := range []float64{1.5, 1.6, 1.7} {
		all = append(all, Family{Type: "lime", Seen: []Seen{{Reading: Reading{3, 0.2, "lab", false}}, {Reading{3 + rate*grown, 0.2, "lab", false}, []Course{held(20, 500)}}}})
	}
	b := Learn(HMF, "lime", all).At(20)
	return fmt.Sprintf("%.2f (%.2f to %.2f)", b.Likely, b.Low, b.High)
}
