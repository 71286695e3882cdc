package honey

import (
	"math"
	"testing"

	"combline/internal/quantity"
	"pgregory.net/rapid"
)

// near fails unless got is within tol of want; NaN fails.
func near(t *testing.T, what string, got, want, tol float64, why string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g within %.2g (%s)", what, got, want, tol, why)
	}
}

func TestWaterWorkedExamples(t *testing.T) {
	const why = "the example is printed to two decimals"
	near(t, "n 1.4900 at 20 °C", float64(must(WaterFromIndex(1.4900))), 18.59, 0.005, why)
	near(t, "n 1.4870 read at 25 °C", float64(must(WaterFromIndexAt(1.4870, 25))), 19.33, 0.005, why)
}

// Rows of the honey moisture table (AOAC 969.38) that the project's CSV does not
// have, as reprinted on a laboratory's method page.
func TestWaterOtherRowsOfTheTable(t *testing.T) {
	for _, c := range []struct{ w, n float64 }{
		{13.2, 1.5038}, {13.8, 1.5023}, {14.4, 1.5007}, {19.2, 1.4885}, {20.4, 1.4855}, {21.0, 1.4840},
	} {
		near(t, "water by the table", float64(must(WaterFromIndex(c.n))), c.w, 0.025, "one unit of the index's last decimal is 0.02")
		near(t, "index by the table", must(IndexFromWater(quantity.WaterPct(c.w))), c.n, 0.0001, "the last decimal printed")
	}
}

// A packer's question: 18.2 read on honey at 27 °C, and at 14 °C, by an instrument
// that corrects nothing. Common practice is 0.09 points per °C.
func TestWaterAt20AgreesWithPractice(t *testing.T) {
	near(t, "18.2 at 27 °C", float64(must(WaterAt20(18.2, 27))), 18.2-7*0.09, 0.05, "the answer is told to a tenth")
	near(t, "18.2 at 14 °C", float64(must(WaterAt20(18.2, 14))), 18.2+6*0.09, 0.05, "the answer is told to a tenth")
	perC := float64(must(WaterAt20(18, 19)) - must(WaterAt20(18, 20)))
	near(t, "points per °C at 18 %", perC, 0.09, 0.002, "0.09 is rounded")
}

// Sucrose of 75 % is corrected by 0.38 at 15 °C and 0.75 at 10 °C on the Brix scale
// (OIV compendium, evaluation of sugar by refractometry, table I). Honey's index
// falls faster, so its correction is larger: known to be 15 to 25 % more.
func TestWaterCorrectionBesideSucrose(t *testing.T) {
	for _, c := range []struct{ t, brix float64 }{{15, 0.38}, {10, 0.75}} {
		b := must(BrixFromWater(must(WaterAt20(20, quantity.Celsius(c.t))))) - must(BrixFromWater(20))
		if ratio := -float64(b) / c.brix; !within(ratio, 1.10, 1.25) {
			t.Errorf("correction at %g °C is %.3f times sucrose's", c.t, ratio)
		}
	}
}

// Index of sucrose solutions at 20 °C (ICUMSA 1974; from memory).
func TestBrixAgainstSucroseTable(t *testing.T) {
	for _, c := range []struct{ brix, n float64 }{{75, 1.47787}, {80, 1.49071}, {85, 1.50398}} {
		near(t, "Brix", float64(must(BrixFromIndex(c.n))), c.brix-0.025, 0.002, "known: the polynomial runs 0.025 below this table throughout")
	}
}

func TestBrixFitAgainstTheIndexScale(t *testing.T) {
	worst := 0.0
	for w := 13.0; w <= 25; w += 0.01 {
		b := must(BrixFromIndex(must(IndexFromWater(quantity.WaterPct(w)))))
		worst = max(worst, math.Abs(float64(must(WaterFromBrix(b)))-w))
	}
	if !within(worst, 0.018, 0.022) {
		t.Errorf("the straight line is %.4f points off at worst; stated as 0.022", worst)
	}
	// A published pair "n 1.490, 81.5 Brix" contradicts the sucrose scale.
	near(t, "Brix of n 1.490", float64(must(BrixFromIndex(1.490))), 79.7, 0.05, "known disagreement, told to a tenth")
}

func TestReadWater(t *testing.T) {
	self := must(ReadWater(18.2, 27, CorrectsItself, WaterGoodHandsSD))
	none := must(ReadWater(18.2, 27, CorrectsNothing, WaterGoodHandsSD))
	dunno := must(ReadWater(18.2, 27, CorrectionNotKnown, WaterGoodHandsSD))
	if self.Water != 18.2 || self.SD != WaterGoodHandsSD {
		t.Errorf("self-correcting instrument: %v", self)
	}
	near(t, "uncorrected", float64(none.Water), 17.57, 0.01, "the correction is exact")
	near(t, "not known", float64(dunno.Water), float64(self.Water+none.Water)/2, 1e-12, "the middle")
	if !(self.SD < none.SD && none.SD < dunno.SD && dunno.SD > 0.3) {
		t.Errorf("doubts %v, %v, %v must grow with what is not known", self.SD, none.SD, dunno.SD)
	}
	b := dunno.Band()
	if !(b.Low < none.Water && b.High > self.Water) {
		t.Errorf("band %v must hold both readings", b)
	}
	// No temperature is needed where nothing is corrected.
	if _, err := ReadWater(18.2, 0, CorrectsItself, 0.1); err != nil {
		t.Error(err)
	}
}

