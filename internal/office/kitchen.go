package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A Kitchen is a product with honey as an ingredient: what goes in, what comes out, and
// how many batches the honey makes.
type Kitchen struct {
	Product  goods.Product
	Parts    []KitchenPart
	In       quantity.Gram // all that goes in, in one batch
	Out      quantity.Gram // finished weight
	Made     record.Code   // the batch that the figures are of; empty: the recipe
	Units    int64         // of one batch, by the label
	Kind     string        // of honey
	Cooking  bool          // cooking-grade honey is counted
	Honey    quantity.Gram // free of it
	Batches  int64         // whole ones that it makes
	Left     quantity.Gram // honey over
	Ordered  int64         // units in open orders
	Stops    []KitchenStop // materials that end it sooner
	Allergen []string      // that the ingredients bring in
	Missing  []string      // of those, what the product does not name
}

// A KitchenPart is one ingredient. Share is its weight at use of the finished weight,
// tenths of a per cent; Pan of all that went in.
type KitchenPart struct {
	Name       string
	Material   record.Code
	Grams      quantity.Gram
	Share, Pan int64
	AsGrams    bool // over 100 %: said as grams in 100 g
	Allergens  []string
}

// A KitchenStop is a material of which there is enough for fewer batches.
type KitchenStop struct {
	Material record.Code
	Have     quantity.Gram
	Known    bool
	Batches  int64
}

// allergenSetting and a material's code: the allergens in it as the house names them.
const allergenSetting = "allergen."

// Kitchen looks at a product with honey in it: as it was made last, else by its recipe.
// ok is false when it has no honey by weight.
func (v *View) Kitchen(product record.Code, cooking bool) (k Kitchen, ok bool) {
	p, there := v.State.Goods.Product(product)
	r, has := v.State.Goods.Recipe(product, DayOf(record.When{Minute: v.State.Latest}))
	if !there || !has {
		return k, false
	}
	k.Product, k.Out, k.Cooking = p, r.Yield.Grams(), cooking
	var honey quantity.Gram
	for _, l := range r.Lines {
		if !l.Mass.Given() {
			continue
		}
		part := KitchenPart{Material: l.Material, Name: cmp.Or(v.materialName(l.Material), l.Honey), Grams: l.Mass.Grams()}
		if l.Honey != "" {
			k.Kind, honey = l.Honey, part.Grams
		}
		k.Parts = append(k.Parts, part)
	}
	if honey <= 0 || k.Out <= 0 {
		return k, false
	}
	v.asMade(&k)
	v.kitchenShares(&k)
	v.allergens(&k)
	v.batches(&k, honey, r.Yield.Grams())
	return k, true
}

func (v *View) materialName(code record.Code) string {
	if m, ok := v.State.Goods.Material(code); ok && m.What != "" {
		return m.What
	}
	return string(code)
}

// asMade takes the weights of the batch that was made last: what was tipped, not what
// was planned.
func (v *View) asMade(k *Kitchen) {
	var last *record.BatchMade
	for _, e := range v.Mentions(k.Product.Product) {
		if f, ok := e.Fact.(*record.BatchMade); ok {
			last = f
		}
	}
	if last == nil || last.Out.Grams() <= 0 {
		return
	}
	parts := map[string]quantity.Gram{}
	for _, in := range last.Inputs {
		key := ""
		if l, ok := v.State.Goods.MaterialLot(in.From); ok {
			key = l.Material.Fold()
		}
		parts[key] += in.Mass.Grams()
	}
	k.Made, k.Out = last.Batch, last.Out.Grams()
	for i := range k.Parts {
		x := &k.Parts[i]
		if m, ok := parts[x.Material.Fold()]; ok {
			x.Grams = m
			delete(parts, x.Material.Fold())
		}
	}
	for _, code := range sortedKeys(parts) { // went in, and stands in no recipe
		k.Parts = append(k.Parts, KitchenPart{Material: record.Code(code), Name: v.materialName(record.Code(code)), Grams: parts[code]})
	}
}

