package heat

import (
	"math"
	"strings"
	"testing"

	"combline/internal/quantity"
)

// What can't be is refused with its figure, never reckoned.
func TestCaseRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		why    string
		change func(*Case)
	}{
		{"diameter -1", func(c *Case) { c.Body.DiameterM = -1 }},
		{"height NaN", func(c *Case) { c.Body.HeightM = nan }},
		{"no shape", func(c *Case) { c.Body = Body{} }},
		{"length 0", func(c *Case) { c.Body = Crate(0, 1, 1) }},
		{"mass 0", func(c *Case) { c.Body = Vessel(0, 1, 1) }},
		{"film of the side -8", func(c *Case) { c.Faces.Side.Film = -8 }},
		{"film of the top NaN", func(c *Case) { c.Faces.Top.Film = nan }},
		{"ambient of the side is not given", func(c *Case) { c.Faces.Side.Ambient = nil }},
		{"300 °C", func(c *Case) { c.Faces.Bottom.Ambient = Steady(300) }},
		{"NaN °C", func(c *Case) { c.Faces.Bottom.Ambient = Steady(quantity.Celsius(nan)) }},
		{"goes back from 6 h to 5 h", func(c *Case) { c.Faces.Side.Ambient = Program{{0, 20}, {6, 50}, {5, 40}} }},
		{"three points", func(c *Case) { c.Faces.Side.Ambient = Program{{0, 20}, {6, 50}, {6, 40}, {6, 30}} }},
		{"hour in the ambient", func(c *Case) { c.Faces.Side.Ambient = Program{{nan, 20}} }},
		{"start 150", func(c *Case) { c.Start = Even(150) }},
		{"start NaN", func(c *Case) { c.Start = Even(quantity.Celsius(nan)) }},
		{"no hour", func(c *Case) { c.ReportH = nil }},
		{"rising order", func(c *Case) { c.ReportH = []float64{6, 5} }},
		{"hour to report at NaN", func(c *Case) { c.ReportH = []float64{nan} }},
		{"latent heat -1", func(c *Case) { c.Melt = &Melt{-1, 42, 5} }},
		{"melting width 0", func(c *Case) { c.Melt = &Melt{1, 42, 0} }},
		{"convection NaN", func(c *Case) { c.Convection = nan }},
		{"density 0", func(c *Case) { c.Honey.DensityKgM3 = 0 }},
		{"conductivity at", func(c *Case) { c.Honey.Conductivity = Line{0.5, -0.01} }},
		{"no power", func(c *Case) { c.Heater = &Heater{} }},
		{"power NaN", func(c *Case) { c.Heater = &Heater{PowerW: nan} }},
		{"ambient of the outside", func(c *Case) { c.Heater = &Heater{PowerW: 1, LossWK: 1} }},
		{"4 nodes", func(c *Case) { c.Nodes = 4 }},
		{"tolerance", func(c *Case) { c.Tolerance = nan }},
		{"convection is reckoned", func(c *Case) { c.Body.Shape, c.Convection = Plate, 1 }},
	} {
		x := reference("S2_drum_liquid")
		x.ReportH = []float64{6}
		c.change(&x)
		if r, err := Run(x); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%v, want a refusal with %q (%d rows)", err, c.why, len(r.Rows))
		}
	}
}

func TestPlanRefuses(t *testing.T) {
	for _, c := range []struct {
		why    string
		change func(*Plan)
	}{
		{"deadline passed 3 h ago", func(p *Plan) { p.DeadlineH = -3 }},
		{"deadline passed 0 h ago", func(p *Plan) { p.DeadlineH = 0 }},
		{"deadline NaN", func(p *Plan) { p.DeadlineH = math.NaN() }},
		{"no warmer than the 38 °C", func(p *Plan) { p.High = 30 }},
		{"highest set point 300", func(p *Plan) { p.High = 300 }},
		{"want a range", func(p *Plan) { p.Low = 61 }},
		{"no target", func(p *Plan) { p.Target = Target{} }},
		{"share molten 1", func(p *Plan) { p.Target.Molten = 1 }},
		{"9 set points", func(p *Plan) { p.Changes = 9 }},
		{"no face", func(p *Plan) {
			p.Case.Faces = All(8, Steady(15))
		}},
		{"no power", func(p *Plan) { p.Case.Heater = &Heater{} }},
		{"wants a heater", func(p *Plan) { p.MostHMF = 3 }},
		{"doubt of the film 0.5", func(p *Plan) { p.Doubt.Film = 0.5 }},
		{"step of the set points", func(p *Plan) { p.Step = -1 }},
	} {
		p := setDrum(t)
		c.change(&p)
		for name, ask := range map[string]func(Plan) error{
			"best":     func(p Plan) error { _, err := Best(p); return err },
			"earliest": func(p Plan) error { _, err := Earliest(p); return err },
			"latest":   func(p Plan) error { _, err := LatestStart(p, 50); return err },
		} {
			if err := ask(p); err == nil || !strings.Contains(err.Error(), c.why) {
				t.Errorf("%s: %v, want a refusal with %q", name, err, c.why)
			}
		}
	}
	if _, err := House(quantity.WaterPct(math.NaN()), Classical); err == nil || !strings.Contains(err.Error(), "not known") {
		t.Errorf("water not known: %v", err)
	}
	o := oc1()
	o.Centre = 54
	if _, err := o.Best(); err == nil || !strings.Contains(err.Error(), "more time or a warmer room") {
		t.Errorf("out of reach: %v", err)
	}
	o = oc1()
	o.Case.Melt = MeltOf(FineGrain, 0.1)
	if _, err := o.Best(); err == nil || !strings.Contains(err.Error(), "constant properties") {
		t.Errorf("grains: %v", err)
	}
}

// Honey that leaves its figures' range on the way is told with where and when.
func TestOutOfRange(t *testing.T) {
	p, err := House(17, Classical)
	if err != nil {
		t.Fatal(err)
	}
	c := Case{Body: Drum(0.3, 0.3), Honey: p, Start: Even(20), Faces: All(WaterBath, Steady(90)), ReportH: []float64{5}}
	if _, err := Run(c); err == nil || !strings.Contains(err.Error(), "from 2 to 71 °C") {
		t.Errorf("%v", err)
	}
}
