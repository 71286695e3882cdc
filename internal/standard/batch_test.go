package standard

import (
	"testing"

	"combline/internal/quantity"
)

// The whole reference test, on weights.
func TestBatchExamples(t *testing.T) {
	weights := map[string][]quantity.Milligram{}
	eachRow(t, "examples_batch_weights", func(t *testing.T, r row) {
		weights[r["id"]] = append(weights[r["id"]], r.mass(t, "net_g"))
		if r.int(t, "i") != len(weights[r["id"]]) {
			t.Errorf("%s: jar %s out of order", r["id"], r["i"])
		}
	})
	eachRow(t, "examples_batch", func(t *testing.T, r row) {
		net, batch, label, m := weights[r["id"]], r.int(t, "batch"), r.mass(t, "Qn_g"), Double
		if r["id"] == "B3" { // twenty jars: opened
			m = Destructive
		}
		v, err := JudgeBatch(EU, label, m, batch, net)
		if err != nil {
			t.Fatal(err)
		}
		// Half the last printed digit; the limit compounds s's rounding by k < 1.
		const tol = 0.00005 + 1e-9
		if len(net) != r.int(t, "n") || !near(v.Tally.MeanG, r.num(t, "mean"), tol) || !near(v.Tally.SDG, r.num(t, "s"), tol) ||
			!near(v.Mean.LimitG, r.num(t, "mean_limit"), tol) || v.Mean.Pass != (r["mean_verdict"] == "accept") {
			t.Errorf("%d jars, %+v; want %v (%s)", len(net), v, r, r["source"])
		}
		if v.Tally.Defective != r.int(t, "defectives_below_T1") || v.Tally.AtT1 != r.int(t, "exactly_at_T1_not_defective") || v.Tally.Barred != r.int(t, "below_T2") {
			t.Errorf("%+v; want %v (%s)", v.Tally, r, r["source"])
		}
		d, err := v.Plan.Judge(v.Tally.Defective)
		if err != nil || !sameVerdict(d, r["item_verdict"]) {
			t.Errorf("items: %v, %v; want %s (%s)", d, err, r["item_verdict"], r["source"])
		}
		// B4 gives 50 jars where the item sample wants 80, so the count decides
		// as printed but the weights alone do not: too few is never a pass.
		if want := map[bool]Decision{true: NotDecided, false: d}[r["id"] == "B4"]; v.Items != want {
			t.Errorf("items on the weights: %v, want %v", v.Items, want)
		}
		if pass := v.Pass(); pass != (v.Items.Accepted() && v.Mean.Pass) {
			t.Errorf("pass %v with %v and %v", pass, v.Items, v.Mean.Pass)
		}
	})
}

// A second sample is taken from the jars after the first, and counts are added:
// Directive 76/211/EEC Annex II 2.2.1. Batch 300: 2 + 2 accepts, 2 + 3 rejects.
func TestSecondSampleOnWeights(t *testing.T) {
	for _, c := range []struct {
		first, second, jars int
		want                Decision
	}{
		{2, 2, 60, AcceptSecond}, {2, 3, 60, RejectSecond}, {2, 0, 59, TakeSecond}, {1, 30, 60, AcceptFirst}, {3, 0, 60, RejectFirst},
		{3, 0, 29, RejectFirst}, {2, 0, 29, NotDecided},
	} {
		net := make([]quantity.Milligram, c.jars)
		for i := range net {
			net[i] = 252 * g
		}
		for i := range c.first {
			net[i] = 241*g - 1
		}
		for i := range min(c.second, max(0, c.jars-30)) {
			net[30+i] = 241*g - 1
		}
		a, err := ToleranceOf(EU, 250*g)
		if err != nil {
			t.Fatal(err)
		}
		p, err := PlanFor(EU, Double, 300)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := p.judgeNet(a, net); err != nil || got != c.want {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
	// Barred jars fail a batch whatever its samples say (rule 3).
	net := make([]quantity.Milligram, 30)
	for i := range net {
		net[i] = 252 * g
	}
	net[7] = 232*g - 1
	if v, err := JudgeBatch(EU, 250*g, Double, 300, net); err != nil || v.Items != AcceptFirst || !v.Mean.Pass || v.Pass() {
		t.Errorf("one jar below T2: %+v, %v; want no pass", v, err)
	}
}
