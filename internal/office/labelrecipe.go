package office

import (
	"combline/internal/goods"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/record"
)

// recipeOf is what went into a batch of goods with honey in them and what came out, as it
// was made; nil where the record has no such batch.
func (v *View) recipeOf(mark record.Code) *label.Recipe {
	var made *record.BatchMade
	for _, e := range v.Mentions(mark) {
		if f, ok := e.Fact.(*record.BatchMade); ok && f.Batch.Fold() == mark.Fold() {
			made = f
		}
	}
	if made == nil || made.Out.Grams() <= 0 {
		return nil
	}
	parts := map[string]quantity.Gram{}
	for _, in := range made.Inputs {
		material := "" // honey has none
		if l, ok := v.State.Goods.MaterialLot(in.From); ok {
			material = string(l.Material)
		}
		parts[material] += in.Mass.Grams()
	}
	r := &label.Recipe{Finished: made.Out.Grams()}
	for _, material := range sortedKeys(parts) {
		if parts[material] <= 0 {
			continue
		}
		p := label.Ingredient{Grams: parts[material]}
		if material == "" {
			p.Name, p.Honey, p.Stated = "honey", true, true // it is in the name, or shown
		} else {
			p.Name, p.Allergen = v.materialName(record.Code(material)), v.allergenOf(record.Code(material))
		}
		r.Parts = append(r.Parts, p)
	}
	return r
}

// allergenOf is the word for what a material brings in that must stand out: as the house
// set it, else by its name; "" where nothing is seen.
func (v *View) allergenOf(material record.Code) string {
	k := Kitchen{Product: goods.Product{ProductNamed: &record.ProductNamed{}}, Parts: []KitchenPart{{Material: material, Name: v.materialName(material)}}}
	v.allergens(&k)
	if a := k.Parts[0].Allergens; len(a) > 0 {
		return a[0]
	}
	return ""
}
