package quantity

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// The international pound of the yard and pound agreement of 1959 is
// 0.453 592 37 kg exactly, an ounce a sixteenth of it.
func TestGrams(t *testing.T) {
	for _, c := range []struct {
		f Figure
		g Gram
		m Milligram
	}{
		{Figure{1, 0, Lb}, 454, 453_592},            // 453.59237 g
		{Figure{1000, 0, Lb}, 453_592, 453_592_370}, // 453 592.37 g
		{Figure{100_000, 0, Lb}, 45_359_237, 45_359_237_000},
		{Figure{16, 0, Oz}, 454, 453_592},
		{Figure{197, 0, Oz}, 5585, 5_584_856}, // 12 lb 5 oz: 5584.856 055 6 g
		{Figure{120, 1, Oz}, 340, 340_194},    // 340.194 277 5 g
		{Figure{2904, 1, KgUnit}, 290_400, 290_400_000},
		{Figure{14, 1, T}, 1_400_000, 1_400_000_000},
		{Figure{5, 1, G}, 1, 500}, // halves away from zero
		{Figure{-5, 1, G}, -1, -500},
		{Figure{4999, 4, G}, 0, 500},
		{Figure{-290_400_500, 6, KgUnit}, -290_401, -290_400_500},
		{Figure{500, 0, Mg}, 1, 500},
		{Figure{499, 0, Mg}, 0, 499},
		{Figure{0, 3, KgUnit}, 0, 0},
	} {
		g, err := c.f.Grams()
		if err != nil || g != c.g {
			t.Errorf("%v is %d g, %v; want %d", c.f, g, err, c.g)
		}
		m, err := c.f.Milligrams()
		if err != nil || m != c.m {
			t.Errorf("%v is %d mg, %v; want %d", c.f, m, err, c.m)
		}
	}
}

func TestGramsRefuses(t *testing.T) {
	for _, f := range []Figure{
		{},
		{5, 0, DegC},
		{5, 0, unitCount},
		{5, 10, G},
		{math.MinInt64, 0, G},
		{math.MaxInt64, 0, KgUnit}, // past 63 bits
		{-math.MaxInt64, 0, Lb},
	} {
		if g, err := f.Grams(); err == nil {
			t.Errorf("%+v is %d g, want an error", f, g)
		}
	}
	if g, err := (Figure{math.MaxInt64, 0, G}).Grams(); err != nil || g != math.MaxInt64 {
		t.Errorf("the largest mass gives %d, %v", g, err)
	}
}

// math/big's rationals are the reference for every mass that fits.
func TestGramsAgreeWithRationals(t *testing.T) {
	masses := []Unit{G, KgUnit, T, Mg, Lb, Oz}
	rapid.Check(t, func(t *rapid.T) {
		f := Figure{
			Mantissa: rapid.Int64Range(-maxMantissa, maxMantissa).Draw(t, "mantissa"),
			Decimals: rapid.Uint8Range(0, MaxDecimals).Draw(t, "decimals"),
			Unit:     rapid.SampledFrom(masses).Draw(t, "unit"),
		}
		d := f.Unit.def()
		exact := big.NewRat(d.num, d.den)
		exact.Mul(exact, new(big.Rat).SetFrac(big.NewInt(f.Mantissa), big.NewInt(pow10i[f.Decimals])))
		got, err := f.Grams()
		if err != nil {
			if limit := new(big.Rat).SetInt64(math.MaxInt64); exact.Abs(exact).Cmp(limit) <= 0 {
				t.Fatalf("%v: %v", f, err)
			}
			return
		}
		if want := exact.FloatString(0); want != (Figure{Mantissa: int64(got), Unit: G}).Digits() && want != "-0" {
			t.Fatalf("%v is %d g, want %s", f, got, want) // FloatString rounds halves away from zero
		}
	})
}

