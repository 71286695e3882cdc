package fill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"combline/internal/quantity"
	"combline/internal/standard"

	"pgregory.net/rapid"
)

// Every label of the tables of tolerable errors, and their steps: a jar exactly at T1
// is not short, a milligram below it is; exactly at T2 it is short but not barred, a
// milligram below it is barred (Directive 76/211/EEC Annex I 2.4, OIML R 87 and German
// T2 as in the tables' own rows).
func TestBoundsToTheMilligram(t *testing.T) {
	at := func(r standard.Rules, label quantity.Milligram, t1, t2 quantity.Milligram, source string) {
		tol := tolerance(t, r, label)
		for _, c := range []struct {
			net  quantity.Milligram
			want Count
		}{
			{t1, Count{Jars: 1, Under: 1, AtT1: 1, Sum: t1}}, {t1 - 1, Count{Jars: 1, Under: 1, Short: 1, Sum: t1 - 1}},
			{t2, Count{Jars: 1, Under: 1, Short: 1, Sum: t2}}, {t2 - 1, Count{Jars: 1, Under: 1, Short: 1, Barred: 1, Sum: t2 - 1}},
			{label, Count{Jars: 1, Sum: label}}, {label - 1, Count{Jars: 1, Under: 1, Sum: label - 1}},
		} {
			if got, err := CountOf(tol, []quantity.Milligram{c.net}); err != nil || got != c.want {
				t.Errorf("%v, label %d mg, jar %d mg: %+v, %v; want %+v (%s)", r, label, c.net, got, err, c.want, source)
			}
		}
	}
	for _, r := range rows(t, rules("examples_tne")) {
		at(standard.EU, milligrams(t, r, "nominal_g"), milligrams(t, r, "T1_limit_g"), milligrams(t, r, "T2_limit_g"), r["source"])
		at(standard.UK, milligrams(t, r, "nominal_g"), milligrams(t, r, "T1_limit_g"), milligrams(t, r, "T2_limit_g"), r["source"])
	}
	for _, r := range rows(t, rules("examples_t2_eu_vs_de")) {
		label := milligrams(t, r, "nominal_g")
		at(standard.DE, label, label-milligrams(t, r, "tne_g"), label-milligrams(t, r, "de_t2_g"), r["source"])
		at(standard.EU, label, label-milligrams(t, r, "tne_g"), label-milligrams(t, r, "eu_two_tne_g"), r["source"])
	}
	for _, r := range rows(t, rules("examples_r87")) {
		label, short := milligrams(t, r, "nominal_g"), milligrams(t, r, "T_r87_g")
		at(standard.OIML, label, label-short, label-2*short, r["source"])
	}
}

// The share and the mean at their bounds, in whole numbers: 25 short of 1,000 pass, 26
// do not (1 in 40); Germany 20 (Fertigpackungsverordnung par. 9(3)); a sum exactly at
// the label passes, a milligram less in a million jars does not.
func TestVerdictAtItsBounds(t *testing.T) {
	full := func(jars, short, barred, less int64) Count {
		return Count{Jars: jars, Short: short, Barred: barred, Sum: 340*gram*quantity.Milligram(jars) - quantity.Milligram(less)}
	}
	for _, c := range []struct {
		rules             standard.Rules
		count             Count
		mean, share, none bool
	}{
		{standard.EU, full(1000, 25, 0, 0), true, true, true}, {standard.EU, full(1000, 26, 0, 0), true, false, true},
		{standard.UK, full(40, 1, 0, 0), true, true, true}, {standard.EU, full(39, 1, 0, 0), true, false, true},
		{standard.DE, full(1000, 20, 0, 0), true, true, true}, {standard.DE, full(1000, 21, 0, 0), true, false, true},
		{standard.OIML, full(1000, 25, 0, 0), true, true, true},
		{standard.US, full(1000, 0, 0, 0), true, true, true}, {standard.US, full(1000, 1, 0, 0), true, false, true},
		{standard.EU, full(1_000_000, 0, 0, 1), false, true, true}, {standard.EU, full(1_000_000, 25_000, 1, 0), true, true, false},
		{standard.EU, full(10_000_000, 250_000, 0, 0), true, true, true}, {standard.EU, full(10_000_000, 250_001, 0, 0), true, false, true},
	} {
		v, err := Judge(c.rules, 340*gram, c.count)
		if err != nil || v.MeanOK != c.mean || v.ShareOK != c.share || v.NoneOK != c.none || v.Pass() != (c.mean && c.share && c.none) {
			t.Errorf("%v %+v: %+v, %v", c.rules, c.count, v, err)
		}
	}
	if _, err := Judge(standard.EU, 340*gram, Count{}); !errors.Is(err, ErrUnknown) {
		t.Errorf("no jar is no pass: %v", err)
	}
	if v := (Verdict{MeanOK: true, ShareOK: true, NoneOK: true}); v.Pass() {
		t.Error("a verdict on no jar passes")
	}
	m, err := JudgeMinimum(340*gram, Count{Jars: 10, Under: 0, Sum: 3400 * gram})
	if err != nil || !m.Pass() {
		t.Errorf("minimum: %+v, %v", m, err)
	}
	if m, err = JudgeMinimum(340*gram, Count{Jars: 10, Under: 1, Sum: 3500 * gram}); err != nil || m.Pass() {
		t.Errorf("minimum with one under: %+v, %v", m, err)
	}
}

