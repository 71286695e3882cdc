package reckon

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const drumCase = `{"diameter_m": 0.57, "height_m": 0.85, "start_c": 15, "film": {"side": 8, "bottom": 8, "top": 8},
 "ambient": {"side": 50, "bottom": 50, "top": 50}, "properties": "P1", "melt": {"latent_j_kg": 13008, "centre_c": 42, "width_k": 5},
 "convection": false, "report_h": [6, 12, 24, 48, 72, 96]}`

func runWarm(t *testing.T, text string, flags ...string) (string, error) {
	t.Helper()
	var out bytes.Buffer
	err := Run(t.Context(), append([]string{"warm", "--case", "-"}, flags...), false, strings.NewReader(text), &out, io.Discard)
	return out.String(), err
}

func figureOf(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func TestWarmJSON(t *testing.T) {
	out, err := runWarm(t, drumCase, "--json")
	if err != nil {
		t.Fatal(err)
	}
	var a struct {
		Rows []map[string]float64
		Mind string
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || len(a.Rows) != 6 || a.Rows[2]["t_h"] != 24 || math.Abs(a.Rows[2]["T_mean"]-36.6064) > 0.01 {
		t.Errorf("%v %+v", err, a)
	}
	if !strings.Contains(a.Mind, "cut-out") || !strings.Contains(a.Mind, "wax") {
		t.Errorf("an answer about warming has no caution: %q", a.Mind)
	}
}

// A case comes from a file, and its ambients, films, start and body have several forms.
func TestWarmForms(t *testing.T) {
	name := filepath.Join(t.TempDir(), "case.json")
	if err := os.WriteFile(name, []byte("\ufeff"+drumCase), 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Run(t.Context(), []string{"warm", "--case", name}, false, nil, &out, nil); err != nil || !strings.Contains(out.String(), "T_centre") {
		t.Errorf("%v %s", err, out.String())
	}
	err := Run(t.Context(), []string{"warm", "--case", name + ".not"}, false, nil, &out, nil)
	if err == nil || !strings.Contains(err.Error(), "can't be opened") {
		t.Errorf("a file that is not there: %v", err)
	}
	same := func(a, b string) {
		t.Helper()
		x, errX := runWarm(t, a, "--csv")
		y, errY := runWarm(t, b, "--csv")
		if errX != nil || errY != nil || x != y {
			t.Errorf("%v, %v:\n%s\n%s", errX, errY, x, y)
		}
	}
	base := `{"diameter_m": 0.3, "height_m": 0.3, "start_c": 20, "film": 8, "ambient": 40, "properties": "P1", "report_h": [5]}`
	same(base, strings.Replace(base, `"film": 8`, `"film": {"side": 8, "bottom": 8, "top": 8}`, 1))
	same(base, strings.Replace(base, `"ambient": 40`, `"ambient": {"side": 40, "bottom": [[0, 40]], "top": 40}`, 1))
	same(base, strings.Replace(base, `"start_c": 20`, `"start_c": {"core": 20, "skin": 20}`, 1))
	same(base, strings.Replace(base, `"properties": "P1"`, `"properties": {"k": 0.53482, "k_per_c": 0.00118, "rho": 1420, "cp": 2260, "cp_per_c": 1.6}`, 1))
	same(strings.Replace(base, `"P1"`, `{"k": 0.54, "rho": 1420, "cp": 2300}`, 1), strings.Replace(base, `"P1"`, `{"w_m_k": 0.54, "density_kg_m3": 1420, "j_kg_k": 2300}`, 1))
	for _, form := range []string{
		`{"length_m": 1, "width_m": 1, "height_m": 0.8, "start_c": 20, "film": 8, "ambient": 40, "properties": "P1", "report_h": [24]}`,
		`{"mass_kg": 300, "jacket_m2": 1, "other_m2": 2, "start_c": 20, "film": {"side": 60, "top": 1.5}, "ambient": {"side": 55, "top": 18}, "properties": "P1", "report_h": [5]}`,
		`{"diameter_m": 0.57, "height_m": 0.85, "start_c": {"core": 20, "skin": 40, "mean": 32}, "film": 8, "wall": [{"thick_m": 0.003, "w_m_k": 0.3}], "ambient": [[0, 20], [6, 45]], "properties": "house", "assume_water": true, "report_h": [5], "heater": {"power_w": 3000, "loss_w_k": 20, "outside_c": 5, "bodies": 12}}`,
	} {
		if out, err := runWarm(t, form); err != nil {
			t.Errorf("%s: %v %s", form, err, out)
		}
	}
	if out, err := runWarm(t, `{"diameter_m": 0.57, "height_m": 0.85, "start_c": 15, "film": 8, "ambient": 45, "properties": "house", "assume_water": true, "report_h": [5]}`); err != nil ||
		!strings.Contains(out, "water is not known: 17.5 %") || !strings.Contains(out, "additive") {
		t.Errorf("assumed water: %v %s", err, out)
	}
}

// A table has no place for what was taken for granted: it goes to standard error.
func TestWarmTableTellsItsNotes(t *testing.T) {
	var out, errs bytes.Buffer
	text := strings.Replace(drumCase, `"P1"`, `"house", "assume_water": true`, 1)
	if err := Run(t.Context(), []string{"warm", "--case", "-", "--csv"}, false, strings.NewReader(text), &out, &errs); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(errs.String(), "note: the water is not known") || strings.Contains(out.String(), "note") {
		t.Errorf("%q on standard error", errs.String())
	}
}

// What a case may not be is refused with its figure or field.
func TestWarmRefuses(t *testing.T) {
	with := func(from, to string) string {
		if !strings.Contains(drumCase, from) {
			t.Fatalf("no %s in the case", from)
		}
		return strings.Replace(drumCase, from, to, 1)
	}
	house := `"properties": "house"`
	many := strings.TrimSuffix(strings.Repeat("1,", 1001), ",")
	for _, c := range []struct{ text, why string }{
		{"", "is empty"},
		{"{", "not what it should be"},
		{"[]", "case"},
		{"7", "no JSON object"},
		{drumCase + "x", "behind"},
		{with(`"start_c": 15`, `"start_c": "x"`), "start_c is a string, want a figure or an object of figures"},
		{with(`"diameter_m"`, `"daimeter_m"`), "did you mean diameter_m?"},
		{with(`"diameter_m"`, `"Diameter_m"`), "unknown field"},
		{with(`"side": 8`, `"side": 8, "side": 9`), "twice"},
		{with(`"side": 8`, `"sides": 8`), "film has an unknown field"},
		{with(`"start_c": 15`, `"start_c": "15"`), "start_c"},
		{with(`"start_c": 15,`, ``), "no start_c"},
		{with(`"report_h": [6, 12, 24, 48, 72, 96]`, `"report_h": []`), "no report_h"},
		{with("[6, 12,", "[12, 6,"), "rising order"},
		{with("[6, 12,", "[6, 6,"), "rising order"},
		{with("[6, 12, 24, 48, 72, 96]", "[-1]"), "-1"},
		{with("[6, 12, 24, 48, 72, 96]", "[1e9]"), "1e+09"},
		{with("[6, 12, 24, 48, 72, 96]", "["+many+"]"), "1001 hours"},
		{with("0.57", "-0.57"), "diameter -0.57"},
		{with("0.57", "0"), "diameter 0"},
		{with("0.85", "85"), "height 85"},
		{with(`"ambient": {"side": 50`, `"ambient": {"side": 300`), "300 °C"},
		{with(`"ambient": {"side": 50`, `"ambient": {"side": [[0, 15], [6, 50], [5, 40]]`), "goes back from 6 h to 5 h"},
		{with(`"ambient": {"side": 50`, `"ambient": {"side": [[0, 15, 3]]`), "3 figures"},
		{with(`"ambient": {"side": 50`, `"ambient": {"side": []`), "0 points"},
		{with(`"ambient": {"side": 50, `, `"ambient": {`), "ambient of the side is not given"},
		{with(`"film": {"side": 8, `, `"film": {`), "film has no side"},
		{with(`"side": 8`, `"side": -8`), "film of the side -8"},
		{with(`"start_c": 15`, `"start_c": 300`), "start 300 °C"},
		{with(`"P1"`, `"P2"`), "none of house, P1"},
		{with(`"P1"`, `{"k": 0.5}`), "no rho"},
		{with(`"P1"`, `{"k": 0.5, "w_m_k": 0.5, "rho": 1420, "cp": 2300}`), "both k and w_m_k"},
		{with(`"P1"`, `{"k": 0.5, "rho": -3, "cp": 2300}`), "density -3"},
		{with(`"properties": "P1"`, house), "no water_pct"},
		{with(`"properties": "P1"`, house+`, "water_pct": 25`), "water % 25"},
		{with(`"properties": "P1"`, house+`, "water_pct": 17, "school": "old"`), "school"},
		{with(`"width_k": 5`, `"width_k": 0`), "melting width 0"},
		{with(`"convection": false`, `"convection": 100`), "convection 100"},
		{with(`"convection": false`, `"rate": 100`), "rate 100"},
		{with(`"convection": false`, `"heater": {"power_w": 0}`), "no power"},
		{with(`"convection": false`, `"heater": {"power_w": 100, "faces": ["lid"]}`), "lid"},
		{with(`"convection": false`, `"start": {"a": {"b": {}}}`), "unknown field"},
		{strings.Repeat("[", 100), "deeper"},
		{strings.Repeat("{", longestCase+1), "bytes"},
	} {
		if out, err := runWarm(t, c.text); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%.120s: %v, want a refusal with %q\n%s", c.text, err, c.why, out)
		}
	}
}

// FuzzWarmCase: whatever comes, nothing panics, and what is taken has finite figures.
func FuzzWarmCase(f *testing.F) {
	f.Add(drumCase)
	f.Add(`{"mass_kg": 300, "jacket_m2": 1, "other_m2": 2, "start_c": 20, "film": {"side": 60, "top": 1.5}, "ambient": {"side": 55, "top": [[0, 18], [2, 18]]}, "properties": {"k": 0.5, "rho": 1400, "cp": 2300}, "report_h": [5]}`)
	f.Add(`{"diameter_m": 0.57, "heater": {"power_w": 1, "outside_c": [[0, 1]], "faces": ["side"]}, "wall": [{"thick_m": 1, "w_m_k": 1}]}`)
	f.Fuzz(func(t *testing.T, in string) {
		w, err := readWarmCase(in)
		if err != nil {
			return
		}
		s, err := Find("warm")
		if err != nil {
			t.Fatal(err)
		}
		c, err := w.heatCase(newQuery(s))
		if err != nil {
			return
		}
		for _, h := range c.ReportH {
			if math.IsNaN(h) || math.IsInf(h, 0) {
				t.Errorf("hour %g from %q", h, in)
			}
		}
		if s := fmt.Sprint(c.Faces); strings.Contains(s, "NaN") {
			t.Errorf("a face without a figure from %q: %s", in, s)
		}
	})
}

// Every reference transient, put as a case, comes out as its rows: the same tolerances as
// in package heat, of mean, centre and HMF.
func TestWarmReferenceCases(t *testing.T) {
	const drum = `"diameter_m": 0.57, "height_m": 0.85, "start_c": 15, "film": 8, "ambient": 50, `
	const grains = `"melt": {"latent_j_kg": 13008, "centre_c": 42, "width_k": 5}, `
	const room = `[[0, 15], [6, 50], [60, 50], [66, 20]]`
	cases := map[string]string{
		"S1_drum_const":           drum + `"properties": {"k": 0.54, "rho": 1420, "cp": 2300}, `,
		"S2_drum_liquid":          drum + `"properties": "P1", `,
		"S3_drum_granulated":      drum + grains + `"properties": "P1", `,
		"S4_drum_convecting":      drum + `"properties": "P1", "convection": true, `,
		"S5_drum_pallet_schedule": `"diameter_m": 0.57, "height_m": 0.85, "start_c": 12, "film": {"side": 10, "bottom": 0, "top": 5}, "ambient": {"side": ` + room + `, "bottom": 20, "top": ` + room + `}, "properties": "P1", ` + grains,
		"S6_bucket_waterbath":     `"diameter_m": 0.30, "height_m": 0.28, "start_c": 18, "film": {"side": 200, "bottom": 200, "top": 5}, "ambient": {"side": 50, "bottom": 50, "top": 20}, "properties": "P1", `,
		"S7_jar_rack":             `"diameter_m": 0.08, "height_m": 0.075, "start_c": 18, "film": {"side": 12, "bottom": 0, "top": 12}, "ambient": {"side": 45, "top": 45}, "properties": "P1", "melt": {"latent_j_kg": 10840, "centre_c": 38, "width_k": 4}, `,
	}
	f, err := os.Open("../heat/testdata/transient.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	want, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for name, form := range cases {
		var hours []string
		for _, w := range want {
			if w[0] == name {
				hours = append(hours, w[1])
			}
		}
		out, err := runWarm(t, "{"+form+`"report_h": [`+strings.Join(hours, ", ")+"]}", "--csv")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		got, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		row := 0
		for _, w := range want {
			if w[0] != name {
				continue
			}
			row++
			if h := figureOf(t, w[1]); h < 0.5 || name < "S6" && h < 6 {
				continue
			}
			for i, column := range want[0][1:17] {
				a, b := figureOf(t, w[i+1]), figureOf(t, got[row][i])
				if got[0][i] != column {
					t.Fatalf("column %d is %s, want %s", i, got[0][i], column)
				}
				tol := 0.05
				switch {
				case column == "T_mean" || column == "T_centre":
					tol = 0.01
				case column == "T_top_rim" && name > "S6" && name < "S7":
					tol = 0.1
				case strings.HasPrefix(column, "HMF"):
					tol = 0.003 * a
				case strings.HasPrefix(column, "diastase"):
					tol = 0.0005
				case column == "heat_stored_kJ":
					tol = 3e-4 * a
				case strings.HasPrefix(column, "liquid"):
					tol = 0.00125
				}
				if !(math.Abs(a-b) <= tol) {
					t.Errorf("%s, %s h: %s %g, want %g", name, w[1], column, b, a)
				}
			}
		}
	}
}
