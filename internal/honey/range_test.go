package honey

import (
	"errors"
	"math"
	"strings"
	"testing"

	"combline/internal/quantity"
)

// A guarded is one input of one model, with its ends.
type guarded struct {
	name      string
	low, high float64
	slack     float64 // how far past an end is still taken
	call      func(x float64) error
}

func errOf[T any](_ T, err error) error { return err }

func guards() []guarded {
	w := func(x float64) quantity.WaterPct { return quantity.WaterPct(x) }
	c := func(x float64) quantity.Celsius { return quantity.Celsius(x) }
	p := func(x float64) quantity.Percent { return quantity.Percent(x) }
	return []guarded{
		{"WaterFromIndex n", 1.4740, 1.5044, 0, func(x float64) error { return errOf(WaterFromIndex(x)) }},
		{"WaterFromIndexAt T", 5, 60, 0, func(x float64) error { return errOf(WaterFromIndexAt(1.4860, c(x))) }},
		{"IndexFromWater W", 13, 25, 0.03, func(x float64) error { return errOf(IndexFromWater(w(x))) }},
		{"ReadWater W", 13, 25, 0.03, func(x float64) error { return errOf(ReadWater(w(x), 20, CorrectsItself, 0.1)) }},
		{"ReadWater sd", 0, 5, 0, func(x float64) error { return errOf(ReadWater(18, 20, CorrectsItself, x)) }},
		{"BrixFromIndex n", 1.4740, 1.5044, 0, func(x float64) error { return errOf(BrixFromIndex(x)) }},
		{"WaterFromBrix", 73, 85, 0.16, func(x float64) error { return errOf(WaterFromBrix(Brix(x))) }},
		{"BrixFromWater", 13, 25, 0.03, func(x float64) error { return errOf(BrixFromWater(w(x))) }},
		{"SpecificGravity W", 13, 21, 0.03, func(x float64) error { return errOf(SpecificGravity(w(x))) }},
		{"Density W", 13, 21, 0.03, func(x float64) error { return errOf(Density(20, w(x))) }},
		{"Density T", 10, 60, 0, func(x float64) error { return errOf(Density(c(x), 17)) }},
		{"DensityBand T", 10, 60, 0, func(x float64) error { return errOf(DensityBand(c(x), 17)) }},
		{"Viscosity W", 13.5, 22, 0, func(x float64) error { return errOf(Viscosity(20, w(x))) }},
		{"Viscosity T", 10, 71.5, 0, func(x float64) error { return errOf(Viscosity(c(x), 17)) }},
		{"ViscosityBand factor", 0.1, 10, 0, func(x float64) error { return errOf(ViscosityBand(20, 17, x, 1.2)) }},
		{"ViscosityBand spread", 1, 10, 0, func(x float64) error { return errOf(ViscosityBand(20, 17, 1, x)) }},
		{"WaterActivity", 15, 21, 0, func(x float64) error { return errOf(WaterActivity(w(x))) }},
		{"WaterActivitySafe", 15, 21, 0, func(x float64) error { return errOf(WaterActivitySafe(w(x))) }},
		{"WaterFromHumidity", 50, 80, 0, func(x float64) error { return errOf(WaterFromHumidity(Humidity(x))) }},
		{"HumidityFromWater", 15.902, 33.098, 0.001, func(x float64) error { return errOf(HumidityFromWater(w(x))) }},
		{"HMFRate", 0, 100, 0, func(x float64) error { return errOf(HMFRate(c(x))) }},
		{"HMFAdded T", 0, 100, 0, func(x float64) error { return errOf(HMFAdded(c(x), 1, PublishedHMF())) }},
		{"HMFAdded days", 0, 36525, 0, func(x float64) error { return errOf(HMFAdded(20, quantity.Days(x), PublishedHMF())) }},
		{"HMFAdded factor", 0.1, 10, 0, func(x float64) error { return errOf(HMFAdded(20, 1, Spread{x, 2})) }},
		{"HMFAdded spread", 1, 100, 0, func(x float64) error { return errOf(HMFAdded(20, 1, Spread{1, x})) }},
		{"HMFDays rise", 0, 10000, 0, func(x float64) error { return errOf(HMFDays(20, quantity.MgKg(x), PublishedHMF())) }},
		{"DiastaseHalfLife", 10, 80, 0, func(x float64) error { return errOf(DiastaseHalfLife(c(x))) }},
		{"InvertaseHalfLife", 10, 80, 0, func(x float64) error { return errOf(InvertaseHalfLife(c(x))) }},
		{"EnzymeKept T", 10, 80, 0, func(x float64) error { return errOf(EnzymeKept(DiastaseLaw(), c(x), 1)) }},
		{"EnzymeKept days", 0, 36525, 0, func(x float64) error { return errOf(EnzymeKept(DiastaseLaw(), 20, quantity.Days(x))) }},
		{"YeastKill", 51.67, 68.33, 0.08, func(x float64) error { return errOf(YeastKill(c(x))) }},
		{"Ferment W", 13, 25, 0.03, func(x float64) error { return errOf(Ferment(w(x), 10)) }},
		{"Ferment yeast", 0, 1e10, 0, func(x float64) error { return errOf(Ferment(18, quantity.YeastPerG(x))) }},
		{"FermentUncounted", 13, 25, 0.03, func(x float64) error { return errOf(FermentUncounted(w(x))) }},
		{"LiquidWater W", 13, 25, 0.03, func(x float64) error { return errOf(LiquidWater(w(x), 10)) }},
		{"LiquidWater crystals", 0, 40, 0, func(x float64) error { return errOf(LiquidWater(17, p(x))) }},
		{"FermentPartlySet crystals", 0, 40, 0, func(x float64) error { return errOf(FermentPartlySet(17, p(x), 1, true)) }},
		{"SettingBySugars glucose", 10, 55, 0, func(x float64) error { return errOf(SettingBySugars(p(x), 38, 17)) }},
		{"SettingBySugars fructose", 10, 55, 0, func(x float64) error { return errOf(SettingBySugars(31, p(x), 17)) }},
		{"SettingBySugars W", 13, 25, 0.03, func(x float64) error { return errOf(SettingBySugars(31, 38, w(x))) }},
		{"SettingByHistory days", 0, 10000, 0, func(x float64) error {
			return errOf(SettingByHistory([]Watched{{quantity.Days(x), true}}, UsualSettingDays()))
		}},
		{"MeltingHeat", 0, 40, 0, func(x float64) error { return errOf(MeltingHeat(p(x))) }},
		{"ClassOfPfund", 0, 140, 0, func(x float64) error { return errOf(ClassOfPfund(quantity.PfundMM(x))) }},
		{"ClassOfOD", 0, 10, 0, func(x float64) error { return errOf(ClassOfOD(x)) }},
		{"PfundFromOD", 0, 3.008, 0, func(x float64) error { return errOf(PfundFromOD(x)) }},
		{"ODFromPfund", 0, 114, 0, func(x float64) error { return errOf(ODFromPfund(quantity.PfundMM(x))) }},
		{"PfundFromA635", 0, 0.48, 0, func(x float64) error { return errOf(PfundFromA635(x)) }},
		{"ScreenColour", 0, 140, 0, func(x float64) error { return errOf(ScreenColour(quantity.PfundMM(x))) }},
		{"HeatCapacity W", 13, 25, 0.03, func(x float64) error { return errOf(HeatCapacity(20, w(x))) }},
		{"HeatCapacity T", 0, 80, 0, func(x float64) error { return errOf(HeatCapacity(c(x), 17)) }},
		{"Conductivity W", 15, 21, 0, func(x float64) error { return errOf(Conductivity(20, w(x))) }},
		{"Conductivity T", 2, 71, 0, func(x float64) error { return errOf(Conductivity(c(x), 17)) }},
		{"Diffusivity k", 0.05, 5, 0, func(x float64) error { return errOf(Diffusivity(quantity.WMK(x), 20, 17)) }},
		{"EnergyEU", 0, 100, 0, func(x float64) error { return errOf(EnergyEU(Nutrition{Carbohydrate: x})) }},
		{"EnergyUS", 0, 100, 0, func(x float64) error { return errOf(EnergyUS(Nutrition{Protein: x})) }},
		{"CarbohydrateByDifference ash", 0, 10, 0, func(x float64) error { return errOf(CarbohydrateByDifference(17, 0, 0, x)) }},
		{"DextroseEquivalent maltose", 0, 30, 0, func(x float64) error { return errOf(DextroseEquivalent(31, 38, p(x), 17)) }},
		{"DryToReach kg", 1e-9, 1e9, 1e-9, func(x float64) error { return errOf(DryToReach(quantity.Kg(x), good(19), good(17), 0, 18)) }},
		{"DryToReach target", 17.01, 18.99, 0.02, func(x float64) error { return errOf(DryToReach(1, good(19), good(17), 0, w(x))) }},
		{"DryToReach shared", 0, 5, 0, func(x float64) error { return errOf(DryToReach(1, good(19), good(17), x, 18)) }},
	}
}