func sortedKeys(m map[string]quantity.Gram) (all []string) {
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

func (v *View) kitchenShares(k *Kitchen) {
	for _, x := range k.Parts {
		k.In += x.Grams
	}
	for i := range k.Parts {
		x := &k.Parts[i]
		x.Share, x.AsGrams, _ = label.StatedShare(x.Grams, k.Out)
		x.Pan, _, _ = label.StatedShare(x.Grams, k.In)
	}
	slices.SortStableFunc(k.Parts, func(a, b KitchenPart) int { return cmp.Compare(b.Grams, a.Grams) })
}

// allergens are what each ingredient brings in: as the house says with the setting
// allergen.MATERIAL, else by words in its name.
func (v *View) allergens(k *Kitchen) {
	named := strings.ToLower(k.Product.Allergens)
	for i := range k.Parts {
		x := &k.Parts[i]
		if x.Material == "" {
			continue
		}
		if text := v.State.SettingText(allergenSetting + string(x.Material)); text != "" {
			for _, a := range strings.Split(text, ",") {
				x.Allergens = append(x.Allergens, strings.TrimSpace(strings.ToLower(a)))
			}
		} else {
			x.Allergens = allergensIn(x.Name)
		}
		for _, a := range x.Allergens {
			if !slices.Contains(k.Allergen, a) {
				k.Allergen = append(k.Allergen, a)
			}
		}
	}
	for _, a := range k.Allergen {
		if !slices.ContainsFunc(append(allergenWords[a], a), func(w string) bool { return strings.Contains(named, w) }) {
			k.Missing = append(k.Missing, a)
		}
	}
}

// allergenWords are words by which an ingredient shows that it brings an allergen in,
// in the program's three languages, by the name of Annex II of Regulation (EU)
// 1169/2011 (from memory). What they do not find may still be there: the supplier's
// paper decides.
var allergenWords = map[string][]string{
	"wheat": {"wheat", "flour", "trigo", "harina", "pszen", "mąka"}, "gluten": {"gluten", "rye", "barley", "oat", "spelt", "centeno", "cebada", "avena", "espelta", "żyt", "jęczm", "owi", "owsian", "orkisz"},
	"milk": {"milk", "butter", "cream", "whey", "leche", "mantequilla", "nata", "suero", "mleko", "masło", "śmietan", "serwatk"},
	"egg":  {"egg", "huevo", "jaj"}, "nuts": {"almond", "hazelnut", "walnut", "cashew", "pistach", "pecan", "nuez", "almendra", "avellana", "orzech", "migdał"},
	"peanut": {"peanut", "cacahuete", "arachid"}, "soya": {"soy", "soja"}, "sesame": {"sesam", "sésamo", "sezam"}, "mustard": {"mustard", "mostaza", "musztard", "gorczyc"},
	"celery": {"celery", "apio", "seler"}, "lupin": {"lupin", "altramuz", "łubin"}, "sulphites": {"sulphit", "sulfit", "siarczyn"},
}

func allergensIn(name string) (all []string) {
	low := strings.ToLower(name)
	for a, words := range allergenWords {
		if slices.ContainsFunc(words, func(w string) bool { return strings.Contains(low, w) }) {
			all = append(all, a)
		}
	}
	slices.Sort(all)
	return all
}

// batches says how many whole batches the free honey makes, and what ends it sooner.
func (v *View) batches(k *Kitchen, honey, out quantity.Gram) {
	put, held := v.promised(), v.held()
	for _, c := range v.State.Contents() {
		if v.status(held, put, c) != free || c.Grams <= 0 {
			continue
		}
		if k.Cooking && c.Purpose == record.CookingGrade || !k.Cooking && c.Purpose != record.CookingGrade && v.honeyOf(c) == k.Kind {
			k.Honey += c.Grams
		}
	}
	k.Batches = int64(k.Honey / honey)
	k.Left = k.Honey - quantity.Gram(k.Batches)*honey
	if one := finished(k.Product, 1); one > 0 {
		k.Units = int64(out / one)
	}
	for _, c := range v.Covers() {
		if c.Product.Fold() == k.Product.Product.Fold() {
			k.Ordered += c.Open
		}
	}
	r, _ := v.State.Goods.Recipe(k.Product.Product, DayOf(record.When{Minute: v.State.Latest}))
	for _, l := range r.Lines {
		if l.Material == "" || l.Mass.Grams() <= 0 {
			continue
		}
		have := v.State.Goods.Stock(l.Material).Grams
		s := KitchenStop{Material: l.Material, Known: have.Given && !have.Open, Have: quantity.Gram(have.N), Batches: max(0, have.N) / int64(l.Mass.Grams())}
		if !s.Known || s.Batches < k.Batches {
			k.Stops = append(k.Stops, s)
		}
	}
}

// Answer says what goes on the label, and how many batches the honey makes.
func (k Kitchen) Answer(v *View) answer.Answer {
	a := answer.Answer{Question: "kitchen", Of: k.Product.Product}
	var share KitchenPart
	for _, x := range k.Parts {
		if x.Material == "" {
			share = x
		}
	}
	a.Say("kitchen.share", answer.Args{"share": tenthsPct(share.Share), "pan": tenthsPct(share.Pan), "honey": share.Grams, "out": k.Out, "in": k.In})
	if k.Made == "" {
		a.Warn("kitchen.by-recipe", nil)
	} else {
		a.RestsOn("kitchen.by-batch", answer.Args{"batch": k.Made})
	}
	kind := answer.Cell(k.Kind)
	if k.Cooking {
		kind = answer.Key(record.CookingGrade.Key())
	}
	a.Say("kitchen.batches", answer.Args{"n": k.Batches, "honey": k.Honey, "kind": kind, "units": k.Batches * k.Units, "left": k.Left, "ordered": k.Ordered})
	if k.Cooking {
		a.Warn("kitchen.cooking", nil)
	}
	if k.Batches*k.Units > k.Ordered {
		a.Warn("kitchen.beyond-orders", answer.Args{"n": k.Batches*k.Units - k.Ordered})
	}
	v.kitchenLife(&a, k)
	for _, m := range k.Missing {
		a.Lines = append(a.Lines, answer.Line{Key: "kitchen.allergen-missing", Args: answer.Args{"allergen": answer.Key("allergen." + m)}, Mark: answer.Bad})
	}
	t := a.Table("ingredients", "ingredient", "mass_g", "share_pct", "pan_pct", "allergens")
	for _, x := range k.Parts {
		var list any = answer.Key("allergen.none-seen")
		if len(x.Allergens) > 0 {
			list = strings.Join(x.Allergens, ", ")
		}
		t.Row(answer.Plain, x.Name, x.Grams, quantity.Percent(float64(x.Share)/10), quantity.Percent(float64(x.Pan)/10), list)
	}
	stops := a.Table("kitchen-stops", "material", "mass_g", "batches_n")
	for _, s := range k.Stops {
		var have, n any
		if s.Known {
			have, n = s.Have, s.Batches
		}
		stops.Row(answer.Care, s.Material, have, n)
	}
	a.Follows("kitchen.follows", nil)
	v.restsOnRecord(&a)
	return a
}

func tenthsPct(n int64) quantity.Figure {
	return quantity.Figure{Mantissa: n, Decimals: 1, Unit: quantity.Pct}
}
