package heat

import (
	"math"
	"testing"

	"combline/internal/quantity"

	"pgregory.net/rapid"
)

// small is a drum whose runs take well under a millisecond.
func small(t *rapid.T) Case {
	c := Case{Body: Drum(rapid.Float64Range(0.05, 1).Draw(t, "diameter"), rapid.Float64Range(0.05, 1.2).Draw(t, "height")), Honey: Fixed(),
		Start: Even(quantity.Celsius(rapid.Float64Range(0, 30).Draw(t, "start"))), ReportH: []float64{rapid.Float64Range(1, 100).Draw(t, "hours")}}
	if rapid.Bool().Draw(t, "grains") {
		c.Melt = &Melt{LatentJKg: rapid.Float64Range(0, 30000).Draw(t, "latent"), Centre: quantity.Celsius(rapid.Float64Range(30, 55).Draw(t, "centre")), WidthK: rapid.Float64Range(2, 8).Draw(t, "width")}
	}
	if rapid.Bool().Draw(t, "stirs") {
		c.Convection = 1
	}
	c.Faces = All(rapid.Float64Range(1, 300).Draw(t, "film"), Steady(quantity.Celsius(rapid.Float64Range(31, 70).Draw(t, "room"))))
	return c
}

func mustRun(t rapid.TB, c Case) Row {
	t.Helper()
	r, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	return last(r)
}

// Warmer rooms, stronger films and more time never leave the honey colder, nor with less
// HMF or more diastase; and no point leaves the range from start to room. What 2 × the
// step's tolerance and the ripple of the nodes may hide is 0.01 K in the mean; at one point the
// ripple may be 0.3 % of the jump that made it.
func TestMoreHeatWarmsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := small(t)
		r := mustRun(t, c)
		low, high := c.Start.Core, c.Faces.Side.Ambient[0].C
		ripple := 0.003 * (high - low)
		if !(r.Coldest > low-ripple && r.Hottest < high+ripple) {
			t.Fatalf("%.2f to %.2f °C, want %.2f to %.2f", float64(r.Coldest), float64(r.Hottest), float64(low), float64(high))
		}
		more := c
		switch rapid.IntRange(0, 2).Draw(t, "more") {
		case 0:
			more.Faces = All(1.3*c.Faces.Side.Film, c.Faces.Side.Ambient)
		case 1:
			more.Faces = All(c.Faces.Side.Film, Steady(c.Faces.Side.Ambient[0].C+5))
		default:
			more.ReportH = []float64{1.3 * c.ReportH[0]}
		}
		m := mustRun(t, more)
		if !(m.Mean > r.Mean-0.01 && m.Coldest > r.Coldest-ripple && float64(m.HMFMean) > 0.999*float64(r.HMFMean) && m.DiastaseMean < r.DiastaseMean+1e-4) {
			t.Fatalf("more heat: mean %.3f to %.3f, coldest %.3f to %.3f, HMF %.4g to %.4g", float64(r.Mean), float64(m.Mean), float64(r.Coldest), float64(m.Coldest),
				float64(r.HMFMean), float64(m.HMFMean))
		}
		if !(math.Abs(m.ClosureKJ) < 1e-5*m.StoredKJ) {
			t.Fatalf("%.3g of %.3g kJ not accounted for", m.ClosureKJ, m.StoredKJ)
		}
		if worst := max(r.DiastaseWorst-r.DiastaseMean, float64(r.HMFMean-r.HMFWorst), r.MoltenWorst-r.MoltenMean); worst > 1e-9 {
			t.Fatalf("a worst cell is %g better than the mean", worst)
		}
	})
}

