package web

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// The food-safety plan: its points as the house set them, what is offered, who signed.
type safetyPage struct {
	*frame
	Lines   []answerLine
	Points  []safetyCard
	Offered []safetyCard
	Take    bool
	Sign    bool
	Signed  *sheet
	Next    []answerLine
	Rests   []string
}

// A safetyCard is one point.
type safetyCard struct {
	Point, Step, What string
	Chips             []chip
	Rows              []fact2
	Href, Text        string
	Basis             string
	Set               string
}

func (v *visit) safety() error {
	p := safetyPage{frame: v.frame("", v.say("paper.title.safety-plan"))}
	var a answer.Answer
	var s office.SafetyPlan
	v.s.office.Read(func(h *office.View) { a, s = h.Safety(v.day()), h.SafetyPlan(v.day()) })
	if sent, err := v.onPaper(p.frame, p.Title, a); sent || err != nil {
		return err
	}
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, l := range a.Next {
		x := v.line(l)
		x.Icon = "pencil"
		p.Next = append(p.Next, x)
	}
	for _, x := range s.Points {
		p.Points = append(p.Points, v.safetyCard(x))
	}
	for _, x := range s.Offered {
		c := v.safetyCard(house.SafetyPoint{SafetyPointSet: v.offered(x)})
		c.Text = v.say("page.safety.adapt")
		p.Offered = append(p.Offered, c)
	}
	p.Take, p.Sign = len(p.Offered) > 0, len(p.Points) > 0
	for _, t := range a.Tables {
		if t.Key == "safety-signed" && len(t.Rows) > 0 {
			p.Signed = v.sheet(t)
		}
	}
	for _, l := range append(append([]answer.Line{}, a.Sources...), a.Rests...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
	return v.render("safety", p)
}

func (v *visit) safetyCard(x house.SafetyPoint) safetyCard {
	c := safetyCard{Point: x.Point, Step: x.Step, What: x.What, Basis: x.Basis, Text: v.say("page.safety.change"), Href: link("/enter/safety-point", "of", x.Point, "back", "/safety")}
	if x.Hazard != 0 {
		c.Chips = append(c.Chips, chip{Icon: "watch", Text: v.say(x.Hazard.Key())})
	}
	if x.Critical == record.Yes {
		c.Chips = append(c.Chips, newChip("stop", v.say("page.safety.critical")))
	}
	for _, r := range [][2]string{{"control", x.Control}, {"keeps_to", x.Limit}, {"watched", x.Watched}, {"if_not_kept", x.Action}, {"proof", x.Proof}} {
		text := r[1]
		if text == "" {
			text = "?"
		}
		c.Rows = append(c.Rows, fact2{Name: v.say("column." + r[0]), Text: text})
	}
	if x.Seq != 0 {
		c.Set = v.text(x.When) + " · " + string(x.Person)
	}
	return c
}

// offered is a point of the template as the fact that it would become, in the language of
// the person who takes it.
func (v *visit) offered(t office.SafetyTemplate) record.SafetyPointSet {
	say := func(field string) string { return v.say("safety." + t.Point + "." + field) }
	return record.SafetyPointSet{Point: t.Point, Hazard: t.Hazard, Critical: t.Critical, Step: say("step"), What: say("what"), Control: say("control"), Limit: say("keeps_to"),
		Watched: say("watched"), Action: say("if_not_kept"), Proof: say("proof"), Basis: v.text(t.Basis())}
}

// pointNow is a point as it stands, else as it is offered.
func (v *visit) pointNow(point string) (f record.SafetyPointSet) {
	v.s.office.Read(func(h *office.View) {
		s := h.SafetyPlan(v.day())
		for _, x := range s.Points {
			if strings.EqualFold(x.Point, point) {
				f = x.SafetyPointSet
			}
		}
		for _, t := range s.Offered {
			if strings.EqualFold(t.Point, point) {
				f = v.offered(t)
			}
		}
	})
	return f
}

// safetyPointTask adapts one point, or writes a new one.
func (v *visit) safetyPointTask(of record.Code) (*task, error) {
	f := v.pointNow(string(of))
	if f.Point == "" {
		f.Point = string(of)
	}
	start := map[string]string{}
	record.Visit(&f, func(x record.Field) { start[x.Name] = x.Text })
	t := &task{Title: v.say("page.enter.safety-point"), Note: v.say("next.safety.authority"), Back: local(v.arg("back"))}
	p := part{Kind: record.KindSafetyPointSet}
	for _, name := range []string{"point", "step", "hazard", "what", "control", "keeps_to", "watched", "if_not_kept", "proof", "critical", "basis", "dropped", "reason"} {
		c := cell{Name: name, Start: start[name]}
		if name == "what" {
			c.Label = v.say("page.safety.what")
		}
		if name == "dropped" {
			c.Unset = v.say("no")
		}
		p.Cells = append(p.Cells, c)
	}
	t.Parts = []part{p}
	return t, nil
}

// safetyTakeTask takes every point that is offered, as it is, into the plan.
func (v *visit) safetyTakeTask(record.Code) (*task, error) {
	t := &task{Title: v.say("page.enter.safety-take"), Back: "/safety", Go: v.say("page.safety.take"), Note: v.say("next.safety.authority")}
	v.s.office.Read(func(h *office.View) {
		for _, x := range h.SafetyPlan(v.day()).Offered {
			f := v.offered(x)
			given := map[string]string{}
			record.Visit(&f, func(x record.Field) { given[x.Name] = x.Text })
			t.Parts = append(t.Parts, part{Kind: record.KindSafetyPointSet, Fixed: given})
		}
	})
	t.About = v.say("page.safety.take-about", "n", int64(len(t.Parts)))
	return t, nil
}

// safetySignTask signs the plan as it stands.
func (v *visit) safetySignTask(record.Code) (*task, error) {
	t := &task{Title: v.say("page.enter.safety-sign"), Back: "/safety", Go: v.say("page.safety.sign"), Note: v.say("page.safety.sign-note")}
	var n int
	v.s.office.Read(func(h *office.View) { n = len(h.SafetyPlan(v.day()).Points) })
	if n == 0 {
		return nil, errNotFound
	}
	by := ""
	for _, x := range v.people {
		if x.Person == v.person {
			by = nameOf(x.Person, x.PersonNamed.Name)
		}
	}
	year := v.day() + 365
	t.About = v.say("page.safety.sign-about", "n", int64(n))
	t.Parts = []part{{Kind: record.KindSafetyPlanSigned, Fixed: map[string]string{"points": v.num(int64(n))}, Cells: []cell{{Name: "by", Label: v.say("page.safety.by"), Start: by}, {Name: "role"},
		{Name: "review", Start: year.String()}, {Name: "changes"}}}}
	return t, nil
}
