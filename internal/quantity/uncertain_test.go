package quantity

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol } // false for NaN

func times(n int, u Uncertain) []Uncertain { return slices.Repeat([]Uncertain{u}, n) }

// JCGM 100:2008 5.2.2, example (from memory): ten resistors of 1000 Ω, each
// calibrated against one standard with u = 100 mΩ, in series. Fully correlated:
// 1 Ω; in quadrature, wrongly, 0.32 Ω.
func TestCorrelatedSum(t *testing.T) {
	shared := Sum(times(10, Exactly(1000).WithShare("standard", 0.1))...)
	if !near(shared.Value, 10_000, 0) || !near(shared.StdDev(), 1, 1e-12) { // rounding of ten additions
		t.Errorf("correlated: %v ± %v Ω", shared.Value, shared.StdDev())
	}
	own := Sum(times(10, Uncertain{Value: 1000, Own: 0.1})...)
	if !near(own.StdDev(), 0.32, 0.005) { // the printed digits
		t.Errorf("independent: ± %v Ω", own.StdDev())
	}
}

// JCGM 100:2008 H.1 (from memory): the end gauge's components 25, 9.7, 2.9 and
// 16.6 nm combine to 32 nm.
func TestQuadrature(t *testing.T) {
	u := Sum(Uncertain{Own: 25}, Uncertain{Own: 9.7}, Uncertain{Own: 2.9}, Uncertain{Own: 16.6})
	if !near(u.StdDev(), 32, 0.5) { // the printed digits
		t.Errorf("got %v nm", u.StdDev())
	}
}

// JCGM 100:2008 equation (16) for two quantities with correlation r:
// u² = (c₁u₁)² + (c₂u₂)² + 2 c₁c₂u₁u₂r.
func TestAnyCorrelation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.Float64Range(0.01, 10)
		u1, u2 := unit.Draw(t, "u1"), unit.Draw(t, "u2")
		r1, r2 := rapid.Float64Range(-1, 1).Draw(t, "r1"), rapid.Float64Range(-1, 1).Draw(t, "r2")
		part := func(u, r float64) Uncertain { // r of its doubt is shared
			return Uncertain{Value: 1, Own: u * math.Sqrt(1-r*r)}.WithShare("scale", u*r)
		}
		c := rapid.Float64Range(-3, 3).Draw(t, "c")
		got := Add(part(u1, r1), Scale(part(u2, r2), c)).StdDev()
		want := math.Sqrt(max(0, u1*u1+c*c*u2*u2+2*c*u1*u2*r1*r2))
		if !near(got*got, want*want, 1e-9) { // rounding, squares up to 1000
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

// JCGM 100:2008 5.1.6: relative doubts of a product add in quadrature.
func TestProduct(t *testing.T) {
	a, b := Uncertain{Value: 50, Own: 1.5}, Uncertain{Value: 4, Own: 0.16} // 3 % and 4 %
	for _, u := range []Uncertain{Mul(a, b), Div(a, b)} {
		if !near(u.StdDev(), 0.05, 1e-12) || !u.Log { // 3-4-5
			t.Errorf("got ×/÷ %v", u.StdDev())
		}
	}
	if u := Div(a.Named("jar"), a.Named("jar")); u.StdDev() != 0 || u.Value != 1 {
		t.Errorf("a / a is %+v", u)
	}
	if Mul(a, Exactly(-1)).Known() || Div(a, Exactly(0)).Known() {
		t.Error("a product with what is not above 0 is known")
	}
}

// JCGM 100:2008 table G.1: coverage factors of the normal distribution.
func TestBand(t *testing.T) {
	for _, c := range []struct{ p, k, tol float64 }{
		{0.6827, 1, 5e-4}, {0.90, 1.645, 5e-4}, {0.95, 1.960, 5e-4}, {0.9545, 2, 5e-4}, {0.99, 2.576, 5e-4}, {0.9973, 3, 5e-3},
	} { // half the last digit of k; at 99.73 % that of p weighs more
		low, high := Uncertain{Value: 10, Own: 1}.Band(c.p)
		if !near(high-10, c.k, c.tol) || !near(10-low, c.k, c.tol) {
			t.Errorf("band of %v is %v to %v, want 10 ± %v", c.p, low, high, c.k)
		}
	}
	low, high := FromTimesOver(12, 2).Band9in10()
	if !near(low, 6, 1e-12) || !near(high, 24, 1e-12) {
		t.Errorf("12 ×/÷ 2 is %v to %v", low, high)
	}
}

// gonum's distributions are the reference.
func TestChanceAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, sd := rapid.Float64Range(0.1, 50).Draw(t, "v"), rapid.Float64Range(0.01, 2).Draw(t, "sd")
		limit := rapid.Float64Range(0.1, 60).Draw(t, "limit")
		want := distuv.Normal{Mu: v, Sigma: sd}.Survival(limit)
		if got := (Uncertain{Value: v, Own: sd}).ChanceAbove(limit); !near(got, want, 1e-12) { // both by erfc
			t.Fatalf("normal: got %v, want %v", got, want)
		}
		want = distuv.LogNormal{Mu: math.Log(v), Sigma: sd}.Survival(limit)
		u := Uncertain{Value: v, Own: sd, Log: true}
		if got := u.ChanceAbove(limit); !near(got, want, 1e-12) || !near(u.ChanceBelow(limit), 1-want, 1e-12) {
			t.Fatalf("lognormal: got %v, want %v", got, want)
		}
	})
}