// A body upside down warms the same, and a height that is known to be alike at both ends
// gives what a whole height gives. The tolerance is that of the steps.
func TestUpsideDown(t *testing.T) {
	c := reference("S5_drum_pallet_schedule")
	c.ReportH = []float64{6, 24, 66}
	d := c
	d.Faces.Top, d.Faces.Bottom = c.Faces.Bottom, c.Faces.Top
	a, b := mustRun(t, c), mustRun(t, d)
	if math.Abs(float64(a.Mean-b.Mean)) > 1e-6 || math.Abs(float64(a.TopAxis-b.BottomAxis)) > 1e-5 || math.Abs(float64(a.Centre-b.Centre)) > 1e-5 {
		t.Errorf("upside down: %+v\n%+v", a, b)
	}
	c = reference("S2_drum_liquid")
	c.ReportH = []float64{6, 24}
	d = c
	d.Faces.Bottom.Ambient = Program{{0, 50}, {1, 50}}
	a, b = mustRun(t, c), mustRun(t, d)
	if math.Abs(float64(a.Mean-b.Mean)) > 2e-3 || math.Abs(float64(a.TopAxis-b.TopAxis)) > 5e-3 || math.Abs(float64(a.Centre-b.Centre)) > 5e-3 {
		t.Errorf("half and whole: %+v\n%+v", a, b)
	}
}

// A box turned by a right angle warms the same; a box as large as a drum across warms
// like a drum within the share of its corners; and its middle is the product of three
// plates (exact theory; 0.01 K as everywhere).
func TestBox(t *testing.T) {
	c := reference("S1_drum_const")
	c.ReportH = []float64{6, 24, 48}
	c.Body = Crate(0.6, 0.4, 0.5)
	r, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	k, alpha := 0.54, 0.54/(1420*2300)
	for _, row := range r.Rows {
		core, mean := 1.0, 1.0
		for _, l := range []float64{0.3, 0.2, 0.25} {
			at, m := theta(t, Series{Plate, 8 * l / k}, alpha*row.Hour*3600/(l*l), 0)
			core, mean = core*at, mean*m
		}
		if math.Abs(float64(row.Centre)-(50-35*core)) > 0.01 || math.Abs(float64(row.Mean)-(50-35*mean)) > 0.01 {
			t.Errorf("%g h: centre %.4f, mean %.4f; want %.4f, %.4f", row.Hour, float64(row.Centre), float64(row.Mean), 50-35*core, 50-35*mean)
		}
	}
	c = reference("S3_drum_granulated")
	c.Body, c.ReportH = Crate(0.6, 0.4, 0.5), []float64{24}
	a := mustRun(t, c)
	c.Body = Crate(0.4, 0.6, 0.5)
	b := mustRun(t, c)
	if math.Abs(float64(a.Mean-b.Mean)) > 1e-4 || math.Abs(float64(a.Coldest-b.Coldest)) > 1e-3 {
		t.Errorf("turned: %.5f and %.5f", float64(a.Mean), float64(b.Mean))
	}
}

// The series of a plate and a long cylinder, at the middle, the face and in the mean, at
// any Biot number and from Fo = 0.02 on, through nodes and steps: within 3e-4 of the jump.
func TestSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := rapid.SampledFrom([]Shape{Plate, LongCylinder}).Draw(t, "shape")
		biot := math.Exp(rapid.Float64Range(math.Log(0.01), math.Log(500)).Draw(t, "ln Bi"))
		fourier := rapid.Float64Range(0.02, 2).Draw(t, "Fo")
		const half, k, rho, cp = 0.1, 0.5, 1400.0, 2300.0
		c := Case{Body: Body{Shape: shape, HeightM: 2 * half, DiameterM: 2 * half}, Honey: Fixed(), Start: Even(0),
			Faces: All(biot*k/half, Steady(100)), ReportH: []float64{fourier * half * half * rho * cp / k / 3600}}
		c.Honey.DensityKgM3, c.Honey.Conductivity, c.Honey.HeatCapacity = rho, Line{At0: k}, Line{At0: cp}
		r := mustRun(t, c)
		s := Series{shape, biot}
		core, mean, err := s.Theta(fourier, 0)
		if err != nil {
			t.Fatal(err)
		}
		face, _, err := s.Theta(fourier, 1)
		if err != nil {
			t.Fatal(err)
		}
		skin := r.TopAxis
		if shape == LongCylinder {
			skin = r.SideMid
		}
		for _, x := range [][2]float64{{float64(r.Centre), core}, {float64(skin), face}, {float64(r.Mean), mean}} {
			if math.Abs(x[0]/100-(1-x[1])) > 3e-4 {
				t.Fatalf("Bi %.3g, Fo %.3g: %.5f, want %.5f", biot, fourier, x[0]/100, 1-x[1])
			}
		}
	})
}

