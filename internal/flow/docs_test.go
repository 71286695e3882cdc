package flow

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
	"combline/internal/honey"
)

var update = flag.Bool("update", false, "write the flow chapter of docs/models.md anew")

// part is one section of the chapter: its models and what to bear in mind.
type part struct {
	Title, Table, Text string
}

var parts = []struct{ title, models, text string }{
	{"Drying in the hot room", "vapour comb-drying gas-side dry-solids", "Moving air could take water off open honey many times faster than honey lets it go: the inside of the cell decides. So a fan beyond the " +
		"first helps little, dry air helps much, and a comb that is sealed hardly dries at all. Two readings of the same combs, a day apart, tell a room's own rate better than any table. Air wetter " +
		"than the honey's water activity wets it: a room of 20 °C at 60 % brings honey to 20.1 %. Wax softens from about 32 °C: 38 °C is an alarm, 40 the limit (common practice, no source)."},
	{"Spinning", "field spin", "The core of a cell is empty within about a second; the film on its walls takes the time. Time goes with viscosity over field and over the square of the share left: " +
		"a comb 5 °C cooler takes 1.7 to 2 times as long, 10 % more turns save 17 %, half as much left takes four times as long. Radial baskets work by the cells' tilt alone. The real judge is the wet comb's weight: " +
		"it gives the house's own factor. The inner side's honey presses on the midrib with ρ·h·ω²·r, a few kilopascals; no strength of comb is published that we found."},
	{"The line", "line sequence", "A line goes as its slowest station, and two stations that stop now and then lose less with room between them. For more than eight batches the order is looked for by insertion and the gap to the bound is told."},
	{"Straining", "strain", "Cloth finer than about 0.1 mm begins to take pollen out, which is restricted in the European Union."},
	{"Settling", "settle still-in", "Wax rises at about a third of a bubble's speed. Warmth that stirs a tank undoes what has risen. Nobody clears froth of 0.05 mm by waiting."},
	{"Pumping and draining", "pipe", "A cold line wants the ratio of the viscosities more pressure: 13.5 times at 15 °C against 35."},
	{"Soft-set honey", "soft-set", "Crystals take one part of water to ten of sugar, so what stays liquid is wetter than the whole: honey of 17.8 % has 19.0 % between 12 % of crystals, and it is that liquid which ferments or keeps."},
	{"Winter stores", "winter", "Never one figure: low, likely and high, by climate and by what a full frame holds. Weigh rather than count."},
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
	return fmt.Sprintf("| %s | |\n| --- | --- |\n| formula | `%s` |\n| range | %s |\n| accuracy | %s |\n| source | %s |\n| from memory | %s |\n| grade | %s |",
		m.Name, m.Formula, m.Range, m.Accuracy, m.Source, memory, m.Grade), nil
}

func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/flow.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	page, err := template.New("flow").Funcs(template.FuncMap{"model": modelTable, "learned": func() string { return sayLearned(t) },
		"rows": func() int { return len(checkRows(t)) }, "checks": func() string { return checkTable(t) }, "grades": gradeTable}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{"own-factor": true}
	var all []part
	for _, p := range parts {
		var tables []string
		for _, key := range strings.Fields(p.models) {
			told[key] = true
			table, err := modelTable(key)
			if err != nil {
				t.Fatal(err)
			}
			tables = append(tables, table)
		}
		all = append(all, part{p.title, strings.Join(tables, "\n\n"), p.text})
	}
	for _, m := range Models() {
		if !told[m.Key] {
			t.Errorf("the chapter leaves out model %s", m.Key)
		}
	}
	var b bytes.Buffer
	if err := page.Execute(&b, all); err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "flow", b.Bytes(), *update)
}

func sayLearned(t *testing.T) string {
	p := dryingPrior
	one, ten := must[Factor](t)(Learn([]float64{0.7}, p)), must[Factor](t)(Learn([]float64{0.7, 0.75, 0.65, 0.8, 0.7, 0.6, 0.72, 0.68, 0.77, 0.66}, p))
	return fmt.Sprintf("A house whose lots dried 0.7 times as much as the textbook says: after one lot the factor is %.2f (%.2f to %.2f), after ten about as much %.2f (%.2f to %.2f).",
		one.Likely, one.Low, one.High, ten.Likely, ten.Low, ten.High)
}

// dryingPrior is that of the house's drying, for an example.
var dryingPrior = Prior{House: 0.25, Each: 0.2}

func checkTable(t *testing.T) string {
	have := got(t)
	var b strings.Builder
	b.WriteString("| check | inputs | published | reckoned | unit | off | method |\n| --- | --- | --- | --- | --- | --- | --- |")
	for _, r := range checkRows(t) {
		off := math.Abs(have[r.id]/r.value - 1)
		said := "under 1e-7"
		if off > 1e-7 {
			said = fmt.Sprintf("%.0e", off)
		}
		fmt.Fprintf(&b, "\n| %s | %s | %.8g | %.8g | %s | %s | %s |", r.what, r.inputs, r.value, have[r.id], r.unit, said, r.method)
	}
	return b.String()
}

func gradeTable() string {
	lines := make([]string, 0, len(models))
	for _, m := range Models() {
		lines = append(lines, fmt.Sprintf("| %s | %s | %s |", m.Name, m.Grade, m.Accuracy))
	}
	return strings.Join(lines, "\n")
}

func TestModelsAreComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Models() {
		if _, twice := honey.ModelOf(m.Key); twice || seen[m.Key] || m.Name == "" || m.Formula == "" || m.Range == "" || m.Accuracy == "" || m.Source == "" || m.Grade == "" {
			t.Errorf("%+v", m)
		}
		seen[m.Key] = true
	}
}
