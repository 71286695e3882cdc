package web

import (
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Holds: what may not be used, what may have been touched, and who can decide.
type holdsPage struct {
	*frame
	Holds []holdView
	Over  []holdView
}

type holdView struct {
	Code, Cause, Reason, By string
	Chip                    chip
	Roots                   []option
	Blocks, Touched         *sheet
	Mass                    figure
	Release, Lift, Rule     string
	Lifted                  string
}

func (v *visit) holds() error {
	p := holdsPage{frame: v.frame("", v.say("page.holds"))}
	var all []office.Holding
	v.s.office.Read(func(h *office.View) { all = h.Holdings() })
	for _, h := range all {
		x := v.holdView(h)
		if h.Lifted {
			p.Over = append(p.Over, x)
			continue
		}
		p.Holds = append(p.Holds, x)
	}
	return v.render("holds", p)
}

func (v *visit) holdView(h office.Holding) holdView {
	x := holdView{Code: string(h.Code), Cause: v.say(h.Cause.Key()), Reason: h.Reason, By: v.text(h.When) + " · " + string(h.Person), Chip: newChip("stop", v.say("page.state.held"))}
	for _, r := range h.RootCodes {
		x.Roots = append(x.Roots, option{Text: string(r), Href: thingLink(r)})
	}
	if h.Lifted {
		x.Chip = newChip("", v.say("page.holds.over"))
		x.Lifted = v.text(h.LiftedAt) + " · " + h.LiftedBy
		return x
	}
	var sum quantity.Gram
	for _, c := range h.Blocks {
		sum += c.Grams
	}
	x.Mass = v.kg(sum, 1)
	x.Blocks, x.Touched = v.heldSheet(h.Blocks), v.heldSheet(h.Touched)
	x.Release, x.Lift = link("/do/release", "of", x.Code, "back", "/holds"), link("/do/lift", "of", x.Code, "back", "/holds")
	if len(h.Touched) > 0 {
		x.Rule = link("/do/touched", "of", x.Code, "back", "/holds")
	}
	return x
}

func (v *visit) heldSheet(all []office.HeldContent) *sheet {
	if len(all) == 0 {
		return nil
	}
	s := &sheet{Heads: []head{{Text: v.say("column.content")}, {Text: v.say("column.kind")}, {Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true},
		{Text: v.say("column.units"), Right: true}, {Text: v.say("column.place")}}}
	for _, c := range all {
		units := ""
		if c.Units > 0 {
			units = v.c.Count(c.Units)
		}
		s.Rows = append(s.Rows, sheetRow{Cells: []sheetCell{{Text: string(c.Code), Head: true, Href: thingLink(c.Code)}, {Text: v.say("node." + c.Kind.String())},
			{Text: v.kg(c.Grams, 1).Value, Right: true}, {Text: units, Right: true}, {Text: v.text(placeCell(c.Place))}}})
	}
	return s
}

// holdTask sets a hold on what the page showed. It never asks for a PIN: stopping must
// be easy.
func (v *visit) holdTask(of record.Code) (*task, error) {
	var next record.Code
	var likely []option
	v.s.office.Read(func(h *office.View) {
		next = h.NextCode(record.Hold, "H-01")
		if t, ok := h.State.Find(of); ok {
			of = h.State.Code(t)
			likely = append(likely, option{Value: string(of), Text: string(of), Note: v.say(h.State.KindOf(t).Key()), On: true})
		} else if n := h.State.RootsOf(of); of != "" && len(n) > 0 {
			likely = append(likely, option{Value: string(of), Text: string(of), On: true})
		}
	})
	t := &task{Of: of, Alarm: true, Go: v.say("page.task.hold.go"), Note: v.say("page.task.hold.note"),
		Parts: []part{{Kind: record.KindHoldSet, Cells: []cell{
			{Name: "roots", Label: v.say("page.task.hold.what"), Likely: likely, Need: true},
			{Name: "cause", Label: v.say("page.task.hold.cause")},
			{Name: "reason", Label: v.say("page.task.hold.reason"), Need: true},
			{Name: "hold", Label: v.say("page.task.hold.number"), Start: string(next)},
		}}}}
	return t, nil
}

// mustHold finds a hold in force.
func (v *visit) mustHold(of record.Code) (x office.Holding, err error) {
	v.s.office.Read(func(h *office.View) {
		var ok bool
		if x, ok = h.HoldingOf(of); !ok || x.Lifted {
			err = &notThere{of, nil}
		}
	})
	return x, err
}

func heldOptions(v *visit, all []office.HeldContent) (out []option) {
	for _, c := range all {
		out = append(out, option{Value: string(c.Code), Text: string(c.Code), Note: v.c.MassTo(c.Grams, 0)})
	}
	return out
}

// releaseTask frees contents that a hold blocks: a role and a reason are needed.
func (v *visit) releaseTask(of record.Code) (*task, error) {
	h, err := v.mustHold(of)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.release", "hold", string(h.Code)), About: h.Reason, Go: v.say("page.task.release.go"),
		Parts: []part{{Kind: record.KindReleased, Fixed: map[string]string{"hold": string(h.Code)}, Cells: []cell{
			{Name: "contents", Need: true, Likely: heldOptions(v, h.Blocks), Label: v.say("page.task.release.what")},
			{Name: "reason"}, {Name: "role", Hint: v.say("page.task.release.role")}, {Name: "evidence"}}}}}, nil
}

// liftTask ends a hold as a whole.
func (v *visit) liftTask(of record.Code) (*task, error) {
	h, err := v.mustHold(of)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.lift", "hold", string(h.Code)), About: h.Reason, Go: v.say("page.task.lift.go"), Note: v.say("page.task.lift.note"), Alarm: true,
		Parts: []part{{Kind: record.KindHoldLifted, Fixed: map[string]string{"hold": string(h.Code)}, Cells: []cell{
			{Name: "reason"}, {Name: "role", Hint: v.say("page.task.release.role")}, {Name: "evidence"}}}}}, nil
}

// touchedTask clears or holds what a hold may have touched.
func (v *visit) touchedTask(of record.Code) (*task, error) {
	h, err := v.mustHold(of)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.touched", "hold", string(h.Code)), About: h.Reason,
		Parts: []part{{Kind: record.KindTouchedRuled, Fixed: map[string]string{"hold": string(h.Code)}, Cells: []cell{
			{Name: "contents", Need: true, Likely: heldOptions(v, h.Touched), Label: v.say("page.task.touched.what")},
			{Name: "ruling"}, {Name: "reason"}, {Name: "role", Hint: v.say("page.task.release.role")}}}}}, nil
}
