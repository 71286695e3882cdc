package assay

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"combline/internal/honey"
	"combline/internal/quantity"
)

func held(c quantity.Celsius, days float64) Course {
	return Course{Key: "held", Points: []Point{{0, c}, {24 * days, c}}}
}

func read(t *testing.T, h *House, c *Content, m Marker, value, sd float64) *Content {
	t.Helper()
	c, _, err := h.Read(c, m, Reading{Value: value, SD: sd, Lab: "lab"})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func near(got, want, share float64) bool { return math.Abs(got-want) <= share*math.Abs(want) }

// At a constant temperature the integral is the rate law times the days.
func TestPublishedTimesAtOneTemperature(t *testing.T) {
	const white = "White, Kushnir and Subers 1964, half-lives (from memory)"
	for _, c := range []struct {
		m          Marker
		at         quantity.Celsius
		days, want float64 // mg/kg, or the share left
		tol        float64
		source     string
	}{
		{Diastase, 25, 540, 0.5, 0.02, white}, // printed to two or three digits
		{Diastase, 40, 31, 0.5, 0.02, white},
		{Diastase, 60, 1.05, 0.5, 0.02, white},
		{Invertase, 25, 250, 0.5, 0.02, white},
		{Invertase, 40, 9.6, 0.5, 0.02, white},
		{Invertase, 60, 0.195833, 0.5, 0.02, white},
		{HMF, 45, 2, 4.35, 0.002, "check of the rate law: 48 h at 45 °C"},
		{HMF, 55, 1, 11.0, 0.005, "check of the rate law: 24 h at 55 °C"},
		{HMF, 20, 365.25, 8.4, 0.005, "check of the rate law: a year at 20 °C"},
	} {
		got := sum(c.m.kinetics().law, held(c.at, c.days)).a
		if c.m != HMF {
			got = math.Exp(-got)
		}
		if !near(got, c.want, c.tol) {
			t.Errorf("%s, %g days at %g °C: %.4g, want %.4g (%s)", c.m, c.days, float64(c.at), got, c.want, c.source)
		}
	}
}

// The quadrature against a fine midpoint sum, along a drum that warms from 12 to 62 °C.
func TestSumAlongARamp(t *testing.T) {
	c := Course{Points: []Point{{0, 12}, {30, 62}, {31, 62}, {40, 5}}}
	law := honey.HMFLaw()
	want := 0.0
	const n = 400000
	for i := 1; i < len(c.Points); i++ {
		p, q := c.Points[i-1], c.Points[i]
		for k := range n {
			want += law.AtC(p.C+(q.C-p.C)*quantity.Celsius((float64(k)+0.5)/n)) * (q.Hour - p.Hour) / 24 / n
		}
	}
	if got := sum(law, c).a; !near(got, want, 1e-7) { // the midpoint sum is good to 1e-9
		t.Errorf("sum %.10g, want %.10g", got, want)
	}
}

// Shifting the energy and the temperature by moments, against the integral itself.
func TestShiftedSum(t *testing.T) {
	law := honey.HMFLaw()
	shelf := Store{Mean: 18, Swing: 10}.Courses(0, 1, 730)[0]
	for _, c := range []Course{held(20, 700), shelf, {Points: []Point{{0, 15}, {30, 45}, {96, 45}}}} {
		s := sum(law, c)
		for _, e := range []float64{-30000, -15000, 0, 15000, 30000} {
			for _, k := range []float64{-3, 0, 3} {
				off := law
				off.Energy += e
				warm := Course{Points: slices.Clone(c.Points)}
				for i := range warm.Points {
					warm.Points[i].C += quantity.Celsius(k)
				}
				want := sum(off, warm).a
				// second-order cumulants: 3 % for two standard deviations of the energy with 3 K
				if got := s.a * s.times(law, e, k); !near(got, want, 0.03) {
					t.Errorf("energy %+g, %+g K along %v…: %.5g, want %.5g", e, k, c.Points[0], got, want)
				}
			}
		}
	}
}

// Problem B of the scenario: honey held 38 h at 62 °C went from 3.6 to 46.8 mg/kg.
func TestOverheatedDrumLiesInTheBand(t *testing.T) {
	h := New()
	c := read(t, h, h.Unread("summer", "D041"), HMF, 3.6, 0.25)
	c = read(t, h, c, Diastase, 18.1, 1.5)
	c, err := h.Pass(c, held(62, 38.0/24))
	if err != nil {
		t.Fatal(err)
	}
	f, d := c.Forecast(HMF), c.Forecast(Diastase)
	if b := f.Band(); !(b.Low < 46.8 && 46.8 < b.High) || b.High > 3*b.Likely {
		t.Errorf("HMF %.1f to %.1f mg/kg, want 46.8 between", b.Low, b.High)
	}
	// its diastase was read as 6.9, and the assay itself is off by 12.5 %
	if b := d.Band(); !(b.Low < 6.9 && 6.9*(1-honey.NineInTen*honey.DiastaseSD) < b.High) {
		t.Errorf("diastase %.1f to %.1f, want 6.9 as it was read between", b.Low, b.High)
	}
	if p := f.ChanceAbove(40); !(p > 0.5) {
		t.Errorf("chance over 40 is %.2f, want it likely", p)
	}
}

// What was never read stays unknown, through heat and blends, and is named.
func TestUnknownStaysUnknown(t *testing.T) {
	h := New()
	known := read(t, h, h.Unread("summer", "D001"), HMF, 4, 0.5)
	blend, err := h.Mix([]Part{{290, known}, {1, h.Unread("summer", "D017")}})
	if err != nil {
		t.Fatal(err)
	}
	ok, lacks := blend.Known(HMF)
	f := blend.Forecast(HMF)
	if ok || !slices.Equal(lacks, []string{"D017"}) || !math.IsNaN(f.Quantile(0.5)) || !math.IsNaN(f.ChanceAbove(40)) {
		t.Errorf("a blend with an unread part: known %v, lacks %v, %v", ok, lacks, f.Band())
	}
	if !math.IsNaN(blend.Breach(Limit{HMF, 40, false})) {
		t.Error("an unread blend has a chance of a breach")
	}
	if d, err := h.Longest(blend, Store{Mean: 20}, 1, []Limit{{HMF, 40, false}}, 0.9); err != nil || !math.IsNaN(float64(d)) {
		t.Errorf("an unread blend keeps for %v days, %v", d, err)
	}
	if blend = read(t, h, blend, HMF, 5, 0.5); !blend.levels[HMF].known {
		t.Error("a reading of the blend itself is not taken")
	}
}

// Parts mix by mass, and what they have in common stays: two drums of one type are no
// surer together than one.
func TestMixByMass(t *testing.T) {
	h := New()
	part := func(kind string, value float64) *Content {
		c := read(t, h, h.Unread(kind, "x"), HMF, value, 0.1)
		return must(h.Pass(c, held(20, 730)))
	}
	a, b, other := part("summer", 3), part("summer", 9), part("spring", 9)
	width := func(c *Content) float64 {
		f := c.Forecast(HMF)
		return f.Band().High - f.Band().Low
	}
	same := must(h.Mix([]Part{{100, a}, {300, b}}))
	f, fa, fb := same.Forecast(HMF), a.Forecast(HMF), b.Forecast(HMF)
	want := 0.25*fa.Quantile(0.5) + 0.75*fb.Quantile(0.5)
	if got := f.Quantile(0.5); !near(got, want, 0.01) {
		t.Errorf("median of the mix %.3f, want %.3f", got, want)
	}
	if one, two := width(a), width(same); !near(two, one, 0.02) {
		t.Errorf("one type: the band is %.2f wide in a part, %.2f in the mix", one, two)
	}
	if apart := width(must(h.Mix([]Part{{100, a}, {100, other}}))); !(apart < 0.9*width(a)) {
		t.Errorf("two types: the band is %.2f wide in the mix, %.2f in a part", apart, width(a))
	}
}

// A reading updates: it narrows what was reckoned, and one that can't fit the history
// counts alone.
func TestReadingUpdates(t *testing.T) {
	h := New()
	c := read(t, h, h.Unread("summer", "D039"), HMF, 3.6, 0.3)
	c = must(h.Pass(c, held(45, 3)))
	f := c.Forecast(HMF)
	before := f.Band()
	after, odd, err := h.Read(c, HMF, Reading{Value: 8.4, SD: 0.4, Lab: "lab"})
	f = after.Forecast(HMF)
	if b := f.Band(); err != nil || odd || !(b.High-b.Low < before.High-before.Low) || !near(b.Likely, 8.4, 0.06) {
		t.Errorf("after reading 8.4: %v (before %v), odd %v, %v", b, before, odd, err)
	}
	after, odd, _ = h.Read(c, HMF, Reading{Value: 80, SD: 2, Lab: "lab"})
	f = after.Forecast(HMF)
	if b := f.Band(); !odd || !near(b.Likely, 80, 0.02) {
		t.Errorf("after reading 80: %v, odd %v", b, odd)
	}
	below, _, _ := h.Read(h.Unread("", "x"), HMF, Reading{Value: 2, Below: true})
	f = below.Forecast(HMF)
	if b := f.Band(); !(b.Low >= 0 && b.High <= 2.2) {
		t.Errorf("below 2: %v", b)
	}
}

// A type's rate is learned from readings repeated on it, and one drum that stood hot
// unseen is named and teaches nothing.
func TestLearnARate(t *testing.T) {
	law := honey.HMFLaw()
	course := held(20, 500)
	family := func(name string, rate float64) Family {
		grown := rate * sum(law, course).a
		return Family{Type: "lime", Name: name, Seen: []Seen{{Reading: Reading{3, 0.2, "lab", false}}, {Reading{3 + grown, 0.2, "lab", false}, []Course{course}}}}
	}
	prior := Learn(HMF, "lime", nil).At(20)
	if !near(prior.Likely, 1, 0.02) || !near(prior.High, 3.27, 0.03) { // exp(1.645·√(0.4214² + 0.571²))
		t.Errorf("before: %v", prior)
	}
	all := []Family{family("L1", 1.6), family("L2", 1.5), family("L3", 1.7)}
	f := Learn(HMF, "lime", all)
	got := f.At(20)
	if f.Readings != 6 || !near(got.Likely, 1.6, 0.06) || !(got.High/got.Low < 1.5) || len(f.Odd) > 0 {
		t.Errorf("after: %v from %d readings, odd %v", got, f.Readings, f.Odd)
	}
	with := Learn(HMF, "lime", append(all, family("D041", 30)))
	if !near(with.At(20).Likely, got.Likely, 0.05) || !slices.Equal(with.Odd, []string{"D041"}) {
		t.Errorf("with a drum that stood hot: %v, odd %v", with.At(20), with.Odd)
	}
	if other := Learn(HMF, "spring", all); other.Readings != 0 {
		t.Errorf("another type learned from %d readings", other.Readings)
	}
	if at50 := f.At(50); !(at50.High/at50.Low > got.High/got.Low) {
		t.Errorf("what was read at 20 °C tells more at 50 °C: %v, %v", got, at50)
	}
}

// The longest best-before is where the chance of a breach reaches the risk.
func TestLongest(t *testing.T) {
	h := New()
	c := read(t, h, h.Unread("summer", "D"), HMF, 5, 0.4)
	c = read(t, h, c, Diastase, 18, 1.5)
	limits := []Limit{{HMF, 40, false}, {Diastase, 8, true}}
	shelf := Store{Mean: 20, SD: 1.5}
	days, err := h.Longest(c, shelf, 300, limits, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	at := func(d quantity.Days) float64 { return must(h.Kept(c, shelf, 300, d)).Breach(limits...) }
	if !(at(days) <= 0.1 && at(days+1) > 0.1) {
		t.Errorf("%v days: chances %.4f and %.4f a day later", days, at(days), at(days+1))
	}
	cool, _ := h.Longest(c, Store{Mean: 15, SD: 1.5}, 300, limits, 0.9)
	sure, _ := h.Longest(c, shelf, 300, limits, 0.99)
	lorry, _ := h.Longest(c, Store{Mean: 20, SD: 1.5, Lorries: []Lorry{{After: 20, Hours: 72, C: 50}}}, 300, limits, 0.9)
	if !(cool > days && sure < days && lorry < days) {
		t.Errorf("%v days; in the cool %v, surer %v, with a lorry %v", days, cool, sure, lorry)
	}
	over := read(t, h, c, HMF, 60, 1)
	if d, _ := h.Longest(over, shelf, 300, limits, 0.9); d != 0 {
		t.Errorf("over the limit already: %v days", d)
	}
}

// 63 °C for half an hour kills yeast four times over (Townsend 1939: 7.2 minutes at 63).
func TestYeast(t *testing.T) {
	h := New()
	c := h.Unread("spring", "D017").Count(3200)
	if c.Yeast.Living() != 3200 {
		t.Fatal(c.Yeast)
	}
	half := must(h.Mix([]Part{{100, c}, {100, h.Unread("spring", "D008").Count(0)}}))
	if got := half.Yeast.Living(); got != 1600 {
		t.Errorf("half and half: %g", got)
	}
	hot := must(h.Pass(c, Course{Points: []Point{{0, 63}, {0.5, 63}}}))
	if !near(hot.Yeast.Kills, 30/7.2, 0.01) || hot.Yeast.Living() != 0 {
		t.Errorf("half an hour at 63 °C: %+v", hot.Yeast)
	}
	if u := must(h.Mix([]Part{{1, hot}, {1, h.Unread("x", "x")}})); u.Yeast.Counted {
		t.Error("a part without a count makes a count")
	}
}

// More heat never makes less HMF or more enzyme, in any scenario.
func TestMoreHeatIsNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := New()
		c, _, _ := h.Read(h.Unread("a", "x"), HMF, Reading{Value: rapid.Float64Range(0, 30).Draw(t, "hmf")})
		c, _, _ = h.Read(c, Diastase, Reading{Value: rapid.Float64Range(3, 40).Draw(t, "dn")})
		warm := rapid.Float64Range(-10, 60).Draw(t, "°C")
		days := rapid.Float64Range(0.1, 200).Draw(t, "days")
		mild := must(h.Pass(c, held(quantity.Celsius(warm), days)))
		hard := must(h.Pass(c, held(quantity.Celsius(warm+rapid.Float64Range(0.1, 20).Draw(t, "K")), days*1.1)))
		for i := range Scenarios {
			if hard.levels[HMF].really[i] < mild.levels[HMF].really[i] || hard.levels[Diastase].really[i] > mild.levels[Diastase].really[i] {
				t.Fatalf("scenario %d: %v, %v", i, mild.levels[HMF].really[i], hard.levels[HMF].really[i])
			}
		}
	})
}

