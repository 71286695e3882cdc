package honey

import (
	"fmt"
	"math"
	"strings"

	"combline/internal/quantity"
)

// Rows of the tables of composition and of its limits.

var averages = []Composition{AverageUS(), AverageRomania(), AverageAustralia()}

func checkCompositionRow(r record) check {
	c := r.check(r.fields["population"]+", "+r.fields["quantity"], "%.4g "+strings.ReplaceAll(r.fields["unit"], "%", "%%"))
	v := r.num("value")
	for _, a := range averages {
		if r.fields["population"] == fmt.Sprintf("%s (n=%d)", a.Population, a.Samples) {
			return c.figure(v, a.figure(r.fields["quantity"]), inUnits).within(0, "copied")
		}
	}
	us := AverageUS()
	switch r.fields["quantity"] {
	case "dextrose equivalent of glucose", "dextrose equivalent of fructose", "dextrose equivalent of maltose":
		return c.figure(v, ownDE(strings.TrimPrefix(r.fields["quantity"], "dextrose equivalent of ")), inUnits).
			within(0.05, "printed to a tenth")
	case "dextrose equivalent of sucrose":
		return r.claim(c.what, "0: sucrose is not asked for", v == 0)
	case "fructose/glucose":
		return c.figure(v, us.Fructose/us.Glucose, inUnits).within(0.02, "another average of the same honeys: mean of ratios, not ratio of means")
	case "fructose", "glucose":
		if r.fields["got"] == "read" && strings.Contains(r.fields["source"], "FoodData") {
			return r.claim(c.what, fmt.Sprintf("%g g/100 g, a reading that a mix takes", v), takes(r.fields["quantity"], v))
		}
		return c.figure(v, us.figure(r.fields["quantity"]), inUnits).within(1.0, "enzymatic and GC methods of 1980 on the same honeys")
	case "ash", "moisture", "sucrose":
		if strings.Contains(r.fields["source"], "FoodData") {
			return r.claim(c.what, fmt.Sprintf("%g g/100 g, a reading that a mix takes", v), takes(r.fields["quantity"], v))
		}
		return c.figure(v, us.figure(r.fields["quantity"]), inUnits).within(0.011, "the same average, rounded to the next digit")
	case "carbohydrate by difference":
		// ash 0.2 g, from memory of the same entry
		return c.figure(v, must(CarbohydrateByDifference(17.1, 0.3, 0, 0.2)), inUnits).within(0.05, "printed to a tenth")
	case "sodium", "calcium":
		return r.claim(c.what, fmt.Sprintf("%g mg/100 g, within the ash", v), v < 1000*us.Ash)
	case "protein", "fat", "fibre":
		n := Nutrition{Carbohydrate: 82.2, Protein: 0.3, Fat: 0, Fibre: 0.2}
		return r.claim(c.what, fmt.Sprintf("%g g/100 g, in the energy example", v), v == map[string]float64{"protein": n.Protein, "fat": n.Fat, "fibre": n.Fibre}[r.fields["quantity"]])
	case "galactose":
		return r.claim(c.what, "the entry's sugars are less than its carbohydrate", v+40.94+35.75+1.44+0.89 < 82.4)
	}
	return r.claim(c.what, fmt.Sprintf("%g %s, a reading that a mix takes", v, r.fields["unit"]), takes(r.fields["quantity"], v))
}

// ownDE is what one more g of a sugar adds to the dextrose equivalent of its dry matter.
func ownDE(sugar string) float64 {
	at := func(g, f, m quantity.Percent) float64 { return must(DextroseEquivalent(g, f, m, 20)) * 80 }
	before := at(30, 30, 5)
	switch sugar {
	case "glucose":
		return at(31, 30, 5) - before
	case "fructose":
		return at(30, 31, 5) - before
	}
	return at(30, 30, 6) - before
}

func (c Composition) figure(quantity string) float64 {
	switch quantity {
	case "water", "moisture":
		return c.Water
	case "fructose":
		return c.Fructose
	case "glucose":
		return c.Glucose
	case "sucrose":
		return c.Sucrose
	case "reducing disaccharides as maltose":
		return c.Maltose
	case "higher sugars":
		return c.HigherSugars
	case "total acid":
		return c.Acid
	case "ash":
		return c.Ash
	}
	return math.NaN()
}

// propertyOf are the tables' names of properties.
var propertyOf = map[string]Property{
	"moisture": PropWater, "water": PropWater, "sucrose": PropSucrose, "fructose": PropFructose, "glucose": PropGlucose, "maltose": PropMaltose,
	"ash": PropAsh, "water insoluble": PropInsolubles, "electrical conductivity": PropConductivity, "free acid": PropFreeAcid,
	"total acidity": PropFreeAcid, "diastase": PropDiastase, "HMF": PropHMF, "pH": PropPH,
}

func takes(name string, v float64) bool {
	p, ok := propertyOf[name]
	return ok && p.def().check(p, v) == nil
}

// A limit of law is another package's matter. Here it must be a figure that a mix
// can be judged by: a property of this package, in the same unit, in its range.
func checkLimitRow(r record) check {
	name := r.fields["standard"] + ", " + r.fields["quantity"] + ", " + r.fields["category"]
	says := strings.TrimSpace(r.fields["kind"] + " " + r.fields["value"] + " " + r.fields["unit"])
	switch r.fields["quantity"] {
	case "fructose+glucose":
		return r.claim(name, says, PropFructose.Unit() == r.fields["unit"] && takes("fructose", r.num("value")/2) && takes("glucose", r.num("value")/2))
	case "total score":
		return r.claim(name, says+": judged by people", r.fields["kind"] == "range")
	case "soluble solids":
		solids := r.num("value")
		grade := map[float64]float64{81.4: 18.6, 80: 20}
		return r.claim(name, says+": the grade's water and solids make 100", math.Abs(grade[solids]+solids-100) < 1e-9)
	}
	p, ok := propertyOf[r.fields["quantity"]]
	if r.fields["kind"] == "exempt" {
		return r.claim(name, "no limit", ok && r.fields["value"] == "")
	}
	return r.claim(name, says, ok && p.Unit() == r.fields["unit"] && takes(r.fields["quantity"], r.num("value")))
}
