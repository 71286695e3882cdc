package reckon

import (
	"math"

	"combline/internal/blend"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// twoDrumSubject is the question at the tank: this wet drum with that dry one.
func twoDrumSubject() Subject {
	return Subject{Name: "two-drum", Help: "can this wet honey be taken to a target with that dry one: is it there, how sure, does it keep", Model: "mix",
		Doubt:   "the mix carries both readings' doubt, and a refractometer that read both carries its own into the mix in full",
		Range:   "water 13 to 25 %",
		Caution: "aimed at the target itself the mix misses it one time in two: aim at aim_pct. Stir, sample top and bottom, count the mix's yeast. Never mix away a residue, a contaminant or a ferment",
		Example: "--wet-kg 814 --wet-pct 19.4 --dry-kg 1496 --dry-pct 17 --target-pct 18 --wet-yeast-per-g 3200 --dry-yeast-per-g 0",
		Inputs: []Input{number("wet_kg", quantity.KgUnit, "wet honey, all of which goes in, kg"), number("wet_pct", quantity.Pct, "its water, %"),
			number("dry_kg", quantity.KgUnit, "dry honey that is there, kg"), number("dry_pct", quantity.Pct, "its water, %"),
			number("target_pct", quantity.Pct, "water wanted at the most, %"),
			number("doubt_pct", quantity.Pct, "± of each water reading, points (two standard uncertainties); left out: 0.2").optional(),
			number("shared_pct", quantity.Pct, "± that both readings have in common; left out: 0").optional(),
			number("chance_pct", quantity.Pct, "chance of a miss that is taken, %; left out: 5").optional(),
			number("wet_yeast_per_g", quantity.PerGram, "yeast in a gram of the wet honey").optional(),
			number("dry_yeast_per_g", quantity.PerGram, "yeast in a gram of the dry honey").optional(),
			number("yeast_most", quantity.PerGram, "own limit on the mix's yeast under that of the law of keeping").optional(),
			number("crystals_pct", quantity.Pct, "crystals, for soft-set honey: judged by the liquid between them; left out: 0").optional()},
		Answers: []Answer{gives("dry_needed_kg", "kg", 4, "dry honey that meets the target by the readings as they stand"),
			whether("there", "is there so much"), gives("miss_pct", "%", 3, "chance that this mix misses the target"),
			gives("yeast_per_g", "/g", 4, "yeast in a gram of it, if both were counted"),
			whether("safe", "does it keep for a year; empty if that can't be said"), says("reason", "why"),
			gives("sure_kg", "kg", 4, "dry honey with which the mix misses the target at no more than the chance taken"),
			gives("aim_pct", "%", 4, "water to aim at for that"), whether("sure_there", "is there so much"),
			gives("keeps_kg", "kg", 4, "dry honey with which the mix meets the target and keeps, by the readings as they stand"),
			gives("keeps_pct", "%", 4, "its water"), gives("keeps_yeast_per_g", "/g", 4, "its yeast"), whether("keeps_there", "is there so much"),
			gives("sure_keeps_kg", "kg", 4, "dry honey with which it also misses no water limit at more than the chance taken")}, answer: twoDrum}
}

func twoDrum(q *Query) error {
	x, err := q.thinning()
	if err != nil {
		return err
	}
	r, err := blend.Thin(x)
	if err != nil {
		return err
	}
	there := func(name string, m *blend.Mixture) { q.tell(name, m.There) }
	at := &r.AtTarget
	if math.IsInf(float64(at.DryKg), 1) {
		q.note("no amount of the dry honey meets the target: it is not drier itself")
		return nil
	}
	q.put("dry_needed_kg", float64(at.DryKg))
	there("there", at)
	q.put("miss_pct", 100*at.Chance)
	if !math.IsNaN(at.Yeast) {
		q.put("yeast_per_g", at.Yeast)
	}
	q.verdict(at.Keeping)
	if s := r.Sure; s != nil {
		q.put("sure_kg", float64(s.DryKg))
		q.put("aim_pct", float64(s.AimWater))
		there("sure_there", s)
	} else {
		q.note("no amount is sure: the dry honey may itself be over the target, within its reading's doubt")
	}
	if k := r.Keeping; k != nil {
		q.put("keeps_kg", float64(k.DryKg))
		q.put("keeps_pct", k.Water.Value)
		if !math.IsNaN(k.Yeast) {
			q.put("keeps_yeast_per_g", k.Yeast)
		}
		there("keeps_there", k)
		if k.Keeping.Reason == honey.FermentAtLimit {
			q.note("keeps_kg has no margin: the yeast is just at its limit; count the mix before it is released")
		}
	}
	if k := r.SureKeeping; k != nil {
		q.put("sure_keeps_kg", float64(k.DryKg))
	}
	return nil
}

func (q *Query) thinning() (blend.Thinning, error) {
	x := blend.Thinning{Target: quantity.WaterPct(q.num("target_pct")), Crystals: quantity.Percent(q.num("crystals_pct")),
		Risk: q.numOr("chance_pct", 100*quantity.UsualRisk) / 100, YeastMax: q.num("yeast_most")}
	own, shared := q.numOr("doubt_pct", 2*honey.WaterGoodHandsSD), q.numOr("shared_pct", 0)
	q.without("crystals_pct", "the honey was taken as liquid")
	part := func(name string) (blend.Content, error) {
		kg, water := q.num(name+"_kg"), q.num(name+"_pct")
		if !(kg > 0 && kg <= 1e8) {
			return blend.Content{}, outOf(name+"_kg", kg, "above 0 to 100,000,000")
		}
		if !(own >= 0 && own <= 5 && shared >= 0 && shared <= 5) {
			return blend.Content{}, outOf("doubt_pct or shared_pct", max(own, shared), "0 to 5")
		}
		c := blend.Content{Name: name + " honey", Grams: wholeGrams(kg), Figures: map[blend.Figure]quantity.Uncertain{}}
		u := quantity.FromPlusMinus(water, own)
		if shared > 0 {
			u = u.WithShare("in common", shared/2)
		}
		c.Figures[blend.Water] = u
		if y := name + "_yeast_per_g"; q.has(y) {
			c.Figures[blend.Yeast] = quantity.Exactly(q.num(y))
		}
		return c, nil
	}
	wet, err := part("wet")
	if err != nil {
		return x, err
	}
	dry, err := part("dry")
	x.Wet, x.Dry = wet, []blend.Content{dry}
	return x, err
}