func waters(low, high float64) *rapid.Generator[quantity.WaterPct] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) quantity.WaterPct { return quantity.WaterPct(x) })
}

func temperatures(low, high float64) *rapid.Generator[quantity.Celsius] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) quantity.Celsius { return quantity.Celsius(x) })
}

// apart draws two figures of which the second is larger by more than rounding.
func apart(t *rapid.T, low, high float64, name string) (a, b float64) {
	step := (high - low) * 1e-6
	a = rapid.Float64Range(low, high-step).Draw(t, name+" low")
	return a, rapid.Float64Range(a+step, high).Draw(t, name+" high")
}

func TestInversePairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		same := func(what string, got, want float64) {
			// The steepest of these loses 1e-10 of 15 significant digits.
			if !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
				t.Errorf("%s: %v came back as %v", what, want, got)
			}
		}
		w := waters(13, 25).Draw(t, "water")
		same("index", float64(must(WaterFromIndex(must(IndexFromWater(w))))), float64(w))
		same("Brix", float64(must(WaterFromBrix(must(BrixFromWater(w))))), float64(w))
		rh := Humidity(rapid.Float64Range(50, 80).Draw(t, "humidity"))
		same("humidity", float64(must(HumidityFromWater(must(WaterFromHumidity(rh))))), float64(rh))
		p := quantity.PfundMM(rapid.Float64Range(0, 114).Draw(t, "Pfund"))
		same("optical density", float64(must(PfundFromOD(must(ODFromPfund(p))))), float64(p))
		d := quantity.KgM3(rapid.Float64Range(1000, 1500).Draw(t, "density"))
		same("lb/gal", float64(FromPoundsPerGallon(PoundsPerGallon(d))), float64(d))
		temp := temperatures(10, 70).Draw(t, "temperature")
		v := waters(13.5, 22).Draw(t, "water")
		f := rapid.Float64Range(0.2, 5).Draw(t, "factor")
		same("viscosity factor", must(ViscosityFactor(must(Viscosity(temp, v))*quantity.PaS(f), temp, v)), f)
		// What WaterAt20 does at T it undoes at the mirror temperature.
		cold, mid := temperatures(10, 30).Draw(t, "T"), waters(15, 23).Draw(t, "mid")
		same("temperature correction", float64(must(WaterAt20(must(WaterAt20(mid, cold)), 40-cold))), float64(mid))
	})
}

func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		falls := func(what string, before, after float64) {
			if !(after < before) {
				t.Errorf("%s: %v, then %v", what, before, after)
			}
		}
		n0, n1 := apart(t, 1.4740, 1.5044, "n")
		falls("water with n", float64(must(WaterFromIndex(n0))), float64(must(WaterFromIndex(n1))))
		w0, w1 := apart(t, 13.5, 21, "W")
		t0, t1 := apart(t, 10, 60, "T")
		W0, W1, T0, T1 := quantity.WaterPct(w0), quantity.WaterPct(w1), quantity.Celsius(t0), quantity.Celsius(t1)
		falls("density with W", float64(must(Density(T0, W0))), float64(must(Density(T0, W1))))
		falls("density with T", float64(must(Density(T0, W0))), float64(must(Density(T1, W0))))
		falls("viscosity with W", float64(must(Viscosity(T0, W0))), float64(must(Viscosity(T0, W1))))
		falls("viscosity with T", float64(must(Viscosity(T0, W0))), float64(must(Viscosity(T1, W0))))
		falls("diastase half-life with T", float64(must(DiastaseHalfLife(T0))), float64(must(DiastaseHalfLife(T1))))
		falls("invertase half-life with T", float64(must(InvertaseHalfLife(T0))), float64(must(InvertaseHalfLife(T1))))
		falls("days to an HMF with T", float64(must(HMFDays(T0, 10, PublishedHMF())).Likely), float64(must(HMFDays(T1, 10, PublishedHMF())).Likely))
		falls("dryness with humidity", -float64(must(WaterFromHumidity(Humidity(30+t0/3+20)))), -float64(must(WaterFromHumidity(Humidity(30+t1/3+20)))))
		falls("kill time with T", float64(must(YeastKill(52+T0/4))), float64(must(YeastKill(52+T1/4))))
		p0, p1 := apart(t, 0, 114, "Pfund")
		falls("brightness with Pfund", -must(ODFromPfund(quantity.PfundMM(p0))), -must(ODFromPfund(quantity.PfundMM(p1))))
		c0, c1 := apart(t, 0, 40, "crystals")
		falls("dryness of the liquid with crystals", -float64(must(LiquidWater(17, quantity.Percent(c0)))), -float64(must(LiquidWater(17, quantity.Percent(c1)))))
	})
}
