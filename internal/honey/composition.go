package honey

import (
	"math"

	"combline/internal/quantity"
)

// A Composition is a published average, in g per 100 g of honey. A figure that
// the source does not give is NaN, never 0.
type Composition struct {
	Population string
	Samples    int
	Source     string

	Water, Fructose, Glucose, Sucrose, Maltose, HigherSugars, Acid, Ash float64
}

// AverageUS is the average of 490 US honeys (White et al. 1962, USDA Technical
// Bulletin 1261, in Crane 1980). Maltose stands for all reducing disaccharides.
func AverageUS() Composition {
	return Composition{Population: "USA 1962", Samples: 490, Source: "White et al. 1962, in Crane 1980, appendix 2 table 4",
		Water: 17.2, Fructose: 38.2, Glucose: 31.3, Sucrose: 1.3, Maltose: 7.3, HigherSugars: 1.5, Acid: 0.57, Ash: 0.17}
}

// AverageRomania is the average of 257 Romanian honeys of 1955 (Crane 1980).
func AverageRomania() Composition {
	none := math.NaN()
	return Composition{Population: "Romania 1955", Samples: 257, Source: "Crane 1980, appendix 2 table 4",
		Water: 16.5, Fructose: 38.4, Glucose: 34.0, Sucrose: 3.1, Maltose: none, HigherSugars: none, Acid: none, Ash: none}
}

// AverageAustralia is the average of 99 Australian honeys of 1974 (Crane 1980).
func AverageAustralia() Composition {
	none := math.NaN()
	return Composition{Population: "Australia 1974", Samples: 99, Source: "Crane 1980, appendix 2 table 4",
		Water: 15.6, Fructose: 43.3, Glucose: 30.2, Sucrose: 2.5, Maltose: none, HigherSugars: none, Acid: none, Ash: none}
}

// A Nutrition is what energy is reckoned from, g per 100 g. Carbohydrate is without
// fibre, as European labels have it.
type Nutrition struct{ Carbohydrate, Protein, Fat, Fibre float64 }

// An Energy is an energy value of 100 g.
type Energy struct{ Kcal, KJ float64 }

func (n Nutrition) check() error {
	for _, g := range [...]float64{n.Carbohydrate, n.Protein, n.Fat, n.Fibre} {
		if !within(g, 0, 100) {
			return outside(InputGrams, g, 0, 100)
		}
	}
	if sum := n.Carbohydrate + n.Protein + n.Fat + n.Fibre; !within(sum, 0, 100.5) { // half a gram of rounding
		return outside(InputGrams, sum, 0, 100)
	}
	return nil
}

// EnergyEU gives the energy by the general factors of EU labels (Regulation
// 1169/2011, annex XIV):
//
//	kcal = 4·carbohydrate + 4·protein + 9·fat + 2·fibre
//	kJ   = 17·carbohydrate + 17·protein + 37·fat + 8·fibre
func EnergyEU(n Nutrition) (Energy, error) {
	if err := n.check(); err != nil {
		return Energy{}, err
	}
	return Energy{
		Kcal: 4*n.Carbohydrate + 4*n.Protein + 9*n.Fat + 2*n.Fibre,
		KJ:   17*n.Carbohydrate + 17*n.Protein + 37*n.Fat + 8*n.Fibre,
	}, nil
}

// EnergyUS gives the energy by the specific factors that the US food database uses
// for sugars, on carbohydrate by difference (that is, with its fibre):
//
//	kcal = 3.68·(carbohydrate + fibre) + 3.36·protein + 9·fat,   kJ = 4.184·kcal
//
// For average honey it is about 9 % below [EnergyEU]: choose by the label's country.
func EnergyUS(n Nutrition) (Energy, error) {
	if err := n.check(); err != nil {
		return Energy{}, err
	}
	kcal := 3.68*(n.Carbohydrate+n.Fibre) + 3.36*n.Protein + 9*n.Fat
	return Energy{Kcal: kcal, KJ: 4.184 * kcal}, nil
}

// CarbohydrateByDifference is 100 − water − protein − fat − ash, in g per 100 g.
func CarbohydrateByDifference(w quantity.WaterPct, protein, fat, ash float64) (float64, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	for _, g := range [...]float64{protein, fat, ash} {
		if !within(g, 0, 10) {
			return 0, outside(InputGrams, g, 0, 10)
		}
	}
	return 100 - float64(w) - protein - fat - ash, nil
}

// MaltoseDE is the reducing power of maltose, one end in 342.3 g against one in
// 180.16 g of glucose.
const MaltoseDE = 0.526

// DextroseEquivalent gives the reducing power of the dry matter, as % of glucose's:
//
//	DE = 100·(glucose + fructose + 0.526·maltose) / (100 − W)
//
// exact chemistry of the ends counted (theory, from memory); sucrose has none.
// Range 13 to 25 % water, glucose and fructose 10 to 55, maltose 0 to 30 g/100 g.
func DextroseEquivalent(glucose, fructose, maltose quantity.Percent, w quantity.WaterPct) (float64, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	if err := checkSugar(InputGlucose, float64(glucose)); err != nil {
		return 0, err
	}
	if err := checkSugar(InputFructose, float64(fructose)); err != nil {
		return 0, err
	}
	if !within(float64(maltose), 0, 30) {
		return 0, outside(InputMaltose, float64(maltose), 0, 30)
	}
	return 100 * (float64(glucose) + float64(fructose) + MaltoseDE*float64(maltose)) / (100 - float64(w)), nil
}
