package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/record"
)

// A TagMade is what hangs on a drum, a pail or a tank.
type TagMade struct {
	Number record.Code // of the filling
	Steel  record.Code
	Lines  []answer.Line
	Hold   *answer.Line
}

// TagOf says what the tag of a vessel or a filling bears. ok is false where it holds
// nothing.
func (v *View) TagOf(code record.Code) (t TagMade, ok bool) {
	n := v.contentNamed(code)
	if n == 0 {
		return t, false
	}
	c := v.State.Content(n)
	t.Number, t.Steel = c.Code, c.Vessel
	if lot := v.LotOf(c); lot != "" {
		t.Lines = append(t.Lines, answer.Line{Key: "tag.lot", Args: answer.Args{"lot": lot, "honey": honeyCell(v.honeyOf(c))}})
	} else {
		t.Lines = append(t.Lines, answer.Line{Key: "tag.honey", Args: answer.Args{"honey": honeyCell(v.honeyOf(c))}})
	}
	t.Lines = append(t.Lines, answer.Line{Key: "tag.net", Args: answer.Args{"mass": c.Made, "when": c.When}})
	if r, known := v.reading(n, record.Water); known && r.Value.Given() {
		t.Lines = append(t.Lines, answer.Line{Key: "tag.water", Args: answer.Args{"water": r.Value}})
	}
	if c.Purpose == record.CookingGrade {
		t.Lines = append(t.Lines, answer.Line{Key: "tag.cooking"})
	}
	for _, h := range v.Holdings() {
		if slices.ContainsFunc(h.Blocks, func(x HeldContent) bool { return x.Code.Fold() == c.Code.Fold() }) {
			t.Hold = &answer.Line{Key: "tag.hold", Args: answer.Args{"hold": h.Code, "reason": h.Reason}, Mark: answer.Bad}
			break
		}
	}
	return t, true
}

// A PalletMade is what the label of a pallet bears.
type PalletMade struct {
	Number record.Code
	Lines  []answer.Line
	Cases  int64
	Units  int64
}

// PalletOf says what stands on a pallet.
func (v *View) PalletOf(code record.Code) (p PalletMade, ok bool) {
	if _, _, ok = v.State.Goods.Pallet(code); !ok {
		return p, false
	}
	p.Number = v.properCode(code)
	for _, r := range v.State.Goods.CasesOn(code) {
		p.Cases += r.Cases.Count()
		for _, u := range r.Units {
			p.Units += u.Units
			p.Lines = append(p.Lines, v.caseLine(u))
		}
	}
	return p, true
}
