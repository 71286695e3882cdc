package reckon

import (
	"fmt"
	"math"

	"combline/internal/heat"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// heatCase turns the form into a case; what it leaves open is refused by name.
func (w *warmCase) heatCase(q *Query) (heat.Case, error) {
	c := heat.Case{ReportH: w.ReportH, Body: w.body()}
	if len(c.ReportH) > mostRows {
		return c, fmt.Errorf("report_h has %d hours, want %d at most", len(c.ReportH), mostRows)
	}
	for _, missing := range []struct {
		is   bool
		name string
	}{{w.StartC == nil, "start_c"}, {w.Film == nil, "film"}, {w.Ambient == nil, "ambient"}, {w.Properties == nil, "properties"}} {
		if missing.is {
			return c, fmt.Errorf("the case has no %s", missing.name)
		}
	}
	var err error
	if c.Honey, err = w.honey(q); err != nil {
		return c, err
	}
	c.Start = heat.Start{Core: quantity.Celsius(w.StartC.Core), Skin: quantity.Celsius(w.StartC.Skin)}
	if m := w.StartC.Mean; m != nil {
		c.Start.Mean, c.Start.HasMean = quantity.Celsius(*m), true
	}
	if m := w.Melt; m != nil {
		c.Melt = &heat.Melt{LatentJKg: m.LatentJKg, Centre: quantity.Celsius(m.CentreC), WidthK: m.WidthK}
	}
	if w.Convection != nil {
		c.Convection = float64(*w.Convection)
	}
	if c.Faces, err = w.faces(c.Body.Shape); err != nil {
		return c, err
	}
	return c, w.heat(&c)
}

// body tells the shape by which measures there are.
func (w *warmCase) body() heat.Body {
	switch {
	case w.MassKg != 0:
		b := heat.Vessel(w.MassKg, w.JacketM2, w.OtherM2)
		b.StirrerW, b.JacketHi = w.StirrerW, w.InsideWM2
		return b
	case w.DiameterM == 0 && (w.LengthM != 0 || w.WidthM != 0):
		return heat.Crate(w.LengthM, w.WidthM, w.HeightM)
	}
	return heat.Drum(w.DiameterM, w.HeightM)
}

func (w *warmCase) honey(q *Query) (heat.Properties, error) {
	p := heat.Fixed()
	var err error
	switch f := w.Properties; f.name {
	case "P1":
	case "house":
		p, err = w.house(q)
	case "":
		p, err = f.constants(p)
	default:
		return p, fmt.Errorf("properties %s are none of house, P1, or an object of constants", quoted(f.name))
	}
	if err != nil || w.Rate == nil {
		return p, err
	}
	if !(0.1 <= *w.Rate && *w.Rate <= 10) {
		return p, outOf("rate", *w.Rate, "0.1 to 10")
	}
	return p.Faster(*w.Rate), nil
}

func (w *warmCase) house(q *Query) (heat.Properties, error) {
	var water float64
	switch {
	case w.WaterPct != nil:
		water = *w.WaterPct
	case w.Assume:
		water = float64(heat.AssumedWater)
		q.note(fmt.Sprintf("the water is not known: %g %% was taken, as the case allows", water))
	default:
		return heat.Properties{}, fmt.Errorf("the case has no water_pct: give it, or agree to reckon with %g %% by \"assume_water\": true", float64(heat.AssumedWater))
	}
	school := heat.Classical
	switch w.School {
	case "", "classical":
	case "additive":
		school = heat.Additive
	default:
		return heat.Properties{}, fmt.Errorf("school %s is none of classical, additive", quoted(w.School))
	}
	return heat.House(quantity.WaterPct(water), school)
}

// constants are the reader's own: k and cp at 20 °C, perhaps with slopes.
func (f *propertiesForm) constants(p heat.Properties) (heat.Properties, error) {
	k, err := either("k", f.K, "w_m_k", f.WMK)
	if err != nil {
		return p, err
	}
	rho, err := either("rho", f.Rho, "density_kg_m3", f.Density)
	if err != nil {
		return p, err
	}
	cp, err := either("cp", f.Cp, "j_kg_k", f.JKgK)
	if err != nil {
		return p, err
	}
	p.DensityKgM3 = rho
	p.Conductivity = heat.Line{At0: k - 20*f.KPerC, PerC: f.KPerC}
	p.HeatCapacity = heat.Line{At0: cp - 20*f.CpPerC, PerC: f.CpPerC}
	law := func(l *honey.Arrhenius, perH, energy *float64) error {
		if perH == nil && energy == nil {
			return nil
		}
		if perH == nil || energy == nil || !(*perH >= 0 && *perH <= 1e4) || !(*energy >= 0 && *energy <= 5e5) {
			return fmt.Errorf("a rate wants both its figure per hour at 40 °C, 0 to 10000, and its J/mol, 0 to 500000")
		}
		*l = heat.RateAt40(*perH, *energy)
		return nil
	}
	if err := law(&p.HMF, f.HMFPerH, f.HMFJMol); err != nil {
		return p, err
	}
	return p, law(&p.Diastase, f.DiaPerH, f.DiaJMol)
}

// either is the one of two names for a figure that is given.
func either(nameA string, a *float64, nameB string, b *float64) (float64, error) {
	switch {
	case a != nil && b == nil:
		return *a, nil
	case b != nil && a == nil:
		return *b, nil
	case a != nil:
		return 0, fmt.Errorf("properties have both %s and %s: they are one figure", nameA, nameB)
	}
	return 0, fmt.Errorf("properties have no %s (or %s); they want k in W/(m·K), rho in kg/m³ and cp in J/(kg·K), or are one of \"house\", \"P1\"", nameA, nameB)
}

func (w *warmCase) faces(shape heat.Shape) (heat.Faces, error) {
	film := [3]float64{w.Film.Side, w.Film.Bottom, w.Film.Top}
	if shape == heat.Stirred && math.IsNaN(film[1]) {
		film[1] = 0
	}
	for i, name := range [3]string{"side", "bottom", "top"} {
		if math.IsNaN(film[i]) {
			return heat.Faces{}, fmt.Errorf("film has no %s; 0 lets nothing through", name)
		}
		if len(w.Wall) == 0 || film[i] == 0 {
			continue
		}
		var walls []heat.Layer
		for _, l := range w.Wall {
			walls = append(walls, heat.Layer(l))
		}
		through, err := heat.Through(film[i], walls...)
		if err != nil {
			return heat.Faces{}, err
		}
		film[i] = through
	}
	face := func(i int, p programForm) heat.Face { return heat.Face{Film: film[i], Ambient: heat.Program(p)} }
	return heat.Faces{Side: face(0, w.Ambient.Side), Bottom: face(1, w.Ambient.Bottom), Top: face(2, w.Ambient.Top)}, nil
}

// heat puts the heater behind its faces.
func (w *warmCase) heat(c *heat.Case) error {
	h := w.Heater
	if h == nil {
		return nil
	}
	c.Heater = &heat.Heater{PowerW: h.PowerW, LossWK: h.LossWK, Outside: heat.Program(h.Outside), Bodies: h.Bodies}
	faces := map[string]*heat.Face{"side": &c.Faces.Side, "bottom": &c.Faces.Bottom, "top": &c.Faces.Top}
	heated := h.Faces
	if len(heated) == 0 {
		heated = []string{"side", "bottom", "top"}
	}
	for _, name := range heated {
		f, ok := faces[name]
		if !ok {
			return fmt.Errorf("the heater's face %s is none of side, bottom, top", quoted(name))
		}
		f.Heated = true
	}
	return nil
}
