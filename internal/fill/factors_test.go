package fill

import (
	"errors"
	"math"
	"testing"
)

// The printed factor table, n = 2 to 25 (ASTM-type, as reprinted in quality
// handbooks). Two printed digits of A2 and of others are a unit of the last place off
// the exact value, as the table's own note says; hence one unit.
func TestFactorsOfThePrintedTable(t *testing.T) {
	for _, r := range rows(t, own("spc_constants")) {
		f, err := FactorsFor(int(num(t, r, "n")))
		if err != nil {
			t.Fatal(err)
		}
		for column, got := range map[string]float64{"A2": f.A2, "A3": f.A3, "c4": f.C4, "B3": f.B3, "B4": f.B4,
			"B5": f.B5, "B6": f.B6, "d2": f.D2, "d3": f.D3Sigma, "D3": f.DLow, "D4": f.DTop} {
			unit := 0.001
			if column == "c4" || column == "d3" {
				unit = 0.0001
			}
			if want := num(t, r, column); !close(got, want, unit/2+1e-9) && !close(got, want, unit) {
				t.Errorf("n %s: %s %.5f, printed %g", r["n"], column, got, want)
			}
		}
	}
}

// R's ptukey and dchisq (testdata/reference.R). The constants here are stored to six
// decimals and R integrates to 1e-8 or so: half a unit of the sixth decimal.
func TestFactorsAgainstR(t *testing.T) {
	for _, r := range rows(t, own("ranges")) {
		f, err := FactorsFor(int(num(t, r, "n")))
		if err != nil || !close(f.D2, num(t, r, "d2"), 6e-7) || !close(f.D3Sigma, num(t, r, "d3"), 6e-7) || !close(f.C4, num(t, r, "c4"), 1e-9) {
			t.Errorf("n %s: %.7f %.7f %.10f, %v; R has %s %s %s", r["n"], f.D2, f.D3Sigma, f.C4, err, r["d2"], r["d3"], r["c4"])
		}
	}
}

// c4 goes over from logarithms of Γ to its expansion without a step.
func TestC4OfManyJars(t *testing.T) {
	for n := 200; n < 400; n++ {
		a, b := c4(n), c4(n+1)
		if !(a < b) || !close(b-a, 1/(4*float64(n)*float64(n)), 1e-7) {
			t.Fatalf("c4(%d) %.12f, c4(%d) %.12f", n, a, n+1, b)
		}
	}
	if f, err := FactorsFor(1000); err != nil || f.D2 != 0 || !close(f.C4, 1-1/(4*999.0), 1e-6) {
		t.Errorf("%+v, %v", f, err)
	}
}

func TestFactorsRefuse(t *testing.T) {
	for _, n := range []int{-1, 0, 1, maxJars + 1} {
		if _, err := FactorsFor(n); !errors.Is(err, ErrOutOfRange) {
			t.Errorf("%d jars: %v", n, err)
		}
	}
}

// subgroups reads checks of five figures.
func subgroups(t *testing.T, name string) []Check {
	t.Helper()
	var all []Check
	for _, r := range rows(t, own(name)) {
		c, err := CheckOf(jarsOf(t, r))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, c)
	}
	return all
}

// SP1 and SP7 of the table of worked examples: gap widths, 21 checks of five; then
// the preset limits on 20 further checks ("SAS/QC user guide, SHEWHART procedure",
// read). The printed figures have as many digits as the tolerance has.
func TestMeansAndRanges(t *testing.T) {
	checks := subgroups(t, "spc_gaps_raw")
	c, err := ChartOf(checks, true)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		what           string
		got, want, tol float64
	}{
		{"grand mean", c.MeanG, 259.667, 0.0005}, {"mean range", c.Spreads.CentreG, 30.4762, 0.00005}, {"sigma", c.SDG, 13.1028, 0.00006},
		{"low", c.Means.LowG, 242.087, 0.0006}, {"high", c.Means.HighG, 277.246, 0.0006}, {"range low", c.Spreads.LowG, 0, 0}, {"range high", c.Spreads.HighG, 64.4419, 0.0006},
	} {
		if !close(x.got, x.want, x.tol) {
			t.Errorf("%s %.5f, printed %g", x.what, x.got, x.want)
		}
	}
	for i, k := range append(checks, subgroups(t, "spc_gaps_new")...) {
		if c.Means.Out(k.MeanG) || i < len(checks) && c.Spreads.Out(k.RangeG) {
			t.Errorf("check %d is out: %+v", i+1, k)
		}
	}
}

// SP4: bags with grand mean 76 g and mean s 0.5 g, n = 4: 75.19 and 76.81 (textbook
// exercise on filling bags, read). Limits are printed to two decimals.
func TestMeansFromSpreads(t *testing.T) {
	f, err := FactorsFor(4)
	if err != nil {
		t.Fatal(err)
	}
	c := f.chart(76, 0.5, false, 20)
	if !close(c.Means.LowG, 75.19, 0.005) || !close(c.Means.HighG, 76.81, 0.005) {
		t.Errorf("%+v", c)
	}
}

func TestChartRefuses(t *testing.T) {
	mean := must(CheckMean(5, 340))
	five := Check{N: 5, MeanG: 340, SDG: 1, RangeG: 3, HasSD: true}
	four := Check{N: 4, MeanG: 340, SDG: 1, RangeG: 3, HasSD: true}
	bad := five
	bad.SDG = math.NaN()
	for name, checks := range map[string][]Check{"none": nil, "one": {five}, "only a mean": {five, mean}, "two sizes": {five, four}, "NaN": {five, bad}} {
		if _, err := ChartOf(checks, false); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	many := Check{N: 26, MeanG: 340, SDG: 1, RangeG: 3, HasSD: true}
	if _, err := ChartOf([]Check{many, many}, true); !errors.Is(err, ErrOutOfRange) {
		t.Errorf("ranges of 26: %v", err)
	}
}
