package heat

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// The scalar checks of sections 0 and 1 that are heat. Each states its own tolerance
// and how it was made.
func TestScalarChecks(t *testing.T) {
	s1 := reference("S1_drum_const")
	drum := func(hours float64) map[string]float64 {
		k, rhoCp := 0.54, 1420*2300.0
		alpha := k / rhoCp
		plate, round := Series{Plate, 8 * 0.425 / k}, Series{LongCylinder, 8 * 0.285 / k}
		fz, fr := alpha*hours*3600/(0.425*0.425), alpha*hours*3600/(0.285*0.285)
		mid, meanZ := theta(t, plate, fz, 0)
		end, _ := theta(t, plate, fz, 1)
		core, meanR := theta(t, round, fr, 0)
		skin, _ := theta(t, round, fr, 1)
		at := func(x float64) float64 { return 50 - 35*x }
		return map[string]float64{"Tc": at(mid * core), "Tside": at(mid * skin), "Ttop": at(end * core), "Tcor": at(end * skin), "Tmean": at(meanZ * meanR)}
	}
	p := Fixed()
	tank := StirredTank{MassKg: 300, CpJKgK: 2300, JacketWK: 60, LossWK: 3, JacketC: 55, OutsideC: 18, StartC: 15}
	hours := func(l honey.Arrhenius, c float64) float64 { return l.AtC(quantity.Celsius(c)) / 24 }
	number := regexp.MustCompile(`[\d.]+`)
	const printed = 5e-8 // the values have eight digits
	seen := 0
	for _, r := range table(t, "checks.csv") {
		if r["section"] != "0" && r["section"] != "1" {
			continue
		}
		id, part := r["id"], strings.Split(r["id"], "_")
		var got float64
		var err error
		switch {
		case part[0] == "root" || part[0] == "C1":
			s := Series{map[string]Shape{"wall": Plate, "cyl": LongCylinder}[part[1]], num(t, part[2])}
			if got = s.Root(1); part[0] == "C1" {
				got = s.Factor(got)
			}
		case part[0] == "wall" || part[0] == "cyl":
			got, _ = theta(t, Series{map[string]Shape{"wall": Plate, "cyl": LongCylinder}[part[0]], num(t, part[1])}, num(t, part[2]), num(t, part[3]))
		case part[0] == "wallmean" || part[0] == "cylmean":
			_, got = theta(t, Series{map[string]Shape{"wallmean": Plate, "cylmean": LongCylinder}[part[0]], num(t, part[1])}, num(t, part[2]), 0)
		case part[0] == "prod":
			got = drum(num(t, strings.TrimSuffix(part[2], "h")))[part[3]]
		case id == "pipeline_outer":
			s := Series{Plate, 500 * 0.04 / 63.9}
			z := s.Root(1)
			got = 60 - 80*s.Factor(z)*math.Exp(-z*z*18.8e-6*480/(0.04*0.04))
		case id == "semiinf_0":
			got, err = SemiInfinite(1.65e-7, 8, 0.54, 0, 1800)
		case id == "mode_rate":
			got = modeRate(s1)
		case id == "lump_5h":
			got, err = tank.At(5)
		case id == "lump_t45":
			got, err = tank.Until(45)
		case id == "U_insul":
			got, err = Through(8, Layer{0.002, 16}, Layer{0.05, 0.035}, Layer{1, 50})
		case id == "loss_tank":
			got, err = Through(8, Layer{0.002, 16}, Layer{0.05, 0.035}, Layer{1, 50})
			got *= 4.2 * 30
		case part[0] == "mu":
			got = float64(p.Viscosity(quantity.Celsius(num(t, part[1]))))
		case part[0] == "kH":
			got = hours(p.HMF, num(t, part[1]))
		case part[0] == "kD":
			got = hours(p.Diastase, num(t, part[1]))
		case part[0] == "k":
			got = p.Conductivity.At(num(t, part[1]))
		case part[0] == "cp":
			got = p.HeatCapacity.At(num(t, part[1]))
		case id == "hmf_24h_50":
			got = float64(held(t, 50, 24).HMFMean)
		case id == "hmf_t30_60":
			got = 30 / hours(p.HMF, 60)
		case id == "dia_48h_45":
			got = held(t, 45, 48).DiastaseMean
		case id == "dia_half_55":
			got = math.Ln2 / hours(p.Diastase, 55)
		case id == "hmf_ramp":
			got = ramped(t)
		case id == "enth_15_50":
			m := &Melt{LatentJKg: 13008, Centre: 42, WidthK: 5}
			got = p.Enthalpy(50, m) - p.Enthalpy(15, m)
		case id == "Ra_20.0":
			got = p.Rayleigh(40, 20, 0.285)
		case id == "Nu_20.0":
			got = p.Nusselt(40, 20, 0.285)
		default:
			t.Errorf("%s: no check for it (%s)", id, number.FindString(r["inputs"]))
			continue
		}
		seen++
		want, tol := num(t, r["value"]), num(t, r["rel_tol"])
		if err != nil || !(math.Abs(got/want-1) <= max(tol, printed)) {
			t.Errorf("%s: %.10g, %v; want %.10g within %g (%s)", id, got, err, want, tol, r["method"])
		}
	}
	if seen != 74 {
		t.Errorf("%d checks of heat, want 74", seen)
	}
}

func theta(t *testing.T, s Series, fourier, x float64) (at, mean float64) {
	t.Helper()
	at, mean, err := s.Theta(fourier, x)
	if err != nil {
		t.Fatal(err)
	}
	return at, mean
}

// modeRate is the decay of the slowest mode in the program's own eigenvalues, 1/h.
func modeRate(c Case) float64 {
	c.Nodes, c.ReportH = 21, []float64{1}
	s := newSystem(&c, c.grid())
	s.solveAxes(c.Honey.Conductivity.At0)
	lambda := 0.0
	for _, a := range s.g.axes {
		lambda += a.lambda[0]
	}
	return lambda / (c.Honey.DensityKgM3 * c.Honey.HeatCapacity.At0) * 3600
}

// held is honey kept at one temperature, through the integrator.
func held(t *testing.T, c, hours float64) Row {
	t.Helper()
	r, err := Run(Case{Body: Drum(0.1, 0.1), Honey: Fixed(), Start: Even(quantity.Celsius(c)), Faces: All(10, Steady(quantity.Celsius(c))), ReportH: []float64{hours}})
	if err != nil {
		t.Fatal(err)
	}
	return last(r)
}

// ramped is a stirred gram of honey that follows its jacket from 20 to 50 °C in 10 h.
func ramped(t *testing.T) float64 {
	t.Helper()
	r, err := Run(Case{Body: Vessel(0.001, 1, 0), Honey: Fixed(), Start: Even(20), Tolerance: 1e-6,
		Faces: Faces{Side: Face{Film: 20000, Ambient: Program{{0, 20}, {10, 50}}}}, ReportH: []float64{10}})
	if err != nil {
		t.Fatal(err)
	}
	return float64(last(r).HMFMean)
}
