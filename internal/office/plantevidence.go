package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// PlantWords are the keys of the plants that a honey may be said to be of.
func PlantWords() (all []string) {
	for _, p := range label.Plants() {
		all = append(all, p.Key)
	}
	return all
}

// plantsOf is what the honey is of, by weight, as the house calls it or as it has said
// that what it calls so is.
func (v *View) plantsOf(n trace.Node) (all []label.Mass) {
	for _, g := range v.State.GroupBy(n, v.State.Honey) {
		name := g.Name
		if says := v.labelText(house.SettingPlant + honeyType(name)); says != "" && name != "" {
			name = says
		}
		all = append(all, label.Mass{Name: name, Grams: g.Grams})
	}
	return all
}

// measuredOf is what was read or worked out of a honey, for the limits of a plant.
func (v *View) measuredOf(n trace.Node) (all []label.Measured) {
	d := v.doubter()
	if x := d.of(n, record.Conductivity); x.Value.Known() {
		all = append(all, label.Measured{Property: standard.Conductivity, Reading: standard.ReadingOf(x.Value.Value, x.Value.StdDev())})
	}
	f, g := d.of(n, record.Fructose), d.of(n, record.Glucose)
	if f.Value.Known() && g.Value.Known() { // two readings of one sheet
		all = append(all, label.Measured{Property: standard.Sugars, Reading: standard.ReadingOf(f.Value.Value+g.Value.Value, math.Hypot(f.Value.StdDev(), g.Value.StdDev()))})
	}
	return all
}

// plantEvidence is the table of what bears out that a honey is called after a plant, and
// the worst that stands in it.
func (v *View) plantEvidence(a *answer.Answer, n trace.Node, plant string) (worst answer.Mark) {
	t := a.Table("plant-evidence", "evidence", "shown", "needed", "breach_chance", "rule")
	none := func(v any) any { // nothing is asked there, which is not the same as not known
		if v == nil {
			return answer.Key("plant.nothing")
		}
		return v
	}
	row := func(m answer.Mark, evidence string, shown, needed, chance, rule any) {
		t.Row(m, answer.Key(evidence), shown, none(needed), none(chance), none(rule))
		worst = max(worst, m)
	}
	mine := label.Cite2001()
	part, total := label.PlantShare(v.plantsOf(n), plant)
	mark := answer.Bad
	if total > 0 && 2*part > total {
		mark = answer.Good
	}
	row(mark, "plant.recorded", pctCell(part, total), answer.Key("plant.mainly"), nil, shortCite(mine))
	for _, g := range v.State.GroupBy(n, v.State.Site) {
		mark, name := answer.Plain, any(g.Name)
		if g.Name == "" {
			mark, name = answer.Care, nil
		}
		row(mark, "plant.site", answer.Line{Key: "plant.share-of", Args: answer.Args{"name": name, "part": pctCell(g.Grams, v.State.Graph().Made(n))}}, nil, nil, nil)
	}
	rules, err := standard.ParseRules(v.State.House().Rules)
	if err != nil {
		rules = standard.EU
	}
	for _, p := range label.PlantChecks(rules, plant, v.measuredOf(n)) {
		asked, chance := p.Asked(), any(nil)
		if asked == nil {
			asked = answer.Key("plant.no-limit")
		} else if p.Reading.Known {
			chance = percentOf(100 * p.Break)
		}
		row(plantMark(p), p.Key, withDoubt(p), asked, chance, shortCite(p.Limit.Cite))
	}
	if c := v.doubter().of(n, record.Colour); c.Value.Known() {
		row(answer.Plain, "plant.colour", quantity.Figure{Mantissa: int64(math.Round(c.Value.Value)), Unit: quantity.MM}, nil, nil, nil)
	} else {
		row(answer.Care, "plant.colour", answer.Key("plant.missing"), nil, nil, nil)
	}
	for _, x := range []struct {
		key string
		of  record.Property
	}{{"plant.pollen", record.Pollen}, {"plant.taste", record.Taste}} {
		mark, shown := v.plantVerdict(n, x.of)
		row(mark, x.key, shown, answer.Key("plant.must-bear-out"), nil, shortCite(mine))
	}
	return worst
}

func pctCell(part, total quantity.Gram) any {
	if total <= 0 {
		return nil
	}
	return percentOf(100 * float64(part) / float64(total))
}

// percentOf is a share with its sign, to the tenth.
func percentOf(p float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10 * p)), Decimals: 1, Unit: quantity.Pct}
}

func plantMark(p label.PlantCheck) answer.Mark {
	switch {
	case p.Verdict == standard.Breach || p.Verdict == standard.TooClose:
		return answer.Bad
	case !p.Reading.Known && p.Property == standard.Conductivity:
		return answer.Bad
	case p.Verdict == standard.NoLimit || p.Verdict == standard.CantSay:
		return answer.Care
	}
	return answer.Good
}

// withDoubt is a reading with twice its standard uncertainty, as people write it.
func withDoubt(p label.PlantCheck) any {
	f, ok := p.Shown().(quantity.Figure)
	if !ok {
		return answer.Key("plant.missing")
	}
	doubt := f
	doubt.Mantissa = int64(math.Ceil(2 * p.Reading.SD * math.Pow10(int(f.Decimals))))
	return answer.Line{Key: "plant.value", Args: answer.Args{"value": f, "doubt": doubt}}
}

// plantVerdict is what a pollen sheet or a taste note says.
func (v *View) plantVerdict(n trace.Node, p record.Property) (answer.Mark, any) {
	r, ok := v.reading(n, p)
	switch {
	case !ok || r.Verdict == 0 && !r.Value.Given():
		return answer.Bad, answer.Key("plant.missing")
	case r.Verdict == record.Found:
		return answer.Bad, saidOf("plant.not-in-order", r.What)
	case r.Verdict == record.Clear:
		return answer.Good, saidOf("plant.in-order", r.What)
	}
	return answer.Care, r.Value // a figure that nobody judged
}

// saidOf is a verdict with what it was about, where that was written down.
func saidOf(verdict, what string) any {
	if what == "" {
		return answer.Key(verdict)
	}
	return answer.Line{Key: "plant.said", Args: answer.Args{"verdict": answer.Key(verdict), "what": what}}
}

// CallIt answers whether a honey may be called after a plant, or honeydew: what the
// record shows of it and what is missing. It takes a drum, a tank, a lot, a run or a lot
// mark.
func (v *View) CallIt(code record.Code, plant string) answer.Answer {
	a := answer.Answer{Question: "call-it", Of: v.properCode(code)}
	n := v.batchNode(code)
	if n == 0 {
		n = v.contentNamed(code)
	}
	if n == 0 {
		if roots := v.State.RootsOf(code); len(roots) == 1 {
			n = roots[0]
		}
	}
	if n == 0 {
		return v.notTraced(a, code)
	}
	key := map[answer.Mark]string{answer.Good: "labelling.plant-can", answer.Care: "labelling.plant-look", answer.Bad: "labelling.plant-cannot"}
	b := answer.Answer{}
	worst := v.plantEvidence(&b, n, plant)
	a.Say(key[max(worst, answer.Good)], answer.Args{"of": a.Of, "plant": plant})
	a.Lines[0].Mark = max(worst, answer.Good)
	a.Tables = b.Tables
	a.RestsOn("labelling.rests", answer.Args{"of": a.Of, "mass": v.State.Graph().Made(n)})
	a.Follows("labelling.authority", nil)
	v.restsOnRecord(&a)
	return a
}
