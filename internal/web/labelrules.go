package web

import (
	"strings"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// labelRules are the texts of the house for its labels, papers and codes.
func (v *visit) labelRules() (rows []ruleRow) {
	var all []office.LabelRule
	v.s.office.Read(func(h *office.View) { all = h.LabelRules() })
	for _, r := range all {
		row := ruleRow{Name: v.labelRuleName(r), Value: r.Text, Own: r.Text != "", Href: link("/do/setting", "of", r.Name, "back", "/rules#labels")}
		if r.Text == "" {
			row.Value = v.say("page.rules.unset")
		}
		rows = append(rows, row)
	}
	return rows
}

func (v *visit) labelRuleName(r office.LabelRule) string {
	name := v.say("page.rule."+strings.TrimSuffix(r.Head, "."), "of", r.Of)
	if r.Says != "" {
		name += " · " + r.Says
	}
	return name
}

// labelTask changes one of them.
func (v *visit) labelTask(name string) (*task, bool) {
	var all []office.LabelRule
	v.s.office.Read(func(h *office.View) { all = h.LabelRules() })
	for _, r := range all {
		if r.Name != name {
			continue
		}
		c := cell{Name: "text", Label: v.say("field.value"), Need: true, Small: true, Start: r.Text, Hint: v.say("page.rules.hint." + strings.TrimSuffix(r.Head, "."))}
		if r.Head == house.SettingPlant {
			c.Pick = v.plantPicks()
		}
		return &task{Title: v.labelRuleName(r), Back: "/rules#labels",
			Parts: []part{{Kind: record.KindSettingChanged, Fixed: map[string]string{"setting": name}, Cells: []cell{c, {Name: "reason"}}}}}, true
	}
	return nil, false
}

// plantPicks are the plants that limits name, and honeydew.
func (v *visit) plantPicks() (all []option) {
	for _, p := range office.PlantWords() {
		all = append(all, option{Value: p, Text: v.say("plant." + p)})
	}
	return all
}
