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
