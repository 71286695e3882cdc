package honey

import "combline/internal/quantity"

// A Keeping says whether honey keeps for a year without fermenting.
type Keeping uint8

const (
	KeepingUnknown Keeping = iota // no yeast count, and the water decides nothing alone
	Keeps
	KeepsNot
)

// A FermentReason is why; it is a stable key.
type FermentReason string

const (
	FermentDry        FermentReason = "dry enough whatever the yeast"
	FermentFewYeasts  FermentReason = "yeast count within the limit for this water"
	FermentAtLimit    FermentReason = "yeast count exactly at the limit; some reprints want it below"
	FermentManyYeasts FermentReason = "yeast count over the limit for this water"
	FermentWet        FermentReason = "too wet to be safe with any yeast count"
	FermentNotCounted FermentReason = "the yeast has not been counted"
)

// A FermentRisk is the verdict for one honey. Limit is the highest safe yeast
// count of its class; it means nothing when Class is the first (any) or last (none).
type FermentRisk struct {
	Keeping Keeping
	Reason  FermentReason
	Class   int // 0 to 4, dry to wet
	Limit   quantity.YeastPerG
}

// The water classes of Lochhead's table, upper ends included. It prints gaps
// (18.0, then 18.1): they are closed so that 18.05 counts as the wetter class.
var fermentClasses = [...]struct {
	upTo  quantity.WaterPct
	limit quantity.YeastPerG
}{{17.1, 0}, {18, 1000}, {19, 10}, {20, 1}}

const fermentWet = len(fermentClasses)

// FermentSafeBelow is the temperature under which honey does not ferment.
const FermentSafeBelow quantity.Celsius = 11

// Ferment judges whether liquid honey keeps for a year, by Lochhead's table:
//
//	water       safe if yeasts per g
//	to 17.1 %   any
//	to 18.0 %   at most 1000
//	to 19.0 %   at most 10
//	to 20.0 %   at most 1
//	over 20 %   never
//
// Range 13 to 25 % (water outside it is refused). Source: Lochhead 1933. White
// (USDA Handbook 335) is stricter: over 19 % it ferments even with 1 per g.
// Below 11 °C honey of any class keeps.
func Ferment(w quantity.WaterPct, yeast quantity.YeastPerG) (FermentRisk, error) {
	if !within(float64(yeast), 0, 1e10) {
		return FermentRisk{}, outside(InputYeast, float64(yeast), 0, 1e10)
	}
	r, err := FermentUncounted(w)
	if err != nil || r.Keeping != KeepingUnknown {
		return r, err
	}
	switch {
	case yeast < r.Limit:
		r.Keeping, r.Reason = Keeps, FermentFewYeasts
	case yeast == r.Limit:
		r.Keeping, r.Reason = Keeps, FermentAtLimit
	default:
		r.Keeping, r.Reason = KeepsNot, FermentManyYeasts
	}
	return r, nil
}

// FermentUncounted judges by water alone, for honey whose yeast nobody counted:
// between 17.1 and 20 % the answer is unknown, never a pass.
func FermentUncounted(w quantity.WaterPct) (FermentRisk, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return FermentRisk{}, err
	}
	return fermentClass(w), nil
}

func fermentClass(w quantity.WaterPct) FermentRisk {
	for i, c := range fermentClasses {
		if w > c.upTo {
			continue
		}
		if i == 0 {
			return FermentRisk{Keeping: Keeps, Reason: FermentDry}
		}
		return FermentRisk{Reason: FermentNotCounted, Class: i, Limit: c.limit}
	}
	return FermentRisk{Keeping: KeepsNot, Reason: FermentWet, Class: fermentWet}
}

const crystalsLow, crystalsHigh = 0.0, 40.0

// LiquidWater gives the water of the liquid between the crystals of partly set
// honey. With c g of glucose monohydrate crystals (1/11 of them water) in 100 g
//
//	W' = 100·(W − c/11) / (100 − c)
//
// An exact mass balance. Range: c 0 to 40 %, W 13 to 25 %. Crystals can't be
// more than the glucose above saturation, 10 to 20 % in most set honeys.
func LiquidWater(w quantity.WaterPct, crystals quantity.Percent) (quantity.WaterPct, error) {
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return 0, err
	}
	c := float64(crystals)
	if !within(c, crystalsLow, crystalsHigh) {
		return 0, outside(InputCrystals, c, crystalsLow, crystalsHigh)
	}
	return quantity.WaterPct(100 * (float64(w) - c/11) / (100 - c)), nil
}

// FermentPartlySet judges honey with crystals by the water of its liquid, where
// the yeasts live, and by the count per g of the whole. Pass counted as false if
// there is no count; yeast is then not looked at.
func FermentPartlySet(w quantity.WaterPct, crystals quantity.Percent, yeast quantity.YeastPerG, counted bool) (FermentRisk, error) {
	liquid, err := LiquidWater(w, crystals)
	if err != nil {
		return FermentRisk{}, err
	}
	if liquid > waterHigh { // wetter than the table knows, so wetter than 20
		return fermentClass(liquid), nil
	}
	if !counted {
		return FermentUncounted(liquid)
	}
	return Ferment(liquid, yeast)
}
