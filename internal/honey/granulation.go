package honey

import "combline/internal/quantity"

// A Setting is how fast honey granulates, slowest first.
type Setting uint8

const (
	SettingUnknown Setting = iota
	SettingSlow            // stays liquid for long, or for good
	SettingMedium
	SettingMediumFast // between the printed classes
	SettingFast
)

func (s Setting) String() string {
	return [...]string{"unknown", "slow or none", "medium", "medium to fast", "fast"}[min(s, SettingFast)]
}

// GranulationTemperature is where honey sets fastest (Dyce 1931).
const GranulationTemperature quantity.Celsius = 14

// Heats of dissolving crystals at 25 °C, J/g (handbook values, from memory).
// Honey's crystals are glucose monohydrate.
const (
	MonohydrateHeat = 105.0
	AnhydrousHeat   = 60.0
	FructoseHeat    = 38.0
)

// Coarse crystals grown at 20 °C melt over this range (Lupano 1997).
const (
	CrystalMeltLow  quantity.Celsius = 45
	CrystalMeltHigh quantity.Celsius = 65
)

// SettingByGlucoseWater classes honey by glucose over water:
//
//	to 1.70 slow or none · to 2.00 medium · to 2.10 medium to fast · above fast
//
// Range 0.5 to 4. Source: White 1962; Manikis and Thrasyvoulou 2001. The printed
// classes are 1.71 to 2.0 and from 2.1; the gaps are closed here. A rule of thumb,
// not a model: seed crystals, pollen and the heat that the honey has had count too.
func SettingByGlucoseWater(glucose quantity.Percent, w quantity.WaterPct) (Setting, float64, error) {
	if err := checkSugar(InputGlucose, float64(glucose)); err != nil {
		return SettingUnknown, 0, err
	}
	if err := checkWater(w, waterLow, waterHigh); err != nil {
		return SettingUnknown, 0, err
	}
	ratio := float64(glucose) / float64(w)
	return settingOfRatio(ratio), ratio, nil
}

func settingOfRatio(ratio float64) Setting {
	switch {
	case ratio <= 1.70:
		return SettingSlow
	case ratio <= 2.00:
		return SettingMedium
	case ratio <= 2.10:
		return SettingMediumFast
	}
	return SettingFast
}

// A Tendency is what a criterion of two outcomes says.
type Tendency uint8

const (
	TendencyUnclear Tendency = iota // the criterion names a band where it can't say
	TendencyNotFast
	TendencyFast
)

// SettingCriteria are all published criteria for one honey. They need not agree:
// Agree says whether those that speak do.
type SettingCriteria struct {
	GlucoseWater                                    Setting
	Glucose, FructoseGlucose, GlucoseWaterFructose  Tendency
	RatioGlucoseWater, RatioFG, RatioGlucoseWaterFr float64
	Agree                                           bool
}

// SettingBySugars applies the published criteria to a sugar analysis, g/100 g:
// glucose/water as [SettingByGlucoseWater]; glucose over 35 % is fast and 29 to
// 35 % unclear; fructose/glucose under 1.14 is fast; (glucose − water)/fructose
// over 0.40 is fast (a club sheet prints 0.42). Source: Manikis and Thrasyvoulou
// 2001, Apiacta 36:106. Range: sugars 10 to 55 g/100 g.
func SettingBySugars(glucose, fructose quantity.Percent, w quantity.WaterPct) (SettingCriteria, error) {
	s, gw, err := SettingByGlucoseWater(glucose, w)
	if err != nil {
		return SettingCriteria{}, err
	}
	if err := checkSugar(InputFructose, float64(fructose)); err != nil {
		return SettingCriteria{}, err
	}
	c := SettingCriteria{GlucoseWater: s, RatioGlucoseWater: gw,
		RatioFG:             float64(fructose) / float64(glucose),
		RatioGlucoseWaterFr: (float64(glucose) - float64(w)) / float64(fructose),
	}
	c.Glucose = tendencyOfGlucose(float64(glucose))
	c.FructoseGlucose = fastIf(c.RatioFG < 1.14)
	c.GlucoseWaterFructose = fastIf(c.RatioGlucoseWaterFr > 0.40)
	c.Agree = c.agree()
	return c, nil
}

func tendencyOfGlucose(g float64) Tendency {
	switch {
	case g > 35:
		return TendencyFast
	case g >= 29:
		return TendencyUnclear
	}
	return TendencyNotFast
}

func fastIf(b bool) Tendency {
	if b {
		return TendencyFast
	}
	return TendencyNotFast
}

// agree compares those that speak; glucose/water speaks for fast only when it is.
func (c SettingCriteria) agree() bool {
	want := fastIf(c.GlucoseWater == SettingFast)
	for _, t := range [...]Tendency{c.Glucose, c.FructoseGlucose, c.GlucoseWaterFructose} {
		if t != TendencyUnclear && t != want {
			return false
		}
	}
	return true
}

func checkSugar(in Input, g float64) error {
	if !within(g, 10, 55) {
		return outside(in, g, 10, 55)
	}
	return nil
}

// MeltingHeat gives the extra heat, kJ per kg of honey, that melting its glucose
// monohydrate crystals takes: 1.05 kJ for each per cent of crystals. It is as much
// as about half a degree of warming. Range 0 to 40 % crystals; heat of solution
// from a handbook, from memory.
func MeltingHeat(crystals quantity.Percent) (float64, error) {
	if !within(float64(crystals), crystalsLow, crystalsHigh) {
		return 0, outside(InputCrystals, float64(crystals), crystalsLow, crystalsHigh)
	}
	return float64(crystals) / 100 * MonohydrateHeat, nil
}
