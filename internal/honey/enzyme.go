package honey

import (
	"math"

	"combline/internal/quantity"
)

const (
	enzymeTempLow, enzymeTempHigh = 10.0, 80.0

	// EnzymeSpread is the ×/÷ of half-lives between honeys (30 %).
	EnzymeSpread = 1.3
)

// DiastaseLaw gives the rate at which diastase is lost, ln 2 over the half-life
//
//	t½ = 5.38 · exp((147550/R)·(1/TK − 1/323.15))   days
//
// and activity(t) = activity(0)·exp(−∫k dt). Within 1.4 % of the eight
// temperatures of White, Kushnir and Subers 1964 (from memory), within 5 % of
// Crane's rounded table up to 70 °C.
func DiastaseLaw() Arrhenius { return Arrhenius{At50: math.Ln2 / 5.38, Energy: 147550} }

// InvertaseLaw gives the rate at which invertase is lost, ln 2 over the half-life
//
//	t½ = 1.285 · exp((169530/R)·(1/TK − 1/323.15))   days
//
// Within 2 % of the same table (from memory), within 7 % of Crane's. Invertase
// is the finer mark of gentle heating.
func InvertaseLaw() Arrhenius { return Arrhenius{At50: math.Ln2 / 1.285, Energy: 169530} }

// DiastaseHalfLife gives the days in which diastase halves at t. Range 10 to
// 80 °C; see [DiastaseLaw]. Honeys differ by 30 % either way.
func DiastaseHalfLife(t quantity.Celsius) (quantity.Days, error) {
	return halfLife(DiastaseLaw(), t)
}

// InvertaseHalfLife gives the days in which invertase halves at t. Range 10 to
// 80 °C; see [InvertaseLaw]. Honeys differ by 30 % either way.
func InvertaseHalfLife(t quantity.Celsius) (quantity.Days, error) {
	return halfLife(InvertaseLaw(), t)
}

func halfLife(law Arrhenius, t quantity.Celsius) (quantity.Days, error) {
	if err := checkTemp(t, enzymeTempLow, enzymeTempHigh); err != nil {
		return 0, err
	}
	return quantity.Days(math.Ln2 / law.AtC(t)), nil
}

// EnzymeKept gives the share of an enzyme that is left after some days at t, for
// the likely half-life and for ones [EnzymeSpread] shorter and longer.
func EnzymeKept(law Arrhenius, t quantity.Celsius, d quantity.Days) (Band[float64], error) {
	if !within(float64(d), 0, 36525) {
		return Band[float64]{}, outside(InputDays, float64(d), 0, 36525)
	}
	half, err := halfLife(law, t)
	if err != nil {
		return Band[float64]{}, err
	}
	n := float64(d / half)
	return Band[float64]{math.Exp2(-n * EnzymeSpread), math.Exp2(-n), math.Exp2(-n / EnzymeSpread)}, nil
}
