package heat

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"combline/internal/quantity"
)

// reference are the cases S1 to S7 of the reference transients: their definitions
// stand in testdata/transient_cases.csv.
func reference(name string) Case {
	c := Case{Body: Drum(0.57, 0.85), Honey: Fixed(), Start: Even(15), Faces: All(8, Steady(50))}
	grains := &Melt{LatentJKg: 13008, Centre: 42, WidthK: 5}
	switch name {
	case "S1_drum_const":
		c.Honey.DensityKgM3, c.Honey.Conductivity, c.Honey.HeatCapacity = 1420, Line{At0: 0.54}, Line{At0: 2300}
	case "S3_drum_granulated":
		c.Melt = grains
	case "S4_drum_convecting":
		c.Convection = 1
	case "S5_drum_pallet_schedule":
		room := Program{{0, 15}, {6, 50}, {60, 50}, {66, 20}}
		c.Melt, c.Start = grains, Even(12)
		c.Faces = Faces{Side: Face{Film: 10, Ambient: room}, Top: Face{Film: 5, Ambient: room}}
	case "S6_bucket_waterbath":
		c.Body, c.Start = Drum(0.30, 0.28), Even(18)
		c.Faces = Faces{Side: Face{Film: 200, Ambient: Steady(50)}, Bottom: Face{Film: 200, Ambient: Steady(50)}, Top: Face{Film: 5, Ambient: Steady(20)}}
	case "S7_jar_rack":
		c.Body, c.Start = Drum(0.08, 0.075), Even(18)
		c.Melt = &Melt{LatentJKg: 10840, Centre: 38, WidthK: 4}
		c.Faces = Faces{Side: Face{Film: 12, Ambient: Steady(45)}, Top: Face{Film: 12, Ambient: Steady(45)}}
	}
	return c
}

func table(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[all[0][i]] = v
		}
		rows = append(rows, m)
	}
	return rows
}

func num(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// figures gives a row under the names of the reference's columns.
func figures(r Row) map[string]float64 {
	f := func(c quantity.Celsius) float64 { return float64(c) }
	return map[string]float64{"T_centre": f(r.Centre), "T_side_mid": f(r.SideMid), "T_bottom_axis": f(r.BottomAxis), "T_top_axis": f(r.TopAxis),
		"T_top_rim": f(r.TopRim), "T_mean": f(r.Mean), "T_min": f(r.Coldest), "T_max": f(r.Hottest), "HMF_add_mean_mgkg": float64(r.HMFMean),
		"HMF_add_max_mgkg": float64(r.HMFWorst), "diastase_kept_mean": r.DiastaseMean, "diastase_kept_min": r.DiastaseWorst,
		"liquid_frac_mean": r.LiquidMean, "liquid_frac_min": r.LiquidWorst, "heat_stored_kJ": r.StoredKJ}
}

// The reference was made on 31×31 nodes and agrees with the exact series to 7 digits.
// What may be missed is what it asks of a good program: mean and centre 0.01 K, other
// points 0.05 K (0.1 K in the water bath, whose rim has a jump), HMF 0.3 %, diastase
// 0.0005, from 6 h on for drums and from half an hour for pail and jar. Liquid shares
// follow a temperature within 0.01 K times their steepest slope, 1/(2·width) = 0.125/K;
// heat follows the mean: 0.01 K of 35.
func TestTransients(t *testing.T) {
	byCase := map[string][]map[string]string{}
	for _, r := range table(t, "transient.csv") {
		byCase[r["case"]] = append(byCase[r["case"]], r)
	}
	for name, rows := range byCase {
		c := reference(name)
		for _, r := range rows {
			c.ReportH = append(c.ReportH, num(t, r["t_h"]))
		}
		res, err := Run(c)
		if err != nil {
			t.Fatal(name, err)
		}
		from := 6.0
		if strings.HasPrefix(name, "S6") || strings.HasPrefix(name, "S7") {
			from = 0.5
		}
		for i, r := range rows {
			if num(t, r["t_h"]) < from {
				continue
			}
			for column, got := range figures(res.Rows[i]) {
				want := num(t, r[column])
				if tol := allowed(name, column, want); !(math.Abs(got-want) <= tol) {
					t.Errorf("%s %s h: %s %.6g, want %.6g within %.2g", name, r["t_h"], column, got, want, tol)
				}
			}
		}
		end := last(res)
		if share := end.ClosureKJ / end.StoredKJ; !(math.Abs(share) < 1e-5) {
			t.Errorf("%s: %.2g of the heat is not accounted for, want less than 1e-5", name, share)
		}
	}
}

func allowed(name, column string, want float64) float64 {
	switch {
	case column == "T_mean" || column == "T_centre":
		return 0.01
	case column == "T_top_rim" && strings.HasPrefix(name, "S6"):
		return 0.1
	case strings.HasPrefix(column, "T_"):
		return 0.05
	case strings.HasPrefix(column, "HMF"):
		return 0.003 * want
	case strings.HasPrefix(column, "diastase"):
		return 0.0005
	case strings.HasPrefix(column, "liquid"):
		return 0.01 * 0.125
	}
	return want * 0.01 / 35
}

// Hours at which the mean or the coldest point passes a temperature: 0.05 h, and 0.2 h
// for the coldest point of S5 to S7, which the reference took at its nodes.
func TestCrossings(t *testing.T) {
	eachCrossing(t, func(r map[string]string, got, want float64) {
		tol := 0.05
		if r["which"] == "min" && r["case"] > "S5" {
			tol = 0.2
		}
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %s at %s °C after %.4f h, want %.4f within %g", r["case"], r["which"], r["threshold_C"], got, want, tol)
		}
	})
}

