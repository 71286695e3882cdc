package standard

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

var propertyOf = map[string]Property{"fructose+glucose": Sugars, "sucrose": Sucrose, "moisture": Moisture, "water insoluble": Insolubles,
	"electrical conductivity": Conductivity, "free acid": FreeAcid, "diastase": Diastase, "HMF": HMF, "soluble solids": SolubleSolids, "total score": Score}

// categories are the honeys that each category of the table covers.
var categories = map[string][]Honey{
	"blossom":          {{Kind: Blossom}, {Kind: Blossom, Plant: Citrus}},
	"not listed below": {{Kind: Blossom}, {Kind: Blossom, Plant: TeaTree}},
	"honeydew and blends of honeydew with blossom": {{Kind: Honeydew}, {Kind: HoneydewBlend}},
	"honeydew and blends with blossom":             {{Kind: Honeydew}, {Kind: HoneydewBlend}},
	"general":                                      {{Kind: Blossom}, {Kind: Blossom, Plant: Chestnut}, {Kind: Honeydew}},
	"false acacia, alfalfa, Menzies banksia, French honeysuckle, red gum, leatherwood, citrus": tenPlants,
	"alfalfa, citrus, false acacia, French honeysuckle, Menzies banksia, red gum, leatherwood": tenPlants,
	"lavender, borage":                           {{Kind: Blossom, Plant: Lavender}, {Kind: Blossom, Plant: Borage}},
	"heather (Calluna)":                          {{Kind: Blossom, Plant: LingHeather}},
	"heather (Calluna); bakers honey in general": {{Kind: Blossom, Plant: LingHeather}, {Kind: Blossom, Cooking: true}, {Kind: Honeydew, Cooking: true}},
	"bakers honey from heather":                  {{Kind: Blossom, Plant: LingHeather, Cooking: true}},
	"bakers honey":                               {{Kind: Blossom, Cooking: true}},
	"pressed":                                    {{Kind: Blossom, Pressed: true}},
	"other than pressed":                         {{Kind: Blossom}},
	"general and blends":                         {{Kind: Blossom}, {Kind: Blossom, Plant: Citrus}},
	"annex, not listed below":                    {{Kind: Blossom}, {Kind: Blossom, Plant: Citrus}},
	"honeydew, chestnut and their blends":        {{Kind: Honeydew}, {Kind: HoneydewBlend}, {Kind: Blossom, Plant: Chestnut}, {Plant: Chestnut}},
	"annex, honeydew and chestnut":               {{Kind: Honeydew}, {Kind: Blossom, Plant: Chestnut}},
	"strawberry tree, bell heather, eucalyptus, lime, ling heather, manuka/jelly bush, tea tree": {{Plant: StrawberryTree}, {Plant: BellHeather},
		{Plant: Eucalyptus}, {Plant: Lime}, {Plant: LingHeather}, {Plant: Manuka}, {Kind: Blossom, Plant: TeaTree}, {Plant: RedGum}},
	"general except bakers":     {{Kind: Blossom}, {Kind: Honeydew}},
	"annex":                     {{Kind: Blossom}},
	"annex (voluntary)":         {{Kind: Blossom}},
	"after processing/blending": {{Kind: Blossom}},
	"low natural enzyme and HMF not over 15 mg/kg": {{Kind: Blossom, LowEnzyme: true}},
	"annex, low natural enzyme":                    {{Kind: Blossom, LowEnzyme: true}},
	"declared tropical origin and blends of these": {{Kind: Blossom, Tropical: true}},
	"declared tropical origin":                     {{Kind: Blossom, Tropical: true}},
	"grade A":                                      {{Grade: GradeA}},
	"grade B":                                      {{Grade: GradeB}},
	"grade C":                                      {{Grade: GradeC}},
	"grades A and B":                               {{Grade: GradeA}, {Grade: GradeB}},
}

var tenPlants = []Honey{{Kind: Blossom, Plant: FalseAcacia}, {Kind: Blossom, Plant: Alfalfa}, {Kind: Blossom, Plant: MenziesBanksia},
	{Kind: Blossom, Plant: FrenchHoneysuckle}, {Kind: Blossom, Plant: RedGum}, {Kind: Blossom, Plant: Leatherwood}, {Kind: Blossom, Plant: Citrus}}

