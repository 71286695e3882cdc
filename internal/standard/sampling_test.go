package standard

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"combline/internal/quantity"

	"gonum.org/v1/gonum/stat/distuv"
)

func TestSamplingTable(t *testing.T) {
	eachRow(t, "sampling_defectives", func(t *testing.T, r row) {
		rules, m := map[string]Rules{"EU": EU, "UK": UK}[r["regime"]], methodOf(t, r["plan"])
		batches := []int{r.int(t, "batch_from"), r.int(t, "batch_from") + 1}
		if r["batch_to"] != "" {
			batches = append(batches, r.int(t, "batch_to"))
		} else {
			batches = append(batches, 1_000_000)
		}
		for _, batch := range batches {
			p, err := PlanFor(rules, m, batch)
			if err != nil {
				t.Fatal(err)
			}
			s := p.First
			if r["stage"] == "2" {
				s = p.Second
			}
			want := Stage{r.int(t, "n_stage"), r.int(t, "n_cumulative"), r.int(t, "accept_le"), r.int(t, "reject_ge")}
			if s != want || p.Batch != batch {
				t.Errorf("batch %d: %+v, want %+v (%s)", batch, s, want, r["source"])
			}
			r.got(t, p.Cite)
		}
	})
}

func methodOf(t *testing.T, s string) Method {
	switch {
	case strings.HasPrefix(s, "double"):
		return Double
	case strings.Contains(s, "destructive") && !strings.Contains(s, "non"):
		return Destructive
	case strings.Contains(s, "single"):
		return Single
	}
	t.Fatalf("plan %q", s)
	return 0
}

func TestSamplingExamples(t *testing.T) {
	eachRow(t, "examples_sampling", func(t *testing.T, r row) {
		rules := map[string]Rules{"EU": EU, "UK": UK}[r["regime"]]
		p, err := PlanFor(rules, methodOf(t, r["plan"]), r.int(t, "batch"))
		if err != nil {
			t.Fatal(err)
		}
		d, err := p.Judge(r.int(t, "defectives_1"))
		if r["defectives_2"] != "" {
			d, err = p.JudgeBoth(r.int(t, "defectives_1"), r.int(t, "defectives_2"))
		}
		if err != nil || p.First.N != r.int(t, "n") || !sameVerdict(d, r["verdict"]) {
			t.Errorf("%v of %d, %v; want %s of %s (%s)", d, p.First.N, err, r["verdict"], r["n"], r["source"])
		}
		r.got(t, p.Cite)
	})
}

// sameVerdict: a plan of one stage is written without its stage.
func sameVerdict(d Decision, want string) bool {
	switch {
	case want == "accept":
		return d == AcceptFirst
	case want == "reject":
		return d == RejectFirst
	}
	return strings.HasPrefix(want, d.String())
}

func TestMeanTable(t *testing.T) {
	eachRow(t, "mean_test", func(t *testing.T, r row) {
		for _, rules := range []Rules{EU, UK, DE} {
			for _, col := range []string{"batch_from", "batch_to"} {
				if r[col] == "" {
					continue
				}
				batch := r.int(t, col)
				p, err := MeanPlanFor(rules, batch, r["test"] == "destructive")
				n := batch
				if r["n"] != "all" {
					n = r.int(t, "n")
				}
				if err != nil || p.N != n || p.K != Factor(math.Round(r.num(t, "k")*millionth)) {
					t.Errorf("%v batch %d: %+v, %v; want n %s k %s (%s)", rules, batch, p, err, r["n"], r["k"], r["source"])
				}
				r.got(t, p.Cite)
				if r["n"] != "all" {
					checkPrinted(t, 0.995, n, r["k"], r["source"])
				}
			}
		}
	})
}

