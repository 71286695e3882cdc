package honey

import (
	"math"
	"testing"

	"combline/internal/quantity"
	"gonum.org/v1/gonum/integrate/quad"
)

// Density's slope with temperature is not tabulated: it follows from the index's by
// Lorentz and Lorenz, (n²−1)/(n²+2)/ρ staying the same.
func TestDensitySlopeFollowsFromTheIndex(t *testing.T) {
	n := must(IndexFromWater(17))
	r := func(n float64) float64 { return (n*n - 1) / (n*n + 2) }
	rho := float64(must(Density(20, 17)))
	perC := rho - rho*r(n-IndexPerC)/r(n)
	near(t, "kg/m³ per °C", perC, densityPerC, 0.005, "stated to two figures")
}

func TestDensityWeights(t *testing.T) {
	near(t, "lb per US gallon at 17 %, 20 °C", PoundsPerGallon(must(Density(20, 17))), 11.86, 0.005, "printed to two decimals")
	// 18.6 % and 1.4129 are one pair in the US grade standard (from memory).
	near(t, "specific gravity at 18.6 %", must(SpecificGravity(18.6)), 1.4129, 0.00005, "half a unit of the last decimal")
	// Against sucrose solutions of the same dry matter at 20 °C (a chemistry handbook's
	// table: 82 % 1425.0, 84 % 1438.3 kg/m³): honey's mixed sugars are lighter by
	// less than 1 %, and never heavier.
	for _, c := range []struct{ w, sucrose float64 }{{18, 1425.0}, {16, 1438.3}} {
		if ratio := float64(must(Density(20, quantity.WaterPct(c.w)))) / c.sucrose; !within(ratio, 0.990, 1) {
			t.Errorf("honey of %g %% is %.4f times sucrose", c.w, ratio)
		}
	}
	b := must(DensityBand(45, 17))
	near(t, "band at 45 °C", float64(b.High-b.Low)/2, 2.52, 0.01, "0.35 and 25 × 0.1 added as squares")
}

func TestViscosityCheckValues(t *testing.T) {
	for _, c := range []struct {
		t    quantity.Celsius
		w    quantity.WaterPct
		want float64
	}{{35, 17, 2.50}, {45, 18, 0.807}, {40, 16, 2.20}, {40, 18, 1.18}, {35, 20, 0.989}} {
		near(t, "viscosity", float64(must(Viscosity(c.t, c.w))), c.want, 0.005*c.want, "three figures")
	}
	near(t, "activation energy 10 to 40 °C at 17 %", flowEnergy(10, 40, 17), 91.6, 0.05, "three figures")
	near(t, "at 10 °C", flowEnergy(10, 10.01, 17), 120, 5, "told as about 120")
	near(t, "at 40 °C", flowEnergy(40, 40.01, 17), 70, 5, "told as about 70")
	b := must(ViscosityBand(35, 17, 1, ViscositySpread))
	near(t, "band", float64(b.High/b.Low), ViscositySpread*ViscositySpread, 1e-12, "×/÷")
}

func TestRateCheckValues(t *testing.T) {
	hmf := func(temp quantity.Celsius, days quantity.Days) float64 {
		return float64(must(HMFAdded(temp, days, PublishedHMF())).Likely)
	}
	const why = "three figures"
	near(t, "48 h at 45 °C", hmf(45, 2), 4.35, 0.005, why)
	near(t, "24 h at 55 °C", hmf(55, 1), 11.0, 0.05, why)
	near(t, "a year at 20 °C", hmf(20, 365), 8.4, 0.05, why)
	near(t, "a year at 13 °C", hmf(13, 365), 2.0, 0.05, "known disagreement: honeydew rose by 3")
	near(t, "hours to 30 mg/kg at 80 °C", 24*float64(must(HMFDays(80, 30, PublishedHMF())).Likely), 1.7, 0.05, "two figures")
	near(t, "hours to 30 mg/kg at 70 °C", 24*float64(must(HMFDays(70, 30, PublishedHMF())).Likely), 6.8, 0.1, "1.5 times the 4.5 h of a club sheet")
	near(t, "diastase at 45 °C", float64(must(DiastaseHalfLife(45))), 12.8, 0.05, why)
	near(t, "invertase at 45 °C", float64(must(InvertaseHalfLife(45))), 3.46, 0.005, why)
	near(t, "diastase at 65 °C, h", 24*float64(must(DiastaseHalfLife(65))), 11.3, 0.05, why)
	near(t, "invertase at 65 °C, h", 24*float64(must(InvertaseHalfLife(65))), 1.88, 0.005, why)
	half := must(DiastaseHalfLife(45))
	near(t, "kept after a half-life", must(EnzymeKept(DiastaseLaw(), 45, half)).Likely, 0.5, 1e-12, "by definition")
}

