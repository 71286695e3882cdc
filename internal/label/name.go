package label

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

var (
	honeyName  = standard.Cite{Set: standard.EUHoney, Place: "Directive 2001/110/EC art. 2(2)", Got: standard.Read}
	cookingWay = standard.Cite{Set: standard.EUHoney, Place: "Directive 2001/110/EC art. 2(2), baker's honey", Got: standard.Read}
)

// name says what it is, and holds the plant and the place of the name against the
// record: the plant wholly or mainly, with taste, laboratory and pollen; the place
// entirely.
func (l *Label) name(w Wish, t Tipped) {
	name := strings.TrimSpace(w.Name)
	if name == "" {
		l.find(NamePart, answer.Bad, honeyName, "label.name-missing", nil)
	} else {
		l.say(NamePart, honeyName, line("label.text", answer.Args{"text": name})).Front = true
	}
	if t.Cooking {
		l.say(CookingPart, cookingWay, line("label.cooking-only", nil)).Front = true
	}
	for _, plant := range plantsSaid(w) {
		l.plant(w, plant, t)
	}
	if w.Region != "" {
		l.region(w.Region, t)
	}
}

// mainly is what "mainly" is taken to mean: more than half. The directive gives no
// figure.
const mainly = 0.5

// plantsSaid are the plants that the label names: the one that was asked about, and each
// that stands in its name.
func plantsSaid(w Wish) (all []string) {
	if w.Plant != "" {
		all = append(all, w.Plant)
	}
	for _, said := range PlantsIn(w.Name) {
		if plantKey(said) != plantKey(w.Plant) {
			all = append(all, said)
		}
	}
	return all
}

func (l *Label) plant(w Wish, plant string, t Tipped) {
	part, unknown, total := shareBy(t.Plants, plant, plantKey)
	args := answer.Args{"plant": plant, "part": percent(part, total)}
	switch {
	case t.Cooking:
		l.find(NamePart, answer.Bad, cookingWay, "label.cooking-no-claim", answer.Args{"word": plant})
	case total == 0 || unknown == total:
		l.find(NamePart, answer.Bad, honeyName, "label.plant-not-recorded", args)
	case float64(part) <= mainly*float64(total):
		l.find(NamePart, answer.Bad, honeyName, "label.plant-not-mainly", args)
	}
	l.plantLimits(w, plant, t)
	for _, c := range []struct {
		truth   Truth
		missing string
		against string
	}{
		{t.Taste, "label.plant-no-taste", "label.plant-taste-against"},
		{t.Pollen, "label.plant-no-pollen", "label.plant-pollen-against"},
	} {
		switch c.truth {
		case NotKnown:
			l.find(NamePart, answer.Bad, honeyName, c.missing, args)
		case No:
			l.find(NamePart, answer.Bad, honeyName, c.against, args)
		}
	}
}

// plantLimits holds what the laboratory read against the limits that the plant has. A
// limit that is not met by chance, or of which nothing was read, stands against the
// name; where a rule set has no figure for the plant, a person compares the sheet.
func (l *Label) plantLimits(w Wish, plant string, t Tipped) {
	for _, p := range PlantChecks(w.Rules, plant, t.Measured) {
		args := answer.Args{"plant": plant, "property": answer.Key(p.Key), "value": p.Shown(), "limit": p.Asked(), "chance": quantity.Percent(100 * p.Break)}
		switch {
		case p.Verdict == standard.Breach:
			l.find(NamePart, answer.Bad, p.Limit.Cite, "label.plant-limit-broken", args)
		case p.Verdict == standard.TooClose:
			l.find(NamePart, answer.Bad, p.Limit.Cite, "label.plant-limit-close", args)
		case p.Verdict == standard.CantSay && p.Property == standard.Conductivity:
			l.find(NamePart, answer.Bad, p.Limit.Cite, "label.plant-no-lab", args)
		case p.Verdict == standard.CantSay:
			l.find(NamePart, answer.Care, p.Limit.Cite, "label.plant-limit-unread", args)
		case p.Verdict == standard.NoLimit && !p.Reading.Known:
			l.find(NamePart, answer.Bad, p.Limit.Cite, "label.plant-no-lab", args)
		case p.Verdict == standard.NoLimit:
			l.find(NamePart, answer.Care, p.Limit.Cite, "label.plant-no-limit", args)
		default:
			l.find(NamePart, answer.Good, p.Limit.Cite, "label.plant-limit-kept", args)
		}
	}
}

func (l *Label) region(region string, t Tipped) {
	part, _, total := share(t.Regions, region)
	switch {
	case t.Cooking:
		l.find(NamePart, answer.Bad, cookingWay, "label.cooking-no-claim", answer.Args{"word": region})
	case total == 0:
		l.find(NamePart, answer.Bad, honeyName, "label.region-not-recorded", answer.Args{"region": region})
	case part < total:
		l.find(NamePart, answer.Bad, honeyName, "label.region-not-entirely", answer.Args{"region": region, "part": percent(part, total), "other": total - part})
	}
}

// share is how much of the honey has the name, how much has none, and how much there is.
func share(all []Mass, name string) (part, unknown, total quantity.Gram) {
	return shareBy(all, name, func(s string) string { return strings.ToUpper(strings.TrimSpace(s)) })
}

// shareBy is share where names are alike by a key.
func shareBy(all []Mass, name string, key func(string) string) (part, unknown, total quantity.Gram) {
	for _, m := range all {
		total += m.Grams
		switch {
		case strings.TrimSpace(m.Name) == "":
			unknown += m.Grams
		case key(m.Name) == key(name):
			part += m.Grams
		}
	}
	return part, unknown, total
}

func percent(part, total quantity.Gram) any {
	if total == 0 {
		return nil // not known
	}
	return quantity.Percent(100 * float64(part) / float64(total))
}
