package label

import (
	"slices"
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
	"combline/internal/words"
)

const g = quantity.Milligram(1000)

// wish is a jar of summer honey of the demo house, with nothing against it.
func wish() (Wish, Tipped) {
	return Wish{Rules: standard.EU, Labelled: 20261103, Pack: Pack{Net: 340 * g, LargestCM2: 90}, Name: "Summer honey", Language: "en",
			Country: map[string]string{"VM": "Velmark", "OS": "Ostrana"}, Lot: "R3-A", BestBefore: 20281130, KeepsMonths: 25,
			Keeps: Keeping{true, 0.95, 0.94, 0.93, 0.9}, Packer: "Combe Lane Honey, 3 Combe Lane"},
		Tipped{Countries: []standard.Share{{Country: "VM", Mass: 2_030_000}, {Country: "OS", Mass: 1_450_000}}}
}

func made(t *testing.T, w Wish, h Tipped) Label {
	t.Helper()
	l, err := Of(w, h)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (l Label) keys(m answer.Mark) (keys []string) {
	for _, f := range l.Findings {
		if f.Mark == m {
			keys = append(keys, f.Key)
		}
	}
	return keys
}

func (l Label) text(t *testing.T, p Part, language words.Lang) string {
	t.Helper()
	c, err := words.For(language)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, i := range l.Items {
		if i.Part == p {
			for _, s := range i.Says {
				all = append(all, c.Say(s.Key, map[string]any(s.Args)))
			}
		}
	}
	return strings.NewReplacer("\u00a0", " ", "\u202f", "").Replace(strings.Join(all, ", "))
}

func (l Label) item(p Part) Item {
	return l.Items[slices.IndexFunc(l.Items, func(i Item) bool { return i.Part == p })]
}

// Directive 2001/110/EC art. 2(4) as amended by (EU) 2024/1438; the scenario's run R3.
func TestOriginFromWhatWasTipped(t *testing.T) {
	w, h := wish()
	l := made(t, w, h)
	if got := l.text(t, OriginPart, "en"); got != "Velmark 58 %, Ostrana 42 %" {
		t.Errorf("%q", got)
	}
	if !l.Ready() {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	w.Origin = []standard.Claim{{Country: "VM", Percent: 60}, {Country: "OS", Percent: 40}}
	if l = made(t, w, h); !l.Ready() || !slices.Contains(l.keys(answer.Care), "label.origin-close") {
		t.Errorf("60/40 with 58.3/41.7: %v", l.Findings)
	}
	swapped := h
	swapped.Countries = []standard.Share{{Country: "VM", Mass: 1_740_000}, {Country: "OS", Mass: 1_740_000}}
	if l = made(t, w, swapped); l.Ready() {
		t.Error("60/40 passes with 50/50")
	}
	for name, claims := range map[string][]standard.Claim{
		"label.origin-sum":        {{Country: "VM", Percent: 58}, {Country: "OS", Percent: 41}},
		"label.origin-order":      {{Country: "OS", Percent: 42}, {Country: "VM", Percent: 58}},
		"label.origin-left-out":   {{Country: "VM", Percent: 100}},
		"label.origin-unreadable": {{Country: "Velmark", Percent: 100}},
		"label.origin-outside":    {{Country: "VM", Percent: 70}, {Country: "OS", Percent: 30}},
	} {
		w.Origin = claims
		if l := made(t, w, h); !slices.Contains(l.keys(answer.Bad), name) {
			t.Errorf("%v: %v, want %s", claims, l.keys(answer.Bad), name)
		}
	}
}

// LE3, LE4, LE6, LE13, LE14, LE15 of examples_label.csv.
func TestOriginExamples(t *testing.T) {
	shares := func(codes string, mass ...quantity.Gram) (all []standard.Share) {
		for i, c := range strings.Fields(codes) {
			all = append(all, standard.Share{Country: c, Mass: mass[i]})
		}
		return all
	}
	names := map[string]string{"HU": "Hungary", "RO": "Romania", "UA": "Ukraine", "ES": "Spain", "AR": "Argentina", "MX": "Mexico"}
	for _, c := range []struct {
		id     string
		change func(*Wish, *Tipped)
		want   string
	}{
		{"LE3", func(_ *Wish, h *Tipped) { h.Countries = shares("HU RO UA", 550, 300, 150) }, "Hungary 55 %, Romania 30 %, Ukraine 15 %"},
		{"LE4", func(w *Wish, h *Tipped) {
			w.FourLargest, h.Countries = true, shares("HU RO UA ES AR MX", 30, 25, 15, 12, 10, 8)
		}, "Hungary 30 %, Romania 25 %, Ukraine 15 %, Spain 12 %, Argentina, Mexico"},
		{"LE6", func(w *Wish, h *Tipped) {
			w.Pack.Net, w.Country, h.Countries = 20*g, nil, shares("HU RO", 600, 400)
		}, "HU 60 %, RO 40 %"},
		{"LE13", func(_ *Wish, h *Tipped) { h.Countries = shares("ES AR MX", 18, 42, 40) }, "Argentina 42 %, Mexico 40 %, Spain 18 %"},
		{"LE14", func(w *Wish, h *Tipped) {
			w.FourLargest, h.Countries = true, shares("HU RO UA ES", 40, 30, 20, 10)
		}, "Hungary 40 %, Romania 30 %, Ukraine 20 %, Spain 10 %"},
		{"LE15", func(w *Wish, h *Tipped) { w.Labelled, h.Countries = 20260620, shares("HU UA", 70, 30) }, "Hungary 70 %, Ukraine 30 %"},
		{"before LE15", func(w *Wish, h *Tipped) { w.Labelled, h.Countries = 20260613, shares("HU UA", 70, 30) }, "Blend of EU and non-EU honeys"},
		{"one country", func(_ *Wish, h *Tipped) { h.Countries = shares("HU", 70) }, "Hungary"},
		{"adds to 100", func(_ *Wish, h *Tipped) { h.Countries = shares("HU RO UA", 1, 1, 1) }, "Hungary 34 %, Romania 33 %, Ukraine 33 %"},
	} {
		w, h := wish()
		w.Country = names
		c.change(&w, &h)
		l := made(t, w, h)
		if got := l.text(t, OriginPart, "en"); got != c.want || !l.Ready() {
			t.Errorf("%s: %q, want %q; %v", c.id, got, c.want, l.keys(answer.Bad))
		}
	}
}

// Unknown is not a pass: honey of no known country has no statement.
func TestUnknownOrigin(t *testing.T) {
	w, h := wish()
	h.Countries = append(h.Countries, standard.Share{Mass: 5000})
	if l := made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.origin-unknown") {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	h.Countries = nil
	if l := made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.origin-unknown") {
		t.Errorf("%v", l.keys(answer.Bad))
	}
}

// Directive 76/211/EEC Annex I 3.1 and Regulation 1169/2011 art. 13: LE1, LE2, LE10 of
// examples_label.csv.
func TestHeights(t *testing.T) {
	w, h := wish()
	for grams, mm := range map[quantity.Milligram]float64{50: 2, 51: 3, 200: 3, 250: 4, 1000: 4, 1500: 6} {
		w.Pack.Net = grams * g
		if got := made(t, w, h).item(NetPart).LeastMM; got != mm {
			t.Errorf("%d g: %g mm, want %g", grams, got, mm)
		}
	}
	for area, mm := range map[float64]float64{79: 0.9, 80: 1.2, 120: 1.2, 0: 1.2} {
		w.Pack.LargestCM2 = area
		if got := made(t, w, h).item(StoragePart).LeastMM; got != mm {
			t.Errorf("%g cm2: %g mm, want %g", area, got, mm)
		}
	}
	w.Rules, w.Pack = standard.US, Pack{Net: 340 * g, Shape: standard.Round, High: 3.5, Wide: 8.639}
	if got := made(t, w, h).item(NetPart).LeastMM; got < 25.4/8-1e-9 {
		t.Errorf("12.1 sq in: %g mm, want 1/8 in", got)
	}
}

// LE11 and LE12 of examples_label.csv; Regulation 1169/2011 Annex X 1, Directive
// 2011/91/EU.
func TestDates(t *testing.T) {
	w, h := wish()
	w.KeepsMonths = 24
	if got := made(t, w, h).text(t, BestBeforePart, "en"); got != "Best before end 2028" {
		t.Errorf("%q", got)
	}
	w.KeepsMonths = 12
	if got := made(t, w, h).text(t, BestBeforePart, "en"); got != "Best before end 2028-11" {
		t.Errorf("%q", got)
	}
	w.FullDate, w.BestBefore, w.Lot = true, 20280630, ""
	l := made(t, w, h)
	if got := l.text(t, BestBeforePart, "en"); got != "Best before 2028-06-30" || !l.Ready() {
		t.Errorf("%q, %v", got, l.keys(answer.Bad))
	}
	w.FullDate = false
	if l = made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.lot-missing") {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	w, h = wish()
	if slices.Contains(l.keys(answer.Care), "label.keeping-words") {
		t.Error("a month that keeps to its end is warned of")
	}
	w.Keeps.MonthEnd, w.KeepsMonths, w.BestBefore = 0.89, 12, 20281115
	if l = made(t, w, h); !l.Ready() || !slices.Contains(l.keys(answer.Care), "label.keeping-words") {
		t.Errorf("%v: a month whose end is not kept with 90 %% passes unsaid", l.Findings)
	}
	w.FullDate = true
	if l = made(t, w, h); slices.Contains(l.keys(answer.Care), "label.keeping-words") {
		t.Error("a full date says no more than its day")
	}
	w.FullDate = false
	w.Keeps.Chance = 0.8
	if l = made(t, w, h); l.Ready() {
		t.Error("a date that keeps with 80 % is printed where 90 % are asked for")
	}
	w.Keeps.Known = false
	if l = made(t, w, h); !slices.Contains(l.keys(answer.Care), "label.keeping-unknown") {
		t.Errorf("%v", l.Findings)
	}
	w.BestBefore = 20261103
	if l = made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.best-before-past") {
		t.Errorf("%v", l.Findings)
	}
}

