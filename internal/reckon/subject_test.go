package reckon

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// What the commands promise by name: a change here breaks people's scripts.
func TestFixedNames(t *testing.T) {
	for name, want := range map[string]string{
		"water":         "index temp_c brix > water_pct",
		"density":       "water_pct temp_c > density_kg_m3",
		"viscosity":     "water_pct temp_c factor > viscosity_pa_s",
		"activity":      "water_pct > activity activity_low activity_high",
		"humidity":      "rh_pct > water_pct",
		"hmf":           "temp_c days rate spread > hmf_added_mg_kg hmf_low hmf_high",
		"diastase":      "temp_c > half_life_days",
		"invertase":     "temp_c > half_life_days",
		"yeast":         "temp_c > kill_min",
		"ferment":       "water_pct yeast_per_g > safe reason",
		"colour":        "pfund_mm od560 absorbance635 > pfund_mm class",
		"heat-capacity": "water_pct temp_c > kj_kg_k",
		"conductivity":  "water_pct temp_c > w_m_k w_m_k_low",
		"tolerance":     "label_g rules > tolerance_g t1_g t2_g",
		"target":        "label_g sd_g rules checked degrees tare_sd_g tare_jars tare_in_sd temp_c warm_temp_c water_pct wettest_pct > target_g",
		"mean-test":     "label_g n mean_g sd_g rules > pass limit_g",
		"gtin":          "digits > check_digit",
	} {
		s, err := Find(name)
		if err != nil {
			t.Error(err)
			continue
		}
		var got []string
		for _, in := range s.Inputs {
			got = append(got, in.Name)
		}
		got = append(got, ">")
		for _, a := range s.Answers {
			got = append(got, a.Name)
		}
		if g := strings.Join(got, " "); g != want {
			t.Errorf("%s: %s, want %s", name, g, want)
		}
	}
}

// Each subject has what it needs to be asked, answered and believed.
func TestSubjectsAreWhole(t *testing.T) {
	models := map[string]bool{"granulation": false}
	for _, m := range append(honey.Models(), flow.Models()...) {
		models[m.Key] = false
	}
	taken := []string{"subject", "given", "cannot", "doubt", "range", "source", "ask", "mind", "notes", "note"}
	seen := map[string]bool{}
	for _, s := range Subjects() {
		if seen[s.Name] || s.Help == "" || s.doubt() == "" || s.validRange() == "" || s.answer == nil {
			t.Errorf("%s: twice, or without help, doubt, range or answer", s.Name)
		}
		seen[s.Name] = true
		if _, ok := models[s.Model]; s.Model != "" && !ok {
			t.Errorf("%s: no model %s", s.Name, s.Model)
		}
		models[s.Model] = true
		names := map[string]bool{}
		for _, in := range s.Inputs {
			if names[in.Name] || in.Help == "" || in.Name == noteColumn || in.Kind == Number && !in.Unit.Known() {
				t.Errorf("%s: input %s twice, taken, or without help or unit", s.Name, in.Name)
			}
			names[in.Name] = true
		}
		answers := map[string]bool{}
		for _, a := range s.Answers {
			if answers[a.Name] || a.Help == "" || slices.Contains(taken, a.Name) {
				t.Errorf("%s: answer %s twice, taken, or without help", s.Name, a.Name)
			}
			answers[a.Name] = true
		}
		if q := must(t, s.Name+" "+s.Example); len(q.sources()) == 0 {
			t.Errorf("%s: its example has no source", s.Name)
		}
	}
	for key, used := range models {
		if !used {
			t.Errorf("no subject asks model %s", key)
		}
	}
}

