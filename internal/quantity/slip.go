package quantity

// A Slip is a usual way to mistype a weight.
type Slip uint8

const (
	NoSlip       Slip = iota
	TenTimes          // a digit too many: 2900 for 290
	Tenth             // a digit too few: 29 for 290
	ThousandFold      // grams typed as kilograms, or the point left out: 290400 for 290.4
	Thousandth        // kilograms typed as grams
	PoundsAsKg        // 640 lb typed as 640 kg
	KgAsPounds        // 290 kg typed as 290 lb
	GrossForNet       // the vessel's own weight left in
	NetForGross       // the vessel's own weight taken off already
)

// String is the slip's key; package words has the question.
func (s Slip) String() string {
	return [...]string{"none", "ten-times", "tenth", "thousandfold", "thousandth",
		"pounds-as-kg", "kg-as-pounds", "gross-for-net", "net-for-gross"}[s]
}

// largest is 100,000 t: a thousand of it, or its pounds, fit in 63 bits.
const largest Gram = 1e11

// LikelySlip compares a typed mass with the one expected (the last filling of
// such a vessel, the capacity, the order) and names the slip that would explain
// it, with the mass that was then meant. tare is the vessel's empty weight, 0
// where it is not known. It only gives a reason to ask back.
//
// A slip is likely when what was meant is within 5 % of what was expected and at
// least three times nearer to it than what was typed. The 5 % holds the usual
// spread of full drums, 290 to 300 kg (common practice, no source); a drum's
// 18 kg tare is 6 %.
func LikelySlip(typed, expected, tare Gram) (Slip, Gram) {
	if typed <= 0 || expected <= 0 || tare < 0 || typed > largest || expected > largest {
		return NoSlip, typed
	}
	best, meant := NoSlip, typed
	for _, s := range []Slip{TenTimes, Tenth, ThousandFold, Thousandth, PoundsAsKg, KgAsPounds, GrossForNet, NetForGross} {
		m := s.undo(typed, tare)
		off := abs(int64(m - expected))
		if m > 0 && off <= int64(expected)/20 && 3*off <= abs(int64(typed-expected)) && off < abs(int64(meant-expected)) {
			best, meant = s, m
		}
	}
	return best, meant
}

// undo returns the mass that was meant if typed is slip s; 0 if it can't be.
func (s Slip) undo(typed, tare Gram) Gram {
	const lbNum, lbDen = 45_359_237, 100_000_000 // kg in a pound
	switch s {
	case TenTimes:
		return typed / 10
	case Tenth:
		return typed * 10
	case ThousandFold:
		return typed / 1000
	case Thousandth:
		return typed * 1000
	case PoundsAsKg:
		return typed * lbNum / lbDen
	case KgAsPounds:
		return typed * lbDen / lbNum
	case GrossForNet:
		return typed - tare
	case NetForGross:
		return typed + tare
	}
	return 0
}
