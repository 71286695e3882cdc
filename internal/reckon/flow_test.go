package reckon

import "testing"

// The published checks of drying, spinning, settling, straining, pumping, lines and
// stores, asked as a person would (process sheet; package flow tests every row). The
// tolerance is half the last digit written here, in the sheet's own property set.
func TestFlowFigures(t *testing.T) {
	const mu = " --water-pct 17 --temp-c 35 --properties p1"
	for _, c := range []struct {
		line, name string
		want, tol  float64
	}{
		{"room-air --temp-c 35 --rh-pct 35", "saturation_pa", 5612.84, 0.005},
		{"room-air --temp-c 35 --rh-pct 35", "kg_kg", 0.0122978, 5e-8},
		{"room-air --temp-c 35 --rh-pct 55", "equilibrium_pct", 17.257143, 5e-7},
		{"drying-air --water-pct 19 --honey-c 35 --room-c 35 --rh-pct 35 --film-w-m2-k 8", "g_m2_h", 253.00755, 5e-5},
		{"comb-dry --water-pct 19.5 --rh-pct 40 --hours 24", "then_pct", 18.04175, 5e-6},
		{"comb-dry --water-pct 19.5 --rh-pct 40 --target-pct 15.641848 --m2-s 2e-11", "until_h", 168, 1e-3},
		{"comb-fit --water-pct 19.5 --then-pct 18.04175 --hours 24 --rh-pct 40", "m2_s", 2e-11, 1e-16},
		{"water-off --honey-kg 600 --water-pct 19 --target-pct 17.5 --hours 48 --room-c 35 --rh-pct 35 --outside-c 20 --outside-rh-pct 60", "water_kg", 10.909091, 5e-7},
		{"water-off --honey-kg 600 --water-pct 19 --target-pct 17.5 --hours 48 --room-c 35 --rh-pct 35 --outside-c 20 --outside-rh-pct 60", "vent_kg_h", 63.376783, 1e-5},
		{"water-off --honey-kg 600 --water-pct 19 --target-pct 17.5 --hours 48", "drier_w", 152.77778, 5e-5},
		{"field --rpm 250 --radius-m 0.35", "times_g", 24.461587, 5e-7},
		{"field --field-g 30 --radius-m 0.35", "turns", 276.8588, 5e-5},
		{"spin --rpm 250 --radius-m 0.35 --basket tangential --left-pct 5 --water-pct 17 --temp-c 30 --viscosity-pa-s 4 --density-kg-m3 1415", "film_s", 13.722771, 5e-6},
		{"spin --rpm 250 --radius-m 0.35 --basket radial --left-pct 5 --water-pct 17 --temp-c 30 --viscosity-pa-s 4 --density-kg-m3 1415", "film_s", 71.918888, 5e-5},
		{"spin --rpm 250 --radius-m 0.35 --basket radial --left-pct 5 --water-pct 17 --temp-c 30", "start_g", 2.5, 0.05}, // the sheet: 0.5 g tangential, 2.5 radial
		{"spin --rpm 250 --radius-m 0.35 --basket tangential --left-pct 5 --water-pct 17 --temp-c 30 --viscosity-pa-s 4 --density-kg-m3 1415", "finger_mm_s", 23.837104, 5e-6},
		{"spin --rpm 250 --radius-m 0.35 --basket tangential --left-pct 5 --water-pct 17 --temp-c 30 --viscosity-pa-s 4 --density-kg-m3 1415 --film-mm 0.8 --after-s 2", "film_left_share", 0.2169211, 5e-8},
		{"field --rpm 250 --radius-m 0.35 --density-kg-m3 1415", "comb_kpa", 3.9035485, 5e-8},
		{"tank-bank --tanks 2 --holds-kg 1200 --fill-h 8 --settle-h 40 --empty-h 2", "kg_h", 48, 1e-9}, // 2·1,200/50
		{"water-off --honey-kg 0 --water-pct 19 --target-pct 18 --hours 3", "drier_w", 0, 0},
		{"extractor-rate --frames 60 --load-s 90 --ramp-s 45 --spin-s 420 --brake-s 30 --unload-s 60", "frames_h", 334.88372, 5e-6},
		{"line --stations \"uncapping extractor\" --per-hour \"514.2857 334.88372\" --per-super 9", "supers_h", 37.209302, 1e-5},
		{"two-stations --first-h 10 --second-h 12 --between 3", "line_h", 8.9929425, 5e-8},
		{"sequence --batches \"4,4 10,2 3,12 1,3 6,5 4,3\"", "hours", 30, 0},
		{"sequence --batches \"4,4 10,2 3,12 1,3 6,5 4,3\" --room 0", "hours", 33, 0},
		{"sequence --batches \"4,4 10,2 3,12 1,3 6,5 4,3\" --room 1", "hours", 31, 0},
		{"line-use --planned-min 480 --ran-min 402 --piece-min 0.5 --made 720 --good 706", "index", 0.73541667, 5e-9},
		{"settle --diameter-mm 0.2 --depth-m 1 --kind bubble --density-kg-m3 1412" + mu, "hours_clear", 22.42749, 5e-6},
		{"settle --diameter-mm 1 --depth-m 1 --kind mobile-bubble --density-kg-m3 1412" + mu, "speed_m_day", 0.00046445977 * 86400, 1e-6},
		{"settle --diameter-mm 1 --depth-m 1 --hours 24 --density-kg-m3 1412" + mu, "cut_mm", 0.19333688, 5e-9},
		{"still-in --median-mm 0.3 --spread 2 --depth-m 1 --hours 12 --density-kg-m3 1412" + mu, "left_share", 0.24460447, 5e-9},
		{"strainer-plate --speed-mm-s 0.2 --pitch-mm 2 --hole-mm 1 --plate-mm 0.5" + mu, "drop_pa", 88.19082, 5e-6},
		{"strainer-cloth --speed-mm-s 1 --wire-mm 0.2 --opening-mm 0.4" + mu, "drop_pa", 497.18695, 5e-6},
		{"pump --flow-kg-h 600 --pipe-mm 50 --long-m 6 --rise-m 2 --density-kg-m3 1410" + mu, "power_w", 10.281385, 5e-7},
		{"drain --tank-m 0.95 --gate-mm 40 --gate-long-m 0.15 --from-m 1 --to-m 0.1 --density-kg-m3 1410" + mu, "hours", 0.19446789, 5e-9},
		{"sugar-stores --sugar-kg 10", "stores_kg", 10.911401, 5e-7},
		{"winter-stores --stores-kg 34 --need-kg 18 --late-flow-kg 2 --reserve-kg 4 --frame-kg 2.2", "frames", 6, 0},
		// job sheet, worked answer 11: 36 h; its viscosity is read off a table to two digits
		{"settle --diameter-mm 0.2 --water-pct 16 --temp-c 35 --depth-m 1.1 --kind bubble", "days", 1.5, 0.1},
		// scenario R1: 18.22 % has 19.5 % between 12 % crystals
		{"soft-set --honey-kg 1160 --water-pct 18.22 --seed-kg 60 --seed-water-pct 18.22 --yeast-per-g 1521", "liquid_water_pct", 19.5, 0.05},
	} {
		near(t, must(t, c.line), c.name, c.want, c.tol)
	}
	is(t, must(t, "comb-heat --temp-c 38.5"), "comb", "alarm")
	is(t, must(t, "comb-dry --water-pct 18 --rh-pct 60 --hours 24"), "wets", "yes")
	is(t, must(t, "line --stations \"uncapper extractor pump\" --per-hour \"514 335 900\""), "slowest", "extractor")
	for _, bad := range []string{
		"comb-dry --water-pct 19 --rh-pct 58 --target-pct 17", // never that dry
		"settle --diameter-mm 0 --water-pct 17 --temp-c 35 --depth-m 1",
		"settle --diameter-mm 0.2 --water-pct 17 --temp-c 35 --depth-m -1",
		"settle --diameter-mm 0.2 --kind wax --water-pct 17 --temp-c 35 --depth-m 1 --density-kg-m3 900", // wax sinks in it
		"settle --diameter-mm 0.2 --kind wax --water-pct 17 --temp-c 35 --depth-m 1 --density-kg-m3 965",
		"still-in --median-mm 0.3 --spread 2 --kind wax --water-pct 17 --temp-c 35 --depth-m 1 --hours 12 --density-kg-m3 900",
		"sequence --batches \"4,4 10\"",
		"line --stations \"a b\" --per-hour \"1\"",
		"winter-stores --stores-kg 40",
	} {
		if _, err := ask(t, bad); err == nil {
			t.Errorf("%s was answered", bad)
		}
	}
}
