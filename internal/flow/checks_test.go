package flow

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"combline/internal/quantity"
)

// A row is one published check: how it was made, its value and its own tolerance.
type row struct {
	id, section, what, inputs, unit, method string
	value, tol                              float64
}

func checkRows(t *testing.T) (all []row) {
	t.Helper()
	f, err := os.Open("testdata/checks.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lines[1:] {
		value, err := strconv.ParseFloat(l[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		tol, err := strconv.ParseFloat(l[6], 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, row{l[0], l[1], l[2], l[3], l[5], l[7], value, tol})
	}
	return all
}

func must[T any](t *testing.T) func(x T, err error) T {
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// got works out every row from the inputs that stand in it.
func got(t *testing.T) map[string]float64 {
	n := must[float64](t)
	w := must[quantity.WaterPct](t)
	p1 := func(c, water float64) Liquid {
		return must[Liquid](t)(Fixed(quantity.Celsius(c), quantity.WaterPct(water)))
	}
	warm := p1(35, 17)
	bubbles := Liquid{1412, warm.ViscosityPaS} // the row names Δρ
	cold := Liquid{1415, 4}
	accel := 239.886218
	cell := Cell{Start: 19.5, Room: w(EquilibriumWater(0.40)), DepthM: 0.011, M2S: 2e-11}
	room, outside := Air{35, 0.35}, Air{20, 0.60}
	water := n(WaterToRemove(600, 19, 17.5))
	load := Load{Load: 90, Ramp: 45, Spin: 420, Brake: 30, Unload: 60}
	frames := n(ExtractorRate(60, load))
	perHour, _, err := Bottleneck([]Station{{"uncapping", 3600.0 / 7, 1}, {"extractor", frames, 1}})
	if err != nil {
		t.Fatal(err)
	}
	pipe := func(rise float64) Pumping {
		return must[Pumping](t)(Pump(Liquid{1410, warm.ViscosityPaS}, 600, Pipe{DiameterM: 0.050, LongM: 6, RiseM: rise}, 0.45, 2300))
	}
	mesh := Weave{0.2e-3, 0.4e-3}
	gate := Gate{0.04, 0.15}
	tank := Liquid{1410, warm.ViscosityPaS}
	jobs := []Batch{{4, 4}, {10, 2}, {3, 12}, {1, 3}, {6, 5}, {4, 3}}
	shop := func(room int) float64 { return must[Sequence](t)(BestOrder(jobs, room)).Hours }
	oee := must[OEE](t)(UseOfLine(480, 402, 0.5, 720, 706))
	take, err := FramesToTake(Stores{Have: 34, Need: 18, LateFlow: 2, Reserve: 4}, 2.2)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]float64{
		"psat_25": n(SaturationPa(25)), "psat_35": n(SaturationPa(35)),
		"flux_gas": n(GasSide(19, 35, room, 8)), "weq_55": float64(w(EquilibriumWater(0.55))),
		"cell_dry_24": float64(w(cell.OpenCell(24))), "cell_dry_168": float64(w(cell.OpenCell(168))),
		"humratio": n(HumidityRatio(room)), "water_removed": water,
		"vent_air": n(VentAir(water, 48, room, outside)), "latent_load": n(LatentLoadW(water, 48)),
		"G_250": n(Field(250, 0.35)), "G_180": n(Field(180, 0.30)), "rpm_30g": n(TurnsFor(30, 0.35)),
		"drain_tan": n(FilmTime(cold, Tangential.Along(accel), 0.05)), "drain_rad": n(FilmTime(cold, Radial.Along(accel), 0.05)),
		"gcrit": n(StartField(cold)), "plug_U": n(FingerSpeed(cold, accel)), "comb_press": n(CombPressure(cold, accel)),
		"film_frac": n(FilmLeft(cold, accel, 0.8e-3, cellLongM, 2)), "ext_rate": frames, "line_rate": perHour / 9,
		"bub_1mm_35": n(Rise(bubbles, Bubble, 1e-3)), "bub_mob": n(Rise(bubbles, MobileBubble, 1e-3)),
		"bub_02_clear": n(ClearHours(bubbles, Bubble, 0.2e-3, 1)), "dcut_24": 1000 * n(CutSize(bubbles, Bubble, 1, 24)),
		"remain_12": n(StillIn(bubbles, Bubble, Sizes{0.3e-3, 2}, 1, 12)),
		"pipe_dp":   pipe(0).DropPa / 1e5, "pipe_re": pipe(0).Reynolds, "pipe_shear": pipe(0).ShearPerS, "pump_W": pipe(2).PowerW,
		"screen_pl": n(Perforated(warm, 2e-4, 2e-3, 0.5e-3, 0.5e-3)), "mesh_eps": n(mesh.Void()), "mesh_dp": n(Woven(warm, mesh, 1e-3)),
		"drain_tau": n(DrainSeconds(tank, 0.95, gate)), "drain_t": n(DrainHours(tank, 0.95, gate, 1, 0.1)),
		"two_machine_0": n(TwoStations(10, 12, 0)), "two_machine_3": n(TwoStations(10, 12, 3)), "two_machine_5": n(TwoStations(10, 10, 5)),
		"oee": oee.Index, "johnson": shop(Unlimited), "block0": shop(0), "block1": shop(1),
		"frames": float64(take), "syrup": n(StoresFromSugar(10, 18, 0.15)),
	}
}

// Every published check of drying, spinning, settling, straining, pumping, lines and
// stores, within the tolerance that its row names, or half of the last of the eight
// digits that its value is printed with.
func TestPublishedChecks(t *testing.T) {
	const printed = 5e-8
	have := got(t)
	rows := checkRows(t)
	for _, r := range rows {
		x, ok := have[r.id]
		if !ok {
			t.Errorf("%s: not worked out", r.id)
		} else if off := math.Abs(x/r.value - 1); !(off <= max(r.tol, printed)) {
			t.Errorf("%s (%s): %.9g, want %.9g: off by %.1e, may be %.1e (%s)", r.id, r.what, x, r.value, off, r.tol, r.method)
		}
	}
	if len(rows) != 44 || len(have) != len(rows) {
		t.Errorf("%d rows, %d worked out; want 44 of both", len(rows), len(have))
	}
}