// One-sided 95 % is 1.645 standard uncertainties from the limit (the 90 % row of
// JCGM 100:2008 table G.1), the guard band of JCGM 106:2012.
func TestJudge(t *testing.T) {
	most, least := Limit{Value: 20}, Limit{Value: 8, Least: true}
	for _, c := range []struct {
		l    Limit
		u    Uncertain
		want Verdict
	}{
		{most, FromPlusMinus(19.83, 0.2), Pass}, // 1.7 standard uncertainties below
		{most, FromPlusMinus(19.84, 0.2), TooClose},
		{most, FromPlusMinus(20.16, 0.2), TooClose},
		{most, FromPlusMinus(20.17, 0.2), Fail},
		{least, FromPlusMinus(8.17, 0.2), Pass},
		{least, FromPlusMinus(7.83, 0.2), Fail},
		{most, Exactly(20), Pass}, // the bound keeps the limit
		{least, Exactly(8), Pass},
		{most, Exactly(20.01), Fail},
		{most, Unknown(), VerdictUnknown},
		{least, Unknown(), VerdictUnknown},
		{most, Uncertain{Value: 17, Own: math.NaN()}, VerdictUnknown},
		{most, Uncertain{Value: 17, Own: -1}, VerdictUnknown},
		{Limit{Value: math.NaN()}, Exactly(1), VerdictUnknown},
		{Limit{Value: 1}, Uncertain{Value: 0, Log: true}, VerdictUnknown},
	} {
		if got := c.l.Judge(c.u, UsualRisk); got != c.want {
			t.Errorf("%+v against %+v: %v, want %v", c.u, c.l, got, c.want)
		}
	}
	if most.Judge(Exactly(17), 0) != VerdictUnknown || most.Judge(Exactly(17), 0.5) != VerdictUnknown {
		t.Error("a risk of 0 or a half is taken")
	}
}

