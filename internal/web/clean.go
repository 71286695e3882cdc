package web

import (
	"slices"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Cleaning: what was cleaned by tap, how, and which causes of holds it ends.
type cleanPage struct {
	*frame
	Entry *entry
	Ends  []option
}

// washable are the causes that some cleaning ends. Spores are not among them.
var washable = []record.Cause{record.CauseTreatment, record.CauseResidue, record.CauseForeignBody, record.CauseFerment, record.CauseAllergen, record.CauseOrigin, record.CauseOther}

func (v *visit) clean() error {
	t := &task{Name: "clean", Title: v.say("page.clean"), Back: local(v.arg("back")), Note: v.say("page.clean.spores")}
	if t.Back == "/" {
		t.Back = "/care"
	}
	v.s.office.Read(func(h *office.View) {
		var likely []option
		for _, k := range h.Care(v.day()).Kept {
			if len(likely) < 40 {
				likely = append(likely, option{Value: string(k.Code), Text: string(k.Code), On: k.Code.Fold() == v.of().Fold()})
			}
		}
		t.Parts = []part{{Kind: record.KindCleaned, Cells: []cell{{Name: "what", Label: v.say("page.clean.what"), Likely: likely, Need: true}, {Name: "how", Need: true},
			{Name: "chemical"}, {Name: "dose"}, {Name: "dry"}, {Name: "signed"}}}}
	})
	ends := v.r.PostForm["ends"]
	t.Make = func(d *house.Draft) error {
		if c, ok := d.Facts[0].(*record.Cleaned); ok {
			for _, cause := range washable {
				if slices.Contains(ends, cause.String()) {
					c.Ends = append(c.Ends, record.EndsCause{Cause: cause})
				}
			}
		}
		return nil
	}
	e, done, err := v.take(t)
	if err != nil || done {
		return err
	}
	p := cleanPage{frame: v.frame("", t.Title), Entry: e}
	for _, c := range washable {
		p.Ends = append(p.Ends, option{Value: c.String(), Text: v.say(c.Key()), On: slices.Contains(ends, c.String())})
	}
	return v.render("clean", p)
}
