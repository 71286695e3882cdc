package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A Holding is a hold with what it is on now.
type Holding struct {
	*house.Hold
	Code    record.Code
	Blocks  []HeldContent
	Touched []HeldContent
	Ruled   int // possibly touched and ruled on already
}

// A HeldContent is something here that a hold is on.
type HeldContent struct {
	Code  record.Code
	Kind  house.NodeKind
	Grams quantity.Gram
	Units int64
	Place record.Code
}

// Holdings lists holds, those in force first, the latest first.
func (v *View) Holdings() (all []Holding) {
	for _, h := range slices.Backward(v.State.Holds()) {
		x := Holding{Hold: h, Code: v.State.Code(h.Thing)}
		if !h.Lifted {
			v.holds(&x)
		}
		all = append(all, x)
	}
	slices.SortStableFunc(all, func(a, b Holding) int {
		return map[bool]int{false: 0, true: 1}[a.Lifted] - map[bool]int{false: 0, true: 1}[b.Lifted]
	})
	return all
}

// holds lists what of a hold is still here.
func (v *View) holds(x *Holding) {
	for _, r := range v.State.Reach(x.Hold) {
		k := v.State.NodeKind(r.Node)
		if k != house.ContentNode && k != house.BatchNode && k != house.WaxNode || v.State.Graph().Left(r.Node) == 0 {
			continue
		}
		c := v.State.Content(r.Node)
		held := HeldContent{Code: c.Code, Kind: k, Grams: c.Grams, Units: c.Units, Place: c.Place}
		if r.Share {
			x.Blocks = append(x.Blocks, held)
		} else {
			x.Touched = append(x.Touched, held)
		}
	}
}

// HoldingOf is one hold by its code.
func (v *View) HoldingOf(code record.Code) (Holding, bool) {
	for _, h := range v.Holdings() {
		if h.Code.Fold() == code.Fold() {
			return h, true
		}
	}
	return Holding{}, false
}

// RecallList is what must be called back when something is wrong with a thing: by
// share, and apart by possibility, each with who has it or where it is.
func (v *View) RecallList(of record.Code) answer.Answer {
	a := answer.Answer{Question: "recall", Of: v.properCode(of)}
	roots := v.State.RootsOf(of)
	if len(roots) == 0 {
		return v.notTraced(a, of)
	}
	a.Table("share", "what", "kind", "customer", "ship_to", "units", "mass_g", "place", "when")
	a.Table("possible", "what", "kind", "customer", "ship_to", "units", "mass_g", "place", "when")
	seen := map[string]int{}
	for _, r := range v.State.Graph().Reach(roots, trace.Forward, trace.Every, nil) {
		table := &a.Tables[1]
		if r.Share {
			table = &a.Tables[0]
		}
		row, ok := v.recallRow(r.Node)
		if !ok {
			continue
		}
		kind, _ := row[1].(answer.Key)
		key := table.Key + "/" + string(kind) + "/" + string(code(row[0])) + "/" + string(code(row[2])) + "/" + text(row[3])
		if i, have := seen[key]; have { // one line a dispatch and customer
			cells := table.Rows[i].Cells
			cells[4], cells[5] = intSum(cells[4], row[4]), cells[5].(quantity.Gram)+row[5].(quantity.Gram)
			continue
		}
		seen[key] = len(table.Rows)
		table.Row(answer.Plain, row...)
	}
	v.recallContacts(&a, a.Tables[0], a.Tables[1])
	v.recallSums(&a, of)
	a.Follows("recall.apart", nil)
	v.restsOnRecord(&a)
	return a
}

func (v *View) recallRow(n trace.Node) ([]any, bool) {
	g := v.State.Graph()
	switch k := v.State.NodeKind(n); k {
	case house.SentNode:
		to := v.State.SentTo(n)
		return []any{to.Dispatch, answer.Key("node.sent"), orNil(to.Customer), textOrNil(to.ShipTo), to.Units, g.Made(n), nil, to.When}, true
	case house.ContentNode, house.BatchNode, house.LotNode, house.RetainedNode, house.SampleNode, house.WaxNode:
		if g.Left(n) <= 0 {
			return nil, false
		}
		c := v.State.Content(n)
		return []any{c.Code, answer.Key("node." + k.String()), nil, nil, countOrNil(c.Units), c.Grams, orNil(c.Place), nil}, true
	}
	return nil, false
}

func text(c answer.Cell) string {
	s, _ := c.(string)
	return s
}

func intSum(a, b answer.Cell) answer.Cell {
	x, ok1 := a.(int64)
	y, ok2 := b.(int64)
	if !ok1 && !ok2 {
		return nil
	}
	return x + y
}
