package honey

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"text/template"

	"combline/internal/quantity"
)

var update = flag.Bool("update", false, "write docs/models.md anew")

const docsPath = "../../docs/models.md"

// docs/models.md is the template's prose with every figure worked out anew; it may not
// differ from what the models and tables give today.
func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/models.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	checks := tableChecks(t)
	page, err := template.New("models").Option("missingkey=error").Funcs(template.FuncMap{
		"model":   func(key string) (string, error) { used[key] = true; return modelTable(key) },
		"table":   func(file string) (string, error) { used[file] = true; return rowTable(checks[file]) },
		"fit":     func(file string) (string, error) { return fit(checks[file]) },
		"rows":    func(file string) int { used[file] = true; return len(checks[file]) },
		"chapter": chapter,
		"mixing":  mixTable, "swatches": swatchTable, "reliability": reliabilityTable, "examples": exampleTable,
		"water20": func(w, at float64) string {
			return fmt.Sprintf("%.1f", must(WaterAt20(quantity.WaterPct(w), quantity.Celsius(at))))
		},
	}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	for _, m := range models {
		if !used[m.Key] {
			t.Errorf("the page leaves out model %s", m.Key)
		}
	}
	for file := range checks {
		if !used[file] {
			t.Errorf("the page leaves out table %s", file)
		}
	}
	if *update {
		if err := os.WriteFile(docsPath, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(docsPath)
	if err != nil || !bytes.Equal(have, b.Bytes()) {
		t.Errorf("docs/models.md differs from the models (%v): go test ./internal/honey -run Docs -update", err)
	}
}

// chapter is a part of the page that another package writes, and holds to its own
// figures with a test of its own: it stays as it stands between its marks.
func chapter(name string) (string, error) {
	page, err := os.ReadFile(docsPath)
	if err != nil {
		return "", err
	}
	begin, end := "<!-- chapter "+name+" -->", "<!-- end of "+name+" -->"
	_, rest, _ := strings.Cut(string(page), begin)
	text, _, ok := strings.Cut(rest, end)
	if !ok {
		text = "\n\n"
	}
	return begin + text + end, nil
}

func modelTable(key string) (string, error) {
	m, ok := ModelOf(key)
	if !ok {
		return "", fmt.Errorf("no model %s", key)
	}
	memory := m.Memory
	if memory == "" {
		memory = "nothing"
	}
	return fmt.Sprintf("| | |\n| --- | --- |\n| formula | `%s` |\n| range | %s |\n| accuracy | %s |\n| source | %s |\n| from memory | %s |\n| grade | %s |",
		m.Formula, m.Range, m.Accuracy, m.Source, memory, m.Grade), nil
}

// rowTable prints every row of a published table beside the model; sources stand below by letter.
func rowTable(checks []check) (string, error) {
	if len(checks) == 0 {
		return "", fmt.Errorf("no such table")
	}
	var b strings.Builder
	var sources []string
	text := checks[0].isTxt && !slices.ContainsFunc(checks, func(c check) bool { return !c.isTxt })
	if text {
		b.WriteString("| row | published | source |\n| --- | --- | --- |\n")
	} else {
		b.WriteString("| row | published | model | off | source | note |\n| --- | --- | --- | --- | --- | --- |\n")
	}
	for _, c := range checks {
		i := slices.Index(sources, c.source+c.got)
		if i < 0 {
			i = len(sources)
			sources = append(sources, c.source+c.got)
		}
		letter := string(rune('a' + i))
		switch {
		case text:
			fmt.Fprintf(&b, "| %s | %s | %s |\n", c.what, c.published(), letter)
		case c.isTxt:
			fmt.Fprintf(&b, "| %s | %s | holds | | %s | |\n", c.what, c.published(), letter)
		default:
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s |\n", c.what, c.published(), fmt.Sprintf(c.format, c.model), c.offText(), letter, c.known)
		}
	}
	b.WriteString("\nSources: ")
	for i := range sources {
		c := checks[slices.IndexFunc(checks, func(c check) bool { return c.source+c.got == sources[i] })]
		if i > 0 {
			b.WriteString("; ")
		}
		fmt.Fprintf(&b, "(%c) %s, %s", 'a'+i, c.source, map[string]string{"read": "read", "memory": "**from memory**"}[c.got])
	}
	return b.String() + ".", nil
}

// fit tells the worst and the middle error of the rows that the model must meet.
func fit(checks []check) (string, error) {
	var sizes []float64
	known, in := 0, inUnits
	for _, c := range checks {
		switch {
		case c.isTxt:
		case c.known != "":
			known++
		case c.in == inTimes:
			sizes, in = append(sizes, math.Exp(math.Abs(math.Log(c.off())))), c.in
		default:
			sizes, in = append(sizes, math.Abs(c.off())), c.in
		}
	}
	if len(sizes) == 0 {
		return "", fmt.Errorf("no figures")
	}
	slices.Sort(sizes)
	say := map[measure]string{inUnits: "%.3g", inShares: "%.2g %%", inTimes: "×/÷ %.2f"}[in]
	scale := map[measure]float64{inUnits: 1, inShares: 100, inTimes: 1}[in]
	worst, middle := sizes[len(sizes)-1]*scale, sizes[len(sizes)/2]*scale
	s := fmt.Sprintf("Of %d figures the model is off by "+say+" at worst and "+say+" in the middle", len(sizes), worst, middle)
	switch {
	case known == 1:
		s += "; one more is a known disagreement, named in the table"
	case known > 1:
		s += fmt.Sprintf("; %d more are known disagreements, named in the table", known)
	}
	return s + ".", nil
}

func mixTable() string {
	var b strings.Builder
	b.WriteString("| property | unit | in a mix |\n| --- | --- | --- |\n")
	for _, p := range Properties() {
		fmt.Fprintf(&b, "| %s | %s | %s |\n", p, p.Unit(), p.Rule())
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func swatchTable() string {
	var b strings.Builder
	b.WriteString("| mm Pfund | class | optical density | swatch |\n| --- | --- | --- | --- |\n")
	for _, p := range []quantity.PfundMM{8, 17, 34, 50, 85, 114} {
		c := must(ScreenColour(p))
		fmt.Fprintf(&b, "| %g | %s | %.3g | #%02x%02x%02x |\n", float64(p), must(ClassOfPfund(p)), must(ODFromPfund(p)), c.R, c.G, c.B)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func reliabilityTable() string {
	var b strings.Builder
	b.WriteString("| subject | grade | what to expect | from memory |\n| --- | --- | --- | --- |\n")
	for _, m := range models {
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", m.Key, m.Grade, m.Accuracy, m.Memory)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// exampleTable are figures that a packer meets every week.
func exampleTable() string {
	hmf := func(t quantity.Celsius, d quantity.Days) string {
		b := must(HMFAdded(t, d, PublishedHMF()))
		return fmt.Sprintf("%.3g mg/kg (%.2g to %.2g)", b.Likely, b.Low, b.High)
	}
	d := must(DryToReach(814, WaterReading{19.4, WaterGoodHandsSD}, WaterReading{17, WaterGoodHandsSD}, 0, 18))
	var b strings.Builder
	b.WriteString("| question | answer |\n| --- | --- |\n")
	for _, row := range [][2]string{
		{"18.2 % read on honey at 27 °C, no correction in the instrument", fmt.Sprintf("%.1f %%", must(WaterAt20(18.2, 27)))},
		{"one cubic metre of 17 % honey at 20 °C, at 45 °C", fmt.Sprintf("%.0f kg, %.0f kg", must(Density(20, 17)), must(Density(45, 17)))},
		{"how thick 17 % honey is at 20, 35, 50 °C", fmt.Sprintf("%.1f, %.2f, %.2f Pa·s", must(Viscosity(20, 17)), must(Viscosity(35, 17)), must(Viscosity(50, 17)))},
		{"HMF from two days at 45 °C", hmf(45, 2)},
		{"HMF from a year at 20 °C", hmf(20, 365)},
		{"half of the diastase, of the invertase is gone at 45 °C after", fmt.Sprintf("%.1f, %.1f days", must(DiastaseHalfLife(45)), must(InvertaseHalfLife(45)))},
		{"bare hold that kills yeast at 63 °C", fmt.Sprintf("%.1f minutes", must(YeastKill(63)))},
		{"honey in air of 58 % comes to", fmt.Sprintf("%.1f %%", must(WaterFromHumidity(58)))},
		{"dry honey of 17.0 % that takes 814 kg of 19.4 % to 18.0 %, both read to ±0.2", fmt.Sprintf("%.0f kg (%.0f to %.0f)", d.Dry.Likely, d.Dry.Low, d.Dry.High)},
		{"liquid of a 17.8 % honey with 12 % crystals", fmt.Sprintf("%.1f %%", must(LiquidWater(17.8, 12)))},
	} {
		fmt.Fprintf(&b, "| %s | %s |\n", row[0], row[1])
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func TestModelsAreComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Models() {
		if seen[m.Key] || m.Key == "" || m.Name == "" || m.Formula == "" || m.Range == "" || m.Accuracy == "" || m.Source == "" || m.Grade == "" {
			t.Errorf("%+v", m)
		}
		seen[m.Key] = true
	}
	if _, ok := ModelOf("no such"); ok {
		t.Error("a model that is not there")
	}
}