// A mass printed in its own unit is the mass again.
func TestMassInIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Gram(rapid.Int64().Draw(t, "mass"))
		if f := m.In(KgUnit, 3); f.Given() {
			if back, err := f.Grams(); err != nil || back != m {
				t.Fatalf("%d g printed as %v is %d g, %v", m, f, back, err)
			}
		} else if m != math.MinInt64 { // no figure has that
			t.Fatalf("%d g has no figure", m)
		}
	})
	for _, c := range []struct {
		got  Figure
		want string
	}{
		{Gram(290_350).In(KgUnit, 1), "290.4 kg"}, // halves away from zero
		{Gram(-290_350).In(KgUnit, 1), "-290.4 kg"},
		{Gram(453_592_370).In(Lb, 1), "1000000.0 lb"},
		{Milligram(453_592).In(Oz, 2), "16.00 oz"},
		{Gram(1).In(DegC, 1), "not given"},
		{Gram(math.MaxInt64).In(Mg, 0), "not given"},
	} {
		if c.got.String() != c.want {
			t.Errorf("got %v, want %s", c.got, c.want)
		}
	}
}

// Fixed points of the scales: 0 °C is 273.15 K and 32 °F, 100 °C is 212 °F by
// definition, −40 is the same in both.
func TestTemperatures(t *testing.T) {
	const tol = 1e-12 // rounding of one division
	for _, c := range []struct {
		f    Figure
		want Celsius
	}{
		{Figure{32, 0, DegF}, 0},
		{Figure{212, 0, DegF}, 100},
		{Figure{-40, 0, DegF}, -40},
		{Figure{27315, 2, KelvinUnit}, 0},
		{Figure{350, 1, DegC}, 35},
	} {
		got, err := c.f.Celsius()
		if err != nil || !(math.Abs(float64(got-c.want)) <= tol) {
			t.Errorf("%v is %v °C, %v; want %v", c.f, got, err, c.want)
		}
	}
	if _, err := (Figure{5, 0, KgUnit}).Celsius(); err == nil {
		t.Error("5 kg is a temperature")
	}
	rapid.Check(t, func(t *rapid.T) {
		c := Celsius(rapid.Float64Range(-100, 200).Draw(t, "c"))
		if back := c.Kelvin().Celsius(); math.Abs(float64(back-c)) > 1e-12 { // two roundings near 473
			t.Fatalf("%v °C comes back as %v", c, back)
		}
	})
}

// The gallons, the inch and the litre are exact by definition (NIST Special
// Publication 811, appendix B; imperial gallon 4.546 09 L).
func TestIn(t *testing.T) {
	const tol = 1e-12 // relative; a few roundings
	for _, c := range []struct {
		f    Figure
		u    Unit
		want float64
	}{
		{Figure{1, 0, GallonUS}, Litre, 3.785411784},
		{Figure{1, 0, GallonUK}, Litre, 4.54609},
		{Figure{1, 0, Inch}, MM, 25.4},
		{Figure{110, 0, Centimetre}, Metre, 1.1},
		{Figure{520, 0, MicroSPerCM}, MSPerCM, 0.52},
		{Figure{90, 0, Second}, Minute, 1.5},
		{Figure{2, 0, Day}, Hour, 48},
		{Figure{100, 0, Lb}, KgUnit, 45.359237},
		{Figure{25, 0, DegC}, DegF, 77},
		{Figure{77, 0, DegF}, KelvinUnit, 298.15},
		{Figure{1730, 2, Pct}, Pct, 17.3},
	} {
		got, err := c.f.In(c.u)
		if err != nil || !(math.Abs(got-c.want) <= tol*c.want) {
			t.Errorf("%v is %v %v, %v; want %v", c.f, got, c.u, err, c.want)
		}
	}
	for _, f := range []Figure{{}, {5, 0, Litre}, {5, 12, KgUnit}} {
		if got, err := f.In(KgUnit); err == nil {
			t.Errorf("%+v is %v kg, want an error", f, got)
		}
	}
}

