package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// No verdict where the division is more than a fifth of the tolerance: bench scale
// 0.5 g and portion scale 0.01 g on 7 g spoons (T 0.7 g with the rounding up of the
// Directive, so at most 0.14 g: 0.1 g would do), checkweigher 1 g on 340 and 250 g
// (SC4: 1.8 g allowed, T 9 g), United States a sixth (U01: 113 g, 7.2 g, so 1.2 g and
// the largest usual one is 1 g).
func TestDivision(t *testing.T) {
	for _, c := range []struct {
		rules          standard.Rules
		label          quantity.Milligram
		division       standard.Microgram
		enough         bool
		most, would    standard.Microgram
		together       int
		comesFromTable string
	}{
		{standard.EU, 7 * gram, 500_000, false, 140_000, 100_000, 4, "T by Annex I 2.4"},
		{standard.EU, 7 * gram, 10_000, true, 140_000, 100_000, 1, "T by Annex I 2.4"},
		{standard.EU, 7 * gram, 140_000, true, 140_000, 100_000, 1, "exactly a fifth"},
		{standard.EU, 7 * gram, 140_001, false, 140_000, 100_000, 2, "a microgram more"},
		{standard.EU, 340 * gram, 1_000_000, true, 2_040_000, 2_000_000, 1, "T by Annex I 2.4"},
		{standard.EU, 250 * gram, 1_000_000, true, 1_800_000, 1_000_000, 1, "SC4"},
		{standard.US, 113 * gram, 1_000_000, true, 1_200_000, 1_000_000, 1, "U01, read"},
		{standard.US, 113 * gram, 2_000_000, false, 1_200_000, 1_000_000, 2, "U01, read"},
	} {
		w, err := CheckDivision(c.rules, c.label, c.division)
		if err != nil || w.Enough != c.enough || w.Most != c.most || w.WouldDo != c.would || w.Together != c.together {
			t.Errorf("%+v: %+v, %v", c, w, err)
		}
	}
	for _, d := range []standard.Microgram{0, -1, math.MaxInt64} {
		if _, err := CheckDivision(standard.EU, 340*gram, d); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d µg: %v", d, err)
		}
	}
}

// Spoons weighed ten at a time, and boxes counted by weight: the mean and spread of
// one come back, and a box is counted right as often as it says.
func TestPortions(t *testing.T) {
	random := rand.New(rand.NewPCG(29, 30))
	const mean, sd = 7.08, 0.12
	spoons := func(n int) quantity.Milligram {
		var sum float64
		for range n {
			sum += mean + sd*random.NormFloat64()
		}
		return quantity.Milligram(math.Round(1000 * sum))
	}
	var totals []quantity.Milligram
	for range 2000 {
		totals = append(totals, spoons(10))
	}
	p, err := Together(totals, 10)
	// standard errors 0.0008 g and 0.0019 g; four of them
	if err != nil || p.Portions != 20_000 || p.Degrees != 1999 || !close(p.MeanG, mean, 0.0034) || !close(p.SDG, sd, 0.0076) {
		t.Errorf("%+v, %v", p, err)
	}
	c, err := CountByWeight(7080*100, mean, sd, 200)
	if err != nil || c.Number != 100 || !(c.Wrong < 0.05) {
		t.Errorf("%+v, %v", c, err)
	}
	// At the greatest number the chance of being wrong, mean known from 50, is 1 in 100.
	most := must(CountByWeight(0, mean, sd, 50)).Most
	wrong, n := 0, 4000
	for range n {
		known := float64(spoons(50)) / 50_000
		if must(CountByWeight(spoons(int(most)), known, sd, 50)).Number != most {
			wrong++
		}
	}
	if share := float64(wrong) / float64(n); !close(share, 0.01, 0.006) {
		t.Errorf("%d spoons counted wrong in %.4f", most, share)
	}
	if c := must(CountByWeight(7080, mean, sd, 50)); c.Number != 1 || c.Wrong > 1e-3 {
		t.Errorf("%+v", c)
	}
	if c := must(CountByWeight(0, mean, 0, 50)); c.Number != 0 || c.Wrong != 0 || c.Most != math.MaxInt64 {
		t.Errorf("%+v", c)
	}
	for i, f := range []func() error{
		func() error { _, err := Together(totals, 0); return err }, func() error { _, err := Together(nil, 10); return err },
		func() error { _, err := CountByWeight(-1, mean, sd, 50); return err }, func() error { _, err := CountByWeight(1, math.NaN(), sd, 50); return err },
		func() error { _, err := CountByWeight(1, mean, math.NaN(), 50); return err }, func() error { _, err := CountByWeight(1, mean, sd, 1); return err },
	} {
		if err := f(); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d: %v", i, err)
		}
	}
}