// The paper's own activation energies, 35 010 and 39 730 cal/mol (White et al. 1964,
// from memory).
func TestEnzymeEnergiesAgainstThePaper(t *testing.T) {
	near(t, "diastase", DiastaseLaw().Energy/4.184, 35010, 0.02*35010, "half-lives hold them within 2 %")
	near(t, "invertase", InvertaseLaw().Energy/4.184, 39730, 0.025*39730, "half-lives hold them within 2.5 %")
}

// Where sets of honey disagree with the law, the band must hold them.
func TestHMFBandHoldsWhatDisagrees(t *testing.T) {
	for _, c := range []struct {
		t      quantity.Celsius
		rise   quantity.MgKg
		days   float64
		source string
	}{
		{100, 40, 0.25, "Diyala J. Agric. Sci. 2023"},
		{60, 40, 3.333, "Diyala J. Agric. Sci. 2023"},
		{90, 40, 0.0625, "Turhan et al. 2008, still at or under 40"},
		{80, 30, 0.0208, "the faster reprint of White et al. 1964"},
		{13, 3, 365, "a year at 12 to 14 °C, honeydew"},
		{70, 30, 0.1875, "a club sheet, 4.5 h"},
	} {
		b := must(HMFDays(c.t, c.rise, PublishedHMF()))
		if !within(c.days, float64(b.Low), float64(b.High)) {
			t.Errorf("%g °C: %.4g days (%s) is outside %.4g to %.4g", float64(c.t), c.days, c.source, b.Low, b.High)
		}
	}
}

// A rate law along a history, by gonum's quadrature, against the closed form for
// a history in which 1/TK falls evenly: ∫k dt = (k1 − k0)/ln(k1/k0)·time.
func TestRateLawIntegrates(t *testing.T) {
	for name, law := range map[string]Arrhenius{"HMF": HMFLaw(), "diastase": DiastaseLaw(), "invertase": InvertaseLaw()} {
		t0, t1, days := quantity.Celsius(15).Kelvin(), quantity.Celsius(55).Kelvin(), 3.0
		at := func(d float64) quantity.Kelvin {
			return quantity.Kelvin(1 / (1/float64(t0) + d/days*(1/float64(t1)-1/float64(t0))))
		}
		got := quad.Fixed(func(d float64) float64 { return law.At(at(d)) }, 0, days, 40, nil, 0)
		k0, k1 := law.At(t0), law.At(t1)
		want := (k1 - k0) / math.Log(k1/k0) * days
		near(t, name, got/want, 1, 1e-10, "40 Gauss points on a smooth function")
	}
}

func TestYeastLethality(t *testing.T) {
	// A minute for each minute of hold, summed over a hold at one temperature.
	kill := float64(must(YeastKill(63)))
	near(t, "a full hold at 63 °C", kill*YeastLethality(63), 1, 1e-12, "by definition")
	// Plant practice (a university note): 63 °C for 30 min, 66 °C for 15 min: four to ten
	// times the bare kill, for come-up and safety; never less.
	for _, c := range []struct{ t, minutes float64 }{{63, 30}, {66, 15}} {
		if margin := c.minutes * YeastLethality(quantity.Celsius(c.t)); !within(margin, 3.5, 10) {
			t.Errorf("%g min at %g °C is %.1f kills", c.minutes, c.t, margin)
		}
	}
	if YeastLethality(51) != 0 || YeastLethality(quantity.Celsius(math.NaN())) != 0 {
		t.Error("below the table nothing is counted")
	}
	if YeastLethality(90) != YeastLethality(68.4) {
		t.Error("above the table no more is counted than at its end")
	}
	// A ramp from 50 to 65 °C in 30 min, against the integral of 10^(T/z).
	got := quad.Fixed(func(m float64) float64 {
		return YeastLethality(quantity.Celsius(yeastTempLow + (65-yeastTempLow)*m/30))
	}, 0, 30, 40, nil, 0)
	z := 6.235
	want := 30 / (65 - yeastTempLow) * z / math.Ln10 * (1/yeastKill(65) - 1/yeastKill(yeastTempLow))
	near(t, "a ramp", got, want, 1e-10, "the closed form")
}

