package standard

import (
	"errors"
	"math"
	"strings"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

func classOf(t *testing.T, s string) ScaleClass {
	t.Helper()
	c, err := ParseScaleClass(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestScaleErrorTable(t *testing.T) {
	eachRow(t, "oiml_r76_mpe", func(t *testing.T, r row) {
		c := classOf(t, r["class"])
		for _, e := range []Microgram{100 * mg, gm, 5 * gm} {
			over := Microgram(r.int(t, "load_over_e")) * e
			loads := []Microgram{over + 1}
			if r["side"] == "incl" {
				loads = append(loads, over)
			}
			if to := r["load_to_e_incl"]; to != "" {
				end := Microgram(r.int(t, "load_to_e_incl")) * e
				loads = append(loads, end-1, end, (over+end)/2)
			}
			for _, load := range loads {
				got, err := ScaleErrorOf(c, e, load)
				initial, service := Microgram(r.num(t, "mpe_initial_e")*float64(e)), Microgram(r.num(t, "mpe_in_service_e")*float64(e))
				if err != nil || got.Initial != initial || got.InService != service {
					t.Errorf("class %v, e %g g, load %g g: %+v, %v; want %d and %d µg (%s)", c, e.Grams(), load.Grams(), got, err, initial, service, r["source"])
				}
				r.got(t, got.Cite)
			}
		}
	})
	// Beyond the last step of a class there is no figure.
	for c, n := range map[ScaleClass]Microgram{ClassII: 100_000, ClassIII: 10_000, ClassIIII: 1000} {
		if _, err := ScaleErrorOf(c, gm, n*gm+1); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("class %v over %d e: %v", c, n, err)
		}
	}
}

func TestScaleClassTable(t *testing.T) {
	eachRow(t, "oiml_r76_classes", func(t *testing.T, r row) {
		c := classOf(t, r["class"])
		nMin, nMax := int64(r.int(t, "n_min")), int64(r.int(t, "n_max"))
		least := int64(map[string]int{"20 e": 20, "50 e": 50, "10 e": 10}[r["min_capacity"]])
		for _, e := range intervals(t, r["interval"]) {
			for n, fits := range map[int64]bool{nMin - 1: false, nMin: true, nMax: true, nMax + 1: false} {
				got, err := CheckScale(c, e, Microgram(n)*e)
				if err != nil || got.Fits != fits || got.NMin != nMin || got.NMax != nMax || got.Least != Microgram(least)*e || got.Intervals != n {
					t.Errorf("class %v, e %g g, n %d: %+v, %v; want fits %v (%s)", c, e.Grams(), n, got, err, fits, r["source"])
				}
				r.got(t, got.Cite)
			}
			if got, err := CheckScale(c, e, Microgram(nMax)*e+1); err != nil || got.Fits {
				t.Errorf("class %v, a part of an interval over %d: %+v, %v (%s)", c, nMax, got, err, r["source"])
			}
		}
	})
}

// intervals reads "0.1 g <= e <= 2 g" or "5 g <= e" as its ends and one inside.
func intervals(t *testing.T, s string) []Microgram {
	t.Helper()
	var out []Microgram
	for _, part := range strings.Split(s, " <= ") {
		if part == "e" {
			continue
		}
		out = append(out, Microgram(milligrams(t, strings.TrimSuffix(part, " g")))*mg)
	}
	if len(out) == 1 {
		return append(out, 2*out[0])
	}
	return append(out, 2*out[0])
}

func TestMassTable(t *testing.T) {
	eachRow(t, "oiml_r111_m1", func(t *testing.T, r row) {
		value, unit, _ := strings.Cut(r["nominal"], " ")
		nominal := Microgram(milligrams(t, value)) * map[string]Microgram{"mg": 1, "g": mg, "kg": gm}[unit]
		want := Microgram(milligrams(t, r["mpe_mg_plus_minus"])) // mg to µg, as g to mg
		got, cite, err := MassError(nominal)
		if err != nil || got != want {
			t.Errorf("%s: %d µg, %v; want %d (%s)", r["nominal"], got, err, want, r["source"])
		}
		r.got(t, cite)
		for off, pass := range map[Microgram]bool{want: true, -want: true, want + 1: false, -want - 1: false} {
			if ok, _, err := MassPasses(nominal, off); err != nil || ok != pass {
				t.Errorf("%s off by %d µg: %v, %v; want %v (%s)", r["nominal"], off, ok, err, pass, r["source"])
			}
		}
	})
	for _, bad := range []Microgram{0, -1, 3 * gm, 100_000 * gm} {
		if ok, _, err := MassPasses(bad, 0); ok || !errors.Is(err, ErrOutOfRange) {
			t.Errorf("weight of %d µg: %v, %v", bad, ok, err)
		}
	}
}

func TestScaleExamples(t *testing.T) {
	eachRow(t, "examples_scale", func(t *testing.T, r row) {
		ok := false
		switch r["id"] {
		case "SC1":
			a, err := ScaleErrorOf(ClassIII, gm, 500*gm)
			ok = err == nil && a.Initial == 500*mg && a.InService == gm
			r.got(t, a.Cite)
		case "SC2":
			a, err := ScaleErrorOf(ClassIII, gm, 1000*gm)
			ok = err == nil && a.InService == 2*gm && 1800*mg <= a.InService
		case "SC3":
			mpe, cite, err := MassError(100 * gm)
			ok = err == nil && mpe == 5*mg
			r.got(t, cite)
		case "SC4":
			a, err := CheckJarScale(EU, 250*g, ClassIII, gm, 3000*gm)
			ok = err == nil && a.Allowed == 1800*mg && a.Has == gm && a.Enough
			r.got(t, a.Cite)
		case "SC5":
			a, err := CheckScale(ClassIII, 100*mg, 3000*gm)
			ok = err == nil && a.Intervals == 30_000 && a.NMax == 10_000 && !a.Fits
			r.got(t, a.Cite)
		case "SC6":
			pass, cite, err := MassPasses(20*gm, 2600)
			mpe, _, _ := MassError(20 * gm)
			ok = err == nil && !pass && mpe == 2500
			r.got(t, cite)
		case "SC7":
			a, err1 := ScaleErrorOf(ClassIII, gm, 1000*gm)
			mpe, _, err2 := MassError(1000 * gm)
			suits, cite := MassesSuit(mpe, a.Initial)
			tooCoarse, _ := MassesSuit(333_334, gm)
			third, _ := MassesSuit(333_333, gm)
			ok = err1 == nil && err2 == nil && mpe == 50*mg && a.Initial == gm && suits && third && !tooCoarse
			r.got(t, cite)
		}
		if !ok {
			t.Errorf("%s: want %s (%s)", r["given"], r["expect"], r["source"])
		}
	})
}

func TestFillerTable(t *testing.T) {
	eachRow(t, "filling_machine_mpd_r61", func(t *testing.T, r row) {
		over := r.mass(t, "fill_over_g")
		fills := []quantity.Milligram{over + 1, over + 1000}
		if r["fill_to_g"] != "" {
			fills = append(fills, r.mass(t, "fill_to_g"), (over+r.mass(t, "fill_to_g"))/2)
		}
		for _, fill := range fills {
			for _, x := range []float64{1, 0.5} {
				got, err := FillerErrorOf(fill, x)
				// 1e-9 of the figure: doubles, whatever the order of the products.
				if want := deviation(t, r["initial_class_X1"], fill) * x; err != nil || !near(got.InitialG, want, want*1e-9) {
					t.Errorf("fill %g g, x %g: %+v, %v; want %g initial (%s)", grams(fill), x, got, err, want, r["source"])
				}
				if want := deviation(t, r["in_service_class_X1"], fill) * x; !near(got.InServiceG, want, want*1e-9) || got.PresetG != got.InServiceG*0.25 {
					t.Errorf("fill %g g, x %g: %+v; want %g in service, a quarter for the setting (%s)", grams(fill), x, got, want, r["source"])
				}
				r.got(t, got.Cite)
			}
		}
	})
	for _, x := range badFloats(0, 101) {
		if _, err := FillerErrorOf(340*g, x); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("factor %g: %v", x, err)
		}
	}
	if _, err := FillerErrorOf(0, 1); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("fill 0: %v", err)
	}
}