// The trade's worked examples (worked out in the project's job page; common
// practice, no source).
func TestTradeExamples(t *testing.T) {
	// 30 stacks weighed in and out, ± 0.2 kg each weighing: under 2 kg random.
	in, out := FromPlusMinus(105, 0.2), FromPlusMinus(32, 0.2)
	removed := Sub(Sum(times(30, in)...), Sum(times(30, out)...))
	if pm := 2 * removed.StdDev(); !(pm < 2) || !near(removed.Value, 2190, 1e-9) {
		t.Errorf("removed %v ± %v kg", removed.Value, pm)
	}
	// A steady offset of that scale cancels between in and out,
	in, out = in.WithShare("platform", 0.1), out.WithShare("platform", 0.1)
	if u := Sub(Sum(times(30, in)...), Sum(times(30, out)...)); u.Shared != nil && !near(u.StdDev(), removed.StdDev(), 1e-9) {
		t.Errorf("the offset stays: %+v", u)
	}
	// but it does not where ten more weighings went in than came out.
	if u := Sub(Sum(times(30, in)...), Sum(times(20, out)...)); !near(u.Shared[0].Coef, 1, 1e-9) {
		t.Errorf("the offset of ten weighings is %+v", u.Shared)
	}
	// A wrong average empty weight, 0.3 kg on 1,440 boxes, is 430 kg; the same
	// size by chance, box by box, only 11 kg.
	boxes := Sum(times(1440, Exactly(20).WithShare("tare", 0.3))...)
	if !near(boxes.StdDev(), 432, 1e-6) {
		t.Errorf("the tare makes %v kg", boxes.StdDev())
	}
	if u := Sum(times(1440, Uncertain{Value: 20, Own: 0.3})...); !near(u.StdDev(), 0.3*math.Sqrt(1440), 1e-9) {
		t.Errorf("chance makes %v kg", u.StdDev())
	}
	// 1 kg at 19.4 % with 1.75 kg at 17.2 %, both ± 0.2, is 18.0 ± 0.15.
	mix, err := WeightedMean([]Uncertain{FromPlusMinus(19.4, 0.2), FromPlusMinus(17.2, 0.2)}, []float64{1, 1.75})
	if err != nil || !near(mix.Value, 18.0, 1e-9) || !near(2*mix.StdDev(), 0.147, 5e-4) {
		t.Errorf("the mix is %v ± %v, %v", mix.Value, 2*mix.StdDev(), err)
	}
}

func TestWeightedMeanRefuses(t *testing.T) {
	u := []Uncertain{Exactly(1), Exactly(2)}
	for _, w := range [][]float64{{1}, {1, -1}, {0, 0}, {1, math.NaN()}, {1, math.Inf(1)}} {
		if got, err := WeightedMean(u, w); err == nil || got.Known() {
			t.Errorf("weights %v give %v", w, got)
		}
	}
	if got, err := WeightedMean([]Uncertain{Exactly(1), Unknown()}, []float64{1, 0}); err != nil || got.Value != 1 {
		t.Errorf("an unknown part of 0 kg gives %v, %v", got, err)
	}
}

func TestUnknownSpreads(t *testing.T) {
	one := Exactly(1)
	mean, err := WeightedMean([]Uncertain{one, Unknown()}, []float64{1, 1})
	for _, u := range []Uncertain{Unknown(), Add(one, Unknown()), Sub(Unknown(), one), Scale(Unknown(), 0), Sum(one, Unknown()),
		Mul(one, Unknown()), Div(Unknown(), one), SumPositive(one, Unknown()), mean} {
		low, high := u.Band9in10()
		if u.Known() || err != nil || !math.IsNaN(low) || !math.IsNaN(high) || !math.IsNaN(u.ChanceAbove(0)) || !math.IsNaN(u.ChanceBelow(0)) {
			t.Errorf("%+v is known", u)
		}
	}
}

func anyUncertain() *rapid.Generator[Uncertain] {
	return rapid.Custom(func(t *rapid.T) Uncertain {
		u := Uncertain{Value: rapid.Float64Range(1, 100).Draw(t, "value"), Own: rapid.Float64Range(0, 1).Draw(t, "own"), Log: rapid.Bool().Draw(t, "log")}
		for _, k := range rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c"}), 0, 3).Draw(t, "keys") {
			u = u.WithShare(k, rapid.Float64Range(-1, 1).Draw(t, "coef"))
		}
		return u
	})
}

func TestLawsOfDoubt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyUncertain().Draw(t, "a"), anyUncertain().Draw(t, "b")
		ab, ba := Add(a, b), Add(b, a)
		if !near(ab.Value, ba.Value, 0) || !near(ab.StdDev(), ba.StdDev(), 1e-9) { // rounding
			t.Fatalf("a + b is %+v, b + a is %+v", ab, ba)
		}
		if !slices.IsSortedFunc(ab.Shared, func(x, y Share) int { return map[bool]int{true: -1, false: 1}[x.Key < y.Key] }) {
			t.Fatalf("shares %+v are not sorted, each once", ab.Shared)
		}
		named := a.Named("a itself")
		if none := Sub(named, named); none.StdDev() != 0 || none.Value != 0 {
			t.Fatalf("a − a is %+v", none)
		}
		if !near(named.StdDev(), a.StdDev(), 1e-12) {
			t.Fatalf("naming changes the doubt")
		}
		keep := slices.Clone(a.Shared)
		Scale(a, 3)
		Mul(a, b)
		a.WithShare("z", 1)
		if !slices.Equal(keep, a.Shared) {
			t.Fatalf("a's shares were changed")
		}
	})
}

