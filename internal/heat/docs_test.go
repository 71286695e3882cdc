package heat

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"sort"
	"strings"
	"testing"
	"text/template"

	"combline/internal/chapter"
	"combline/internal/quantity"
)

var update = flag.Bool("update", false, "write the warming chapter of docs/models.md anew")

// The warming chapter of docs/models.md is the template's prose with every figure worked out anew. Errors are
// printed to one digit, so that the last bits of another processor do not change it.
func TestDocsAreUpToDate(t *testing.T) {
	text, err := os.ReadFile("testdata/warming.md.tmpl")
	if err != nil {
		t.Fatal(err)
	}
	page, err := template.New("warming").Funcs(template.FuncMap{
		"p1": sayP1, "slower": func() string { return saySlower(t) }, "space": func() string { return spaceTable(t) }, "time": func() string { return timeTable(t) },
		"made": func() string { return madeTable(t) }, "closure": func() string { return "0.00001" }, "transients": func() string { return transientTable(t) },
		"crossings": func() string { return sayCrossings(t) }, "sensitivity": func() string { return saySensitivity(t) },
		"scalars": func() int { return len(table(t, "checks.csv")) }, "halflives": func() string { return halfLifeTable(t) },
		"stuck": func() string { return sayStuck(t) }, "twelve": func() string { return sayTwelve(t) },
		"optimum": func() string { return optimumTable(t) }, "few": func() string { return sayFew(t) },
	}).Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	chapter.Hold(t, "warming", b.Bytes(), *update)
}

func sayP1() string {
	p := Fixed()
	return fmt.Sprintf("ρ %.0f kg/m³, k = %.3f + %.5f·(T − 21) W/(m·K), cp = %.0f + %.1f·(T − 20) J/(kg·K), HMF %.4f mg/(kg·h) at 40 °C with %.1f kJ/mol",
		p.DensityKgM3, p.Conductivity.At(21), p.Conductivity.PerC, p.HeatCapacity.At(20), p.HeatCapacity.PerC, p.HMF.AtC(40)/24, p.HMF.Energy/1000)
}

func saySlower(t *testing.T) string {
	hours := func(name string) float64 {
		c := reference(name)
		c.ReportH, c.Watch = []float64{6, 60}, []Target{{Mean: 40}}
		r, err := Run(c)
		if err != nil {
			t.Fatal(err)
		}
		return r.MetH[0]
	}
	return fmt.Sprintf("%.1f", hours("S2_drum_liquid")/hours("S4_drum_convecting"))
}

func errorTable(head string, at, errs []float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "| %s | largest error, K |\n| --- | --- |", head)
	for i := range at {
		fmt.Fprintf(&b, "\n| %.0f | %.0e |", at[i], errs[i])
	}
	return b.String()
}

func spaceTable(t *testing.T) string {
	at, e := spaceErrors(t)
	return errorTable("nodes of an axis", at, e)
}
func timeTable(t *testing.T) string { at, e := timeErrors(t); return errorTable("steps", at, e) }
func madeTable(t *testing.T) string {
	at, e := madeErrors(t)
	return errorTable("nodes of an axis", at, e)
}

func transientTable(t *testing.T) string {
	say := map[string]string{"S1_drum_const": "300 kg drum, constant figures", "S2_drum_liquid": "the same, P1", "S3_drum_granulated": "granulated", "S4_drum_convecting": "stirring itself",
		"S5_drum_pallet_schedule": "granulated on a pallet, room up and down", "S6_bucket_waterbath": "pail in a water bath", "S7_jar_rack": "jar in a rack"}
	byCase := map[string][]map[string]string{}
	var names []string
	for _, r := range table(t, "transient.csv") {
		if byCase[r["case"]] == nil {
			names = append(names, r["case"])
		}
		byCase[r["case"]] = append(byCase[r["case"]], r)
	}
	var b strings.Builder
	b.WriteString("| case | mean, K | centre, K | rim, K | HMF mean, % | HMF worst, % | diastase kept | nodes, steps |\n| --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, name := range names {
		worst, work := transientErrors(t, name, byCase[name])
		fmt.Fprintf(&b, "\n| %s | %.0e | %.0e | %.0e | %.0e | %.0e | %.0e | %d, %d |", say[name], worst["T_mean"], worst["T_centre"], worst["T_top_rim"],
			100*worst["HMF_add_mean_mgkg"], 100*worst["HMF_add_max_mgkg"], worst["diastase_kept_mean"], work.Nodes, work.Steps)
	}
	return b.String()
}