func TestCompositionLimits(t *testing.T) {
	eachRow(t, "composition_limits", func(t *testing.T, r row) {
		p, ok := propertyOf[r["quantity"]]
		honeys := categories[r["category"]]
		if !ok || honeys == nil {
			t.Fatalf("no such property or category: %v", r)
		}
		rules := map[string][]Rules{"EU": {EU, DE}, "Codex": {Codex}, "USDA": {US}}[r["standard"]]
		for _, who := range rules {
			for _, h := range honeys {
				l, err := LimitOf(who, p, h)
				if err != nil {
					t.Fatalf("%v: %v", h, err)
				}
				checkLimit(t, r, l)
				r.got(t, l.Cite)
			}
		}
	})
}

func checkLimit(t *testing.T, r row, l Limit) {
	t.Helper()
	bound, value := map[string]Bound{"max": Max, "min": Min, "exempt": Unbounded, "range": Min}[r["kind"]], 0.0
	if v, _, _ := strings.Cut(r["value"], "-"); v != "" {
		var err error
		if value, err = strconv.ParseFloat(v, 64); err != nil {
			t.Fatal(err)
		}
	}
	if l.Bound != bound || l.Value != value {
		t.Errorf("%+v; want %s %s (%s)", l, r["kind"], r["value"], r["source"])
	}
	if strings.Contains(r["category"], "HMF not over 15") != (l.HMFMax == 15) {
		t.Errorf("%+v; want the condition HMF ≤ 15 (%s)", l, r["source"])
	}
	// At the limit passes, one ulp beyond breaks it: every limit is inclusive.
	if l.Bound == Unbounded {
		if v, err := l.Compare(1.3); err != nil || v != NoLimit {
			t.Errorf("no limit, yet %v, %v", v, err)
		}
		return
	}
	in, out := math.Nextafter(value, 0), math.Nextafter(value, math.Inf(1))
	if l.Bound == Min {
		in, out = out, in
	}
	for v, want := range map[float64]Verdict{value: AtLimit, in: Pass, out: Breach} {
		if got, err := l.Compare(v); err != nil || got != want {
			t.Errorf("%+v at %v: %v, %v; want %v (%s)", l, v, got, err, want, r["source"])
		}
		if got, _, err := l.Judge(ReadingOf(v, 0)); err != nil || got != want {
			t.Errorf("%+v judged at %v: %v, %v; want %v (%s)", l, v, got, err, want, r["source"])
		}
	}
}

// Baker's honey has no limit on HMF and diastase: Directive 2001/110/EC Annex
// II ("general except bakers").
func TestCookingGrade(t *testing.T) {
	for _, p := range []Property{HMF, Diastase} {
		if l, err := LimitOf(EU, p, Honey{Kind: Blossom, Cooking: true, Tropical: true, LowEnzyme: true}); err != nil || l.Bound != Unbounded {
			t.Errorf("%v: %+v, %v", p, l, err)
		}
	}
}

func TestLimitRefuses(t *testing.T) {
	for _, c := range []struct {
		rules Rules
		p     Property
		h     Honey
	}{
		{UK, Moisture, Honey{Kind: Blossom}}, {OIML, Moisture, Honey{}}, {US, Moisture, Honey{}}, {US, HMF, Honey{Grade: GradeA}},
		{EU, Sugars, Honey{}}, {EU, Conductivity, Honey{Plant: Citrus}}, {EU, Score, Honey{Kind: Blossom}}, {Codex, Moisture, Honey{Cooking: true}},
		{EU, Moisture, Honey{Plant: 200}}, {EU, Moisture, Honey{Kind: 9}}, {US, Moisture, Honey{Grade: Substandard}}, {EU, propertyCount, Honey{}},
	} {
		if l, err := LimitOf(c.rules, c.p, c.h); !errors.Is(err, ErrNoRule) {
			t.Errorf("%v %v %+v: %+v, %v; want no rule", c.rules, c.p, c.h, l, err)
		}
	}
	l, _ := LimitOf(EU, Moisture, Honey{})
	for _, bad := range []float64{math.NaN(), math.Inf(1), -1} {
		if _, err := l.Compare(bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("moisture %g: %v", bad, err)
		}
		if v, _, err := l.Judge(ReadingOf(bad, 0.1)); err == nil || v != CantSay {
			t.Errorf("moisture %g: %v, %v", bad, v, err)
		}
		if v, _, err := l.Judge(ReadingOf(18, bad)); err == nil || v != CantSay {
			t.Errorf("uncertainty %g: %v, %v", bad, v, err)
		}
	}
	// A slip is no pass and no breach: 18 % typed as a share, microsiemens, points over 100.
	for _, c := range []struct {
		p    Property
		v    float64
		says string
	}{{Moisture, 0.18, "fraction: 18?"}, {Moisture, 9.9, "want 10 to 100"}, {Moisture, 101, "want 10 to 100"}, {Sugars, 0.7, "fraction: 70?"},
		{SolubleSolids, 0.82, "fraction: 82?"}, {Conductivity, 650, "µS/cm: 0.65?"}, {Conductivity, -0.1, "want 0 to 10"}, {Score, 100.5, "want 0 to 100"}} {
		v, err := Limit{Property: c.p, Bound: Max, Value: 20}.Compare(c.v)
		if v != CantSay || !errors.Is(err, ErrOutOfRange) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v %g: %v, %v; want a refusal with %q", c.p, c.v, v, err, c.says)
		}
	}
	if _, _, err := GradeOf(0.18, 95); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("grade of honey with 0.18 %% of water: %v", err)
	}
	if v, _, err := l.Judge(Reading{}); v != CantSay || err != nil || v.Passes() {
		t.Errorf("not read: %v, %v; want can't say", v, err)
	}
}

