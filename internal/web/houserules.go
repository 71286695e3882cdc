package web

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// The house's own rules: what they are now, and what holds where it set nothing.
type rulesPage struct {
	*frame
	Rules []ruleRow
	Texts []ruleRow // of filling
	Label []ruleRow // of labels, papers and codes
	House []fact2
}

type ruleRow struct {
	Name, Value, Usual, Href string
	Own                      bool
}

func (v *visit) houseRules() error {
	p := rulesPage{frame: v.frame("", v.say("page.rules"))}
	v.s.office.Read(func(h *office.View) {
		for _, r := range office.Rules() {
			now := h.State.Setting(r.Name, r.Otherwise)
			p.Rules = append(p.Rules, ruleRow{Name: v.say("page.rule." + r.Name), Value: v.text(now), Own: now != r.Otherwise,
				Usual: v.say("page.rules.usual", "value", v.text(r.Otherwise)), Href: link("/do/setting", "of", r.Name, "back", "/rules")})
		}
	})
	v.textRules(&p)
	p.Label = v.labelRules()
	record.Visit(&v.house, func(x record.Field) {
		name, text := v.fieldName(x.Name), x.Text
		switch x.Name {
		case "rules":
			text = v.pickText(v.ruleSets(), text)
		case "language":
			text = v.pickText(v.languages(), text)
		case "units":
			name, text = v.say("page.units"), v.pickText(v.unitChoices(), text)
		}
		if text == "" {
			text = v.text(nil)
		}
		p.House = append(p.House, fact2{name, text, ""})
	})
	return v.render("rules", p)
}

// textRules are the house's own rules that are texts.
func (v *visit) textRules(p *rulesPage) {
	v.s.office.Read(func(h *office.View) {
		for _, r := range office.TextRules() {
			now := h.State.SettingText(r.Name)
			text := now
			switch {
			case r.YesNo:
				text = v.text(office.Yes(now))
			case now == "":
				text = v.say("none")
			}
			p.Texts = append(p.Texts, ruleRow{Name: v.say("page.rule." + r.Name), Value: text, Own: now != "", Href: link("/do/setting", "of", r.Name, "back", "/rules")})
		}
	})
}

func (v *visit) pickText(all []option, value string) string {
	for _, o := range all {
		if o.Value == value {
			return o.Text
		}
	}
	return value
}

// settingTask changes one rule.
func (v *visit) settingTask(of record.Code) (*task, error) {
	for _, r := range office.Rules() {
		if r.Name != string(of) {
			continue
		}
		var now quantity.Figure
		v.s.office.Read(func(h *office.View) { now = h.State.Setting(r.Name, r.Otherwise) })
		return &task{Title: v.say("page.rule." + r.Name), About: v.say("page.rules.usual", "value", v.text(r.Otherwise)), Back: "/rules",
			Parts: []part{{Kind: record.KindSettingChanged, Fixed: map[string]string{"setting": r.Name},
				Cells: []cell{{Name: "value", Start: v.digits(now), In: r.Otherwise.Unit, Need: true}, {Name: "reason"}}}},
			Make: func(d *house.Draft) error { return inUnit(d, r) }}, nil
	}
	return v.textTask(string(of))
}

// textTask changes one rule that is a text.
func (v *visit) textTask(name string) (*task, error) {
	for _, r := range office.TextRules() {
		if r.Name != name {
			continue
		}
		c := cell{Name: "text", Label: v.say("field.value"), Need: true, Small: true}
		v.s.office.Read(func(h *office.View) {
			c.Start = h.State.SettingText(name)
			switch {
			case r.YesNo:
				c.Pick, c.Start = []option{{Text: v.say("yes"), Value: "yes"}, {Text: v.say("no"), Value: "no"}}, map[bool]string{true: "yes", false: "no"}[office.Yes(c.Start)]
			case name == "fill.scale":
				c.Pick = named(h, record.Instrument, weighsJars(0))
			}
		})
		if !r.YesNo {
			c.Hint = v.say("page.rules.hint."+name, "brace", "{", "end", "}")
		}
		return &task{Title: v.say("page.rule." + name), Back: "/rules",
			Parts: []part{{Kind: record.KindSettingChanged, Fixed: map[string]string{"setting": name}, Cells: []cell{c, {Name: "reason"}}}}}, nil
	}
	if t, ok := v.priceTask(name); ok {
		return t, nil
	}
	if t, ok := v.labelTask(name); ok {
		return t, nil
	}
	return nil, errNotFound
}

// inUnit refuses a rule's figure in another unit than it is read in.
func inUnit(d *house.Draft, r office.Rule) error {
	f, ok := d.Facts[0].(*record.SettingChanged)
	if !ok {
		return nil
	}
	if f.Value.Unit != r.Otherwise.Unit {
		return &house.Refusal{Key: "page.refused.unit", Args: answer.Args{"column": "value", "want": r.Otherwise}}
	}
	if f.Value.Mantissa < 0 {
		return &house.Refusal{Key: "refused.below-zero", Next: "next.type-again", Args: answer.Args{"figure": f.Value, "field": answer.Key("field.value"), "column": "value"}}
	}
	return nil
}

// digits is a figure as the person would type it, without its unit.
func (v *visit) digits(f quantity.Figure) string { return v.c.Number(f.Float(), int(f.Decimals)) }

// leftTask writes down that somebody no longer works here.
func (v *visit) leftTask(of record.Code) (*task, error) {
	for _, p := range v.people {
		if sameCode(p.Person, of) {
			return &task{Of: of, About: nameOf(p.Person, p.PersonNamed.Name), Back: "/setup/people",
				Parts: []part{{Kind: record.KindPersonLeft, Fixed: map[string]string{"person": string(of)}, Cells: []cell{{Name: "note"}}}}}, nil
		}
	}
	return nil, errNotFound
}