func deviation(t *testing.T, s string, fill quantity.Milligram) float64 {
	value, unit, _ := strings.Cut(s, " ")
	v := row{"v": value}.num(t, "v")
	if unit == "%" {
		return v / 100 * grams(fill)
	}
	return v
}

func TestScaleRefuses(t *testing.T) {
	for _, c := range []struct {
		class   ScaleClass
		e, load Microgram
	}{{NoClass, gm, gm}, {9, gm, gm}, {ClassIII, 0, gm}, {ClassIII, -gm, gm}, {ClassIII, 3, gm}, {ClassIII, gm, -1}, {ClassI, gm, 2e8 * gm}} {
		if a, err := ScaleErrorOf(c.class, c.e, c.load); err == nil {
			t.Errorf("%+v: %+v, want it refused", c, a)
		}
	}
	if _, err := CheckScale(ClassI, gm, 1000*gm); !errors.Is(err, ErrNoRule) {
		t.Errorf("class I: %v", err)
	}
	if _, err := CheckScale(ClassIII, 3*gm, 3000*gm); !errors.Is(err, ErrNoRule) {
		t.Errorf("e 3 g: %v", err)
	}
	if _, err := CheckScale(ClassIII, gm, 0); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("capacity 0: %v", err)
	}
	for _, bad := range badFloats(-2e8, 2e8) {
		if _, err := MicrogramsOf(bad); bad != -1 && !errors.Is(err, ErrOutOfRange) {
			t.Errorf("mass %g g: %v", bad, err)
		}
	}
	if m, err := MicrogramsOf(-0.0025); err != nil || m != -2500 {
		t.Errorf("−2.5 mg is %d µg, %v", m, err)
	}
	if _, err := CheckJarScale(EU, 250*g, NoClass, gm, 3000*gm); err == nil {
		t.Error("no class: want it refused")
	}
	if a, err := CheckJarScale(EU, 250*g, ClassIII, gm, 200*gm); err != nil || a.Enough {
		t.Errorf("a jar above the scale's capacity: %+v, %v", a, err)
	}
	// 100 divisions at least: NIST Handbook 133 ch. 2.2.
	if a, err := CheckJarScale(US, 113*g, NoClass, gm, 99*gm); err != nil || a.Enough {
		t.Errorf("99 divisions: %+v, %v", a, err)
	}
	if _, err := ParseScaleClass("V"); err == nil {
		t.Error("class V: want it refused")
	}
}

// Laws: the permissible error never falls as the load grows, and is at most
// 1.5 e (3 e in service): OIML R 76-1:2006 table 6.
func TestScaleErrorGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom([]ScaleClass{ClassI, ClassII, ClassIII, ClassIIII}).Draw(t, "class")
		e := Microgram(2 * rapid.Int64Range(1, 1e7).Draw(t, "e/2"))
		most := int64(e) * min(1000, math.MaxInt64/int64(e))
		a, b := rapid.Int64Range(0, most).Draw(t, "a"), rapid.Int64Range(0, most).Draw(t, "b")
		x, err1 := ScaleErrorOf(c, e, Microgram(min(a, b)))
		y, err2 := ScaleErrorOf(c, e, Microgram(max(a, b)))
		if err1 != nil || err2 != nil || x.Initial > y.Initial || 2*y.Initial > 3*e || y.InService != 2*y.Initial {
			t.Fatalf("%+v %v, %+v %v", x, err1, y, err2)
		}
	})
}
