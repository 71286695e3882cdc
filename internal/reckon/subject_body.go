package reckon

import (
	"combline/internal/honey"
	"combline/internal/quantity"
)

// bodySubjects are what honey is at a temperature and water content.
func bodySubjects() []Subject {
	return []Subject{
		{Name: "density", Help: "density of clear liquid honey", Model: "density",
			Caution: "air and crystals are not in it: a tank of froth weighs less than it looks",
			Example: "--water-pct 17 --temp-c 40",
			Inputs:  []Input{waterPct(), tempC()},
			Answers: []Answer{gives("density_kg_m3", "kg/m³", 5, "kg in a cubic metre")}, answer: density},
		{Name: "gravity", Help: "specific gravity, and pounds to the US gallon, at 20 °C", Model: "density",
			Range: "13 to 21 %, at 20 °C", Doubt: "0.024 % of the table",
			Example: "--water-pct 18.6",
			Inputs:  []Input{waterPct()},
			Answers: []Answer{gives("specific_gravity", "", 5, "density at 20 °C over water's at 20 °C"),
				gives("lb_per_gallon", "lb", 4, "pounds in a US gallon at 20 °C")}, answer: gravity},
		{Name: "viscosity", Help: "how thick clear liquid honey is", Model: "viscosity",
			Caution: "not for heather types, which set to a jelly, nor for granulated honey",
			Example: "--water-pct 17 --temp-c 35",
			Inputs:  []Input{waterPct(), tempC(), number("factor", quantity.Each, "the lot's own factor, from viscosity-factor; left out: 1").optional()},
			Answers: []Answer{gives("viscosity_pa_s", "Pa·s", 3, "dynamic viscosity")}, answer: viscosity},
		{Name: "viscosity-factor", Help: "a lot's own factor from one measured viscosity", Model: "viscosity",
			Example: "--measured-pa-s 3 --water-pct 17 --temp-c 35",
			Inputs:  []Input{number("measured_pa_s", quantity.Each, "measured viscosity, Pa·s"), waterPct(), tempC()},
			Answers: []Answer{gives("factor", "", 3, "measured over reckoned")}, answer: viscosityFactor},
		{Name: "heat-capacity", Help: "heat to warm a kilogram by a degree", Model: "heat-capacity",
			Caution: "melting crystals takes heat besides: see melting-heat",
			Example: "--water-pct 17 --temp-c 30",
			Inputs:  []Input{waterPct(), tempC()},
			Answers: []Answer{gives("kj_kg_k", "kJ/(kg·K)", 3, "specific heat")}, answer: heatCapacity},
		{Name: "conductivity", Help: "thermal conductivity, by both schools", Model: "conductivity",
			Caution: "for warming up reckon with both and plan by the slower, the low one",
			Example: "--water-pct 17 --temp-c 30",
			Inputs:  []Input{waterPct(), tempC()},
			Answers: []Answer{gives("w_m_k", "W/(m·K)", 3, "by the classical table"),
				gives("w_m_k_low", "W/(m·K)", 3, "by the low school")}, answer: conductivity},
		{Name: "diffusivity", Help: "how fast warmth spreads in honey", Model: "conductivity",
			Example: "--water-pct 17 --temp-c 30",
			Inputs:  []Input{waterPct(), tempC()},
			Answers: []Answer{gives("mm2_s", "mm²/s", 3, "with the classical conductivity"),
				gives("mm2_s_low", "mm²/s", 3, "with the low one")}, answer: diffusivity},
		{Name: "melting-heat", Help: "extra heat that melting the crystals takes", Model: "heat-capacity",
			Range: "crystals 0 to 40 %", Doubt: "heat of solution of glucose monohydrate from a handbook, from memory",
			Example: "--crystals-pct 12",
			Inputs:  []Input{crystalsPct()},
			Answers: []Answer{gives("kj_kg", "kJ/kg", 3, "heat for a kilogram of honey")}, answer: meltingHeat},
	}
}

func crystalsPct() Input {
	return number("crystals_pct", quantity.Pct, "crystals of glucose monohydrate, % of mass")
}

func density(q *Query) error {
	b, err := honey.DensityBand(q.temp(), q.water())
	if err != nil {
		return err
	}
	q.put("density_kg_m3", float64(b.Likely))
	q.between("density_kg_m3", float64(b.Low), float64(b.High))
	return nil
}

func gravity(q *Query) error {
	g, err := honey.SpecificGravity(q.water())
	if err != nil {
		return err
	}
	d, err := honey.Density(20, q.water())
	if err != nil {
		return err
	}
	q.put("specific_gravity", g)
	q.put("lb_per_gallon", honey.PoundsPerGallon(d))
	return nil
}

func viscosity(q *Query) error {
	spread := honey.ViscositySpread
	if q.has("factor") {
		spread = honey.ViscosityLotSpread
	}
	b, err := honey.ViscosityBand(q.temp(), q.water(), q.numOr("factor", 1), spread)
	if err != nil {
		return err
	}
	q.put("viscosity_pa_s", float64(b.Likely))
	q.between("viscosity_pa_s", float64(b.Low), float64(b.High))
	return nil
}

func viscosityFactor(q *Query) error {
	f, err := honey.ViscosityFactor(quantity.PaS(q.num("measured_pa_s")), q.temp(), q.water())
	if err != nil {
		return err
	}
	q.put("factor", f)
	return nil
}

func heatCapacity(q *Query) error {
	b, err := honey.HeatCapacity(q.temp(), q.water())
	if err != nil {
		return err
	}
	q.put("kj_kg_k", float64(b.Likely))
	q.between("kj_kg_k", float64(b.Low), float64(b.High))
	return nil
}

func conductivity(q *Query) error {
	k, err := honey.Conductivity(q.temp(), q.water())
	if err != nil {
		return err
	}
	q.put("w_m_k", float64(k.Classical))
	q.put("w_m_k_low", float64(k.Low))
	return nil
}

func diffusivity(q *Query) error {
	k, err := honey.Conductivity(q.temp(), q.water())
	if err != nil {
		return err
	}
	for _, school := range []struct {
		name string
		k    quantity.WMK
	}{{"mm2_s", k.Classical}, {"mm2_s_low", k.Low}} {
		d, err := honey.Diffusivity(school.k, q.temp(), q.water())
		if err != nil {
			return err
		}
		q.put(school.name, d*1e6)
	}
	return nil
}

func meltingHeat(q *Query) error {
	h, err := honey.MeltingHeat(quantity.Percent(q.num("crystals_pct")))
	if err != nil {
		return err
	}
	q.put("kj_kg", h)
	return nil
}