// Early on, a drum's skin is the face of a semi-infinite body; after 15 minutes the bend
// of the side still costs 1 % of the rise (√(αt)/R = 0.04).
func TestSemiInfinite(t *testing.T) {
	c := reference("S1_drum_const")
	c.ReportH = []float64{0.25}
	r := mustRun(t, c)
	want, err := SemiInfinite(0.54/(1420*2300), 8, 0.54, 0, 900)
	if err != nil {
		t.Fatal(err)
	}
	for _, got := range []quantity.Celsius{r.SideMid, r.TopAxis} {
		if got := float64(got-15) / 35; math.Abs(got/want-1) > 0.02 {
			t.Errorf("%.4f, want %.4f", got, want)
		}
	}
}

// A body that conducts far better than its film lets through is one stirred cell: the
// closed form, within Bi/2 of the rise.
func TestLumped(t *testing.T) {
	c := Case{Body: Drum(0.3, 0.3), Honey: Fixed(), Start: Even(15), Faces: All(10, Steady(55)), ReportH: []float64{2, 10}}
	c.Honey.Conductivity, c.Honey.HeatCapacity = Line{At0: 400}, Line{At0: 2300}
	area := math.Pi*0.3*0.3 + 2*math.Pi/4*0.09
	tank := StirredTank{MassKg: c.Body.VolumeM3(1420) * 1420, CpJKgK: 2300, JacketWK: 10 * area, JacketC: 55, StartC: 15}
	r, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	vessel := Case{Body: Vessel(tank.MassKg, area, 0), Honey: c.Honey, Start: c.Start, Faces: Faces{Side: Face{Film: 10, Ambient: Steady(55)}}, ReportH: c.ReportH}
	v, err := Run(vessel)
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range c.ReportH {
		want, err := tank.At(h)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(r.Rows[i].Mean)-want) > 40*10*0.15/400/2 {
			t.Errorf("%g h: %.4f, want %.4f", h, float64(r.Rows[i].Mean), want)
		}
		if math.Abs(float64(v.Rows[i].Mean)-want) > 0.002 {
			t.Errorf("vessel, %g h: %.4f, want %.4f", h, float64(v.Rows[i].Mean), want)
		}
	}
}

// The jacketed tank of the checks through the integrator, with its losses and a stirrer:
// within the steps' tolerance of the closed form.
func TestStirredTank(t *testing.T) {
	honey := Fixed()
	honey.HeatCapacity = Line{At0: 2300}
	c := Case{Body: Vessel(300, 1.2, 3), Honey: honey, Start: Even(15), ReportH: []float64{5},
		Faces: Faces{Side: Face{Film: 50, Ambient: Steady(55)}, Top: Face{Film: 1, Ambient: Steady(18)}}, Watch: []Target{{Mean: 45}}}
	r, err := Run(c)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(last(r).Mean)-45.846423) > 0.002 || math.Abs(r.MetH[0]-4.6701656) > 0.002 {
		t.Errorf("%.5f °C after 5 h, 45 °C after %.4f h; want 45.84642, 4.67017", float64(last(r).Mean), r.MetH[0])
	}
	c.Body.StirrerW = 200
	tank := StirredTank{MassKg: 300, CpJKgK: 2300, JacketWK: 60, LossWK: 3, JacketC: 55, OutsideC: 18, StartC: 15, StirrerW: 200}
	want, err := tank.At(5)
	if err != nil {
		t.Fatal(err)
	}
	row := mustRun(t, c)
	if math.Abs(float64(row.Mean)-want) > 0.002 || math.Abs(row.ClosureKJ) > 1e-5*row.StoredKJ {
		t.Errorf("with a stirrer %.4f °C, want %.4f; %g kJ not accounted for", float64(row.Mean), want, row.ClosureKJ)
	}
	plain := row.HMFWorst
	c.Body.JacketHi = 60
	if film := mustRun(t, c); !(film.HMFWorst > 1.5*plain) {
		t.Errorf("the film at the jacket's wall makes %.3f, the bulk %.3f", float64(film.HMFWorst), float64(plain))
	}
}