// The inspector's test on the worked batches (Directive 76/211/EEC Annex II; weights
// made for the table), as drawn by a sampler that has seen no more than them. B2 asks
// for its second sample; B4 has 50 of the 80 jars its plan wants.
func TestWorkedBatches(t *testing.T) {
	weights := map[string][]quantity.Milligram{}
	for _, r := range rows(t, rules("examples_batch_weights")) {
		weights[r["id"]] = append(weights[r["id"]], milligrams(t, r, "net_g"))
	}
	for _, r := range rows(t, rules("examples_batch")) {
		label, net := milligrams(t, r, "Qn_g"), weights[r["id"]]
		c, err := CountOf(tolerance(t, standard.EU, label), net)
		// four decimals printed
		if err != nil || !close(c.MeanG(), num(t, r, "mean"), 0.00005+1e-9) || c.Short != int64(num(t, r, "defectives_below_T1")) ||
			c.AtT1 != int64(num(t, r, "exactly_at_T1_not_defective")) || c.Barred != int64(num(t, r, "below_T2")) {
			t.Errorf("%s: %+v, %v; want %v", r["id"], c, err, r)
		}
		method := standard.Double
		if r["n"] == "20" {
			method = standard.Destructive
		}
		v, err := standard.JudgeBatch(standard.EU, label, method, int(num(t, r, "batch")), net)
		if err != nil || v.Mean.Pass != (r["mean_verdict"] == "accept") || !close(v.Mean.LimitG, num(t, r, "mean_limit"), 0.00005+1e-9) {
			t.Errorf("%s: %+v, %v; want %v", r["id"], v, err, r)
		}
	}
}

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

// Counting keeps every jar: any split, joined again, is the whole, and taking a part
// out gives the rest.
func TestCountsAdd(t *testing.T) {
	tol := tolerance(t, standard.DE, 397*gram)
	rapid.Check(t, func(t *rapid.T) {
		net := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) quantity.Milligram {
			return quantity.Milligram(rapid.Int64Range(370_000, 400_000).Draw(t, "mg"))
		}), 1, 60).Draw(t, "net")
		cut := rapid.IntRange(0, len(net)).Draw(t, "cut")
		all := must(CountOf(tol, net))
		a, b := Count{}, must(CountOf(tol, net[cut:]))
		if cut > 0 {
			a = must(CountOf(tol, net[:cut]))
		}
		if a.And(b) != all {
			t.Fatalf("%+v and %+v, want %+v", a, b, all)
		}
		if rest, err := all.Without(a); err != nil || rest != b {
			t.Fatalf("%+v, %v; want %+v", rest, err, b)
		}
	})
	if _, err := (Count{Jars: 1, Sum: 5}).Without(Count{Jars: 2, Sum: 4}); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("more pulled than there were: %v", err)
	}
}

// Keeping back takes the fewest: one jar less and the rest would not pass.
func TestKeepBackTakesTheFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		net := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) quantity.Milligram {
			return quantity.Milligram(rapid.Int64Range(325_000, 350_000).Draw(t, "mg"))
		}), 1, 80).Draw(t, "net")
		k, err := KeepBack(standard.EU, 340*gram, net)
		if err != nil {
			for _, m := range net {
				if m >= 340*gram {
					t.Fatalf("%v, yet %d mg is there", err, m)
				}
			}
			return
		}
		if !k.Rest.Pass() || k.Rest.Count.Jars+k.Pulled.Jars+k.More.Jars != int64(len(net)) || k.Rest.Count.Short != 0 {
			t.Fatalf("%+v", k)
		}
		if k.More.Jars > 0 { // putting the heaviest of them back fails the mean
			heaviest := quantity.Milligram(0)
			for _, m := range net {
				if m < k.Under || m == k.Under && k.More.Jars > 0 {
					heaviest = max(heaviest, m)
				}
			}
			if heaviest < k.Under && k.Rest.Count.Sum+heaviest >= 340*gram*quantity.Milligram(k.Rest.Count.Jars+1) {
				t.Fatalf("%+v: %d mg could have stayed", k, heaviest)
			}
		}
	})
}

// Estimates from checks and counts of every jar agree: a million jars.
func TestEstimateAgreesWithCount(t *testing.T) {
	random := rand.New(rand.NewPCG(27, 28))
	tol := tolerance(t, standard.EU, 340*gram)
	var c, cut Count
	for range 1_000_000 {
		m := netOf(random, 333)
		if err := c.Add(tol, m); err != nil {
			t.Fatal(err)
		}
		if m >= 331*gram {
			if err := cut.Add(tol, m); err != nil {
				t.Fatal(err)
			}
		}
	}
	made := []Made{{Jars: 1e6, MeanG: 333, SDG: jarSD, Checked: 5}}
	e, k := must(Estimated(tol, made, 0)), must(Estimated(tol, made, 331))
	// Five standard errors of a count and of a mean.
	if !close(e.Short, float64(c.Short), 5*math.Sqrt(e.Short)) || !close(k.Jars, float64(cut.Jars), 5*math.Sqrt(1e6-k.Jars)) || !close(k.MeanG, cut.MeanG(), 0.01) {
		t.Errorf("estimated %+v, cut %+v; counted %+v, cut %+v", e, k, c, cut)
	}
	if !close(e.OffG, jarSD/math.Sqrt(5), 1e-12) {
		t.Errorf("off by %g g", e.OffG)
	}
	for _, m := range []Made{{Jars: -1, MeanG: 340, SDG: 1, Checked: 5}, {Jars: 1, MeanG: math.NaN(), SDG: 1, Checked: 5}, {Jars: 1, MeanG: 340, SDG: math.NaN(), Checked: 5}, {Jars: 1, MeanG: 340, SDG: 1}} {
		if _, err := Estimated(tol, []Made{m}, 0); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%+v: %v", m, err)
		}
	}
	if _, err := Estimated(tol, nil, 0); !errors.Is(err, ErrUnknown) {
		t.Errorf("nothing made: %v", err)
	}
}

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