func TestUnitsAreWhole(t *testing.T) {
	symbols := map[string]Unit{}
	for u := NoUnit + 1; u < unitCount; u++ {
		d := u.def()
		if d.symbol == "" || d.num <= 0 || d.den <= 0 || d.dim == NoDimension || int(d.dim) >= len(dimensionNames) || dimensionNames[d.dim] == "" {
			t.Errorf("unit %d is %+v", u, d)
		}
		if was, twice := symbols[d.symbol]; twice {
			t.Errorf("units %d and %d are both %s", was, u, d.symbol)
		}
		symbols[d.symbol] = u
	}
	// The numbers are in the ledger: these may never change.
	if G != 1 || Lb != 5 || DegC != 7 || Pct != 10 || Money != 29 || PHUnit != 40 || Calculated != 4 {
		t.Error("a unit was renumbered")
	}
}

func TestHow(t *testing.T) {
	for h := HowUnknown; h.Valid(); h++ {
		if back, err := ParseHow(h.String()); err != nil || back != h {
			t.Errorf("%v comes back as %v, %v", h, back, err)
		}
	}
	if _, err := ParseHow("guessed"); err == nil || How(9).Valid() {
		t.Error("an unknown way is taken")
	}
}

func TestLikelySlip(t *testing.T) {
	const tare = 18_000 // a drum's
	for _, c := range []struct {
		typed, expected, tare Gram
		slip                  Slip
		meant                 Gram
	}{
		{290_000, 292_000, tare, NoSlip, 290_000},
		{2_900_000, 292_000, tare, TenTimes, 290_000},
		{29_000, 292_000, tare, Tenth, 290_000},
		{290_400_000, 292_000, tare, ThousandFold, 290_400},
		{290, 292_000, tare, Thousandth, 290_000},
		{640_000, 292_000, tare, PoundsAsKg, 290_299}, // 640 lb is 290.299 kg
		{131_542, 292_000, tare, KgAsPounds, 290_000}, // 290 lb is 131.542 kg
		{310_000, 292_000, tare, GrossForNet, 292_000},
		{274_000, 292_000, tare, NetForGross, 292_000},
		{310_000, 292_000, 0, NoSlip, 310_000},    // tare not known
		{200_000, 292_000, tare, NoSlip, 200_000}, // a part drum
		{0, 292_000, tare, NoSlip, 0},
		{290_000, 0, tare, NoSlip, 290_000}, // nothing expected
		{math.MaxInt64, 292_000, tare, NoSlip, math.MaxInt64},
	} {
		if slip, meant := LikelySlip(c.typed, c.expected, c.tare); slip != c.slip || abs(int64(meant-c.meant)) > 1 { // the pound rounds
			t.Errorf("%d g for %d g: %v, %d; want %v, %d", c.typed, c.expected, slip, meant, c.slip, c.meant)
		}
	}
}

// Largest remainder (Hamilton's method).
func TestApportion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.Map(rapid.Int64Range(0, math.MaxInt64), func(n int64) Gram { return Gram(n) }), 1, 20).Draw(t, "parts")
		whole := rapid.Int64Range(0, math.MaxInt64).Draw(t, "whole")
		shares, err := Apportion(whole, parts)
		total, sum := new(big.Int), new(big.Int)
		for _, p := range parts {
			total.Add(total, big.NewInt(int64(p)))
		}
		if total.Sign() == 0 {
			if err == nil {
				t.Fatal("parts of nothing were apportioned")
			}
			return
		}
		for i, s := range shares {
			sum.Add(sum, big.NewInt(s))
			exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(whole), big.NewInt(int64(parts[i]))), total)
			if off := exact.Sub(exact, new(big.Rat).SetInt64(s)); off.Abs(off).Cmp(big.NewRat(1, 1)) >= 0 {
				t.Fatalf("part %d is off by one or more", i)
			}
		}
		if err != nil || sum.Cmp(big.NewInt(whole)) != 0 {
			t.Fatalf("shares add up to %v of %d, %v", sum, whole, err)
		}
	})
	got, err := Apportion(100, []Gram{1, 1, 1})
	if err != nil || got[0] != 34 || got[1] != 33 || got[2] != 33 {
		t.Errorf("thirds of 100 are %v, %v", got, err)
	}
	if _, err := Apportion(100, []Gram{1, -1}); err == nil {
		t.Error("a negative part was taken")
	}
}