// Every guarded input takes both its ends, and refuses what lies past them, NaN and
// the infinities.
func TestEveryRangeIsGuarded(t *testing.T) {
	for _, g := range guards() {
		for _, x := range []float64{g.low, g.high, (g.low + g.high) / 2} {
			if err := g.call(x); err != nil {
				t.Errorf("%s: %v was refused: %v", g.name, x, err)
			}
		}
		step := (g.high - g.low) * 1e-6
		for _, x := range []float64{g.low - g.slack - step, g.high + g.slack + step, math.NaN(), math.Inf(1), math.Inf(-1)} {
			err := g.call(x)
			if err == nil {
				t.Errorf("%s: %v was taken", g.name, x)
			} else if !errors.Is(err, ErrOutOfRange) && !errors.Is(err, ErrNoMix) {
				t.Errorf("%s: %v: %v is no range error", g.name, x, err)
			}
		}
	}
}

func TestRangeErrorGuessesTheSlip(t *testing.T) {
	for _, c := range []struct {
		err   error
		hint  Hint
		meant float64
		says  string
	}{
		{errOf(Density(20, 0.18)), LooksLikeFraction, 18, "water % 0.18 is outside 13 to 21; 0.18 looks like a fraction: 18?"},
		{errOf(Density(20, 82.5)), LooksLikeSolids, 17.5, "solids"},
		{errOf(Density(95, 17)), LooksFahrenheit, 35, "Fahrenheit"},
		{errOf(Density(308.15, 17)), LooksKelvin, 35, "kelvin"},
		{errOf(WaterFromIndex(14915)), LooksWithoutPoint, 1.4915, "point"},
		{errOf(WaterFromIndex(0.4915)), LooksWithoutTheOne, 1.4915, "in front"},
		{errOf(WaterFromHumidity(0.58)), LooksLikeFraction, 58, "fraction"},
		{errOf(ViscosityFactor(25, 35, 17)), NoHint, 0, ""},
		{errOf(ViscosityFactor(2500, 35, 17)), LooksLikePoise, 2.5, "millipascal"},
		{errOf(WaterFromIndex(1.33)), NoHint, 0, "refractive index at 20 °C 1.33 is outside 1.474 to 1.5044"},
		{errOf(Density(20, quantity.WaterPct(math.NaN()))), NoHint, 0, "not a number"},
	} {
		if c.says == "" {
			continue
		}
		var r *RangeError
		if !errors.As(c.err, &r) || r.Hint != c.hint || math.Abs(r.Meant-c.meant) > 1e-9 || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("%v: want hint %q of %v", c.err, c.hint, c.meant)
		}
	}
}

