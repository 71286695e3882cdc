package reckon

import (
	"fmt"

	"combline/internal/heat"
	"combline/internal/quantity"
)

const bySource = "Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 3 and 5 (from memory)"

// warmTankSubject is the jacketed tank in closed form.
func warmTankSubject() Subject {
	deg := func(name, help string) Input { return number(name, quantity.DegC, help) }
	each := func(name, help string) Input { return number(name, quantity.Each, help) }
	return Subject{Name: "warm-tank", Help: "how a stirred tank warms by its jacket and loses heat around",
		Range: "1 g to 100 t, −40 to 100 °C", Doubt: "exact for constant figures; a jacket's own figure is good to ×/÷ 1.5", Source: "energy balance; " + bySource,
		Caution: heaterCaution + ". The film at the jacket's wall is warmer than the honey: it makes the HMF",
		Example: "--mass-kg 300 --jacket-w-k 60 --loss-w-k 3 --jacket-c 55 --outside-c 18 --start-c 15 --hours 5 --until-c 45 --cp-kj-kg-k 2.3",
		Inputs: []Input{number("mass_kg", quantity.KgUnit, "honey in it"), each("jacket_w_k", "what the jacket brings for each kelvin, W/K (UA)"),
			each("loss_w_k", "what it loses around for each kelvin, W/K; left out: 0").optional(), deg("jacket_c", "temperature of the jacket"),
			deg("outside_c", "temperature around; needed where it loses heat").optional(), deg("start_c", "temperature now"),
			number("hours", quantity.Hour, "hours from now").either(), deg("until_c", "temperature to reach").either(),
			each("cp_kj_kg_k", "specific heat, kJ/(kg·K); left out: 2.26").optional(), each("stirrer_w", "power of the stirrer that stays in the honey, W").optional()},
		Answers: []Answer{gives("temp_c", "°C", 4, "temperature after those hours"), gives("until_h", "h", 4, "hours until that temperature"),
			gives("level_c", "°C", 4, "what it comes to in the end"), gives("time_constant_h", "h", 3, "hours for 63 % of the way")}, answer: warmTank}
}

func warmTank(q *Query) error {
	s := heat.StirredTank{MassKg: q.num("mass_kg"), CpJKgK: 1000 * q.numOr("cp_kj_kg_k", 2.26), JacketWK: q.num("jacket_w_k"), LossWK: q.numOr("loss_w_k", 0),
		JacketC: q.num("jacket_c"), StartC: q.num("start_c"), StirrerW: q.numOr("stirrer_w", 0)}
	switch {
	case q.has("outside_c"):
		s.OutsideC = q.num("outside_c")
	case s.LossWK != 0:
		return fmt.Errorf("outside_c is not given, but the tank loses %g W/K", s.LossWK)
	}
	level, tau, err := s.Level()
	if err != nil {
		return err
	}
	q.put("level_c", level)
	q.put("time_constant_h", tau)
	if q.has("hours") {
		t, err := s.At(q.num("hours"))
		if err != nil {
			return err
		}
		q.put("temp_c", t)
	}
	if q.has("until_c") {
		h, err := s.Until(q.num("until_c"))
		if err != nil {
			return err
		}
		q.put("until_h", h)
	}
	return nil
}

// warmSeriesSubject is the classical series.
func warmSeriesSubject() Subject {
	each := func(name, help string) Input { return number(name, quantity.Each, help) }
	return Subject{Name: "warm-series", Help: "the classical series of a plate or a long cylinder whose surroundings jump",
		Range: "Biot 0.0001 to 100000, Fourier 0.0001 and more", Doubt: "exact: 200 terms", Source: bySource,
		Example: "--shape cylinder --biot 1 --fourier 0.2 --place 0",
		Inputs: []Input{word("shape", "the body", "plate", "cylinder"), each("biot", "h·L/k, L half the thickness or the radius"),
			each("fourier", "α·t/L²"), each("place", "0 in the middle to 1 at the face; left out: 0").optional()},
		Answers: []Answer{gives("root", "", 8, "the first root ζ"), gives("factor", "", 8, "its factor C"),
			gives("theta", "", 8, "(T − T∞)/(T0 − T∞) at the place"), gives("theta_mean", "", 8, "the mean over the body"),
			gives("theta_one_term", "", 8, "the place by the first term alone, good from Fourier 0.2 on")}, answer: warmSeries}
}

func warmSeries(q *Query) error {
	s := heat.Series{Shape: heat.Plate, Biot: q.num("biot")}
	if q.word("shape") == "cylinder" {
		s.Shape = heat.LongCylinder
	}
	fourier, place := q.num("fourier"), q.numOr("place", 0)
	at, mean, err := s.Theta(fourier, place)
	if err != nil {
		return err
	}
	q.put("root", s.Root(1))
	q.put("factor", s.Factor(s.Root(1)))
	q.put("theta", at)
	q.put("theta_mean", mean)
	q.put("theta_one_term", s.FirstTerm(fourier, place))
	return nil
}

