package honey

import (
	"errors"
	"math"
	"strings"
	"testing"

	"combline/internal/quantity"
	"pgregory.net/rapid"
)

func good(w quantity.WaterPct) WaterReading { return WaterReading{w, WaterGoodHandsSD} }

// A packer's question, worked out by hand: 814 kg at 19.4 % with dry honey at
// 17.0 %, to 18.0 % and to 17.8 %.
func TestDryToReach(t *testing.T) {
	d := must(DryToReach(814, good(19.4), good(17.0), 0, 18.0))
	near(t, "kg to 18.0 %", float64(d.Dry.Likely), 1140, 0.5, "814 × 1.4/1.0, told in kg")
	near(t, "two readings of ±0.2 make ±", 2*d.SD, 0.14, 0.005, "two figures")
	d = must(DryToReach(814, good(19.4), good(17.0), 0, 17.8))
	near(t, "kg to 17.8 %", float64(d.Dry.Likely), 1628, 0.5, "814 × 1.6/0.8")
	d = must(DryToReach(1, good(19.4), good(17.2), 0, 18.0))
	near(t, "kg per kg", float64(d.Dry.Likely), 1.75, 1e-9, "exact")
	// The same refractometer for both: its set-up error moves the mix by all of itself.
	one := must(DryToReach(814, good(19.4), good(17.0), 0.1, 18.0))
	if !(one.Dry.High > d.Dry.High*814/2 && one.SD > 0.1) {
		t.Errorf("a common error must widen the band: %v", one)
	}
}

// At the ends of the band the mix is at the target less and plus 1.645 of its own
// standard uncertainties: worked back through the mass balance.
func TestDryBandIsNineInTen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wet := WaterReading{waters(18.5, 22).Draw(t, "wet"), rapid.Float64Range(0, 0.3).Draw(t, "wet sd")}
		dry := WaterReading{waters(14, 17).Draw(t, "dry"), rapid.Float64Range(0, 0.3).Draw(t, "dry sd")}
		shared := rapid.Float64Range(0, 0.2).Draw(t, "shared")
		target := waters(17.6, 18.2).Draw(t, "target")
		a := rapid.Float64Range(1, 1e5).Draw(t, "kg")
		d := must(DryToReach(quantity.Kg(a), wet, dry, shared, target))
		z := func(b quantity.Kg) float64 {
			x := float64(b)
			mix := (a*float64(wet.Water) + x*float64(dry.Water)) / (a + x)
			return (float64(target) - mix) / root2(root2(a*wet.SD, x*dry.SD)/(a+x), shared)
		}
		if math.Abs(float64(d.Total)*float64(target)-a*float64(wet.Water)-float64(d.Dry.Likely)*float64(dry.Water)) > 1e-9*a*40 {
			t.Errorf("water is lost: %v", d)
		}
		if !(d.Dry.Low <= d.Dry.Likely && d.Dry.Likely <= d.Dry.High) {
			t.Errorf("band out of order: %v", d.Dry)
		}
		if wet.SD+dry.SD+shared < 0.01 {
			return // no spread to speak of: z is 0/0
		}
		// An end that is cut (0 kg, or none at all) has no z.
		if x := z(d.Dry.High); !math.IsInf(float64(d.Dry.High), 1) && math.Abs(x-NineInTen) > 1e-6 {
			t.Errorf("high end at z %v", x)
		}
		if x := z(d.Dry.Low); d.Dry.Low > 0 && math.Abs(x+NineInTen) > 1e-6 {
			t.Errorf("low end at z %v", x)
		}
	})
}

func TestNoMix(t *testing.T) {
	for _, c := range []struct {
		wet, dry, target quantity.WaterPct
		kg               quantity.Kg
		want             NoMixReason
	}{
		{17.5, 17.0, 18.0, 10, AlreadyDry}, {18.0, 17.0, 18.0, 10, AlreadyDry},
		{19.4, 18.2, 18.0, 10, DryTooWet}, {19.4, 18.0, 18.0, 10, DryTooWet}, {19.4, 17, 18, 0, NothingToMix},
	} {
		_, err := DryToReach(c.kg, good(c.wet), good(c.dry), 0, c.target)
		var no *NoMixError
		if !errors.As(err, &no) || no.Reason != c.want || !errors.Is(err, ErrNoMix) {
			t.Errorf("%v: %v", c, err)
		}
	}
	// A dry honey that may be as wet as the target: no amount is sure.
	d := must(DryToReach(100, good(19.4), WaterReading{17.9, 0.2}, 0, 18.0))
	if !math.IsInf(float64(d.Dry.High), 1) || math.IsNaN(float64(d.Dry.Low)) {
		t.Errorf("band %v", d.Dry)
	}
}