func TestBadInput(t *testing.T) {
	h := New()
	c := h.Unread("a", "x")
	nan := math.NaN()
	for _, course := range []Course{
		{SD: nan, Points: []Point{{0, 20}, {1, 20}}}, {SD: -1}, {Points: []Point{{0, 300}, {1, 20}}}, {Points: []Point{{0, quantity.Celsius(nan)}}},
		{Points: []Point{{5, 20}, {1, 20}}}, {Points: []Point{{nan, 20}, {1, 20}}}, {Points: []Point{{0, 20}, {2e6, 20}}},
	} {
		if _, err := h.Pass(c, course); err == nil {
			t.Errorf("taken: %+v", course)
		}
	}
	for _, r := range []Reading{{Value: nan}, {Value: -1}, {Value: 4, SD: nan}, {Value: math.Inf(1)}} {
		if _, _, err := h.Read(c, HMF, r); err == nil {
			t.Errorf("taken: %+v", r)
		}
	}
	if _, _, err := h.Read(c, Diastase, Reading{Value: 0}); err == nil {
		t.Error("diastase of 0 is taken: its logarithm is none")
	}
	for _, s := range []Store{{Mean: 300}, {Mean: quantity.Celsius(nan)}, {Swing: -1}, {SD: nan}, {Lorries: []Lorry{{C: 300, Hours: 5}}}, {Lorries: []Lorry{{C: 50, Hours: nan}}}} {
		if _, err := h.Kept(c, s, 1, 30); err == nil {
			t.Errorf("taken: %+v", s)
		}
	}
	if _, err := h.Mix(nil); err == nil {
		t.Error("a mix of nothing is taken")
	}
	if _, err := h.Mix([]Part{{quantity.Kg(nan), c}, {1, c}}); err == nil || errors.Is(err, honey.ErrOutOfRange) {
		t.Errorf("a part without mass: %v", err)
	}
}

// Every unknown has its exact spread, and two of them hardly go together.
func TestUnknownsAreApart(t *testing.T) {
	var s Sampler
	keys := []string{"temperature:barn", "temperature:shelf", "laboratory:hmf:lab", "a", "b", "c"}
	for i, a := range keys {
		x := s.normal(a)
		for _, b := range keys[:i] {
			y, r := s.normal(b), 0.0
			for k := range Scenarios {
				r += x[k] * y[k] / Scenarios
			}
			if math.Abs(r) > 0.25 { // four standard deviations of 1/√256
				t.Errorf("%s and %s go together by %.2f", a, b, r)
			}
		}
		if *s.normal(a) != *x {
			t.Errorf("%s is drawn twice", a)
		}
	}
}

func TestNormalTable(t *testing.T) {
	for z := -9.0; z <= 9; z += 0.00137 {
		if got, want := normalBelow(z), 0.5*math.Erfc(-z/math.Sqrt2); math.Abs(got-want) > 5e-7 { // (1/256)²/8 · 0.242, the law's largest bend
			t.Fatalf("below %g: %g, want %g", z, got, want)
		}
	}
	if !math.IsNaN(normalBelow(math.NaN())) {
		t.Error("what is not a number has a chance")
	}
}
