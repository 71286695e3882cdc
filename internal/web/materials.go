package web

import (
	"slices"
	"strconv"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

// Materials: what the open orders need, what is there, and what to order by when.
func (v *visit) materials() error {
	p := goodsPage{frame: v.frame("", v.say("page.materials")), Text: v.say("page.materials.text")}
	p.Acts = []option{{Text: v.say("page.task.material-in"), Href: "/do/material-in?back=/materials", Value: "intake"}, {Text: v.say("page.task.material-count"), Href: "/do/material-count?back=/materials", Value: "list"},
		{Text: v.say("page.task.material-order"), Href: "/do/material-order?back=/materials", Value: "pencil"}, {Text: v.say("page.products"), Href: "/products", Value: "fill"}}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		a = h.Materials(office.MaterialsAsk{Today: v.day()}).Answer(h)
		v.answered(&p, a)
		for _, t := range h.Stock().Tables {
			if t.Key == "materials" && len(t.Rows) > 0 {
				s := v.sheet(t)
				s.Count = len(s.Rows)
				p.Sheets = append(p.Sheets, s)
				a.Tables = append(a.Tables, t)
			}
		}
	})
	if sent, err := v.onPaper(p.frame, v.say("page.materials"), a); sent || err != nil {
		return err
	}
	return v.render("goods", p)
}

// materialInTask writes down a lot of material that came in.
func (v *visit) materialInTask(of record.Code) (*task, error) {
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindMaterialReceived, Cells: []cell{{Name: "material", Likely: chosen(named(h, record.Material, nil), string(of))},
			{Name: "amount.pieces"}, {Name: "amount.mass"}, {Name: "lot", Start: string(nextMaterialLot(h, of))},
			{Name: "supplier", Likely: named(h, record.Supplier, nil)}, {Name: "their_lot"}, {Name: "paper"}}}}
	})
	return t, nil
}

// nextMaterialLot is a number for the next lot of a material: its code and the number after the
// last.
func nextMaterialLot(h *office.View, material record.Code) record.Code {
	if material == "" {
		return h.NextCode(record.MaterialLot, "M-01")
	}
	n := len(h.State.Goods.MaterialLots(material)) + 1
	return h.FreeCode(material + "-" + record.Code(strconv.Itoa(n)))
}

// materialCountTask writes down how much of a lot is there.
func (v *visit) materialCountTask(of record.Code) (*task, error) {
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		for _, m := range h.State.Goods.Materials() {
			for _, l := range slices.Backward(h.State.Goods.MaterialLots(m.Material)) {
				if l.Left.Pieces.N != 0 || l.Left.Grams.N != 0 || l.Material.Fold() == of.Fold() {
					likely = append(likely, option{Value: string(l.Lot), Text: string(l.Lot), Note: m.What})
				}
			}
		}
		t.Parts = []part{{Kind: record.KindMaterialCounted, Cells: []cell{{Name: "lot", Likely: likely[:min(len(likely), mostLikely)]}, {Name: "amount.pieces"}, {Name: "amount.mass"}}}}
	})
	return t, nil
}

// materialOrderTask writes down what was ordered.
func (v *visit) materialOrderTask(of record.Code) (*task, error) {
	t := &task{Of: of, Keys: true}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindMaterialOrdered, Cells: []cell{{Name: "material", Likely: chosen(named(h, record.Material, nil), string(of))},
			{Name: "amount.pieces"}, {Name: "amount.mass"}, {Name: "supplier", Likely: named(h, record.Supplier, nil)}, {Name: "due"}}}}
	})
	return t, nil
}
