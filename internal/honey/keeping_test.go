package honey

import (
	"errors"
	"math"
	"testing"

	"combline/internal/quantity"
	"pgregory.net/rapid"
)

func TestFermentBordersExactly(t *testing.T) {
	for _, c := range []struct {
		w     quantity.WaterPct
		yeast quantity.YeastPerG
		want  Keeping
		why   FermentReason
	}{
		{17.1, 1e9, Keeps, FermentDry},
		{17.1000001, 1001, KeepsNot, FermentManyYeasts},
		{17.1000001, 1000, Keeps, FermentAtLimit},
		{18, 999, Keeps, FermentFewYeasts},
		{18.05, 11, KeepsNot, FermentManyYeasts}, // in the printed gap: the wetter class
		{18.05, 10, Keeps, FermentAtLimit},
		{19, 10, Keeps, FermentAtLimit},
		{19.05, 2, KeepsNot, FermentManyYeasts},
		{20, 1, Keeps, FermentAtLimit},
		{20, 0, Keeps, FermentFewYeasts},
		{20.0000001, 0, KeepsNot, FermentWet},
	} {
		if r := must(Ferment(c.w, c.yeast)); r.Keeping != c.want || r.Reason != c.why {
			t.Errorf("%v %% with %v per g: %+v", c.w, c.yeast, r)
		}
	}
}

// No count is never a pass, but for honey that needs none.
func TestFermentUncounted(t *testing.T) {
	for w, want := range map[quantity.WaterPct]Keeping{16: Keeps, 17.1: Keeps, 17.5: KeepingUnknown, 19.9: KeepingUnknown, 20.5: KeepsNot} {
		if r := must(FermentUncounted(w)); r.Keeping != want {
			t.Errorf("%v %%: %+v", w, r)
		}
		if r := must(FermentPartlySet(w, 0, 0, false)); r.Keeping != want {
			t.Errorf("%v %%, no crystals: %+v", w, r)
		}
	}
	// 23 % with 20 % crystals is 26.5 % between them: past the table, and too wet.
	if r := must(FermentPartlySet(23, 20, 0, true)); r.Keeping != KeepsNot || r.Reason != FermentWet {
		t.Errorf("%+v", r)
	}
}

// Wetter, more yeast or more crystals never makes honey keep better.
func TestFermentIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := waters(13, 24).Draw(t, "water")
		y := quantity.YeastPerG(rapid.Float64Range(0, 5000).Draw(t, "yeast"))
		c := quantity.Percent(rapid.Float64Range(0, 20).Draw(t, "crystals"))
		r := must(FermentPartlySet(w, c, y, true))
		worse := []FermentRisk{must(FermentPartlySet(w+0.5, c, y, true)), must(FermentPartlySet(w, c, 2*y+1, true)), must(FermentPartlySet(w, c+2, y, true))}
		for _, x := range worse {
			if r.Keeping == KeepsNot && x.Keeping == Keeps || x.Class < r.Class {
				t.Errorf("%+v, then %+v", r, x)
			}
		}
		// Crystals and liquid together hold the water that the honey has.
		liquid := must(LiquidWater(w, c))
		if total := float64(liquid)*(100-float64(c))/100 + float64(c)/11; total-float64(w) > 1e-9 || float64(w)-total > 1e-9 {
			t.Errorf("water %v became %v", w, total)
		}
	})
}

func TestSettingCriteriaMayContradict(t *testing.T) {
	// The US average: glucose/water 1.82, F/G 1.22, (G−W)/F 0.37.
	us := AverageUS()
	c := must(SettingBySugars(quantity.Percent(us.Glucose), quantity.Percent(us.Fructose), quantity.WaterPct(us.Water)))
	if c.GlucoseWater != SettingMedium || c.Glucose != TendencyUnclear || c.FructoseGlucose != TendencyNotFast || c.GlucoseWaterFructose != TendencyNotFast || !c.Agree {
		t.Errorf("US average: %+v", c)
	}
	// A rape honey (sugars typical of the crop; common practice, no source).
	if c := must(SettingBySugars(40, 38, 17)); c.GlucoseWater != SettingFast || !c.Agree {
		t.Errorf("rape: %+v", c)
	}
	// A false acacia honey (the same).
	if c := must(SettingBySugars(27, 43, 17)); c.GlucoseWater != SettingSlow || !c.Agree {
		t.Errorf("acacia: %+v", c)
	}
	if c := must(SettingBySugars(36, 42, 18)); c.Agree {
		t.Errorf("glucose says fast, glucose/water does not: %+v", c)
	}
}

