package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
)

// A SafetyTemplate is a point that the program offers for the food-safety plan. Its texts
// are in package words under safety.NUMBER.; the house adapts them and they become facts.
type SafetyTemplate struct {
	Point    string
	Hazard   record.Hazard
	Critical record.Truth // as such plans usually have it; the house decides
	Source   string       // named as published
	Memory   bool         // the source is named from memory
}

// SafetyTemplates lists the points offered. Hazards and controls follow the generic HACCP
// models for honey of a food authority and a small producer's plan; those named from
// memory say so.
func SafetyTemplates() []SafetyTemplate {
	const model, plan = "generic HACCP model for honey (Canada)", "small-producer HACCP plan for honey"
	return []SafetyTemplate{
		{"01", record.HazardBiological, record.No, model + "; " + plan, false},
		{"02", record.HazardBiological, record.Yes, plan, false},
		{"03", record.HazardChemical, record.Yes, plan, false},
		{"04", record.HazardChemical, record.No, plan, false},
		{"05", record.HazardChemical, record.No, plan, false},
		{"06", record.HazardPhysical, record.Yes, plan + "; on-farm honey programme (Canada)", false},
		{"07", record.HazardPhysical, record.No, plan + "; HACCP note on honey, 2003", false},
		{"08", record.HazardPhysical, record.Yes, "general food practice", true},
		{"09", record.HazardFraud, record.No, "German honey guidance, Codex practice", true},
		{"10", record.HazardAllergen, record.Yes, "CFIA Honey Establishment Inspection Manual, chapter 5 (archived)", false},
	}
}

// SafetyTexts are the texts of a template, by the fields of the fact that it becomes.
var SafetyTexts = []string{"step", "what", "control", "keeps_to", "watched", "if_not_kept", "proof"}

// A SafetyPlan is the plan as it stands.
type SafetyPlan struct {
	Points  []house.SafetyPoint
	Offered []SafetyTemplate // of which the plan has no point
	Signed  *house.SafetySigned
	Changed []house.SafetyPoint // since it was signed
	Due     bool                // to be looked through again
}

// SafetyPlan answers how the plan stands on a day.
func (v *View) SafetyPlan(day record.Day) (p SafetyPlan) {
	p.Points = v.State.SafetyPoints()
	slices.SortStableFunc(p.Points, func(a, b house.SafetyPoint) int {
		return cmp.Compare(natural(record.Code(a.Point)), natural(record.Code(b.Point)))
	})
	dropped := v.State.SafetyChanged(0)
	for _, t := range SafetyTemplates() {
		if !slices.ContainsFunc(dropped, func(x house.SafetyPoint) bool { return strings.EqualFold(x.Point, t.Point) }) {
			p.Offered = append(p.Offered, t)
		}
	}
	if all := v.State.SafetySigned(); len(all) > 0 {
		p.Signed = &all[len(all)-1]
		p.Changed = v.State.SafetyChanged(p.Signed.Seq)
		p.Due = p.Signed.Review != 0 && p.Signed.Review < day
	}
	return p
}

// Safety is the plan as an answer: its points, what is only offered, and who signed it.
func (v *View) Safety(day record.Day) answer.Answer {
	a := answer.Answer{Question: "safety-plan"}
	p := v.SafetyPlan(day)
	v.safetySaid(&a, p)
	t := a.Table("safety-points", "point", "step", "hazard", "what", "control", "keeps_to", "watched", "if_not_kept", "proof", "critical", "basis", "set_on", "person")
	for _, x := range p.Points {
		mark := answer.Plain
		if x.Control == "" || x.Critical == record.Yes && (x.Limit == "" || x.Watched == "" || x.Action == "") {
			mark = answer.Care
			a.Then("next.safety.fill", answer.Args{"point": x.Point})
		}
		var critical any
		if x.Critical != record.NotKnown {
			critical = x.Critical == record.Yes
		}
		t.Row(mark, x.Point, textOrNil(x.Step), hazardOrNil(x.Hazard), x.What, textOrNil(x.Control), textOrNil(x.Limit), textOrNil(x.Watched), textOrNil(x.Action), textOrNil(x.Proof), critical, textOrNil(x.Basis), x.When, orNil(x.Person))
	}
	o := a.Table("safety-offered", "point", "step", "hazard", "what", "control", "keeps_to", "watched", "if_not_kept", "proof", "critical", "basis")
	for _, x := range p.Offered {
		row := []any{x.Point}
		for _, field := range SafetyTexts {
			row = append(row, answer.Key("safety."+x.Point+"."+field))
			if field == "step" {
				row = append(row, hazardOrNil(x.Hazard))
			}
		}
		o.Row(answer.Plain, append(row, x.Critical == record.Yes, x.Basis())...)
	}
	signed := a.Table("safety-signed", "when", "who", "role", "points", "review_on", "changes", "fact")
	for _, s := range slices.Backward(v.State.SafetySigned()) {
		signed.Row(answer.Plain, s.When, s.By, textOrNil(s.Role), s.Points, dayOrNil(s.Review), textOrNil(s.Changes), int64(s.Seq))
	}
	a.Follows("follows.safety", nil)
	a.Follows("follows.safety-method", nil)
	a.Then("next.safety.authority", nil)
	v.restsOnRecord(&a)
	return a
}

// Basis names where a template is from, and says so where that is from memory.
func (t SafetyTemplate) Basis() any {
	if t.Memory {
		return answer.Line{Key: "safety.from-memory", Args: answer.Args{"source": t.Source}}
	}
	return t.Source
}

func hazardOrNil(h record.Hazard) any {
	if h == 0 {
		return nil
	}
	return answer.Key(h.Key())
}

func (v *View) safetySaid(a *answer.Answer, p SafetyPlan) {
	args := answer.Args{"n": int64(len(p.Points)), "offered": int64(len(p.Offered))}
	switch {
	case len(p.Points) == 0:
		a.Warn("safety.none", args)
		return
	case p.Signed == nil:
		a.Warn("safety.unsigned", args)
	default:
		args["who"], args["when"], args["review"] = p.Signed.By, p.Signed.When, dayOrNil(p.Signed.Review)
		switch {
		case len(p.Changed) > 0:
			args["changed"] = int64(len(p.Changed))
			a.Warn("safety.changed", args)
		case p.Due:
			a.Warn("safety.due", args)
		default:
			a.Lines = append(a.Lines, answer.Line{Key: "safety.signed", Args: args, Mark: answer.Good})
		}
	}
	if len(p.Offered) > 0 {
		a.Say("safety.offered", args)
	}
}