// Physics never imports law, so package honey has its own colour classes and energy
// factors beside the rule sets': they must be the same. The tolerance is rounding.
func TestPhysicsAndLawAgree(t *testing.T) {
	for mm := quantity.PfundMM(0); mm <= 140; mm += 0.5 {
		own, err := honey.ClassOfPfund(mm)
		law, _, lawErr := standard.ColourOf(mm)
		if err != nil || lawErr != nil || own.String() != law.String() {
			t.Errorf("%g mm: %v and %v, %v, %v", float64(mm), own, law, err, lawErr)
		}
	}
	for _, od := range []float64{0, 0.0945, 0.09451, 0.189, 0.19, 0.378, 0.38, 0.595, 0.6, 1.389, 1.39, 3.008, 3.01} {
		own, err := honey.ClassOfOD(od)
		law, _, lawErr := standard.ColourOfDensity(od)
		if err != nil || lawErr != nil || own.String() != law.String() {
			t.Errorf("optical density %g: %v and %v, %v, %v", od, own, law, err, lawErr)
		}
	}
	own, err := honey.EnergyEU(honey.Nutrition{Carbohydrate: 82.1, Protein: 0.3, Fat: 0.1, Fibre: 0.2})
	kJ, kcal, _, lawErr := standard.EUEnergy(standard.Composition{Carbohydrate: 82.1, Protein: 0.3, Fat: 0.1, Fibre: 0.2})
	if err != nil || lawErr != nil || math.Abs(own.KJ-kJ) > 1e-9 || math.Abs(own.Kcal-kcal) > 1e-9 {
		t.Errorf("energy %v and %v kJ, %v kcal, %v, %v", own, kJ, kcal, err, lawErr)
	}
}

// Words stand in the order of package standard's constants.
func TestWordsFollowTheConstants(t *testing.T) {
	for word, p := range map[string]standard.Plant{"other": standard.OtherPlant, "false-acacia": standard.FalseAcacia, "alfalfa": standard.Alfalfa,
		"menzies-banksia": standard.MenziesBanksia, "french-honeysuckle": standard.FrenchHoneysuckle, "red-gum": standard.RedGum,
		"leatherwood": standard.Leatherwood, "citrus": standard.Citrus, "lavender": standard.Lavender, "borage": standard.Borage,
		"chestnut": standard.Chestnut, "strawberry-tree": standard.StrawberryTree, "bell-heather": standard.BellHeather,
		"eucalyptus": standard.Eucalyptus, "lime": standard.Lime, "ling-heather": standard.LingHeather, "manuka": standard.Manuka, "tea-tree": standard.TeaTree} {
		if plantWords()[p] != word {
			t.Errorf("plant %d is %s, want %s", p, plantWords()[p], word)
		}
	}
	for i, p := range standard.Properties() {
		name := strings.NewReplacer(" ", "-", "fructose-and-glucose", "sugars").Replace(strings.ToLower(p.String()))
		if name = strings.Replace(name, "fructose-and-glucose", "sugars", 1); propertyWords()[i] != name {
			t.Errorf("property %d is %s, want %s", i, propertyWords()[i], name)
		}
	}
	for word, k := range map[string]standard.Kind{"blossom": standard.Blossom, "honeydew": standard.Honeydew, "honeydew-blend": standard.HoneydewBlend} {
		if kindWords()[k-standard.Blossom] != word {
			t.Errorf("kind %d is not %s", k, word)
		}
	}
	for word, g := range map[string]standard.Grade{"a": standard.GradeA, "b": standard.GradeB, "c": standard.GradeC} {
		if gradeWords()[g-standard.GradeA] != word {
			t.Errorf("grade %s is not %s", g, word)
		}
	}
	for m := standard.Double; m <= standard.Whole; m++ {
		if methodWords()[m] != m.String() {
			t.Errorf("method %d is %s, want %s", m, methodWords()[m], m)
		}
	}
	for word, s := range map[string]standard.Subject{"honey": standard.HoneyLimits, "contents": standard.NetContents, "target": standard.FillTarget,
		"scales": standard.ScaleErrors, "test-weights": standard.TestMasses, "fillers": standard.FillingMachines, "jar-weighing": standard.JarWeighing,
		"label-sizes": standard.LabelSizes, "lot-date": standard.LotAndDate, "nutrition": standard.Nutrition, "origin": standard.OriginStatement, "codes": standard.Codes} {
		if matterWords()[s-standard.HoneyLimits] != word {
			t.Errorf("matter %d is %s, want %s", s, matterWords()[s-standard.HoneyLimits], word)
		}
	}
}