// The same question's yeast: 3,200 per g in the wet part, none in the dry.
func TestMixCarriesTheYeast(t *testing.T) {
	wet := Parcel{Name: "drum 17", Mass: 814}.With(PropWater, 19.4).With(PropYeast, 3200)
	dry := func(kg quantity.Kg) Parcel {
		return Parcel{Name: "dry", Mass: kg}.With(PropWater, 17.0).With(PropYeast, 0)
	}
	m := must(Mix([]Parcel{wet, dry(1140)}))
	yeast := must(m.Of(PropYeast))
	near(t, "yeast per g at 18.0 %", yeast, 1333, 0.5, "told without decimals")
	if r := must(Ferment(quantity.WaterPct(math.Round(must(m.Of(PropWater))*10)/10), quantity.YeastPerG(yeast))); r.Keeping != KeepsNot || r.Reason != FermentManyYeasts {
		t.Errorf("18.0 %% with 1333 per g: %v", r)
	}
	m = must(Mix([]Parcel{wet, dry(1496), {Name: "third", Mass: 211}}))
	if _, err := m.Of(PropYeast); err == nil || !strings.Contains(err.Error(), "third") {
		t.Errorf("a part without a count: %v", err)
	}
	third := Parcel{Name: "third", Mass: 211}.With(PropWater, 17.3).With(PropYeast, 0)
	m = must(Mix([]Parcel{wet, dry(1496), third}))
	near(t, "yeast per g at 17.8 %", must(m.Of(PropYeast)), 1033, 0.5, "told without decimals")
	third.Mass = 295
	m = must(Mix([]Parcel{wet, dry(1496), third}))
	near(t, "kg", float64(m.Mass), 2605, 1e-9, "a sum")
	near(t, "water", must(m.Of(PropWater)), 17.78, 0.005, "two decimals")
	near(t, "yeast per g", must(m.Of(PropYeast)), 1000, 0.5, "just 1000")
	// Set at 12 % crystals its liquid has 19.0 %, too wet for 1000 per g.
	near(t, "liquid", float64(must(LiquidWater(17.78, 12))), 19.0, 0.05, "a tenth")
	if r := must(FermentPartlySet(17.78, 12, 900, true)); r.Keeping != KeepsNot {
		t.Errorf("partly set: %v", r)
	}
}

func TestMixRules(t *testing.T) {
	a := Parcel{Name: "pale", Mass: 100}.With(PropWater, 17).With(PropPfund, 10).With(PropPH, 3.9).With(PropGlucose, 36).With(PropFructose, 38)
	b := Parcel{Name: "dark", Mass: 100}.With(PropWater, 19).With(PropPfund, 100).With(PropPH, 4.5).With(PropGlucose, 30).With(PropFructose, 40)
	m := must(Mix([]Parcel{a, b}))
	pfund := must(m.Of(PropPfund))
	od := (must(ODFromPfund(10))/float64(must(Density(20, 17))) + must(ODFromPfund(100))/float64(must(Density(20, 19)))) /
		(1/float64(must(Density(20, 17))) + 1/float64(must(Density(20, 19))))
	near(t, "colour through optical density by volume", pfund, float64(must(PfundFromOD(od))), 1e-9, "the rule itself")
	if !(pfund > 70) {
		t.Errorf("a dark part darkens more than its share: %v mm, the plain mean is 55", pfund)
	}
	if _, err := m.Of(PropPH); err == nil {
		t.Error("pH does not mix")
	}
	near(t, "activity of the mix's water", must(m.Of(PropActivity)), float64(must(WaterActivity(18)).Likely), 1e-12, "worked out anew")
	near(t, "glucose/water", must(m.Of(PropGlucoseWater)), 33.0/18, 1e-12, "from the mixed parts, not the mean of ratios")
	near(t, "fructose/glucose", must(m.Of(PropFructoseGlucose)), 39.0/33, 1e-12, "from the mixed parts")
	near(t, "density", must(m.Of(PropDensity)), float64(must(Density(20, 18))), 0.3, "volumes add up; the density model bends by 0.2 kg/m³ between")
	near(t, "viscosity", must(m.Of(PropViscosity)), float64(must(Viscosity(20, 18))), 1e-9, "of the mix's water, not a mean")
	// ln η mixes roughly linearly: an independent look at the same mix.
	ln := (math.Log(float64(must(Viscosity(20, 17)))) + math.Log(float64(must(Viscosity(20, 19))))) / 2
	near(t, "ln viscosity", math.Log(must(m.Of(PropViscosity))), ln, 0.05, "roughly linear")
}

