package honey

import (
	"fmt"
	"math"
	"strings"

	"combline/internal/quantity"
)

// Rows of the tables on warmth, keeping, colour and heat.

var hmfKnown = map[int]struct {
	size float64
	why  string
}{
	6:  {2.54, "this reprint has 30 to 40 min at 80 °C, the other under 2 h"},
	14: {0.0285, "honeys at 100 °C formed far less than the law says"},
	16: {0.398, "floral honey stayed under 40 mg/kg for 90 min at 90 °C"},
}

func checkHMFTimeRow(r record) check {
	temp, rise := quantity.Celsius(r.num("temperature_C")), quantity.MgKg(r.num("hmf_level_or_rise_mg_per_kg"))
	days := must(HMFDays(temp, rise, PublishedHMF()))
	c := r.check(fmt.Sprintf("%g °C, %g mg/kg", float64(temp), float64(rise)), "%.5g d").
		figures(r.num("time_low_days"), r.num("time_high_days"), float64(days.Likely), inTimes)
	if k, ok := hmfKnown[r.row]; ok {
		return c.disagrees(k.size, k.why)
	}
	return c.within(2.01, "the band of ×/÷ 2 between honeys")
}

func checkHMFEnergyRow(r record) check {
	low, high := r.span("Ea_kJ_per_mol")
	if math.IsNaN(low) {
		return r.claim(r.fields["honey"], "zero order after an induction period: no figure to compare", r.fields["prefactor"] == "")
	}
	c := r.check(r.fields["honey"], "%.4g kJ/mol").figures(low, high, HMFLaw().Energy/1000, inShares)
	switch r.row {
	case 1:
		return c.disagrees(0.381, "first order in HMF")
	case 2:
		return c.disagrees(0.539, "first order in HMF")
	case 4:
		return c.disagrees(-0.185, "80 to 120 °C")
	}
	return c.within(0.02, "zero order, 25 to 85 °C: the nearest to the law's own conditions")
}

func checkEnzymeRow(r record) check {
	temp := quantity.Celsius(r.num("temperature_C"))
	half := DiastaseHalfLife
	if r.fields["enzyme"] == "invertase" {
		half = InvertaseHalfLife
	}
	c := r.check(fmt.Sprintf("%s, %g °C", r.fields["enzyme"], float64(temp)), "%.3g d").
		figure(r.num("half_life_days"), float64(must(half(temp))), inShares)
	switch {
	case strings.HasPrefix(r.fields["source"], "White"):
		return c.within(0.021, "the fit's own worst point")
	case r.fields["enzyme"] == "diastase" && temp == 80:
		return c.disagrees(0.215, "rounded to 1 hour")
	}
	return c.within(0.073, "a rounded reprint: 5 hours for 4.7")
}

func checkYeastRow(r record) check {
	fahrenheit := r.num("temperature_F") // as printed; the °C are rounded
	temp := (fahrenheit - 32) / 1.8
	name := fmt.Sprintf("%g °F (%.1f °C)", fahrenheit, temp)
	if r.fields["time_min"] == "a few seconds" {
		return r.claim(name, "a few seconds; the law run on, outside its range, gives 2.7", within(60*yeastKill(temp), 1, 10))
	}
	c := r.check(name, "%.3g min").figure(r.num("time_min"), yeastKill(temp), inShares)
	switch r.row {
	case 6:
		return c.within(0.025, "a food article: 470 min rounded to 8 hours")
	case 7:
		return c.disagrees(-0.624, "a food article: a whole minute; outside the range")
	}
	return c.within(0.01, "the fit's own worst point, 0.9 %")
}

func checkFermentRow(r record) check {
	keeps := func(w quantity.WaterPct, y quantity.YeastPerG) bool { return must(Ferment(w, y)).Keeping == Keeps }
	switch r.row {
	case 1:
		return r.claim("up to 17.1 %", "safe with any yeast", keeps(17.1, 1e9) && keeps(13, 1e9))
	case 2, 3, 4:
		low, high := quantity.WaterPct(r.num("moisture_over_pct")), quantity.WaterPct(r.num("moisture_to_pct"))
		limit := quantity.YeastPerG(r.num("yeast_count_limit_per_g"))
		within := quantity.WaterPct(0.05) + low // the printed 18.1 is "over 18.0"
		return r.claim(fmt.Sprintf("%g to %g %%", float64(low), float64(high)), fmt.Sprintf("safe to a yeast count of %g per g", float64(limit)),
			keeps(within, limit) && keeps(high, limit) && !keeps(within, limit+0.5) && !keeps(high, limit+0.5))
	case 5:
		return r.claim("over 20.0 %", "never safe", !keeps(20.01, 0) && keeps(20, 0))
	}
	// Known disagreement: Lochhead lets 1 per g pass up to 20 %, White does not.
	return r.claim("over 19.0 %", "White: ferments even with 1 per g. Known disagreement: Lochhead, used here, lets it pass",
		keeps(19.5, 1) && !keeps(19.5, 2))
}

