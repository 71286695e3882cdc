package reckon

import (
	"fmt"

	"combline/internal/heat"
)

// heaterCaution stands with every answer about warming.
const heaterCaution = "advice. Beeswax softens from 32 °C, melts at 62 to 65 °C and burns (common knowledge of the trade; Krell 1996, ch. 4, from memory): " +
	"keep it off heaters. A heater has an over-temperature cut-out of its own, set apart from its thermostat (as EN 60335 asks of heating appliances; " +
	"from memory), and is not left alone unwatched. Measure one drum with three probes before you trust the hours"

const warmDoubt = "the numbers solve the equations to 0.01 °C; the honey itself differs more: conductivity ×/÷ 1.6, film ×/÷ 1.5, " +
	"HMF ×/÷ 2, and honey's own stirring and its grains by hours. Start by the slow end, judge the honey by the fast end"

const warmSource = "heat conduction with films (Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 5, from memory); " +
	"rates after White, Kushnir and Subers 1964; crystals 108.4 kJ/kg (Food Chemistry 122, 2010); stirring of the melt after Catton (from memory)"

// caseForm tells the fields of a case.
const caseForm = `A case is one JSON object. Unknown fields, fields that stand there twice and text behind it are refused.

- body: "diameter_m" and "height_m" of a drum, pail or jar; "length_m", "width_m" and "height_m" of a box; or "mass_kg", "jacket_m2" and
  "other_m2" of a stirred vessel (its side is the jacket, its top all other faces), perhaps with "stirrer_w" and "inside_w_m2_k", the
  film between honey and jacket, so that the worst cell is the film at the wall.
- "start_c": a number, or {"core", "skin", "mean"} as measured.
- "film": W/(m²·K) of "side", "bottom" and "top", or one number for all; 0 lets nothing through. "wall": a list of {"thick_m", "w_m_k"} in series.
- "ambient": of "side", "bottom" and "top", or one for all: a number, or a list of [hour, °C] joined by straight lines; two of one hour are a jump.
- "properties": "house" with "water_pct" (or "assume_water": true for 17.5 %) and perhaps "school": "classical" or "additive"; "P1"; or constants
  {"k", "rho", "cp"}, also named "w_m_k", "density_kg_m3", "j_kg_k", at 20 °C, perhaps with "k_per_c", "cp_per_c", "hmf_per_h_40" and "hmf_j_mol",
  "diastase_per_h_40" and "diastase_j_mol"; left out, rates are P1's. "rate": the lot's own HMF rate, times that.
- "melt": {"latent_j_kg", "centre_c", "width_k"}; left out: no grains.
- "convection": true, false, or a factor on the published stirring, once 0.7 of the honey is molten.
- "heater": {"power_w", "loss_w_k", "outside_c", "bodies", "faces"}: the ambient of those faces (all, if left out) is the set point of a room with
  that power and loss, in which so many bodies stand.
- "report_h": the hours to answer for, rising, 1000 at most.

With --csv the rows come as CSV, with --json as objects; people are shown the main columns. The rows' names: temperatures T_ in °C of the middle, the
middle of the side, both ends of the axis and the top rim, the mean, the least and the most; HMF added, mean and worst cell; shares of diastase and invertase kept; the
share liquid at equilibrium and the share that ever was molten; heat stored and what of it the faces do not account for; kills of yeast in the least treated cell; the heater's energy.`