// Brix and index are said to mix nearly by mass: how nearly.
func TestNearlyByMass(t *testing.T) {
	mid := (must(IndexFromWater(15)) + must(IndexFromWater(20))) / 2
	near(t, "index of a 15 and 20 % mix", float64(must(WaterFromIndex(mid))), 17.5, 0.02, "as near as the index is printed")
}

func TestMixUnknowns(t *testing.T) {
	a := Parcel{Name: "D1", Mass: 10}.With(PropPfund, 20).With(PropHMF, 4).With(PropWater, 17)
	noWater := Parcel{Name: "D2", Mass: 10}.With(PropPfund, 30).With(PropHMF, 6)
	dark := Parcel{Name: "D3", Mass: 10}.With(PropPfund, 120).With(PropWater, 17)
	wet := Parcel{Name: "D4", Mass: 10}.With(PropPfund, 30).With(PropWater, 24)
	for _, c := range []struct {
		parts  []Parcel
		prop   Property
		reason UnknownReason
		needs  Property
		name   string
	}{
		{[]Parcel{a, noWater}, PropWater, NoReading, PropWater, "D2"},
		{[]Parcel{a, noWater}, PropPfund, NoReading, PropWater, "D2"},
		{[]Parcel{a, noWater}, PropActivity, NoReading, PropWater, "D2"},
		{[]Parcel{a, noWater}, PropGlucoseWater, NoReading, PropWater, "D2"},
		{[]Parcel{a, dark}, PropHMF, NoReading, PropHMF, "D3"},
		{[]Parcel{a, dark}, PropPfund, TooDark, PropPfund, "D3"},
		{[]Parcel{a, wet}, PropPfund, NoVolume, PropWater, "D4"},
		{[]Parcel{wet}, PropActivity, BeyondModel, PropWater, ""},
	} {
		_, err := must(Mix(c.parts)).Of(c.prop)
		var u *UnknownError
		if !errors.As(err, &u) || u.Reason != c.reason || u.Needs != c.needs || strings.Join(u.Parts, ",") != c.name {
			t.Errorf("%v of the mix: %v", c.prop, err)
		}
	}
	if v := must(must(Mix([]Parcel{a, noWater})).Of(PropHMF)); v != 5 {
		t.Errorf("HMF %v", v)
	}
	if _, err := (Mixed{}).Of(PropWater); err == nil {
		t.Error("a mix that was not reckoned has no water")
	}
	for _, bad := range [][]Parcel{nil, {{Name: "x"}}, {{Name: "x", Mass: quantity.Kg(math.NaN())}}, {Parcel{Name: "x", Mass: 1}.With(PropWater, 0.18)},
		{Parcel{Name: "x", Mass: 1}.With(PropHMF, math.NaN())}, {Parcel{Name: "x", Mass: 1}.With(PropActivity, 0.6)}} {
		if _, err := Mix(bad); err == nil {
			t.Errorf("%v was mixed", bad)
		}
	}
}

// Every property that mixes lies between its parts, whatever the shares; the order
// of the parts and their division do not matter.
func TestMixLiesBetweenItsParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := make([]Parcel, rapid.IntRange(1, 6).Draw(t, "parts"))
		for i := range parts {
			parts[i] = Parcel{Name: "p", Mass: quantity.Kg(rapid.Float64Range(0.001, 1e6).Draw(t, "kg"))}
			for _, p := range Properties() {
				if d := p.def(); p.Read() {
					low, high := d.low, min(d.high, 1e4)
					switch p {
					case PropWater:
						high = 21 // densities end there
					case PropPfund:
						high = 114
					}
					parts[i] = parts[i].With(p, rapid.Float64Range(low, high).Draw(t, p.String()))
				}
			}
		}
		m := must(Mix(parts))
		for _, p := range Properties() {
			if !p.Read() || p.Rule() == NotMixed {
				continue
			}
			low, high := math.Inf(1), math.Inf(-1)
			for _, part := range parts {
				v, _ := part.Reading(p)
				low, high = min(low, v), max(high, v)
			}
			// A mean of a few figures is off by some last bits.
			if v := must(m.Of(p)); !within(v, low-1e-12*math.Abs(low), high+1e-12*math.Abs(high)) {
				t.Errorf("%v %v is not between %v and %v", p, v, low, high)
			}
		}
		if len(parts) > 1 {
			swapped := append(append([]Parcel(nil), parts[1:]...), parts[0])
			again := must(Mix(swapped))
			for _, p := range []Property{PropWater, PropPfund, PropDensity} {
				if x, y := must(m.Of(p)), must(again.Of(p)); math.Abs(x-y) > 1e-9*math.Abs(x) {
					t.Errorf("%v depends on the order: %v, %v", p, x, y)
				}
			}
		}
	})
}
