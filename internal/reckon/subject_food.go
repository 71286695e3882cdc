package reckon

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/standard"
)

func grams(name, of string) Input { return number(name, quantity.G, of+", g in 100 g") }

// foodSubjects are honey as food: composition, energy, label figures.
func foodSubjects() []Subject {
	return []Subject{
		{Name: "energy", Help: "energy of 100 g for a label", Model: "energy",
			Caution: "the two countries' factors differ by about 9 %: choose by the label's country",
			Example: "--carbohydrate-g 82.1 --protein-g 0.3 --fat-g 0 --fibre-g 0.2 --rules eu",
			Inputs: []Input{grams("carbohydrate_g", "carbohydrate without fibre"), grams("protein_g", "protein"),
				grams("fat_g", "fat"), grams("fibre_g", "fibre"), rulesOf("eu", "us")},
			Answers: []Answer{gives("kj", "kJ", 4, "energy of 100 g"), gives("kcal", "kcal", 3, "energy of 100 g")}, answer: energy},
		{Name: "carbohydrate", Help: "carbohydrate by difference", Model: "energy",
			Range: "water 13 to 25 %, the others 0 to 10 g", Doubt: "that of the parts taken off", Source: "by definition",
			Example: "--water-pct 17.2 --protein-g 0.3 --fat-g 0 --ash-g 0.2",
			Inputs:  []Input{waterPct(), grams("protein_g", "protein"), grams("fat_g", "fat"), grams("ash_g", "ash")},
			Answers: []Answer{gives("carbohydrate_g", "g", 4, "in 100 g, fibre included")}, answer: carbohydrate},
		{Name: "composition", Help: "published average composition", Source: "Crane 1980, appendix 2 table 4; for the us White et al. 1962", Doubt: "averages of one country's honeys of those years; single honeys differ widely",
			Range: "the three populations", Example: "--population us",
			Inputs: []Input{word("population", "whose honeys, of 1962, 1955 and 1974", "us", "romania", "australia")},
			Answers: []Answer{counts("samples", "honeys in the average"), gives("water_pct", "%", 3, "water"),
				gives("fructose_pct", "%", 3, "fructose"), gives("glucose_pct", "%", 3, "glucose"), gives("sucrose_pct", "%", 3, "sucrose"),
				gives("maltose_pct", "%", 3, "all reducing disaccharides"), gives("higher_sugars_pct", "%", 3, "higher sugars"),
				gives("acid_pct", "%", 3, "acids"), gives("ash_pct", "%", 3, "ash"), says("published", "where")}, answer: composition},
		{Name: "dextrose", Help: "dextrose equivalent of the dry matter", Model: "dextrose",
			Example: "--glucose-pct 31.3 --fructose-pct 38.2 --maltose-pct 7.3 --water-pct 17.2",
			Inputs: []Input{grams("glucose_pct", "glucose").percent(), grams("fructose_pct", "fructose").percent(),
				grams("maltose_pct", "maltose").percent(), waterPct()},
			Answers: []Answer{gives("dextrose_equivalent", "", 3, "% of glucose's reducing power")}, answer: dextrose},
		{Name: "declare", Help: "a nutrition figure rounded as a label may print it", Range: "0 to 1 000 000",
			Doubt: "exact by the rule", Example: "--nutrient eu-salt --value 0.0123",
			Inputs: []Input{word("nutrient", "line of the declaration, with its market", nutrientWords()...),
				number("value", quantity.Each, "value in the line's unit: eu per 100 g, us per serving")},
			Answers: []Answer{gives("declared", "", 0, "figure to print"),
				says("form", "how to print it: as it is, 0 or less than it, less than it, or either"),
				says("printed", "as it stands on the label")}, answer: declare},
		{Name: "salt", Help: "salt of so much sodium, for a European label", Range: "0 or more", Doubt: "exact by the rule", Example: "--sodium-g 0.004",
			Inputs:  []Input{grams("sodium_g", "sodium")},
			Answers: []Answer{gives("salt_g", "g", 3, "sodium × 2.5, in the same grams")}, answer: salt},
	}
}

