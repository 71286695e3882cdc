package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
)

// Portions are small packs weighed several at a time.
type Portions struct {
	Portions int
	MeanG    float64 // of one
	SDG      float64 // of one, if they differ independently; only if HasSD
	HasSD    bool
	Degrees  int // degrees of freedom behind SDG: weighings less one
}

// Together takes the net totals of so many portions weighed at a time:
//
//	mean = total/each      s = s(totals)/√each
//
// It finds the mean, and the spread of one portion if portions differ by chance;
// it can't find one light portion, so it gives no verdict on single packs.
func Together(totals []quantity.Milligram, each int) (Portions, error) {
	if each < 1 || each > maxJars {
		return Portions{}, fmt.Errorf("%d portions at a time, want 1 to %d: %w", each, maxJars, ErrOutOfRange)
	}
	c, err := CheckOf(totals)
	if err != nil {
		return Portions{}, err
	}
	n := float64(each)
	return Portions{Portions: c.N * each, MeanG: c.MeanG / n, SDG: c.SDG / math.Sqrt(n), HasSD: c.HasSD, Degrees: c.N - 1}, nil
}

// Counted is a number of packs told by their weight.
type Counted struct {
	Number int64
	Wrong  float64 // chance that it is not the true number
	Most   int64   // greatest number that can be told so with at most 1 chance in 100 of being wrong
}

// CountByWeight tells how many packs weigh so much together, by the mean and spread
// of one, known from so many weighed one by one: n = total/mean, with
//
//	σ(n) = √(n·s² + n²·s²/known)/mean
//
// The chance of being wrong is that of a normal error beyond half a pack. Common
// practice of counting scales, no source.
func CountByWeight(total quantity.Milligram, meanG, sdG float64, known int) (Counted, error) {
	if total < 0 || total > maxMass {
		return Counted{}, fmt.Errorf("total %g g, want 0 g to %.0f g: %w", Grams(total), maxMassG, ErrOutOfRange)
	}
	if !(meanG > 0 && meanG <= maxMassG) {
		return Counted{}, fmt.Errorf("mean %g g, want above 0 g: %w", meanG, ErrOutOfRange)
	}
	if err := checkRange("spread", sdG, 0, meanG, " g"); err != nil {
		return Counted{}, err
	}
	if known < 2 {
		return Counted{}, fmt.Errorf("%d packs weighed one by one, want 2 or more: %w", known, ErrOutOfRange)
	}
	x := Grams(total) / meanG
	n := math.Round(x)
	c := Counted{Number: int64(n), Most: mostCounted(sdG/meanG, float64(known))}
	if off := sdG / meanG * math.Sqrt(n+n*n/float64(known)); off > 0 {
		c.Wrong = phi((x-n-0.5)/off) + phi((n-x-0.5)/off)
	}
	return c, nil
}

// mostCounted solves z²·v²·(n + n²/known) = ¼ for n, v the spread over the mean and
// z two-sided for 1 in 100.
func mostCounted(v, known float64) int64 {
	if v == 0 {
		return math.MaxInt64
	}
	const z = 2.5758
	r := 0.25 / (z * z * v * v)
	return int64(math.Floor(known / 2 * (math.Sqrt(1+4*r/known) - 1)))
}