// Every rule family of the fixed table answers tolerance, target and mean-test.
func TestEveryRulesFamilyAnswers(t *testing.T) {
	for _, r := range []string{"eu", "uk", "de", "us", "oiml"} {
		for _, line := range []string{"tolerance --label-g 340", "target --label-g 340 --sd-g 2 --checked 20", "mean-test --label-g 340 --n 48 --mean-g 340 --sd-g 2"} {
			q := must(t, line+" --rules "+r)
			if q.ask() == "" {
				t.Errorf("%s, %s: nobody to ask", line, r)
			}
		}
	}
}

func TestWrongUsage(t *testing.T) {
	for _, c := range []struct{ line, why string }{
		{"watr --index 1.49", "did you mean water?"},
		{"water --indx 1.49", "did you mean --index?"},
		{"water --water-pct 18", "unknown flag --water-pct"},
		{"water --index", "needs a value"},
		{"water 1.49", "unexpected argument"},
		{"water --index 1.49 --index 1.50", "given twice"},
		{"water --index= ", "is empty"},
		{"water --temp-c 20", "none of index, brix is given"},
		{"density --water-pct 17", "temp_c is not given"},
		{"density --water-pct 17 --temp-c 20mm", "temperature"},
		{"density --water-pct 17 --temp-c warm", "not a number"},
		{"tolerance --label-g 340 --rules fr", "none of eu, uk, de, us, oiml"},
		{"tolerance --label-g 1,234 --rules eu", "can be"},
		{"mean-test --label-g 340 --n 2.5 --mean-g 340 --sd-g 2 --rules eu", "not a whole number"},
		{"--temp-c 20", "without a subject"},
		{"density --csv --temp-c 20", "figures come from the table"},
		{"density --csv --json", "exclude each other"},
		{"", "name a subject"},
	} {
		var out, errs bytes.Buffer
		err := Run(t.Context(), strings.Fields(c.line), false, strings.NewReader(""), &out, &errs)
		var use *UsageError
		if !errors.As(err, &use) || !strings.Contains(err.Error(), c.why) || out.Len() > 0 {
			t.Errorf("%s: %v and %q, want a refusal with %q", c.line, err, out.String(), c.why)
		}
	}
}

// What is asked well but has no answer is told with the figures.
func TestNoAnswer(t *testing.T) {
	for _, c := range []struct{ line, why string }{
		{"density --water-pct 0.18 --temp-c 20", "0.18 looks like a fraction: 18?"},
		{"density --water-pct 17 --temp-c 150", "outside 10 to 60"},
		{"viscosity --water-pct 17 --temp-c 100", "outside"},
		{"gtin --digits 12345", "5 digits"},
		{"tolerance --label-g 3 --rules eu", "3 g"},
		{"limit --property hmf --rules uk", "uk"},
		{"colour --pfund-mm 150", "outside 0 to 140"},
		{"yeast-hold --temp-c 63 --minutes -1", "minutes -1"},
		{"origin-share --declared-pct 40 --part-kg 5 --total-kg 4", "total"},
		{"target --label-g 340 --sd-g 2 --rules eu --checked 1", "1 jars checked"},
		{"rule-sets --rules eu --matter origin --on 2026-13-01", "2026-13-01"},
	} {
		_, err := ask(t, c.line)
		if err == nil || !strings.Contains(plain(err), c.why) {
			t.Errorf("%s: %v, want no answer with %q", c.line, err, c.why)
		}
	}
}

// A unit of the right kind is converted, and a clear decimal comma taken.
func TestUnitsAreConverted(t *testing.T) {
	want := must(t, "density --water-pct 17.5 --temp-c 25").answered("density_kg_m3").number
	for _, args := range [][]string{
		{"--water-pct", "17,5", "--temp-c", "77 °F"}, {"--water-pct=17.5 %", "--temp-c=298.15 K"}, {"--water-pct", "17.5", "--temp-c", "25 °C"},
	} {
		o, err := readOptions(append([]string{"density"}, args...))
		if err != nil {
			t.Fatal(err)
		}
		q := newQuery(o.subject)
		if err := q.read(o.flags); err != nil {
			t.Error(err)
		} else if err := q.reckon(); err != nil {
			t.Error(err)
		}
		near(t, q, "density_kg_m3", want, 1e-9) // 298.15 − 273.15 is 25 but for the last bit
	}
}
