package reckon

import (
	"fmt"
	"math"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// flowSubjects are how honey dries in the comb, leaves it, and runs and clears.
func flowSubjects() []Subject {
	return []Subject{roomAirSubject(), combDrySubject(), combFitSubject(), dryingAirSubject(), waterOffSubject(), combHeatSubject(),
		fieldSubject(), spinSubject(), extractorRateSubject(), tankBankSubject(), lineSubject(), twoStationsSubject(), sequenceSubject(), lineUseSubject(),
		settleSubject(), stillInSubject(), strainerPlateSubject(), strainerClothSubject(), cloggedSubject(), pumpSubject(), drainSubject(), wallFilmSubject(),
		softSetSubject(), winterStoresSubject(), sugarStoresSubject(), ownFactorSubject()}
}

func each(name, help string) Input { return number(name, quantity.Each, help) }

func metres(name, help string) Input { return number(name, quantity.Metre, help) }

func millimetres(name, help string) Input { return number(name, quantity.MM, help) }

func rhPct() Input { return number("rh_pct", quantity.Pct, "relative humidity of the room's air, %") }

// ofLiquid are the figures of the honey that moves, behind the subject's own.
func ofLiquid(own ...Input) []Input {
	return append(own,
		word("properties", "whose density and viscosity: house, p1 (the fixed set of the published checks); left out: house", "house", "p1").optional(),
		each("viscosity_pa_s", "a viscosity of its own, Pa·s; left out: that of water_pct and temp_c").optional(),
		number("density_kg_m3", quantity.Each, "a density of its own, kg/m³; left out: that of water_pct and temp_c").optional())
}

// liquid is the honey that was asked for; told is whether its viscosity is a model's.
func (q *Query) liquid() (l flow.Liquid, told bool, err error) {
	told = !q.has("viscosity_pa_s")
	if told || !q.has("density_kg_m3") {
		if q.word("properties") == "p1" {
			l, err = flow.Fixed(q.temp(), q.water())
		} else {
			l, err = flow.House(q.temp(), q.water())
		}
	}
	if !told {
		l.ViscosityPaS = q.num("viscosity_pa_s")
	}
	if q.has("density_kg_m3") {
		l.DensityKgM3 = q.num("density_kg_m3")
	}
	return l, told, err
}

// thick tells the band that honeys' viscosities leave to a figure that goes with it
// (power 1) or against it (power −1).
func (q *Query) thick(name string, x float64, told bool) {
	if told {
		q.between(name, x/honey.ViscositySpread, x*honey.ViscositySpread)
	}
}

// thickRoot is the same for a figure that goes with the viscosity's root.
func (q *Query) thickRoot(name string, x float64, told bool) {
	if root := math.Sqrt(honey.ViscositySpread); told {
		q.between(name, x/root, x*root)
	}
}

func (q *Query) kind() flow.Riser {
	switch q.word("kind") {
	case "wax":
		return flow.WaxSpeck
	case "mobile-bubble":
		return flow.MobileBubble
	}
	return flow.Bubble
}

func kindInput() Input {
	return word("kind", "what rises: bubble, mobile-bubble, wax; the surface of a mobile bubble moves, which makes it the fastest; left out: bubble", "bubble", "mobile-bubble", "wax").optional()
}

const stillHoney = "warmth that stirs the tank mixes again what is under 0.3 mm: insulate it, warm it evenly, from the top if anything"

func settleSubject() Subject {
	return Subject{Name: "settle", Help: "how fast a bubble or speck of wax rises in a settling tank, and after how long the tank is clear of it", Model: "settle", Caution: stillHoney,
		Example: "--diameter-mm 0.2 --water-pct 16 --temp-c 35 --depth-m 1.1 --kind bubble",
		Inputs: ofLiquid(millimetres("diameter_mm", "diameter of the bubble or speck, mm"), waterPct(), tempC(), metres("depth_m", "depth of the honey, m"), kindInput(),
			number("hours", quantity.Hour, "hours that it has stood; for cut_mm").optional(), number("honey_kg", quantity.KgUnit, "honey in the tank, for the skim").optional()),
		Answers: []Answer{gives("speed_m_day", "m/d", 4, "how fast it rises"), gives("days", "d", 4, "until the last of that size is up"), gives("hours_clear", "h", 4, "the same in hours"),
			gives("cut_mm", "mm", 3, "smallest that is wholly up after those hours"),
			gives("skim_kg", "kg", 3, "foam and wax to take off the top, 0.5 to 1.5 %")}, answer: settle}
}

func settle(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	d, depth := q.num("diameter_mm")/1000, q.num("depth_m")
	v, err := flow.Rise(l, q.kind(), d)
	if err != nil {
		return err
	}
	h, err := flow.ClearHours(l, q.kind(), d, depth)
	if err != nil {
		return err
	}
	for name, x := range map[string]float64{"speed_m_day": v * 86400, "days": h / 24, "hours_clear": h} {
		q.put(name, x)
		q.thick(name, x, told)
	}
	if q.has("hours") {
		cut, err := flow.CutSize(l, q.kind(), depth, q.num("hours"))
		if err != nil {
			return err
		}
		q.put("cut_mm", 1000*cut)
		q.thickRoot("cut_mm", 1000*cut, told)
	}
	if q.has("honey_kg") {
		skim, err := flow.Skim(q.num("honey_kg"))
		if err != nil {
			return err
		}
		q.put("skim_kg", skim.Likely)
		q.between("skim_kg", skim.Low, skim.High)
	}
	return nil
}

func stillInSubject() Subject {
	return Subject{Name: "still-in", Help: "what share of bubbles or wax is still in a tank after some hours", Model: "still-in", Caution: stillHoney,
		Example: "--median-mm 0.3 --spread 2 --water-pct 17 --temp-c 35 --depth-m 1 --hours 12 --properties p1",
		Inputs: ofLiquid(millimetres("median_mm", "half of their volume is in smaller ones, mm"), each("spread", "geometric standard deviation of the sizes, above 1"), waterPct(), tempC(),
			metres("depth_m", "depth of the honey, m"), number("hours", quantity.Hour, "hours that it has stood"), kindInput()),
		Answers: []Answer{gives("left_share", "", 4, "share of their volume that is still in"), gives("cut_mm", "mm", 3, "smallest that is wholly up")}, answer: stillIn}
}

func stillIn(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	left := func(thicker float64) (float64, error) {
		return flow.StillIn(flow.Liquid{DensityKgM3: l.DensityKgM3, ViscosityPaS: l.ViscosityPaS * thicker}, q.kind(),
			flow.Sizes{MedianM: q.num("median_mm") / 1000, Spread: q.num("spread")}, q.num("depth_m"), q.num("hours"))
	}
	share, err := left(1)
	if err != nil {
		return err
	}
	q.put("left_share", share)
	if told {
		low, lowErr := left(1 / honey.ViscositySpread)
		high, highErr := left(honey.ViscositySpread)
		if lowErr == nil && highErr == nil {
			q.between("left_share", low, high)
		}
	}
	if q.num("hours") > 0 {
		cut, err := flow.CutSize(l, q.kind(), q.num("depth_m"), q.num("hours"))
		if err != nil {
			return err
		}
		q.put("cut_mm", 1000*cut)
		q.thickRoot("cut_mm", 1000*cut, told)
	}
	return nil
}

func strainerPlateSubject() Subject {
	return Subject{Name: "strainer-plate", Help: "the pressure that a plate with round holes takes", Model: "strain",
		Example: "--speed-mm-s 0.2 --pitch-mm 2 --hole-mm 1 --plate-mm 0.5 --water-pct 17 --temp-c 35",
		Inputs: ofLiquid(each("speed_mm_s", "speed of the honey before the plate, mm/s"), millimetres("pitch_mm", "from hole to hole, mm"), millimetres("hole_mm", "width of a hole, mm"),
			millimetres("plate_mm", "thickness of the plate, mm"), waterPct(), tempC()),
		Answers: []Answer{gives("drop_pa", "Pa", 4, "pressure drop of the clean plate")}, answer: strainerPlate}
}

func strainerPlate(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	p, err := flow.Perforated(l, q.num("speed_mm_s")/1000, q.num("pitch_mm")/1000, q.num("hole_mm")/2000, q.num("plate_mm")/1000)
	if err != nil {
		return err
	}
	q.put("drop_pa", p)
	q.thick("drop_pa", p, told)
	return nil
}

func strainerClothSubject() Subject {
	return Subject{Name: "strainer-cloth", Help: "the pressure that woven wire cloth takes", Model: "strain",
		Caution: "cloth finer than about 0.1 mm begins to take pollen out, which is restricted in the European Union",
		Example: "--speed-mm-s 1 --wire-mm 0.2 --opening-mm 0.4 --water-pct 17 --temp-c 35",
		Inputs:  ofLiquid(each("speed_mm_s", "speed of the honey before the cloth, mm/s"), millimetres("wire_mm", "wire, mm"), millimetres("opening_mm", "opening, mm"), waterPct(), tempC()),
		Answers: []Answer{gives("void_share", "", 5, "open share of the cloth's volume"), gives("drop_pa", "Pa", 4, "pressure drop of the clean cloth")}, answer: strainerCloth}
}

func strainerCloth(q *Query) error {
	l, _, err := q.liquid()
	if err != nil {
		return err
	}
	w := flow.Weave{WireM: q.num("wire_mm") / 1000, OpeningM: q.num("opening_mm") / 1000}
	void, err := w.Void()
	if err != nil {
		return err
	}
	p, err := flow.Woven(l, w, q.num("speed_mm_s")/1000)
	if err != nil {
		return err
	}
	q.put("void_share", void)
	q.put("drop_pa", p)
	q.between("drop_pa", p/1.4, p*1.4) // cloth 30 %, honeys 25 %, in quadrature
	return nil
}

func cloggedSubject() Subject {
	return Subject{Name: "strainer-covered", Help: "how far a strainer is covered, from its pressure clean and now", Model: "strain",
		Example: "--clean-pa 500 --now-pa 8000",
		Inputs: []Input{each("clean_pa", "pressure drop when it was clean, Pa"), each("now_pa", "pressure drop now, Pa").either(),
			number("covered_pct", quantity.Pct, "share covered, %").either()},
		Answers: []Answer{gives("covered_pct_now", "%", 3, "share covered"), gives("drop_pa", "Pa", 4, "pressure drop with covered_pct covered")}, answer: clogged}
}

func clogged(q *Query) error {
	if q.has("now_pa") {
		s, err := flow.CoveredAt(q.num("clean_pa"), q.num("now_pa"))
		if err != nil {
			return err
		}
		q.put("covered_pct_now", 100*s)
	}
	if q.has("covered_pct") {
		p, err := flow.Clogged(q.num("clean_pa"), q.num("covered_pct")/100)
		if err != nil {
			return err
		}
		q.put("drop_pa", p)
	}
	return nil
}

func pumpSubject() Subject {
	return Subject{Name: "pump", Help: "what it takes to pump honey through a pipe, warm and from cold", Model: "pipe",
		Caution: "a pump that whips air in makes weeks of foam: run it slowly, never dry; a cold line may burst a hose before it moves",
		Example: "--flow-kg-h 600 --pipe-mm 50 --long-m 6 --rise-m 2 --efficiency-pct 45 --water-pct 17 --temp-c 35 --cold-c 15",
		Inputs: ofLiquid(each("flow_kg_h", "kg an hour"), millimetres("pipe_mm", "inner width of the pipe, mm"), metres("long_m", "length of the pipe, m"),
			metres("rise_m", "how much higher its end is, m; left out: 0").optional(), count("fittings", "bends and valves; left out: 0").optional(),
			number("efficiency_pct", quantity.Pct, "of the pump; left out: 45 %").optional(), waterPct(), tempC(), number("cold_c", quantity.DegC, "temperature of a line that stands cold, °C").optional()),
		Answers: []Answer{gives("drop_bar", "bar", 4, "pressure drop of pipe and fittings"), gives("in_all_bar", "bar", 4, "with the rise"), gives("reynolds", "", 3, "under 2,100: creeps"),
			gives("shear_per_s", "1/s", 4, "shear at the wall"), gives("power_w", "W", 4, "at the pump's shaft"), gives("warms_k", "K", 3, "by how much the honey's own friction warms it"),
			gives("cold_times", "", 3, "by how many times the pressure is higher when the line is cold"), gives("cold_bar", "bar", 3, "the drop then, at that flow")}, answer: pump}
}

func pump(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	heat, err := honey.HeatCapacity(q.temp(), q.water())
	if err != nil {
		return err
	}
	f, err := flow.Pump(l, q.num("flow_kg_h"), flow.Pipe{DiameterM: q.num("pipe_mm") / 1000, LongM: q.num("long_m"), RiseM: q.numOr("rise_m", 0), Fittings: int(q.numOr("fittings", 0))},
		q.numOr("efficiency_pct", 45)/100, 1000*float64(heat.Likely))
	if err != nil {
		return err
	}
	q.put("drop_bar", f.DropPa/1e5)
	q.thick("drop_bar", f.DropPa/1e5, told)
	q.put("in_all_bar", (f.DropPa+f.LiftPa)/1e5)
	if told {
		q.between("in_all_bar", (f.DropPa/honey.ViscositySpread+f.LiftPa)/1e5, (f.DropPa*honey.ViscositySpread+f.LiftPa)/1e5)
	}
	q.put("reynolds", f.Reynolds)
	q.put("shear_per_s", f.ShearPerS)
	q.put("power_w", f.PowerW)
	q.put("warms_k", f.WarmsByK)
	if !q.has("cold_c") {
		return nil
	}
	reckon := flow.House
	if q.word("properties") == "p1" {
		reckon = flow.Fixed
	}
	cold, err := reckon(quantity.Celsius(q.num("cold_c")), q.water())
	if err != nil {
		return err
	}
	times, err := flow.ColdStart(cold, l)
	if err != nil {
		return err
	}
	q.put("cold_times", times)
	q.put("cold_bar", f.DropPa*times/1e5)
	return nil
}

func drainSubject() Subject {
	return Subject{Name: "drain", Help: "how long a tank takes to run empty through its gate", Model: "pipe",
		Caution: "honey is silent when it leaves: a gate left a crack open empties a tank overnight",
		Example: "--tank-m 0.95 --gate-mm 40 --gate-long-m 0.15 --from-m 1 --to-m 0.1 --water-pct 17 --temp-c 35 --properties p1 --density-kg-m3 1410",
		Inputs: ofLiquid(metres("tank_m", "width of the tank, m"), millimetres("gate_mm", "width of the gate, mm"), metres("gate_long_m", "length of pipe that the gate acts as, m"),
			metres("from_m", "depth now, m").optional(), metres("to_m", "depth then, m").optional(), waterPct(), tempC()),
		Answers: []Answer{gives("seconds", "s", 4, "for the depth to fall to 37 %"), gives("hours", "h", 4, "from from_m to to_m")}, answer: drain}
}

func drain(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	g := flow.Gate{DiameterM: q.num("gate_mm") / 1000, LongM: q.num("gate_long_m")}
	s, err := flow.DrainSeconds(l, q.num("tank_m"), g)
	if err != nil {
		return err
	}
	q.put("seconds", s)
	q.thick("seconds", s, told)
	if q.has("from_m") != q.has("to_m") {
		return fmt.Errorf("from_m and to_m go together")
	}
	if q.has("from_m") {
		h, err := flow.DrainHours(l, q.num("tank_m"), g, q.num("from_m"), q.num("to_m"))
		if err != nil {
			return err
		}
		q.put("hours", h)
		q.thick("hours", h, told)
	}
	return nil
}

func wallFilmSubject() Subject {
	return Subject{Name: "wall-film", Help: "how much honey stays on a tank's wall when it has run out", Model: "pipe",
		Example: "--wall-m 1 --hours 1 --water-pct 17 --temp-c 35",
		Inputs:  ofLiquid(metres("wall_m", "height of the wall, m"), number("hours", quantity.Hour, "hours since it ran out"), waterPct(), tempC(), each("wall_m2", "the walls' area, m²").optional()),
		Answers: []Answer{gives("foot_mm", "mm", 3, "film at the wall's foot"), gives("kg_m2", "kg/m²", 3, "on a square metre"), gives("left_kg", "kg", 3, "on all of it")}, answer: wallFilm}
}

func wallFilm(q *Query) error {
	l, told, err := q.liquid()
	if err != nil {
		return err
	}
	foot, kg, err := flow.WallFilm(l, q.num("wall_m"), 3600*q.num("hours"))
	if err != nil {
		return err
	}
	q.put("foot_mm", 1000*foot)
	q.put("kg_m2", kg)
	q.thickRoot("foot_mm", 1000*foot, told)
	q.thickRoot("kg_m2", kg, told)
	if q.has("wall_m2") {
		area := q.num("wall_m2")
		if !(area > 0 && area <= 10000) {
			return outOf("wall_m2", area, "above 0 to 10000 m²")
		}
		q.put("left_kg", kg*area)
		q.thickRoot("left_kg", kg*area, told)
	}
	return nil
}
