package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/house"
	"combline/internal/record"
)

// A LabelRule is a text of the house for its labels, papers and codes, as it is now.
type LabelRule struct {
	Name string // of the setting, as codes.item.J340
	Head string // codes.item. where a country, product or honey follows, else the name itself
	Of   string // that country, product or honey
	Says string // how the house calls it, to show beside it
	Text string // "" where nothing is set
}

// LabelRules lists them: first the house's own, then those of each country, product and
// honey that the record knows.
func (v *View) LabelRules() (all []LabelRule) {
	add := func(head, of, says string) {
		r := LabelRule{Name: head + of, Head: head, Of: of, Says: says}
		r.Text = v.labelText(r.Name)
		if f := v.State.Setting(r.Name, noFigure); r.Text == "" && f.Given() {
			r.Text = f.String()
		}
		all = append(all, r)
	}
	for _, name := range []string{house.SettingAddress, house.SettingDomain, house.SettingCompany, house.SettingLocation} {
		add(name, "", "")
	}
	for _, c := range v.countriesKnown() {
		add(house.SettingCountry, c, "")
	}
	for _, p := range v.State.Goods.Products() {
		add(house.SettingItem, string(p.Product), p.Name)
		add(house.SettingSurface, string(p.Product), p.Name)
	}
	for _, h := range v.honeysKnown() {
		add(house.SettingPlant, h, "")
	}
	return all
}

// labelText is a text of the house without the spaces around it.
func (v *View) labelText(name string) string { return strings.TrimSpace(v.State.SettingText(name)) }

// countriesKnown are the countries that a label may have to name.
func (v *View) countriesKnown() (all []string) {
	add := func(code string) {
		if code = strings.ToUpper(strings.TrimSpace(code)); len(code) == 2 {
			all = append(all, code)
		}
	}
	add(v.State.House().Country)
	for _, s := range v.State.Goods.Suppliers() {
		add(s.Country)
	}
	for _, p := range v.State.Goods.Products() {
		for _, o := range p.Origin {
			add(o.Country)
		}
	}
	for _, name := range v.State.SettingNames(house.SettingCountry) {
		add(strings.TrimPrefix(name, house.SettingCountry))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// honeysKnown are the names under which the house brings its honey in.
func (v *View) honeysKnown() (all []string) {
	for _, kind := range []record.Entity{record.Lot, record.Delivery} {
		for _, t := range v.State.OfKind(kind) {
			for _, n := range v.State.RootsOf(v.State.Code(t)) {
				for _, g := range v.State.GroupBy(n, v.State.Honey) {
					if name := honeyType(g.Name); name != "" {
						all = append(all, name)
					}
				}
			}
		}
	}
	slices.SortFunc(all, cmp.Compare[string])
	return slices.Compact(all)
}
