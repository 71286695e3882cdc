package reckon

import (
	"fmt"
	"math"

	"combline/internal/heat"
	"combline/internal/quantity"
)

func warmPlanSubject() Subject {
	deg := func(name, help string) Input { return number(name, quantity.DegC, help) }
	return Subject{Name: "warm-plan", Help: "what to set, and when, so that honey is fillable in time with the least damage",
		Range: "deadlines up to 2000 h; otherwise as warm", Doubt: warmDoubt, Source: warmSource, Caution: heaterCaution,
		Example: `--deadline-h 84 --mean-c 38 --low-c 20 --high-c 55 --changes 2 --case '{"diameter_m": 0.57, "height_m": 0.85, "start_c": 12, "film": 15, "ambient": 15, ` +
			`"properties": "house", "water_pct": 17.2, "melt": {"latent_j_kg": 13008, "centre_c": 35, "width_k": 4}}'`,
		Inputs: []Input{file("case", "the case as for warm, report_h left out; its ambient is what there is with the heater off"),
			number("deadline_h", quantity.Hour, "hours from now until it must be ready"),
			deg("mean_c", "mean temperature to reach, °C").optional(), deg("coldest_c", "temperature of the coldest point to reach, °C").optional(),
			number("molten", quantity.Each, "share molten in the worst cell; left out: 0.95 where the case melts").optional(),
			deg("low_c", "lowest set point, °C"), deg("high_c", "highest set point, °C"),
			number("step_c", quantity.DegC, "set points are its multiples; left out: 1 °C").optional(),
			count("changes", "set points at most, 1 to 6; left out: 2").optional(),
			number("most_hmf_mg_kg", quantity.MgPerKg, "the cheapest plan that adds no more than this; wants a heater in the case").optional(),
			truth("doubt", "plan by the slow end of the house's doubts (film, grains, conductivity, stirring, rate); left out: no").optional()},
		Answers: []Answer{rowsOfTable("set", "what to set from which hour on; on is 0 where the heater goes off"),
			gives("start_h", "h", 4, "hours from now until the heater goes on"), gives("ready_h", "h", 3, "hours from now until it is likely ready"),
			gives("hmf_added_mg_kg", "mg/kg", 3, "mean HMF that it adds, by the deadline"), gives("hmf_worst_mg_kg", "mg/kg", 3, "in the worst cell"),
			gives("diastase_kept", "", 4, "share of the diastase kept, mean"), gives("heat_kwh", "kWh", 3, "heat that the honey of one body takes; the heater's own where the case has one"),
			gives("steady_c", "°C", 3, "the single set point from now on, to compare with"), gives("steady_hmf_mg_kg", "mg/kg", 3, "mean HMF that that one adds"),
			gives("earliest_h", "h", 3, "hours until it is ready with the highest set point from now on")}, answer: warmPlan}
}

func warmPlan(q *Query) error {
	p, err := q.plan()
	if err != nil {
		return err
	}
	s, err := heat.Best(p)
	if err != nil {
		return err
	}
	t := &rowTable{columns: []rowColumn{{"from_h", asShort, true}, {"set_c", asShort, true}, {"on", 0, true}}}
	for _, x := range s.Set {
		on, c := 1.0, x.C
		if x.Off {
			on, c = 0, p.Case.Faces.Side.Ambient.At(x.Hour)
		}
		t.rows = append(t.rows, []float64{x.Hour, float64(c), on})
	}
	q.out[q.answerAt("set")] = value{given: true, rows: t}
	q.planned(p, s)
	return nil
}

// plan reads the case and the flags.
func (q *Query) plan() (heat.Plan, error) {
	w, err := readWarmCase(q.word("case"))
	if err != nil {
		return heat.Plan{}, err
	}
	w.ReportH = []float64{1} // a plan has its own
	c, err := w.heatCase(q)
	if err != nil {
		return heat.Plan{}, err
	}
	if c.Heater == nil {
		for _, f := range []*heat.Face{&c.Faces.Side, &c.Faces.Bottom, &c.Faces.Top} {
			f.Heated = f.Film > 0
		}
	}
	p := heat.Plan{Case: c, DeadlineH: q.num("deadline_h"), Low: quantity.Celsius(q.num("low_c")), High: quantity.Celsius(q.num("high_c")),
		Step: quantity.Celsius(q.numOr("step_c", 1)), MostHMF: quantity.MgKg(q.numOr("most_hmf_mg_kg", 0)), Target: q.target(c.Melt)}
	if q.has("changes") {
		p.Changes = q.count("changes")
		if p.Changes == 0 {
			return p, outOf("changes", 0, "1 to 6")
		}
	}
	if q.yes("doubt") {
		if w.Properties.name != "house" || w.WaterPct == nil && !w.Assume {
			return p, fmt.Errorf("doubt goes with properties \"house\" and their water_pct")
		}
		water := heat.AssumedWater
		if w.WaterPct != nil {
			water = quantity.WaterPct(*w.WaterPct)
		}
		p.Doubt, err = heat.HouseDoubt(water)
	}
	return p, err
}

func (q *Query) target(m *heat.Melt) heat.Target {
	var t heat.Target
	if q.has("mean_c") {
		t.Mean = quantity.Celsius(q.num("mean_c"))
	}
	if q.has("coldest_c") {
		t.Coldest = quantity.Celsius(q.num("coldest_c"))
	}
	switch {
	case q.has("molten"):
		t.Molten = q.num("molten")
	case m != nil:
		t.Molten = 0.95
	}
	return t
}

// planned tells what comes of a schedule.
func (q *Query) planned(p heat.Plan, s heat.Schedule) {
	end := func(r heat.Result) heat.Row { return r.Rows[len(r.Rows)-1] }
	likely := end(s.Likely)
	q.put("start_h", s.Set[0].Hour)
	if h := s.Likely.MetH[0]; !math.IsNaN(h) {
		q.put("ready_h", h)
	}
	q.put("hmf_added_mg_kg", float64(likely.HMFMean))
	if p.Doubt != (heat.Doubt{}) {
		q.between("hmf_added_mg_kg", float64(end(s.Slow).HMFMean)/2, float64(end(s.Fast).HMFMean))
		q.note("planned by the slow end of the doubts: likely it is ready before the deadline; look at the core, and turn the heat off when it is")
	}
	q.put("hmf_worst_mg_kg", float64(likely.HMFWorst))
	q.put("diastase_kept", likely.DiastaseMean)
	q.put("heat_kwh", likely.StoredKJ/3600)
	if p.Case.Heater != nil {
		q.put("heat_kwh", likely.HeaterKWh)
	}
	q.put("steady_c", float64(s.Steady.C))
	q.put("steady_hmf_mg_kg", float64(s.SteadyHMF))
	if h, err := heat.Earliest(p); err == nil && !math.IsNaN(h) {
		q.put("earliest_h", h)
	}
	if s.Set[0].Off {
		q.note("no heat is needed: the honey is ready as it stands")
	}
	if s.Set[0].Hour > 0 {
		q.note(fmt.Sprintf("the heater goes on %g h from now; until then the case's own ambient stands", s.Set[0].Hour))
	}
}
