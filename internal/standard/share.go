package standard

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// A Claim is a country's percentage as declared on a label.
type Claim struct {
	Country string
	Percent quantity.Percent
}

// A ShareCheck is a declared share against the records. The law allows 5 %
// without saying whether of the share or in points: both are worked out.
type ShareCheck struct {
	Country       string
	Declared      quantity.Percent
	Actual        quantity.Percent
	PointsPass    bool             // within 5 points
	RelativePass  bool             // within 5 % of the declared share
	PointsSpare   quantity.Percent // points left inside the tolerance; negative outside
	RelativeSpare quantity.Percent
	Cite          Cite
}

// Pass asks for both readings of the law.
func (c ShareCheck) Pass() bool { return c.PointsPass && c.RelativePass }

const (
	shareUnit       = 10_000 // of a per cent, for exact comparison
	tolerancePoints = 5
	toleranceOf     = 20 // a twentieth of the declared share is 5 %
)

// CheckShare sets a declared percentage (taken to 0.0001 %) against part of
// total grams. The tolerance's bounds are inside it. Decided in whole numbers.
// Source: Directive 2001/110/EC art. 2(4) as amended by (EU) 2024/1438 (read).
func CheckShare(declared quantity.Percent, part, total quantity.Gram) (ShareCheck, error) {
	if !(declared >= 0 && declared <= 100) {
		return ShareCheck{}, fmt.Errorf("declared %g %%, want 0 %% to 100 %%: %w", float64(declared), ErrOutOfRange)
	}
	if total <= 0 || total > mostGrams || part < 0 || part > total {
		return ShareCheck{}, fmt.Errorf("%d g of %d g, want a part of a total up to %d g: %w", part, total, int64(mostGrams), ErrOutOfRange)
	}
	d := int64(math.Round(float64(declared) * shareUnit))
	off := d*int64(total) - 100*shareUnit*int64(part)
	if off < 0 {
		off = -off
	}
	actual := quantity.Percent(100 * float64(part) / float64(total))
	apart := quantity.Percent(math.Abs(float64(declared - actual)))
	return ShareCheck{
		Declared:      declared,
		Actual:        actual,
		PointsPass:    off <= tolerancePoints*shareUnit*int64(total),
		RelativePass:  off*toleranceOf <= d*int64(total),
		PointsSpare:   tolerancePoints - apart,
		RelativeSpare: declared/toleranceOf - apart,
		Cite:          Cite{EUOrigin2024, "art. 2(4), tolerance", Read},
	}, nil
}

// CheckOrigin sets a label's claims against the records: every claim within
// both tolerances, and no country in the honey that the label leaves out. The
// countries left out come last, with a declared share of 0.
func CheckOrigin(label []Claim, shares []Share) ([]ShareCheck, bool, error) {
	lines, total, err := merge(shares)
	if err != nil {
		return nil, false, err
	}
	in := make(map[string]quantity.Gram, len(lines))
	for _, s := range lines {
		in[s.Country] = s.Mass
	}
	var out []ShareCheck
	pass, seen := true, make(map[string]bool, len(label))
	check := func(c Claim) error {
		a, err := CheckShare(c.Percent, in[c.Country], total)
		a.Country = c.Country
		out, pass = append(out, a), pass && err == nil && a.Pass()
		return err
	}
	for _, c := range label {
		if !countryCode(c.Country) || seen[c.Country] {
			return nil, false, fmt.Errorf("country %q on the label, want each two-letter code once: %w", c.Country, ErrNoRule)
		}
		seen[c.Country] = true
		if err := check(c); err != nil {
			return nil, false, err
		}
	}
	for _, s := range lines {
		if seen[s.Country] {
			continue
		}
		if err := check(Claim{Country: s.Country}); err != nil {
			return nil, false, err
		}
	}
	return out, pass, nil
}
