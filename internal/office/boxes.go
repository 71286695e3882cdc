package office

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
	"combline/internal/trace"
)

// boxes lists what the boxes of suspect sites reached: sites to stop, lots, and every
// move of boxes on the way, also of lots that ran through the same machines later. It
// may be too long, never too short.
func (t *tracer) boxes(sites []record.Code) {
	v, a := t.v, t.a
	r := v.State.Yard.Reach(sites, 0, v.lotsAfter(sites)...)
	table := a.Table("touched-sites", "site", "suspect", "certain", "since")
	for _, s := range r.Sites {
		mark := answer.Bad
		if !s.Suspect && !s.Certain {
			mark = answer.Care
		}
		table.Row(mark, s.Site, s.Suspect, s.Suspect || s.Certain, whenOrNil(s.At.When))
		if mark == answer.Bad {
			a.Then("next.stop-combs", answer.Args{"site": s.Site})
		} else {
			a.Then("next.ask-inspector", answer.Args{"site": s.Site})
		}
	}
	lots := a.Table("touched-lots", "lot", "sites", "certain")
	for _, l := range r.Lots {
		mark := answer.Care
		if l.Certain {
			mark = answer.Bad
		}
		if !t.isFull(lots) {
			lots.Row(mark, l.Lot, listOrNil(l.Sites), l.Certain)
		}
	}
	moves := a.Table("box-moves", "move", "boxes", "site", "lot", "place", "marks", "when", "certain", "fact")
	for _, m := range r.Moves {
		mark := answer.Care
		if m.Certain {
			mark = answer.Plain
		}
		if t.isFull(moves) {
			continue
		}
		moves.Row(mark, answer.Key("move."+m.Kind.String()), m.Boxes, orNil(m.Site), orNil(m.Lot), orNil(m.Place), marks(m.Marks), m.When, m.Certain, int64(m.Fact))
	}
	t.machinesAfter(r.Lots)
}

// lotsAfter are the lots that spores from some sites may have come into by machines,
// tanks and combs: no cleaning ends that.
func (v *View) lotsAfter(sites []record.Code) (lots []record.Code) {
	var roots []trace.Node
	for _, c := range sites {
		roots = append(roots, v.State.RootsOf(c)...)
	}
	for _, r := range v.State.Graph().Reach(roots, trace.Forward, record.CauseDisease.Bit(), nil) {
		if v.State.NodeKind(r.Node) == house.LotNode && !r.Share {
			lots = append(lots, v.State.NodeCode(r.Node))
		}
	}
	return lots
}

func marks(all []record.Marks) any {
	if len(all) == 0 {
		return nil
	}
	var text string
	for i, m := range all {
		if i > 0 {
			text += ", "
		}
		text += m.Prefix + itoa(m.First) + "–" + itoa(m.Last)
	}
	return text
}
