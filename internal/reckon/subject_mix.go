package reckon

import (
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

func mixSubjects() []Subject {
	return []Subject{
		{Name: "mix", Help: "dry honey that takes a wet one to a target, and whether the mix keeps", Model: "mix",
			Doubt:   "the mix carries both readings' doubt; the range holds 9 cases in 10",
			Range:   "water 13 to 25 %",
			Caution: "aimed at the target itself the mix misses it one time in two: tip dry_high_kg, or aim 0.2 lower. Stir, then sample top and bottom. Never mix away a residue, a contaminant or a ferment",
			Example: "--wet-kg 814 --wet-pct 19.4 --dry-pct 17 --target-pct 18 --wet-yeast-per-g 3200 --dry-yeast-per-g 0",
			Inputs: []Input{number("wet_kg", quantity.KgUnit, "wet honey, kg"), number("wet_pct", quantity.Pct, "its water, %"),
				number("dry_pct", quantity.Pct, "water of the dry honey, %"), number("target_pct", quantity.Pct, "water wanted, %"),
				number("doubt_pct", quantity.Pct, "± of each water reading, points (two standard uncertainties); left out: 0.2").optional(),
				number("shared_pct", quantity.Pct, "± that both readings have in common, such as one refractometer's setting; left out: 0").optional(),
				number("wet_yeast_per_g", quantity.PerGram, "yeast in a gram of the wet honey").optional(),
				number("dry_yeast_per_g", quantity.PerGram, "yeast in a gram of the dry honey").optional()},
			Answers: []Answer{gives("dry_kg", "kg", 4, "dry honey that meets the target by the readings as they stand"),
				gives("dry_low_kg", "kg", 4, "with so much the mix is at the target 1 time in 20"),
				gives("dry_high_kg", "kg", 4, "with so much the mix is at the target 19 times in 20"),
				gives("mix_kg", "kg", 4, "wet and dry_kg together"),
				gives("mix_doubt_pct", "%", 2, "± of the mix's water (two standard uncertainties)"),
				gives("yeast_per_g", "/g", 4, "yeast in a gram of the mix, if both were counted"),
				whether("safe", "does the mix keep for a year; empty if that can't be said"), says("reason", "why")}, answer: mix},
		{Name: "two-part", Help: "what two honeys stirred together are, property by property", Model: "mix",
			Caution: "what was not read of both parts stays unknown; measure the mix before it is sold by it",
			Example: "--a-kg 600 --b-kg 300 --a-pct 17.2 --b-pct 18.8 --a-hmf 6 --b-hmf 14 --a-pfund-mm 30 --b-pfund-mm 70",
			Inputs:  twoPartInputs(), Answers: twoPartAnswers(), answer: twoPart},
	}
}

func mix(q *Query) error {
	sd := q.numOr("doubt_pct", 2*honey.WaterGoodHandsSD) / 2
	wet := honey.WaterReading{Water: quantity.WaterPct(q.num("wet_pct")), SD: sd}
	dry := honey.WaterReading{Water: quantity.WaterPct(q.num("dry_pct")), SD: sd}
	q.without("shared_pct", "the readings were taken as independent")
	target := quantity.WaterPct(q.num("target_pct"))
	d, err := honey.DryToReach(quantity.Kg(q.num("wet_kg")), wet, dry, q.num("shared_pct")/2, target)
	if err != nil {
		return err
	}
	q.put("dry_kg", float64(d.Dry.Likely))
	q.put("dry_low_kg", float64(d.Dry.Low))
	if math.IsInf(float64(d.Dry.High), 1) {
		q.note("no amount is sure: the dry honey may itself be over the target, within its reading's doubt")
	} else {
		q.put("dry_high_kg", float64(d.Dry.High))
		q.between("dry_kg", float64(d.Dry.Low), float64(d.Dry.High))
	}
	q.put("mix_kg", float64(d.Total))
	q.put("mix_doubt_pct", 2*d.SD)
	return q.mixKeeps(target, d.Dry.Likely)
}

// mixKeeps judges the mix at its target water by the yeast of both parts.
func (q *Query) mixKeeps(target quantity.WaterPct, dry quantity.Kg) error {
	if !q.has("wet_yeast_per_g") || !q.has("dry_yeast_per_g") {
		r, err := honey.FermentUncounted(target)
		if err == nil {
			q.verdict(r)
		}
		return err
	}
	for _, name := range [...]string{"wet_yeast_per_g", "dry_yeast_per_g"} {
		if y := q.num(name); !(y >= 0) {
			return outOf(name, y, "0 or more")
		}
	}
	// By mass, as honey.PropYeast's rule has it; the whole of honey.Mix would reckon
	// two dozen properties more for each row.
	a, b := q.num("wet_kg"), float64(dry)
	yeast := (a*q.num("wet_yeast_per_g") + b*q.num("dry_yeast_per_g")) / (a + b)
	r, err := honey.Ferment(target, quantity.YeastPerG(yeast))
	if err != nil {
		return err
	}
	q.put("yeast_per_g", yeast)
	q.verdict(r)
	return nil
}

// mixed are the properties of a two-part mix: what is read of both and answered.
// Never changed.
var mixed = [...]struct {
	name   string
	unit   quantity.Unit
	answer string
	prop   honey.Property
}{
	{"pct", quantity.Pct, "water_pct", honey.PropWater},
	{"hmf", quantity.MgPerKg, "hmf_mg_kg", honey.PropHMF},
	{"diastase", quantity.Schade, "diastase_dn", honey.PropDiastase},
	{"ms_cm", quantity.MSPerCM, "conductivity_ms_cm", honey.PropConductivity},
	{"acid", quantity.MeqPerKg, "acid_meq_kg", honey.PropFreeAcid},
	{"yeast_per_g", quantity.PerGram, "yeast_per_g", honey.PropYeast},
	{"glucose_pct", quantity.Pct, "glucose_pct", honey.PropGlucose},
	{"fructose_pct", quantity.Pct, "fructose_pct", honey.PropFructose},
	{"pfund_mm", quantity.MM, "pfund_mm", honey.PropPfund},
}

// twoPartInputs are the masses of a and b, then a pair for each property.
func twoPartInputs() []Input {
	all := []Input{number("a_kg", quantity.KgUnit, "first honey, kg"), number("b_kg", quantity.KgUnit, "second honey, kg")}
	for _, m := range mixed {
		for _, part := range [...]string{"a", "b"} {
			all = append(all, number(part+"_"+m.name, m.unit, m.prop.String()+" of honey "+part).optional())
		}
	}
	return all
}

func twoPartAnswers() []Answer {
	all := []Answer{gives("mix_kg", "kg", 4, "both together")}
	for _, m := range mixed {
		all = append(all, gives(m.answer, m.unit.String(), 4, m.prop.String()+", "+m.prop.Rule().String()))
	}
	return all
}

func twoPart(q *Query) error {
	parts := [...]honey.Parcel{{Name: "a"}, {Name: "b"}}
	for i := range parts {
		parts[i].Mass = quantity.Kg(q.in[i].number)
	}
	for k := range mixed {
		for i := range parts {
			if v := &q.in[2+2*k+i]; v.given { // as twoPartInputs lists them
				parts[i].Set(mixed[k].prop, v.number)
			}
		}
	}
	mix, err := honey.Mix(parts[:])
	if err != nil {
		return err
	}
	q.put("mix_kg", float64(mix.Mass))
	for k := range mixed {
		if a, b := &q.in[2+2*k], &q.in[3+2*k]; !a.given && !b.given {
			continue
		}
		v, err := mix.Of(mixed[k].prop)
		if err != nil {
			q.note(err.Error())
			continue
		}
		q.put(mixed[k].answer, v)
	}
	return nil
}
