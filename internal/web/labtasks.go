package web

import (
	"slices"
	"strconv"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// What is written down about samples and a laboratory's sheets.

var readable = []record.Entity{record.Lot, record.Vessel, record.Filling, record.Delivery, record.Batch, record.Sample}

func (v *visit) sampleTask(of record.Code) (*task, error) {
	of, err := v.must(of, readable...)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Shown: []record.Code{of}}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindSampled, Fixed: map[string]string{"from": string(of)}, Cells: []cell{
			{Name: "mass", Unit: "g", Need: true}, {Name: "sample", Start: string(h.NextCode(record.Sample, "SA-001"))},
			{Name: "kept", Hint: v.say("page.enter.sample.kept")}, {Name: "core", Hint: v.say("page.enter.sample.core")}}}}
	})
	return t, nil
}

// toLabTask sends samples off: what is on the list can be ticked.
func (v *visit) toLabTask(of record.Code) (*task, error) {
	t := &task{}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		lab := h.Lab()
		for _, x := range lab.Send {
			likely = append(likely, option{Value: string(x.Of), Text: string(x.Of), Note: v.text(x.Honey), On: x.Of.Fold() == of.Fold()})
		}
		if of != "" && !slices.ContainsFunc(likely, func(o option) bool { return o.On }) {
			likely = append([]option{{Value: string(of), Text: string(of), On: true}}, likely...)
		}
		t.Parts = []part{{Kind: record.KindSampleSent, Cells: []cell{{Name: "of", Label: v.say("page.enter.to-lab.of"), Likely: likely[:min(len(likely), mostLikely)], Need: true},
			{Name: "lab", Start: lastLab(lab, of)}, {Name: "tests", Start: v.say("page.enter.to-lab.usual")}, {Name: "due"}}}}
	})
	return t, nil
}

// lastLab is the laboratory that a sheet is awaited from, or the last that was used.
func lastLab(l office.Lab, of record.Code) string {
	for _, a := range l.Awaited {
		if a.Of.Fold() == of.Fold() {
			return a.Lab
		}
	}
	if len(l.Awaited) > 0 {
		return l.Awaited[0].Lab
	}
	if len(l.Back) > 0 {
		return l.Back[0].Fact.Lab
	}
	return ""
}

// onSheet are the properties that a laboratory's sheet has a line for, in its order.
var onSheet = []record.Property{record.Water, record.HMF, record.Diastase, record.Conductivity, record.Colour, record.FreeAcid, record.Sucrose, record.Insolubles, record.Yeast}

// sheetTask types a laboratory's sheet: a figure, and its doubt, for what was tested.
// Lines that stay empty were not tested.
func (v *visit) sheetTask(of record.Code) (*task, error) {
	of, err := v.must(of, readable...)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Shown: []record.Code{of}, Note: v.say("page.enter.sheet.note")}
	p := part{Kind: record.KindResultRead, Fixed: map[string]string{"of": string(of)}}
	v.s.office.Read(func(h *office.View) {
		p.Cells = []cell{{Name: "lab", Need: true, Start: lastLab(h.Lab(), of)}, {Name: "sheet"}, {Name: "drawn"}}
	})
	for i, property := range onSheet {
		at := "results." + strconv.Itoa(i+1) + "."
		p.Fixed[at+"property"] = property.String()
		unit := v.c.Unit(record.PropertyUnits[property])
		p.Cells = append(p.Cells, cell{Name: at + "value", Label: v.say(property.Key()), Unit: unit, Small: true},
			cell{Name: at + "plus_minus", Label: v.say(property.Key()) + " ±", Unit: unit, Small: true})
	}
	at := "results." + strconv.Itoa(len(onSheet)+1) + "."
	p.Fixed[at+"property"] = record.Residue.String()
	p.Cells = append(p.Cells, cell{Name: at + "verdict", Label: v.say(record.Residue.Key()), Hint: v.say("page.enter.sheet.residue")},
		cell{Name: at + "what", Label: v.say("page.enter.sheet.which")}, cell{Name: at + "value", Label: v.say("page.enter.sheet.found"), Unit: v.c.Unit(record.PropertyUnits[record.Residue]), Small: true},
		cell{Name: at + "bound"}, cell{Name: "method"})
	t.Parts, t.Make = []part{p}, onlyTested
	return t, nil
}

// onlyTested leaves out the lines of a sheet that have no result.
func onlyTested(d *house.Draft) error {
	if r, ok := d.Facts[0].(*record.ResultRead); ok {
		r.Results = slices.DeleteFunc(r.Results, func(x record.Result) bool { return !x.Value.Given() && x.Verdict == 0 })
	}
	return nil
}