func (i Input) percent() Input { i.Unit = quantity.Pct; return i }

func energy(q *Query) error {
	n := honey.Nutrition{Carbohydrate: q.num("carbohydrate_g"), Protein: q.num("protein_g"), Fat: q.num("fat_g"), Fibre: q.num("fibre_g")}
	reckoned := honey.EnergyEU
	if q.rules() == standard.US {
		reckoned = honey.EnergyUS
	} else {
		q.cite(standard.Cite{Set: standard.EUNutrition, Place: "Annex XIV", Got: standard.Read})
	}
	e, err := reckoned(n)
	if err != nil {
		return err
	}
	q.put("kj", e.KJ)
	q.put("kcal", e.Kcal)
	return nil
}

func carbohydrate(q *Query) error {
	c, err := honey.CarbohydrateByDifference(q.water(), q.num("protein_g"), q.num("fat_g"), q.num("ash_g"))
	if err != nil {
		return err
	}
	q.put("carbohydrate_g", c)
	return nil
}

func composition(q *Query) error {
	c := honey.AverageUS()
	switch q.word("population") {
	case "romania":
		c = honey.AverageRomania()
	case "australia":
		c = honey.AverageAustralia()
	}
	q.put("samples", float64(c.Samples))
	told := true
	for _, part := range [...]struct {
		name string
		x    float64
	}{{"water_pct", c.Water}, {"fructose_pct", c.Fructose}, {"glucose_pct", c.Glucose}, {"sucrose_pct", c.Sucrose},
		{"maltose_pct", c.Maltose}, {"higher_sugars_pct", c.HigherSugars}, {"acid_pct", c.Acid}, {"ash_pct", c.Ash}} {
		if math.IsNaN(part.x) {
			told = false
			continue
		}
		q.put(part.name, part.x)
	}
	if !told {
		q.note("the publication does not give the empty figures")
	}
	q.say("published", c.Source)
	return nil
}

func dextrose(q *Query) error {
	d, err := honey.DextroseEquivalent(quantity.Percent(q.num("glucose_pct")), quantity.Percent(q.num("fructose_pct")),
		quantity.Percent(q.num("maltose_pct")), q.water())
	if err != nil {
		return err
	}
	q.put("dextrose_equivalent", d)
	return nil
}

// nutrients are the lines of a declaration, in the order of package standard.
func nutrientWords() []string {
	return []string{"eu-energy", "eu-macro", "eu-saturates", "eu-salt", "us-calories", "us-carbohydrate", "us-sugars", "us-sodium", "us-fat", "us-protein"}
}

func declare(q *Query) error {
	lines := [...]standard.Nutrient{standard.Energy, standard.Macro, standard.Saturates, standard.Salt, standard.Calories,
		standard.Carbohydrate, standard.TotalSugars, standard.Sodium, standard.TotalFat, standard.Protein}
	for i, w := range nutrientWords() {
		if w != q.word("nutrient") {
			continue
		}
		d, err := standard.Declare(lines[i], q.num("value"))
		if err != nil {
			return err
		}
		q.cite(d.Cite)
		q.put("declared", d.Float())
		q.say("form", [...]string{standard.Exactly: "as it is", standard.ZeroOrUnder: "0, or less than it",
			standard.Under: "less than it", standard.UnderOr: "less than it, or as it is"}[d.Form])
		f := quantity.Figure{Mantissa: d.Mantissa, Decimals: d.Decimals, Unit: quantity.G}.Digits()
		q.say("printed", [...]string{standard.Exactly: f, standard.ZeroOrUnder: "0 or <" + f, standard.Under: "<" + f, standard.UnderOr: "<" + f + " or " + f}[d.Form])
	}
	return nil
}

func salt(q *Query) error {
	s := q.num("sodium_g")
	if !(s >= 0 && s <= 100) {
		return outOf("sodium_g", s, "0 to 100")
	}
	q.cite(standard.Cite{Set: standard.EUNutrition, Place: "Annex I", Got: standard.Read})
	q.put("salt_g", standard.SaltOf(s))
	return nil
}