func checkGranulationRow(r record) check {
	low, high := r.num("low"), r.num("high")
	name := r.fields["criterion"]
	says := r.fields["meaning"]
	criteria := func(g, f, w float64) SettingCriteria {
		return must(SettingBySugars(quantity.Percent(g), quantity.Percent(f), quantity.WaterPct(w)))
	}
	switch r.row {
	case 1:
		return r.claim(name+" to 1.7", says, settingOfRatio(high) == SettingSlow && settingOfRatio(high+0.01) != SettingSlow)
	case 2:
		return r.claim(name+" 1.71 to 2.0", says, settingOfRatio(low) == SettingMedium && settingOfRatio(high) == SettingMedium)
	case 3:
		return r.claim(name+" from 2.1", says, settingOfRatio(low+1e-9) == SettingFast && settingOfRatio(low) == SettingMediumFast)
	case 4:
		return r.claim(name+" over 35", says, criteria(low+0.1, 38, 17).Glucose == TendencyFast)
	case 5:
		return r.claim(name+" 29 to 35", says, criteria(low, 38, 17).Glucose == TendencyUnclear && criteria(high, 38, 17).Glucose == TendencyUnclear &&
			criteria(low-0.1, 38, 17).Glucose == TendencyNotFast)
	case 6:
		return r.claim(name+" under 1.14", says, criteria(35, 35*1.139, 17).FructoseGlucose == TendencyFast && criteria(35, 35*1.141, 17).FructoseGlucose == TendencyNotFast)
	case 7:
		return r.claim(name+" over 0.4", says, criteria(33, 16/0.401, 17).GlucoseWaterFructose == TendencyFast &&
			criteria(33, 16/0.399, 17).GlucoseWaterFructose == TendencyNotFast)
	case 8: // G/W 0.92 to 1.41
		return r.claim(name+" 14.1 to 21.3", "slowest group, glucose/water 0.92 to 1.41", settingOfRatio(0.92) == SettingSlow && settingOfRatio(1.41) == SettingSlow &&
			criteria(high, 38, 17).Glucose == TendencyNotFast)
	case 9: // G/W 1.40 to 1.80
		return r.claim(name+" 25.2 to 29.3", "second group, glucose/water 1.40 to 1.80", settingOfRatio(1.40) == SettingSlow && settingOfRatio(1.80) == SettingMedium)
	case 10:
		return r.claim(name, says, float64(GranulationTemperature) == low)
	case 11:
		return r.claim(name, "45 to 65 °C", float64(CrystalMeltLow) == low && float64(CrystalMeltHigh) == high)
	case 12:
		return r.claim(name, fmt.Sprintf("%g J/g", low), MonohydrateHeat == low)
	case 13:
		return r.claim(name, fmt.Sprintf("%g to %g J/g", low, high), within(AnhydrousHeat, low, high))
	case 14:
		return r.claim(name, fmt.Sprintf("%g J/g", low), FructoseHeat == low)
	}
	return r.claim(name, "no check for this row", false)
}

func checkColourRow(r record) check {
	name := r.fields["class"]
	from, to, od := r.num("pfund_over_mm"), r.num("pfund_to_mm"), r.num("optical_density_max")
	class := func(p float64) string { return must(ClassOfPfund(quantity.PfundMM(p))).String() }
	inClass := (math.IsNaN(from) || class(from) != name && class(from+1e-9) == name) && (math.IsNaN(to) || class(to) == name && class(to+1e-9) != name)
	if math.IsNaN(od) {
		return r.claim(name, "over 114 mm", inClass && must(ClassOfOD(3.0081)) == DarkAmber)
	}
	if !inClass || must(ClassOfOD(od)).String() != name || must(ClassOfOD(od+1e-9)).String() == name {
		return r.claim(name, "borders as printed", false)
	}
	return r.check(name+", upper end", "%.4g mm").figure(to, float64(must(PfundFromOD(od))), inUnits).
		within(1e-9, "exact at the class limits by construction")
}

func checkUnifloralRow(r record) check {
	low, mean, high := quantity.PfundMM(r.num("pfund_min_mm")), quantity.PfundMM(r.num("pfund_mean_mm")), quantity.PfundMM(r.num("pfund_max_mm"))
	a, b, c := must(ClassOfPfund(low)), must(ClassOfPfund(mean)), must(ClassOfPfund(high))
	return r.claim(r.fields["honey"], fmt.Sprintf("%g mm (%g to %g): %s", float64(mean), float64(low), float64(high), b), a <= b && b <= c && a > ColourUnknown)
}

func checkHeatRow(r record) check {
	low, high := r.span("cp_kJ_per_kg_K")
	w := r.num("moisture_pct")
	if math.IsNaN(w) {
		w = 17
	}
	c := r.check(fmt.Sprintf("%s, %g %%", r.fields["state"], w), "%.2f kJ/(kg·K)").
		figures(low, high, float64(must(HeatCapacity(20, quantity.WaterPct(w))).Likely), inShares)
	if r.row == 4 {
		return c.disagrees(-0.262, "an apparent value, with the heat of melting in it")
	}
	return c.within(0.01, "one anchor, printed to two decimals")
}

func checkConductivityRow(r record) check {
	temp, w := r.num("temperature_C"), r.num("moisture_pct")
	told := w
	if math.IsNaN(told) {
		w = 17
	}
	k := must(Conductivity(quantity.Celsius(temp), quantity.WaterPct(w)))
	c := r.check(fmt.Sprintf("%g °C, %g %%", temp, w), "%.3f W/(m·K)").figure(r.num("k_W_per_m_K"), float64(k.Classical), inShares)
	switch {
	case r.row == 14:
		return c.disagrees(-0.0337, "finely crystallised honey, and a misprinted exponent")
	case math.IsNaN(told):
		return c.disagrees(-0.022, "water not printed, taken as 17 %")
	}
	return c.within(0.007, "the fit's own worst point, 0.65 %")
}
