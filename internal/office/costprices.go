package office

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/cost"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Prices and rates of the house, as rules with the time from which they hold. Names end
// in the code of what they are for where they are for one thing only.
const (
	priceOwn       = "cost.own"       // a kilogram of own honey at the drum
	priceBought    = "cost.bought"    // a kilogram of bought honey
	priceHoney     = "cost.honey."    // a kilogram of one lot, delivery or filling, before the two above
	priceMaterial  = "cost.material." // a piece of a material, or a kilogram of what is weighed
	shareBroken    = "cost.broken."   // per cent of a material that breaks, on top of the good ones
	priceOther     = "cost.other."    // what each unit of a product costs beside; the text says what it is
	priceWage      = "cost.wage"      // an hour of one person
	ratePeople     = "cost.people"    // people at a run where nobody wrote down the hours
	rateSetUp      = "cost.setup"     // hours of setting up and cleaning for such a run
	rateWarm       = "cost.warm"      // heat that goes into a drum to warm it
	priceLab       = "cost.lab"       // a laboratory sheet; a run bears one
	priceTest      = "cost.test."     // one property at the laboratory
	priceYear      = "cost.overhead"  // a year's rent, insurance, office and the like
	rateYear       = "cost.overhead-mass"
	priceDrum      = "cost.drum"      // what a drum sold costs beside its honey
	rateDrum       = "cost.drum-work" // person-hours of sending a drum
	priceSale      = "price."         // what a unit of a product sells for
	priceNight     = "cost.night-price"
	rateNightFrom  = "cost.night-from"
	rateNightUntil = "cost.night-until"
)

// CostRules are the prices and rates that are not for one thing only, as a house may set
// them; nothing set is not known.
func CostRules() []Rule {
	money, hour := quantity.Figure{Unit: quantity.Money}, quantity.Figure{Unit: quantity.Hour}
	return []Rule{{priceWage, money}, {ratePeople, quantity.Figure{Unit: quantity.Each}}, {rateSetUp, hour},
		{rateWarm, quantity.Figure{Unit: quantity.KWh}}, {priceLab, money}, {priceYear, money}, {rateYear, quantity.Figure{Unit: quantity.KgUnit}},
		{priceDrum, money}, {rateDrum, hour}, {priceNight, money}, {rateNightFrom, hour}, {rateNightUntil, hour}}
}

// prices reads the house's prices as they were at a minute.
type prices struct {
	v      *View
	minute int64
	later  []string // those that were set only after it
}

func (v *View) pricesAt(minute int64) *prices { return &prices{v: v, minute: minute} }

// Setting is a rule of the house; false where it was never set, or set to nothing.
func (p *prices) Setting(name string) (quantity.Figure, bool) {
	at, after, ok := p.v.State.SettingOn(name, p.minute)
	if !ok || !at.Value.Given() || at.Value.Mantissa == 0 && !zeroMeans(name) {
		return quantity.Figure{}, false
	}
	if after && !slices.Contains(p.later, name) {
		p.later = append(p.later, name)
	}
	return at.Value, true
}

// zeroMeans reports whether nothing is a figure for a rule, not a rule that is not set:
// for a price of a thing named it is, for the house's general ones it never was.
func zeroMeans(name string) bool {
	for _, head := range []string{priceMaterial, priceOther, priceTest, priceSale, shareBroken, rateSetUp, "settle."} {
		if strings.HasPrefix(name, head) {
			return true
		}
	}
	return false
}

// money is a price; false where it is not known or no sum of money.
func (p *prices) money(name string) (cost.Money, bool) {
	f, ok := p.Setting(name)
	if !ok {
		return cost.Money{}, false
	}
	m, err := cost.Price(f)
	return m, err == nil
}

// codeNamed is a rule for one thing: its code is folded, so that the rule is found
// however it was typed.
func (p *prices) codeNamed(head string, code record.Code) string {
	for _, name := range p.v.State.SettingNames(head) {
		if record.Code(name[len(head):]).Fold() == code.Fold() {
			return name
		}
	}
	return head + string(code)
}

// later says which prices were set only after what is reckoned with them.
func (p *prices) say(a *answer.Answer) {
	for _, name := range p.later {
		at, _, ok := p.v.State.SettingOn(name, p.minute)
		if ok {
			a.Warn("cost.later", answer.Args{"rule": name, "figure": at.Value, "when": at.When})
		}
	}
}

// honeyPrice is what a kilogram of an origin cost, and the name of the rule that says so.
func (p *prices) honeyPrice(of record.Code, bought bool) (name string, m cost.Money, ok bool) {
	name = p.codeNamed(priceHoney, of)
	if m, ok = p.money(name); ok {
		return name, m, true
	}
	name = priceOwn
	if bought {
		name = priceBought
	}
	m, ok = p.money(name)
	return name, m, ok
}

// energyRule is the name of [prices.energy] with the house.
const energyRule = "warm" + ".price"

// energy is what a kilowatt-hour costs.
func (p *prices) energy() (cost.Money, bool) {
	f, ok := p.Setting("warm.price")
	if !ok {
		return cost.Money{}, false
	}
	m, err := cost.Price(f)
	return m, err == nil
}