func transientErrors(t *testing.T, name string, rows []map[string]string) (map[string]float64, Work) {
	c := reference(name)
	for _, r := range rows {
		c.ReportH = append(c.ReportH, num(t, r["t_h"]))
	}
	res, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	worst := map[string]float64{}
	for i, r := range rows {
		if h := num(t, r["t_h"]); h < 0.5 || name < "S6" && h < 6 {
			continue
		}
		for column, got := range figures(res.Rows[i]) {
			want := num(t, r[column])
			e := math.Abs(got - want)
			if strings.HasPrefix(column, "HMF") {
				e /= want
			}
			worst[column] = max(worst[column], e)
		}
	}
	return worst, res.Work
}

func sayCrossings(t *testing.T) string {
	mean, least, n := 0.0, 0.0, 0
	eachCrossing(t, func(r map[string]string, got, want float64) {
		n++
		if r["which"] == "mean" {
			mean = max(mean, math.Abs(got-want))
		} else {
			least = max(least, math.Abs(got-want))
		}
	})
	return fmt.Sprintf("%d of them: at most %.0e h off for the mean and %.0e h for the coldest point.", n, mean, least)
}

func saySensitivity(t *testing.T) string {
	hours, kelvin := 0.0, 0.0
	eachVariant(t, func(name string, r map[string]string, res Result) {
		for i, column := range []string{"t_mean40_h", "t_min40_h", "t_min45_h"} {
			if r[column] != "" {
				hours = max(hours, math.Abs(res.MetH[i]-num(t, r[column])))
			}
		}
		kelvin = max(kelvin, math.Abs(float64(res.Rows[1].Mean)-num(t, r["T_mean_48h"])), math.Abs(float64(res.Rows[1].Centre)-num(t, r["T_centre_48h"])))
	})
	return fmt.Sprintf("crossing hours at most %.0e h off, mean and centre at 48 h at most %.0e K.", hours, kelvin)
}

func halfLifeTable(t *testing.T) string {
	var at []float64
	for c := range whiteHalfLives {
		at = append(at, float64(c))
	}
	sort.Float64s(at)
	var b strings.Builder
	b.WriteString("| °C | published, days | reckoned, days |\n| --- | --- | --- |")
	for _, c := range at {
		days := whiteHalfLives[quantity.Celsius(c)]
		hours := min(days*24, longestH)
		got := math.Ln2 * hours / 24 / -math.Log(kept(t, quantity.Celsius(c), hours).DiastaseMean)
		fmt.Fprintf(&b, "\n| %.0f | %.4g | %.4g |", c, days, got)
	}
	return b.String()
}

func sayStuck(t *testing.T) string {
	x := float64(kept(t, 62, 38).HMFMean)
	return fmt.Sprintf("%.0f mg/kg added, %.0f to %.0f", x, x/2, x*2)
}

func sayTwelve(t *testing.T) string {
	b := twelve(t)
	return fmt.Sprintf("%.0f h, and %.0f to %.0f from honey that stirs itself to set honey of the low conductivity", b.Likely.MetH[0], b.Fast.MetH[0], b.Slow.MetH[0])
}

func optimumTable(t *testing.T) string {
	o, err := oc1Once()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	for _, r := range table(t, "optimal_control.csv") {
		want[r["item"]] = r["value"]
	}
	var b strings.Builder
	b.WriteString("| from hour | reference, °C | found, °C |\n| --- | --- | --- |")
	for j, s := range o.Set {
		fmt.Fprintf(&b, "\n| %g | %.2f | %.2f |", s.Hour, num(t, want[fmt.Sprintf("u_%d", j+1)]), float64(s.C))
	}
	fmt.Fprintf(&b, "\n\nHMF %.4f mg/kg (reference %.4f); the best constant room, %.2f °C, makes %.4f. That it is the optimum is told by the conditions of Karush, Kuhn and Tucker, which it meets to 1e-5 of the gradient.",
		float64(o.HMFMean), num(t, want["J_opt"]), float64(o.Steady), float64(o.SteadyHMF))
	return b.String()
}

func sayFew(t *testing.T) string {
	one, err := Best(few(1))
	if err != nil {
		t.Fatal(err)
	}
	three, err := threeOnce()
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("1 set point %.2f mg/kg, 3 set points %.2f mg/kg.", float64(last(one.Likely).HMFMean), float64(last(three.Likely).HMFMean))
}
