package blend

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"text/template"

	"combline/internal/chapter"
	"combline/internal/honey"
	"combline/internal/linear"
	"combline/internal/quantity"
)

var update = flag.Bool("update", false, "write the blending chapter of docs/models.md anew")

// The blending chapter of docs/models.md is the template's prose with every figure
// worked out anew.
func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/blending.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	pm := func(kg, w float64) Content {
		c := tank("honey", kg, w, 0)
		c.Figures[Water] = quantity.FromPlusMinus(w, 0.2)
		return c
	}
	aim := must(Thin(Thinning{Wet: pm(814, 19.4), Dry: []Content{pm(9000, 17)}, Target: 18}))
	page, err := template.New("blending").Funcs(template.FuncMap{
		"z":      func() string { return fmt.Sprintf("%.3f", (&Problem{}).z()) },
		"own":    func() string { return fmt.Sprintf("%.2f", promised(t, false)) },
		"shared": func() string { return fmt.Sprintf("%.2f", promised(t, true)) },
		"wet":    func() string { return "814 kg at 19.4 % and 3200 yeasts a gram," },
		"lots":   thinTable,
		"aim":    func() string { return fmt.Sprintf("%.2f", float64(aim.Sure.AimWater)) },
		"sure":   func() string { return fmt.Sprintf("%.0f", float64(aim.Sure.DryKg)) },
		"plain":  func() string { return fmt.Sprintf("%.0f", float64(aim.AtTarget.DryKg)) },
	}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "blending", b.Bytes(), *update)
}

// promised is the lowest water that a half and half mix of two drums can be promised
// at.
func promised(t *testing.T, share bool) float64 {
	t.Helper()
	var p Problem
	for _, name := range []string{"a", "b"} {
		u := quantity.Uncertain{Value: 17.5, Own: 0.1}
		if share {
			u = u.Named("refractometer")
		}
		p.Contents = append(p.Contents, Content{Name: name, Grams: 500_000, Cost: 1, Figures: map[Figure]quantity.Uncertain{Water: u}})
	}
	p.Batches = []Batch{{Name: "o", Grams: 1_000_000, Limits: []Limit{AtMost(Measure(Water), 17)}}}
	r := must(Find(p, plain, linear.Options{}))
	for _, x := range r.Clash.Reaches {
		if x.Demand.Kind == AskLimit {
			return x.Value
		}
	}
	t.Fatal("no reach")
	return 0
}

func thinTable() string {
	var b strings.Builder
	for _, c := range []struct {
		says string
		x    Thinning
		keep bool
	}{
		{"18.0 %", Thinning{Target: 18}, false}, {"17.8 %", Thinning{Target: 17.8}, false},
		{"18.0 % and that it keeps", Thinning{Target: 18}, true}, {"the same with 900 yeasts a gram", Thinning{Target: 18, YeastMax: 900}, true},
	} {
		c.x.Wet, c.x.Dry = tank("L03", 814, 19.4, 3200), []Content{tank("L02", 1496, 17.0, 0), tank("L01", 1510, 17.3, 0)}
		r := must(Thin(c.x))
		m := &r.AtTarget
		if c.keep {
			m = r.Keeping
		}
		keeps := "will not keep"
		if m.Keeping.Keeping == honey.Keeps {
			keeps = "keeps"
		}
		fmt.Fprintf(&b, "| %s | %.0f kg (%.0f + %.0f) | %.0f kg at %.2f %%, %.0f yeasts a gram: %s |\n", c.says,
			float64(m.DryKg), float64(m.Dry[0]), float64(m.Dry[1]), float64(m.Total), m.Water.Value, m.Yeast, keeps)
	}
	return b.String()
}