func TestSettingByHistory(t *testing.T) {
	borders := UsualSettingDays()
	if h := must(SettingByHistory(nil, borders)); h.Class != SettingUnknown || h.Lots != 0 {
		t.Errorf("no history: %+v", h)
	}
	lots := []Watched{{20, true}, {300, false}, {14, true}, {25, true}, {10, false}}
	for _, bad := range []SettingDays{{}, {30, 20, 365}, {30, 90, quantity.Days(math.NaN())}} {
		if _, err := SettingByHistory(lots, bad); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("borders %v: %v", bad, err)
		}
	}
	h := must(SettingByHistory(lots, borders))
	if h.Class != SettingFast || h.Lots != 5 || h.Set != 3 || h.Days.Likely != 20 || h.AtLeast {
		t.Errorf("%+v", h)
	}
	// Worked by hand (Kaplan and Meier): of 5 lots one was lost sight of on day 10; of the
	// 4 left 3/4 are liquid after day 14, 3/4 × 2/3 = 1/2 after day 20.
	if lots[0].After != 20 {
		t.Error("the caller's history was reordered")
	}
	h = must(SettingByHistory([]Watched{{400, false}, {200, false}, {20, true}}, borders))
	if !h.AtLeast || h.Class != SettingSlow || h.Days.Likely != 400 {
		t.Errorf("mostly liquid: %+v", h)
	}
	// A lot filled last week does not make a type slow.
	if h := must(SettingByHistory([]Watched{{7, false}, {7, false}, {7, false}, {20, true}}, borders)); h.Class != SettingFast {
		t.Errorf("young lots: %+v", h)
	}
	// By day 100: 20, 14, 25 set; 300 liquid; the lot seen liquid on day 10 tells nothing.
	if set, of := SetBy(lots, 100); set != 3 || of != 4 {
		t.Errorf("%d of %d", set, of)
	}
}

func TestColour(t *testing.T) {
	near(t, "A635 0.104", float64(must(PfundFromA635(0.104))), 0, 0.1, "0 mm at 0.104")
	near(t, "A635 of a pale honey", float64(must(PfundFromA635(0.05))), 0, 0, "clamped")
	near(t, "A635 0.3", float64(must(PfundFromA635(0.3))), 72.717, 1e-9, "the line")
	near(t, "half the first limit", float64(must(PfundFromOD(0.0945/2))), 4, 1e-12, "straight below it")
	if len(colourSteps)+1 != int(DarkAmber) {
		t.Error("a class without a border")
	}
	// A single straight line in math.Log10(OD) errs by up to 10 mm: fit it and see.
	var n, sx, sy, sxx, sxy float64
	for _, s := range colourSteps {
		x := math.Log10(s.od)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+s.pfund, sxx+x*x, sxy+x*s.pfund
	}
	slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	worst := 0.0
	for _, s := range colourSteps {
		worst = max(worst, math.Abs(sy/n+slope*(math.Log10(s.od)-sx/n)-s.pfund))
	}
	near(t, "worst point of one straight line", worst, 10, 1, "told as up to 10 mm")
}

func TestScreenColour(t *testing.T) {
	// The CIE 1931 luminosity curve has an area of 106.86 nm (from memory).
	area := 0.0
	for nm := 360.0; nm <= 830; nm++ {
		_, y, _ := observer(nm)
		area += y
	}
	near(t, "area of the observer's fit", area, 106.86, 0.5, "the fit is good to half a per cent")
	if c := must(ScreenColour(0)); c != (RGB{255, 255, 255}) {
		t.Errorf("no colour at all is white: %v", c)
	}
	last := RGB{255, 255, 255}
	for p := quantity.PfundMM(2); p <= 140; p += 2 {
		c := must(ScreenColour(p))
		light := func(c RGB) float64 { return 0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B) }
		if !(light(c) < light(last)) || c.R < c.G || c.G < c.B {
			t.Errorf("%v mm: %v after %v: not darker, or not on the way from yellow to red", p, c, last)
		}
		last = c
	}
}
