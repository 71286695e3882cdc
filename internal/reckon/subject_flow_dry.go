package reckon

import (
	"math"

	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// What a hot room does to honey in the comb.

func roomAirSubject() Subject {
	return Subject{Name: "room-air", Help: "how much water a room's air holds, and what it brings honey in open comb to", Model: "vapour",
		Caution: "under 50 % the equilibrium is a driving force, not honey that anybody makes",
		Example: "--temp-c 35 --rh-pct 35",
		Inputs:  []Input{number("temp_c", quantity.DegC, "temperature of the air, °C"), rhPct()},
		Answers: []Answer{gives("saturation_pa", "Pa", 5, "most water that the air can hold, as pressure"), gives("kg_kg", "kg/kg", 4, "water in a kg of dry air"),
			gives("equilibrium_pct", "%", 4, "water that open honey would come to")}, answer: roomAir}
}

func roomAir(q *Query) error {
	sat, err := flow.SaturationPa(q.temp())
	if err != nil {
		return err
	}
	rh := q.num("rh_pct") / 100
	y, err := flow.HumidityRatio(flow.Air{Temp: q.temp(), RH: rh})
	if err != nil {
		return err
	}
	q.put("saturation_pa", sat)
	q.put("kg_kg", y)
	if w, err := flow.EquilibriumWater(rh); err == nil {
		q.put("equilibrium_pct", float64(w))
		q.between("equilibrium_pct", float64(w)-2, float64(w)+2)
	} else {
		q.note("equilibrium: " + err.Error())
	}
	return nil
}

func openCell() []Input {
	return []Input{millimetres("cell_mm", "depth of a cell, mm; left out: 11").optional(),
		each("m2_s", "water's diffusivity in this honey, m²/s, from comb-fit; left out: 2e-11, which may be 5 times off").optional()}
}

// cell is the open cell that was asked for.
func (q *Query) cell(start float64) (flow.Cell, error) {
	room, err := flow.EquilibriumWater(q.num("rh_pct") / 100)
	return flow.Cell{Start: quantity.WaterPct(start), Room: room, DepthM: q.numOr("cell_mm", 1000*flow.CellDepthM) / 1000, M2S: flow.OpenCellM2S}, err
}

func combDrySubject() Subject {
	return Subject{Name: "comb-dry", Help: "how long comb honey must stay in a hot room, or how wet it is after some hours", Model: "comb-drying",
		Caution: "the worst comb decides, not the mean; sealed cells hardly dry; fit your own rate from two readings with comb-fit",
		Example: "--water-pct 19.5 --rh-pct 40 --hours 24 --target-pct 18.5",
		Inputs: append([]Input{waterPct(), rhPct(), number("hours", quantity.Hour, "hours from now").either(), number("target_pct", quantity.Pct, "water to reach, %").either(),
			number("capped_pct", quantity.Pct, "share of cells that are sealed, %; left out: 0").optional()}, openCell()...),
		Answers: []Answer{gives("then_pct", "%", 6, "mean water after those hours"), gives("until_h", "h", 3, "hours until it is at the target"),
			gives("equilibrium_pct", "%", 3, "what this air brings open cells to"), whether("wets", "does this air wet the honey"), gives("still_rh_pct", "%", 3, "air in which it stays as it is")}, answer: combDry}
}

func combDry(q *Query) error {
	wets, still, err := flow.Wets(q.water(), q.num("rh_pct")/100)
	if err != nil {
		return err
	}
	cell, err := q.cell(q.num("water_pct"))
	if err != nil {
		return err
	}
	q.put("equilibrium_pct", float64(cell.Room))
	q.tell("wets", wets)
	q.put("still_rh_pct", 100*still)
	rate := flow.Diffusivity()
	if q.has("m2_s") {
		x := q.num("m2_s")
		rate = honey.Band[float64]{Low: x, Likely: x, High: x}
	}
	stack := flow.Stack{Cell: cell, CappedPct: q.numOr("capped_pct", 0)}
	if q.has("hours") {
		then, err := q.overRates(rate, func(d float64) (float64, error) {
			stack.M2S = d
			w, err := stack.After(q.num("hours"))
			return float64(w), err
		})
		if err != nil {
			return err
		}
		q.put("then_pct", then.Likely)
		q.between("then_pct", min(then.Low, then.High), max(then.Low, then.High))
	}
	if q.has("target_pct") {
		h, err := q.overRates(rate, func(d float64) (float64, error) {
			stack.M2S = d
			return stack.HoursTo(quantity.WaterPct(q.num("target_pct")))
		})
		if err != nil {
			return err
		}
		q.put("until_h", h.Likely)
		q.between("until_h", h.High, h.Low)
	}
	return nil
}

// overRates asks a model at each end of a rate's band.
func (q *Query) overRates(rate honey.Band[float64], ask func(float64) (float64, error)) (b honey.Band[float64], err error) {
	for _, x := range [...]struct {
		at float64
		to *float64
	}{{rate.Low, &b.Low}, {rate.Likely, &b.Likely}, {rate.High, &b.High}} {
		if *x.to, err = ask(x.at); err != nil {
			return b, err
		}
	}
	return b, nil
}

func combFitSubject() Subject {
	return Subject{Name: "comb-fit", Help: "how fast a hot room really dries, from two readings of the same combs", Model: "comb-drying",
		Caution: "both readings carry ±0.2: less than a point of drying tells little",
		Example: "--water-pct 19.5 --then-pct 18.6 --hours 24 --rh-pct 40",
		Inputs: []Input{waterPct(), number("then_pct", quantity.Pct, "water at the second reading, %"), number("hours", quantity.Hour, "hours between them"), rhPct(),
			number("target_pct", quantity.Pct, "water to reach, %").optional(), millimetres("cell_mm", "depth of a cell, mm; left out: 11").optional()},
		Answers: []Answer{gives("m2_s", "m²/s", 3, "diffusivity that leads from the one to the other"), gives("points_day", "%/d", 3, "points of water a day so far"),
			gives("until_h", "h", 3, "hours from the second reading to the target")}, answer: combFit}
}

func combFit(q *Query) error {
	cell, err := q.cell(q.num("water_pct"))
	if err != nil {
		return err
	}
	hours, then := q.num("hours"), quantity.WaterPct(q.num("then_pct"))
	if cell.M2S, err = cell.FitCell(hours, then); err != nil {
		return err
	}
	q.put("m2_s", cell.M2S)
	q.put("points_day", float64(cell.Start-then)*24/hours)
	if q.has("target_pct") {
		// along the same curve: what is dry outside slows what is left
		h, err := cell.HoursTo(quantity.WaterPct(q.num("target_pct")))
		if err != nil {
			return err
		}
		q.put("until_h", math.Max(0, h-hours))
	}
	return nil
}

func dryingAirSubject() Subject {
	return Subject{Name: "drying-air", Help: "the most water that moving air takes off open honey", Model: "gas-side",
		Example: "--water-pct 19 --honey-c 35 --room-c 35 --rh-pct 35 --film-w-m2-k 8",
		Inputs: []Input{waterPct(), number("honey_c", quantity.DegC, "temperature of the honey, °C"), number("room_c", quantity.DegC, "temperature of the air, °C"), rhPct(),
			each("film_w_m2_k", "film, W/(m²·K): 5 to 10 still air, 10 to 25 fan")},
		Answers: []Answer{gives("g_m2_h", "g/(m²·h)", 5, "water off a square metre an hour; negative: taken up")}, answer: dryingAir}
}

func dryingAir(q *Query) error {
	n, err := flow.GasSide(q.water(), quantity.Celsius(q.num("honey_c")), flow.Air{Temp: quantity.Celsius(q.num("room_c")), RH: q.num("rh_pct") / 100}, q.num("film_w_m2_k"))
	if err != nil {
		return err
	}
	q.put("g_m2_h", n)
	return nil
}

func waterOffSubject() Subject {
	return Subject{Name: "water-off", Help: "how much water drying takes out of honey, and what air or drier that needs", Model: "dry-solids",
		Caution: "drying loses weight: say whether a lot was weighed before or after the hot room; what leaks in adds to the drier's load",
		Example: "--honey-kg 600 --water-pct 19 --target-pct 17.5 --hours 48 --room-c 35 --rh-pct 35 --outside-c 20 --outside-rh-pct 60",
		Inputs: []Input{number("honey_kg", quantity.KgUnit, "honey, kg"), waterPct(), number("target_pct", quantity.Pct, "water to reach, %"),
			number("hours", quantity.Hour, "hours for it").optional(), number("room_c", quantity.DegC, "the room's air, °C").optional(), rhPct().optional(),
			number("outside_c", quantity.DegC, "air outside, °C").optional(), number("outside_rh_pct", quantity.Pct, "its relative humidity, %").optional()},
		Answers: []Answer{gives("water_kg", "kg", 8, "water to remove"), gives("drier_w", "W", 5, "what a drier must take up for it"), gives("drier_kg_day", "kg/d", 4, "water a day"),
			gives("vent_kg_h", "kg/h", 5, "dry air from outside that carries it away instead")}, answer: waterOff}
}

func waterOff(q *Query) error {
	w, err := flow.WaterToRemove(q.num("honey_kg"), q.water(), quantity.WaterPct(q.num("target_pct")))
	if err != nil {
		return err
	}
	q.put("water_kg", w)
	if !q.has("hours") {
		return nil
	}
	load, err := flow.LatentLoadW(w, q.num("hours"))
	if err != nil {
		return err
	}
	q.put("drier_w", load)
	q.put("drier_kg_day", w*24/q.num("hours"))
	if q.has("room_c") && q.has("rh_pct") && q.has("outside_c") && q.has("outside_rh_pct") {
		air := func(c, rh string) flow.Air { return flow.Air{Temp: quantity.Celsius(q.num(c)), RH: q.num(rh) / 100} }
		vent, err := flow.VentAir(w, q.num("hours"), air("room_c", "rh_pct"), air("outside_c", "outside_rh_pct"))
		if err != nil {
			q.note(err.Error())
			return nil
		}
		q.put("vent_kg_h", vent)
	}
	return nil
}

func combHeatSubject() Subject {
	says := says("comb", "cool (under 30 °C, honey stays thick), fine, warm (over 35 °C), alarm (from 38 °C) or over (above 40 °C)")
	return Subject{Name: "comb-heat", Help: "is a hot room too hot for the combs", Range: "−40 to 120 °C", Doubt: "alarm and limit are common practice; one report of combs that sagged at 38 to 42 °C",
		Source: "wax softens from about 32 °C and melts at 62 to 65 (read); alarm at 38 and limit at 40 °C: common practice, no source", Example: "--temp-c 38.5",
		Inputs: []Input{number("temp_c", quantity.DegC, "temperature of the room, °C")}, Answers: []Answer{says}, answer: combHeat}
}

func combHeat(q *Query) error {
	h, err := flow.CombSafety(q.temp())
	if err != nil {
		return err
	}
	q.say("comb", h.String())
	return nil
}