// A million rows a few seconds: nothing may be allocated where all is in range.
func TestNoAllocation(t *testing.T) {
	var sink float64
	for name, f := range map[string]func(){
		"water":     func() { w, _ := WaterFromIndexAt(1.4915, 25); sink += float64(w) },
		"read":      func() { r, _ := ReadWater(18, 25, CorrectionNotKnown, 0.1); sink += r.SD },
		"density":   func() { d, _ := DensityBand(30, 17); sink += float64(d.Low) },
		"viscosity": func() { v, _ := ViscosityBand(30, 17, 1, 1.25); sink += float64(v.Low) },
		"activity":  func() { a, _ := WaterActivity(17); sink += float64(a.Low) },
		"humidity":  func() { w, _ := WaterFromHumidity(60); sink += float64(w) },
		"hmf":       func() { b, _ := HMFAdded(45, 2, PublishedHMF()); sink += float64(b.High) },
		"enzyme":    func() { b, _ := EnzymeKept(InvertaseLaw(), 45, 2); sink += b.High },
		"yeast":     func() { m, _ := YeastKill(60); sink += float64(m) + YeastLethality(61) },
		"ferment":   func() { r, _ := FermentPartlySet(17, 12, 500, true); sink += float64(r.Limit) },
		"setting":   func() { c, _ := SettingBySugars(31, 38, 17); sink += c.RatioFG },
		"colour": func() {
			p, _ := PfundFromOD(0.5)
			od, _ := ODFromPfund(p)
			c, _ := ClassOfPfund(p)
			sink += od + float64(c)
		},
		"heat": func() {
			b, _ := HeatCapacity(20, 17)
			k, _ := Conductivity(20, 17)
			sink += float64(b.Low) + float64(k.Low)
		},
		"energy":  func() { e, _ := EnergyEU(Nutrition{Carbohydrate: 82}); sink += e.KJ },
		"dilute":  func() { d, _ := DryToReach(814, WaterReading{19.4, 0.1}, WaterReading{17, 0.1}, 0, 18); sink += d.SD },
		"screen":  func() { c, _ := ScreenColour(50); sink += float64(c.R) },
		"diffuse": func() { a, _ := Diffusivity(0.5, 20, 17); sink += a },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
	if math.IsNaN(sink) {
		t.Error("NaN")
	}
}

func BenchmarkWater(b *testing.B) {
	for b.Loop() {
		if _, err := WaterFromIndexAt(1.4915, 25); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkViscosity(b *testing.B) {
	for b.Loop() {
		if _, err := Viscosity(35, 17); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHMFAdded(b *testing.B) {
	for b.Loop() {
		if _, err := HMFAdded(45, 2, PublishedHMF()); err != nil {
			b.Fatal(err)
		}
	}
}

// The water table's ends have room for its own rounding; an end that is a model's own
// has none.
func TestRoomOnlyAtTheTablesEnds(t *testing.T) {
	if _, err := Density(20, 12.985); err != nil {
		t.Errorf("the driest row of the water table: %v", err)
	}
	if _, err := Density(20, 21.001); !errors.Is(err, ErrOutOfRange) || !strings.Contains(err.Error(), "21.001") {
		t.Errorf("density at 21.001 %%: %v, want a refusal with that figure", err)
	}
	if _, err := Density(60.0000001, 17); err == nil || !strings.Contains(err.Error(), "60.0000001") {
		t.Errorf("density at 60.0000001 °C: %v, want a refusal with that figure", err)
	}
}