func eachCrossing(t *testing.T, see func(r map[string]string, got, want float64)) {
	t.Helper()
	rows := map[string][]map[string]string{}
	for _, r := range table(t, "transient_crossing.csv") {
		rows[r["case"]] = append(rows[r["case"]], r)
	}
	for name, all := range rows {
		c := reference(name)
		c.ReportH = []float64{6, 120}
		if name == "S7_jar_rack" {
			c.ReportH = []float64{0.5, 8}
		}
		for _, r := range all {
			w := Target{Mean: quantity.Celsius(num(t, r["threshold_C"]))}
			if r["which"] == "min" {
				w = Target{Coldest: w.Mean}
			}
			c.Watch = append(c.Watch, w)
		}
		res, err := Run(c)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range all {
			see(r, res.MetH[i], num(t, r["t_h"]))
		}
	}
}

// The variants of the 300 kg drum; their own source states three decimals of an hour
// and four digits of the rest, so the tolerances of the transients hold.
func TestDrumSensitivity(t *testing.T) {
	eachVariant(t, func(name string, r map[string]string, res Result) {
		for i, column := range []string{"t_mean40_h", "t_min40_h", "t_min45_h"} {
			if r[column] == "" {
				if !math.IsNaN(res.MetH[i]) {
					t.Errorf("%s: %s %.3f h, want never", name, column, res.MetH[i])
				}
				continue
			}
			tol := 0.05
			if strings.HasSuffix(name, "adiabatic_bottom") && i > 0 {
				tol = 0.2 // the coldest point lies between the reference's nodes
			}
			if want := num(t, r[column]); !(math.Abs(res.MetH[i]-want) <= tol) {
				t.Errorf("%s: %s %.3f h, want %.3f", name, column, res.MetH[i], want)
			}
		}
		row := res.Rows[1]
		for column, x := range map[string][2]float64{"T_centre_48h": {float64(row.Centre), 0.01}, "T_mean_48h": {float64(row.Mean), 0.01},
			"HMF_mean_48h": {float64(row.HMFMean), 0.003 * float64(row.HMFMean)}, "HMF_max_48h": {float64(row.HMFWorst), 0.003 * float64(row.HMFWorst)},
			"diastase_kept_mean_48h": {row.DiastaseMean, 0.0005}} {
			if want := num(t, r[column]); !(math.Abs(x[0]-want) <= x[1]) {
				t.Errorf("%s: %s %.5g, want %.5g within %.2g", name, column, x[0], want, x[1])
			}
		}
	})
}

func eachVariant(t *testing.T, see func(name string, r map[string]string, res Result)) {
	t.Helper()
	for _, r := range table(t, "drum_sensitivity.csv") {
		name := r["variant_of_300kg_drum_15C_to_50C_room"]
		c := reference("S2_drum_liquid")
		switch {
		case strings.HasPrefix(name, "const_k"):
			c.Honey.Conductivity, c.Honey.HeatCapacity = Line{At0: num(t, name[7:11])}, Line{At0: 2300}
		case strings.HasSuffix(name, "adiabatic_bottom"):
			c.Faces.Bottom = Face{}
		case strings.HasSuffix(name, "room45"):
			c.Faces = All(8, Steady(45))
		case strings.HasSuffix(name, "room55"):
			c.Faces = All(8, Steady(55))
		case strings.HasSuffix(name, "nu"):
			c.Convection = 1
		default:
			c.Faces = All(num(t, strings.TrimPrefix(name, "P1_h")), Steady(50))
		}
		c.ReportH, c.Watch = []float64{6, 48, 120}, []Target{{Mean: 40}, {Coldest: 40}, {Coldest: 45}}
		res, err := Run(c)
		if err != nil {
			t.Fatal(err)
		}
		see(name, r, res)
	}
}

// The flow reckoned cell by cell in the liquid drum is a coarse reference for the melt's
// own stirring: its grids differ by 0.05 K in the mean. The model claims to be good to
// about an hour of the mean's warming (1.0 h at 40 °C, 1.7 h late on).
func TestConvectionFlow(t *testing.T) {
	c := reference("S4_drum_convecting")
	for h := 0.5; h < 39; h += 0.5 {
		c.ReportH = append(c.ReportH, h)
	}
	res, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	meanAt := func(h float64) float64 { return float64(res.Rows[int(2*h)-1].Mean) }
	for _, r := range table(t, "convection_reference.csv") {
		h, want := num(t, r["t_h"]), num(t, r["T_mean"])
		if h > 2 && !(meanAt(h-2) <= want && want <= meanAt(h+2)) {
			t.Errorf("%g h: mean %.2f, the flow has %.2f", h, meanAt(h), want)
		}
	}
}
