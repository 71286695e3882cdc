package honey

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/quantity"
)

// ErrNoMix is wrapped when no amount of the dry honey gives the target.
var ErrNoMix = errors.New("no such mix")

// A NoMixReason is why there is none; it is a stable key.
type NoMixReason string

const (
	AlreadyDry   NoMixReason = "the wet honey is at or under the target already"
	DryTooWet    NoMixReason = "the dry honey is not drier than the target"
	NothingToMix NoMixReason = "there is no wet honey"
)

// A NoMixError says why two honeys can't give a target.
type NoMixError struct {
	Reason           NoMixReason
	Wet, Dry, Target quantity.WaterPct
}

func (e *NoMixError) Unwrap() error { return ErrNoMix }

func (e *NoMixError) Error() string {
	return fmt.Sprintf("%s: wet %s %%, dry %s %%, target %s %%", e.Reason,
		digits(float64(e.Wet)), digits(float64(e.Dry)), digits(float64(e.Target)))
}

// A Dilution is how much dry honey takes a wet one to a target.
type Dilution struct {
	// Dry is the amount that meets the target by the readings as they stand, and
	// so misses it one time in two. With High the mix is at or under the target 19
	// times in 20, with Low 1 time in 20. High is +Inf where the readings' doubt
	// alone may put the dry honey over the target.
	Dry   Band[quantity.Kg]
	Total quantity.Kg // wet and dry.Likely together
	SD    float64     // standard uncertainty of the mix's water at Dry.Likely, points
}

// DryToReach gives the kg of dry honey that bring a mass of wet honey to a target,
// by mass balance:
//
//	B = A·(a − m)/(m − b)
//
// with A kg at a % of water, dry honey at b % and target m %. The band solves
// the same balance with 1.645 standard uncertainties of the mix,
// √(A²·sa² + B²·sb² + (A+B)²·s²)/(A + B), added or taken off (Fieller's interval).
// sa and sb are the readings' own doubts; s, sharedSD, is what both have in common,
// the set-up error of one refractometer, 0 if there is none. Exact arithmetic;
// range 13 to 25 %.
func DryToReach(mass quantity.Kg, wet, dry WaterReading, sharedSD float64, target quantity.WaterPct) (Dilution, error) {
	if err := checkDilution(mass, wet, dry, sharedSD, target); err != nil {
		return Dilution{}, err
	}
	a, short, spare := float64(mass), float64(wet.Water-target), float64(target-dry.Water)
	b := a * short / spare
	low, high := fieller(a, short, spare, wet.SD, dry.SD, sharedSD)
	return Dilution{
		// Without doubt the three are one figure, but for the last bit.
		Dry:   Band[quantity.Kg]{quantity.Kg(min(low, b)), quantity.Kg(b), quantity.Kg(max(high, b))},
		Total: mass + quantity.Kg(b),
		SD:    root2(root2(a*wet.SD, b*dry.SD)/(a+b), sharedSD),
	}, nil
}

// fieller gives the amounts x at which the mix is at the target less and plus z of
// its own standard uncertainties: the roots of
//
//	(spare·x − mass·short)² = z²·(mass²·sa² + x²·sb² + (mass + x)²·s²)
//
// as a·x² − 2b·x + c = 0. A negative amount is cut to 0.
func fieller(mass, short, spare, sa, sb, s float64) (low, high float64) {
	const z2 = NineInTen * NineInTen
	a := spare*spare - z2*(sb*sb+s*s)
	b := mass * (short*spare + z2*s*s)
	c := mass * mass * (short*short - z2*(sa*sa+s*s))
	root := math.Sqrt(max(0, b*b-a*c))
	low = max(0, c/(b+root))
	if !(a > 0) { // the dry honey may be as wet as the target
		return low, math.Inf(1)
	}
	return low, (b + root) / a
}

func checkDilution(mass quantity.Kg, wet, dry WaterReading, sharedSD float64, target quantity.WaterPct) error {
	for _, w := range [...]quantity.WaterPct{wet.Water, dry.Water, target} {
		if err := checkWater(w, waterLow, waterHigh); err != nil {
			return err
		}
	}
	for _, sd := range [...]float64{wet.SD, dry.SD, sharedSD} {
		if !within(sd, 0, 5) {
			return outside(InputDoubt, sd, 0, 5)
		}
	}
	if !within(float64(mass), 0, mostKg) {
		return outside(InputMass, float64(mass), 0, mostKg)
	}
	no := func(r NoMixReason) error { return &NoMixError{r, wet.Water, dry.Water, target} }
	switch {
	case mass == 0:
		return no(NothingToMix)
	case wet.Water <= target:
		return no(AlreadyDry)
	case dry.Water >= target:
		return no(DryTooWet)
	}
	return nil
}
