package heat

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"combline/internal/quantity"
)

// published are the cases S1 to S7 of the reference transients: their definitions
// stand in testdata/transient_cases.csv.
func published(name string) Case {
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

func columns2(r Row) map[string]float64 {
	f := func(c quantity.Celsius) float64 { return float64(c) }
	return map[string]float64{"T_centre": f(r.Centre), "T_side_mid": f(r.SideMid), "T_bottom_axis": f(r.BottomAxis), "T_top_axis": f(r.TopAxis),
		"T_top_rim": f(r.TopRim), "T_mean": f(r.Mean), "T_min": f(r.Coldest), "T_max": f(r.Hottest), "HMF_add_mean_mgkg": float64(r.HMFMean),
		"HMF_add_max_mgkg": float64(r.HMFWorst), "diastase_kept_mean": r.DiastaseMean, "diastase_kept_min": r.DiastaseWorst,
		"liquid_frac_mean": r.LiquidMean, "liquid_frac_min": r.LiquidWorst, "heat_stored_kJ": r.StoredKJ}
}

func TestTry(t *testing.T) {
	byCase := map[string][]map[string]string{}
	for _, r := range table(t, "transient.csv") {
		byCase[r["case"]] = append(byCase[r["case"]], r)
	}
	for _, name := range []string{"S1_drum_const", "S2_drum_liquid", "S3_drum_granulated", "S4_drum_convecting", "S5_drum_pallet_schedule", "S6_bucket_waterbath", "S7_jar_rack"} {
		c := published(name)
		for _, r := range byCase[name] {
			c.ReportH = append(c.ReportH, num(t, r["t_h"]))
		}
		res, err := Run(c)
		if err != nil {
			t.Error(name, err)
			continue
		}
		t.Logf("%s %+v", name, res.Work)
		worst := map[string]float64{}
		at := map[string]float64{}
		for i, r := range byCase[name] {
			if h := num(t, r["t_h"]); h < 6 && name < "S6" || h < 0.5 {
				continue
			}
			for k, v := range columns2(res.Rows[i]) {
				want := num(t, r[k])
				e := math.Abs(v - want)
				if k[0] == 'H' || k[0] == 'h' {
					e /= want
				}
				if e > worst[k] {
					worst[k], at[k] = e, num(t, r["t_h"])
				}
			}
		}
		for k, v := range worst {
			t.Logf("  %-20s %.2g at %g", k, v, at[k])
		}
		last := res.Rows[len(res.Rows)-1]
		t.Logf("  closure %.2g", last.ClosureKJ/last.StoredKJ)
	}
}

func BenchmarkDrum(b *testing.B) {
	c := published("S2_drum_liquid")
	c.ReportH = []float64{6, 12, 24, 36, 48, 72, 96}
	for b.Loop() {
		if _, err := Run(c); err != nil {
			b.Fatal(err)
		}
	}
}
