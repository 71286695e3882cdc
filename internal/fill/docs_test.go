package fill

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"text/template"

	"combline/internal/chapter"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/standard"
)

var update = flag.Bool("update", false, "write the filling chapter of docs/models.md anew")

// The filling chapter of docs/models.md is the template's prose with every figure
// worked out anew.
func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/filling.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	page, err := template.New("filling").Funcs(template.FuncMap{
		"wide":      func(df float64) string { g := Goal{Degrees: df}; return fmt.Sprintf("%.2f", g.wide(2)) },
		"settings":  func() string { _, n, _ := guarantee(t, 0); return thousands(int64(n)) },
		"guarantee": func() string { return guaranteeTable(t) },
		"drop": func() string {
			cold, warm := must(honey.Density(35, 17.2)), must(honey.Density(40, 17.2))
			return fmt.Sprintf("%.2f g", 340*(1-float64(warm/cold)))
		},
		"howsoon": func() string { return soonTable(t) }, "published": publishedTable, "coverage": func() string { return coverageTable(t) },
		"inspector": inspectorTable, "caught": func() int64 { return driftCase(t).caught }, "good": func() int64 { return driftCase(t).good },
		"start": func() string { return fmt.Sprintf("%.1f", driftCase(t).start) }, "held": func() string { return thousands(must(Risk(slots(), 3, 4, 13, 18, false)).Held) },
		"own":   func() int64 { return must(Risk(slots(), 3, 4, 13, 18, false)).Own },
		"whole": func() string { return hourText(t, 1, 18, 0) }, "last": func() string { return hourText(t, 17, 18, 0) },
		"pulled": func() string { return hourText(t, 17, 18, 329.8) },
	}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "filling", b.Bytes(), *update)
}

func thousands(n int64) string { return fmt.Sprintf("%d,%03d", n/1000, n%1000) }

func guaranteeTable(t *testing.T) string {
	var b strings.Builder
	a := must(TargetFor(Goal{Rules: standard.EU, Label: 340 * gram, SDG: 1.7, Checked: 20})).Target.Target
	for _, lower := range []float64{0, 0.5, 1} {
		kept, settings, theory := guarantee(t, lower)
		fmt.Fprintf(&b, "| %.2f g | %.2f %% | %.2f %% |\n", a-lower, 100*float64(kept)/float64(settings), 100*theory)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func soonTable(t *testing.T) string {
	var b strings.Builder
	u := Usual()
	for _, c := range usualLengths {
		fmt.Fprintf(&b, "| %g | %.1f | %.1f | %.1f |\n", c.shift, must(SumRunLength(u.K, u.H, c.shift, 0)), must(AverageRunLength(u.Lambda, u.L, c.shift)), usualLength(t, c.shift, c.m))
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func publishedTable() string {
	var b strings.Builder
	row := func(source string, shift, published, ours float64) {
		fmt.Fprintf(&b, "| %s | %g | %g | %.4g |\n", source, shift, published, ours)
	}
	for _, i := range []int{0, 2, 4, 6, 8} {
		r := lucasCrosier[i]
		row("Lucas and Crosier 1982, sums 0.5 and 4", r[0], r[1], must(SumRunLength(0.5, 4, r[0], 0)))
		row("the same with a head start of half the line", r[0], r[2], must(SumRunLength(0.5, 4, r[0], 0.5)))
	}
	for _, i := range []int{0, 2, 4, 6, 8} {
		r := lucasSaccucci[i]
		row("Lucas and Saccucci 1990, average 0.5 at 3.071", r[0], r[1], must(AverageRunLength(0.5, 3.071, r[0])))
		row("the same, 0.03 at 2.437", r[0], r[2], must(AverageRunLength(0.03, 2.437, r[0])))
	}
	for _, i := range []int{0, 4, 7} {
		r := crowder[i]
		row("Crowder 1987, average 0.05 at 2", r[0], r[2], must(AverageRunLength(0.05, 2, r[0])))
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func coverageTable(t *testing.T) string {
	var b strings.Builder
	random := rand.New(rand.NewPCG(21, 22))
	for _, c := range moves {
		held, within := coverage(t, random, c.jump, c.drift)
		fmt.Fprintf(&b, "| %s | %.0f %% | %.0f %% |\n", c.name, 100*held, 100*within)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

type driftResult struct {
	caught, good int64
	start        float64
}

func driftCase(t *testing.T) (r driftResult) {
	run(t, designs()["learned"], func(check int, l *Line) {
		if w, _ := l.Nozzle(3); check == 18 {
			r = driftResult{w.Alarm().Check, must(w.LastGood(false)), must(w.ChangePoint()).At}
		}
	})
	return r
}

func hourText(t *testing.T, first, last int, cut float64) string {
	e := must(Estimated(tolerance(t, standard.EU, 340*gram), made(first, last), cut))
	return fmt.Sprintf("%.2f g, %.1f %% short", e.MeanG, 100*e.Short/e.Jars)
}

func inspectorTable() string {
	var b strings.Builder
	p := must(standard.PlanFor(standard.EU, standard.Double, 1100))
	m := must(standard.MeanPlanFor(standard.EU, 1100, false))
	means := []float64{340.5, 340, 339.5, 339.2, 339}
	for i, short := range []int64{11, 27, 55, 83, 107} {
		fmt.Fprintf(&b, "| %d (%.1f %%) | %.1f %% | | %g g | %.1f %% |\n", short, float64(short)/11, 100*must(AcceptShort(p, 1100, short)), means[i], 100*must(AcceptMean(m, quantity.Milligram(340_000), means[i], 1.7)))
	}
	return strings.TrimSuffix(b.String(), "\n")
}