// Mixing rules for foods by Choi and Okos (1986, coefficients from memory) at 20 °C: 17 %
// water, the rest carbohydrate. They stand for the other school of conductivity, and
// show by how much they miss honey's density and heat.
func TestAdditiveSchool(t *testing.T) {
	const temp, w = 20.0, 0.17
	waterRho, sugarRho := 997.18+0.0031439*temp-0.0037574*temp*temp, 1599.1-0.31046*temp
	waterK, sugarK := 0.57109+0.0017625*temp-6.7036e-6*temp*temp, 0.20141+0.0013874*temp-4.3312e-6*temp*temp
	waterCp, sugarCp := 4.1762-9.0864e-5*temp+5.4731e-6*temp*temp, 1.5488+1.9625e-3*temp-5.9399e-6*temp*temp
	v := w/waterRho + (1-w)/sugarRho
	share := w / waterRho / v
	k := must(Conductivity(temp, 17))
	additive := share*waterK + (1-share)*sugarK
	near(t, "additive conductivity", additive, 0.32, 0.005, "two figures")
	if !(additive < float64(k.Low) && float64(k.Low) < 0.35) {
		t.Errorf("the lower school's %v lies between the additive estimate and syrups", k.Low)
	}
	near(t, "additive density over ours", 1/v/float64(must(Density(temp, 17))), 1.017, 0.002, "known: 1.7 % too high")
	near(t, "additive heat over ours", (w*waterCp+(1-w)*sugarCp)/float64(must(HeatCapacity(temp, 17)).Likely), 0.90, 0.01, "known: 10 % too low")
	near(t, "diffusivity, classical", must(Diffusivity(0.53, 20, 17)), 1.66e-7, 0.005e-7, "three figures")
	near(t, "diffusivity, low", must(Diffusivity(k.Low, 20, 17)), 1.06e-7, 0.005e-7, "three figures")
}

func TestHeatCheckValues(t *testing.T) {
	for _, c := range []struct{ w, want float64 }{{15, 2.20}, {17, 2.25}, {20, 2.32}} {
		near(t, "cp", float64(must(HeatCapacity(20, quantity.WaterPct(c.w))).Likely), c.want, 0.005, "two decimals")
	}
	// 15 % crystals take about 16 kJ/kg, as much as 7 °C of warming.
	melt := must(MeltingHeat(15))
	near(t, "melting 15 % crystals", melt, 16, 0.5, "two figures")
	near(t, "as °C", melt/float64(must(HeatCapacity(20, 17)).Likely), 7, 0.1, "one figure")
}

func TestHumidityCheckValues(t *testing.T) {
	near(t, "58 % air", float64(must(WaterFromHumidity(58))), 17.7, 0.05, "three figures")
	near(t, "62 % air", float64(must(WaterFromHumidity(62))), 19.3, 0.05, "three figures")
	// Reading the activity line backwards instead errs by up to 3 points at the ends.
	for _, c := range []struct{ rh, martin float64 }{{50, 15.9}, {65, 20.9}} {
		back := (c.rh/100 - 0.248) / 0.0175
		if off := math.Abs(back - c.martin); !within(off, 1, 3.1) {
			t.Errorf("the activity line is %.1f points off at %g %%", off, c.rh)
		}
	}
}

func TestEnergyAndDextrose(t *testing.T) {
	// The US food database's entry for honey: 304 kcal and 1272 kJ (from memory),
	// from carbohydrate 82.4 of which fibre 0.2, protein 0.3, fat 0.
	n := Nutrition{Carbohydrate: 82.2, Protein: 0.3, Fibre: 0.2}
	us, eu := must(EnergyUS(n)), must(EnergyEU(n))
	near(t, "US kcal", us.Kcal, 304, 0.5, "printed without decimals")
	near(t, "US kJ", us.KJ, 1272, 1.5, "printed from the rounded 304 kcal")
	near(t, "EU over US", eu.Kcal/us.Kcal, 1.09, 0.005, "about 9 %")
	near(t, "EU kJ over kcal", eu.KJ/eu.Kcal, 4.25, 0.01, "17 over 4, a little less for the fibre")
	c := AverageUS()
	de := must(DextroseEquivalent(quantity.Percent(c.Glucose), quantity.Percent(c.Fructose), quantity.Percent(c.Maltose), quantity.WaterPct(c.Water)))
	near(t, "dextrose equivalent of the US average", de, 88.5, 0.1, "told as 88.5")
	near(t, "maltose's share", MaltoseDE, 180.16/342.3, 0.0005, "molar masses")
	near(t, "carbohydrate by difference", must(CarbohydrateByDifference(17.2, 0.3, 0, 0.17)), 82.33, 1e-9, "arithmetic")
}
