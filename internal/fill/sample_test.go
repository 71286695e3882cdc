package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// The mean test and the sampling plans of the tables, by way of the chances that an
// inspector's sample accepts: nearly certain well inside a bound, nearly never well
// outside, in order between (Annex II; the tables' own rows).
func TestAcceptanceFollowsTheTables(t *testing.T) {
	for _, r := range rows(t, rules("sampling_defectives")) {
		if r["stage"] != "1" || r["regime"] != "EU" {
			continue
		}
		method := standard.Double
		if r["plan"] == "single destructive" {
			method = standard.Destructive
		}
		batch := int(num(t, r, "batch_from")) + 200
		p, err := standard.PlanFor(standard.EU, method, batch)
		if err != nil {
			t.Fatal(err)
		}
		last := 1.1
		for short := int64(0); short <= int64(batch); short += max(1, int64(batch)/60) {
			a, err := AcceptShort(p, int64(batch), short)
			if err != nil || !(a >= 0 && a <= last+1e-12) {
				t.Fatalf("%s batch %d, %d short: %g after %g, %v", r["plan"], batch, short, a, last, err)
			}
			last = a
			if few := int64(num(t, r, "accept_le")); short <= few && a != 1 && !close(a, 1, 1e-12) {
				t.Errorf("%d short in the whole batch: %g, want certain", short, a)
			}
		}
		if last > 1e-9 {
			t.Errorf("all short: %g", last)
		}
	}
}

// R's hypergeometric law and non-central t (testdata/reference.R). The first is exact
// but for logarithms of Γ of 10,000: 1e-9; so is the second
// but for its quadrature.
func TestAcceptanceAgainstR(t *testing.T) {
	for _, r := range rows(t, own("chances")) {
		batch := int(num(t, r, "batch"))
		p, err := standard.PlanFor(standard.EU, standard.Double, batch)
		if err != nil {
			t.Fatal(err)
		}
		if a, err := AcceptShort(p, int64(batch), int64(num(t, r, "short"))); err != nil || !close(a, num(t, r, "items"), 1e-9) {
			t.Errorf("%d jars: %.12f, %v; R has %s", batch, a, err, r["items"])
		}
		m, err := standard.MeanPlanFor(standard.EU, batch, false)
		if err != nil || m.N != int(num(t, r, "n")) {
			t.Fatal(m, err)
		}
		if a, err := AcceptMean(m, 340*gram, num(t, r, "mean"), num(t, r, "sd")); err != nil || !close(a, num(t, r, "means"), 1e-9) {
			t.Errorf("%d jars: %.9f, %v; R has %s", batch, a, err, r["means"])
		}
	}
}

// A sampler keeps each jar with the same chance, in random order, and the same jars
// and seed give the same sample. 2,000 batches of 640 jars: each of the 640 is kept in
// a quarter of them, ±5 standard errors of 0.0097.
func TestSamplerIsFair(t *testing.T) {
	const batches, jars = 2000, 640
	var kept, first [jars]int
	for seed := range uint64(batches) {
		s := NewSampler(seed * 7919)
		for i := range jars {
			if err := s.Add(quantity.Milligram(i + 1)); err != nil {
				t.Fatal(err)
			}
		}
		for i, m := range s.Sample() {
			kept[m-1]++
			if i == 0 {
				first[m-1]++
			}
		}
	}
	for i := range jars {
		if share := float64(kept[i]) / batches; !close(share, 0.25, 5*math.Sqrt(0.25*0.75/batches)) {
			t.Errorf("jar %d kept in %.3f", i+1, share)
		}
		if first[i] > 20 { // 3 expected
			t.Errorf("jar %d is first %d times", i+1, first[i])
		}
	}
	a, b := NewSampler(5), NewSampler(5)
	for i := range 1000 {
		_, _ = a.Add(quantity.Milligram(i+1)), b.Add(quantity.Milligram(i+1))
	}
	if a != b {
		t.Error("same jars and seed, another sample")
	}
	if err := a.Add(-5); !errors.Is(err, ErrOutOfRange) || a.Seen() != 1000 {
		t.Errorf("%v, %d seen", err, a.Seen())
	}
}

// The test on a sampled batch accepts as often as its chance says: 1,100 jars of the
// worked last hour.
func TestSampledVerdicts(t *testing.T) {
	random := rand.New(rand.NewPCG(25, 26))
	var net []quantity.Milligram
	for i := range 1100 {
		mean := [4]float64{341.4, 341.1, 330.45, 341.6}[i%4]
		net = append(net, netOf(random, mean))
	}
	tol := tolerance(t, standard.EU, 340*gram)
	c := must(CountOf(tol, net))
	p := must(standard.PlanFor(standard.EU, standard.Double, 1100))
	want := must(AcceptShort(p, 1100, c.Short))
	accepted, n := 0, 3000
	for seed := range uint64(n) {
		s := NewSampler(seed)
		for _, m := range net {
			if err := s.Add(m); err != nil {
				t.Fatal(err)
			}
		}
		v, err := s.Judge(standard.EU, 340*gram, standard.Double)
		if err != nil {
			t.Fatal(err)
		}
		if v.Items.Accepted() {
			accepted++
		}
	}
	if got := float64(accepted) / float64(n); !close(got, want, 4*math.Sqrt(want*(1-want)/float64(n))) {
		t.Errorf("accepted in %.4f, chance %.4f", got, want)
	}
}