// checkPrinted asks the formula for the printed digits: half a digit of the
// last place is what printing rounds away.
func checkPrinted(t *testing.T, p float64, n int, k, source string) {
	t.Helper()
	places := len(k) - strings.IndexByte(k, '.') - 1
	want, _ := strconv.ParseFloat(k, 64)
	got, err := MeanFactor(p, n)
	if err != nil || !near(got.Float(), want, 0.5*math.Pow10(-places)+1e-6) {
		t.Errorf("t(%g; %d)/√%d = %.6f, %v; want %s (%s)", p, n-1, n, got.Float(), err, k, source)
	}
}

func TestMeanExamples(t *testing.T) {
	eachRow(t, "examples_mean_test", func(t *testing.T, r row) {
		p, err := MeanPlanFor(EU, r.int(t, "batch"), r["mode"] == "destructive")
		if err != nil || p.N != r.int(t, "n") || p.K != Factor(math.Round(r.num(t, "k")*millionth)) {
			t.Fatalf("%+v, %v; want n %s k %s (%s)", p, err, r["n"], r["k"], r["source"])
		}
		label, mean, sd := r.mass(t, "Qn_g"), r.num(t, "sample_mean_g"), r.num(t, "s_g")
		got, err := p.Judge(label, mean, sd)
		// 1e-9 g: the limit is printed to four decimals, all of them exact here.
		if err != nil || got.Pass != (r["verdict"] == "accept") || !near(got.LimitG, r.num(t, "limit_g"), 1e-9) {
			t.Errorf("%+v, %v; want %s at %s (%s)", got, err, r["verdict"], r["limit_g"], r["source"])
		}
		r.got(t, p.Cite)
		if r.int(t, "batch") >= 100 { // a smaller batch is weighed whole, which the number of jars does not tell
			if by, err := MeanTest(EU, label, r.int(t, "n"), mean, sd); err != nil || by != got {
				t.Errorf("by n alone %+v, %v; want %+v", by, err, got)
			}
		}
	})
}

func TestMeanPlan2004(t *testing.T) {
	eachRow(t, "oiml_r87_sampling_2004", func(t *testing.T, r row) {
		for _, col := range []string{"lot_from", "lot_to"} {
			if r[col] == "" {
				continue
			}
			lot, n := r.int(t, col), r.int(t, "n")
			p, err := PlanFor(OIML, Single, lot)
			over := r.int(t, "max_over_T1")
			if err != nil || p.First != (Stage{n, n, over, over + 1}) || p.Barring != r.int(t, "max_over_T2") {
				t.Errorf("lot %d: %+v, %v; want %v (%s)", lot, p, err, r, r["source"])
			}
			r.got(t, p.Cite)
			m, err := MeanPlanFor(OIML, lot, false)
			if err != nil || m.N != n || m.K != Factor(math.Round(r.num(t, "sample_correction_factor")*millionth)) {
				t.Errorf("lot %d: %+v, %v; want %v (%s)", lot, m, err, r, r["source"])
			}
			r.got(t, m.Cite)
			// The check column has the formula's figure to four decimals.
			checkPrinted(t, 0.995, n, r["check"][strings.LastIndexByte(r["check"], '=')+1:], r["source"])
		}
	})
}

func TestCategoryA(t *testing.T) {
	eachRow(t, "us_hb133_category_a", func(t *testing.T, r row) {
		var from, to int
		if n, _ := fmt.Sscanf(r["lot"], "%d-%d", &from, &to); n == 0 {
			fmt.Sscanf(r["lot"], "over %d", &from)
			from, to = from+1, 1_000_000
		} else if n == 1 {
			to = from
		}
		n := r.int(t, "n")
		for _, lot := range []int{from, to} {
			p, err := PlanFor(US, Single, lot)
			over := r.int(t, "packages_allowed_over_mav")
			if err != nil || p.First != (Stage{n, n, over, over + 1}) {
				t.Errorf("lot %d: %+v, %v; want %v (%s)", lot, p, err, r, r["source"])
			}
			r.got(t, p.Cite)
			m, err := MeanPlanFor(US, lot, false)
			if err != nil || m.N != n {
				t.Fatalf("lot %d: %+v, %v", lot, m, err)
			}
			r.got(t, m.Cite)
			if n == 1 {
				if m.K != 0 {
					t.Errorf("one jar has the factor %g, want none (%s)", m.K.Float(), r["source"])
				}
				continue
			}
			if m.K != Factor(math.Round(r.num(t, "scf_printed")*millionth)) {
				t.Errorf("lot %d: factor %g, want %s (%s)", lot, m.K.Float(), r["scf_printed"], r["source"])
			}
			checkPrinted(t, 0.975, n, r["scf_computed"], r["source"])
		}
	})
}

