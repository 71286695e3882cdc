package web

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

// A planned blend: what was agreed, and what of it was tipped. Shares, grades and dates
// are worked from what was tipped, never from this.
type blendPlanPage struct {
	*frame
	State  chip
	About  string
	Facts  []fact2
	Parts  *sheet
	Other  *sheet
	Limits *sheet
	Into   []option
	Drop   string
	Lines  []answerLine
}

func (v *visit) blendPlan() error {
	code := v.of()
	var x office.PlannedBlend
	var ok bool
	v.s.office.Read(func(h *office.View) { x, ok = h.PlannedBlend(code) })
	if !ok {
		var near []record.Code
		v.s.office.Read(func(h *office.View) { near = h.State.Near(code, []record.Entity{record.Plan}) })
		return &notThere{code, near}
	}
	p := blendPlanPage{frame: v.frame("blend", v.say("page.blend.plan-of", "plan", string(x.Plan))), State: v.planState(x)}
	p.State.Big = true
	p.About = v.planRow(x).For
	add := func(key, text, href string) { p.Facts = append(p.Facts, fact2{v.say(key), text, href}) }
	add("page.blend.agreed", v.text(x.When)+" · "+v.nameOf(x.Person), link("/correct", "fact", v.num(int64(x.Seq))))
	add("column.wanted_g", v.text(x.Wanted.Grams()), "")
	for _, o := range x.Orders {
		add("thing.order", string(o), thingLink(o))
	}
	if x.To != "" {
		add("page.blend.into", string(x.To), link("/vessel", "of", string(x.To)))
	}
	if x.Due > 0 {
		add("column.due", v.text(x.Due), "")
	}
	if x.Breach.Given() {
		add("column.chance_pct", v.text(x.Breach), "")
	}
	if x.Dropped {
		add("column.reason", x.Reason, "")
	}
	v.planTables(&p, x)
	if x.Open {
		p.Drop = link("/do/plan-drop", "of", string(x.Plan), "back", link("/blend/plan", "of", string(x.Plan)))
	}
	for _, in := range x.In {
		p.Into = append(p.Into, option{Text: string(in), Href: link("/vessel", "of", string(in))})
	}
	return v.render("blendplan", p)
}

// planTables are plan against what was tipped, part by part.
func (v *visit) planTables(p *blendPlanPage, x office.PlannedBlend) {
	var a answer.Answer
	table := a.Table("plan-parts", "content", "planned_g", "tipped_g", "left_g", "into")
	for i, s := range x.SoFar {
		mark := answer.Plain
		switch {
		case s.Tipped > s.Planned:
			mark = answer.Care
		case s.Tipped == s.Planned:
			mark = answer.Good
		}
		table.Row(mark, x.Parts[i].Content, s.Planned, s.Tipped, s.Left, s.Into)
	}
	table.Row(answer.Plain, answer.Key("stock.all"), x.Planned, x.Tipped, "", "")
	p.Parts = v.sheet(*table)
	if len(x.Other) > 0 {
		other := a.Table("plan-other", "content", "mass_g")
		for _, o := range x.Other {
			other.Row(answer.Care, o.Code, o.Grams)
		}
		p.Other = v.sheet(*other)
	}
	if len(x.Limits)+len(x.Origin) > 0 {
		kept := a.Table("plan-limits", "limit", "asked")
		for _, l := range x.Limits {
			key := "blend.at-most"
			if l.Bound == record.Above {
				key = "blend.at-least"
			}
			kept.Row(answer.Plain, answer.Key(l.Property.Key()), answer.Line{Key: key, Args: answer.Args{"figure": l.Value}})
		}
		for _, c := range x.Origin {
			kept.Row(answer.Plain, strings.ToUpper(c.Country), answer.Line{Key: "blend.demand.label", Args: answer.Args{"name": c.Country, "figure": c.Percent}})
		}
		p.Limits = v.sheet(*kept)
	}
}

// planDropTask writes down that a planned blend will not be made.
func (v *visit) planDropTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Plan)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.plan-drop", "of", string(of)), Parts: []part{{Kind: record.KindBlendDropped, Fixed: map[string]string{"plan": string(of)}, Cells: []cell{{Name: "reason"}}}}}, nil
}