// Normal table: Φ(1) = 0.8413, Φ(1.6449) = 0.95, Φ(2) = 0.9772, to four digits.
func TestChanceOfBreach(t *testing.T) {
	const tol = 0.00005
	high, _ := LimitOf(EU, Moisture, Honey{})
	low, _ := LimitOf(EU, Diastase, Honey{})
	for _, c := range []struct {
		l         Limit
		value, sd float64
		chance    float64
		want      Verdict
	}{
		{high, 20, 0.1, 0.5, TooClose}, {high, 19.9, 0.1, 0.1587, TooClose}, {high, 20.1, 0.1, 0.8413, TooClose}, {high, 19.8, 0.1, 0.0228, Pass},
		{high, 20.2, 0.1, 0.9772, Breach}, {high, 19.8355, 0.1, 0.05, Pass}, {high, 19.8356, 0.1, 0.0501, TooClose},
		{low, 8, 0.5, 0.5, TooClose}, {low, 9, 0.5, 0.0228, Pass}, {low, 7, 0.5, 0.9772, Breach}, {low, 7.5, 0.5, 0.8413, TooClose},
	} {
		v, p, err := c.l.Judge(ReadingOf(c.value, c.sd))
		if err != nil || v != c.want || !near(p, c.chance, tol) {
			t.Errorf("%v %g ± %g: %v %.4f, %v; want %v %.4f (normal table)", c.l.Property, c.value, c.sd, v, p, err, c.want, c.chance)
		}
	}
}

// Laws of the chance: it lies in 0 to 1, grows with a reading towards the far
// side of its limit, and is a half at the limit.
func TestChanceLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Limit{Property: HMF, Bound: rapid.SampledFrom([]Bound{Max, Min}).Draw(t, "bound"), Value: rapid.Float64Range(1, 100).Draw(t, "limit")}
		a, b := rapid.Float64Range(0, 200).Draw(t, "a"), rapid.Float64Range(0, 200).Draw(t, "b")
		sd := rapid.Float64Range(0.001, 20).Draw(t, "sd")
		pa, err1 := l.Chance(ReadingOf(min(a, b), sd))
		pb, err2 := l.Chance(ReadingOf(max(a, b), sd))
		at, err3 := l.Chance(ReadingOf(l.Value, sd))
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		if l.Bound == Min {
			pa, pb = pb, pa
		}
		if !(0 <= pa && pa <= pb && pb <= 1) || at != 0.5 {
			t.Fatalf("%g, %g; at the limit %g", pa, pb, at)
		}
	})
}