func TestUSExamples(t *testing.T) {
	eachRow(t, "examples_us_hb133", func(t *testing.T, r row) {
		switch r["id"] {
		case "U01":
			usVariation(t, r, 113*g, 7200)
			s, err := CheckJarScale(US, 113*g, NoClass, gm, 3000*gm)
			two, _ := CheckJarScale(US, 113*g, NoClass, 2*gm, 3000*gm)
			if err != nil || s.Allowed != 1200*mg || !s.Enough || two.Enough {
				t.Errorf("%+v, %v; want a division of at most 1.2 g, 1 g enough, 2 g not (%s)", s, err, r["source"])
			}
		case "U02":
			var net []quantity.Milligram
			for _, w := range strings.Fields("452 453 453 454 454 454 455 455 455 456 456 457") {
				net = append(net, milligrams(t, w))
			}
			v, err := JudgeBatch(US, 454*g, Single, 100, net)
			if err != nil || v.Tally.MeanG != 454.5 || !v.Mean.Pass || v.Tally.Defective != 0 || !v.Pass() {
				t.Errorf("%+v, %v; want mean 454.5 and a pass (%s)", v, err, r["source"])
			}
			usVariation(t, r, 454*g, 19_900)
		case "U03":
			v, err := MeanTest(US, 454*g, 12, 453.5, 1)
			if err != nil || !v.Pass || !near(454-v.LimitG, 0.635, 1e-9) {
				t.Errorf("%+v, %v; want a limit of 0.635 g below and a pass (%s)", v, err, r["source"])
			}
		case "U04":
			usVariation(t, r, 340*g, 16_300)
			a, _ := ToleranceOf(US, 340*g)
			p, _ := PlanFor(US, Single, 200)
			d, err := p.Judge(1)
			if err != nil || a.Of(340*g-16_400) != Defective || a.Of(340*g-16_300) != Sound || d != RejectFirst {
				t.Errorf("one short by 16.4 g: %v, %v; want a fail (%s)", d, err, r["source"])
			}
		case "U05":
			usVariation(t, r, 28*g, 2800)
		case "U06":
			if v, err := MeanTest(US, 454*g, 12, 454.1, 0); err != nil || !v.Pass {
				t.Errorf("%+v, %v; want a pass without the factor (%s)", v, err, r["source"])
			}
		default:
			t.Errorf("no check for %s", r["id"])
		}
	})
}

func usVariation(t *testing.T, r row, label, want quantity.Milligram) {
	t.Helper()
	a, err := ToleranceOf(US, label)
	if err != nil || a.T != want {
		t.Errorf("label %g g: %g g, %v; want %g g (%s)", grams(label), grams(a.T), err, grams(want), r["source"])
	}
}

