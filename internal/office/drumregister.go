package office

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
	"combline/internal/trace"
)

// DrumRegister is every filling of a drum, pail, tote or tank that was ever made, with its
// weights, seal and place, and what became of it.
func (v *View) DrumRegister() answer.Answer {
	a := answer.Answer{Question: "drum-register"}
	t := a.Table("drum-register", "content", "vessel", "filled", "kind", "of_lots", "gross", "tare", "mass_g", "left_g", "status", "place", "seal", "became")
	held, put := v.held(), v.promised()
	here := int64(0)
	for _, thing := range v.State.OfKind(record.Filling) {
		for _, n := range v.State.RootsOf(v.State.Code(thing)) {
			c := v.State.Content(n)
			if c.Kind != house.ContentNode {
				continue
			}
			gross, tare := v.weightsOf(c)
			var status any = answer.Key("status.empty")
			var place any = "" // what is empty stands in no place as honey does
			mark := answer.Plain
			if c.Grams != 0 || len(c.InLots) > 0 {
				st := v.status(held, put, c)
				status, place, mark = answer.Key("status."+string(st)), orNil(c.Place), statusMark(st, c.Grams)
				here++
			}
			t.Row(mark, c.Code, orNil(c.Vessel), whenOrNil(c.When), v.drumKind(c.Code), lots(v.lotsIn(n)), gross, tare, c.Made, mass(c), status, place, textOrNil(strings.Join(v.State.SealsOf(n), ", ")), v.became(n))
		}
	}
	a.Say("drums.count", answer.Args{"n": int64(len(t.Rows)), "here": here})
	v.restsOnRecord(&a)
	return a
}

// weightsOf are the gross and tare with which a content was filled, where they were read.
func (v *View) weightsOf(c house.Content) (gross, tare any) {
	e, err := v.Fact(c.Fact)
	if err != nil {
		return nil, nil
	}
	switch f := e.Fact.(type) {
	case *record.DrumFilled:
		return givenOrNil(f.Gross.Figure), givenOrNil(f.Tare.Figure)
	case *record.DrumReceived:
		return givenOrNil(f.Gross.Figure), givenOrNil(f.Tare.Figure)
	}
	return nil, nil
}

// lotsIn are the lots and deliveries that a content is of.
func (v *View) lotsIn(n trace.Node) (all []record.Code) {
	for _, p := range v.State.Graph().Parts(n) {
		if o := v.State.OriginOf(p.Origin); o.Of != 0 && p.Made > 0 {
			all = append(all, v.State.Code(o.Of))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// became names what was drawn from a content: runs, vessels, dispatches.
func (v *View) became(n trace.Node) any {
	var all []record.Code
	for _, x := range v.State.Graph().Next(n, trace.Forward) {
		c := v.State.Content(x.Node).Code
		if v.State.NodeKind(x.Node) == house.SentNode {
			c = v.State.SentTo(x.Node).Dispatch
		}
		if x.Share && c != "" && !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	return lots(all)
}