// The sum keeps the mean and the variance of its parts: for n equal independent
// lognormals n·E and n·V, for fully shared ones it is the lognormal itself.
func TestSumPositiveMoments(t *testing.T) {
	part := Uncertain{Value: 2, Own: 0.5, Log: true}
	ref := distuv.LogNormal{Mu: math.Log(2), Sigma: 0.5}
	sum := SumPositive(times(4, part)...)
	got := distuv.LogNormal{Mu: math.Log(sum.Value), Sigma: sum.StdDev()}
	if !near(got.Mean(), 4*ref.Mean(), 1e-9) || !near(got.Variance(), 4*ref.Variance(), 1e-9) { // rounding
		t.Errorf("mean %v, variance %v; want %v, %v", got.Mean(), got.Variance(), 4*ref.Mean(), 4*ref.Variance())
	}
	one := SumPositive(times(4, part.Named("rate"))...)
	if !near(one.Value, 8, 1e-9) || !near(one.StdDev(), 0.5, 1e-9) || len(one.Shared) != 1 || !near(one.Own, 0, 1e-12) {
		t.Errorf("four times one part is %+v", one)
	}
	if zero := SumPositive(Exactly(0)); zero.Value != 0 || !zero.Known() {
		t.Errorf("nothing adds up to %+v", zero)
	}
}

// A simulation is the reference for the band of ten wide parts.
func TestSumPositiveBand(t *testing.T) {
	const parts, draws, s = 10, 50_000, 0.7
	r, sums := rand.New(rand.NewPCG(1, 2)), make([]float64, draws)
	for i := range sums {
		for range parts {
			sums[i] += math.Exp(s * r.NormFloat64())
		}
	}
	slices.Sort(sums)
	low, high := SumPositive(times(parts, Uncertain{Value: 1, Own: s, Log: true})...).Band9in10()
	// 5 %: the match's own error; the simulated ends are known to about 0.3 %.
	if l, h := sums[draws/20], sums[draws*19/20]; !near(low/l, 1, 0.05) || !near(high/h, 1, 0.05) {
		t.Errorf("band %v to %v, simulated %v to %v", low, high, l, h)
	}
}

// The figures in [Add]'s comment, from the lognormal's variance.
func TestFirstOrderFallsShort(t *testing.T) {
	for factor, short := range map[float64]float64{1.3: 0.02, 2: 0.13} {
		u := FromTimesOver(10, factor)
		exact := math.Sqrt(distuv.LogNormal{Mu: math.Log(10), Sigma: u.Own}.Variance())
		if got := 1 - Add(u, Exactly(0)).StdDev()/exact; !near(got, short, 0.005) { // the digits of the comment
			t.Errorf("×/÷ %v is %v short, want %v", factor, got, short)
		}
	}
}

// A doubt in °F is a step, not a temperature: ± 1.8 °F is ± 1 °C.
func TestReadingIn(t *testing.T) {
	for _, c := range []struct {
		text      string
		u         Unit
		value, sd float64
	}{
		{"95 ± 1.8 °F", DegC, 35, 0.5},
		{"17.3 ± 0.2 %", Pct, 17.3, 0.1},
		{"17.3 ± 0.2 % (k=1)", Pct, 17.3, 0.2},
		{"0.50 mS/cm ± 4 %", MSPerCM, 0.5, 0.01},
		{"500 µS/cm ± 20", MSPerCM, 0.5, 0.01},
		{"100 lb ± 200 g", KgUnit, 45.359237, 0.1},
		{"17.3 %", Pct, 17.3, 0},
	} {
		r, err := ParseReading(c.text, Want{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := r.In(c.u)
		if err != nil || !near(got.Value, c.value, 1e-12) || !near(got.Own, c.sd, 1e-12) { // rounding
			t.Errorf("%s is %+v, %v; want %v, sd %v", c.text, got, err, c.value, c.sd)
		}
	}
}