func TestSamplingRefuses(t *testing.T) {
	for _, c := range []struct {
		rules Rules
		m     Method
		batch int
		kind  error
	}{
		{EU, Double, 0, ErrOutOfRange}, {EU, Double, 99, ErrOutOfRange}, {DE, Destructive, 99, ErrOutOfRange}, {UK, Destructive, 99, ErrOutOfRange},
		{OIML, Single, 99, ErrOutOfRange}, {EU, Single, 500, ErrNoRule}, {US, Double, 500, ErrNoRule}, {Codex, Single, 500, ErrNoRule},
	} {
		if _, err := PlanFor(c.rules, c.m, c.batch); !errors.Is(err, c.kind) {
			t.Errorf("%v %v %d: %v, want %v", c.rules, c.m, c.batch, err, c.kind)
		}
	}
	p, _ := PlanFor(EU, Double, 300)
	for _, n := range []int{-1, 31} {
		if _, err := p.Judge(n); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d short of 30: %v", n, err)
		}
		if _, err := p.JudgeBoth(2, n); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d short of the second 30: %v", n, err)
		}
	}
	if _, err := MeanPlanFor(EU, 99, true); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("opened jars of 99: %v", err)
	}
	for _, n := range []int{-1, 0, 1, maxJars + 1} {
		if _, err := MeanTest(EU, 250*g, n, 250, 1); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("mean of %d jars: %v", n, err)
		}
	}
	for _, bad := range badFloats(-0.1, 2e6) {
		if _, err := MeanTest(EU, 250*g, 30, bad, 1); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("mean %g: %v", bad, err)
		}
		if _, err := MeanTest(EU, 250*g, 30, 250, bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("spread %g: %v", bad, err)
		}
	}
	if _, err := MeanTest(EU, 0, 30, 250, 1); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("label 0: %v", err)
	}
	if _, err := JudgeBatch(EU, 250*g, Double, 300, make([]quantity.Milligram, 29)); err == nil {
		t.Error("29 jars for a mean of 30: no error")
	}
	for name, c := range map[string]struct {
		rules Rules
		batch int
		net   []quantity.Milligram
	}{
		"no jars": {EU, 300, nil}, "more jars than the batch": {UK, 2, make([]quantity.Milligram, 3)}, "a negative jar": {UK, 1, []quantity.Milligram{-1}},
		"a batch under the table": {EU, 99, make([]quantity.Milligram, 99)}, "no table": {Codex, 300, make([]quantity.Milligram, 30)},
	} {
		if v, err := JudgeBatch(c.rules, 250*g, Double, c.batch, c.net); err == nil || v.Pass() {
			t.Errorf("%s: %+v, want it refused", name, v)
		}
	}
	// A British batch under 100 is weighed whole: SI 2006/659 Sch. 2 para 3, 4.7.
	whole := make([]quantity.Milligram, 40)
	for i := range whole {
		whole[i] = 251 * g
	}
	whole[0], whole[1] = 241*g-1, 241*g-1
	if v, err := JudgeBatch(UK, 250*g, Double, 40, whole); err != nil || !v.Pass() || v.Mean.LimitG != 250 {
		t.Errorf("2 of 40 short: %+v, %v; want a pass", v, err)
	}
	whole[2] = 241*g - 1
	if v, err := JudgeBatch(UK, 250*g, Double, 40, whole); err != nil || v.Pass() || !v.Items.Rejected() {
		t.Errorf("3 of 40 short: %+v, %v; want a fail", v, err)
	}
}

// The library's quantile is the reference; 1e-6 is the last digit kept.
func TestMeanFactorEqualsLibrary(t *testing.T) {
	for _, p := range []float64{0.6, 0.9, 0.975, 0.995, 0.9999} {
		for n := 2; n <= 3000; n += 1 + n/7 {
			want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(p) / math.Sqrt(float64(n))
			if got, err := MeanFactor(p, n); err != nil || !near(got.Float(), want, 0.6e-6) {
				t.Errorf("t(%g; %d)/√%d = %.6f, %v; want %.6f", p, n-1, n, got.Float(), err, want)
			}
		}
	}
	for _, p := range []float64{math.NaN(), 0.5, 1, 0, 2} {
		if _, err := MeanFactor(p, 30); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("p %g: %v", p, err)
		}
	}
	// So many jars that t is the normal law's: 2.575829/√n.
	if got, err := MeanFactor(0.995, maxJars); err != nil || !near(got.Float(), 2.575829/math.Sqrt(maxJars), 0.6e-6) {
		t.Errorf("%d jars: %g, %v", maxJars, got.Float(), err)
	}
}