// At least 8, or at least 3 with HMF at most 15 mg/kg where the honey is low in
// enzymes by nature: Directive 2001/110/EC Annex II. In Codex the second needs
// no HMF (memory).
func TestDiastaseWithHMF(t *testing.T) {
	low := Honey{Kind: Blossom, LowEnzyme: true}
	for _, c := range []struct {
		rules    Rules
		h        Honey
		dn, hmf  Reading
		want     Verdict
		whatItIs string
	}{
		{EU, Honey{Kind: Blossom}, ReadingOf(8, 0), Reading{}, AtLimit, "8 exactly, HMF not needed"},
		{EU, Honey{Kind: Blossom}, ReadingOf(5, 0), ReadingOf(1, 0), Breach, "not a honey of low enzymes"},
		{EU, low, ReadingOf(9, 0), ReadingOf(39, 0), Pass, "8 and above needs no HMF"},
		{EU, low, ReadingOf(5, 0), ReadingOf(14, 0), Pass, "between 3 and 8"},
		{EU, low, ReadingOf(3, 0), ReadingOf(15, 0), AtLimit, "both at their bounds"},
		{EU, low, ReadingOf(5, 0), ReadingOf(15.1, 0), Breach, "HMF over 15"},
		{EU, low, ReadingOf(5, 0), Reading{}, CantSay, "HMF not read"},
		{EU, low, ReadingOf(2.9, 0), Reading{}, Breach, "under 3 whatever the HMF"},
		{EU, low, ReadingOf(5, 0.1), ReadingOf(15, 1), TooClose, "HMF on the line"},
		{EU, low, ReadingOf(7.9, 0.5), ReadingOf(30, 0.5), TooClose, "near 8, HMF no help"},
		{EU, low, ReadingOf(7.9, 0.5), Reading{}, TooClose, "near 8, HMF not read"},
		{EU, low, Reading{}, ReadingOf(1, 0), CantSay, "no diastase"},
		{EU, Honey{Cooking: true}, ReadingOf(1, 0), Reading{}, NoLimit, "baker's honey"},
		{Codex, low, ReadingOf(5, 0), ReadingOf(30, 0), Pass, "Codex asks no HMF"},
	} {
		if got, err := JudgeDiastase(c.rules, c.h, c.dn, c.hmf); err != nil || got != c.want {
			t.Errorf("%s: %v, %v; want %v", c.whatItIs, got, err, c.want)
		}
	}
	if _, err := JudgeDiastase(EU, low, ReadingOf(5, 0), ReadingOf(math.NaN(), 0)); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("HMF not a number: %v", err)
	}
	if _, err := JudgeDiastase(UK, low, ReadingOf(5, 0), Reading{}); !errors.Is(err, ErrNoRule) {
		t.Errorf("uk: %v", err)
	}
}

// USDA standards for grades of extracted honey, 1985: moisture and scores.
func TestGradeOf(t *testing.T) {
	for _, c := range []struct {
		moisture quantity.WaterPct
		score    float64
		want     Grade
	}{
		{18.6, 90, GradeA}, {18.6, 100, GradeA}, {18.6, 89, GradeB}, {18.6, 80, GradeB}, {18.7, 95, GradeC}, {20.0, 70, GradeC},
		{20.0, 79, GradeC}, {18.0, 69, Substandard}, {20.1, 95, Substandard},
	} {
		if got, cite, err := GradeOf(c.moisture, c.score); err != nil || got != c.want || cite.Got != Read {
			t.Errorf("%g %% and %g points: %v, %v; want %v", float64(c.moisture), c.score, got, err, c.want)
		}
	}
	for _, bad := range badFloats(0, 100.5) {
		if _, _, err := GradeOf(quantity.WaterPct(bad), 90); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("moisture %g: %v", bad, err)
		}
		if _, _, err := GradeOf(18, bad); bad != 0 && !errors.Is(err, ErrOutOfRange) {
			t.Errorf("score %g: %v", bad, err)
		}
	}
}

func TestColourClasses(t *testing.T) {
	want := WaterWhite
	eachRow(t, "colour_classes", func(t *testing.T, r row) {
		if want.String() != r["class"] {
			t.Fatalf("class %v, want %s (%s)", want, r["class"], r["source"])
		}
		over, to := 0.0, 1000.0
		if r["pfund_over_mm"] != "" {
			over = math.Nextafter(r.num(t, "pfund_over_mm"), 1000)
		}
		if r["pfund_to_mm"] != "" {
			to = r.num(t, "pfund_to_mm")
		}
		for _, mm := range []float64{over, (over + to) / 2, to} {
			if got, cite, err := ColourOf(quantity.PfundMM(mm)); err != nil || got != want {
				t.Errorf("%g mm: %v, %v; want %v (%s)", mm, got, err, want, r["source"])
			} else {
				r.got(t, cite)
			}
		}
		density := 3.009
		if r["optical_density_max"] != "" {
			density = r.num(t, "optical_density_max")
			if next, _, err := ColourOfDensity(math.Nextafter(density, 100)); err != nil || next != want+1 {
				t.Errorf("above %g: %v, %v; want %v (%s)", density, next, err, want+1, r["source"])
			}
		}
		if got, _, err := ColourOfDensity(density); err != nil || got != want {
			t.Errorf("density %g: %v, %v; want %v (%s)", density, got, err, want, r["source"])
		}
		want++
	})
	for _, bad := range badFloats(-0.1, 1000.1) {
		if _, _, err := ColourOf(quantity.PfundMM(bad)); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%g mm: %v", bad, err)
		}
		if _, _, err := ColourOfDensity(bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("density %g: %v", bad, err)
		}
	}
}