// warmSubjects reckon how a body of honey warms.
func warmSubjects() []Subject {
	return []Subject{
		{Name: "warm", Help: "how a drum, pail, jar, box or stirred vessel warms or cools, and what that does to the honey",
			Range: "2 mm to 10 m, −40 to 100 °C around it; the honey itself 2 to 71 °C with the house's models, −20 to 100 °C with others",
			Doubt: warmDoubt, Source: warmSource, Caution: heaterCaution, About: caseForm,
			Example: `--case '{"diameter_m": 0.57, "height_m": 0.85, "start_c": 15, "film": {"side": 8, "bottom": 8, "top": 8}, "ambient": {"side": 50, "bottom": 50, "top": 50}, ` +
				`"properties": "P1", "melt": {"latent_j_kg": 13008, "centre_c": 42, "width_k": 5}, "convection": false, "report_h": [6, 12, 24, 48, 72, 96]}'`,
			Inputs:  []Input{file("case", "the case as JSON: a file's name, - for standard input, or the JSON itself")},
			Answers: []Answer{rowsOfTable("rows", "one row for each hour of report_h")}, answer: warm},
		warmPlanSubject(), warmTankSubject(), warmSeriesSubject(), warmFiguresSubject(), filmSubject(),
	}
}

func warm(q *Query) error {
	w, err := readWarmCase(q.word("case"))
	if err != nil {
		return err
	}
	if len(w.ReportH) == 0 {
		return fmt.Errorf("the case has no report_h")
	}
	c, err := w.heatCase(q)
	if err != nil {
		return err
	}
	res, err := heat.Run(c)
	if err != nil {
		return err
	}
	q.warmed(c, res)
	if w.Properties.name == "house" && w.School == "" {
		return q.slowerSchool(w, res)
	}
	return nil
}

// slowerSchool tells what the other school of conductivity makes of the same case.
func (q *Query) slowerSchool(w *warmCase, classical heat.Result) error {
	other := *w
	other.School = "additive"
	c, err := other.heatCase(q)
	if err != nil {
		return err
	}
	slow, err := heat.Run(c)
	if err != nil {
		return err
	}
	a, b := classical.Rows[len(classical.Rows)-1], slow.Rows[len(slow.Rows)-1]
	q.note(fmt.Sprintf("reckoned with the classical conductivity; with the additive one (0.34 W/(m·K)) the coldest point is at %.1f °C after %g h instead of %.1f °C: plan by it",
		float64(b.Coldest), b.Hour, float64(a.Coldest)))
	return nil
}

// warmed puts the rows of a run under their fixed names.
func (q *Query) warmed(c heat.Case, res heat.Result) {
	t := &rowTable{columns: []rowColumn{
		{"t_h", asShort, true}, {"T_centre", 2, true}, {"T_side_mid", 2, false}, {"T_bottom_axis", 2, false}, {"T_top_axis", 2, false}, {"T_top_rim", 2, true},
		{"T_mean", 2, true}, {"T_min", 2, true}, {"T_max", 2, false}, {"HMF_add_mean_mgkg", 3, true}, {"HMF_add_max_mgkg", 3, true},
		{"diastase_kept_mean", 4, true}, {"diastase_kept_min", 4, false}, {"liquid_frac_mean", 3, c.Melt != nil}, {"liquid_frac_min", 3, c.Melt != nil},
		{"heat_stored_kJ", 0, true}, {"energy_closure_kJ", 6, false}, {"invertase_kept_mean", 4, false}, {"invertase_kept_min", 4, false},
		{"molten_mean", 3, false}, {"molten_min", 3, c.Melt != nil}, {"yeast_kills_min", 3, false}, {"heater_kWh", 2, c.Heater != nil}}}
	for _, r := range res.Rows {
		t.rows = append(t.rows, []float64{r.Hour, float64(r.Centre), float64(r.SideMid), float64(r.BottomAxis), float64(r.TopAxis), float64(r.TopRim),
			float64(r.Mean), float64(r.Coldest), float64(r.Hottest), float64(r.HMFMean), float64(r.HMFWorst),
			r.DiastaseMean, r.DiastaseWorst, r.LiquidMean, r.LiquidWorst, r.StoredKJ, r.ClosureKJ, r.InvertaseMean, r.InvertaseWorst,
			r.MoltenMean, r.MoltenWorst, r.YeastLeast, r.HeaterKWh})
	}
	q.out[q.answerAt("rows")] = value{given: true, rows: t}
}
