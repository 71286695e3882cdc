package reckon

import (
	"math"
	"testing"
)

// ask answers a question typed as flags.
func ask(t *testing.T, line string) (*Query, error) {
	t.Helper()
	o, err := readOptions(parted(line))
	if err != nil {
		return nil, err
	}
	q := newQuery(o.subject)
	q.full = true
	if err := q.read(o.flags); err != nil {
		return nil, err
	}
	return q, q.reckon()
}

func (q *Query) answered(name string) value { return q.out[q.answerAt(name)] }

// Each figure was published, or follows from a published rule by arithmetic that its
// source column shows. The tolerance is half the last digit printed, where no other
// reason is given; the models' own packages test every published row.
func TestFigures(t *testing.T) {
	for _, c := range []struct {
		line   string
		name   string
		want   float64
		tol    float64
		source string
	}{
		{"water --index 1.4915", "water_pct", 18.0, 0.05, "AOAC 969.38"},
		{"water --index 1.5044 --temp-c 20", "water_pct", 13.0, 0.05, "AOAC 969.38, driest row"},
		{"water --index 1.49035 --temp-c 25", "water_pct", 18.0, 0.05, "the same row, 5 × 0.00023 lower for 25 °C (Bogdanov 2011)"},
		{"water --brix 79.7", "water_pct", 18.59, 0.1, "n 1.490 is 79.7 °Bx on the sucrose scale and 18.6 % in AOAC 969.38; both rounded"},
		{"index --water-pct 18", "index", 1.4915, 0.0001, "AOAC 969.38, backwards"},
		{"index --water-pct 18 --temp-c 25", "index", 1.49035, 0.0001, "the same, 5 × 0.00023 lower"},
		{"brix --index 1.4900", "brix", 79.7, 0.05, "sucrose scale, ICUMSA 1974"},
		{"activity --water-pct 18.6", "activity", 0.5735, 0.00005, "Alcalá and Gómez 1990 by hand: 0.248 + 0.0175 × 18.6 (from memory)"},
		{"activity-safe --water-pct 18.6", "activity_safe", 0.5949, 0.0001, "Chirife 2006 by hand: 0.262 + 0.0179 × 18.6 (from memory)"},
		{"humidity --rh-pct 65", "water_pct", 20.9, 0.05, "Martin 1958 (from memory)"},
		{"air --water-pct 20.9", "rh_pct", 65, 0.1, "Martin 1958, backwards; the fit is 0.022 points off"},
		{"density --water-pct 17 --temp-c 20", "density_kg_m3", 1.4237 * 998.2, 0.4, "White 1975, SG 20/20 (from memory); the fit is 0.024 % off"},
		{"gravity --water-pct 18.6", "specific_gravity", 1.4129, 0.00005, "US grade standard's pair for 18.6 %"},
		{"gravity --water-pct 21", "lb_per_gallon", 11.63, 0.02, "trade journal's wettest honey; within 0.15 %"},
		{"viscosity --water-pct 16.5 --temp-c 25", "viscosity_pa_s", 9.4, 0.4, "Munro 1943, white clover (from memory); honeys differ by 10 %"},
		{"viscosity --water-pct 16.5 --temp-c 25 --factor 1.033", "viscosity_pa_s", 9.4, 0.05, "the same with the lot's own factor"},
		{"viscosity-factor --measured-pa-s 9.4 --water-pct 16.5 --temp-c 25", "factor", 1.033, 0.01, "the same, backwards"},
		{"heat-capacity --water-pct 17.4 --temp-c 20", "kj_kg_k", 2.26, 0.005, "Helvey 1954"},
		{"conductivity --water-pct 21 --temp-c 21", "w_m_k", 0.5230, 0.004, "Townsend 1961 (from memory); the line is 0.7 % off"},
		{"conductivity --water-pct 17 --temp-c 20", "w_m_k_low", 0.34, 0.005, "additive estimate, 0.32 to 0.35"},
		{"diffusivity --water-pct 17 --temp-c 20", "mm2_s", 0.166, 0.001, "0.532/(1421 × 2250) by hand"},
		{"melting-heat --crystals-pct 15", "kj_kg", 15.75, 0.01, "105 J/g × 15 % by hand"},
		{"hmf --temp-c 50 --days 1", "hmf_added_mg_kg", 4.96, 0.01, "the fitted rate at its own reference"},
		{"hmf --temp-c 50 --days 6", "hmf_added_mg_kg", 30, 1, "White et al. 1964 in reprint: 30 mg/kg in 4 to 10 days, middle 6.3"},
		{"hmf --temp-c 50 --days 1 --rate 2", "hmf_added_mg_kg", 9.92, 0.01, "twice as fast"},
		{"hmf-days --temp-c 40 --rise-mg-kg 30", "days", 31.6, 3, "White et al. 1964 in reprint: 20 to 50 days; the fit is 10 % off there"},
		{"diastase --temp-c 40", "half_life_days", 31, 0.5, "White et al. 1964"},
		{"invertase --temp-c 40", "half_life_days", 9.6, 0.2, "White et al. 1964 (from memory), within 2 %"},
		{"diastase-left --temp-c 40 --days 31 --before 18", "left", 9, 0.1, "half of it after White's half-life"},
		{"invertase-left --temp-c 40 --days 9.6", "left", 50, 1, "the same, in %"},
		{"yeast --temp-c 60", "kill_min", 22, 0.5, "Townsend 1939 (from memory)"},
		{"yeast-hold --temp-c 60 --minutes 22", "kills", 1, 0.02, "the same"},
		{"set-ferment --water-pct 17.8 --crystals-pct 12", "liquid_water_pct", 19.0, 0.05, "mass balance: (17.8 − 12/11)/0.88"},
		{"granulation --glucose-pct 34 --water-pct 17", "glucose_water", 2, 1e-9, "34/17"},
		{"colour --od560 0.595", "pfund_mm", 50, 1e-9, "US grade standard, Extra Light Amber's end"},
		{"colour --pfund-mm 85", "pfund_mm", 85, 0, "as read"},
		{"colour --absorbance635 0.33", "pfund_mm", 83.86, 0.01, "White 1984 by hand: −38.70 + 371.39 × 0.33 (from memory)"},
		{"od --pfund-mm 85", "od560", 1.389, 1e-9, "US grade standard, Light Amber's end"},
		{"energy --carbohydrate-g 82 --protein-g 0.3 --fat-g 0 --fibre-g 0 --rules eu", "kcal", 329.2, 1e-9, "Regulation 1169/2011 annex XIV: 4 × 82.3"},
		{"energy --carbohydrate-g 82 --protein-g 0.3 --fat-g 0 --fibre-g 0 --rules eu", "kj", 1399.1, 1e-9, "the same: 17 × 82.3"},
		{"energy --carbohydrate-g 82.4 --protein-g 0.3 --fat-g 0 --fibre-g 0 --rules us", "kcal", 304, 1, "US food database, honey: 304 kcal"},
		{"carbohydrate --water-pct 17.1 --protein-g 0.3 --fat-g 0 --ash-g 0.2", "carbohydrate_g", 82.4, 1e-9, "US food database, honey: 17.10, 0.30, 0, 0.20, 82.40"},
		{"dextrose --glucose-pct 31.3 --fructose-pct 38.2 --maltose-pct 7.3 --water-pct 17.2", "dextrose_equivalent", 88.6, 0.05, "(69.5 + 0.526 × 7.3)/0.828"},
		{"composition --population us", "fructose_pct", 38.2, 0, "White et al. 1962"},
		{"declare --nutrient eu-salt --value 0.0123", "declared", 0.01, 1e-12, "Commission guidance 2012: under 0.0125 g"},
		{"salt --sodium-g 0.4", "salt_g", 1, 1e-12, "Regulation 1169/2011 annex I"},
		{"limit --property moisture --rules eu", "limit", 20, 0, "Directive 2001/110/EC annex II"},
		{"limit --property moisture --rules eu --plant ling-heather", "limit", 23, 0, "Directive 2001/110/EC annex II"},
		{"limit --property moisture --rules eu --cooking yes", "limit", 23, 0, "Directive 2001/110/EC annex II"},
		{"limit --property conductivity --rules eu --kind honeydew", "limit", 0.8, 0, "Directive 2001/110/EC annex II"},
		{"limit --property hmf --rules codex --tropical yes", "limit", 80, 0, "CXS 12-1981 (from memory)"},
		{"limit --property moisture --rules us --grade a", "limit", 18.6, 0, "US grade standard"},
		{"tolerance --label-g 340 --rules eu", "tolerance_g", 10.2, 1e-9, "Directive 76/211/EEC annex I: 3 %"},
		{"tolerance --label-g 250 --rules uk", "t1_g", 241, 1e-9, "9 g"},
		{"tolerance --label-g 500 --rules oiml", "t2_g", 470, 1e-9, "twice 15 g (R 87, from memory)"},
		{"target --label-g 340 --sd-g 1.7 --rules eu --checked 20", "target_g", 340.76, 0.005, "340 + 2 × 1.7/√20"},
		{"target --label-g 340 --sd-g 6 --rules eu", "target_g", 341.92, 1e-9, "T2 319.6 + 3.72 × 6"},
		{"minimum-target --label-g 340 --sd-g 1.7", "target_g", 345.1, 1e-9, "340 + 3 × 1.7, common practice"},
		{"crossover --label-g 340 --rules eu", "sd_g", 5.795, 0.0005, "10.2/1.76"},
		{"mean-test --label-g 340 --n 50 --mean-g 339.5 --sd-g 3 --rules eu", "limit_g", 338.863, 1e-9, "Directive 76/211/EEC annex II: 340 − 0.379 × 3"},
		{"mean-test --label-g 340 --n 30 --mean-g 339.5 --sd-g 3 --rules uk", "limit_g", 338.491, 1e-9, "340 − 0.503 × 3"},
		{"jar --label-g 340 --net-g 328.5 --rules eu", "under_g", 11.5, 1e-9, "340 − 328.5"},
		{"sampling --batch 400 --rules eu", "sample", 30, 0, "Directive 76/211/EEC annex II 2.2.1"},
		{"sampling --batch 400 --rules uk --method single", "sample", 50, 0, "Packaged Goods Regulations 2006, Sch. 2"},
		{"sampling --batch 400 --rules eu --method destructive", "mean_factor", 0.64, 1e-9, "Directive 76/211/EEC annex II 2.3.3"},
		{"scale --class III --interval-g 1 --load-g 600", "error_initial_g", 1, 0, "OIML R 76-1 table 6: above 500 e"},
		{"scale-class --class III --interval-g 1 --capacity-g 6000", "least_g", 20, 0, "OIML R 76-1 table 3: 20 e"},
		{"jar-scale --label-g 340 --rules eu --class III --interval-g 1 --capacity-g 6000", "allowed_g", 2.04, 1e-9, "French arrete of 1978 art. 9: T/5"},
		{"test-weight --nominal-g 100", "error_g", 0.005, 0, "OIML R 111-1 table 1, M1"},
		{"filler --fill-g 340 --x 1", "error_in_service_g", 10.2, 1e-9, "SI 2000/388 Sch. 5: 3 %"},
		{"gtin --digits 629104150021", "check_digit", 3, 0, "GS1's worked example"},
		{"figure-height --label-g 340 --rules eu", "height_mm", 4, 0, "Directive 76/211/EEC annex I 3.1"},
		{"e-mark --label-g 340", "height_mm", 3, 0, "Directive 76/211/EEC annex I 3.3"},
		{"letter-height --largest-cm2 79", "height_mm", 0.9, 0, "Regulation 1169/2011 art. 13(3)"},
		{"type-height --panel round --height-in 4 --width-in 9", "panel_sq_in", 14.4, 1e-9, "21 CFR 101.1: 40 % of 36"},
		{"type-height --panel round --height-in 4 --width-in 9", "type_in", 0.125, 0, "21 CFR 101.7(i) (from memory)"},
		{"two-part --a-kg 600 --b-kg 300 --a-pct 17.2 --b-pct 18.8", "water_pct", 17.7333, 0.0001, "(600 × 17.2 + 300 × 18.8)/900"},
	} {
		q, err := ask(t, c.line)
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		if v := q.answered(c.name); !v.given || !(math.Abs(v.number-c.want) <= c.tol) {
			t.Errorf("%s: %s %v, want %v (%s)", c.line, c.name, v, c.want, c.source)
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ line, name, want, source string }{
		{"ferment --water-pct 17.1", "safe", "yes", "Lochhead 1933: to 17.1 % any count"},
		{"ferment --water-pct 18 --yeast-per-g 1000", "safe", "yes", "Lochhead 1933: to 18 % 1000"},
		{"ferment --water-pct 18.01 --yeast-per-g 1000", "safe", "no", "Lochhead 1933, next class"},
		{"ferment --water-pct 20.1 --yeast-per-g 0", "safe", "no", "Lochhead 1933: over 20 % never"},
		{"ferment --water-pct 17.5", "safe", "", "unknown is no pass"},
		{"ferment --water-pct 17.5", "reason", "the yeast has not been counted", "unknown is no pass"},
		{"colour --pfund-mm 17", "class", "Extra White", "US grade standard: to and including 17"},
		{"colour --pfund-mm 17.1", "class", "White", "US grade standard"},
		{"colour --od560 3.1", "class", "Dark Amber", "US grade standard"},
		{"granulation --glucose-pct 28 --water-pct 17", "setting", "slow or none", "White 1962: under 1.70"},
		{"granulation --glucose-pct 36 --fructose-pct 38 --water-pct 17", "agree", "yes", "Manikis and Thrasyvoulou 2001: all four say fast"},
		{"yeast-hold --temp-c 65.6 --minutes 2.7", "killed", "no", "Townsend 1939: 2.8 minutes (from memory)"},
		{"yeast-hold --temp-c 65.6 --minutes 2.9", "killed", "yes", "Townsend 1939: 2.8 minutes (from memory)"},
		{"grade --water-pct 18.6 --score 90", "grade", "A", "US grade standard"},
		{"grade --water-pct 18.7 --score 90", "grade", "C", "US grade standard"},
		{"limit --property hmf --rules eu --value 41", "verdict", "breach", "Directive 2001/110/EC annex II: 40"},
		{"limit --property hmf --rules eu --value 39 --doubt 4", "verdict", "too close to call", "the same, within its doubt"},
		{"limit --property hmf --rules eu", "verdict", "", "no reading is no pass"},
		{"limit --property diastase --rules eu --value 5 --low-enzyme yes --hmf-mg-kg 12", "verdict", "pass", "annex II: 3 if HMF is at most 15"},
		{"limit --property conductivity --rules eu --kind honeydew", "bound", "at least", "annex II"},
		{"limit --property conductivity --rules eu --plant tea-tree", "bound", "none", "annex II, exempt"},
		{"rule-sets --rules eu --matter origin --on 2026-06-13", "sets", "eu-origin-2001", "Directive (EU) 2024/1438 applies from 14 June 2026"},
		{"rule-sets --rules eu --matter origin --on 2026-06-14", "sets", "eu-origin-2024", "the same"},
		{"jar --label-g 340 --net-g 329.8 --rules eu", "stands", "sound", "exactly at T1 is not defective"},
		{"jar --label-g 340 --net-g 319.5 --rules eu", "stands", "barred", "below T2"},
		{"mean-test --label-g 340 --n 50 --mean-g 338.863 --sd-g 3 --rules eu", "pass", "yes", "exactly at the limit"},
		{"mean-test --label-g 340 --n 50 --mean-g 338.862 --sd-g 3 --rules eu", "pass", "no", "a milligram under it"},
		{"sampling --batch 2750 --rules eu --short 2", "decision", "accept after first sample", "annex II 2.2.1: 2 of 50"},
		{"sampling --batch 2750 --rules eu --short 3 --short-second 4", "decision", "reject after second sample", "annex II 2.2.1: 7 of 100"},
		{"scale-class --class III --interval-g 1 --capacity-g 20000", "fits", "no", "R 76-1 table 3: 10 000 at most"},
		{"jar-scale --label-g 50 --rules eu --class III --interval-g 2 --capacity-g 6000", "enough", "no", "T/5 is 0.9 g, 2 g is more"},
		{"test-weight --nominal-g 100 --off-g 0.006", "pass", "no", "R 111-1 table 1: 5 mg"},
		{"weights-suit --weights-error-g 0.2 --scale-error-g 0.5", "suit", "no", "R 76-1 3.7.1: a third (from memory)"},
		{"gtin-check --code 12345673", "valid", "no", "GS1 syntax dictionary"},
		{"gtin-check --code 02345673", "valid", "yes", "GS1 syntax dictionary"},
		{"origin-statement --shares \"VM 58.3, OS 41.7\" --net-g 340 --date 2026-11-03 --declared \"VM 60, OS 41\"", "declared_pass", "no", "Directive 2001/110/EC art. 2(4): shares of the whole make 100"},
		{"origin-statement --shares \"VM 58.3, OS 41.7\" --net-g 340 --date 2026-11-03 --declared \"VM 60, OS 40\"", "declared_pass", "yes", "the same"},
		{"code --code 0108806388269617112302141728021310230214A3263-01<GS>21059<GS>240ARO4808C", "elements", "01=08806388269617; 11=230214; 17=280213; 10=230214A3263-01; 21=059; 240=ARO4808C", "GS1 data reading example"},
		{"code --code https://id.gs1.org/01/09521234543213/10/ABC123?17=261231", "use_by", "2026-12-31", "GS1 Digital Link URI examples"},
		{"canonical --name urn:epc:id:sgln:4012345.00005.122", "address", "https://id.gs1.org/414/4012345000054/254/122", "CBV 2.0 reference vectors"},
		{"claims --text \"soothes sore throats\"", "clean", "no", "Regulation 1924/2006 art. 10"},
		{"claims --text \"Summer honey\"", "clean", "yes", "no claim"},
		{"ingredient-share --ingredient-kg 120 --finished-kg 100", "form", "grams in 100 g", "Regulation 1169/2011 annex VIII 3"},
		{"lot-mark --day-and-month yes --largest-cm2 120", "needed", "no", "Directive 2011/91/EU art. 5"},
		{"date-mark --months 24", "precision", "year", "Regulation 1169/2011 annex X"},
		{"declare --nutrient eu-salt --value 0.996", "printed", "1.0", "LE17 of the rounding guidance: 1.0 g"},
		{"declare --nutrient eu-macro --value 0.5", "printed", "0 or <0.5", "LE16 of the same"},
		{"declare --nutrient eu-salt --value 0.0123", "form", "0, or less than it", "Commission guidance 2012"},
	} {
		q, err := ask(t, c.line)
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		if v := q.answered(c.name); v.word != c.want {
			t.Errorf("%s: %s %q, want %q (%s)", c.line, c.name, v.word, c.want, c.source)
		}
	}
}
