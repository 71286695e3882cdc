package office

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/record"
)

// lifeSetting and a product's code: the days that it keeps, as the house knows it.
const lifeSetting = "life."

// soldWindow is how far back sales are looked at, in days.
const soldWindow = 90

// kitchenLife says how many batches go while they keep, by what was sold lately and what
// is ordered, and so how many to make now:
//
//	units that go = ordered + sold in 90 days ÷ 90 × days that they keep
//
// Common practice, no source.
func (v *View) kitchenLife(a *answer.Answer, k Kitchen) {
	v.kitchenHeld(a, k)
	rule := lifeSetting + string(k.Product.Product)
	for _, name := range v.State.SettingNames(lifeSetting) {
		if strings.EqualFold(name, rule) {
			rule = name
		}
	}
	life := v.State.Setting(rule, quantity.Figure{})
	days := life.Float()
	if life.Unit != quantity.Day && life.Unit != quantity.Each || !(days > 0 && days < 10_000) || k.Units <= 0 {
		a.Say("kitchen.life-not", answer.Args{"product": k.Product.Product, "rule": rule})
		return
	}
	sold := v.soldLately(k.Product.Product)
	units := k.Ordered + int64(float64(sold)/soldWindow*days)
	n := (units + k.Units - 1) / k.Units // the last batch need not go whole
	a.Say("kitchen.life", answer.Args{"days": quantity.Days(days), "sold": sold, "window": quantity.Days(soldWindow), "ordered": k.Ordered, "units": units, "n": n})
	a.Say("kitchen.make", answer.Args{"n": min(n, k.Batches), "honey": k.Batches})
}

// soldLately is how many units of a product left the house in the last 90 days.
func (v *View) soldLately(product record.Code) (n int64) {
	for _, b := range v.State.Goods.Batches() {
		if b.Product.Fold() != product.Fold() {
			continue
		}
		for _, s := range v.State.Goods.SentOf(b.Code) {
			if s.When.Minute > v.State.Latest-soldWindow*minutesADay {
				n += s.Units
			}
		}
	}
	return n
}

// kitchenHeld says what cooking-grade honey is here and not free, and what it would do for.
func (v *View) kitchenHeld(a *answer.Answer, k Kitchen) {
	var honey, mass quantity.Gram
	for _, x := range k.Parts {
		if x.Material == "" {
			honey = x.Grams
		}
	}
	var of []record.Code
	put, held := v.promised(), v.held()
	for _, c := range v.State.Contents() {
		if c.Purpose == record.CookingGrade && c.Grams > 0 && v.status(held, put, c) != free {
			mass += c.Grams
			of = append(of, c.Code)
		}
	}
	if k.Cooking && mass > 0 && honey > 0 {
		a.Warn("kitchen.held", answer.Args{"mass": mass, "of": of, "n": int64(mass / honey)})
	}
}