// Directive 2001/110/EC art. 2(2)(b): a plant wholly or mainly, with what bears it out;
// a place entirely.
func TestNamesNeedTheRecord(t *testing.T) {
	w, h := wish()
	w.Plant, w.Region = "lime", "Brackenlow"
	h.Plants = []Mass{{"Lime", 600}, {"", 400}}
	h.Regions = []Mass{{"Brackenlow", 1000}}
	h.Taste, h.Pollen = Yes, Yes
	h.Measured = []Measured{{standard.Conductivity, standard.ReadingOf(0.62, 0.02)}}
	if l := made(t, w, h); !l.Ready() {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	for want, change := range map[string]func(*Tipped){
		"label.plant-not-mainly":     func(h *Tipped) { h.Plants = []Mass{{"lime", 500}, {"clover", 500}} },
		"label.plant-not-recorded":   func(h *Tipped) { h.Plants = nil },
		"label.plant-no-pollen":      func(h *Tipped) { h.Pollen = NotKnown },
		"label.plant-no-taste":       func(h *Tipped) { h.Taste = NotKnown },
		"label.plant-no-lab":         func(h *Tipped) { h.Measured = nil },
		"label.region-not-entirely":  func(h *Tipped) { h.Regions = append(h.Regions, Mass{"", 1}) },
		"label.region-not-recorded":  func(h *Tipped) { h.Regions = nil },
		"label.cooking-no-claim":     func(h *Tipped) { h.Cooking = true },
		"label.plant-pollen-against": func(h *Tipped) { h.Pollen = No },
	} {
		x := h
		change(&x)
		if l := made(t, w, x); !slices.Contains(l.keys(answer.Bad), want) {
			t.Errorf("%v, want %s", l.keys(answer.Bad), want)
		}
	}
}

// Regulation 1924/2006 art. 10 and 12, 1169/2011 art. 7(3); LE19 of examples_label.csv.
// The further words are common practice, no source.
func TestClaims(t *testing.T) {
	for text, class := range map[string]Class{
		"soothes sore throats": Cure, "A natural ANTI-BACTERIAL": Cure, "Cure-all": Cure, "c\u00adures colds": Cure, "сures": Cure, "cur3s": Cure,
		"heals wounds": Cure, "Boosts your immunity": Health, "healthy!": Health, "sugar-free": Sugar, "Sin azúcar": Sugar, "bez cukru": Sugar,
		"Alivia la tos": Cure, "refuerza tus DEFENSAS": Health, "propiedades antiinflamatorias": Cure, "łagodzi kaszel": Cure, "Leczy gardło": Cure,
		"wzmacnia odporność": Health, "Raw honey": Raw, "miel cruda": Raw, "surowy miód": Raw, "Organic": Organic, "ekologiczny": Organic, "100% pure": Pure,
		"local honey": Local, "filtered honey": Filtered,
		"good for your throat": Cure, "anti inflammatory": Cure, "fights colds": Cure, "cúrate": Cure, "obniża ciśnienie": Cure, "baja la tensión arterial": Cure, "medical grade": Cure,
		"Energising": Health, "rico en vitaminas": Health, "bogaty w witaminy": Health, "fortalece": Health, "libre de azúcar": Sugar, "bez dodanego cukru": Sugar,
		"surowego miodu": Raw, "kilómetro 0": Local, "tutejszy": Local, "gluten free": Pure, "prawdziwy miód": Pure,
		"c u r e s": Cure, "c.u.r.e.s": Cure, "h e a l t h y": Health, "ＣＵＲＥＳ": Cure, "𝐜𝐮𝐫𝐞𝐬": Cure, "cu\u200bres": Cure, "CuReS": Cure, "curesss": Cure, "soooothes": Cure,
		"antibakterial": Cure, "antibacteral": Cure, "medecinal": Cure, "odpornsoć": Health, "anti‑bacterial": Cure, "лечит кашель": Cure, "целебный мёд": Cure, "лікує": Cure,
		"θεραπευτικό": Cure, "heilt Husten": Cure, "guérit la toux": Cure, "Immunsystem": Health, "zuckerfrei": Sugar, "здоровье": Health, "ĆÚRĘS": Cure, "cu\u2060res": Cure,
	} {
		found, err := FindClaims(text)
		if err != nil || !slices.ContainsFunc(found, func(f Found) bool { return f.Class == class }) {
			t.Errorf("%q: %v, %v; want %s", text, found, err, classNames[class])
		}
	}
	for _, plain := range []string{"Summer honey", "Currant and plum spread", "Store in a cool, dry, dark place.", "Miel de bosque", "Miód lipowy", "Miód akacjowy 340 g",
		"Miel de romero, origen Velmark", "Not for infants under 12 months.", "May set; stand the jar in warm water.", "Pail of 10 kg", "Combe Lane Honey, 3 Combe Lane", "Trawiasta łąka",
		"He presents creative confections", "A B C D", "Липовый мёд", "Μέλι λουλουδιών", "Blütenhonig", "Miel de fleurs", "Treatise on meadows", "Keep in a cold place.", "Best on toast, a sweet treat", "Light amber honey", "Guardar en lugar fresco y seco.", "Przechowywać w chłodnym i suchym miejscu.", "Miel de flores del Valle",
		"No apto para menores de 12 meses.", "Nie podawać niemowlętom do 12 miesięcy.", "Curated by hand", "Pain d'épices au miel", "Dolores Fuente de Cantos", "Queso curado con miel", "Wzmianka o łące"} {
		if found, err := FindClaims(plain); err != nil || len(found) > 0 {
			t.Errorf("%q: %v, %v", plain, found, err)
		}
	}
	w, h := wish()
	w.Texts = []string{"Raw and organic"}
	if l := made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.raw-no-basis") || !slices.Contains(l.keys(answer.Bad), "label.organic-no-basis") {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	h.Unheated, h.Organic = Yes, No
	if l := made(t, w, h); !slices.Contains(l.keys(answer.Good), "label.raw-shown") || !slices.Contains(l.keys(answer.Bad), "label.organic-against") {
		t.Errorf("%v", l.Findings)
	}
}

// Job's own example: 60 kg of honey in 134 kg of spread is 44.8 %. Regulation 1169/2011
// Annex VIII 3: over 100 % it is grams in 100 g.
func TestIngredients(t *testing.T) {
	for _, c := range []struct {
		part, finished quantity.Gram
		tenths         int64
		grams          bool
	}{{60_000, 134_000, 448, false}, {18_000, 104_000, 173, false}, {24_000, 73_000, 329, false}, {120, 100, 1200, true}, {1, 2000, 1, false}, {0, 5, 0, false}} {
		if tenths, grams, err := StatedShare(c.part, c.finished); err != nil || tenths != c.tenths || grams != c.grams {
			t.Errorf("%d in %d: %d, %v, %v", c.part, c.finished, tenths, grams, err)
		}
	}
	for _, bad := range [][2]quantity.Gram{{1, 0}, {-1, 5}, {1, -5}} {
		if _, _, err := StatedShare(bad[0], bad[1]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
	w, h := wish()
	w.Name = "Ginger biscuits"
	w.Recipe = &Recipe{Finished: 104_000, Parts: []Ingredient{{Name: "honey", Grams: 18_000, Stated: true}, {Name: "wheat flour", Grams: 60_000, Allergen: "wheat"},
		{Name: "butter (milk)", Grams: 22_000, Allergen: "milk"}, {Name: "egg", Grams: 6000, Allergen: "egg"}}}
	l := made(t, w, h)
	if got := l.text(t, IngredientsPart, "en"); got != "WHEAT flour, butter (MILK), honey (17.3 %), EGG" {
		t.Errorf("%q", got)
	}
	w.Recipe.Parts[1].Grams = 0
	if _, err := Of(w, h); err == nil {
		t.Error("an ingredient without a mass is taken")
	}
}

// LE7 and LE8 of examples_label.csv: Regulation 1169/2011 Annex XIV, rounding guidance.
func TestNutrition(t *testing.T) {
	w, h := wish()
	w.Nutrition, w.Sugars, w.Sodium = &standard.Composition{Carbohydrate: 82.2, Protein: 0.3, Fibre: 0.2}, 82.0, 0.004
	got := made(t, w, h).text(t, NutritionPart, "en")
	for _, want := range []string{"1404 kJ", "330 kcal", "Protein < 0.5 g", "Salt < 0.01 g", "Carbohydrate 82 g"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	w.Sugars = 90
	if _, err := Of(w, h); err == nil {
		t.Error("more sugars than carbohydrate are taken")
	}
}

// Every part is said in every language, and nothing is left out of a plain jar.
func TestWhole(t *testing.T) {
	w, h := wish()
	l := made(t, w, h)
	for _, p := range []Part{NamePart, OriginPart, NetPart, BestBeforePart, StoragePart, LotPart, PackerPart, InfantPart} {
		for _, language := range words.Languages() {
			if s := l.text(t, p, language); s == "" || strings.Contains(s, words.Marker) {
				t.Errorf("%s: part %d says %q", language, p, s)
			}
		}
	}
	for _, p := range []Part{NamePart, OriginPart, NetPart} {
		if !l.item(p).Front {
			t.Errorf("part %d is not in the field of the name", p)
		}
	}
	w.Bulk = true
	if made(t, w, h).text(t, InfantPart, "en") != "" {
		t.Error("a drum has the advice for infants")
	}
	for name, change := range map[string]func(*Wish){"no day": func(w *Wish) { w.Labelled = 0 }, "no mass": func(w *Wish) { w.Pack.Net = 0 }} {
		x := w
		change(&x)
		if _, err := Of(x, h); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