// warmFiguresSubject tells the figures that a warming case is reckoned with.
func warmFiguresSubject() Subject {
	deg := func(name, help string) Input { return number(name, quantity.DegC, help) }
	return Subject{Name: "warm-figures", Help: "the figures of honey that warm reckons with, and how it stirs itself",
		Range: "house: 15 to 21 % water, 2 to 71 °C; p1: −20 to 100 °C", Doubt: warmDoubt, Source: warmSource,
		Example: "--properties house --water-pct 17 --temp-c 30 --wall-c 40 --radius-m 0.285",
		Inputs: []Input{word("properties", "whose figures: house, p1", "house", "p1"), deg("temp_c", "temperature of the honey"),
			waterPct().optional(), word("school", "of conductivity: classical, additive; left out: classical", "classical", "additive").optional(),
			deg("wall_c", "mean temperature of the wall, for its own stirring").optional(), number("radius_m", quantity.Metre, "radius, for its own stirring").optional()},
		Answers: []Answer{gives("density_kg_m3", "kg/m³", 5, "density that is reckoned with at every temperature"), gives("w_m_k", "W/(m·K)", 4, "conductivity"),
			gives("j_kg_k", "J/(kg·K)", 5, "specific heat"), gives("viscosity_pa_s", "Pa·s", 4, "viscosity"),
			gives("hmf_mg_kg_h", "mg/kg/h", 4, "HMF an hour"), gives("diastase_per_h", "1/h", 4, "share of diastase lost an hour"), gives("invertase_per_h", "1/h", 4, "share of invertase lost an hour"),
			gives("rayleigh", "", 4, "how hard the wall drives it round"), gives("nusselt", "", 4, "by how many times that helps conduction")}, answer: warmFigures}
}

func warmFigures(q *Query) error {
	p := heat.Fixed()
	if q.word("properties") == "house" {
		if !q.has("water_pct") {
			return fmt.Errorf("water_pct is not given; the house's figures want it")
		}
		school := heat.Classical
		if q.word("school") == "additive" {
			school = heat.Additive
		}
		var err error
		if p, err = heat.House(q.water(), school); err != nil {
			return err
		}
	}
	t := q.temp()
	if !(p.Low <= t && t <= p.High) {
		return outOf("temp_c", float64(t), fmt.Sprintf("%g to %g", float64(p.Low), float64(p.High)))
	}
	q.put("density_kg_m3", p.DensityKgM3)
	q.put("w_m_k", p.Conductivity.At(float64(t)))
	q.put("j_kg_k", p.HeatCapacity.At(float64(t)))
	q.put("viscosity_pa_s", float64(p.Viscosity(t)))
	q.put("hmf_mg_kg_h", p.HMF.AtC(t)/24)
	q.put("diastase_per_h", p.Diastase.AtC(t)/24)
	q.put("invertase_per_h", p.Invertase.AtC(t)/24)
	if !q.has("wall_c") || !q.has("radius_m") {
		return nil
	}
	wall, radius := quantity.Celsius(q.num("wall_c")), q.num("radius_m")
	if !(p.Low <= wall && wall <= p.High) || !(0 < radius && radius <= 10) {
		return fmt.Errorf("wall_c %g, want %g to %g; radius_m %g, want above 0 to 10", float64(wall), float64(p.Low), float64(p.High), radius)
	}
	q.put("rayleigh", p.Rayleigh(wall, t, radius))
	q.put("nusselt", p.Nusselt(wall, t, radius))
	return nil
}

// filmSubject puts walls into a film.
func filmSubject() Subject {
	each := func(name, help string) Input { return number(name, quantity.Each, help).optional() }
	return Subject{Name: "film", Help: "the film of a face with its wall in series, and the heat that it lets through",
		Range: "films to 20000 W/(m²·K), walls to 1 m", Doubt: "exact for plane walls; films themselves are good to ×/÷ 1.5", Source: bySource,
		Example: "--outside-w-m2-k 8 --inside-w-m2-k 50 --thick-m 0.002 --wall-w-m-k 16 --second-m 0.05 --second-w-m-k 0.035 --area-m2 4.2 --warmer-k 30",
		Inputs: []Input{number("outside_w_m2_k", quantity.Each, "film outside, W/(m²·K): 5 to 10 still air, 10 to 25 fan, 100 to 500 water"), each("inside_w_m2_k", "film inside; left out: none"),
			number("thick_m", quantity.Metre, "wall").optional(), each("wall_w_m_k", "its conductivity, W/(m·K)"),
			number("second_m", quantity.Metre, "a second layer").optional(), each("second_w_m_k", "its conductivity, W/(m·K)"),
			each("area_m2", "face, m²"), each("warmer_k", "by how many kelvin one side is warmer")},
		Answers: []Answer{gives("film_w_m2_k", "W/(m²·K)", 4, "all of it in series"), gives("heat_w", "W", 4, "what passes")}, answer: film}
}

func film(q *Query) error {
	var walls []heat.Layer
	for _, x := range [][2]string{{"thick_m", "wall_w_m_k"}, {"second_m", "second_w_m_k"}} {
		if q.has(x[0]) != q.has(x[1]) {
			return fmt.Errorf("%s and %s go together", x[0], x[1])
		}
		if q.has(x[0]) {
			walls = append(walls, heat.Layer{ThickM: q.num(x[0]), WMK: q.num(x[1])})
		}
	}
	if q.has("inside_w_m2_k") { // a film is a wall of one metre
		walls = append(walls, heat.Layer{ThickM: 1, WMK: q.num("inside_w_m2_k")})
	}
	h, err := heat.Through(q.num("outside_w_m2_k"), walls...)
	if err != nil {
		return err
	}
	q.put("film_w_m2_k", h)
	if q.has("area_m2") && q.has("warmer_k") {
		area, warmer := q.num("area_m2"), q.num("warmer_k")
		if !(0 < area && area <= 1e6) || !(-1000 <= warmer && warmer <= 1000) {
			return fmt.Errorf("area_m2 %g, want above 0 to 1000000; warmer_k %g, want -1000 to 1000", area, warmer)
		}
		q.put("heat_w", h*area*warmer)
	}
	return nil
}
